#include "protocol/restarting.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/rewriting.h"
#include "features/transfer.h"
#include "protocol/places.h"
#include "protocol/progress.h"
#include "protocol/snapshot.h"
#include "report/restart.h"

#include <algorithm>

namespace turnwright::protocol {
namespace {

constexpr std::string_view explain = "turnwright.explainRestart";
constexpr std::string_view repeat = "turnwright.repeatCut";
constexpr std::string_view insert = "turnwright.insertRestart";
constexpr std::string_view own_program = "turnwright.restartProgram";
constexpr std::string_view transfer = "turnwright.transfer";

bool is_number(const std::string& text) {
    return !text.empty() && text.size() < 10 && text.find_first_not_of("0123456789") == std::string::npos;
}

/// Texts of programs in other files, those of open ones as they are there.
std::optional<std::string> text_beside(const features::ProgramFiles& files,
                                       const std::filesystem::path& path) {
    for (const features::WorkspaceFile& file : files.files())
        if (file.path == path) return file.buffer->whole();
    return std::nullopt;
}

features::Rewrite rewritten(const features::Document& program, const std::string& command,
                            const std::vector<std::string>& arguments,
                            const report::RestartQuestion& question, const features::ProgramFiles& files) {
    if (command == transfer)
        return features::transfer_to(program, arguments.empty() ? std::string() : arguments[0],
                                     features::called_files(program, files, [&](const auto& path) {
                                         return text_beside(files, path);
                                     }));
    return report::insert_restart(program, report::restart_at(program, question));
}

std::string shown(const features::Document& program, const std::string& command,
                  const report::RestartQuestion& question) {
    const report::Restart restart = report::restart_at(program, question);
    if (command != own_program) return report::restart_text(program, restart);
    const report::FileText own = report::restart_program(program, restart, 0);
    return own.problem.empty() ? own.text : said("No program is written. ") + own.problem;
}

} // namespace

namespace {

std::map<std::filesystem::path, OpenVersion> opened_now(Server& server) {
    std::map<std::filesystem::path, OpenVersion> opened;
    for (const auto& [key, open] : server.documents())
        opened[open->as_it_is().path()] = {open->uri(), open->version(), open->live_version()};
    return opened;
}

} // namespace

bool runs_beside(std::string_view command) {
    return command == explain || command == repeat || command == insert || command == own_program ||
           command == transfer;
}

std::vector<std::string> restart_commands(bool with_edits) {
    std::vector<std::string> names{std::string(explain), std::string(repeat), std::string(own_program)};
    if (with_edits) names.emplace_back(insert);
    return names;
}

rpc::Content run_beside(Server& server, const std::string& command, std::vector<std::string> arguments,
                        const std::string& title, const OpenDocument& document, const In& params,
                        const rpc::Call& call) {
    report::RestartQuestion question;
    if (command != transfer) {
        if (arguments.empty() || !std::all_of(arguments.begin(), arguments.end(), is_number))
            params["arguments"].fail("the line as second argument");
        question.line = std::stoul(arguments[0]);
        question.repeat = command == repeat;
        if (arguments.size() > 1) question.done = std::stoul(arguments[1]);
    }
    const bool shows = command == explain || command == repeat || command == own_program;
    const features::Document& now = document.as_it_is();
    const auto work = std::make_shared<WorkDone>(server.endpoint(), server.client(), params,
                                                 "turnwright/" + server.new_result_id(), title);
    return server.background().answer(
        call,
        [&server, command, title, question, shows, work, arguments = std::move(arguments),
         was = server.snapshot(document), shop = now.shop_pointer(), path = now.path(),
         files = server.program_files(), opened = opened_now(server),
         beside = server.programs_as_they_are()]() -> rpc::Content {
            const features::Document program(was.text.whole(), shop, path, beside);
            if (shows) {
                const std::string text = shown(program, command, question);
                server.show_message(3, text);
                return text;
            }
            const features::Rewrite made = rewritten(program, command, arguments, question, *files);
            const WorkspaceEdit edit = was.edit(made, *files, opened);
            server.apply(title, made, edit, was.may_apply(edit, opened));
            return nullptr;
        },
        work->token());
}

std::vector<Command> restart_offers(const OpenDocument& document, std::uint32_t line) {
    const features::Document& program = document.as_it_is();
    if (line >= program.buffer().line_count()) return {};
    const machine::BlockPlace place = program.place_of_line(line);
    const auto block = features::block_at(program, place);
    const bool moves = block && (block->reading.motion != machine::MotionKind::none ||
                                 block->reading.sets_up_cycle || block->reading.in_contour);
    if (!moves || !features::sequence_at(program, place)) return {};
    const Json arguments = Json::array({document.uri(), std::to_string(line)});
    return {
        {said("Restart from here: show the blocks to key in"), std::string(explain), arguments},
        {said("Restart from here: insert the blocks behind block delete"), std::string(insert), arguments},
        {said("Restart from here: show it as a program of its own"), std::string(own_program), arguments},
        {said("Repeat only this cut"), std::string(repeat), arguments}};
}

} // namespace turnwright::protocol

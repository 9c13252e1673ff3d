#include "protocol/reports.h"
#include "language/language.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/hints.h"
#include "host/file.h"
#include "host/host.h"
#include "host/interruption.h"
#include "protocol/progress.h"
#include "protocol/server.h"
#include "protocol/snapshot.h"
#include "protocol/uri.h"
#include "report/library.h"
#include "report/lot.h"
#include "report/offsets.h"
#include "report/report.h"
#include "report/tell.h"
#include "rpc/stream.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <mutex>

namespace turnwright::protocol {
namespace {

constexpr std::string_view picture = "turnwright.picture";
constexpr std::string_view sheet = "turnwright.sheet";
constexpr std::string_view restart = "turnwright.restartTable";
constexpr std::string_view compare = "turnwright.compare";
constexpr std::string_view library = "turnwright.library";
constexpr std::string_view telling = "turnwright.tell";
constexpr std::string_view compare_drawn = "turnwright.compareDrawn";
constexpr std::string_view change_note = "turnwright.changeNote";
constexpr std::string_view lot = "turnwright.lot";
constexpr std::string_view offsets = "turnwright.offsets";
constexpr std::string_view correct = "turnwright.correct";
constexpr std::string_view commands[] = {picture,     picture_beside_command,
                                         sheet,       restart,
                                         compare,     compare_drawn,
                                         library,     telling,
                                         change_note, lot,
                                         offsets,     correct};

// A page's name leaves room for what is added to the program's within what a file's name may have.
constexpr std::size_t longest_name = 100;
// The number of its process stands in the name, so that the pages of a server that was ended are found.
constexpr std::string_view folder_name = "turnwright-pages-";

/// Folders that servers left behind that were ended without being asked. Only this user can remove them.
void remove_old_pages(const std::filesystem::path& temporary) {
    std::error_code failed;
    for (std::filesystem::directory_iterator at(temporary, failed), end; !failed && at != end;
         at.increment(failed)) {
        const std::string name = at->path().filename().string();
        std::int64_t process = 0;
        const char* const end_of_name = name.data() + name.size();
        if (!name.starts_with(folder_name) || host::is_link(*at) || !host::is_own(*at)) continue;
        const auto [behind, unread] = std::from_chars(name.data() + folder_name.size(), end_of_name, process);
        if (unread != std::errc{} || behind == end_of_name || *behind != '-') continue;
        std::error_code ignored;
        if (!rpc::process_is_alive(process)) std::filesystem::remove_all(at->path(), ignored);
    }
}

/// A folder for the pages of this process, made when it is first asked for and gone with it; the name is not
/// to be guessed and nobody else may look in.
class Pages {
public:
    ~Pages() {
        std::error_code ignored;
        if (!folder_.empty()) std::filesystem::remove_all(folder_, ignored);
    }
    std::filesystem::path folder() {
        const std::lock_guard lock(mutex_); // one server a client
        std::error_code failed;
        if (!folder_.empty() && std::filesystem::is_directory(folder_, failed)) return folder_;
        const auto temporary = std::filesystem::temp_directory_path();
        remove_old_pages(temporary);
        folder_ = temporary / host::path_of(std::string(folder_name) + std::to_string(rpc::own_process()) +
                                            "-" + host::unguessable_name());
        if (!host::make_private_folder(folder_))
            throw rpc::Error(rpc::code::internal_error, "no folder for the page could be made");
        return folder_;
    }

private:
    std::mutex mutex_;
    std::filesystem::path folder_;
};

std::string write_page(const features::Document& program, std::string_view kind, const std::string& html) {
    static Pages pages;
    std::string name = host::shown_name(program.path().stem().string()).substr(0, longest_name);
    if (name.empty()) name = "program";
    const auto path = pages.folder() / host::path_of(name + "-" + std::string(kind) + ".html");
    if (const std::string problem = host::replace_file(path, html); !problem.empty())
        throw rpc::Error(rpc::code::internal_error, "the page " + path.string() + ": " + problem);
    return uri_of_path(path);
}

Json show_page(Server& server, const std::string& uri) {
    const std::string told = (uri.starts_with("http") ? said("To be seen at ") : said("Written to ")) + uri;
    if (!server.client().can({"window", "showDocument", "support"})) {
        server.show_message(3, told);
        return uri;
    }
    server.endpoint().request("window/showDocument", Json{{"uri", uri}, {"external", true}},
                              [&server, told](const Json& result, const rpc::Error* error) {
                                  const bool shown =
                                      !error && result.is_object() && result.value("success", false);
                                  if (!shown) server.show_message(3, told);
                              });
    return uri;
}

Json show_text(Server& server, const std::string& text) {
    server.show_message(3, text);
    return text;
}

/// What a program is compared with.
struct Before {
    std::string text, name;
};

/// What stands behind the document's URI, as numbers.
using Numbers = std::vector<double>;

Numbers numbers_in(std::string_view command, const std::vector<In>& given) {
    Numbers numbers;
    if (command != lot && command != correct) return numbers;
    for (std::size_t i = 1; i < given.size(); ++i) {
        const std::string text = given[i].json().is_number() ? given[i].json().dump() : given[i].string();
        double number = 0;
        const auto [end, bad] = std::from_chars(text.data(), text.data() + text.size(), number);
        if (bad != std::errc{} || end != text.data() + text.size() || !std::isfinite(number) || number < 0)
            given[i].fail("a number");
        numbers.push_back(number);
    }
    if (command == correct && (numbers.empty() || numbers.size() % 2 != 0))
        given.front().fail("behind it what was wanted and what was measured, for each size");
    return numbers;
}

std::string lot_of(const features::Document& program, const Numbers& numbers) {
    report::LotQuestion question;
    if (!numbers.empty()) question.parts = static_cast<std::size_t>(std::min(numbers[0], 1e9));
    const bool inch = report::unit_of(program) == report::LengthUnit::inch;
    if (numbers.size() > 1 && numbers[1] > 0) question.bar_mm = numbers[1] * (inch ? motion::mm_per_inch : 1);
    return report::lot_text(report::reckon_lot(program, question));
}

std::string corrections_of(const features::Document& program, const Numbers& numbers) {
    std::vector<report::Measured> sizes;
    for (std::size_t i = 0; i + 1 < numbers.size(); i += 2)
        sizes.push_back({numbers[i], numbers[i + 1], false});
    return report::corrections_text(report::correct_offsets(program, sizes));
}

std::string offsets_of(const features::Document& program) {
    const report::OffsetTable table = report::offsets_of_program(program);
    std::string text = report::offset_csv(table.rows);
    for (const std::string& line : table.left_out) text += said("left out: ") + line + '\n';
    return text;
}

/// What changed since it was saved, as notes below the program's number.
struct NotedChanges {
    std::string note; ///< Empty: nothing has
    features::Rewrite rewrite;
};
NotedChanges noted_changes(const Before& saved, const features::Document& program) {
    const features::Document before(saved.text, program.shop_pointer(), program.path(), program.library());
    const report::Comparison comparison = report::compare(before, program);
    if (comparison.same()) return {};
    const machine::ProgramPart* main = report::main_program(program);
    std::size_t line = main ? program.line_of(main->first) : 0;
    if (main && main->number > 0) line = program.line_of(features::number_block(program, *main)) + 1;
    const text::Position at{static_cast<std::uint32_t>(line), 0};
    std::string note = features::with_line_ends_of(program, 0, report::change_note(comparison));
    features::Rewrite rewrite{{{{}, {{{at, at}, note}}}}, {}, {}};
    return {std::move(note), std::move(rewrite)};
}

constexpr TableText note_title = "Note what changed";
Json tell_unchanged(Server& server) {
    return show_text(server, said("Nothing that the machine does has changed since it was saved."));
}

Json compare_with(Server& server, const Before& other, const features::Document& program, bool drawn) {
    const features::Document before(other.text, program.shop_pointer(), program.path(), program.library());
    report::Comparison comparison = report::compare(before, program);
    comparison.old_name = other.name;
    comparison.new_name = said("this text");
    if (drawn)
        return show_page(
            server, write_page(program, "compared", report::comparison_page(before, program, comparison)));
    return show_text(server, report::comparison_text(comparison));
}

std::string title_of(std::string_view command) {
    if (command == picture || command == picture_beside_command) return said("Drawing the picture");
    if (command == sheet) return said("Writing the setup sheet");
    if (command == library) return said("Reading the programs");
    if (command == telling) return said("Telling the program");
    if (command == change_note) return said("Noting what changed");
    if (command == lot) return said("Reckoning the lot");
    if (command == offsets) return said("Reading the offsets");
    if (command == correct) return said("Looking for the offset");
    return command == restart ? said("Writing the restart table") : "Comparing";
}

Json run(Server& server, std::string_view command, const Before& other, const Numbers& numbers,
         const features::Document& program) {
    if (command == picture)
        return show_page(server, write_page(program, "picture", report::picture_page(program)));
    if (command == sheet)
        return show_page(server, write_page(program, "sheet", report::sheet_page(program, host::today())));
    if (command == telling)
        return show_page(server,
                         write_page(program, "told", report::telling_page(program, report::tell(program))));
    if (command == restart) return show_text(server, features::restart_report(program));
    if (command == lot) return show_text(server, lot_of(program, numbers));
    if (command == offsets) return show_text(server, offsets_of(program));
    if (command == correct) return show_text(server, corrections_of(program, numbers));
    return compare_with(server, other, program, command == compare_drawn);
}

/// A program of the workspace with the shop that holds for it.
struct Held {
    features::WorkspaceFile file;
    std::shared_ptr<const shop::Shop> shop;
};

Json show_library(Server& server, const features::Document& program, const std::vector<Held>& held) {
    std::vector<report::LibraryProgram> programs;
    for (const auto& [file, shop] : held) {
        host::stop_here_if_asked();
        const features::Document read(file.buffer->whole(), shop, file.path, program.library());
        programs.push_back(report::library_program(read, file.path.string(), true));
    }
    return show_page(server, write_page(program, "library", report::library_page(programs)));
}

rpc::Content show_beside(Server& server, const OpenDocument& document, const rpc::Call& call,
                         const std::shared_ptr<WorkDone>& work) {
    PicturesBeside& pictures = server.pictures_beside();
    if (!pictures.are_offered()) {
        server.show_message(
            3,
            said("Pictures beside the editor are switched off: the setting pictureBeside.offered is false."));
        return nullptr;
    }
    try {
        return server.background().answer(
            call,
            [&server, &pictures, work, order = pictures.order(document)] {
                return show_page(server, pictures.serve(order));
            },
            work->token());
    } catch (const std::system_error& failure) {
        throw rpc::Error(rpc::code::internal_error,
                         std::string("no port for the picture: ") + failure.what());
    }
}

} // namespace

std::span<const std::string_view> report_commands() {
    return commands;
}

bool is_report_command(std::string_view command) {
    return std::find(std::begin(commands), std::end(commands), command) != std::end(commands);
}

rpc::Content run_report_command(Server& server, std::string_view command, const OpenDocument& document,
                                const In& params, const rpc::Call& call) {
    const features::Document& now = document.as_it_is();
    const std::vector<In> given = params["arguments"].array();
    Before other{{}, said("saved file")};
    if ((command == compare || command == compare_drawn) && given.size() > 2) {
        // The editor reads the other file, which may lie outside the workspace.
        other = {given[1].string(), host::shown_name(given[2].string()).substr(0, longest_name)};
        const std::string problem = other.text.size() > report::largest_file_bytes
                                        ? std::string(said("it is too large"))
                                        : std::string(report::why_not_a_program(other.text));
        if (!problem.empty()) {
            server.show_message(2, other.name + said(" cannot be compared with: ") + problem);
            return nullptr;
        }
    } else if (command == compare || command == compare_drawn || command == change_note) {
        host::FileRead saved;
        // Any client may name any file as an open document; only those of its workspace are read.
        saved = server.shop_files().read(now.path(), report::largest_file_bytes);
        if (saved.problem.empty()) saved.problem = report::why_not_a_program(saved.bytes);
        if (!saved.problem.empty()) {
            server.show_message(2, said("There is no saved file to compare with: ") + saved.problem);
            return nullptr;
        }
        other.text = std::move(saved.bytes);
    }
    const auto begin_work = [&] {
        return std::make_shared<WorkDone>(server.endpoint(), server.client(), params,
                                          "turnwright/" + server.new_result_id(), title_of(command));
    };
    if (command == picture_beside_command) return show_beside(server, document, call, begin_work());
    // An editor that shows the picture itself asks after each edit: there is no progress to be seen then.
    const bool as_text = command == picture && given.size() > 1 && given[1].json() == "text";
    std::vector<Held> held;
    if (command == library)
        for (features::WorkspaceFile& file : server.workspace().files()) {
            auto shop = server.shop_for(file.path);
            held.push_back({std::move(file), std::move(shop)});
        }
    const Numbers numbers = numbers_in(command, given);
    const auto work = as_text ? nullptr : begin_work();
    return server.background().answer(
        call,
        [&server, as_text, name = std::string(command), work, other = std::move(other), numbers,
         was = server.snapshot(document), held = std::move(held), shop = now.shop_pointer(),
         path = now.path(), beside = server.programs_as_they_are()] {
            const features::Document program(was.text.whole(), shop, path, beside);
            if (name == change_note) {
                const NotedChanges noted = noted_changes(other, program);
                if (noted.note.empty()) return tell_unchanged(server);
                const WorkspaceEdit edit = was.edit(noted.rewrite);
                server.apply(std::string(note_title), noted.rewrite, edit, was.may_apply(edit));
                return Json(noted.note);
            }
            if (as_text) return Json(report::picture_page(program));
            if (name == library) return show_library(server, program, held);
            return run(server, name, other, numbers, program);
        },
        work ? work->token() : Json());
}

} // namespace turnwright::protocol

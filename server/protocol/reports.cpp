#include "protocol/reports.h"

#include "features/hints.h"
#include "host/host.h"
#include "protocol/progress.h"
#include "protocol/server.h"
#include "protocol/uri.h"
#include "report/report.h"

#include <algorithm>
#include <fstream>
#include <random>

namespace turnwright::protocol {
namespace {

constexpr std::string_view picture = "turnwright.picture";
constexpr std::string_view sheet = "turnwright.sheet";
constexpr std::string_view restart = "turnwright.restartTable";
constexpr std::string_view compare = "turnwright.compare";
constexpr std::string_view commands[] = {picture, sheet, restart, compare};

/// A folder for this server's pages, made once; the name is not to be guessed and nobody else may look in.
std::filesystem::path pages_folder() {
    static const std::filesystem::path folder = [] {
        std::random_device random;
        for (int attempt = 0; attempt < 8; ++attempt) {
            auto path = std::filesystem::temp_directory_path() /
                        ("turnwright-" + std::to_string(random()) + std::to_string(random()));
            if (!std::filesystem::create_directory(path)) continue; // Someone else's: never used
            std::filesystem::permissions(path, std::filesystem::perms::owner_all);
            return path;
        }
        throw rpc::Error(rpc::code::internal_error, "no folder for the page could be made");
    }();
    return folder;
}

std::string write_page(const features::Document& program, std::string_view kind, const std::string& html) {
    std::string name = program.path().stem().string();
    if (name.empty()) name = "program";
    const auto path = pages_folder() / host::path_of(name + "-" + std::string(kind) + ".html");
    std::ofstream file(path, std::ios::binary | std::ios::trunc);
    file << html;
    file.close();
    if (!file)
        throw rpc::Error(rpc::code::internal_error, "the page could not be written to " + path.string());
    return uri_of_path(path);
}

Json show_page(Server& server, const std::string& uri) {
    if (!server.client().can({"window", "showDocument", "support"})) {
        server.show_message(3, "Written to " + uri);
        return uri;
    }
    server.endpoint().request("window/showDocument", Json{{"uri", uri}, {"external", true}},
                              [&server, uri](const Json& result, const rpc::Error* error) {
                                  const bool shown =
                                      !error && result.is_object() && result.value("success", false);
                                  if (!shown) server.show_message(3, "Written to " + uri);
                              });
    return uri;
}

Json show_text(Server& server, const std::string& text) {
    server.show_message(3, text);
    return text;
}

Json compare_with_saved(Server& server, const features::Document& program) {
    const report::FileText saved = report::read_program(program.path());
    if (!saved.problem.empty()) {
        server.show_message(2, "There is no saved file to compare with: " + saved.problem);
        return nullptr;
    }
    const features::Document before(saved.text, program.shop_pointer(), program.path());
    report::Comparison comparison = report::compare(before, program);
    comparison.old_name = "saved file";
    comparison.new_name = "this text";
    return show_text(server, report::comparison_text(comparison));
}

std::string title_of(std::string_view command) {
    if (command == picture) return "Drawing the picture";
    if (command == sheet) return "Writing the setup sheet";
    return command == restart ? "Writing the restart table" : "Comparing with the saved file";
}

Json run(Server& server, std::string_view command, const features::Document& program) {
    if (command == picture)
        return show_page(server, write_page(program, "picture", report::picture_page(program)));
    if (command == sheet) return show_page(server, write_page(program, "sheet", report::sheet_page(program)));
    if (command == restart) return show_text(server, features::restart_report(program));
    return compare_with_saved(server, program);
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
    // Any client may name any file as an open document; only those of its workspace are read.
    if (command == compare && !server.shop_files().hold(now.path())) {
        server.show_message(2,
                            "There is no saved file to compare with: no such file in the workspace folders");
        return nullptr;
    }
    const auto work = std::make_shared<WorkDone>(server.endpoint(), server.client(), params,
                                                 "turnwright/" + server.new_result_id(), title_of(command));
    return server.background().answer(
        call,
        [&server, name = std::string(command), work, text = now.buffer(), shop = now.shop_pointer(),
         path = now.path(), library = server.programs_as_they_are()] {
            const features::Document program(text.whole(), shop, path, library);
            return run(server, name, program);
        },
        work->token());
}

} // namespace turnwright::protocol

#include "protocol/reports.h"

#include "host/host.h"
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
constexpr std::string_view compare = "turnwright.compare";
constexpr std::string_view commands[] = {picture, sheet, compare};

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

Json compare_with_saved(Server& server, const features::Document& program) {
    // Any client may name any file as an open document; only those of its workspace are read.
    if (!server.shop_files().hold(program.path())) {
        server.show_message(2,
                            "There is no saved file to compare with: no such file in the workspace folders");
        return nullptr;
    }
    const report::FileText saved = report::read_program(program.path());
    if (!saved.problem.empty()) {
        server.show_message(2, "There is no saved file to compare with: " + saved.problem);
        return nullptr;
    }
    features::Document before(saved.text, program.shop_pointer(), program.path());
    before.evaluate();
    report::Comparison comparison = report::compare(before, program);
    comparison.old_name = "saved file";
    comparison.new_name = "this text";
    const std::string text = report::comparison_text(comparison);
    server.show_message(3, text);
    return text;
}

} // namespace

std::span<const std::string_view> report_commands() {
    return commands;
}

bool is_report_command(std::string_view command) {
    return std::find(std::begin(commands), std::end(commands), command) != std::end(commands);
}

Json run_report_command(Server& server, std::string_view command, const features::Document& program) {
    if (command == picture)
        return show_page(server, write_page(program, "picture", report::picture_page(program)));
    if (command == sheet) return show_page(server, write_page(program, "sheet", report::sheet_page(program)));
    return compare_with_saved(server, program);
}

} // namespace turnwright::protocol

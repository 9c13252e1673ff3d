#include "protocol/job_writing.h"
#include "language/said.h"

#include "features/shop_gain.h"
#include "host/host.h"
#include "protocol/server.h"
#include "protocol/shop_writing.h"
#include "protocol/uri.h"
#include "report/job_text.h"

namespace turnwright::protocol {
namespace {

constexpr TableText job_title = "Writing a job file";

/// Where it comes to stand; empty where it may not, or one is there.
std::filesystem::path job_file_of(const Server& server, const features::Document& program) {
    if (home_of(server, program.path()).path.empty()) return {};
    std::error_code failed;
    std::filesystem::path whole = host::weakly_canonical(program.path(), failed);
    if (failed || !whole.has_stem()) return {};
    whole.replace_extension(".turnwright.toml");
    return std::filesystem::exists(whole, failed) || failed ? std::filesystem::path{} : whole;
}

} // namespace

std::optional<Command> offer_job_file(const Server& server, const OpenDocument& document,
                                      const text::Range& range) {
    const features::Document& program = document.as_it_is();
    if (!takes_new_files(server.client()) || !features::is_at_head(program, range.begin.line) ||
        !report::may_write_job(program))
        return std::nullopt;
    const std::filesystem::path path = job_file_of(server, program);
    if (path.empty()) return std::nullopt;
    return Command{
        said("Write stock and tools as assumed into a job file: {}", path.filename().generic_string()),
        std::string(write_job_command), Json::array({document.uri()})};
}

rpc::Content write_job_file(Server& server, OpenDocument& document) {
    const features::Document& program = server.evaluate(document);
    const std::filesystem::path path = job_file_of(server, program);
    if (path.empty() || !takes_new_files(server.client())) {
        server.show_message(
            2, said("No job file can be made here: it stands beside a saved program, and one that is "
                    "there is left as it is."));
        return nullptr;
    }
    const std::string text = report::job_file_text(program);
    if (text.empty()) {
        server.show_message(2, said("Nothing is assumed of this program's stock and tools, or nothing in it "
                                    "tells how large its stock is."));
        return nullptr;
    }
    const std::string uri = uri_of_path(path);
    const Json create{
        {"kind", "create"}, {"uri", uri}, {"options", Json{{"overwrite", false}, {"ignoreIfExists", false}}}};
    const Json edit{{"textDocument", Json{{"uri", uri}, {"version", nullptr}}},
                    {"edits", Json::array({TextEdit{{}, text}})}};
    server.endpoint().request(
        "workspace/applyEdit",
        Json{{"label", job_title}, {"edit", Json{{"documentChanges", Json::array({create, edit})}}}},
        [&server, home = home_of(server, program.path())](const Json& result, const rpc::Error* error) {
            if (error || !look_flag(result, {"applied"}))
                server.show_message(2, said("The editor did not make the job file."));
            else if (!home.is_open)
                server.show_message(
                    3, said("The job file holds once the editor opens the folder {}.", home.path.string()));
        });
    return text;
}

} // namespace turnwright::protocol

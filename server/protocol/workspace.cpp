// Settings, shop files and workspace folders: each change of them is followed by a new check.
#include "language/language.h"
#include "protocol/server.h"
#include "protocol/uri.h"
#include "text/letters.h"

#include <algorithm>

namespace turnwright::protocol {

void Server::register_workspace() {
    const auto on = [this](const char* method, void (Server::*handle)(const In&)) {
        endpoint_.on_notification(
            method, [this, handle](const Json& params) { (this->*handle)(In(params, "params")); });
    };
    on("workspace/didChangeConfiguration", &Server::did_change_configuration);
    on("workspace/didChangeWatchedFiles", &Server::did_change_watched_files);
    on("workspace/didChangeWorkspaceFolders", &Server::did_change_workspace_folders);
    endpoint_.on_notification("window/workDoneProgress/cancel", [this](const Json& params) {
        background_.cancel(In(params, "params")["token"].json());
    });
}

void Server::ask_for_configuration() {
    if (!client_.can({"workspace", "configuration"})) return;
    endpoint_.request("workspace/configuration",
                      Json{{"items", Json::array({Json{{"section", "turnwright"}}})}},
                      [this](const Json& result, const rpc::Error* error) {
                          if (error) return log("the client gave no settings: " + error->message);
                          const bool given = result.is_array() && !result.empty() && result[0].is_object() &&
                                             !result[0].empty();
                          use_settings(given ? Settings(result[0]) : default_settings_);
                      });
}

void Server::did_change_configuration(const In& params) {
    const auto settings = params.find("settings");
    if (settings && settings->json().is_object() && !settings->json().empty())
        return use_settings(Settings(settings->json()));
    if (client_.can({"workspace", "configuration"})) return ask_for_configuration();
    use_settings(default_settings_);
}

void Server::use_settings(Settings settings) {
    if (settings == settings_) return;
    settings_ = std::move(settings);
    choose_language();
    if (!pictures_beside_.are_offered()) pictures_beside_.close_all();
    register_by_settings();
    check_everything_again();
}

/// What a person set counts before the command line, and that before what the editor itself is in. One
/// language holds for the process: of several clients on one port the last to say counts.
void Server::choose_language() {
    for (const std::string& name :
         {settings_.text("language"), default_settings_.text("language"), options_.language, client_.locale})
        if (!name.empty()) {
            if (!language::choose(name) && name != client_.locale)
                log("no texts in the language " + name + ": English is taken");
            return;
        }
    language::choose("en");
}

void Server::did_change_watched_files(const In& params) {
    bool shop_changed = false;
    for (const In& change : params["changes"].array())
        shop_changed |= change["uri"].string().ends_with("turnwright.toml"); // and the job files
    programs_->refresh();
    if (!shop_changed) return;
    use_folders(); // it may name endings of programs
    check_everything_again();
}

void Server::did_change_workspace_folders(const In& params) {
    const In event = params["event"];
    for (const In& removed : event["removed"].array())
        std::erase_if(client_.folders,
                      [uri = normal_uri(removed["uri"].string())](const WorkspaceFolder& folder) {
                          return normal_uri(folder.uri) == uri;
                      });
    for (const In& added : event["added"].array())
        client_.folders.push_back({added["uri"].string(), added["name"].string()});
    use_folders();
    check_everything_again();
}

void Server::use_folders() {
    std::vector<std::filesystem::path> roots;
    for (const WorkspaceFolder& folder : client_.folders)
        if (auto path = path_of_uri(folder.uri)) roots.push_back(std::move(*path));
    shop_files_.set_roots(roots);
    for (auto& [key, document] : documents_) {
        programs_->close(document->as_it_is().path());
        not_shared_.insert(document.get());
    }
    // Of the editor, which takes such files as programs, too.
    std::vector<std::string> endings;
    for (std::string ending : settings_.texts("endings")) {
        if (ending.empty()) continue;
        if (ending.front() != '.') ending.insert(0, 1, '.');
        std::transform(ending.begin(), ending.end(), ending.begin(), text::lower);
        endings.push_back(std::move(ending));
    }
    for (const std::filesystem::path& root : roots) {
        const auto shop = shop_files_.shop_for(root / "program");
        endings.insert(endings.end(), shop->house.endings.begin(), shop->house.endings.end());
    }
    programs_->set_folders(roots, std::move(endings));
}

void Server::check_everything_again() {
    shop_files_.forget();
    for (auto& [key, document] : documents_)
        document->use_shop(
            shop_files_.shop_for(path_of_uri(document->uri()).value_or(std::filesystem::path())));
    ask_to_refresh();
}

void Server::ask_to_refresh() {
    const auto ask = [this](const char* method) {
        endpoint_.request(method, nullptr, [](const Json&, const rpc::Error*) {});
    };
    if (client_.pulls_diagnostics()) publishing_.ask_to_refresh();
    if (client_.can({"workspace", "semanticTokens", "refreshSupport"}))
        ask("workspace/semanticTokens/refresh");
    if (client_.can({"workspace", "inlayHint", "refreshSupport"})) ask("workspace/inlayHint/refresh");
    if (client_.can({"workspace", "codeLens", "refreshSupport"})) ask("workspace/codeLens/refresh");
}

} // namespace turnwright::protocol

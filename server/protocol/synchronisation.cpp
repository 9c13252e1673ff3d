// Open programs follow the client's text.
#include "protocol/server.h"
#include "protocol/uri.h"

namespace turnwright::protocol {

void Server::register_synchronisation() {
    const auto on = [this](const char* method, void (Server::*handle)(const In&)) {
        endpoint_.on_notification(
            method, [this, handle](const Json& params) { (this->*handle)(In(params, "params")); });
    };
    on("textDocument/didOpen", &Server::did_open);
    on("textDocument/didChange", &Server::did_change);
    on("textDocument/didClose", &Server::did_close);
    // Saving changes nothing we know: the shop file on disk has its own notification.
    endpoint_.on_notification("textDocument/didSave", [](const Json&) {});
}

void Server::did_open(const In& params) {
    const In item = params["textDocument"];
    const std::string uri = item["uri"].string();
    const std::int64_t version = item["version"].integer();
    const std::string text = item["text"].string();
    if (OpenDocument* open = find_document(uri)) {
        log("opened twice, the later text counts: " + uri);
        open->reopen(version, text);
        return;
    }
    auto shop = shop_files_.shop_for(path_of_uri(uri).value_or(std::filesystem::path()));
    documents_.emplace(normal_uri(uri),
                       std::make_unique<OpenDocument>(uri, version, text, client_.encoding, std::move(shop)));
}

void Server::did_change(const In& params) {
    const In identifier = params["textDocument"];
    const std::string uri = identifier["uri"].string();
    OpenDocument* document = find_document(uri);
    if (!document) return log("a change of a document that is not open: " + uri);
    // Null in the oldest clients.
    const auto version = identifier.find("version");
    const bool was_lost = document->lost();
    const std::int64_t held = document->version();
    try {
        const std::int64_t given = version ? version->integer() : held;
        switch (document->change(given, params["contentChanges"])) {
        case ChangeOutcome::applied:
            break;
        case ChangeOutcome::reordered:
            log("version " + std::to_string(given) + " came after " + std::to_string(held) +
                "; both are applied in order: " + uri);
            break;
        case ChangeOutcome::ignored:
            log("version " + std::to_string(given) + " is older than " + std::to_string(held) +
                ", left out: " + uri);
            break;
        case ChangeOutcome::lost:
            log("version " + std::to_string(given) + " does not fit the text of version " +
                std::to_string(held) + ": " + uri);
            break;
        }
    } catch (const rpc::Error& unreadable) {
        document->lose();
        log("unreadable change: " + unreadable.message);
    }
    if (document->lost() && !was_lost) tell_lost(*document);
}

void Server::tell_lost(const OpenDocument& document) {
    const auto path = path_of_uri(document.uri());
    const std::string name = path ? path->filename().string() : document.uri();
    show_message(2,
                 "Turnwright: the editor sent a change of " + name +
                     " that does not fit the text before it. Its warnings stop until you close and open it.");
}

void Server::did_close(const In& params) {
    const std::string uri = params["textDocument"]["uri"].string();
    const auto found = documents_.find(normal_uri(uri));
    if (found == documents_.end()) return log("closed without being open: " + uri);
    // No warning outlives its document.
    if (!client_.pulls_diagnostics())
        endpoint_.notify("textDocument/publishDiagnostics",
                         publish_params(found->second->uri(), std::nullopt, Json::array()));
    documents_.erase(found);
}

} // namespace turnwright::protocol

// Open programs follow the client's text.
#include "protocol/server.h"
#include "protocol/uri.h"

#include <algorithm>

namespace turnwright::protocol {

void Server::register_synchronisation() {
    const auto on = [this](const char* method, void (Server::*handle)(const In&)) {
        endpoint_.on_notification(
            method, [this, handle](const Json& params) { (this->*handle)(In(params, "params")); });
    };
    on("textDocument/didOpen", &Server::did_open);
    on("textDocument/didChange", &Server::did_change);
    on("textDocument/didClose", &Server::did_close);
    on("textDocument/didSave", &Server::did_save);
}

void Server::did_open(const In& params) {
    const In item = params["textDocument"];
    const std::string uri = item["uri"].string();
    const std::int64_t version = item["version"].integer();
    const std::string text = item["text"].string();
    if (OpenDocument* open = find_document(uri)) {
        log("opened twice, the later text counts: " + uri);
        open->reopen(version, text);
        return check_callers_again();
    }
    share_texts(nullptr);
    auto shop = shop_files_.shop_for(path_of_uri(uri).value_or(std::filesystem::path()));
    documents_.emplace(normal_uri(uri), std::make_unique<OpenDocument>(uri, version, text, client_.encoding,
                                                                       std::move(shop), programs_));
    check_callers_again();
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
    if (!client_.pulls_diagnostics()) tell_diagnostics(found->second->uri(), std::nullopt, written({}));
    if (found->second->shared) programs_->close(found->second->as_it_is().path());
    documents_.erase(found);
    check_callers_again();
}

void Server::did_save(const In& params) {
    params["textDocument"]["uri"].string();
    programs_->refresh();
    check_callers_again();
}

void Server::share_texts(const OpenDocument* except) {
    for (auto& [key, document] : documents_) {
        if (document.get() == except || document->shared || document->lost()) continue;
        const std::filesystem::path& path = document->as_it_is().path();
        const auto& roots = shop_files_.roots();
        if (std::none_of(roots.begin(), roots.end(), [&](const auto& root) { return lies_in(path, root); }))
            continue;
        const features::Document& now = document->evaluated();
        programs_->open(path, now.buffer(), now.forest());
        document->shared = true;
    }
}

void Server::check_callers_again() {
    bool any = false;
    for (auto& [key, document] : documents_) {
        if (!document->called().was_asked()) continue;
        share_texts(document.get());
        if (document->called().stamp() != document->checked_with()) document->dirty = any = true;
    }
    if (any) ask_to_refresh();
}

} // namespace turnwright::protocol

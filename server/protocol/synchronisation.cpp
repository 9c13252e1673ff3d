// Open programs follow the client's text.
#include "host/host.h"
#include "language/said.h"
#include "protocol/learning.h"
#include "protocol/server.h"
#include "protocol/shop_writing.h"
#include "protocol/uri.h"

#include <algorithm>
#include <iterator>
#include <vector>

namespace turnwright::protocol {
namespace {

/// The document that a message is about which is no JSON as a whole; empty when there is no telling.
std::string uri_in(std::string_view broken) {
    constexpr std::string_view key = "\"uri\"";
    const std::size_t at = broken.find(key);
    if (at == std::string_view::npos) return {};
    const std::size_t begin = broken.find_first_not_of(" \t\r\n:", at + key.size());
    if (begin == std::string_view::npos || broken[begin] != '"') return {};
    std::size_t end = begin + 1;
    while (end < broken.size() && broken[end] != '"') end += broken[end] == '\\' ? 2 : 1;
    if (end >= broken.size()) return {};
    const Json uri = Json::parse(broken.substr(begin, end + 1 - begin), nullptr, false);
    return uri.is_string() ? uri.get<std::string>() : std::string();
}

/// A file that was closed may be open by another name as well, as by a link: that text counts from now on.
void share_again(const OpenDocuments& documents, const std::filesystem::path& path,
                 std::set<OpenDocument*>& not_shared) {
    for (const auto& [key, document] : documents)
        if (!document->lost() && document->as_it_is().path() == path) not_shared.insert(document.get());
}

} // namespace

void Server::register_synchronisation() {
    const auto on = [this](const char* method, void (Server::*handle)(const In&)) {
        endpoint_.on_notification(
            method, [this, handle](const Json& params) { (this->*handle)(In(params, "params")); });
    };
    on("textDocument/didOpen", &Server::did_open);
    on("textDocument/didChange", &Server::did_change);
    on("textDocument/didClose", &Server::did_close);
    on("textDocument/didSave", &Server::did_save);
    endpoint_.set_unreadable([this](std::string_view ends) { lose_unreadable(ends); });
}

void Server::did_open(const In& params) {
    const In item = params["textDocument"];
    const std::string uri = item["uri"].string();
    const std::int64_t version = item["version"].integer();
    const std::string text = item["text"].string();
    if (OpenDocument* open = find_document(uri)) {
        log("opened twice, the later text counts: " + uri);
        open->reopen(version, text);
        pictures_beside_.changed(*open);
        not_shared_.insert(open);
        return;
    }
    if (programs_->is_listened_to()) share_texts();
    auto shop = shop_files_.shop_for(path_of_uri(uri).value_or(std::filesystem::path()));
    auto opened =
        std::make_unique<OpenDocument>(uri, version, text, client_.encoding, std::move(shop), programs_);
    not_shared_.insert(opened.get());
    if (!folder_to_learn(*this, opened->as_it_is()).empty() ||
        !unread_beside(*this, opened->as_it_is().path()).empty())
        may_be_hinted_.push_back(normal_uri(uri));
    documents_.emplace(normal_uri(uri), std::move(opened));
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
    not_shared_.insert(document);
    try {
        const std::int64_t given = version ? version->integer() : held;
        if (given > held + 1)
            log("version " + std::to_string(given) + " follows " + std::to_string(held) + ": " + uri);
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
        // Where a person types is where they look.
        const Json& changes = params["contentChanges"].json();
        const Json* line = changes.empty() ? nullptr : look(changes.back(), {"range", "start", "line"});
        if (line && line->is_number_unsigned())
            pictures_beside_.cursor_at(*document, line->get<std::uint32_t>());
    } catch (const rpc::Error& unreadable) {
        document->lose();
        log("unreadable change: " + unreadable.message);
    }
    if (document->lost() && !was_lost) tell_lost(*document);
}

void Server::lose_unreadable(std::string_view ends) {
    if (phase_ != Phase::running) return;
    constexpr std::string_view any = "\"textDocument/did", change = "\"textDocument/didChange\"";
    OpenDocument* document = find_document(uri_in(ends));
    if (document && ends.find(change) != std::string_view::npos) {
        not_shared_.insert(document);
        const bool was_lost = document->lost();
        document->lose();
        if (!was_lost) tell_lost(*document);
        return;
    }
    const bool is_another =
        ends.find("\"method\"") != std::string_view::npos && ends.find(any) == std::string_view::npos;
    if (is_another) return;
    for (auto& [key, open] : documents_) open->suspect();
}

void Server::tell_lost(const OpenDocument& document) {
    const auto path = path_of_uri(document.uri());
    const std::string name = path ? path->filename().string() : document.uri();
    show_message(2, "Turnwright: " + name + ": " + document.why_lost());
}

void Server::did_close(const In& params) {
    const std::string uri = params["textDocument"]["uri"].string();
    const auto found = documents_.find(normal_uri(uri));
    if (found == documents_.end()) return log("closed without being open: " + uri);
    publishing_.take_back(*found->second);
    pictures_beside_.close(*found->second);
    const std::filesystem::path path = found->second->as_it_is().path();
    not_shared_.erase(found->second.get());
    documents_.erase(found);
    programs_->close(path);
    shop_files_.close(path);
    share_again(documents_, path, not_shared_);
}

void Server::did_save(const In& params) {
    const std::string uri = params["textDocument"]["uri"].string();
    if (OpenDocument* document = find_document(uri)) publishing_.saved(*document);
    programs_->refresh();
}

bool Server::may_be_shared(const OpenDocument& document) const {
    const std::filesystem::path& path = document.as_it_is().path();
    std::error_code failed;
    const auto real = host::weakly_canonical(path, failed); // it may not be saved yet
    const auto& roots = shop_files_.roots();
    // Without folders all that is open is the workspace.
    return !path.empty() && (roots.empty() || std::any_of(roots.begin(), roots.end(), [&](const auto& root) {
                                 return lies_in(failed ? path : real, root);
                             }));
}

void Server::share_texts() {
    const auto lost = [](const OpenDocument* document) { return document->lost(); };
    std::vector<OpenDocument*> gone;
    std::copy_if(not_shared_.begin(), not_shared_.end(), std::back_inserter(gone), lost);
    for (OpenDocument* document : gone) {
        not_shared_.erase(document);
        // What is on disk was once true.
        if (!may_be_shared(*document)) continue;
        programs_->close(document->as_it_is().path());
        share_again(documents_, document->as_it_is().path(), not_shared_);
    }
    for (OpenDocument* document : not_shared_) {
        if (!may_be_shared(*document)) continue;
        const features::Document& now = document->read();
        programs_->open(now.path(), now.buffer(), now.forest());
    }
    not_shared_.clear();
}

void Server::check_callers_again() {
    if (programs_->is_listened_to()) share_texts();
    if (programs_->stamp() == programs_stamp_told_) return;
    programs_stamp_told_ = programs_->stamp();
    bool any = false;
    for (auto& [key, document] : documents_) {
        // Not those it was checked with: a question may have brought the results up to date already.
        Publication& publication = document->publication;
        if (publication.told_with == 0 || !document->called().was_asked()) continue;
        if (document->called().stamp() != publication.told_with) publication.dirty = any = true;
    }
    if (any) ask_to_refresh();
}

} // namespace turnwright::protocol

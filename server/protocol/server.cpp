#include "protocol/server.h"
#include "language/said.h"

#include "features/speech.h"
#include "protocol/feature.h"
#include "protocol/learning.h"
#include "protocol/places.h"
#include "protocol/progress.h"
#include "protocol/shop_writing.h"
#include "protocol/snapshot.h"
#include "protocol/uri.h"

namespace turnwright::protocol {
namespace {

// Below it is done before a person sees that it has begun.
constexpr std::size_t lines_worth_progress = 200'000;

} // namespace

Server::Server(ServerOptions options)
    : options_(std::move(options)), endpoint_({options_.limits, options_.log, "$/cancelRequest"}),
      publishing_(
          {endpoint_, client_, settings_, shop_files_, documents_, options_.docs_folder,
           [this](OpenDocument& document) -> const features::Document& { return evaluate(document); }}) {
    endpoint_.set_gate([this](std::string_view method, bool is_request) { return gate(method, is_request); });
    endpoint_.set_idle([this] { return work_at_idle(); });
    endpoint_.set_end([this] {
        background_.settle();
        pictures_beside_.settle();
    });
    register_lifecycle();
    register_synchronisation();
    register_workspace();
    register_features();
}

Server::~Server() = default;

int Server::run(rpc::ByteStream& stream) {
    endpoint_.run(stream);
    return phase_ == Phase::after_shutdown ? 0 : 1;
}

const rpc::Error* Server::gate(std::string_view method, bool is_request) const {
    static const rpc::Error not_yet(rpc::code::server_not_initialized, "the server is not initialized yet");
    static const rpc::Error again(rpc::code::invalid_request, "initialize may be sent only once");
    static const rpc::Error too_late(rpc::code::invalid_request, "the server was shut down");
    if (!is_request && method == "exit") return nullptr;
    switch (phase_) {
    case Phase::before_initialize:
        return method == "initialize" && is_request ? nullptr : &not_yet;
    case Phase::running:
        return method == "initialize" ? &again : nullptr;
    case Phase::after_shutdown:
        break;
    }
    return &too_late;
}

void Server::register_features() {
    for (const Feature* feature : feature_table()) {
        endpoint_.on_request(feature->method, [this, feature](const Json& params, rpc::Call& call) {
            return answer(*feature, In(params, "params"), call);
        });
        if (feature->when_text_waits == WhenTextWaits::answer) continue;
        endpoint_.supersede(feature->method, "textDocument/didChange", [](const Json& params) {
            const Json* uri = look(params, {"textDocument", "uri"});
            return uri && uri->is_string() ? uri->get<std::string>() : std::string();
        });
    }
}

bool Server::work_at_idle() {
    if (phase_ != Phase::running) return false;
    check_callers_again();
    pictures_beside_.look();
    return publishing_.tell_one() || hint_at_shop_file();
}

bool Server::hint_at_shop_file() {
    for (std::size_t at = 0; at < may_be_hinted_.size();) {
        OpenDocument* const open = find_document(may_be_hinted_[at]);
        if (open && (open->lost() || !open->was_evaluated())) { // Its results come without being asked for
            ++at;
            continue;
        }
        may_be_hinted_.erase(may_be_hinted_.begin() + static_cast<std::ptrdiff_t>(at));
        if (!open) continue;
        const std::filesystem::path unread = unread_beside(*this, open->as_it_is().path());
        if (!unread.empty()) {
            if (!hinted_.insert(unread.parent_path()).second) continue;
            show_message(3, tell_unread(unread));
            return true;
        }
        const std::filesystem::path folder = folder_to_learn(*this, open->as_it_is());
        if (folder.empty() || hinted_.count(folder) != 0) continue;
        const std::string gains = gains_in_short(evaluate(*open));
        if (gains.empty()) continue;
        hinted_.insert(folder);
        show_message(3, said("No turnwright.toml holds here. What one would do for {}: {}. A code action at "
                             "its head learns one.",
                             features::readable(open->as_it_is().path().filename().string()), gains));
        return true;
    }
    return false;
}

void Server::look_where_cursor_is(const Json& params, bool at_cursor) {
    const Json* uri = look(params, {"textDocument", "uri"});
    const Json* first = look(params, {"position", "line"});
    const Json* last = first;
    const Json* several = look(params, {"positions"});
    if (!first && several && several->is_array() && !several->empty())
        first = last = look(several->front(), {"line"});
    if (!first && at_cursor) {
        first = look(params, {"range", "start", "line"});
        last = look(params, {"range", "end", "line"});
    }
    if (!uri || !uri->is_string() || !first || !first->is_number_unsigned() || !last || *first != *last)
        return;
    OpenDocument* const document = find_document(uri->get<std::string>());
    if (!document) return;
    const auto line = first->get<std::uint32_t>();
    if (at_cursor) publishing_.cursor_at(*document, line);
    pictures_beside_.cursor_at(*document, line);
}

rpc::Content Server::answer(const Feature& feature, const In& params, rpc::Call& call) {
    look_where_cursor_is(params.json(), feature.at_cursor);
    rpc::Content result = feature.handle(*this, params, call);
    return feature.in_parts ? in_parts(endpoint_, params, std::move(result)) : std::move(result);
}

OpenDocument* Server::find_document(const std::string& uri) {
    const auto found = documents_.find(normal_uri(uri));
    return found == documents_.end() ? nullptr : found->second.get();
}

OpenDocument& Server::document(const In& text_document) {
    const std::string uri = text_document["uri"].string();
    OpenDocument* found = find_document(uri);
    if (!found) throw rpc::Error(rpc::code::invalid_params, "not open: " + uri);
    if (found->lost())
        throw rpc::Error(rpc::code::content_modified, "the text is out of step with the editor: " + uri);
    evaluate(*found);
    return *found;
}

const features::Document& Server::evaluate(OpenDocument& document) {
    if (programs_->is_listened_to()) share_texts();
    std::optional<WorkDone> work;
    if (!document.was_evaluated() && document.as_it_is().buffer().line_count() >= lines_worth_progress) {
        const auto path = path_of_uri(document.uri());
        work.emplace(endpoint_, client_, "turnwright/" + new_result_id(),
                     "Checking " + (path ? path->filename().string() : document.uri()));
    }
    const features::Document& result = document.evaluated();
    if (not_shared_.empty() || !document.called().was_asked()) return result;
    // The first to look for a program outside was answered by texts that are older than the editor's.
    share_texts();
    return document.called().stamp() == document.checked_with() ? result : document.evaluated();
}

OpenDocument Server::closed_document(const std::string& uri, const std::string& text,
                                     std::shared_ptr<const shop::Shop> shop) const {
    return {uri, 0, text, client_.encoding, std::move(shop), programs_};
}

const features::Workspace& Server::workspace() {
    share_texts();
    return *programs_;
}

void Server::apply(OpenDocument& document, const std::string& title, const features::Rewrite& rewrite) {
    apply(title, rewrite, Places(*this, document).edit(rewrite));
}

Snapshot Server::snapshot(const OpenDocument& document) const {
    return {{document.uri(), document.version(), document.live_version()},
            document.as_it_is().buffer(),
            client_.encoding,
            client_.can({"workspace", "workspaceEdit", "documentChanges"})};
}

void Server::apply(const std::string& title, const features::Rewrite& rewrite, const WorkspaceEdit& edit,
                   bool is_current) {
    if (!rewrite.done()) return show_message(2, title + ": " + rewrite.refused);
    if (rewrite.files.empty()) return show_message(3, title + said(": there is nothing to change."));
    if (!client_.can({"workspace", "applyEdit"}))
        return show_message(2, title + said(": this editor does not let a server change the text."));
    if (!is_current)
        return show_message(2,
                            title + said(": the text has changed since, so nothing is written. Ask again."));
    endpoint_.request("workspace/applyEdit", Json{{"label", title}, {"edit", edit}},
                      [this, title, told = rewrite.told](const Json& result, const rpc::Error* error) {
                          const bool applied = !error && look_flag(result, {"applied"});
                          if (!applied)
                              show_message(2, title + said(": the editor did not take the change."));
                          if (applied && !told.empty()) show_message(2, title + ":\n" + told);
                      });
}

void Server::show_message(int level, const std::string& message) {
    // An editor may make a link of [text](address): text of files is in many messages, and none of ours is
    // one.
    std::string shown;
    for (char c : message) {
        if (c == '(' && !shown.empty() && shown.back() == ']') shown += ' ';
        shown += c;
    }
    endpoint_.notify("window/showMessage", Json{{"type", level}, {"message", std::move(shown)}});
}

} // namespace turnwright::protocol

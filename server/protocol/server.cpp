#include "protocol/server.h"

#include "protocol/feature.h"
#include "protocol/places.h"
#include "protocol/progress.h"
#include "protocol/uri.h"

namespace turnwright::protocol {
namespace {

// Below it is done before a person sees that it has begun.
constexpr std::size_t lines_worth_progress = 200'000;

} // namespace

Server::Server(ServerOptions options)
    : options_(std::move(options)), endpoint_({options_.limits, options_.log, "$/cancelRequest"}) {
    endpoint_.set_gate([this](std::string_view method, bool is_request) { return gate(method, is_request); });
    endpoint_.set_idle([this] { return publish_one(); });
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

rpc::Content Server::answer(const Feature& feature, const In& params, rpc::Call& call) {
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
    if (document.called().was_asked()) share_texts(&document);
    if (document.was_evaluated() || document.as_it_is().buffer().line_count() < lines_worth_progress)
        return document.evaluated();
    const auto path = path_of_uri(document.uri());
    const WorkDone work(endpoint_, client_, "turnwright/" + new_result_id(),
                        "Checking " + (path ? path->filename().string() : document.uri()));
    return document.evaluated();
}

OpenDocument Server::closed_document(const std::string& uri, const std::string& text,
                                     std::shared_ptr<const shop::Shop> shop) const {
    return {uri, 0, text, client_.encoding, std::move(shop), programs_};
}

const features::Workspace& Server::workspace() {
    share_texts(nullptr);
    return *programs_;
}

void Server::apply(OpenDocument& document, const std::string& title, const features::Rewrite& rewrite) {
    if (!rewrite.done()) return show_message(2, title + ": " + rewrite.refused);
    if (rewrite.files.empty()) return show_message(3, title + ": there is nothing to change.");
    if (!client_.can({"workspace", "applyEdit"}))
        return show_message(2, title + ": this editor does not let a server change the text.");
    endpoint_.request("workspace/applyEdit",
                      Json{{"label", title}, {"edit", Places(*this, document).edit(rewrite)}},
                      [this, title](const Json& result, const rpc::Error* error) {
                          const bool applied = !error && look_flag(result, {"applied"});
                          if (!applied) show_message(2, title + ": the editor did not take the change.");
                      });
}

void Server::show_message(int level, const std::string& message) {
    endpoint_.notify("window/showMessage", Json{{"type", level}, {"message", message}});
}

} // namespace turnwright::protocol

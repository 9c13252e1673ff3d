#include "protocol/server.h"

#include "protocol/feature.h"
#include "protocol/uri.h"

namespace turnwright::protocol {

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
            return feature->handle(*this, In(params, "params"), call);
        });
        if (feature->when_text_waits == WhenTextWaits::answer) continue;
        endpoint_.supersede(feature->method, "textDocument/didChange", [](const Json& params) {
            const Json* uri = look(params, {"textDocument", "uri"});
            return uri && uri->is_string() ? uri->get<std::string>() : std::string();
        });
    }
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
    found->evaluated();
    return *found;
}

void Server::show_message(int level, const std::string& message) {
    endpoint_.notify("window/showMessage", Json{{"type", level}, {"message", message}});
}

} // namespace turnwright::protocol

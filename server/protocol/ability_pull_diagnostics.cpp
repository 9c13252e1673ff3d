// textDocument/diagnostic
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol {
namespace {

Json handle(Server& server, const In& params, rpc::Call&) {
    const std::string uri = params["textDocument"]["uri"].string();
    const auto previous = params.find("previousResultId");
    const std::string known = previous ? previous->string() : "";
    OpenDocument* document = server.find_document(uri);
    if (!document) throw rpc::Error(rpc::code::invalid_params, "not open: " + uri);
    Json now = server.diagnostics(*document);
    document->dirty = false;
    if (document->result_id.empty() || now != document->reported) {
        document->result_id = server.new_result_id();
        document->reported = std::move(now);
    }
    if (known == document->result_id) return unchanged_report(known);
    return full_report(document->result_id, document->reported);
}

void announce(Json& capabilities, const Client& client) {
    if (!client.pulls_diagnostics()) return; // pushed instead
    capabilities["diagnosticProvider"] =
        Json{{"identifier", "turnwright"}, {"interFileDependencies", false}, {"workspaceDiagnostics", false}};
}

} // namespace

extern const Feature pull_diagnostics_feature{"textDocument/diagnostic", handle, announce,
                                              WhenTextWaits::refuse};

} // namespace turnwright::protocol

// textDocument/diagnostic
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::pull_diagnostics {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    const std::string uri = params["textDocument"]["uri"].string();
    const auto previous = params.find("previousResultId");
    const std::string known = previous ? previous->string() : "";
    OpenDocument* document = server.find_document(uri);
    if (!document) throw rpc::Error(rpc::code::invalid_params, "not open: " + uri);
    // Of a very long program first what its first part shows; the client is asked to pull again when all is
    // known.
    if (const auto found = server.publishing().first_part(*document))
        return rpc::Written(full_report(server.new_result_id(), *found));
    server.publishing().bring_up_to_date(*document);
    const Publication& told = document->publication;
    return rpc::Written(known == told.result_id ? unchanged_report(known)
                                                : full_report(told.result_id, told.reported));
}

void announce(Json& capabilities, const Client& client) {
    if (!client.pulls_diagnostics()) return; // pushed instead
    capabilities["diagnosticProvider"] =
        Json{{"identifier", "turnwright"}, {"interFileDependencies", true}, {"workspaceDiagnostics", true}};
}

} // namespace

extern const Feature pull_diagnostics_feature{"textDocument/diagnostic", handle, announce,
                                              WhenTextWaits::refuse};

} // namespace turnwright::protocol::pull_diagnostics

// textDocument/documentLink: calls of programs in other files
#include "features/navigation.h"
#include "protocol/feature.h"
#include "protocol/places.h"

namespace turnwright::protocol::document_link {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const Places places(server, document);
    const bool tooltips = server.client().can({"textDocument", "documentLink", "tooltipSupport"});
    Json all = Json::array();
    for (const features::DocumentLink& link :
         features::document_links(document.evaluated(), &server.workspace())) {
        Json out{{"range", document.to_client(link.range)}, {"target", places.uri_of(link.target)}};
        if (tooltips) put(out, "tooltip", link.tooltip);
        all.push_back(std::move(out));
    }
    return all;
}

void announce(Json& capabilities, const Client& client) {
    if (client.has({"textDocument", "documentLink"})) capabilities["documentLinkProvider"] = Json::object();
}

} // namespace

extern const Feature document_link_feature{"textDocument/documentLink", handle, announce,
                                           WhenTextWaits::refuse, true};

} // namespace turnwright::protocol::document_link

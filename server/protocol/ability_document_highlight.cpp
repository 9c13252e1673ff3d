// textDocument/documentHighlight
#include "features/navigation.h"
#include "protocol/feature.h"
#include "protocol/server.h"

namespace turnwright::protocol::document_highlight {
namespace {

constexpr int read_kind = 2, write_kind = 3; // of the protocol

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    Json all = Json::array();
    for (const features::Highlight& highlight : features::highlights(document.evaluated(), at))
        all.push_back(Json{{"range", document.to_client(highlight.range)},
                           {"kind", highlight.written ? write_kind : read_kind}});
    return all;
}

void announce(Json& capabilities, const Client&) {
    capabilities["documentHighlightProvider"] = true;
}

} // namespace

extern const Feature document_highlight_feature{
    "textDocument/documentHighlight", handle, announce, WhenTextWaits::refuse, true, true};

} // namespace turnwright::protocol::document_highlight

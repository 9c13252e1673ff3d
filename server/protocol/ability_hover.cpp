// textDocument/hover
#include "protocol/feature.h"
#include "protocol/server.h"
#include "report/picture.h"

namespace turnwright::protocol::hover {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const auto found = features::hover(document.evaluated(), at, [](const features::Document& program) {
        return report::setup_here(program);
    });
    if (!found) return nullptr;
    const bool markdown = server.client().wants_markdown({"textDocument", "hover", "contentFormat"});
    return Hover{{markdown ? MarkupKind::markdown : MarkupKind::plain, found->markdown},
                 document.to_client(found->range)};
}

void announce(Json& capabilities, const Client&) {
    capabilities["hoverProvider"] = true;
}

} // namespace

extern const Feature hover_feature{"textDocument/hover", handle, announce};

} // namespace turnwright::protocol::hover

// textDocument/hover
#include "language/said.h"
#include "protocol/feature.h"
#include "protocol/server.h"
#include "protocol/shop_writing.h"
#include "report/picture.h"

namespace turnwright::protocol::hover {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const auto found = features::hover(document.evaluated(), at, [&](const features::Document& program) {
        std::vector<features::AssumedHere> here = report::setup_here(program);
        // What it states is assumed all the same.
        if (const std::filesystem::path unread = unread_beside(server, program.path()); !unread.empty())
            here.insert(here.begin(), {unread.filename().string(), said("lies beside it and is not read"),
                                       said("the editor has not opened its folder"), ""});
        return here;
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

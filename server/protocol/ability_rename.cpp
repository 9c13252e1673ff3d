// textDocument/rename and textDocument/prepareRename
#include "features/navigation.h"
#include "protocol/feature.h"
#include "protocol/places.h"

namespace turnwright::protocol::rename {
namespace {

rpc::Content handle(Server& server, const In& params, rpc::Call&) {
    const std::string new_name = params["newName"].string();
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const features::Rewrite rewrite =
        features::rename(document.evaluated(), at, new_name, &server.workspace());
    if (!rewrite.done()) throw rpc::Error(rpc::code::request_failed, rewrite.refused);
    return Places(server, document).edit(rewrite);
}

rpc::Content prepare(Server& server, const In& params, rpc::Call&) {
    OpenDocument& document = server.document(params["textDocument"]);
    const text::Position at = document.from_client(read_position(params["position"]));
    const auto start = features::prepare_rename(document.evaluated(), at);
    if (!start) return nullptr;
    return RenamePlace{document.to_client(start->range), start->placeholder};
}

void announce(Json& capabilities, const Client& client) {
    if (client.can({"textDocument", "rename", "prepareSupport"}))
        capabilities["renameProvider"] = Json{{"prepareProvider", true}};
    else
        capabilities["renameProvider"] = true;
}

} // namespace

extern const Feature rename_feature{"textDocument/rename", handle, announce};
extern const Feature prepare_rename_feature{"textDocument/prepareRename", prepare, nullptr};

} // namespace turnwright::protocol::rename

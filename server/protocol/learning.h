// The command that learns a shop file from the programs of the workspace.
#pragma once

#include "protocol/in.h"
#include "rpc/rpc.h"

namespace turnwright::protocol {

class OpenDocument;
class Server;

inline constexpr std::string_view learn_command = "turnwright.learnShopFile";

/// Works beside the server on the programs of the workspace folder that holds the document. Where no shop
/// file holds for it yet, one is offered to the client as a new file, which the client shows and the user
/// saves; an existing one is never changed: what differs is shown. The result is the learnt text, or the
/// differences.
rpc::Content learn_shop_file(Server& server, const OpenDocument& document, const In& params,
                             const rpc::Call& call);

} // namespace turnwright::protocol

// Commands that take long and end in a text or in edits of one document: restart and transfer.
#pragma once

#include "protocol/action.h"
#include "protocol/in.h"
#include "rpc/rpc.h"

namespace turnwright::protocol {

class OpenDocument;
class Server;

/// turnwright.explainRestart, turnwright.repeatCut and turnwright.insertRestart, each with the line from 0
/// and, if wanted, how many passes of the cycle there are done, and turnwright.transfer.
bool runs_beside(std::string_view command);
/// turnwright.insertRestart and turnwright.transfer change the text.
std::vector<std::string> restart_commands(bool with_edits);

/// Works beside the server on the text as it is now; edits are of that version alone.
rpc::Content run_beside(Server& server, const std::string& command, std::vector<std::string> arguments,
                        const std::string& title, const OpenDocument& document, const In& params,
                        const rpc::Call& call);

/// What can be done at a line to go on there after a break: nothing where no move is.
std::vector<Command> restart_offers(const OpenDocument& document, std::uint32_t line);

} // namespace turnwright::protocol

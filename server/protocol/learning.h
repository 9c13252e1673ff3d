// The command that learns a shop file from the programs of the workspace.
#pragma once

#include "features/document.h"
#include "protocol/in.h"
#include "rpc/rpc.h"

#include <filesystem>
#include <string>

namespace turnwright::protocol {

class OpenDocument;
class Server;

/// Where a shop file that is learnt for the program comes to lie: in the workspace folder that holds it, or
/// beside it where none does. Empty where a shop file is there, or nothing can be learnt.
std::filesystem::path folder_to_learn(const Server& server, const features::Document& program);
/// That a shop or job file lies beside a program, of which this server may not read it.
std::string tell_unread(const std::filesystem::path& file);
/// "12 times become exact, 2 tools, jaws"; the program has its results.
std::string gains_in_short(const features::Document& program);

inline constexpr std::string_view learn_command = "turnwright.learnShopFile";

/// Works beside the server on the programs of the workspace folder that holds the document, or on the
/// document alone where none does. Where no shop file holds for it yet, one is offered to
/// the client as a new file, which the client shows and the user saves; an existing one is never changed:
/// what differs is shown. The result is the learnt text, or the differences.
rpc::Content learn_shop_file(Server& server, const OpenDocument& document, const In& params,
                             const rpc::Call& call);

} // namespace turnwright::protocol

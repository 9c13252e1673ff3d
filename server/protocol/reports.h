// The commands that show a document's picture, setup sheet, restart table and changes since it was saved.
#pragma once

#include "protocol/in.h"
#include "rpc/rpc.h"

#include <span>
#include <string_view>

namespace turnwright::protocol {

class OpenDocument;
class Server;

/// Serves the picture on this computer and shows it beside the editor, where the settings allow that.
inline constexpr std::string_view picture_beside_command = "turnwright.pictureBeside";

/// turnwright.picture, turnwright.pictureBeside, turnwright.sheet, turnwright.restartTable,
/// turnwright.compare, turnwright.compareDrawn, turnwright.changeNote, turnwright.tell, turnwright.lot,
/// turnwright.offsets, turnwright.correct and turnwright.library, an index of all programs of the workspace,
/// each with the document's URI.
std::span<const std::string_view> report_commands();
bool is_report_command(std::string_view command);

/// Works beside the server on the text as it is now; progress is shown and can be cancelled. Picture and
/// sheet are written to a file of their own in a folder that only this user can read, and shown by the client
/// when it can; the result is the page's URI. turnwright.picture with "text" behind the URI shows nothing and
/// returns the page itself, for an editor that shows it in a window of its own. turnwright.compare and
/// compareDrawn with the text and the name of another program behind the URI compare with that.
/// turnwright.changeNote writes what changed since the file was saved below the program's number;
/// turnwright.lot takes parts and the length of a bar, turnwright.correct what was wanted and measured, size
/// by size, in the program's unit. The others show and return their text.
rpc::Content run_report_command(Server& server, std::string_view command, const OpenDocument& document,
                                const In& params, const rpc::Call& call);

} // namespace turnwright::protocol

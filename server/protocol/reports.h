// The commands that show a document's picture, setup sheet and changes since it was saved.
#pragma once

#include "features/document.h"
#include "protocol/in.h"

#include <span>
#include <string_view>

namespace turnwright::protocol {

class Server;

/// turnwright.picture, turnwright.sheet and turnwright.compare, each with the document's URI.
std::span<const std::string_view> report_commands();
bool is_report_command(std::string_view command);

/// Picture and sheet are written to a file of their own in a folder that only this user can read, and shown
/// by the client when it can; the result is the page's URI. Compare shows and returns its text.
Json run_report_command(Server& server, std::string_view command, const features::Document& program);

} // namespace turnwright::protocol

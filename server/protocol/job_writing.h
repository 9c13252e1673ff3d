// The command that writes what is assumed of a program's stock and tools into a job file beside it.
#pragma once

#include "protocol/action.h"
#include "protocol/in.h"
#include "rpc/rpc.h"
#include "text/text.h"

#include <optional>

namespace turnwright::protocol {

class OpenDocument;
class Server;

inline constexpr std::string_view write_job_command = "turnwright.writeJobFile";

/// At the head of a saved program that no job file stands beside, where stock or tools are assumed and the
/// client takes new files.
std::optional<Command> offer_job_file(const Server& server, const OpenDocument& document,
                                      const text::Range& range);

/// Offers the client a new file, which it shows and the user saves; one that is there is never changed. The
/// result is the text.
rpc::Content write_job_file(Server& server, OpenDocument& document);

} // namespace turnwright::protocol

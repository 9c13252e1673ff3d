// How an editor ability joins the server: one adapter file defines a `Feature`, the table in
// feature_table.cpp lists it.
#pragma once

#include "protocol/in.h"
#include "rpc/rpc.h"

#include <optional>
#include <span>

namespace turnwright::protocol {

class Server;
struct Client;

/// What happens to a request when newer text for its document already waits behind it.
enum class WhenTextWaits {
    answer, ///< For the text as it was when the client asked.
    refuse, ///< content_modified: for what editors ask again by themselves after each change.
};

struct Feature {
    const char* method;
    /// The result, null for nothing. Positions are converted by the `OpenDocument` it asks the server for.
    rpc::Content (*handle)(Server& server, const In& params, rpc::Call& call);
    /// Puts the capability into the answer to `initialize`; may look at what the client can do.
    void (*announce)(Json& capabilities, const Client& client);
    WhenTextWaits when_text_waits = WhenTextWaits::answer;
    bool in_parts = false;  ///< The result is a list that may be sent in parts
    bool at_cursor = false; ///< Editors ask it for where the cursor is, never for where the mouse is
};

/// All of them.
std::span<const Feature* const> feature_table();

} // namespace turnwright::protocol

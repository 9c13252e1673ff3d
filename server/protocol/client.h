// What the client said about itself in `initialize`.
#pragma once

#include "protocol/in.h"
#include "text/text.h"

namespace turnwright::protocol {

struct WorkspaceFolder {
    std::string uri;
    std::string name;
};

/// A capability of a wrong type counts as not there: some clients write empty tables as arrays.
struct Client {
    std::string name = "a client that gives no name";
    std::int64_t process_id = 0; ///< 0: none to watch
    text::Encoding encoding = text::Encoding::utf16;
    std::vector<WorkspaceFolder> folders;
    Json capabilities = Json::object();
    Json initialization_options;
    std::string trace = "off";
    std::string locale; ///< "de-AT"; empty: not said

    bool can(std::initializer_list<std::string_view> path) const { return look_flag(capabilities, path); }
    bool has(std::initializer_list<std::string_view> path) const {
        const Json* found = look(capabilities, path);
        return found && found->is_object();
    }
    bool wants_markdown(std::initializer_list<std::string_view> formats) const;
    /// The client asks for diagnostics itself and can be told to ask again: then they are not pushed as well,
    /// which would show each twice.
    bool pulls_diagnostics() const;
};

/// Throws invalid_params where a parameter other than a capability has a wrong type.
Client read_client(const In& params);
std::string_view encoding_name(text::Encoding encoding);

} // namespace turnwright::protocol

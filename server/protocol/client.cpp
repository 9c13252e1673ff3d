#include "protocol/client.h"

#include <algorithm>

namespace turnwright::protocol {
namespace {

text::Encoding negotiated(const Json& capabilities) {
    for (const std::string& offered : look_strings(capabilities, {"general", "positionEncodings"}))
        for (const auto known : {text::Encoding::utf8, text::Encoding::utf16, text::Encoding::utf32})
            if (offered == encoding_name(known)) return known;
    return text::Encoding::utf16;
}

std::vector<WorkspaceFolder> read_folders(const In& params) {
    std::vector<WorkspaceFolder> folders;
    if (const auto listed = params.find("workspaceFolders")) {
        for (const In& folder : listed->array())
            folders.push_back({folder["uri"].string(), folder["name"].string()});
        return folders;
    }
    if (const auto root = params.find("rootUri")) folders.push_back({root->string(), ""});
    return folders;
}

} // namespace

std::string_view encoding_name(text::Encoding encoding) {
    switch (encoding) {
    case text::Encoding::utf8:
        return "utf-8";
    case text::Encoding::utf32:
        return "utf-32";
    case text::Encoding::utf16:
        break;
    }
    return "utf-16";
}

bool Client::wants_markdown(std::initializer_list<std::string_view> formats) const {
    const auto listed = look_strings(capabilities, formats);
    return std::find(listed.begin(), listed.end(), "markdown") != listed.end();
}

bool Client::pulls_diagnostics() const {
    return has({"textDocument", "diagnostic"}) && can({"workspace", "diagnostics", "refreshSupport"});
}

Client read_client(const In& params) {
    Client client;
    if (const auto process = params.find("processId")) client.process_id = process->integer();
    if (const auto info = params.find("clientInfo"))
        if (const auto name = info->find("name")) client.name = name->string();
    if (const auto trace = params.find("trace")) client.trace = trace->string();
    if (const auto path = params.find("rootPath")) path->string();
    if (const auto locale = params.find("locale")) client.locale = locale->string();
    client.folders = read_folders(params);
    client.capabilities = params["capabilities"].json();
    if (!client.capabilities.is_object()) params["capabilities"].fail("an object");
    if (const auto options = params.find("initializationOptions"))
        client.initialization_options = options->json();
    client.encoding = negotiated(client.capabilities);
    return client;
}

} // namespace turnwright::protocol

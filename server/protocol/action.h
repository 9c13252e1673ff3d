// LSP code actions.
#pragma once

#include "features/warnings.h"
#include "protocol/diagnostic.h"

namespace turnwright::protocol {

// NOLINTNEXTLINE(bugprone-exception-escape): the move of Json does not throw, by its library's word
struct CodeAction {
    std::string title;
    std::string kind;
    std::vector<Diagnostic> diagnostics;
    bool preferred = false;
    std::optional<WorkspaceEdit> edit;
    std::optional<Command> command;
    std::string disabled_reason;
    Json data;
};
void to_json(Json& out, const CodeAction& in);

/// As the client sends it back to `workspace/executeCommand`: the document's URI is its first argument.
Command command_of(const std::string& uri, const features::Command& command);

/// Whether a kind is asked for: "quickfix" covers "quickfix.point", an empty list everything.
bool kind_is_wanted(const std::string& kind, const std::vector<std::string>& only);

} // namespace turnwright::protocol

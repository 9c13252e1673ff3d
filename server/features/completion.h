// What may be written here: codes, words, tools, labels, templates, computed values; and signature help.
#pragma once

#include "features/document.h"

namespace turnwright::features {

enum class CompletionKind : std::uint8_t {
    code,
    word,
    value,
    tool,
    variable,
    label,
    program,
    snippet,
    keyword
};
struct CompletionItem {
    CompletionKind kind;
    std::string label;
    std::string detail; ///< A few words beside the label
    std::string filter; ///< What typed text is compared with; empty: the label
    std::string sort;   ///< Order in the list
    TextEdit edit;
    bool is_snippet = false; ///< edit.text holds LSP snippet marks ($1, ${1:..})
    std::string plain;       ///< The text for clients without snippets
    bool preselect = false;
    std::string key; ///< For completion_documentation
};
std::vector<CompletionItem> complete(const Document& document, Position at);
/// Markdown for an item's key (resolve). Empty when there is none.
std::string completion_documentation(const Document& document, std::string_view key);

struct SignatureHelp {
    struct Parameter {
        std::uint32_t begin, end; ///< Bytes in the label
        std::string documentation;
    };
    std::string label;         ///< "G83 X Z R Q P F"
    std::string documentation; ///< Markdown
    std::vector<Parameter> parameters;
    std::optional<std::uint32_t> active;
};
std::optional<SignatureHelp> signature_help(const Document& document, Position at);

} // namespace turnwright::features

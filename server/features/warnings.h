// Warnings and what mends them.
#pragma once

#include "features/document.h"

namespace turnwright::features {

struct RelatedWarning {
    Range range;
    std::string message;
};
struct Warning {
    Range range;
    checks::Severity severity;
    std::string id;
    std::string message;
    checks::Tag tag = checks::Tag::none;
    std::vector<RelatedWarning> related;
};
/// More of one kind than this are told at their first places only.
inline constexpr std::size_t many_of_a_kind = 100, told_of_many = 20;
/// "9,980 more of this kind follow"
std::string more_of_a_kind(std::size_t more);
/// The warnings of the document, in order. Of a kind that is on very many blocks the first, the last of them
/// with the number of those that follow.
std::vector<Warning> warnings(const Document& document);
/// Every one.
std::vector<Warning> all_warnings(const Document& document);
/// Those that touch a range.
std::vector<Warning> warnings(const Document& document, Range range);

/// A command of the server's own, for executeCommand: a name of `command_names()` and plain arguments.
struct Command {
    std::string title;
    std::string name;
    std::vector<std::string> arguments;
};

struct CodeAction {
    std::string title;
    std::string kind; ///< LSP's words: "quickfix", "source.fixAll", "refactor.rewrite"
    std::vector<TextEdit> edits;
    std::vector<Warning> mends; ///< The warnings it ends
    bool preferred = false;
    /// When set, `edits` is empty and `run_command` makes the edits: on codeAction/resolve, or by
    /// executeCommand.
    std::optional<Command> command;
};
/// Fixes first. What rewrites the whole program is offered at its head, for a selection, and where a
/// client asks by kinds.
std::vector<CodeAction> code_actions(const Document& document, Range range, bool asked_by_kind = false);
/// The text with its lines ended as the document ends them there: a file may mix ends.
std::string with_line_ends_of(const Document& document, std::size_t line, std::string_view text);
/// The edits of a fix as edits of the text.
std::vector<TextEdit> edits_of(const Document& document, const checks::Fix& fix);

/// Applies the safe, preferred fixes of every warning with this id (empty: of all ids) that do not overlap.
Rewrite fix_all(const Document& document, std::string_view id);

} // namespace turnwright::features

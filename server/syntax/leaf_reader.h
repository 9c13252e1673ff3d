// A leaf to a run: plain lines at once, the others by way of the grammar.
#pragma once

#include "syntax/language.h"
#include "syntax/syntax.h"

namespace turnwright::syntax {

enum class LineKind : std::uint8_t { plain, grammar, too_long };

enum class ReadBy : std::uint8_t { quickest, grammar };

class LeafReader {
public:
    explicit LeafReader(const text::LeafPointer& leaf, ReadBy by = ReadBy::quickest);

    bool needs_grammar() const { return plain_run_ == nullptr; }
    /// What the grammar must parse: the prepared text with blanks over the other lines.
    const std::string& left_to_grammar() const { return left_; }

    /// `tree` is of `left_to_grammar`, or null when the grammar is not needed.
    RunPointer finish(const TSTree* tree) const;

private:
    text::LeafPointer leaf_;
    std::string prepared_;
    std::string left_;
    std::vector<LineKind> lines_;
    RunPointer plain_run_; ///< Null when a line is left to the grammar.
};

} // namespace turnwright::syntax

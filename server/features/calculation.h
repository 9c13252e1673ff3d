// A note that is a question for a calculator, and its answer as blocks in the program's own writing.
#pragma once

#include "calculate/calculate.h"
#include "features/document.h"

namespace turnwright::features {

/// A note that can be answered: a calculator's name with all that must be there, not answered yet.
struct QuestionNote {
    std::uint32_t line = 0;
    Range note; ///< With its parentheses
    calculate::Question question;
};
std::optional<QuestionNote> question_at(const Document& document, std::uint32_t line);

/// A question answered for the blocks that shall stand below a line.
struct Calculation {
    calculate::Answer answer;
    std::vector<std::string> blocks;
    bool inch = false;
};
/// `corner`: the block that ends at the corner a chamfer or a rounding stands in.
Calculation calculate_at(const Document& document, const calculate::Question& question,
                         machine::BlockPlace place, std::optional<machine::BlockPlace> corner);

/// The blocks of the note in this line below it, its results in it; a note at a corner goes. Refused with
/// the reason where there is no answer.
Rewrite write_blocks(const Document& document, std::uint32_t line);

/// Markdown about a note that asks: what it would be answered, or why it cannot be.
std::string question_hover(const Document& document, const QuestionNote& note);

/// What is computed, the blocks and what they rest on, for people.
std::string calculation_text(const calculate::Question& question, const Calculation& calculation);

} // namespace turnwright::features

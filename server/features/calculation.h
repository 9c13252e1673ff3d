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

/// A chamfer or a rounding of the corner at the end of a block.
struct CornerOffer {
    const calculate::Calculator* calculator;
    double size = 0;   ///< In the program's unit
    std::string title; ///< "Chamfer the corner after this block, 0.5 mm"
};
/// Those of usual sizes that find room there; none where the block ends at no corner.
std::vector<CornerOffer> corner_offers(const Document& document, std::uint32_t line);
/// `name`: "CHAMFER" or "ROUND"; `size` in the program's unit.
Rewrite break_corner(const Document& document, std::uint32_t line, std::string_view name, double size);

/// Markdown about a note that asks: what it would be answered, or why it cannot be.
std::string question_hover(const Document& document, const QuestionNote& note);

/// What is computed, the blocks and what they rest on, for people.
std::string calculation_text(const calculate::Question& question, const Calculation& calculation);

} // namespace turnwright::features

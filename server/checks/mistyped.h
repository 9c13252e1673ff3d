// Inside the checks room: values with the letter O for a nought or a comma for a point, and notes with no
// parentheses.
#pragma once

#include "checks/checks.h"

#include <optional>

namespace turnwright::checks {

/// A letter and what stands right behind it, that would be a value but for one character.
struct Mistyped {
    std::uint32_t begin = 0, end = 0; ///< Bytes in the run
    bool comma = false;               ///< A comma for the point; else O for 0
    std::string meant;                ///< "Z-0.5"
    bool covers(const syntax::Item& item) const { return item.begin >= begin && item.end() <= end; }
};
/// Text for people that stands in no note: from the first to the last thing of a block that cannot be read,
/// where letters stand side by side as in a word.
struct LooseText {
    std::uint32_t begin = 0, end = 0; ///< Bytes in the run
    bool has_values = false;          ///< Words with values stand in between
    bool covers(const syntax::Item& item) const { return item.begin >= begin && item.end() <= end; }
};
std::optional<LooseText> loose_text_in(const syntax::Run& run, const syntax::Block& block);
/// None in a text for people.
std::vector<Mistyped> mistyped_in(const syntax::Run& run, const syntax::Block& block);
/// Whether another rule need not tell of the item.
bool is_mistyped(const syntax::Run& run, const syntax::Block& block, const syntax::Item& item);

} // namespace turnwright::checks

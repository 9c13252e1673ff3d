// Inside the checks room: values with the letter O for a nought or a comma for a point.
#pragma once

#include "checks/checks.h"

namespace turnwright::checks {

/// A letter and what stands right behind it, that would be a value but for one character.
struct Mistyped {
    std::uint32_t begin = 0, end = 0; ///< Bytes in the run
    bool comma = false;               ///< A comma for the point; else O for 0
    std::string meant;                ///< "Z-0.5"
    bool covers(const syntax::Item& item) const { return item.begin >= begin && item.end() <= end; }
};
std::vector<Mistyped> mistyped_in(const syntax::Run& run, const syntax::Block& block);
/// Whether another rule need not tell of the item.
bool is_mistyped(const syntax::Run& run, const syntax::Block& block, const syntax::Item& item);

} // namespace turnwright::checks

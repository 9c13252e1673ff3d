// What a word does and what state reaches its block.
#pragma once

#include "features/document.h"

namespace turnwright::features {

struct Hover {
    Range range; ///< The word it speaks of
    std::string markdown;
};
std::optional<Hover> hover(const Document& document, Position at);

} // namespace turnwright::features

// What a word does and what state reaches its block.
#pragma once

#include "features/assumed.h"
#include "features/document.h"

namespace turnwright::features {

struct Hover {
    Range range; ///< The word it speaks of
    std::string markdown;
};
/// `setup`: what is assumed of stock and tools, at the head of a program.
std::optional<Hover> hover(const Document& document, Position at, const SetupHere& setup = noted_here);

} // namespace turnwright::features

// What a shop file would make known of a program that has none, counted from the program itself.
#pragma once

#include "features/document.h"

namespace turnwright::features {

/// "12 times become exact", "2 tools are described", "jaws and chuck limit": the most telling first. Empty
/// where a shop file holds, and where the program asks for none of it.
std::vector<std::string> gains_of_a_shop_file(const Document& document);
/// Whether a line stands above the first tool: where what concerns the whole program is offered.
bool is_at_head(const Document& document, std::size_t line);

} // namespace turnwright::features

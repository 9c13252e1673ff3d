// Formatting: how words are written, never what they mean.
#pragma once

#include "features/document.h"

namespace turnwright::features {

/// Follows the shop file's [format]; what it leaves unset stays as written, except trailing blanks.
std::vector<TextEdit> format(const Document& document);
/// The lines that the range touches.
std::vector<TextEdit> format(const Document& document, Range range);
/// After `typed` (a line end) was typed at a position: formats the line just left.
std::vector<TextEdit> format_on_type(const Document& document, Position at, std::string_view typed);

} // namespace turnwright::features

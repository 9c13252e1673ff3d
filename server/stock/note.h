// Inside the stock room and for conversions: the lengths of a stock note.
#pragma once

#include <functional>
#include <string>
#include <string_view>

namespace turnwright::stock {

/// The note with every length written anew, all else as it stands. `text` with or without its parentheses;
/// one that read_stock_note does not read without a fault is returned as it is.
std::string with_lengths(std::string_view text, const std::function<std::string(double)>& written);

} // namespace turnwright::stock

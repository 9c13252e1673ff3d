// Words and signs that are neither codes nor addresses, in a line each.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace turnwright::features {

/// What a word of the macro language (GOTO, SIN), a variable (#100) or a sign (%, /) is, in capital letters:
/// "SIN Sine of an angle in degrees". Empty when it is none.
std::string macro_word_text(std::string_view word);
/// All words that it knows, without variables.
std::vector<std::string_view> macro_words();

} // namespace turnwright::features

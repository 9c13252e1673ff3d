#pragma once

#include "text/letters.h"

#include <string>
#include <string_view>

namespace turnwright::machine {

/// The words of a note: letters and digits with / . - and " in them.
template <class Each>
void each_word(std::string_view note, Each&& each) {
    std::string word;
    for (std::size_t i = 0; i <= note.size(); ++i) {
        const char c = i < note.size() ? text::upper(note[i]) : ' ';
        if (text::is_letter(c) || text::is_digit(c) || c == '/' || c == '.' || c == '-' || c == '"') {
            word += c;
        } else if (!word.empty()) {
            each(std::string_view(word));
            word.clear();
        }
    }
}

} // namespace turnwright::machine

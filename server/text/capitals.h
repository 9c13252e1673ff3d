// A text in capitals, as notes are compared: ASCII, whatever the locale.
#pragma once

#include "text/letters.h"

#include <string>
#include <string_view>

namespace turnwright::text {

inline std::string in_capitals(std::string_view text) {
    std::string capitals(text);
    for (char& c : capitals) c = upper(c);
    return capitals;
}

} // namespace turnwright::text

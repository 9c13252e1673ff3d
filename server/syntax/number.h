// Written numbers: digits, one point, a sign, blanks anywhere between.
#pragma once

#include <cstdint>
#include <string_view>

namespace turnwright::syntax {

struct Number {
    double value = 0;
    bool has_point = false;
    bool has_sign = false;
    bool is_negative = false;
    bool no_digits = false;    ///< A point alone.
    bool many_points = false;  ///< Read up to the second point.
    bool many_digits = false;  ///< More than 15; the value is as near as a double comes.
    std::uint8_t digits = 0;   ///< Before the point, at most 255.
    std::uint8_t decimals = 0; ///< Behind the point, at most 255.
};

/// `text` holds nothing but a sign, digits, points and blanks.
Number read_number(std::string_view text);

} // namespace turnwright::syntax

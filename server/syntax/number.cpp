#include "syntax/number.h"

#include <array>
#include <charconv>
#include <string>

namespace turnwright::syntax {
namespace {

constexpr int exact_digits = 15;

// Whole numbers below 2^53 and these powers are exact doubles, so one division rounds as from_chars would.
constexpr std::array<double, exact_digits + 1> powers_of_ten{1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                             1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};

std::uint8_t at_most_255(int count) {
    return static_cast<std::uint8_t>(count < 255 ? count : 255);
}

double read_long(std::string_view text) {
    std::string digits;
    bool point = false;
    for (const char c : text) {
        if (c == '.' && point) break;
        if (c == '.') point = true;
        if (c == '.' || (c >= '0' && c <= '9')) digits += c;
    }
    double value = 0;
    std::from_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed);
    return value;
}

} // namespace

Number read_number(std::string_view text) {
    Number number;
    std::uint64_t mantissa = 0;
    int digits = 0;
    int decimals = 0;
    for (const char c : text) {
        if (c >= '0' && c <= '9') {
            if (digits + decimals < exact_digits)
                mantissa = mantissa * 10 + static_cast<std::uint64_t>(c - '0');
            ++(number.has_point ? decimals : digits);
        } else if (c == '.') {
            if (number.has_point) {
                number.many_points = true;
                break;
            }
            number.has_point = true;
        } else if (c == '-' || c == '+') {
            number.has_sign = true;
            number.is_negative = c == '-';
        }
    }
    number.digits = at_most_255(digits);
    number.decimals = at_most_255(decimals);
    number.no_digits = digits + decimals == 0;
    number.many_digits = digits + decimals > exact_digits;
    number.value = number.many_digits
                       ? read_long(text)
                       : static_cast<double>(mantissa) / powers_of_ten[static_cast<std::size_t>(decimals)];
    if (number.is_negative) number.value = -number.value;
    return number;
}

} // namespace turnwright::syntax

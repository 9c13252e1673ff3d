#include "checks/slips.h"
#include "checks/checks.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>

namespace turnwright::checks {

namespace {

std::string without_noughts(std::string text) {
    text.erase(std::remove(text.begin(), text.end(), '.'), text.end());
    text.erase(0, text.find_first_not_of('0'));
    text.erase(text.find_last_not_of('0') + 1);
    return text;
}

/// One character taken out of the longer one makes the shorter.
bool lacks_one_of(const std::string& shorter, const std::string& longer) {
    if (shorter.size() + 1 != longer.size()) return false;
    const auto [in_short, in_long] = std::mismatch(shorter.begin(), shorter.end(), longer.begin());
    return *in_long != '.' && std::equal(in_short, shorter.end(), in_long + 1);
}

} // namespace

Slip slip_between(double number, double meant) {
    return slip_between(written(std::abs(number)), written(std::abs(meant)));
}

Slip slip_between(const std::string& number, const std::string& meant) {
    std::string one = number;
    const std::string& other = meant;
    if (one == other) return Slip::none;
    if (without_noughts(one) == without_noughts(other)) return Slip::point_moved;
    if (lacks_one_of(one, other)) return Slip::digit_lost;
    if (lacks_one_of(other, one)) return Slip::digit_added;
    if (one.size() != other.size()) return Slip::none;
    const auto [from, in_other] = std::mismatch(one.begin(), one.end(), other.begin());
    if (*from == '.' || *in_other == '.') return Slip::none;
    if (std::equal(from + 1, one.end(), in_other + 1)) return Slip::other_digit;
    auto next = from + 1;
    if (next != one.end() && *next == '.') ++next;
    if (next == one.end() || *next == '.') return Slip::none;
    std::iter_swap(from, next);
    return one == other ? Slip::digits_swapped : Slip::none;
}

std::vector<double> slips_of(double number) {
    std::vector<double> found;
    const std::string text = written(std::abs(number));
    const auto take = [&](const std::string& meant) {
        char* end = nullptr;
        const double value = std::strtod(meant.c_str(), &end);
        if (*end == '\0' && meant != text) found.push_back(value);
    };
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '.') continue;
        const std::size_t next = i + 1 < text.size() && text[i + 1] == '.' ? i + 2 : i + 1;
        std::string other = text;
        if (next < text.size()) {
            std::swap(other[i], other[next]);
            take(other);
        }
        for (char digit = '0'; digit <= '9'; ++digit) {
            other = text;
            other[i] = digit;
            take(other);
            other = text;
            take(other.insert(i, 1, digit)); // One is lost
        }
    }
    found.push_back(std::abs(number) * 10);
    found.push_back(std::abs(number) / 10);
    return found;
}

} // namespace turnwright::checks

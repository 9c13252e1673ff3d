// Inside the checks room: numbers that one slip of a hand makes of each other.
#pragma once

#include <string>
#include <vector>

namespace turnwright::checks {

enum class Slip { none, digits_swapped, point_moved, digit_lost, digit_added, other_digit };
/// What makes the one number of the other, as they are written; signs are left aside.
Slip slip_between(double written, double meant);
/// The same of numbers that stand as text, without their signs.
Slip slip_between(const std::string& written, const std::string& meant);

/// What else a hand may have meant, without the sign: two digits beside each other swapped, one lost or
/// another one, the point a place off.
std::vector<double> slips_of(double written);

} // namespace turnwright::checks

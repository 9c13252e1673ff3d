// Ways of live tools on a plane that C makes: of X and C on the face, or of Z and C on the unrolled cylinder.
//
// Lengths are program units. A point is a complex number in the order of the plane's axes, so that G03 turns
// left: X and C on the face; on the cylinder Z and C, or C and Z where G19 is in force.
#pragma once

#include "checks/rule.h"

#include <complex>

namespace turnwright::checks {

using Flat = std::complex<double>;

/// a x b: above 0 where b lies to the left of a.
inline double cross(Flat a, Flat b) {
    return a.real() * b.imag() - a.imag() * b.real();
}

struct FlatLeg {
    BlockPlace place;
    bool from_known = false, to_known = false;
    bool feeds = false, is_arc = false, clockwise = false, moves_across = false; ///< Across: out of the plane
    bool by_centre = false, full_circle = false;
    Flat from, to;
    std::optional<Flat> centre;       ///< Of an arc that can be
    std::optional<double> too_small;  ///< R, where half the way is more
    double apart = 0;                 ///< Of end and start from the centre that I and J give
    double radius = 0;                ///< Of an arc that can be
    std::optional<motion::Side> side; ///< nullopt: not known
    bool known() const { return from_known && to_known; }
    bool is_line() const { return feeds && !is_arc && known() && std::abs(to - from) > 1e-6; }
    /// Which way it goes at its begin (0) or end (1).
    Flat direction(int at) const;
};

/// From the code that makes the plane to the one that ends it, as far as it stands in one row.
struct FlatWay {
    bool polar = true;
    double mm = 1; ///< Of a program unit
    std::vector<FlatLeg> legs;
};
/// Of a file that a hand writes; empty where no C is laid out.
std::vector<FlatWay> flat_ways(const FileContext& context);

} // namespace turnwright::checks

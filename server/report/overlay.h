// Inside the report room: two programs over each other, and what material one leaves that the other takes
// off.
#pragma once

#include "report/picture.h"
#include "stock/stock.h"

namespace turnwright::report {

/// What is left of the same stock, as areas of the half-plane.
struct Overlay {
    stock::Region only_old, only_new, both;
    PictureParts parts;               ///< Of the new program, in that stock
    std::string why_not;              ///< Why it is not known; empty: it is
    std::vector<std::string> remarks; ///< What the comparison rests on
};
Overlay overlay_of(const features::Document& before, const Picture& old_picture,
                   const features::Document& after, const Picture& new_picture);

/// Narrower than this, mm, material does not differ: curves are followed in chords.
inline constexpr double least_difference_mm = 2 * stock::arc_tolerance_mm;

} // namespace turnwright::report

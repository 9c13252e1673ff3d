// What of a tool and of the turret that holds it is there for certain, in the plane of the part.
#pragma once

#include "stock/stock.h"

namespace turnwright::stock {

struct SolidPart {
    enum class What : std::uint8_t { edge, holder, beside, turret } what = What::edge;
    int station = 0;            ///< Of a tool beside
    std::vector<Point> outline; ///< From the programmed point of the tool that works
    Box box;
};
/// Of a tool in work; tools beside it only where they stand in a row: on a disc they stand in other planes.
/// Empty: its kind or sizes are not told. `path`: 1 or 2.
std::vector<SolidPart> solid_parts(const shop::Machine& machine, const shop::Shop& shop,
                                   const shop::Tool& working, int path);
/// How deep two outlines are in each other, as moved; 0: they touch at most.
double depth_mm(const SolidPart& one, Point one_at, const SolidPart& other, Point other_at);
/// Between their nearest points; 0 where they meet.
double between_mm(const SolidPart& one, Point one_at, const SolidPart& other, Point other_at);

} // namespace turnwright::stock

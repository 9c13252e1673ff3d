// The outline of a tool out of a drawing: the first path of an SVG file.
#pragma once

#include "shop/shop.h"

namespace turnwright::shop {

/// A drawing larger than this is not read.
inline constexpr std::size_t largest_drawing = 1 << 20;
/// Points that an outline may have; curves are cut into chords.
inline constexpr std::size_t most_drawn_points = 400;
/// How far a chord may leave its curve.
inline constexpr double drawn_tolerance_mm = 0.05;

/// The first path of an SVG text as an outline: its origin is the tool's programmed point, right is +Z, up is
/// +X. `mm_per_unit`: of a drawing that does not say how large it is. Empty with `wrong` set where it cannot
/// be used.
std::vector<OutlinePoint> outline_of_svg(std::string_view svg, double mm_per_unit, std::string& wrong);

/// The same of a file named in the shop file: beside it, or in a folder under its folder, also by way of
/// links.
std::vector<OutlinePoint> outline_in(const std::filesystem::path& shop_file, std::string_view name,
                                     double mm_per_unit, std::string& wrong);

} // namespace turnwright::shop

// Inside the report room: what drawings in SVG are put together from.
#pragma once

#include "report/picture.h"

namespace turnwright::report {

std::string line_element(std::string_view css, double x1, double y1, double x2, double y2);
std::string text_element(std::string_view css, double x, double y, std::string_view text);
std::string shape_element(std::string_view css, std::string_view title,
                          std::string_view data); ///< Empty without data

/// Lines and numbers of both axes, in the program's unit.
std::string grid_of(const Frame& frame, LengthUnit unit, bool diameter);
/// Centreline, and Z0.
std::string axis_of(const Frame& frame);
/// What is drawn inside of it is cut off at the frame's edge: clip-path "url(#frame)".
std::string clip_of(const Frame& frame);
std::string border_of(const Frame& frame);

extern const std::string_view drawing_style;

} // namespace turnwright::report

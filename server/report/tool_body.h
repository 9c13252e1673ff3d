// Inside the report room: a whole tool as outlines to draw, what is told of it and what is assumed by its
// kind.
#pragma once

#include "stock/stock.h"

#include <string>
#include <vector>

namespace turnwright::report {

/// From the tool's programmed point, mm, X as radius.
struct BodyPart {
    enum class Role : std::uint8_t {
        edge,
        holder,
        lines
    } role = Role::edge; ///< `lines`: open, such as flutes
    bool assumed = false;
    std::vector<motion::Point> points;
};
struct ToolBody {
    std::vector<BodyPart> parts; ///< Holder first; empty: of a kind that has no plain shape
    std::string assumed;         ///< "shank 20 mm, insert 12 mm long"; empty: all is told
};
/// `stock_radius_mm`: how large the work is, which tells how large plain tools are; 0: not known.
/// `bore_radius_mm`: the hole that a bar begins in; 0: not known.
ToolBody tool_body(const shop::Tool* tool, double stock_radius_mm, double bore_radius_mm, double mm_per_unit);

} // namespace turnwright::report

// Tools and stock as notes describe them, in the terms of the shop file: assumed data, with the words that
// they rest on. What a note does not say for certain is left out; a number alone tells nothing.
#pragma once

#include "checks/named_tool.h"
#include "shop/shop.h"

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace turnwright::checks {

/// Which corner of a blade is set: the one toward the chuck is the left one.
enum class BladeCorner : std::uint8_t { unknown, left, right };
std::string_view corner_words(BladeCorner corner); ///< "left corner set"; empty where it is unknown

struct NotedTool {
    shop::Tool tool; ///< Without station and note
    BladeCorner corner = BladeCorner::unknown;
    bool is_empty() const;
};
/// `mm_per_unit` of the program, where it is known: a size that says no unit is left out without it, unless
/// only one of the two units makes sense of it.
/// Of a note that lists several stations only what stands up to the next one counts.
NotedTool tool_by_note(std::string_view note, std::optional<double> mm_per_unit, int station = 0);

struct NotedStock {
    std::optional<double> diameter_mm, length_mm;
    std::optional<double> bore_mm; ///< Of a tube
    std::string material;          ///< As written
    bool is_empty() const { return !diameter_mm && !length_mm && material.empty(); }
};
NotedStock stock_by_note(std::string_view note, std::optional<double> mm_per_unit);

/// In the shop file's terms; a thread is one outside.
shop::ToolKind tool_kind_of(NamedTool::Kind kind);

/// Diameter of a drill that goes by a number ("7", "#7") or a letter ("F"), in mm.
std::optional<double> numbered_drill_mm(std::string_view name);

} // namespace turnwright::checks

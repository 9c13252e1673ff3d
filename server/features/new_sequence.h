// What a new sequence stands on: the stock that is left where it is written, a tool and a number that are
// free.
#pragma once

#include "checks/named_tool.h"
#include "features/typing.h"

#include <set>

namespace turnwright::features {

/// The stock at a place, in mm on radius. Where nothing is known of it, it is assumed from the largest
/// diameter that the program works at, else a bar of a middle size with a hole.
struct Ground {
    bool known = false;
    double outside_mm = 0, bore_mm = 0; ///< bore 0: solid, at the front
    double front_mm = 0, back_mm = 0;   ///< How far to the chuck a tool may come
    stock::RegionPointer region;        ///< nullptr when assumed
    /// The largest radius between two places along Z.
    double outside_between(double z_from, double z_to) const;
};
Ground ground_at(const Typing& typing);

/// A cylinder that the program cuts above the cursor: what a groove goes into.
struct Cylinder {
    double radius_mm, z_right_mm, z_left_mm;
};
std::optional<Cylinder> last_cylinder(const Typing& typing);

struct FreeTool {
    int station = 1;
    const shop::Tool* tool = nullptr; ///< In the shop file
};
/// Tools that notes at the head name, station by station.
std::vector<std::pair<std::int32_t, std::string>> tools_at_head(const Document& document);
/// What the sequences of a file have taken; they are gone through once for all that is offered.
struct Taken {
    std::vector<std::pair<std::int32_t, std::string>> at_head;
    std::set<int> called; ///< Stations
    int next_number = 1;  ///< One past the largest number of a sequence
    bool by_tool = false; ///< Most sequences carry their tool's number
};
Taken taken_in(const Document& document);
/// Tools named in the head come first, then the shop file's, those not called yet before others; else the
/// first station that nothing names. `word`: one that a note should hold ("FINISH").
FreeTool free_tool(const Document& document, const Taken& taken, checks::NamedTool::Kind kind,
                   std::string_view word);
/// The station where that is free, else N105 for T05 where numbers are the tools', else one past the largest
/// number of a sequence.
int free_number(const Document& document, const Taken& taken, int station);
/// Two numbers for a contour that no block has.
std::pair<int, int> free_contour(const Document& document);

/// As the shop file or the stock tells it, else as a note at the head says; empty when nothing does.
std::string material_to_start_with(const Document& document, BlockPlace place);
/// P, M, K, N, S or H; P where nothing is told, 0 of a name that is not known here.
char material_group(const std::string& material);
/// Usual surface speed of a coated carbide edge, from the material's group; common practice, no source.
double surface_m_per_min(const Document& document, BlockPlace place);

} // namespace turnwright::features

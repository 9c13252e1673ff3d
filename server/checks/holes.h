// Holes of drilling cycles, tool by tool: where each is, from where and how deep.
#pragma once

#include "checks/acts.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace turnwright::checks {

/// Lengths in program units, X as radius; not_known where they are. Of a block that drills several (K) the
/// first.
struct Hole {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    bool side = false;             ///< Along X, else along Z
    float start = not_known;       ///< Along the hole: where the tool stands
    float level = not_known;       ///< To here by rapid
    float least_level = not_known; ///< The reading of R that goes less far, where nothing tells which it is
    float bottom = not_known;
    float place = not_known; ///< X of a hole in the face, Z of one in the side
    float c = not_known, y = not_known;
    std::uint32_t turn = 0; ///< Another one behind each block that turns the part
    double count = 1;       ///< K
};
/// Of one program, in order. `level` is known in system A only where R is told as a distance: by a note, or
/// by another cycle of the program that has R towards its hole.
std::vector<Hole> holes_of(std::span<const ToolOfSpan> program, const machine::Settings& settings);

/// The smallest X, on radius, that earlier feeds of the program have gone to at this Z, in the datum and the
/// clamping of `before`: what stands outside of it is gone. `turned`: by tools of the turning part alone, so
/// that it is gone all round. not_known: no feed went there.
float cleared_at(std::span<const ToolOfSpan> program, const Act* before, float z, bool turned);

/// The lowest Z to which earlier feeds of tools of the turning part have taken the metal off at this X, on
/// radius, the part lying below Z0: along it, or outside of what is nearer to the axis. not_known: none has,
/// or the part lies otherwise.
float cleared_along(std::span<const ToolOfSpan> program, const Act* before, float x);

} // namespace turnwright::checks

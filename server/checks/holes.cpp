#include "checks/holes.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks {

using codes::Meaning;
using codes::System;
using machine::MotionKind;

namespace {

bool goes_into_side(Meaning meaning) {
    return meaning == Meaning::drill_side || meaning == Meaning::tap_side || meaning == Meaning::bore_side;
}

struct Cycle {
    Meaning meaning = Meaning::drill_cycle_off;
    float r = not_known; ///< As written; on radius for system A
    bool has_r = false;
    bool r_is_distance = false;
};

float level_of(const Cycle& cycle, const Hole& hole, const Act& act, const machine::Settings& settings) {
    if (!cycle.has_r) return hole.start;
    if (!known(cycle.r) || !known(hole.start)) return not_known;
    if (settings.system == System::A) return hole.start + cycle.r;
    if (cycle.r_is_distance) return hole.start + cycle.r;
    const bool halved = hole.side && settings.machine.x == shop::XReading::diameter;
    const float r = halved ? cycle.r / 2 : cycle.r;
    return act.incremental ? hole.start + r : r;
}

/// R of system A is a distance, or it is the level itself on lathes set so: known by one that goes towards
/// its hole and would lie in the part or behind the start as a level.
bool is_told_as_distance(const std::vector<Hole>& holes) {
    for (const Hole& hole : holes) {
        if (!known(hole.level) || !known(hole.bottom) || hole.level == hole.start) continue;
        const float r = hole.level - hole.start, way = hole.bottom - hole.start;
        const bool towards = r * way > 0 && std::abs(r) < std::abs(way);
        // As a level it would stand no nearer to the hole than the start, or at its bottom.
        const bool level_is_odd = (r - hole.start) * way < 0 || std::abs(r - hole.start) > std::abs(way);
        if (towards && (level_is_odd || r * hole.start < 0)) return true;
    }
    return false;
}

/// In systems B and C R is the level, or on lathes set so the distance from where the tool stands: that where
/// all of them are below nought, since as levels they would lie in the metal.
bool r_goes_by_distance(std::span<const ToolOfSpan> program) {
    bool any = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::drill_cycle) continue;
            for (const ActWord& word : tool.work->words_of(act)) {
                if (word.letter != 'R' || word.number == 0) continue;
                if (word.number > 0) return false;
                any = true;
            }
        }
    return any;
}

} // namespace

float cleared_at(std::span<const ToolOfSpan> program, const Act* before, float z, bool turned) {
    float cleared = not_known;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (&act == before) return cleared;
            if (act.states(codes::Group::datum) || tool.work->has_code(act, 'M', 0)) cleared = not_known;
            const bool contour = act.in_contour && act.moves();
            if (!act.cuts() && !act.threads() && !contour) continue;
            if (turned && (act.spindle == machine::Spindle::live || act.part_stands)) continue;
            const float low = std::min(act.from_z, act.to_z), high = std::max(act.from_z, act.to_z);
            if (!known(act.from_x) || !known(act.to_x) || !known(low) || z < low || z > high) continue;
            const float x = std::min(act.from_x, act.to_x);
            if (!known(cleared) || x < cleared) cleared = x;
        }
    return cleared;
}

float cleared_along(std::span<const ToolOfSpan> program, const Act* before, float x) {
    float cleared = not_known, front = not_known;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (&act == before) return known(front) && front < 2 ? cleared : not_known;
            if (act.states(codes::Group::datum) || tool.work->has_code(act, 'M', 0))
                cleared = front = not_known;
            const bool contour = act.in_contour && act.moves();
            if ((!act.cuts() && !act.threads() && !contour) || act.incremental) continue;
            if (act.spindle == machine::Spindle::live || act.part_stands) continue;
            if (!known(act.from_x) || !known(act.to_x) || !known(act.from_z) || !known(act.to_z)) continue;
            front = std::max(front, act.to_z);
            const auto [inner, outer] = std::minmax(act.from_x, act.to_x);
            // A drill or a bar in a bore takes off nothing outside of itself.
            const bool inside = (outer == 0 || tool.is(NamedTool::Kind::bore)) && outer < x;
            if (inner > x || inside) continue;
            const float z = std::min(act.from_z, act.to_z);
            if (!known(cleared) || z < cleared) cleared = z;
        }
    return cleared;
}

std::vector<Hole> holes_of(std::span<const ToolOfSpan> program, const machine::Settings& settings) {
    std::vector<Hole> holes;
    std::uint32_t turn = 0;
    const bool by_distance = r_goes_by_distance(program);
    for (const ToolOfSpan& tool : program) {
        Cycle cycle;
        for (const Act& act : tool.work->acts) {
            if (act.turns_part || tool.work->word(act, 'C') || tool.work->word(act, 'H')) ++turn;
            if (act.motion != MotionKind::drill_cycle) {
                if (act.motion != MotionKind::none || act.calls_tool) cycle = {};
                continue;
            }
            if (cycle.meaning != act.meaning) cycle = {act.meaning, not_known, false, by_distance};
            for (const ActWord& word : tool.work->words_of(act))
                if (word.letter == 'R') {
                    cycle.has_r = true;
                    cycle.r = static_cast<float>(word.number);
                }
            if (act.deleted || act.in_contour) continue;
            Hole hole;
            hole.tool = &tool;
            hole.act = &act;
            hole.side = goes_into_side(act.meaning);
            hole.start = hole.side ? act.from_x : act.from_z;
            hole.bottom = hole.side ? act.to_x : act.to_z;
            hole.place = hole.side ? act.to_z : act.to_x;
            hole.level = level_of(cycle, hole, act, settings);
            hole.c = act.to_c;
            hole.y = act.to_y;
            hole.turn = turn;
            if (const ActWord* count = tool.work->word(act, 'K')) hole.count = count->number;
            holes.push_back(hole);
        }
    }
    if (settings.system == System::A && !is_told_as_distance(holes))
        for (Hole& hole : holes)
            if (hole.level != hole.start) {
                if (known(hole.level) && known(hole.start) && known(hole.bottom)) {
                    // On radius; read as the level itself X is a diameter
                    const float r = hole.level - hole.start;
                    const bool halved = hole.side && settings.machine.x == shop::XReading::diameter;
                    const float as_level = halved ? r / 2 : r;
                    hole.least_level = hole.bottom < hole.start ? std::max(hole.level, as_level)
                                                                : std::min(hole.level, as_level);
                }
                hole.level = not_known;
            }
    return holes;
}

} // namespace turnwright::checks

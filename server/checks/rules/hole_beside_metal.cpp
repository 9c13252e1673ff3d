// A drilling cycle that goes away from the part, ends in front of it, in the far wall or far behind it.
//
// The limits: common practice, no source.
#include "checks/head_stock.h"
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::hole_beside_metal {

namespace {

using machine::Spindle;

/// Two tools that drill from both sides meet a little behind the centre; what comes out on the other side
/// does so with its point.
constexpr double least_share_behind = 0.25, most_share_behind = 0.9;
/// So far past the centre a hole into a bore may end.
constexpr double most_share_in_bore = 0.5;
constexpr double times_as_deep = 3, beyond_mm = 10;

/// What cuts of tools in a turning part tell of the metal, in the datum of the hole and in front of it.
struct Turned {
    float front = not_known;   ///< The highest Z that a cut has gone to
    float low = not_known;     ///< The lowest that one in a turning part has
    float deepest = not_known; ///< The lowest Z of any tool of the program
    float outside = not_known; ///< At the Z of the hole, on radius; of tools that differ the largest
    bool has_bore = false;     ///< A tool on the centre has gone past that Z
    bool stands = false;       ///< The program is read as a whole
};

Turned turned(std::span<const ToolOfSpan> program, const Hole& hole) {
    Turned found;
    bool before = true;
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) return {};
        float smallest = not_known;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program) return {};
            if (&act == hole.act) before = false;
            if (before && act.states(Group::datum)) found = {}, smallest = not_known;
            if (&act == hole.act) continue;
            const bool cuts = act.cuts() || act.threads() || (act.in_contour && act.moves());
            if (cuts && act.incremental) return {};
            if (!cuts || !known(act.to_z)) continue;
            if (!known(found.deepest) || act.to_z < found.deepest) found.deepest = act.to_z;
            if (!before || act.spindle == Spindle::live || act.part_stands || act.drills()) continue;
            // What ends farther out tells nothing of the face that the hole begins in.
            const bool reaches =
                hole.side || std::min(known(act.from_x) ? act.from_x : 0, known(act.to_x) ? act.to_x : 0) <=
                                 std::abs(hole.place);
            if (reaches && (!known(found.front) || act.to_z > found.front)) found.front = act.to_z;
            if (!known(found.low) || act.to_z < found.low) found.low = act.to_z;
            if (!hole.side || !known(act.from_z) || !known(act.from_x) || !known(act.to_x)) continue;
            const auto [low, high] = std::minmax(act.from_z, act.to_z);
            if (hole.place < low || hole.place > high) continue;
            if (act.from_x == 0 && act.to_x == 0) continue;
            const float x = std::min(act.from_x, act.to_x);
            if (!known(smallest) || x < smallest) smallest = x;
        }
        for (const Act& act : tool.work->acts)
            if (before && act.cuts() && act.from_x == 0 && known(act.to_z) && act.to_z < hole.place)
                found.has_bore = true;
        if (known(smallest) && (!known(found.outside) || smallest > found.outside)) found.outside = smallest;
    }
    found.stands = true;
    return found;
}

/// R goes toward the part by whatever it may mean, and the hole the other way.
bool goes_other_way(const Hole& hole, const machine::Settings& settings) {
    const ActWord* r = hole.tool->work->word(*hole.act, 'R');
    if (!r || r->number == 0 || hole.act->incremental) return false;
    const float way = hole.bottom - hole.start;
    const bool halved = hole.side && settings.machine.x == shop::XReading::diameter;
    const double level = halved ? r->number / 2 : r->number;
    const bool level_other = (level - hole.start) * way < 0;
    const bool is_distance = settings.system == codes::System::A || r->number < 0;
    return level_other && (!is_distance || r->number * way < 0);
}

std::string spoken_end(const Hole& hole, float value, const machine::Settings& settings) {
    return hole.side ? spoken_x(value, settings) : fmt::format("Z{}", written(value));
}

struct Looker {
    const FileContext& context;
    std::span<const ToolOfSpan> program;
    std::optional<double> of_file;
    Report& report;

    Report::Entry at(const Hole& hole) const {
        return report.at_letter(hole.tool->place(*hole.act), hole.side ? 'X' : 'Z');
    }

    /// The part lies at Z below 0: on a second side it may lie above.
    static bool lies_below(const Turned& metal, double mm) {
        constexpr double hardly_mm = 1;
        return known(metal.front) && metal.front * mm < hardly_mm && metal.low * mm < -hardly_mm;
    }

    /// Another tool ends in front of the centre in the same hole, or another hole at this X without the
    /// minus.
    static bool is_meant_in_front(const std::vector<Hole>& holes, const Hole& hole) {
        return std::any_of(holes.begin(), holes.end(), [&](const Hole& other) {
            if (!other.side || !known(other.bottom) || &other == &hole) return false;
            const bool same_hole = other.tool != hole.tool && other.place == hole.place && other.bottom > 0;
            return same_hole || other.bottom == -hole.bottom;
        });
    }

    bool tell_side(const std::vector<Hole>& holes, const Hole& hole, const Turned& metal, double mm) const {
        if (lies_below(metal, mm) && hole.place > metal.front && hole.place * mm > 1) {
            report.at(hole.tool->place(*hole.act))
                .message(
                    said("The hole is drilled at Z{}, in front of the face at Z{}: there is no metal. Is "
                         "the minus of Z lost, here or in the approach?",
                         written(hole.place), written(metal.front)));
            return true;
        }
        if (!known(metal.outside) || metal.outside <= 0 || hole.start <= metal.outside) return false;
        const machine::Settings& settings = context.settings();
        if (hole.bottom >= metal.outside) {
            at(hole).message(
                said("The hole ends at {} and the metal begins at {} here: nothing is drilled. Is a digit or "
                     "the point of X wrong?",
                     spoken_x(hole.bottom, settings), spoken_x(metal.outside, settings)));
            return true;
        }
        const double behind = -hole.bottom;
        if (behind > 2 * metal.outside && (behind - metal.outside) * mm > beyond_mm) {
            at(hole).message(
                said("The hole ends at {}, far out on the other side, where the metal ends at {}: the tool "
                     "goes through the part to its shank. Is a digit or the point of X wrong?",
                     spoken_x(hole.bottom, settings), spoken_x(-metal.outside, settings)));
            return true;
        }
        if (behind < least_share_behind * metal.outside || behind > most_share_behind * metal.outside ||
            (metal.has_bore && behind < most_share_in_bore * metal.outside) ||
            !is_meant_in_front(holes, hole))
            return false;
        at(hole).message(said(
            "The hole goes across the centre and ends at {}, in the far wall, whose outside is {}: it is "
            "drilled by {} too deep, if {} is meant. Is the minus one too much?",
            spoken_x(hole.bottom, settings), spoken_x(-metal.outside, settings),
            spoken(std::round(2 * behind * 1e4) / 1e4), spoken_x(-hole.bottom, settings)));
        return true;
    }

    /// On the other side of the axis, where all others of the face are on this one.
    bool tell_across(const std::vector<Hole>& holes, const Hole& hole, double mm) const {
        constexpr double least_mm = 3;
        if (hole.side || hole.place >= 0 || -hole.place * mm < least_mm || known(hole.y)) return false;
        bool same_without = hole.act->from_x == -hole.place;
        for (const Hole& other : holes) {
            if (&other == &hole || other.side || !known(other.place)) continue;
            if (other.place < 0 && other.tool != hole.tool) return false;
            same_without = same_without || other.place == -hole.place;
        }
        if (!same_without) return false;
        report.at_letter(hole.tool->place(*hole.act), 'X')
            .message(
                said("The hole comes at {}, on the other side of the axis, and elsewhere {} is drilled: the "
                     "tool goes across the part, and the hole lies half a turn off. Is the minus one too "
                     "much?",
                     spoken_x(hole.place, context.settings()), spoken_x(-hole.place, context.settings())));
        return true;
    }

    bool tell_face(const Hole& hole, const Turned& metal, double mm) const {
        if (!lies_below(metal, mm) || hole.start <= metal.front || hole.bottom < metal.front) return false;
        at(hole).message(said(
            "The hole ends at Z{}, in front of the face at Z{}: nothing is drilled. Is the minus of Z lost?",
            written(hole.bottom), written(metal.front)));
        return true;
    }

    bool tell_deep(const Hole& hole, const Turned& metal, double mm) const {
        if (hole.side || hole.bottom >= 0 || !known(metal.deepest) || metal.deepest >= 0) return false;
        const machine::ProgramPart& part = *hole.tool->span->program;
        const auto length = head_stock(context.reader(), part.first, part, mm).stock.length_mm;
        const double depth = -hole.bottom, deepest = -metal.deepest;
        const bool through_stock = length && depth * mm > *length + beyond_mm && depth > 1.5 * deepest;
        if (!through_stock && (depth < times_as_deep * deepest || (depth - deepest) * mm < beyond_mm))
            return false;
        at(hole).message(
            said("The hole ends at Z{}, and nothing else of the program goes deeper than Z{}: the tool goes "
                 "into the jaws or to its shank into the part. Is a digit or the point of Z wrong?",
                 written(hole.bottom), written(metal.deepest)));
        return true;
    }

    void look() const {
        const std::vector<Hole> holes = holes_of(program, context.settings());
        const ToolOfSpan* told = nullptr;
        for (const Hole& hole : holes) {
            const Act& act = *hole.act;
            const bool gives_end = hole.side ? act.moves_x : act.moves_z;
            if (hole.tool == told || (!gives_end && !hole.side) || !known(hole.bottom) ||
                !known(hole.start) || !known(hole.place) || hole.bottom == hole.start ||
                (!hole.side && hole.place == 0))
                continue;
            if (goes_other_way(hole, context.settings())) {
                told = hole.tool;
                at(hole).message(
                    said("R goes toward the part and the hole the other way, from {} to {}: nothing is "
                         "drilled. Is the sign, a digit or the point of {} wrong?",
                         spoken_end(hole, hole.start, context.settings()),
                         spoken_end(hole, hole.bottom, context.settings()), hole.side ? 'X' : 'Z'));
                continue;
            }
            const std::optional<double> mm = mm_of(act, of_file);
            const Turned metal = turned(program, hole);
            if (!mm || !metal.stands) continue;
            if (act.moves_x && tell_across(holes, hole, *mm)) {
                told = hole.tool;
                continue;
            }
            const bool tells = hole.side ? tell_side(holes, hole, metal, *mm)
                                         : tell_face(hole, metal, *mm) || tell_deep(hole, metal, *mm);
            if (tells) told = hole.tool;
        }
    }
};

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const std::optional<double> of_file = unit_of_file(context, tools);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        Looker{context, program, of_file, report}.look();
    });
}

} // namespace

extern const Check check{
    .id = "hole_beside_metal",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Drilled hole does not fit the metal",
    .documentation =
        "A drilling cycle beside the centreline, or in the side, goes away from the part while its R goes "
        "toward it; ends in front of the face or outside of what is turned, so that nothing is drilled; goes "
        "across the centre and ends in the far wall; or goes far deeper than anything else of the program "
        "does, or than the stock of the head's note is long. A sign, a digit or the point of its end is "
        "wrong, as a rule. What stands is taken from the program's own cuts; where there is a bore, where "
        "distances or called programs stand in the way, or where it is not turned, nothing is said.",
    .file = file,
    .examples =
        {
            // A bar that nothing faces.
            {System::A, R"(
G21 G99
T0101
G97 S1500 M03
G00 X40. Z2.
G01 Z-15. F.15
X42.
G00 X100. Z100. M05
T0707
G98
G97 S2500 M103
G00 X25. Z3.
G83 Z-10. C0 F150.
C90.
C180.
G80
G00 X100. Z100. M105
M30
)"},
            {System::A, R"(
G21 G98 G97
T0606
S1400 M03
G00 X60. Z-20.
G87 X118. R-2. Q3000 F160
;   ^^^^^ warning: hole_beside_metal
G80
G00 X80.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X52. Z2.
G01 X44. F.2
Z-40. F.2
G00 X80. Z20.
T0606
G94 G97 S1400 M63
G00 Z-20. C0
X50.
G87 X-22. R46. Q3000 F160
;   ^^^^ warning: hole_beside_metal
G80
G00 X80.
T0808
S400 M63
G00 Z-20. C0
X50.
G88 X26. R46. F400
G80
G00 X80.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S900 M03
G00 X2.6 Z0
G01 X-.06 F.008
G00 X2. Z.1
G01 Z-1.2 F.01
G00 X3. Z1.
T0606
G94 G97 S1400 M63
G00 Z.2 C0
X1.2
G83 Z.6 Q500 F6.
;   ^^^ warning: hole_beside_metal
G80
G00 Z1.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X2.6 Z0
G01 X-.06 F.008
G00 X2. Z.1
G01 Z-1.2 F.01
G00 X3. Z1.
T0606
G98 G97 S1400 M63
G00 Z.2 C0
X1.2
G83 Z-6. R-.1 Q5000 F6.
;   ^^^^ warning: hole_beside_metal
G80
G00 Z1.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X44. Z2.
G01 Z-40. F.2
G00 X80. Z20.
T0606
G98 G97 S1400 M63
G00 Z-20. C0
X50.
G87 X46. R-2. Q3000 F160
;   ^^^^ warning: hole_beside_metal
G80
G00 X80.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0606
S1400 M63
G00 Z5. C0
X90.
G83 X-90. Z-25. R-3. Q4000 F120
;   ^^^^^ warning: hole_beside_metal
C120.
G80
G00 Z20.
M30
)"},
            // Right through, and from both sides a little past the centre.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X44. Z2.
G01 Z-40. F.2
G00 X80. Z20.
T0606
G94 G97 S1400 M63
G00 Z-20. C0
X50.
G87 X-48. R46. Q3000 F160
G80
G00 X80. Z-30.
X50.
G87 X-2. R46. Q3000 F160
C180.
G80
G00 X80.
M30
)"},
            // Into a bore.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X0 Z2.
G01 Z-45. F.2
G00 Z50.
T0101
G97 S900 M03
G00 X44. Z2.
G01 Z-40. F.2
G00 X80. Z20.
T0606
G98 G97 S1400 M63
G00 Z-20. C0
X50.
G87 X-14. R-2. Q3000 F160
G80
G00 X80.
M30
)"},
            // The second side, Z plus into the part.
            {System::C, R"(
G71 G90 G95 G55
T0101
G97 S900 M03
G00 X44. Z-2.
G01 Z10. F.2
G00 X80. Z-20.
T0606
G94 G97 S1400 M63
G00 Z-2. C0
X30.
G83 Z8. Q3000 F160
G80
G00 Z-20.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::hole_beside_metal

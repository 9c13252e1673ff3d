// A drilling cycle whose R level lies deeper than anything has drilled, or behind its own bottom.
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rapid_into_undrilled_hole {

namespace {

constexpr double least_metal_mm = 0.5; ///< Tool data and leftovers differ by less

/// Deepest by other cycles at this distance from the axis (or along it), and where they begin to feed.
struct Before {
    float deepest = not_known, level = not_known;
};

std::string spoken_level(const Hole& hole, float value, const machine::Settings& settings) {
    return hole.side ? spoken_x(value, settings) : fmt::format("Z{}", written(value));
}

/// Beside the centre the metal begins nearer, and a flat that is milled by Y has taken it off.
bool is_by_y(std::span<const ToolOfSpan> program, const Hole& hole) {
    if (!known(hole.y) || hole.y == 0) return false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (&act == hole.act) return false;
            if (act.cuts() && tool.work->has_letter(act, "YV")) return true;
        }
    return false;
}

/// The nearest to the axis that a mill has gone to beside this Z: a flat, which ends its radius behind its
/// way.
float milled_beside(std::span<const ToolOfSpan> program, const Hole& hole, double mm) {
    constexpr double most_radius_mm = 25;
    const auto radius = static_cast<float>(most_radius_mm / mm);
    float milled = not_known;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (&act == hole.act) return milled;
            if (act.motion != MotionKind::feed || !act.cuts() || !known(act.to_x) || !known(act.to_z))
                continue;
            if (!act.part_stands && act.spindle != machine::Spindle::live) continue;
            const float from = known(act.from_z) ? act.from_z : act.to_z;
            if (hole.place < std::min(from, act.to_z) - radius ||
                hole.place > std::max(from, act.to_z) + radius)
                continue;
            if (!known(milled) || act.to_x < milled) milled = act.to_x;
        }
    return milled;
}

/// No other tool has drilled at this place.
bool first_there(const std::vector<Hole>& holes, std::size_t i) {
    return std::none_of(
        holes.begin(), holes.begin() + static_cast<std::ptrdiff_t>(i), [&](const Hole& other) {
            return other.side == holes[i].side && (other.place == holes[i].place || !known(other.place));
        });
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, std::optional<double> of_file,
             Report& report) {
    const std::vector<Hole> holes = holes_of(program, context.settings());
    const ToolOfSpan* told = nullptr;
    for (std::size_t i = 0; i < holes.size(); ++i) {
        const Hole& hole = holes[i];
        if (hole.tool == told || !known(hole.bottom) || !known(hole.start)) continue;
        if (known(hole.least_level) && (hole.least_level - hole.bottom) * (hole.bottom - hole.start) > 0 &&
            std::abs(hole.least_level - hole.bottom) > 0.05F * std::abs(hole.bottom - hole.start)) {
            told = hole.tool;
            report.at_letter(hole.tool->place(*hole.act), 'R')
                .message(said(
                    "As a distance from where the tool stands and as a place, the rapid of this R goes to "
                    "{} at least, and the hole ends at {}: the tool is driven into the metal at full "
                    "rate. Is the point or a digit of R wrong?",
                    spoken_level(hole, hole.least_level, context.settings()),
                    spoken_level(hole, hole.bottom, context.settings())));
            continue;
        }
        if (!hole.side && hole.place > 0 && hole.bottom < hole.start && first_there(holes, i)) {
            // By whichever reading of R goes less far.
            const float r_level = known(hole.level) ? hole.level : hole.least_level;
            const float level = known(r_level) ? std::min(r_level, hole.start) : hole.start;
            const float metal = cleared_along(program, hole.act, hole.place);
            const std::optional<double> mm = mm_of(*hole.act, of_file);
            if (known(level) && known(metal) && mm && (metal - level) * *mm > least_metal_mm) {
                told = hole.tool;
                report.at_letter(hole.tool->place(*hole.act), level == hole.start ? 'Z' : 'R')
                    .message(
                        said("The rapid goes to {} at least, and the metal begins at {} here: the drill is "
                             "driven into the face at full rate. Bring Z and R in front of it.",
                             spoken_level(hole, level, context.settings()),
                             spoken_level(hole, metal, context.settings())));
                continue;
            }
        }
        if (!known(hole.level)) continue;
        const float way = hole.bottom - hole.start;
        if (way == 0) continue;
        const float sign = way > 0 ? 1.F : -1.F;
        const auto deeper = [&](float a, float b) { return (a - b) * sign > 1e-4F * std::abs(way); };
        if (deeper(hole.level, hole.bottom)) {
            told = hole.tool;
            report.at_letter(hole.tool->place(*hole.act), 'R')
                .message(said("The rapid goes to {} and the hole ends at {}: the tool is driven into "
                              "the metal at full rate. Bring R in front of the hole.",
                              spoken_level(hole, hole.level, context.settings()),
                              spoken_level(hole, hole.bottom, context.settings())));
            continue;
        }
        if (hole.side && known(hole.place) && !is_by_y(program, hole)) {
            const std::optional<double> mm = mm_of(*hole.act, of_file);
            float metal = cleared_at(program, hole.act, hole.place, false);
            const float flat = mm ? milled_beside(program, hole, *mm) : not_known;
            if (known(flat) && flat < metal) metal = flat;
            if (known(metal) && mm && way < 0 && (metal - hole.level) * *mm > least_metal_mm &&
                first_there(holes, i)) {
                told = hole.tool;
                report.at_letter(hole.tool->place(*hole.act), hole.level == hole.start ? 'X' : 'R')
                    .message(
                        said("The rapid goes to {} and the metal begins at {} here: the drill is driven into "
                             "the part at full rate. Bring X and R in front of it.",
                             spoken_level(hole, hole.level, context.settings()),
                             spoken_level(hole, metal, context.settings())));
                continue;
            }
        }
        Before before;
        for (std::size_t j = 0; j < i; ++j) {
            const Hole& other = holes[j];
            if (other.tool == hole.tool || other.side != hole.side || other.place != hole.place ||
                !known(other.place) || !known(other.bottom) || !known(other.level) ||
                (other.bottom - other.level) * sign <= 0)
                continue;
            if (!known(before.deepest) || deeper(other.bottom, before.deepest)) before.deepest = other.bottom;
            if (!known(before.level) || deeper(before.level, other.level)) before.level = other.level;
        }
        if (!known(before.deepest) || !deeper(hole.level, before.deepest)) continue;
        told = hole.tool;
        report.at_letter(hole.tool->place(*hole.act), 'R')
            .message(said(
                "The rapid goes to {} and nothing has drilled there deeper than {}: the drill is driven into "
                "the metal at full rate. The tool before begins to feed at {}.",
                spoken_level(hole, hole.level, context.settings()),
                spoken_level(hole, before.deepest, context.settings()),
                spoken_level(hole, before.level, context.settings())));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const std::optional<double> of_file = unit_of_file(context, tools);
    for_each_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "rapid_into_undrilled_hole",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Drilling cycle comes by rapid into metal",
    .documentation =
        "The R level of a drilling cycle, to which the tool goes by rapid, lies deeper than the tools before "
        "have drilled at this place, or behind the bottom of the hole: the drill is driven into the metal at "
        "full rate. In system A R is a distance from where the tool stands; some lathes are set to read it "
        "as "
        "the level itself, so there it is looked at only where another cycle of the program shows that it is "
        "a distance.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X89. Z0
G01 X-1.6 F.2
G00 X90. Z20.
T0707
G98 G97 S2500 M133
G00 Z10.
X46. C0.
G83 Z-20. R-17. Q4000 F200.
;         ^^^^^ warning: rapid_into_undrilled_hole
C60.
G80
G00 Z30.
M30
)"},
            // A shoulder, to which the outside is turned.
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X3.5 Z0
G01 X-.06 F.008
G00 X2.7 Z.1
G01 Z-.24 F.01
G00 X3.5 Z1.
T0707
G94 G97 S2500 M133
G00 Z.4
X3. C0.
G83 Z-.8 R-.1 Q1000 F7.
C60.
G80
G00 Z1.
M30
)"},
            {System::A, R"(
G20 G98 G97
T0505
S2200 M03
G00 X2.4 Z-.9 C0
G87 X1. R-1. Q1000 F8.
;       ^^^ warning: rapid_into_undrilled_hole
G80
G00 X4.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0505
S2200 M03
G00 X60. Z-20. C0
G87 X25. R-2.5 Q3000 F200
G80
G00 X100.
M30
)"},
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G20 G98 G97
T0505 (LIVE SPOT)
M51
S2000 M13
G00 X3.5 Z.5 C0.
G83 X3.5 C0. Z-.14 R-.4 P200 F6.
C45.
G80
G00 X7. Z5.
M15
T0606 (LIVE DRILL .266)
S1400 M13
G00 X3.5 Z.5 C0.
G83 X3.5 C0. Z-.75 R-.9 Q2000 F7.
;                  ^^^^ warning: rapid_into_undrilled_hole
C45.
G80
G00 X7. Z5.
M15
M50
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0707
S1900 M03
G00 X70. Z-14. C0.
G87 Z-14. C0. X40. R24. Q3000 F170
;                  ^^^^ warning: rapid_into_undrilled_hole
G80
G00 X200.
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C45.
G83 X44. C45. Z-2.5 R3. F190
C135.
G80
G00 X200. Z100.
T0606
S1900 M03
G00 X44. Z10. C45.
G83 X44. C45. Z-18. R-4. F190
;                   ^^^^ warning: rapid_into_undrilled_hole
C135.
G80
G00 X200. Z100.
M30
)"},
            {System::A, R"(
G20 G98 G97
T0505 (LIVE SPOT)
S2000 M03
G00 X3.5 Z.5 C0.
G83 X3.5 C0. Z-.14 R-.4 P200 F6.
C45.
G80
G00 X7. Z5.
T0606 (LIVE DRILL .266)
S1400 M03
G00 X3.5 Z.5 C0.
G83 X3.5 C0. Z-.75 R-.4 Q2000 F7.
C45.
G80
G00 X7. Z5.
M30
)"},
            {System::A, R"(
G21 G99 G97
T0404 (DRILL, R IS THE LEVEL HERE)
S1000 M03
G00 X0. Z5.
G83 Z-30. R2. Q5000 F.2
G80
G28 U0 W0
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C45.
G83 X44. C45. Z-18. R3. F190
G80
G00 X200. Z100.
T0606
S400 M03
G00 X44. Z10. C45.
G85 X44. C45. Z-18. R-4. F190
G80
G00 X200. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
G00 X46. Z2.
G01 X44. F.2
Z-84.
G00 X50.
M05
T0909
G98
G00 X38. Z-68.
G87 X14. R-3. Q3000 F200.
;         ^^^ warning: rapid_into_undrilled_hole
G80
G00 X60.
T1010
G00 X48. Z-68.
G88 X22. R-3. F500.
G80
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S1000 M03
G00 X46. Z2.
G01 X44. F.2
Z-84.
G00 X50.
M05
T0909
G94
G00 X50. Z-68.
G87 X14. R46. Q3000 F200.
G80
G00 X60.
M30
)"},
            // Into a flat that the side of a cutter has left in front of the hole.
            {System::A, R"(
(M170 C ON, M171 C OFF, M174 LIVE TOOL ON, M175 LIVE TOOL OFF)
G21 G99
T0101
G97 S900 M03
G00 X60. Z2.
G01 Z-40. F0.25
X63.
G00 X200. Z100.
M05
T0606 (CUTTER D32)
M170
G28 H0
G98
S900 M174
G00 X90. Z20.
C0
G01 X50. F300.
Z-9. F150.
G00 X90.
T0707
S1800 M174
G00 X70. Z-16. C0
G87 X20. R-8. Q5000 F150.
G80
G00 X200.
M175
M171
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_into_undrilled_hole

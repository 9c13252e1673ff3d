// A tap where no drill has been.
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::tap_beside_hole {

namespace {

constexpr double same_mm = 0.05;

std::string spoken_place(const Hole& hole, const machine::Settings& settings) {
    return hole.side ? fmt::format("Z{}", written(hole.place)) : spoken_x(hole.place, settings);
}

/// The only hole at its angle: not one of several by H and K, and off the middle.
bool has_angle(const Hole& hole) {
    return known(hole.c) && hole.count == 1 && hole.place != 0 && (!known(hole.y) || hole.y == 0);
}
bool at_one_angle(const Hole& a, const Hole& b) {
    return !has_angle(a) || !has_angle(b) || std::abs(std::remainder(a.c - b.c, 360)) < 0.02;
}
/// It follows a drill into the hole.
bool follows(const Hole& hole) {
    return hole.act->taps() || hole.tool->is(NamedTool::Kind::ream);
}

/// On this circle other tools have drilled, and not at this angle.
void look_at_angles(const FileContext& context, const std::vector<Hole>& holes, Report& report) {
    const ToolOfSpan* told = nullptr;
    for (const Hole& tap : holes) {
        if (!follows(tap) || tap.tool == told || !known(tap.place) || !has_angle(tap) || tap.act->incremental)
            continue;
        bool drilled = false;
        std::vector<std::string> angles;
        const Hole* there = nullptr;
        for (const Hole& hole : holes) {
            if (&hole >= &tap) break;
            if (hole.side != tap.side || hole.tool == tap.tool || hole.act->taps()) continue;
            if (!known(hole.place) || !has_angle(hole)) {
                drilled = true;
                break;
            }
            if (std::abs(hole.place - tap.place) > 1e-3F) continue;
            drilled = drilled || at_one_angle(hole, tap);
            there = there ? there : &hole;
            const std::string angle = fmt::format("C{}", written(hole.c));
            if (std::find(angles.begin(), angles.end(), angle) == angles.end()) angles.push_back(angle);
        }
        if (drilled || !there || angles.size() > 12) continue;
        told = tap.tool;
        report.at(tap.tool->place(*tap.act))
            .message(said(
                "This tool goes in at {}, C{}, and no drill of the program has been there: on that circle "
                "the holes stand at {}. It meets solid metal and breaks. Which of the angles are "
                "right?",
                spoken_place(tap, context.settings()), written(tap.c), list_of(angles)))
            .related(there->tool->place(*there->act), said("drilled here"));
    }
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, std::optional<double> of_file,
             Report& report) {
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (act.calls_program || !tool.work->whole) return;
    const std::vector<Hole> holes = holes_of(program, context.settings());
    look_at_angles(context, holes, report);
    const ToolOfSpan* told = nullptr;
    for (const Hole& tap : holes) {
        if (!tap.act->taps() || tap.tool == told || !known(tap.place) || tap.place == 0 ||
            tap.act->incremental)
            continue;
        const auto mm = mm_of(*tap.act, of_file);
        if (!mm) continue;
        const Hole* nearest = nullptr;
        bool drilled = false;
        for (const Hole& hole : holes) {
            if (&hole >= &tap) break;
            if (hole.side != tap.side || hole.tool == tap.tool || hole.act->taps()) continue;
            if (!known(hole.place)) {
                drilled = true;
                break;
            }
            const double apart = std::abs(hole.place - tap.place);
            drilled = drilled || apart * *mm < same_mm ||
                      (!tap.side && std::abs(hole.place + tap.place) * *mm < same_mm);
            if (!nearest || apart < std::abs(nearest->place - tap.place)) nearest = &hole;
        }
        if (drilled || !nearest) continue;
        told = tap.tool;
        report.at_letter(tap.tool->place(*tap.act), tap.side ? 'Z' : 'X')
            .message(
                said("The tap goes in at {}, and no drill of the program has been there: the nearest holes "
                     "are at {}. It meets solid metal and breaks, or taps the air. Is a digit or the "
                     "point of its place wrong, here or in the approach?",
                     spoken_place(tap, context.settings()), spoken_place(*nearest, context.settings())))
            .related(nearest->tool->place(*nearest->act), said("drilled here"));
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const std::optional<double> of_file = unit_of_file(context, tools);
    for_each_main_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "tap_beside_hole",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Tap where nothing has been drilled",
    .documentation =
        "A tapping cycle goes in beside the centreline, or in the side, at an X or Z where no drilling cycle "
        "of the program has been, and others were drilled by tools before: the tap meets solid metal. The "
        "same, of a reamer too, where "
        "other angles of its circle are drilled and none at its own C. On the "
        "centreline, in a program that drills none of them by cycles, and where called programs may have "
        "drilled, nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G98 G97
T0505
S2800 M33
G00 Z.2
X.75 C45.
G83 Z-.6 R-.1 Q800 F6.
G80
G00 Z1.
T0707
G00 Z.2
X7.5 C45.
G84 Z-.4 R-.05 F10.
;^^^^^^^^^^^^^^^^^^ warning: tap_beside_hole
G80
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0606
S2400 M113
G00 Z-52.
X70. C45.
G87 X34. R66. Q4000 F190.
G80
G00 X80.
T0808
S450 M113
G00 Z-25.
X70. C45.
G88 X40. R66. F450.
;^^^^^^^^^^^^^^^^^^ warning: tap_beside_hole
G80
M30
)"},
            // The angles are those of another pattern.
            {System::A, R"(
G21 G98 G97
T0606
S2400 M33
G00 X80. Z5. C0
G83 X80. C0 Z-22. R-3. Q4000 F190.
C120.
C240.
G80
T0808
S300 M33
G00 X80. Z5. C60.
G84 X80. C60. Z-16. R-3. F375.
;^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: tap_beside_hole
C180.
C300.
G80
M30
)"},
            // Beside the tapped holes others are drilled on the same circle.
            {System::B, R"(
G21 G90 G94 G97
T0606
S2400 M33
G00 X80. Z5. C0
G83 X80. C0 Z-22. R2. Q4000 F190.
C120.
C240.
G80
T0707
S2400 M33
G00 X80. Z5. C60.
G83 X80. C60. Z-22. R2. Q4000 F190.
C180.
C300.
G80
T0808
S300 M33
G00 X80. Z5. C60.
G84 X80. C60. Z-16. R2. F375.
C180.
C300.
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0606
S2400 M113
G00 Z-52.
X70. C45.
G87 X34. R66. Q4000 F190.
G80
G00 X80.
T0808
S450 M113
G00 Z-52.
X70. C45.
G88 X40. R66. F450.
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tap_beside_hole

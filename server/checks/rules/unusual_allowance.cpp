// A depth of roughing with a sign, or an allowance that does not go with the depth.
//
// The limits: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::unusual_allowance {

namespace {

/// A finishing pass takes a small part of what a roughing pass takes.
constexpr double most_of_depth = 0.75, most_on_wall_of_depth = 0.45;
/// On a wall, whatever a pass takes.
constexpr double most_on_wall_mm = 1.05;
/// The face gets no more than the diameter.
constexpr double most_of_diameter = 1.01;

struct Depth {
    double of_pass = 0;
    bool along_z = false; ///< Passes lie along X
};

bool is_roughing(const Act& act) {
    return act.motion == MotionKind::contour_cycle &&
           (act.meaning == Meaning::rough_turning || act.meaning == Meaning::rough_facing);
}

void look_at_depth(const ToolOfSpan& tool, const Act& act, const Depth& depth, Report& report) {
    if (depth.of_pass >= 0) return;
    const char letter = depth.along_z ? 'W' : 'U';
    report.at_letter(tool.place(act), letter)
        .message(said("The depth of a pass has no sign: with {}{} the control alarms or goes the wrong "
                      "way. Write {}{}.",
                      letter, written(depth.of_pass), letter, written(-depth.of_pass)));
}

/// More than any finishing pass takes. False: it is not.
bool leaves_a_cut(const FileContext& context, std::span<const ToolOfSpan> tools, const ToolOfSpan& tool,
                  const Act& act, Report& report) {
    const ActWord* u = tool.work->word(act, 'U');
    const auto mm = u ? mm_of(act, unit_of_file(context, tools)) : std::nullopt;
    if (!mm) return false;
    const double on_wall = std::abs(u->number) / x_as_written(1, context.settings());
    if (on_wall * *mm <= most_on_wall_mm) return false;
    report.at_letter(tool.place(act), 'U')
        .message(
            said("U leaves {} on the wall for finishing: the finishing tool would take a roughing cut. Is "
                 "the point or a digit wrong?",
                 spoken(std::round(on_wall * 1e4) / 1e4)));
    return true;
}

void look_at_allowance(const FileContext& context, std::span<const ToolOfSpan> tools, const ToolOfSpan& tool,
                       const Act& act, const Depth& depth, Report& report) {
    const ActWord* u = tool.work->word(act, 'U');
    const ActWord* w = tool.work->word(act, 'W');
    // U as a radius, as what it leaves on the wall.
    const double per_radius = x_as_written(1, context.settings());
    const double on_wall = u ? std::abs(u->number) / per_radius : 0, on_face = w ? std::abs(w->number) : 0;
    const double pass = std::abs(depth.of_pass);
    const auto tell = [&](char letter, double leaves) {
        report.at_letter(tool.place(act), letter)
            .message(said("{} leaves {} {} for finishing, where a roughing pass takes {}: the "
                          "finishing tool would take a roughing cut. Is the point or a digit wrong?",
                          letter, spoken(std::round(leaves * 1e4) / 1e4),
                          letter == 'U' ? said("on the wall") : said("on the faces"), spoken(pass)));
    };
    if (on_wall > most_on_wall_of_depth * pass) return tell('U', on_wall);
    if (leaves_a_cut(context, tools, tool, act, report)) return;
    if (on_face > most_of_depth * pass) return tell('W', on_face);
    if (on_wall > 0 && on_face > most_of_diameter * per_radius * on_wall)
        report.at_letter(tool.place(act), 'W')
            .message(said("W leaves {} on the faces and U {} on the diameter: a face gets less "
                          "than a diameter. Is the point or a digit of one of them "
                          "wrong?",
                          spoken(on_face), spoken(2 * on_wall)));
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, const ToolOfSpan& tool,
             Report& report) {
    std::optional<Depth> depth;
    for (const Act& act : tool.work->acts) {
        if (!is_roughing(act)) {
            if (!act.in_contour) depth.reset();
            continue;
        }
        const bool along_z = act.meaning == Meaning::rough_facing;
        const bool names_contour = tool.work->word(act, 'P') != nullptr;
        if (!names_contour) {
            const ActWord* word = tool.work->word(act, along_z ? 'W' : 'U');
            depth.reset();
            if (!word || word->number == 0) continue;
            depth = Depth{word->number, along_z};
            look_at_depth(tool, act, *depth, report);
        } else if (act.deleted) {
            continue;
        } else if (const bool paired = depth && depth->along_z == along_z;
                   !paired && leaves_a_cut(context, tools, tool, act, report)) {
            continue;
        } else if (paired) {
            look_at_allowance(context, tools, tool, act, *depth, report);
        }
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) look_at(context, tools, tool, report);
}

} // namespace

extern const Check check{
    .id = "unusual_allowance",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Allowance or depth of roughing that do not go together",
    .documentation =
        "A roughing cycle in two lines leaves more for finishing than three quarters of what one of its own "
        "passes takes, or more on the faces than on the diameter, or its depth has a minus. A point or a "
        "digit "
        "slipped (U0.3 for U.03, or the depth is a tenth): the finishing tool meets a roughing cut, or the "
        "roughing takes ten times as many passes. A depth has no sign: it is the same for outside and "
        "inside."
        " On a diameter a little less than half is told already, and more than 1 mm on a wall whatever a "
        "pass takes.",
    .file = file,
    .examples =
        {
            // More than half of a pass; more than 1 mm; and as it is meant.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2.5 R.5
G71 P10 Q20 U3. W.1 F.3
;           ^^^ warning: unusual_allowance
N10 G00 X20.
G01 Z-25.
N20 X52.
G70 P10 Q20
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z.1
G73 P10 Q20 U.12 W.004 D800 F.01
;           ^^^^ warning: unusual_allowance
N10 G00 X1.
G01 Z-1.
N20 X2.1
G72 P10 Q20
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2.5 R.5
G71 P10 Q20 U1. W.1 F.3
N10 G00 X20.
G01 Z-25.
N20 X52.
G70 P10 Q20
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2.1 Z.1
G71 U.1 R.03
G71 P10 Q20 U0.3 W.005 F.012
;           ^^^^ warning: unusual_allowance
N10 G00 X1.
G01 Z-1.
N20 X2.1
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z.1
G73 U.08 R.02
G73 P10 Q20 U.02 W0.04 F.01
;                ^^^^^ warning: unusual_allowance
N10 G00 X1.
G01 Z-1.
N20 X2.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G71 U-2. R.5
;   ^^^^ warning: unusual_allowance
G71 P10 Q20 U.5 W.1 F.3
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U1. R.5
G71 P10 Q20 U.8 W.2 F.2
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S800 M03
G00 X.9 Z.04
G72 W.05 R.02
G72 P10 Q20 U-.02 W.004 F.01
N10 G00 Z-.4
G01 X1. F.006
Z-.2
N20 X1.5 Z.04
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S800 M03
G00 X18. Z1.
G73 U.8 R.3
G73 P10 Q20 U-.4 W.1 F.2
N10 G00 X30.
G01 Z-10. F.1
X24. Z-14.
Z-30.
N20 X18.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unusual_allowance

// The slide of the second spindle draws the bar less far than what was turned on it: the part-off leaves a
// shoulder of the part with the bar.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "checks/second_sides.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::drawn_short_of_shoulder {

namespace {

constexpr double on_centre_mm = 1; ///< Radius that a part-off ends at, with its pip
constexpr double least_mm = 0.3;

double mm_of(const Act& act) {
    return act.inch() ? motion::mm_per_inch : 1;
}

/// A way outward from which the tool turns on toward the chuck.
struct Shoulder {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    double z_mm = 0;
};

/// The deepest one in a datum that tools of the main spindle turn in front of a place.
std::optional<Shoulder> deepest_above(std::span<const ToolOfSpan> program, BlockPlace end,
                                      std::uint16_t datum) {
    std::optional<Shoulder> deepest;
    for (const ToolOfSpan& tool : program) {
        const Act* out = nullptr;
        for (const Act& act : tool.work->acts) {
            if (end <= tool.place(act)) return deepest;
            if (!act.moves() || act.deleted) continue;
            const bool turns = act.motion == MotionKind::feed && act.spindle == machine::Spindle::main &&
                               act.datum == datum && known(act.from_z) && known(act.to_z);
            const bool goes_on =
                out && turns && act.moves_z && (act.from_z - act.to_z) * mm_of(act) > least_mm;
            if (goes_on && (!deepest || out->to_z * mm_of(*out) < deepest->z_mm))
                deepest = Shoulder{&tool, out, out->to_z * mm_of(*out)};
            const bool outward = turns && act.moves_x && !act.moves_z && known(act.from_x) &&
                                 known(act.to_x) && (act.to_x - act.from_x) * mm_of(act) > least_mm &&
                                 act.to_z < 0;
            out = outward ? &act : nullptr;
        }
    }
    return deepest;
}

/// The first part-off behind a place.
const Act* cut_off_behind(std::span<const ToolOfSpan> program, BlockPlace place, const ToolOfSpan*& by) {
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (tool.place(act) <= place || act.motion != MotionKind::feed || act.deleted) continue;
            const bool goes_in = act.moves_x && !act.moves_z && known(act.to_x) && known(act.to_z) &&
                                 act.to_x * mm_of(act) <= on_centre_mm;
            if (act.moves_z && !act.moves_x) return nullptr; // It is turned on behind the pull
            if (!goes_in) continue;
            by = &tool;
            return &act;
        }
    return nullptr;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    if (tools.empty()) return;
    const SecondSpindle& second = context.second_spindle();
    for (const BarPull& pull : second.pulls) {
        if (!pull.mm) continue;
        for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
            if (pull.at < program.front().span->first || program.back().span->last < pull.at) return;
            const bool is_only =
                second.pulls_above(pull.at) == second.pulls_above(program.front().span->first) + 1;
            const ToolOfSpan* by = nullptr;
            const Act* cut = is_only ? cut_off_behind(program, pull.at, by) : nullptr;
            if (!cut) return;
            const auto shoulder = deepest_above(program, pull.at, cut->datum);
            const double mm = mm_of(*cut), off_mm = cut->to_z * mm - *pull.mm;
            if (!shoulder || shoulder->z_mm > off_mm - least_mm) return;
            report.at(pull.slide)
                .message(
                    said("The slide draws the bar by {}, and the part-off at Z{} then cuts it at Z{} of the "
                         "place where it was turned: the shoulder at Z{} stays with the bar, and the part "
                         "comes out too short. Is a digit of the slide's way lost?",
                         spoken(std::round(*pull.mm / mm * 1e4) / 1e4), written(cut->to_z),
                         written(static_cast<float>(off_mm / mm)), written(shoulder->act->to_z)))
                .related(by->place(*cut), said("the part-off"))
                .related(shoulder->tool->place(*shoulder->act), said("the shoulder"));
        });
    }
}

} // namespace

extern const Check check{
    .id = "drawn_short_of_shoulder",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Bar drawn short of a shoulder",
    .documentation =
        "The second spindle has closed on the bar, the main chuck opens, the slide draws the bar out and a "
        "blade "
        "cuts it off. What was turned before has moved out with the bar by the way of the slide: where the "
        "part-off then lies in front of a shoulder that was turned, that shoulder stays with the bar and the "
        "part is too short. A cut that only runs out behind the part is no shoulder. What the codes do is "
        "read "
        "from `m_codes` in the shop file (`does = \"second clamp\"`, `\"unclamp\"`, `\"clamp\"`), else from "
        "notes; "
        "a way that is not known, or several pulls, tell nothing.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M10 COLLET OPEN, M11 COLLET CLOSE)
G21 G99 G54
T0101
G97 S1500 M03
G00 X24. Z2.
X16.
G01 Z-12. F.2
X20.
Z-29.
X23.
G28 U0 W0
T0505
G97 S1500 M03
M22
G00 B-350.
G98 G01 B-362. F500.
M21
M10
G01 B-352. F2000.
; ^^^^^^^^^^^^^^^ warning: drawn_short_of_shoulder
M11
G99
G00 X24. Z.3
G01 X-.8 F.05
G00 X24.
G28 U0 W0
M30
)"},
            // The bar comes out by the part and the blade; behind the part the first tool only runs out.
            {System::A, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M10 COLLET OPEN, M11 COLLET CLOSE)
G21 G99 G54
T0101
G97 S1500 M03
G00 X24. Z2.
X16.
G01 Z-12. F.2
X20.
Z-29.
X23.
G28 U0 W0
T0505
G97 S1500 M03
M22
G00 B-350.
G98 G01 B-362. F500.
M21
M10
G01 B-334. F2000.
M11
G99
G00 X24. Z.3
G01 X-.8 F.05
G00 X24.
G28 U0 W0
M30
)"},
            {System::C, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M10 COLLET OPEN, M11 COLLET CLOSE)
G70 G90 G95 G54
T0101
G97 S1500 M03
G00 X1. Z.1
X.6
G01 Z-.5 F.006
X.75
Z-1.2
X1.
G00 X6. Z4.
T0505
M22
G00 E-14.
G94 G01 E-14.5 F20.
M21
M10
G01 E-14.3 F80.
; ^^^^^^^^ warning: drawn_short_of_shoulder
M11
G95
G00 X1. Z0
G01 X-.03 F.002
G00 X1.
X6. Z4.
M30
)"},
            // No shoulder of its own, and a bar that a puller draws.
            {System::B, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M10 COLLET OPEN, M11 COLLET CLOSE)
G21 G90 G95 G54
T0101
G97 S1500 M03
G00 X24. Z2.
X18.
G01 Z-29. F.2
X23.
G28 X100. Z50.
T0505
M22
G00 B-362.
M21
M10
G94 G01 B-352. F2000.
M11
G95
G00 X24. Z.3
G01 X-.8 F.05
G00 X24.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::drawn_short_of_shoulder

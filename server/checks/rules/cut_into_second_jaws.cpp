// On the second side a tool gets into the jaws of the second spindle, which the shop file tells.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/second_sides.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::cut_into_second_jaws {

namespace {

constexpr double slack_mm = 0.05;

struct Jaws {
    double front_z, radius;
    double behind; ///< 1: they stand towards plus of their front, -1: towards minus
};

/// In program units.
std::optional<Jaws> jaws_in(const shop::Stock& stock, double unit_mm) {
    if (!stock.second_jaw_front_z_mm || !stock.second_jaw_diameter_mm || *stock.second_jaw_front_z_mm == 0)
        return std::nullopt;
    return Jaws{*stock.second_jaw_front_z_mm / unit_mm, *stock.second_jaw_diameter_mm / 2 / unit_mm,
                *stock.second_jaw_front_z_mm > 0 ? 1.0 : -1.0};
}

/// A tool in the bore of the part has no jaws in its way: it draws off towards the centreline. `behind` is
/// the way into the part.
bool works_outside(const ToolOfSpan& tool, double behind) {
    if (tool.is(NamedTool::Kind::bore) || tool.is(NamedTool::Kind::drill)) return false;
    const Act* before = nullptr;
    bool outward = false;
    for (const Act& act : tool.work->acts) {
        if (!act.moves()) continue;
        if (act.drills() || act.taps()) return false;
        // On a slant from within the part it goes out of it all the same.
        const bool straight = !act.moves_z || (known(act.from_z) && act.from_z * behind > 0);
        if (before && known(act.from_x) && known(act.to_x) && act.moves_x && straight &&
            before->motion == MotionKind::feed && act.motion == MotionKind::rapid) {
            if (act.to_x < act.from_x) return false;
            outward = outward || act.to_x > act.from_x;
        }
        before = &act;
    }
    return outward;
}

/// The deepest behind the front that the block gets within the jaws; 0: it does not.
double depth_in(const Act& act, const Jaws& jaws) {
    if (!known(act.from_x) || !known(act.from_z) || !known(act.to_x) || !known(act.to_z)) return 0;
    const double at_start = (act.from_z - jaws.front_z) * jaws.behind,
                 at_end = (act.to_z - jaws.front_z) * jaws.behind;
    if (act.to_x >= jaws.radius) return 0;
    // On a slant only its end is sure.
    return act.from_x < jaws.radius || !act.moves_x ? std::max(at_start, at_end) : at_end;
}

/// How far the holder, as the shop file has it, gets into them with the tip at a place. Its Z counts away
/// from the chuck that the tool works at. `within`: radius that the part fills.
double holder_depth(const shop::Tool& held, double x, double z, const Jaws& jaws, double unit_mm,
                    double within) {
    double depth = 0;
    for (const shop::OutlinePoint& point : held.outline) {
        const double at = x + point.x_mm / unit_mm;
        if (at < jaws.radius && at >= within)
            depth = std::max(depth, (z - jaws.front_z) * jaws.behind - point.z_mm / unit_mm);
    }
    return depth;
}

/// What is cut off in step with the main spindle lies as that one has it.
bool is_second(const Act& act, const ToolOfSpan& tool, const SecondSpindle& second) {
    return act.spindle == machine::Spindle::second && (second.sides.empty() || second.holds(tool.place(act)));
}

/// The holder of a tool that the shop file describes; the point of one that works outside is told first.
/// True: told.
bool look_at_holder(const ToolOfSpan& tool, const shop::Shop& shop, const SecondSpindle& second,
                    Report& report) {
    const shop::Tool* held = tool.station > 0 ? shop.tool(tool.station) : nullptr;
    if (!held || held->outline.empty()) return false;
    // In a bore it stands within the part, whose diameter must be known.
    const std::optional<double>& diameter = shop.stock.diameter_mm;
    const double behind = *shop.stock.second_jaw_front_z_mm > 0 ? 1 : -1;
    if (!diameter && !works_outside(tool, behind)) return false;
    for (const Act& act : tool.work->acts) {
        if (!is_second(act, tool, second) || act.deleted || act.in_contour || !act.moves() ||
            is_return(act.motion) || act.polar || act.cylinder || !known(act.to_x) || !known(act.to_z))
            continue;
        if (!act.inch() && !act.millimetre()) continue;
        const double unit_mm = act.inch() ? motion::mm_per_inch : 1;
        const auto jaws = jaws_in(shop.stock, unit_mm);
        if (!jaws) return false;
        const double depth =
            holder_depth(*held, act.to_x, act.to_z, *jaws, unit_mm, diameter.value_or(0) / 2 / unit_mm);
        if (depth * unit_mm <= slack_mm) continue;
        report.at_letter(tool.place(act), act.moves_z ? 'Z' : 'X')
            .message(
                said("With the tip here the holder of T{:02} gets {} behind the front of the second "
                     "spindle's jaws at Z{}, inside the {} that they reach to as they turn: they meet. Stop "
                     "earlier, take a longer tool, or mend its outline or second_jaw_front_z in the shop "
                     "file.",
                     tool.station, spoken(std::round(depth * 1e4) / 1e4), written(jaws->front_z),
                     spoken(2 * jaws->radius)));
        return true;
    }
    return false;
}

void look_at(const ToolOfSpan& tool, const shop::Stock& stock, const SecondSpindle& second, Report& report) {
    if (!works_outside(tool, *stock.second_jaw_front_z_mm > 0 ? 1 : -1)) return;
    for (const Act& act : tool.work->acts) {
        if (!is_second(act, tool, second) || act.deleted || act.in_contour || !act.moves() ||
            is_return(act.motion) || act.polar || act.cylinder)
            continue;
        if (!act.inch() && !act.millimetre()) continue;
        const double unit_mm = act.inch() ? motion::mm_per_inch : 1;
        const auto jaws = jaws_in(stock, unit_mm);
        if (!jaws) return;
        const double depth = depth_in(act, *jaws);
        if (depth * unit_mm <= slack_mm) continue;
        report.at_letter(tool.place(act), act.moves_z ? 'Z' : 'X')
            .message(
                said("This gets {} behind the front of the second spindle's jaws at Z{}, to X{} as diameter; "
                     "they reach to {} as they turn: the tool runs into them. Stop in front of them, or "
                     "mend second_jaw_front_z in the shop file.",
                     spoken(depth), written(jaws->front_z), written(2 * act.to_x), spoken(2 * jaws->radius)));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const shop::Stock& stock = context.shop.stock;
    if (!stock.second_jaw_front_z_mm || !stock.second_jaw_diameter_mm) return;
    const auto tools = tools_of(context);
    if (tools.empty()) return;
    const SecondSpindle& second = context.second_spindle();
    for (const ToolOfSpan& tool : tools)
        if (!look_at_holder(tool, context.shop, second, report)) look_at(tool, stock, second, report);
}

constexpr const char* jaws_plus = R"(units = "mm"
[stock]
second_jaw_front_z = 18
second_jaw_diameter = 120
)";
constexpr const char* jaws_and_holder = R"(units = "mm"
[stock]
diameter = 50
second_jaw_front_z = 18
second_jaw_diameter = 120
[[tool]]
station = 4
kind = "boring"
outline = [[0, 3], [0, 60], [20, 60], [40, 60], [40, 30], [10, 30], [6, 3]]
[[tool]]
station = 6
kind = "turning"
outline = [[1, 1], [2, -8], [60, -8], [60, 30], [1, 30]]
)";
constexpr const char* jaws_minus = R"(units = "inch"
[stock]
second_jaw_front_z = -0.75
second_jaw_diameter = 5
)";

} // namespace

extern const Check check{
    .id = "cut_into_second_jaws",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Tool runs into the jaws of the second spindle",
    .documentation =
        "While S speaks to the second spindle a tool outside the part gets behind the front of its jaws, as "
        "`second_jaw_front_z` and `second_jaw_diameter` of the shop file or the job file tell them, nearer "
        "to "
        "the centreline than they reach. Jaws with a front above zero stand towards plus, below zero towards "
        "minus. The point of a tool that works outside is looked at, and of every tool whose `outline` the "
        "shop "
        "file has its holder, too.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G97 S900 M203
G00 X54. Z-5.
X50.
G01 Z21. F.15
;   ^^^^ warning: cut_into_second_jaws
G00 X60.
Z-5.
M205
M30
)",
             jaws_plus},
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G20 G90 G95
G55
T0202
G97 S900 M303
G00 X2.4 Z.1
X2.
G01 Z-.8 F.006
;   ^^^^ warning: cut_into_second_jaws
G00 X2.4
Z.1
M305
M30
)",
             jaws_minus},
            // The holder behind the tip.
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0606
G97 S900 M203
G00 X54. Z-5.
X50.
G01 Z14. F.15
;   ^^^^ warning: cut_into_second_jaws
G00 X60.
Z-5.
M205
M30
)",
             jaws_and_holder},
            // Its shoulder stays in front of them.
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G71 G90 G95
G55
T0404
G97 S900 M203
G00 X30. Z-5.
G01 Z40. F.1
G00 X28.
Z-5.
M205
M30
)",
             jaws_and_holder},
            // In front of them, and a bore through the part.
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G97 S900 M203
G00 X54. Z-5.
X50.
G01 Z17.5 F.15
G00 X60.
Z-5.
G00 X150. Z-50.
T0404 (BORING BAR)
G97 S900
G00 X22. Z-5.
G01 Z30. F.1
G00 X20.
Z-5.
M205
M30
)",
             jaws_plus},
            // Off on a slant, and at rapid on a slant.
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G97 S900 M203
G00 X54. Z-5.
X50.
G01 Z21. F.15
;   ^^^^ warning: cut_into_second_jaws
G00 X60. Z-5.
M205
M30
)",
             jaws_plus},
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G70 G90 G95
G55
T0202
G97 S900 M203
G00 X2.4 Z.1
X2.
G01 Z-.5 F.006
G00 X2.4 Z-.9
;        ^^^^ warning: cut_into_second_jaws
Z.1
M205
M30
)",
             jaws_minus},
            // Cut off in step: the part lies in the main spindle's datum.
            {System::A, R"(
(M203 SUB SPINDLE CW, M205 SUB SPINDLE STOP, M210 SUB CHUCK OPEN, M211 SUB CHUCK CLOSE)
(M35 SPINDLES IN STEP, M36 SPINDLES APART)
N1 (TURN)
G21 G99
G54
T0202
G97 S900 M03
G00 X54. Z2.
X48.
G01 Z-36. F.15
G00 X60. Z5.
M01
N2 (TAKE OVER)
T0505 (PART OFF 3 WIDE)
G97 S800 M03
S800 M203
M35
M210
G00 B-100.
G98 G01 B-120. F300.
M211
G99
G00 X54. Z43.
Z-43.
G01 X-.5 F.08
G00 X54.
M36
M05
G00 B0
M01
N3
G55
T0202
G97 S900 M203
G00 X54. Z-5.
Z0
G01 X-.8 F.15
G00 Z-5.
M205
M30
)",
             jaws_plus},
            // The main spindle.
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G71 G90 G95
T0202
G97 S900 M03
G00 X54. Z50.
X50.
G01 Z21. F.15
G00 X60.
Z50.
M05
M30
)",
             jaws_plus},
            // No jaws are told.
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G97 S900 M203
G00 X54. Z-5.
X50.
G01 Z21. F.15
G00 X60.
Z-5.
M205
M30
)"},
        },
};

} // namespace turnwright::checks::rules::cut_into_second_jaws

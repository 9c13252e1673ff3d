// A tool turns diameters under G97 with the S that the others have under G96.
//
// That what turns many diameters is turned at one cutting speed: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::surface_speed_unlike_rest {

namespace {

/// S is a cutting speed of the others, by its number.
constexpr double least_share = 0.75, most_share = 1.6;
/// A bore is smaller than what the others turn.
constexpr double as_large = 0.8;
/// Turned at many diameters.
constexpr double least_range = 1.4;
/// As rpm it cuts slower than that share of the others.
constexpr double slower = 0.7;

struct Turning {
    const ToolOfSpan* tool = nullptr;
    const Act* gives = nullptr; ///< Its speed
    double speed = 0, least_x = HUGE_VAL, most_x = 0;
    bool along = false, other_work = false, contour = false;
};

std::vector<Turning> turnings_of(std::span<const ToolOfSpan> tools) {
    std::vector<Turning> all;
    for (const ToolOfSpan& tool : tools) {
        Turning turning;
        const auto end = [&] {
            if (turning.gives && turning.along && !turning.other_work) all.push_back(turning);
        };
        for (const Act& act : tool.work->acts) {
            if (act.gives_speed && act.spindle == machine::Spindle::main && known(act.speed)) {
                end();
                turning = {&tool, &act, act.speed, HUGE_VAL, 0, false, false, false};
            }
            if (act.threads() || act.drills() || act.taps()) turning.other_work = true;
            if (act.motion == MotionKind::contour_cycle) {
                turning.along = turning.contour = true;
                if (known(act.from_x)) turning.most_x = std::max<double>(turning.most_x, act.from_x);
            }
            const bool cuts = act.cuts() || act.in_contour;
            if (!cuts || !act.moves() || !known(act.to_x)) continue;
            if (act.to_x > 0 && act.moves_z && known(act.from_x) && act.from_x == act.to_x)
                turning.along = true;
            for (const float x : {act.to_x, act.from_x}) {
                if (!known(x) || x <= 0) continue;
                turning.least_x = std::min<double>(turning.least_x, x);
                turning.most_x = std::max<double>(turning.most_x, x);
            }
        }
        end();
    }
    return all;
}

/// m a minute, or ft a minute in inches, at its largest diameter.
double as_cutting_speed(const Turning& turning, double rpm) {
    const bool inch = turning.gives->inch();
    const double diameter_mm = 2 * turning.most_x * (inch ? motion::mm_per_inch : 1);
    return motion::surface_for(rpm, diameter_mm) / (inch ? 0.3048 : 1);
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const std::vector<Turning> all = turnings_of(tools);
    const Turning* odd = nullptr;
    double least = HUGE_VAL, most = 0, largest = 0;
    std::size_t others = 0;
    for (const Turning& turning : all) largest = std::max(largest, turning.most_x);
    for (const Turning& turning : all) {
        if (turning.most_x < as_large * largest) continue;
        if (turning.gives->surface_speed()) {
            ++others;
            least = std::min(least, turning.speed);
            most = std::max(most, turning.speed);
        } else if (turning.gives->rpm()) {
            if (odd) return; // Another habit
            odd = &turning;
        }
    }
    if (!odd || others == 0 || !odd->tool->span->sequence) return;
    const bool by_number = odd->speed >= least_share * least && odd->speed <= most_share * most;
    const bool many = odd->contour || odd->most_x > least_range * odd->least_x;
    const double cuts_at = as_cutting_speed(*odd, odd->speed);
    if (!by_number || !many || cuts_at <= 0 || cuts_at > slower * least) return;
    const std::string surface = code(context.settings(), Meaning::surface_speed),
                      rpm = code(context.settings(), Meaning::constant_rpm);
    report.at_letter(odd->tool->place(*odd->gives), 'S')
        .severity(Severity::information)
        .message(said("{} S{} is {} rpm: at {} no more than {} {}, and the other tools that turn here have "
                      "{} S{}. Is {} meant?",
                      rpm, spoken(odd->speed), spoken(odd->speed), spoken_x(odd->most_x, context.settings()),
                      spoken(std::round(cuts_at)), odd->gives->inch() ? "ft/min" : "m/min", surface,
                      spoken(most), surface));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "surface_speed_unlike_rest",
    .family = Family::spindle,
    .severity = Severity::information,
    .title = "Turning tool at rpm with the speed of the others by surface",
    .documentation =
        "All other tools that turn have constant surface speed, and one has G97 with an S that is a cutting "
        "speed like theirs and, as rpm, makes the cut much slower: G97 stands for G96, and the tool rubs. "
        "Told only of tools that turn several diameters, and where no second one is under G97.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S220 M03
G00 X62. Z2.
G71 U2. R.5
G71 P10 Q20 U.4 W.1 F.25
N10 G00 X20.
G01 Z-20. F.1
X40. Z-30.
Z-50.
N20 X62.
G00 X100. Z100.
T0303
G97 S260 M03
;   ^^^^ information: surface_speed_unlike_rest
G00 X20. Z2.
G01 Z-20. F.1
X40. Z-30.
Z-50.
X62.
G00 X100. Z100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S500 M03
G00 X2.2 Z.1
G01 Z-1. F.01
G00 X3. Z.1
T0303
G97 S600 M03
;   ^^^^ information: surface_speed_unlike_rest
G00 X.8 Z.1
G01 Z-.5 F.004
X1.5 Z-.8
Z-1.
X2.2
G00 X5. Z5.
M30
)"},
            // As rpm it is fast enough; and all go by rpm.
            {System::C, R"(
G71 G90 G95
T0101
G96 S220 M03
G00 X62. Z2.
G01 Z-50. F.2
X64.
G00 X100. Z100.
T0303
G97 S1400 M03
G00 X20. Z2.
G01 Z-20. F.1
X40. Z-30.
Z-50.
X62.
G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::surface_speed_unlike_rest

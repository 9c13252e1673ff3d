// A speed that no tool of the sort takes, or that all others of the program contradict by a digit.
//
// The bounds: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules {

namespace {

using Kind = NamedTool::Kind;

enum class Sort : std::uint8_t { turning, drill, ream, tap, thread };

struct Speed {
    const ToolOfSpan* tool;
    const Act* at; ///< Gives the S
    Sort sort;
    double m_per_min;
    double diameter_mm;          ///< 0: under surface speed
    bool high_speed_steel, hard; ///< By a note
};
/// m/min; wide, so that a habit is no mistake (common practice, no source).
struct Bounds {
    double least, most;
    std::string_view title;
};
Bounds bounds_of(const Speed& speed) {
    switch (speed.sort) {
    case Sort::drill:
        if (speed.high_speed_steel) return {2, 140, "a drill of high speed steel"};
        return speed.hard ? Bounds{10, 500, "a carbide drill"} : Bounds{2, 450, "a drill"};
    case Sort::ream:
        return {1, 120, "a reamer"};
    case Sort::tap:
        return {0.8, 90, "a tap"};
    case Sort::thread:
        return {1.5, 450, "a threading tool"};
    case Sort::turning:
        break;
    }
    return {4, 1800, "a turning tool"};
}

/// Each S with the cuts behind it.
void add_speeds(const ToolOfSpan& tool, std::optional<double> of_file, std::vector<Speed>& speeds) {
    if (tool.is(Kind::stop) || tool.own->live || tool.listed->live) return;
    const Act* giver = nullptr;
    Speed now{};
    bool open = false;
    auto close = [&] {
        if (open) speeds.push_back(now);
        open = false;
    };
    for (const Act& act : tool.work->acts) {
        if (act.gives_speed && act.speed > 0) {
            close();
            giver = &act;
        }
        const bool cuts =
            act.cuts() || act.threads() || act.taps() || (act.in_contour && act.motion == MotionKind::feed);
        const auto per_unit = mm_of(act, of_file);
        if (!giver || !cuts || !per_unit || act.speed != giver->speed || act.stopped()) continue;
        const bool on_centre = act.from_x == 0 && act.to_x == 0;
        const bool holes = act.drills() || act.taps() || (on_centre && act.moves_z);
        if (!open) now = {&tool, giver, Sort::turning, 0, 0, false, false};
        if (act.threads() && !act.taps()) now.sort = Sort::thread;
        if (act.surface_speed()) {
            now.m_per_min = act.speed * (*per_unit > 1 ? 0.3048 : 1);
            open = true;
            continue;
        }
        if (!act.rpm()) continue;
        double diameter = 0;
        if (holes) {
            const NamedTool* round = tool.that([&](const NamedTool& some) {
                return (some.kind == Kind::drill || some.kind == Kind::ream || some.kind == Kind::tap) &&
                       some.diameter_mm(*per_unit).has_value();
            });
            if (!round) continue;
            diameter = *round->diameter_mm(*per_unit);
            now.sort = round->kind == Kind::drill  ? Sort::drill
                       : round->kind == Kind::ream ? Sort::ream
                                                   : Sort::tap;
            now.high_speed_steel = tool.own->high_speed_steel || tool.listed->high_speed_steel;
            now.hard = tool.own->carbide || tool.listed->carbide;
        } else {
            for (float x : {act.from_x, act.to_x})
                if (known(x)) diameter = std::max(diameter, 2.0 * std::abs(x) * *per_unit);
        }
        if (diameter <= 0) continue;
        now.diameter_mm = std::max(now.diameter_mm, diameter);
        now.m_per_min = motion::surface_for(act.speed, now.diameter_mm);
        open = true;
    }
    close();
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(tools);
    std::vector<Speed> speeds;
    for (const ToolOfSpan& tool : tools) add_speeds(tool, of_file, speeds);
    for (const Speed& speed : speeds) {
        double least = 1e9, most = 0;
        int count = 0;
        for (const Speed& other : speeds) {
            if (&other == &speed || other.sort != speed.sort || other.tool == speed.tool) continue;
            ++count;
            least = std::min(least, other.m_per_min);
            most = std::max(most, other.m_per_min);
        }
        const Bounds bounds = bounds_of(speed);
        const bool compared = count >= 2 && (speed.sort == Sort::turning || speed.sort == Sort::drill);
        const bool high = speed.m_per_min > bounds.most ||
                          (compared && speed.m_per_min >= 5 * most && speed.m_per_min > 150);
        const bool low = speed.m_per_min < bounds.least || (compared && speed.m_per_min * 5 <= least);
        if (!high && !low) continue;
        const double s = speed.at->speed;
        const std::string how =
            speed.diameter_mm > 0
                ? fmt::format("S{} at a diameter of {} mm is {:.0f} m/min", spoken(s),
                              spoken(std::round(speed.diameter_mm * 100) / 100), speed.m_per_min)
                : fmt::format("S{} is {:.0f} m/min", spoken(s), speed.m_per_min);
        const bool by_bounds = speed.m_per_min > bounds.most || speed.m_per_min < bounds.least;
        const std::string why =
            by_bounds
                ? fmt::format("{} takes {} m/min at the {}", bounds.title,
                              spoken(high ? bounds.most : bounds.least), high ? "most" : "least")
                : fmt::format("the others of its sort here work at {:.0f} to {:.0f} m/min", least, most);
        report.at_letter(speed.tool->place(*speed.at), 'S')
            .message(fmt::format("{}: {}. {} S{} is meant, perhaps.", how, why,
                                 high ? "The edge burns at the first touch, or the spindle runs far too fast."
                                      : "The edge rubs or breaks.",
                                 spoken(high ? std::round(s / 10) : s * 10)));
    }
}

} // namespace

extern const Check speed_unlike_tool{
    .id = "speed_unlike_tool",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Speed that no such tool takes",
    .documentation = "The cutting speed that S makes (under constant rpm with the largest diameter that is "
                     "cut, or the drill's, "
                     "reamer's or tap's that a note tells) is beyond any tool of the sort, or five times "
                     "that of every other "
                     "tool of the sort in the program, or a fifth: a digit too many or too few, or rpm taken "
                     "for surface speed. "
                     "Bounds are wide (drill of high speed steel 140 m/min, tap 90, turning 1800).",
    .file = file,
    .examples =
        {
            {System::A, R"(
(T05 HSS DRILL D24)
G21 G99
N1 T0505
G97 S3000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X0 Z5.
G74 R1.
G74 Z-60. Q8000 F.2
M30
)"},
            {System::B, R"(
G20 G90 G95
N1 T0101
G96 S400 M03
G00 X2. Z.1
G01 Z-1. F.01
N2 T0202
G96 S5000 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X2. Z.1
G01 Z-1. F.01
N3 T0303
G96 S300 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 (TAP M12)
T0707
G97 S2500 M03
;   ^^^^^ warning: speed_unlike_tool
G00 X0 Z10.
G84 Z-15. R6. F1.75
G80
M30
)"},
            {System::A, R"(
G21 G99
N1 T0101
G97 S700 M03
G00 X60. Z0.
G01 X-1.6 F0.2
N2 T0303
G97 S100 M03
;   ^^^^ warning: speed_unlike_tool
G00 X40. Z2.
G01 Z-50. F0.1
N3 T0505
G97 S500 M03
G00 X45. Z-35.
G01 X27. F0.08
M30
)"},
            {System::C, R"(
G70 G90 G95
N1 (DRILL .500)
T0202
G97 S2400 M03
G00 X0 Z.2
G76 R.02
G76 Z-1.7 Q2500 F.007
N2 (TAP 3/8-16)
T0505
G97 S400 M03
G00 X0 Z.4
G84 Z-.75 F.0625
G80
M30
)"},
            {System::B, R"(
(T6 LIVE CROSS DRILL .125)
G20 G90 G95
N1 T0101
G96 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
N2 (PART OFF)
T0505
G97 S1500
G00 X.34 Z-1.
G01 X.2 F.002
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules

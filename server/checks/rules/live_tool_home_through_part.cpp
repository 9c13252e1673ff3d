// A milling tool that stands in the side of the part is sent away along Z, through what stands in front of
// its cut.
#include "checks/holes.h"
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::live_tool_home_through_part {

namespace {

constexpr double unsure_mm = 12; ///< More than the radius of most end mills
constexpr double beside_mm = 1;  ///< Beside a radius that a note tells
constexpr double least_deep_mm = 0.3;
constexpr int samples = 40;

bool is_live(const Act& act) {
    return (act.spindle == machine::Spindle::live || act.part_stands) && !act.polar && !act.cylinder;
}

/// What the tool has milled since it went in from the side.
struct Cut {
    const Act* plunge = nullptr;
    bool along = false; ///< A feed along Z at depth
    float z_high = not_known, z_low = not_known;
};

/// Radius of the end mill, in program units.
double reach_of(const ToolOfSpan& tool, double mm) {
    for (const NamedTool* named : {tool.own, tool.listed})
        if (const auto diameter = named->diameter_mm(mm)) return (*diameter / 2 + beside_mm) / mm;
    return unsure_mm / mm;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, std::optional<double> of_file,
             Report& report) {
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) continue;
        Cut cut;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.calls_tool || act.deleted || act.polar || act.cylinder) {
                cut = {};
                continue;
            }
            if (act.cuts() && is_live(act) && act.motion != MotionKind::drill_cycle && !act.incremental) {
                if (!known(act.from_x) || !known(act.to_x) || !known(act.from_z) || !known(act.to_z)) {
                    cut = {};
                    continue;
                }
                const bool goes_in = act.moves_x && !act.moves_z && act.to_x < act.from_x && act.to_z < 0;
                if (act.moves_x && act.to_x > act.from_x) cut = {};
                if (goes_in && !cut.plunge) cut = {&act, false, act.to_z, act.to_z};
                if (cut.plunge && act.moves_z && !act.moves_x) cut.along = true;
                if (cut.plunge) {
                    cut.z_high = std::max({cut.z_high, act.from_z, act.to_z});
                    cut.z_low = std::min({cut.z_low, act.from_z, act.to_z});
                }
                continue;
            }
            if (!act.moves()) continue;
            const bool away = (act.motion == MotionKind::rapid || is_return(act.motion)) && act.moves_z &&
                              !act.moves_x && cut.plunge && cut.along && known(act.from_x) &&
                              known(act.from_z);
            const Cut done = std::exchange(cut, {});
            const auto mm = mm_of(act, of_file);
            if (!away || !mm || (!is_return(act.motion) && (!known(act.to_z) || act.to_z < act.from_z)))
                continue;
            // The front of what is turned
            float metal_from = not_known, metal_to = not_known, deepest = 0;
            const float begin = done.z_high, end = is_return(act.motion) ? 0 : std::min(act.to_z, 0.0F);
            for (int i = 1; i < samples; ++i) {
                const float z = begin + (end - begin) * static_cast<float>(i) / samples;
                const float turned = cleared_at(program, &act, z, true),
                            all = cleared_at(program, &act, z, false);
                if (z <= begin || !known(turned) || !known(all) || (all - act.from_x) * *mm < least_deep_mm)
                    continue;
                if (!known(metal_from)) metal_from = z;
                metal_to = z;
                deepest = std::max(deepest, all - act.from_x);
            }
            if (!known(metal_from) || metal_to - begin < reach_of(tool, *mm)) continue;
            report.at(tool.place(act))
                .message(
                    said("The cutter stands at X{0} here, {1} deep in the side of the part, and {2} in front "
                         "of its cut is metal: along Z it goes through that at rapid. It breaks, and the "
                         "part with it. Send X out first.",
                         written(static_cast<float>(x_as_written(act.from_x, context.settings()))),
                         spoken(std::round(deepest * 1e4) / 1e4),
                         spoken(std::round((metal_to - begin) * 1e4) / 1e4)))
                .related(tool.place(*done.plunge), said("it went in here"));
            return;
        }
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_main_program(
        tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, of_file, report); });
}

} // namespace

extern const Check check{
    .id = "live_tool_home_through_part",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Cutter sent along Z with X still in the part",
    .documentation = "A driven tool has gone into the side of the part along X and milled along Z there, as "
                     "for a keyway or a "
                     "flat, and its next way is along Z alone, with X where it cut: in front of its cut, as "
                     "the turning tools "
                     "have left the part, stands metal, and the cutter goes through it at rapid. X was to go "
                     "out first. Cuts "
                     "that are open to the front, work on the face, and metal that the radius of the cutter "
                     "may have taken "
                     "are left alone.",
    .file = file,
    .examples =
        {
            {System::B, R"(
(M78/M79 C AXIS ON/OFF, M86/M87 LIVE TOOL ON/OFF)
G21 G90 G95
T0101
G97 S900 M03
G00 X50. Z2.
G01 Z-80. F0.2
X54.
G00 X100. Z50.
M05
T0505 (END MILL D8)
M78
G94
S2400 M86
G00 Z-25. C0
X54.
G01 X40. F50
Z-45. F130
G00 Z120.
;^^^^^^^^ warning: live_tool_home_through_part
X200.
M87
M79
M30
)"},
            {System::A, R"(
(M78/M79 C AXIS ON/OFF, M86/M87 LIVE TOOL ON/OFF)
G20 G99
T0101
G97 S900 M03
G00 X2. Z.1
G01 Z-3. F.008
X2.2
G00 X4. Z2.
M05
T0505 (END MILL .375)
M78
G98
S2400 M86
G00 Z-1. C0
X2.1
G01 X1.7 F4.
Z-2. F10.
Z-1.
G28 W0
;^^^^^^ warning: live_tool_home_through_part
G28 U0
M87
M79
M30
)"},
            {System::A, R"(
(M78/M79 C AXIS ON/OFF, M86/M87 LIVE TOOL ON/OFF)
G21 G99
T0101
G97 S900 M03
G00 X50. Z2.
G01 Z-80. F0.2
X54.
G00 X100. Z50.
M05
T0505 (END MILL D8)
M78
G98
S2400 M86
G00 Z-25. C0
X54.
G01 X40. F50
Z-45. F130
G00 X54.
Z120.
X200.
M87
M79
M30
)"},
            // Open to the front
            {System::C, R"(
(M78/M79 C AXIS ON/OFF, M86/M87 LIVE TOOL ON/OFF)
G71 G90 G95
T0101
G97 S900 M03
G00 X50. Z2.
G01 Z-80. F0.2
X54.
G00 X100. Z50.
M05
T0505 (END MILL D8)
M78
G94
S2400 M86
G00 Z-25. C0
X54.
G01 X40. F50
Z6. F130
G00 Z120.
X200.
M87
M79
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::live_tool_home_through_part

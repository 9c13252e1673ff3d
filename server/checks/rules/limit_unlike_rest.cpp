// A surface speed with no limit of its own, where all others of the program have one.
//
// That such a habit is kept on purpose: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::limit_unlike_rest {

namespace {

/// Others that have one, where S is as large as theirs; fewer where it is far larger, and rpm is meant.
constexpr std::size_t enough = 4, enough_above = 2;
constexpr double above_others = 1.5, blade_above_others = 1.2;

/// It does nothing but go in along X, as a blade.
bool only_plunges(const Acts& work) {
    return std::all_of(work.acts.begin(), work.acts.end(), [](const Act& act) {
        return !act.cuts() || (act.motion == MotionKind::feed && act.moves_x && act.from_z == act.to_z);
    });
}

/// An S under surface speed, and what it finds.
struct Surface {
    const ToolOfSpan* tool = nullptr;
    const Act* at = nullptr;
    bool limited = false; ///< Its sequence states a limit, down to the block of the first move
};

std::vector<Surface> surfaces_of(std::span<const ToolOfSpan> tools) {
    std::vector<Surface> all;
    for (const ToolOfSpan& tool : tools) {
        bool limited = false, open = false;
        for (const Act& act : tool.work->acts) {
            limited = limited || act.gives_limit;
            if (open) all.back().limited = all.back().limited || act.gives_limit;
            if (act.moves()) open = false;
            if (!act.gives_speed || act.spindle != machine::Spindle::main || !act.surface_speed()) continue;
            open = true;
            all.push_back({&tool, &act, limited});
        }
    }
    return all;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const std::vector<Surface> all = surfaces_of(tools);
    const Surface *odd = nullptr, *limited = nullptr;
    std::size_t kept = 0;
    double most = 0;
    for (const Surface& surface : all) {
        if (surface.limited) {
            ++kept;
            most = std::max<double>(most, surface.at->speed);
            if (!odd) limited = &surface;
        } else if (odd) {
            return; // Another habit
        } else {
            odd = &surface;
        }
    }
    if (!odd || !limited || !odd->tool->span->sequence) return;
    const bool above =
        odd->at->speed >= most * (only_plunges(*odd->tool->work) ? blade_above_others : above_others);
    if (kept < (above ? enough_above : enough)) return;
    // The same tool goes on behind a stop, to measure mostly: the limit is its own.
    if (odd->tool != tools.data() && (odd->tool - 1)->station == odd->tool->station) return;
    const double limit = odd->at->speed_limit;
    if (!known(odd->at->speed_limit) || limit <= 0) return;
    const std::string limit_code = code(context.settings(), Meaning::speed_limit),
                      surface_code = code(context.settings(), Meaning::surface_speed);
    report.at_letter(odd->tool->place(*odd->at), 'S')
        .severity(Severity::information)
        .message(
            said("All {} other {} here have a limit of their own in front, and this one has none: {} S{} "
                 "of the sequence above is still in force. Is {} lost, or is {} S{} meant?",
                 kept, surface_code, limit_code, spoken(limit), limit_code,
                 code(context.settings(), Meaning::constant_rpm), spoken(odd->at->speed)))
        .related(limited->tool->place(*limited->at), said("with a limit"));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "limit_unlike_rest",
    .family = Family::spindle,
    .severity = Severity::information,
    .title = "Surface speed without the limit that all others have",
    .documentation =
        "Every constant surface speed of the program but one has a speed limit of its own in front. This one "
        "turns under the limit of another tool, which was chosen for another diameter, another grip or "
        "another length that sticks out: its block is lost, or G96 stands where G97 is meant. It is told "
        "only "
        "where four or more others agree, or two where its S is far above theirs, and no second one differs.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G50 S2500
G96 S180 M03
G00 X52. Z0
G01 X20. F0.2
T0303
G96 S220 M03
;   ^^^^ information: limit_unlike_rest
G00 X52. Z2.
G01 Z-20. F0.1
T0505
G50 S1200
G96 S120 M03
G00 X52. Z-30.
G01 X30. F0.08
T0707
G50 S1500
G96 S140 M03
G00 X20. Z2.
G01 Z-20. F0.1
T0909
G50 S1200
G96 S120 M03
G00 X52. Z-50.
G01 X30. F0.08
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G92 S2500
G96 S500 M03
G00 X2.1 Z0
G01 X1. F.008
G92 S3000
T0303
G96 S600 M03
G00 X2.1 Z.1
G01 Z-1. F.005
T0505
G96 S900 M03
;   ^^^^ information: limit_unlike_rest
G00 X2.1 Z-1.
G01 X1.5 F.003
M30
)"},
            // Once for all, and two that go on with what is in force.
            {System::B, R"(
G21 G90 G95
G92 S2500
T0101
G96 S180 M03
G00 X52. Z0
G01 X20. F0.2
T0303
G96 S220 M03
G00 X52. Z2.
G01 Z-20. F0.1
T0505
G96 S120 M03
G00 X52. Z-30.
G01 X30. F0.08
M30
)"},
            {System::A, R"(
G21 G99
T0101
G50 S2500
G96 S180 M03
G00 X52. Z0
G01 X20. F0.2
T0303
G50 S2500
G96 S220 M03
G00 X52. Z2.
G01 Z-20. F0.1
G96 S260
G01 Z-30.
T0505
G50 S1200
G97 S700 M03
G00 X52. Z-30.
G01 X30. F0.08
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::limit_unlike_rest

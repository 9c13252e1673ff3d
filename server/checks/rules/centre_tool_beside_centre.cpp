// A reamer, tap or centre drill that goes in a little beside the centre.
//
// Common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::centre_tool_beside_centre {

namespace {

using Kind = NamedTool::Kind;

/// Farther off it is meant: a hole beside the centre, with C or a live tool.
constexpr double beside_mm = 3;

bool must_be_centred(const ToolOfSpan& tool) {
    return (tool.is(Kind::ream) || tool.is(Kind::tap) || tool.is(Kind::centre)) && !tool.own->live &&
           !tool.listed->live;
}

/// It turns by itself, or the part stands.
bool is_driven(const Act& act) {
    return act.stopped() || act.part_stands || act.spindle == machine::Spindle::live;
}

bool goes_in_beside(const ToolOfSpan& tool, const Act& act, double per_unit) {
    if (!known(act.from_x) || act.from_x == 0 || std::abs(act.from_x) * 2 * per_unit > beside_mm)
        return false;
    if (act.taps() || act.drills() || act.threads()) return act.moves_z;
    return act.motion == MotionKind::feed && act.moves_z && act.to_x == act.from_x && known(act.to_z) &&
           act.to_z < 0 && act.to_z < act.from_z && !tool.work->word(act, 'C');
}

/// Nothing in the file turns the part to a place, or drives a tool: what works at the face works on the
/// centre.
bool only_turns(std::span<const ToolOfSpan> tools) {
    return std::none_of(tools.begin(), tools.end(), [](const ToolOfSpan& tool) {
        return tool.own->live || tool.listed->live ||
               std::any_of(tool.work->acts.begin(), tool.work->acts.end(), [&](const Act& act) {
                   return act.turns_part || act.polar || act.cylinder || known(act.to_c) || known(act.to_y) ||
                          act.spindle != machine::Spindle::main || tool.work->word(act, 'C') ||
                          tool.work->word(act, 'H');
               });
    });
}
/// The largest X, as radius, that another tool cuts at, or this one elsewhere.
float farthest_cut(std::span<const ToolOfSpan> tools, const Act& but) {
    float farthest = 0;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if (&act != &but && (act.cuts() || act.threads()))
                for (float x : {act.from_x, act.to_x})
                    if (known(x)) farthest = std::max(farthest, x);
    return farthest;
}
/// Where X stands at a cycle: by what the tool was given, else where it was called.
struct Stands {
    double x = 0;
    bool given = false, at_home = false;
};
std::optional<Stands> stands_at(const ToolOfSpan& tool, const Act& cycle) {
    if (known(cycle.from_x)) return Stands{cycle.from_x, true};
    for (const Act& act : tool.work->acts) {
        if (&act == &cycle) break;
        if (act.moves_x || act.calls_program || act.deleted) return std::nullopt;
    }
    const machine::Value& call = tool.span->facts->call_from_x_radius;
    if (call.known()) return Stands{call.number};
    if (call.why == machine::Why::at_reference) return Stands{0, false, true};
    return std::nullopt;
}

/// A tap in the face of a turning part, or a drill that goes in where no other tool has anything to cut.
void look_far_beside(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    if (!only_turns(tools)) return;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            const bool taps = act.taps() && act.meaning == Meaning::tap_face;
            const bool pecks = act.motion == MotionKind::peck_cycle && act.meaning == Meaning::peck_face;
            const bool drills =
                (act.motion == MotionKind::drill_cycle && act.drills() && !act.taps()) || pecks;
            // In front of the face X may still come.
            const bool feeds = act.motion == MotionKind::feed && known(act.from_z) && act.from_z > 0 &&
                               known(act.to_z) && act.to_z < 0;
            if ((!taps && !drills && !feeds) || !act.turns() || !act.moves_z || act.moves_x) continue;
            const auto stands = stands_at(tool, act);
            if (must_be_centred(tool) && !(stands && stands->at_home)) continue;
            const float farthest = farthest_cut(tools, act);
            if (!stands || (!stands->at_home && (stands->x == 0 || feeds))) break;
            const bool beyond = stands->at_home || (farthest > 0 && stands->x > farthest * 1.02F);
            if (!beyond && (!taps || !stands->given)) break;
            const std::string x = spoken_x(stands->x, context.settings());
            report.at(tool.place(act))
                .message(stands->at_home && feeds
                             ? said("X has not moved since the way home: this feed goes along Z out there, "
                                    "in the air, and nothing is cut. Write X in the approach, X0 for a tool "
                                    "that works on the centre.")
                         : stands->at_home
                             ? said("X has not moved since the way home: this cycle works along "
                                    "Z out there, in the air, "
                                    "and nothing is drilled. Write X0 in the approach.")
                         : beyond ? said("The cycle along Z works at {}, and no other tool cuts farther out "
                                         "than {}: the tool "
                                         "goes in the air beside the part, and nothing is drilled. Write X0 "
                                         "in its approach.",
                                         x, spoken_x(farthest, context.settings()))
                                  : said("The tap goes in at {}, and the part turns: a tap cuts on the "
                                         "centre, here it is "
                                         "bent and breaks. Write X0 in its approach.",
                                         x));
            break;
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_program(tools,
                     [&](std::span<const ToolOfSpan> program) { look_far_beside(context, program, report); });
    for (const ToolOfSpan& tool : tools) {
        if (!must_be_centred(tool)) continue;
        for (const Act& act : tool.work->acts) {
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit || is_driven(act) || !goes_in_beside(tool, act, *per_unit)) continue;
            report.at(tool.place(act))
                .message(said("The {} goes in at {}, beside the centre of a part that turns: it is bent "
                              "and breaks. Write X0 in its approach.",
                              kind_title(tool.own->kind == Kind::none ? tool.listed->kind : tool.own->kind),
                              spoken_x(act.from_x, context.settings())));
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "centre_tool_beside_centre",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Centre tool beside the centre",
    .documentation =
        "A reamer, a tap or a centre drill, by its note, goes into the face of a turning part a little "
        "beside "
        "the centre: it is bent round by the part and breaks, or the hole comes out wide. On a lathe these "
        "tools work at X0. With the spindle standing, as a live tool, and farther out than 3 mm in diameter "
        "it may be meant, and stays quiet; so does a drill with inserts, which may be set over for size. A "
        "tapping "
        "cycle along Z away from the centre of a turning part is told in a program with no C axis and no "
        "live "
        "tool, a drilling cycle that stands farther out than all that is cut, and a feed into the face where "
        "X "
        "still stands at home.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0606 (REAM 6H7)
G97 S300 M03
G00 X0.5 Z5.
G01 Z-50. F0.3
;^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G00 Z5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404 (3/8-16 TAP)
G97 S300 M03
G00 X.1 Z.3
G98 G84 Z-.75 R.2 F.0625
;^^^^^^^^^^^^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G80
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606 (REAM 6H7)
G97 S300 M03
G00 X0 Z5.
G01 Z-50. F0.3
G00 Z5.
M30
)"},
            // No note, but the part turns.
            {System::A, R"(
G20 G99
T0404
G97 S900 M3
G0 X0 Z.3
G83 Z-1.85 Q2500 F.006
G80
G0 X6. Z4.
T0606
G97 S300 M3
G0 X.5 Z.5
M29 S300
G84 Z-1.55 F.0769
;^^^^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G80
M30
)"},
            // The X of the approach is lost.
            {System::B, R"(
G20 G90 G95
T0202
G97 S2500 M3
G0 X.8 Z0
G1 X-.04 F.004
G0 X5. Z4.
T0303
G0 Z.1
G74 R.02
G74 Z-1.3 Q2500 F.006
;^^^^^^^^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G0 Z.2
M30
)"},
            // Grooves in a face.
            {System::C, R"(
G71 G90 G95
T0202
G97 S800 M3
G0 X84. Z0
G1 X-1.6 F.2
G0 X200. Z100.
T0303
G0 X60. Z2.
G76 R.5
G76 Z-6. Q1500 F.08
G0 Z100.
M30
)"},
            // A live tool, by the shop file's codes.
            {System::A, R"(
G21 G98
M05
M45
T0606 (TAP M6)
M61
G97 S300
G00 X2.5 Z5. C0.
G84 X2.5 Z-12. F300.
G80
M62
M46
M30
)",
             R"(
[[machine]]
[machine.m_codes]
M45 = { name = "C axis on", does = "C axis on" }
M46 = { name = "C axis off", does = "C axis off" }
M61 = { name = "live tool on", does = "live tool on" }
M62 = { name = "live tool off", does = "live tool off" }
)"},
            // A drill with inserts is set over for size.
            {System::A, R"(
G21 G99
T0202 (INSERT DRILL 22)
G97 S1400 M03
G00 X1.8 Z3.
G01 Z-40. F0.08
G00 Z3.
M30
)"},
            // X of the approach is lost, of a drill by feed; a turning tool; with X in the called program.
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X0 Z5.
G01 Z-4. F0.08
G00 Z5.
G53 G00 Z0
G53 G00 X0
T0404
G97 S900 M03
G00 Z4.
G01 Z-24. F0.15
;^^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G00 Z4.
G53 G00 Z0
G53 G00 X0
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X1.6 Z.1
G01 Z-1. F.01
G28 U0
G28 W0
T0303
G97 S900 M03
G00 Z.1
G01 Z-1. F.006
;^^^^^^^^^^^^^ warning: centre_tool_beside_centre
G28 U0
G28 W0
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X42. Z2.
G01 Z-20. F0.2
G28 U0
G28 W0
T0303
G97 S900 M03
G00 Z2.
M98 P7100
G01 Z-20. F0.2
G28 U0
G28 W0
M30
O7100
G00 X40.
M99
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::centre_tool_beside_centre

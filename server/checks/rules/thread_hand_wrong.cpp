// A thread that a note names as left-hand and that is cut as a right-hand one.
//
// From first principles: toward the chuck with M03 (ISO 841: as a right-hand screw goes in) the helix is a
// right-hand one, wherever the tool stands.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "motion/thread_names.h"

namespace turnwright::checks::rules::thread_hand_wrong {

namespace {

/// Along Z: below 0 toward the chuck; 0: not known, or across.
double way_of(const Act& act) {
    return known(act.from_z) && known(act.to_z) ? act.to_z - act.from_z : 0;
}

void look_at(const ToolOfSpan& tool, const std::vector<ToolOfSpan>& tools, const FileContext& context,
             Report& report) {
    const auto named = thread_of(tool, tools);
    if (!named || !motion::is_left_hand(named->name)) return;
    for (const Act& act : tool.work->acts) {
        if (!act.threads() || act.spindle != machine::Spindle::main || !act.turns()) continue;
        const double way = way_of(act);
        const bool forward = Act::only(act.direction, Meaning::spindle_forward);
        if (way == 0 || forward != (way < 0)) continue;
        report_at_code(report, context, tool, act)
            .message(said(
                "{} is a left-hand thread, and with {} {} the chuck this cuts a right-hand one. Cut it {} "
                "the chuck, or with {} and an insert for that way.",
                named->name, forward ? "M03" : "M04", way < 0 ? said("toward") : said("away from"),
                way < 0 ? said("away from") : said("toward"), forward ? "M04" : "M03"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools)
        if (tool.work->has_threads) look_at(tool, tools, context, report);
}

} // namespace

extern const Check check{
    .id = "thread_hand_wrong",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Left-hand thread cut as a right-hand one",
    .documentation =
        "A note names a left-hand thread (`M20X1.5 LH`, `LH THREAD`), and spindle and way of the tool make a "
        "right-hand one: M03 toward the chuck, or M04 away from it. The nut does not go on, and the part is "
        "scrap. Which hand it becomes hangs on these two alone, not on where the turret stands. A thread "
        "that no note calls left-hand, taps and other spindles than the main one are left alone. M03 and M04 "
        "are taken as ISO 6983-1 and ISO 841 have them.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
N1 (THREAD M20X1.5 LH)
T0505
G97 S800 M03
G00 X24. Z6.
G76 P010060 Q50 R0.02
G76 X18.16 Z-20. P920 Q330 F1.5
;^^ warning: thread_hand_wrong
M30
)"},
            {System::B, R"(
(T5 LEFT HAND THREAD TR20X4)
G21 G90 G95
N1
T0505
G97 S300 M04
G00 X24. Z-40.
G78 X19.5 Z4. F4.
;^^ warning: thread_hand_wrong
X19.
M30
)"},
            {System::C, R"(
G70 G90 G95
N1 (3/4-16 UNF LH)
T0505
G97 S700 M03
G00 X.85 Z.25
X.73
G33 Z-.43 F.0625
;^^ warning: thread_hand_wrong
G00 X.85
M30
)"},
            {System::A, R"(
G21 G99
N1 (THREAD M20X1.5 LH)
T0505
G97 S800 M04
G00 X24. Z6.
G76 P010060 Q50 R0.02
G76 X18.16 Z-20. P920 Q330 F1.5
M30
)"},
            {System::B, R"(
G21 G90 G95
N1 (THREAD M20X1.5 LH)
T0505
G97 S800 M03
G00 X24. Z-24.
G78 X19.5 Z3. F1.5
X19.
M30
)"},
            {System::C, R"(
G71 G90 G95
N1 (LH TURNING TOOL)
T0404
G97 S800 M03
G00 X24. Z6.
G01 X20. F0.2
Z-20.
N2 (THREAD M20X1.5)
T0505
G97 S800 M03
G00 X24. Z6.
G21 X19.5 Z-20. F1.5
X19.
M30
)"},
            right_turning_a,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_hand_wrong

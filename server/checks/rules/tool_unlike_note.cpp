// A tool number that the tool list gives to another sort of tool than the sequence is for.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::tool_unlike_note {

namespace {

using Kind = NamedTool::Kind;

/// What only one sort of tool does.
Kind kind_by_work(const Act& act) {
    const bool on_centre = act.from_x == 0 && act.to_x == 0;
    if (act.taps() || (act.threads() && on_centre)) return Kind::tap; // By G32 with a float holder, too
    if (act.threads()) return Kind::thread;
    return act.drills() ? Kind::drill : Kind::none;
}
bool is_round(Kind kind) {
    return kind == Kind::drill || kind == Kind::centre || kind == Kind::tap || kind == Kind::ream;
}
/// Whether a tool called `listed` may well do the work of `wanted`.
bool may_do(Kind listed, Kind wanted) {
    if (listed == wanted || listed == Kind::none || wanted == Kind::none) return true;
    if (is_round(listed) != is_round(wanted)) return false;
    if (!is_round(listed)) // Names of turning tools and of their work overlap.
        return (listed == Kind::thread) == (wanted == Kind::thread) || wanted == Kind::groove ||
               listed == Kind::groove || listed == Kind::bore || wanted == Kind::bore;
    return (listed == Kind::drill && wanted == Kind::centre) ||
           (listed == Kind::centre && wanted == Kind::drill) ||
           (listed == Kind::drill && wanted == Kind::ream);
}

/// A note above several tools tells what the last of them makes: that one comes below, with no note of its
/// own.
bool comes_later(const std::vector<ToolOfSpan>& tools, const ToolOfSpan& tool, Kind kind) {
    return std::any_of(&tool + 1, tools.data() + tools.size(), [&](const ToolOfSpan& later) {
        return later.station > 0 && later.own->kind != Kind::stop && later.listed->kind == kind &&
               (later.own->kind == Kind::none || later.own->kind == kind) &&
               later.span->program == tool.span->program;
    });
}

/// Centre and spot drills go no deeper: common practice, no source.
constexpr double deepest_centre_mm = 20;

bool works_on_centre(const Acts& work) {
    bool any = false;
    for (const Act& act : work.acts) {
        if (!act.cuts()) continue;
        if (act.from_x != 0 || act.to_x != 0) return false;
        any = true;
    }
    return any;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    auto tell = [&](const ToolOfSpan& tool, Kind wanted, BlockPlace call) {
        std::string other;
        for (const ToolOfSpan& list : tools)
            for (const auto& [station, named] : list.work->listed)
                if (other.empty() && station != tool.station && named.kind == wanted)
                    other = said(" In the list T{:02} is the {}.", station, kind_title(wanted));
        report.at_letter(call, 'T').message(
            said("T{:02} is a {} by the tool list, and what is done here wants a {}: it breaks, or "
                 "the work is not done.{}",
                 tool.station, kind_title(tool.listed->kind), kind_title(wanted), other));
    };
    for (const ToolOfSpan& tool : tools) {
        const Kind listed = tool.listed->kind;
        if (tool.station <= 0 || listed == Kind::none || listed == Kind::stop || tool.listed->live) continue;
        if (!tool.span->sequence->calls_tool) continue;
        // The cycle tells most: a note may name the work before or behind it. A tool that is called again for
        // other work without a stop between goes on with its sequence.
        BlockPlace call = tool.span->sequence->tool_call;
        bool told = false, by_work = false;
        for (const Act& act : tool.work->acts) {
            // Done by the tool before, where the N word stands in front of two calls.
            if (tool.place(act) < tool.span->sequence->tool_call) continue;
            if (act.calls_tool && !tool.work->has_code(act, 'T', 0)) call = tool.place(act);
            const Kind wanted = kind_by_work(act);
            by_work = by_work || wanted != Kind::none;
            // Turning tools peck with the same cycles.
            const bool is_meant = wanted == Kind::drill && !is_round(listed) && !is_round(tool.own->kind);
            const auto mm = mm_of(act, of_file);
            const bool too_deep = listed == Kind::centre && tool.own->kind != Kind::drill && mm &&
                                  (act.drills() || act.cuts()) && act.from_x == 0 && act.to_x == 0 &&
                                  known(act.to_z) && act.to_z * *mm < -deepest_centre_mm;
            if (too_deep && !told) {
                tell(tool, Kind::drill, call);
                told = true;
            }
            if (told || is_meant || may_do(listed, wanted)) continue;
            tell(tool, wanted, call);
            told = true;
        }
        if (is_round(listed) && !is_round(tool.own->kind) && works_on_centre(*tool.work)) continue;
        // The note stands above the work of the tool before, which the span begins with.
        const bool of_before =
            std::any_of(tool.work->acts.begin(), tool.work->acts.end(), [&](const Act& act) {
                return tool.place(act) < tool.span->sequence->tool_call && kind_by_work(act) != Kind::none;
            });
        if (!by_work && !of_before && tool.own->kind != Kind::stop && !may_do(listed, tool.own->kind) &&
            !comes_later(tools, tool, tool.own->kind))
            tell(tool, tool.own->kind, tool.span->sequence->tool_call);
    }
}

} // namespace

extern const Check check{
    .id = "tool_unlike_note",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Tool called for work of another sort",
    .documentation = "The notes of the program list this station as one sort of tool (a tap, a drill, a "
                     "threading tool) and "
                     "the cycle, or the note of the sequence, is the work of another sort: a tap driven into "
                     "the solid, a drill "
                     "run as a tap. The number in the call is wrong, or the note is.",
    .file = file,
    .examples =
        {
            // Roughed by a drill: all of it on the centre.
            {System::B, R"(
(T1 TURN  T3 1.250 FLAT BOTTOM DRILL)
G20 G90 G95
N3 T0303 (ROUGH POCKET)
G97 S1000 M03
G00 X0 Z.2
G01 Z-.49 F.005
G00 Z1.
M30
)"},
            // What the second clamping is for stands above all of its tools.
            {System::B, R"(
(T1 ROUGH R0.8   T8 THREAD P2)
G21 G90 G95
G97 S800 M03
(SECOND SIDE: THREAD M36X2)
T0101
G00 X48. Z3.
G01 Z-20. F.2
X50.
G28 X60. Z10.
T0808
G00 X40. Z12.
G78 X35.4 Z-15. F2.
X33.55
M30
)"},
            {System::A, R"(
(T2 SPOT 3/8 90 DEG, T4 NO.7 DRILL .201, T6 TAP 1/4-20)
G20 G99
N3 (DRILL NO.7)
T0606
;^^^^ warning: tool_unlike_note
G97 S3000 M03
G00 X0 Z.5
G83 Z-.83 R-.4 Q1500 F.005
G80
M30
)"},
            {System::B, R"(
(T4 DRILL 4.2; T5 TAP M5)
G21 G90 G95
T0404
G97 S1000 M03
G00 X0 Z5.
G83 Z-16. R2. Q5000 F.1
G80
M01
T0404
;^^^^ warning: tool_unlike_note
G97 S300 M03
G00 X0 Z5.
G84 Z-10. R2. F.8
G80
M30
)"},
            {System::C, R"(
(T1 CNMG R0.8 / T3 DNMG R0.4 / T5 DRILL D20 / T7 TAP M12 / T9 BAR D16)
G71 G90 G95
N1 (DRILL)
T0505
G97 S800 M03
G00 X0 Z5.
G76 R1.
G76 Z-30. Q5000 F.2
N2 (TAP M12)
T0707
G97 S250 M03
G00 X0 Z10.
G84 Z-20. R6. F1.75
G80
N3 (BORE 22)
T0909
G97 S900 M03
G00 X22. Z2.
G01 Z-20. F.1
M30
)"},
            {System::A, R"(
(T2 DRILL 10 - T4 CENTRE DRILL)
G21 G99
N1 (CENTRE)
T0202
G97 S800 M03
G00 X0 Z5.
G83 Z-4. R-3. F.1
G80
M30
)"},
            {System::B, R"(
(T6 CROSS DRILL .125 LIVE)
G20 G90 G95
N1 (TAP M3 FROM THE SIDE)
T0606
G97 S300 M03
G00 X1. Z-.5
G88 X.2 R.2 F.02
G80
M30
)"},
            {System::A, R"(
(T5 DRILL 6.8 T7 TAP M8 FLOAT HOLDER)
G21 G99
T0707
G97 S300 M03
G00 X0 Z6.
G32 Z-14. F1.25
M05
M04
G32 Z6. F1.25
M05
M30
)"},
            // Numbers by hundreds, so that the list stands in the first sequence.
            {System::B, R"(
(T1 TURN .031R  T2 SPOT DRILL 90 DEG  T3 DRILL .3125  T4 TAP 3/8-16)
(T5 FINISH .016R)
N100 G20 G90 G40 G97 G95
T0101
G96 S500 M03
G00 X1.1 Z.1
G01 X-.06 F.007
G28 X2. Z.5
N300 T0404
;    ^^^^^ warning: tool_unlike_note
G97 S1400 M03
G00 X0. Z.2
G83 Z-1.1 R-.1 Q2000 F.006
G80
G00 Z.5
G28 X2. Z.5
M30
)"},
            // The hole by the centre drill, and the centre drill itself.
            {System::A, R"(
(T1 ROUGH  T2 CENTRE DRILL  T3 DRILL 8.5)
G21 G99
N2 T0202
G97 S1800 M03
G00 X0 Z3.
G01 Z-4. F.1
G00 Z5.
G28 U0 W0
N3 T0202
;  ^^^^^ warning: tool_unlike_note
G97 S1200 M03
G00 X0 Z3.
G83 Z-30. Q8000 F.15
G80
G28 U0 W0
M30
)"},
            // The N word stands behind the first call, and a second tool is called before the next.
            {System::A, R"(
(T2 DRILL 25  T4 BORING BAR)
G21 G97 G99
T0202
M901
N1 G00 X0 Z6.
G74 R1.
G74 Z-69. Q12000 F0.2
G00 Z150.
X220.
M902
T0404
M903
N2 G00 X24. Z3.
G90 X25.6 Z-61.5 F0.18
X28.2 Z-21.9
G00 Z150.
X220.
M30
)"},
            // Each call stands above the wait and the number of its sequence.
            {System::A, R"(
(T2 DRILL 25, T4 BORING BAR ROUGH)
G21 G99
G28 U0
G28 W0
T0202
M901
N1 G00 X0 Z6. (DRILL 25 THROUGH)
G74 R1.
G74 Z-69. Q12000 F0.2
G00 Z150.
M902
T0404
M903
N2 G00 X24. Z3. (BORE)
G90 X25.6 Z-61.5 F0.18
G00 Z150.
M904
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tool_unlike_note

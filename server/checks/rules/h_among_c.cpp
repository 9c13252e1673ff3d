// H, which adds to where the spindle stands, among angles that the program gives by C.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::h_among_c {

namespace {

constexpr std::size_t enough = 4; ///< Places by C

struct Place {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    const ActWord* word = nullptr;
    bool beside = false; ///< A hole or a cut by C stands beside it, in its own row
};

/// "G18 W0 H0" in front of a cylinder; "H45. K7": seven holes of one step.
bool is_of_its_own(const Acts& work, const Act& act) {
    return is_return(act.motion) || act.calls_program || act.calls_tool || act.dwells ||
           act.states(Group::plane) || work.has_letter(act, "KLP");
}

bool same_angle(double a, double b) {
    return std::abs(std::remainder(a - b, 360)) < 1e-3;
}

/// One tool has H at each of its places. In systems B and C that is no angle; in A they grow by equal steps,
/// as places do, and steps do not.
void look_at_tool(const std::vector<Place>& by_h, std::size_t by_c, bool by_letter, Report& report) {
    const Place& first = by_h.front();
    for (const Place& place : by_h)
        if (place.tool != first.tool) return;
    if (!by_letter) {
        if (by_c < 2) return;
        report.at_letter(first.tool->place(*first.act), 'H')
            .message(said(
                "H stands at {0} places of this tool, and the other tools of the program turn the spindle by "
                "C: here H is no angle, and the spindle stays where it stands, or the control alarms. Write "
                "C{1}, and so on.",
                by_h.size(), written(first.word->number)));
        return;
    }
    const double step = by_h[1].word->number - first.word->number;
    if (step <= 0 || by_h.size() * step < 100) return;
    for (std::size_t i = 0; i < by_h.size(); ++i)
        if (!same_angle(by_h[i].word->number, first.word->number + static_cast<double>(i) * step) ||
            by_h[i].word->number < 0)
            return;
    // From nought, or from the angle in front of the first, in the same steps.
    const bool from_nought = same_angle(first.word->number, step) || first.word->number == 0;
    if (!from_nought && by_h.size() < 3) return;
    double sum = 0;
    for (const Place& place : by_h) sum += place.word->number;
    report.at_letter(first.tool->place(*first.act), 'H')
        .message(said(
            "H turns on from where the spindle stands, and these grow as places do: H{0}, H{1} and so on "
            "make "
            "{2} degrees in all. The holes or cuts come to other angles, or twice to one. Write C for H, or "
            "the same step each time.",
            written(first.word->number), written(by_h[1].word->number), spoken(sum)));
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    std::size_t by_c = 0;
    std::vector<Place> by_h;
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) return;
        const Act* last_c = nullptr; // Of this tool, with nothing but cuts and ways since
        for (const Act& act : tool.work->acts) {
            if (act.deleted) continue;
            const ActWord *c = tool.work->word(act, 'C'), *h = tool.work->word(act, 'H');
            if (is_return(act.motion) || is_of_its_own(*tool.work, act)) continue;
            if (c) {
                ++by_c;
                if (last_c == nullptr && !by_h.empty() && by_h.back().tool == &tool)
                    by_h.back().beside = true;
                last_c = &act;
            }
            if (h) by_h.push_back({&tool, &act, h, last_c != nullptr});
        }
    }
    const bool by_letter = context.settings().system == System::A;
    if (by_h.size() > 1) return look_at_tool(by_h, by_c, by_letter, report);
    if (by_h.empty() || by_c < (by_letter ? enough : 2)) return;
    const Place& odd = by_h.front();
    const double value = odd.word->number;
    // In the plane of X and C, on the cylinder and in a row of holes all go by one letter. An approach may go
    // by H; where it ends up at its own number as an angle, or at another tool's, C was meant.
    const bool in_row = odd.act->polar || odd.act->cylinder || odd.act->motion == MotionKind::drill_cycle;
    const bool turns_nothing = value == 0;
    bool as_elsewhere = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (const ActWord* c = tool.work->word(act, 'C'); c && !is_of_its_own(*tool.work, act))
                as_elsewhere = as_elsewhere || same_angle(c->number, value);
    if (by_letter && !in_row && !turns_nothing && !as_elsewhere) return;
    // From nought the two are the same.
    if (by_letter && !turns_nothing && known(odd.act->to_c) && same_angle(odd.act->to_c, value)) return;
    auto entry = report.at_letter(odd.tool->place(*odd.act), 'H');
    if (!by_letter)
        entry.message(
            said("H{0} stands where the {1} other places of the spindle are given by C: here H is no "
                 "angle, and the spindle stays where it stands, or the control alarms. Write C{0}.",
                 written(value), by_c));
    else if (turns_nothing)
        entry.message(
            said("H0 turns the spindle by nothing: it stays where the last tool left it. The {} other "
                 "places are given by C, an angle of its own each. Write C0.",
                 by_c));
    else
        entry.message(
            said("H{0} turns the spindle on by {0} degrees from where it stands, and the {1} other "
                 "places of the program are given by C: the cut comes to another angle. Write C{0}.",
                 written(value), by_c));
}

/// The other way round: a tool turns on by H, and one of its turns is by C with the number of the step.
void look_for_c(const ToolOfSpan& tool, Report& report) {
    if (!tool.work->whole) return;
    const Act *step = nullptr, *odd = nullptr;
    double by = 0;
    std::size_t others = 0;
    for (const Act& act : tool.work->acts) {
        if (act.deleted) return;
        if (is_return(act.motion) || is_of_its_own(*tool.work, act)) continue;
        const ActWord *c = tool.work->word(act, 'C'), *h = tool.work->word(act, 'H');
        if (act.polar || act.cylinder) return;
        if (h) {
            if (step && h->number != by) return;
            step = &act;
            by = h->number;
        } else if (c && step) {
            ++others;
            if (c->number == by && by != 0) odd = &act;
        }
    }
    if (!odd || others != 1) return;
    report.at_letter(tool.place(*odd), 'C')
        .message(
            said("C{0} is a place, and the turn before it goes on by H{0}: this one goes to {0} degrees from "
                 "nought and not {0} on, perhaps to where the spindle stands already. What is to come there "
                 "is cut twice in one place, and missing in another. Write H{0}.",
                 written(by)))
        .related(tool.place(*step), said("turned on here"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
    if (context.settings().system == System::A)
        for (const ToolOfSpan& tool : tools) look_for_c(tool, report);
}

} // namespace

extern const Check check{
    .id = "h_among_c",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "H among angles given by C",
    .documentation =
        "A program gives all places of the spindle by C (four or more), and one by H. In system A H adds to "
        "where the spindle stands: the hole or the cut comes to another angle, and H0 turns nothing. In "
        "systems B and C it is no angle. Nothing is said where H stands twice or with a count (H60. K5), on "
        "the way home (G28 H0), beside the code of a plane, or where it comes out at the same angle.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
G28 H0
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. Q5000 F180.
C72.
H144.
;^^^^ warning: h_among_c
C216.
C288.
G80
G00 Z100.
M75
M72
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G20 G97 G98
T0505
M71
G28 H0
S2000 M73
G00 X2. Z.2 C45.
G83 X2. C45. Z-.6 F8.
C135.
C225.
G80
G00 Z4.
T0606
G00 X2. Z.2 H0
;           ^^ warning: h_among_c
G01 Z-.2 F6.
G00 Z4.
M75
M72
M30
)"},
            {System::B, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G90 G94 G97
T0808
M71
S1800 M73
G00 X70. Z-12. C0
G12.1
G42 G01 X32. C0 F150
C9.238
X0 H18.475
;  ^^^^^^^ warning: h_among_c
X-32. C9.238
C-9.238
X0 C-18.475
X32. C-9.238
C0
G40 X70. F500
G13.1
M75
M72
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
G28 H0
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. Q5000 F180.
H45. K7
G80
T0606
G00 X60. Z5. C0
G01 Z-4. F60.
C90. F100.
C180.
C270.
G00 Z100.
M75
M72
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
G28 H0
S2000 M73
G00 X90. Z5. C0
G01 Z-4. F60.
C90. F100.
G00 Z5.
C0
T0606
G00 X60. Z5. C0
G01 Z-4. F60.
G00 Z5.
H15.
G01 Z-4. F60.
G00 Z100.
M75
M72
M30
)"},
            {System::C, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G71 G90 G94 G97
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. Q5000 F180.
C72.
C144.
C216.
C288.
G80
G00 Z100.
M75
M72
M30
)"},
            // Places, not steps.
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. Q5000 F180.
H90.
;^^^ warning: h_among_c
H180.
H270.
G80
M75
M72
M30
)"},
            // The same step each time.
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. Q5000 F180.
H90.
H90.
H90.
G80
M75
M72
M30
)"},
            {System::B, R"(
G21 G90 G97 G94
T0505
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. R2. Q5000 F180.
H90.
;^^^ warning: h_among_c
H180.
G80
T0606
S300
G00 X90. Z5. C0
G84 X90. C0 Z-15. R2. F375.
C90.
C180.
G80
M30
)"},
            // C for H, the third slot.
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
G28 H0
S2000 M73
G00 X90. Z5.
G01 Z-4. F60.
G00 Z5.
H120.
G01 Z-4.
G00 Z5.
C120.
;^^^^ warning: h_among_c
G01 Z-4.
G00 Z5.
M75
M72
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
G28 H0
S2000 M73
G00 X90. Z5. C120.
G01 Z-4. F60.
G00 Z5.
H120.
G01 Z-4.
G00 Z5.
H120.
G01 Z-4.
G00 Z5.
M75
M72
M30
)"},
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::h_among_c

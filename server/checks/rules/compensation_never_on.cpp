// The way out cancels a nose compensation that its tool has never switched on.
//
// That G41 or G42 and G40 come in pairs: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::compensation_never_on {

namespace {

/// Other tools of the program that switch it on and off again.
constexpr std::size_t enough = 1;

struct Cancel {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

bool cuts_along_part(const Act& act) {
    return act.cuts() && act.turns() && act.moves_z && !act.drills();
}

/// A way out may cancel it. The G40 of a safety line is no way out, and what it does need not be asked.
bool may_cancel(const Acts& work) {
    bool cuts_along = false;
    return std::any_of(work.acts.begin(), work.acts.end(), [&](const Act& act) {
        cuts_along = cuts_along || cuts_along_part(act);
        return cuts_along && act.moves() && !act.deleted && act.states(Group::nose_compensation);
    });
}

/// Behind an act that states it. Where a plain G40 stands the state, which is read from above, need not be
/// asked.
bool is_off_behind(const FileContext& context, const ToolOfSpan& tool, const Act& act) {
    const BlockPlace place = tool.place(act);
    const auto has = [&](Meaning meaning) { return find_code(context.reader(), place, meaning) != nullptr; };
    if (!act.deleted && has(Meaning::compensation_off) && !has(Meaning::compensation_left) &&
        !has(Meaning::compensation_right))
        return true;
    const auto possible = context.reader().after(place).of(Group::nose_compensation).possible;
    return Act::only(static_cast<std::uint8_t>(possible), Meaning::compensation_off);
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    std::size_t pairs = 0;
    Cancel odd;
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) return;
        if (!may_cancel(*tool.work)) continue;
        // From the call of its tool on, or of what a block skips to.
        bool on = false, cuts_along = false, told = false;
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.motion == MotionKind::contour_cycle) on = true; // Its contour may
            if (cuts_along_part(act)) cuts_along = true;
            if (!act.states(Group::nose_compensation)) continue;
            if (!is_off_behind(context, tool, act)) {
                on = true;
                continue;
            }
            if (!act.moves() || !cuts_along || act.deleted) continue;
            if (on) {
                ++pairs;
            } else if (!told) {
                if (odd.act) return; // A habit
                odd = {&tool, &act};
                told = true;
            }
            on = false;
            cuts_along = false;
        }
    }
    if (!odd.act || pairs < enough || !odd.tool->span->sequence) return;
    report.at(odd.tool->place(*odd.act))
        .message(
            said("G40 cancels the nose compensation here, and nothing has switched it on since the tool was "
                 "called: tapers and rounds come out by the nose off their place. Is G41 or G42 lost above, "
                 "or the block that has it?"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "compensation_never_on",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Nose compensation cancelled and never switched on",
    .documentation =
        "Behind its cuts a tool goes out with G40, as others of the program do that have G41 or G42 in front "
        "of "
        "theirs, and this one has neither: the code is lost, or the block that leads to the contour with it. "
        "Tapers and rounds come out by the nose off their place. G40 in a block without a move is a safety "
        "line; sequences with a roughing or finishing cycle, whose contour may switch it on, and programs "
        "that "
        "cancel so twice are left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X36. Z2.
G42 X14.
G01 X20. Z-1. F.1
Z-30.
X36.
G00 G40 X100. Z100.
T0303
G97 S900 M03
G00 X16. Z2.
X19.
G01 X15. Z-2. F.1
Z-20.
X14.
G00 G40 Z100.
;^^^^^^^^^^^^ warning: compensation_never_on
X100.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S900 M03
G00 X1.5 Z.1
G42 X.6
G01 X.8 Z-.04 F.004
Z-1.2
X1.5
G00 G40 X4. Z4.
T0303
G97 S900 M03
G00 X1.7 Z.1
X.8
G01 X1. Z-.04 F.004
Z-1.2
X1.7
G00 G40 X4. Z4.
;^^^^^^^^^^^^^^ warning: compensation_never_on
M30
)"},
            // Both have it; and a shop that writes it into each way out.
            {System::C, R"(
G71 G90 G95
T0101
G97 S900 M03
G00 X36. Z2.
G42 X14.
G01 X20. Z-1. F.1
Z-30.
X36.
G00 G40 X100. Z100.
T0303
G97 S900 M03
G00 X16. Z2.
G41 X19.
G01 X15. Z-2. F.1
Z-20.
X14.
G00 G40 Z100.
X100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X36. Z2.
G01 Z-30. F.1
X38.
G00 G40 X100. Z100.
T0303
G97 S900 M03
G00 X16. Z2.
G01 Z-20. F.1
X14.
G00 G40 Z100.
X100.
T0404
G97 S900 M03
G00 X36. Z2.
G42 X14.
G01 X20. Z-1. F.1
Z-30.
X36.
G00 G40 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_never_on

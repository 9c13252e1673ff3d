// A feed along Y, or along C of a plane with X, to the place where the tool stands.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::milled_cut_goes_nowhere {

namespace {

/// Where an axis stands, as the block that brought it there says.
struct Standing {
    const Act* act = nullptr;
    double place = 0;
};

bool goes_by(const Acts& work, const Act& act, char letter) {
    return work.word(act, letter) != nullptr && !act.calls_program && !act.dwells &&
           (act.motion == MotionKind::feed || act.motion == MotionKind::rapid);
}

/// Nothing but this axis; a code of the block is done all the same.
bool moves_only(const Acts& work, const Act& act, char letter) {
    if (act.moves() || act.incremental || act.by_u || act.by_w) return false;
    for (const char other : {'C', 'Y', 'H', 'V', 'B', 'M'})
        if (other != letter && work.word(act, other)) return false;
    return !act.states(Group::nose_compensation) && !act.states(Group::plane);
}

void look_at(const ToolOfSpan& tool, char letter, Report& report) {
    Standing standing;
    const Act* before = nullptr;
    for (const Act& act : tool.work->acts) {
        const bool is_plane = letter == 'Y' || act.polar;
        const bool other_plane = before && (before->polar != act.polar || before->cylinder != act.cylinder);
        if (is_return(act.motion) || act.calls_program || act.calls_tool || other_plane || act.incremental ||
            tool.work->word(act, letter == 'C' ? 'H' : 'V') || act.deleted)
            standing = {};
        before = &act;
        if (!is_plane || act.incremental || !goes_by(*tool.work, act, letter)) continue;
        const double place = tool.work->word(act, letter)->number;
        const bool again = standing.act && place != not_known && place != 0 && place == standing.place;
        if (again && act.motion == MotionKind::feed && moves_only(*tool.work, act, letter) &&
            &act != &tool.work->acts.back()) {
            report.at_letter(tool.place(act), letter)
                .message(
                    said("{0}{1} is where the tool stands already: this cut goes nowhere, and what it was "
                         "to mill stays. Is the sign wrong here or there? {0}{2} would be across.",
                         letter, written(place), written(-place)))
                .related(tool.place(*standing.act), said("brought there"));
            return;
        }
        standing = place == not_known ? Standing{} : Standing{&act, place};
    }
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context))
        for (const char letter : {'C', 'Y'}) look_at(tool, letter, report);
}

} // namespace

extern const Check check{
    .id = "milled_cut_goes_nowhere",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Milled cut that goes nowhere",
    .documentation =
        "A feed by Y alone, or by C alone while X and C are a plane, to the value at which the axis stands "
        "already: the cut that was to be milled does not come. Mostly a sign is wrong, here or in the block "
        "that "
        "brought the axis there: a slot across the part goes from Y-24 to Y24. A place of zero, ways by H, V "
        "or "
        "G91 and blocks that state compensation or a plane are let pass.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0505
S1900 M13
G00 X50. Y24. Z-26.
X36.
G01 Y24. F200.
;   ^^^^ warning: milled_cut_goes_nowhere
G00 X50.
Y0.
M15
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T1212
S1800 M73
G00 X3. Z-.75 C0.
G112
G01 X3. C.8 F50.
G42 G01 X1. F20.
G01 C.8 F8.
;   ^^^ warning: milled_cut_goes_nowhere
G40 G01 X3. F50.
G113
M75
M30
)"},
            {System::A, R"(
G21 G98 G97
T0505
S1900 M13
G00 X50. Y-24. Z-26.
X36.
G01 Y24. F200.
Y-24.
G00 X50.
Y0.
M15
M30
)"},
            // The depth of a slot, and Y again where nothing was to be cut.
            {System::B, R"(
G20 G90 G94 G97
T0505
S1900 M13
G00 X1.5 Y.4 Z-.5
G01 X1.2 F6.
Z-1.
G01 X1.1
Z-.5 Y.4
G00 X1.5
Y0.
G01 Y0. F6.
M15
M30
)"},
            // Turned by C, no plane.
            {System::A, R"(
G21 G98 G97
T0505
S1900 M13
G00 X50. Z-26. C90.
G01 X40. F100.
G01 C90.
G00 X50.
M15
M30
)"},
        },
};

} // namespace turnwright::checks::rules::milled_cut_goes_nowhere

// One angle of C below zero where all others of the program are above it, and its other sign is in use.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::c_negative_alone {

namespace {

/// Less is an allowance.
constexpr double least_degrees = 5;

struct Angle {
    const ToolOfSpan* tool;
    const Act* act;
    double degrees;
};

/// That the part is turned to, in order; in a plane with X and on a cylinder C has two sides.
std::vector<Angle> angles_of(std::span<const ToolOfSpan> program) {
    std::vector<Angle> angles;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const ActWord* word = tool.work->word(act, 'C');
            if (!word || act.polar || act.cylinder || act.calls_program || act.in_contour ||
                act.incremental || word->number == not_known || act.motion == MotionKind::reference ||
                !act.turns_part)
                continue;
            angles.push_back({&tool, &act, word->number});
        }
    return angles;
}

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<Angle> angles = angles_of(program);
    std::size_t lone = angles.size(), above = 0;
    for (std::size_t i = 0; i < angles.size(); ++i) {
        above += angles[i].degrees > 0;
        if (angles[i].degrees >= 0) continue;
        if (lone < angles.size()) return;
        lone = i;
    }
    if (lone == angles.size() || above < 3 || angles[lone].act->deleted) return;
    const double degrees = -angles[lone].degrees;
    // Half a turn either way is one place.
    if (degrees < least_degrees || std::fmod(degrees, 180) == 0) return;
    const auto is_there = [&](const Angle& angle) { return std::abs(angle.degrees - degrees) < 1e-3; };
    const auto in_step = [&](std::size_t a, std::size_t b, std::size_t c) {
        return std::abs(2 * angles[b].degrees - angles[a].degrees - angles[c].degrees) < 1e-3;
    };
    bool fits = std::any_of(angles.begin(), angles.end(), is_there);
    if (!fits && lone > 0 && lone + 1 < angles.size() && angles[lone].tool == angles[lone - 1].tool &&
        angles[lone].tool == angles[lone + 1].tool)
        fits = !in_step(lone - 1, lone, lone + 1) &&
               std::abs(2 * degrees - angles[lone - 1].degrees - angles[lone + 1].degrees) < 1e-3;
    if (!fits) return;
    const double place = 360 - std::fmod(degrees, 360);
    report.at_letter(angles[lone].tool->place(*angles[lone].act), 'C')
        .message(
            said("C{} is the only angle below zero in this program: the part stops where C{} is, {} degrees "
                 "from C{}, which the other angles go to or lead to. Is the sign wrong?",
                 written(-degrees), written(place), spoken(std::abs(place - std::fmod(degrees, 360))),
                 written(degrees)));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
}

} // namespace

extern const Check check{
    .id = "c_negative_alone",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Only one angle of C is below zero",
    .documentation = "All angles that a program turns the part to are zero or above but one, and the same "
                     "angle without its "
                     "sign is gone to elsewhere, or stands halfway between the one before and the one "
                     "behind: the part stops "
                     "in another place, and the hole or slot comes there. C between polar or cylinder codes "
                     "is looked at by "
                     "other checks; half a turn either way is one place.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98
T0707
G28 H0
G97 S2000 M13
G00 X50. Z-12. C0.
G01 X40. F100.
G00 X50.
C-90.
;^^^^ warning: c_negative_alone
G01 X40.
G00 X50.
C180.
G01 X40.
G00 X50.
C270.
G01 X40.
G00 X50.
M15
T0808
G97 S2400 M13
G00 X50. Z-12. C90.
G01 X38.
G00 X50.
M15
M30
)"},
            {System::C, R"(
G70 G90 G94
T0707
G28 C0
G97 S2000 M13
G00 X2. Z-.5 C0.
G01 X1.6 F4.
G00 X2.
C-60.
;^^^^ warning: c_negative_alone
G01 X1.6
G00 X2.
C120.
G01 X1.6
G00 X2.
C180.
G01 X1.6
G00 X2.
C240.
G01 X1.6
G00 X2.
M15
M30
)"},
            // A slot beside the others, on purpose: nothing goes to C22.5.
            {System::A, R"(
G21 G98
T0707
G28 H0
G97 S2000 M13
G00 X50. Z-12. C-22.5
G01 X40. F100.
G00 X50.
C90.
G01 X40.
G00 X50.
C180.
G01 X40.
G00 X50.
C270.
G01 X40.
G00 X50.
M15
M30
)"},
            // Two of them.
            {System::B, R"(
G21 G90 G94
T0707
G28 C0
G97 S2000 M13
G00 X50. Z-12. C-90.
G01 X40. F100.
G00 X50.
C-45.
G01 X40.
G00 X50.
C45.
G01 X40.
G00 X50.
C90.
G01 X40.
G00 X50.
C135.
G01 X40.
G00 X50.
M15
M30
)"},
            // Half a turn.
            {System::A, R"(
G21 G98
T0707
G28 H0
G97 S2000 M13
G00 X50. Z-12. C90.
G01 X40. F100.
G00 X50.
C-180.
G01 X40.
G00 X50.
C180.
G01 X38.
G00 X50.
C270.
G01 X38.
G00 X50.
M15
M30
)"},
        },
};

} // namespace turnwright::checks::rules::c_negative_alone

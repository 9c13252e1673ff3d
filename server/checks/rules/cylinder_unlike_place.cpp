// The radius of a cylinder that C is laid out on does not fit to where the tool works.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::cylinder_unlike_place {

namespace {

/// Radii between where the tool cuts and where it stands clear are right, a little above and below, too.
constexpr double largest_share = 1.1, least_share = 0.6;

void look_at(const FileContext& context, const ToolOfSpan& tool, Report& report) {
    float clear = not_known; ///< Where the last rapid in X has brought the tool
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool || act.calls_program || is_return(act.motion)) clear = not_known;
        if (act.motion == MotionKind::rapid && act.moves_x) clear = act.to_x;
        if (act.motion != MotionKind::none || !act.cylinder) continue;
        const ActWord* radius = tool.work->word(act, 'C');
        if (!radius) radius = tool.work->word(act, 'H');
        if (!radius || radius->number <= 0 || !known(clear) || !known(act.from_x) || act.from_x <= 0)
            continue;
        const double given = radius->number, cuts = act.from_x;
        const bool too_large = given > largest_share * clear && given > largest_share * cuts;
        const bool too_small = given < least_share * cuts;
        if (!too_large && !too_small) continue;
        const std::string cylinder = written(static_cast<float>(given)),
                          at = spoken_x(cuts, context.settings());
        report.at_letter(tool.place(act), radius->letter)
            .message(too_large ? said("The cylinder has the radius {}, and the tool that works at {} stands "
                                      "clear at {}: it "
                                      "lies outside of the part. Turns of C become longer ways than they "
                                      "are, and arcs do "
                                      "not close. The word is a radius: is a diameter written?",
                                      cylinder, at, spoken_x(clear, context.settings()))
                               : said("The cylinder has the radius {}, and the tool works at {}: it lies "
                                      "deep in the part. "
                                      "Turns of C become shorter ways than they are, and arcs do not close. "
                                      "Is a digit of it "
                                      "wrong?",
                                      cylinder, at));
    }
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) look_at(context, tool, report);
}

} // namespace

extern const Check check{
    .id = "cylinder_unlike_place",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Cylinder of another radius than the part",
    .documentation = "The word beside the code that lays C out on a cylinder is its radius. It lies between "
                     "where the tool cuts "
                     "and where it stands clear; told is one that is larger than both by more than a tenth, "
                     "as a diameter would "
                     "be, or smaller than six tenths of where the tool stands. The turns of C would become "
                     "ways of another length.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0404
S3500 M03
G00 Z-20.
X42. C18.093
G01 X34. F60.
G18 W0 H0
G107 C38.
;    ^^^^ warning: cylinder_unlike_place
G01 C71.907 F200.
G107 C0
G00 X46.
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0707
S3200 M03
G00 X2.5 Z-1. C0
G01 X2. F2.
G19
G07.1 C.125
;     ^^^^^ warning: cylinder_unlike_place
G01 C40. F6.
G07.1 C0
G18
G00 X2.5
M30
)"},
            {System::A, R"(
G21 G98 G97
T0404
S3500 M03
G00 Z-20.
X42. C18.093
G01 X34. F60.
G18 W0 H0
G107 C19.
G01 C71.907 F200.
G107 C0
G00 X46.
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0404
S3500 M03
G00 Z-20.
X42. C0.
G01 X34. F60.
G18
G107 C17.
G01 C71.907 F200.
G107 C0
G00 X46.
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T0707
S3200 M03
G00 X2.5 Z-1. C0
G01 X2. F2.
G19
G07.1 C1.125
G01 C40. F6.
G07.1 C0
G18
G00 X2.5
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cylinder_unlike_place

// F of a few thousandths of a millimetre a revolution: an inch value in a metric program.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::feed_too_small_by_revolution {

namespace {

// Below the lower bound it may be a polishing feed that somebody thought about.
constexpr double least_mm_per_rev = 0.002, most_mm_per_rev = 0.015;
constexpr double usual_diameter_mm = 20, usual_nose_mm = 0.4;

/// "0.0002", as far as it is written.
std::string spoken_fine(double number) {
    return fmt::format("{:.6g}", number);
}

/// Less than any edge takes off or any drive holds, in both units.
constexpr double nothing_mm_per_rev = 0.0015;
/// A feed that is next to nothing, in a block of its own or of a cut.
void look_at_nothing(const SequenceContext& context, Report& report) {
    for (const Step& step : context.steps) {
        const machine::Value& feed = step.after->feed;
        if (!cuts_at_feed(step) || !feed.known() || feed.number <= 0 || !step.is(Meaning::feed_per_rev))
            continue;
        const auto mm = to_mm(feed.number, step.of(Group::units));
        if (!mm || *mm > nothing_mm_per_rev || !find_letter(context.reader, step.place, 'F')) continue;
        report.at_letter(step.place, 'F')
            .message(
                said("F{0} is {0} {1} a turn: nothing is cut so thin, the edge rubs and a millimetre takes "
                     "{2:.0f} turns. Are noughts too many behind the point?",
                     spoken_fine(feed.number), step.is(Meaning::inch) ? "in" : "mm", 1 / *mm));
    }
}

void sequence(const SequenceContext& context, Report& report) {
    look_at_nothing(context, report);
    const Step* first = nullptr;
    double largest_mm = 0;
    for (const Step& step : context.steps) {
        if (!cuts_at_feed(step)) continue;
        for (const machine::Value& x : {step.from_x, step.to_x, step.target_x})
            if (x.known()) largest_mm = std::max(largest_mm, 2 * std::abs(x.number));
        // One feed that is not known, or of a size to cut with, and the others are meant as they are.
        if (!step.after->feed.known() || !step.is(Meaning::feed_per_rev) || !step.is(Meaning::millimetre))
            return;
        if (step.after->feed.number < least_mm_per_rev || step.after->feed.number > most_mm_per_rev) return;
        if (!first) first = &step;
    }
    if (!first) return;
    double feed = first->after->feed.number;
    // Small parts and sharp tools are cut with small feeds.
    const shop::Tool* tool = context.tool >= 0 ? context.shop.tool(context.tool) : nullptr;
    const double by_nose =
        tool && tool->nose_radius_mm ? std::min(1.0, *tool->nose_radius_mm / usual_nose_mm) : 1.0;
    if (feed > most_mm_per_rev * std::min(1.0, largest_mm / usual_diameter_mm) * by_nose) return;
    report_at_code(report, context, *first, first->meaning)
        .message(said("The feed here is {} mm a turn, finer than the rounding of a cutting edge: it "
                      "rubs and does not cut. "
                      "As inches the same number would be {} mm. Write the feed in mm, or {} if this "
                      "is an inch program.",
                      spoken(feed), spoken(feed * motion::mm_per_inch),
                      code(context.settings(), Meaning::inch)))
        .origin(part(machine::Part::feed) | part(Group::units));
}

} // namespace

extern const Check check{
    .id = "feed_too_small_by_revolution",
    .family = Family::feed,
    .severity = Severity::warning,
    .title = "Feed by the revolution that looks like one in inches",
    .documentation =
        "All cuts of the sequence have feeds of 0.002 to 0.015 mm a revolution: in inches a usual turning "
        "feed, in millimetres less than the rounding of the edge, so that the tool rubs (common practice). "
        "Either F was copied from an inch program, or the program is an inch program under the "
        "metric code, and then every length is 25.4 times too short. On diameters below 20 mm and with a "
        "nose "
        "below 0.4 mm smaller feeds are right, and the bound shrinks with both. One feed of a usual size in "
        "the "
        "sequence, and nothing is said.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.0002
;         ^^^^^^^ warning: feed_too_small_by_revolution
X52. F.2
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.8 F.008
X2.1 F.00002
;    ^^^^^^^ warning: feed_too_small_by_revolution
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F.008
;^^ warning: feed_too_small_by_revolution
X54.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S120 M03
G00 X52. Z2.
F.006
G01 Z-5.
;^^ warning: feed_too_small_by_revolution
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F.2
X54. F.01
G00 X60.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.5 F.008
M30
)"},
            // A pin of 3 mm.
            {System::A, R"(
G21 G99
T0101
G97 S3000 M03
G00 X5. Z1.
X3.
G01 Z-8. F0.008
M30
)"},
            // A spindle speed apart, the feed by the minute is another matter.
            {System::A, R"(
G21 G98
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F.01
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::feed_too_small_by_revolution

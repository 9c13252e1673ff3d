// Constant surface speed with no speed limit in force.
//
// Toward the centre the control raises the speed without end; a chuck has a rated limit.
//
// Grip and speed: Prickett, Loughborough University, abstract.
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::speed_limit_missing {

namespace {

/// The smallest |X| that the sequence feeds to under surface speed.
std::optional<double> smallest_radius(std::span<const Step> steps) {
    std::optional<double> smallest;
    for (const Step& step : steps) {
        if (!step.is(Meaning::surface_speed) || !cuts(step)) continue;
        for (const machine::Value& x : {step.from_x, step.target_x}) {
            if (!x.known()) continue;
            double radius = std::abs(x.number);
            if (!smallest || radius < *smallest) smallest = radius;
        }
        // Through the centre from one side to the other.
        if (step.from_x.known() && step.target_x.known() && step.from_x.number * step.target_x.number < 0)
            smallest = 0;
    }
    return smallest;
}

std::string speed_there(const SequenceContext& context, const Step& step) {
    auto radius = smallest_radius(context.steps);
    if (!radius || !step.after->speed.known()) return "";
    if (*radius < 1e-6) return said(": at X0 it is asked for speed without end");
    auto diameter_mm = to_mm(2 * *radius, step.of(Group::units));
    if (!diameter_mm) return "";
    double surface = step.is(Meaning::inch) ? step.after->speed.number * 12 * motion::mm_per_inch / 1000
                                            : step.after->speed.number;
    return said(": at {} it is asked for {:.0f} rpm", spoken_x(*radius, context.settings()),
                motion::rpm_for(surface, *diameter_mm));
}

void sequence(const SequenceContext& context, Report& report) {
    const Step* switched_on = nullptr;
    for (const Step& step : context.steps) {
        if (step.gives(Meaning::surface_speed)) switched_on = &step;
        if (!step.is(Meaning::surface_speed) || !step.after->speed_limit.surely_unset()) continue;
        if (step.after->spoken_to() == machine::Spindle::live) continue; // Another rule tells it
        if (step.motion == MotionKind::none) continue; // A limit may still follow before anything moves.
        const Step& at = switched_on ? *switched_on : step;
        std::string limit = code(context.settings(), Meaning::speed_limit);
        auto rated = context.settings().machine.chuck_max_rpm;
        auto top = context.settings().machine.max_rpm;
        std::string machine = top ? said(", up to the machine's {:.0f} rpm", *top) : "";
        std::string example = rated ? fmt::format(" S{:.0f}", *rated) : "";
        auto entry = report_at_code(report, context, at, Meaning::surface_speed);
        entry.message(said("{} with no speed limit in force{}{}. Jaws lose their grip with the square of "
                           "the speed. Write {}{} above it.",
                           code(context.settings(), Meaning::surface_speed), speed_there(context, step),
                           machine, limit,
                           rated ? example : said(" S with the speed the chuck and the part allow")));
        if (rated)
            entry.fix([&](const machine::Reader& reader) {
                return Fix{said("Limit the spindle: {}{}", limit, example),
                           {insert_block_before(reader, at.place, limit + example)},
                           true,
                           true};
            });
        return;
    }
}

} // namespace

extern const Check check{
    .id = "speed_limit_missing",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Constant surface speed with no speed limit",
    .documentation =
        "Under G96 the control raises the spindle speed as X gets smaller, at the centre to the highest the "
        "machine has. A chuck, a part that sticks out or a bar in the feeder is good for far less: the loss "
        "of "
        "grip grows with the square of the speed. Write the "
        "limit "
        "above G96: G50 S.. in system A, G92 S.. in B and C. A limit given once at the head of the program "
        "counts. When the shop file names the chuck's rated speed, the fix writes it.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
;^^ warning: speed_limit_missing
G00 X40. Z2.
G01 X-1.6 F0.2
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S600 M03
G00 X2. Z.1
G96 S500
;^^ warning: speed_limit_missing
G01 X.5 F.01
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S150 M04
;^^ warning: speed_limit_missing
G00 X40. Z2.
G01 X10. F0.2
M30
)",
             "[[machine]]\nchuck_max_rpm = 3000\n"},
            // Once at the head for all sequences.
            {System::A, R"(
G21 G99
G50 S2500
N1 (FACE)
T0101
G96 S180 M03
G00 X40. Z2.
G01 X-1.6 F0.2
M01
N2 (FINISH)
T0202
G96 S220 M03
G00 X40. Z2.
G01 Z-20. F0.1
M30
)"},
            // The limit between G96 and the first move.
            {System::A, R"(
G20 G99
T0101
G96 S500 M03
G50 S2200
G00 X2. Z.1
G01 X0 F.008
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2400
T0101
G96 S400 M03
G00 X2. Z.1
G01 X0 F.008
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G92 S#110
G96 S180 M03
G00 X40. Z2.
G01 X0. F0.2
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S1100 M03
G00 X0. Z2.
G01 Z-20. F0.12
M30
)"},
        },
};

} // namespace turnwright::checks::rules::speed_limit_missing

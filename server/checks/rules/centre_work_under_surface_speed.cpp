// Drilling or feeding along the centreline under constant surface speed.
//
// At X0 there is no diameter to work the speed out from: the spindle goes to its limit.
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::centre_work_under_surface_speed {

namespace {

bool on_centre(const machine::Value& x) {
    return x.known() && std::abs(x.number) < 1e-9;
}

/// Tools that work on the centreline are never compensated for a nose radius; one that turns is.
bool is_compensated(const Step& step) {
    return step.is(Meaning::compensation_left) || step.is(Meaning::compensation_right);
}

/// A turning tool that comes to the middle of the face and cuts outward from there.
bool turns_outward(std::span<const Step> steps, std::size_t next) {
    if (next >= steps.size()) return false;
    const Step& step = steps[next];
    return (step.motion == MotionKind::feed || step.motion == MotionKind::arc) && step.moves_x;
}

bool works_on_centre(const Step& step) {
    if (!step.is(Meaning::surface_speed) || step.in_contour || !on_centre(step.from_x)) return false;
    if (step.of(Group::spindle_direction).is(Meaning::spindle_stop)) return false;
    if (step.after->spoken_to() == machine::Spindle::live) return false; // Another rule tells it
    if (step.motion == MotionKind::drill_cycle)
        return step.meaning != Meaning::drill_side && step.meaning != Meaning::tap_side &&
               step.meaning != Meaning::bore_side && on_centre(step.target_x);
    if (step.motion == MotionKind::peck_cycle)
        return step.meaning == Meaning::peck_face && on_centre(step.target_x);
    // Away from the face is only the way out behind a facing cut.
    return step.motion == MotionKind::feed && step.moves_z && !is_compensated(step) &&
           on_centre(step.target_x) && step.from_z.known() && step.target_z.known() &&
           step.target_z.number < step.from_z.number;
}

std::optional<double> rpm_for_tool(const SequenceContext& context, const Step& step) {
    const shop::Tool* tool = context.tool >= 0 ? context.shop.tool(context.tool) : nullptr;
    if (!tool || !tool->diameter_mm || *tool->diameter_mm <= 0 || !step.after->speed.known())
        return std::nullopt;
    const machine::Assumption& assumed = context.settings().assumed.units;
    const bool stated = step.of(Group::units).possible != 0;
    if (!stated && assumed.by == machine::Sign::none) return std::nullopt;
    const bool inch = stated ? step.is(Meaning::inch) : assumed.meaning == Meaning::inch;
    const double surface =
        inch ? step.after->speed.number * 12 * motion::mm_per_inch / 1000 : step.after->speed.number;
    return std::round(motion::rpm_for(surface, *tool->diameter_mm) / 10) * 10;
}

void sequence(const SequenceContext& context, Report& report) {
    for (std::size_t i = 0; i < context.steps.size(); ++i) {
        const Step& step = context.steps[i];
        if (!works_on_centre(step) || turns_outward(context.steps, i + 1)) continue;
        std::string rpm_mode = code(context.settings(), Meaning::constant_rpm);
        std::string limit = step.after->speed_limit.known()
                                ? said("its limit of {} rpm", spoken(step.after->speed_limit.number))
                                : std::string(said("the highest speed in force"));
        auto rpm = rpm_for_tool(context, step);
        auto entry = report_at_code(report, context, step, step.meaning);
        entry
            .message(said("Work on the centreline under {}: at X0 the spindle turns at {}, whatever S says. "
                          "Write {} with the tool's rpm before the approach{}.",
                          code(context.settings(), Meaning::surface_speed), limit, rpm_mode,
                          rpm ? said(", here S{:.0f} for its diameter", *rpm) : std::string()))
            .origin(part(Group::spindle_mode));
        if (rpm)
            entry.fix([&](const machine::Reader& reader) {
                std::string text = fmt::format("{} S{:.0f}", rpm_mode, *rpm);
                return Fix{said("Write ") + text + said(" above"),
                           {insert_block_before(reader, step.place, text)},
                           true,
                           true};
            });
        return;
    }
}

} // namespace

extern const Check check{
    .id = "centre_work_under_surface_speed",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Centre work under constant surface speed",
    .documentation =
        "A drill, tap or reamer feeds along X0 while G96 is in force. The control works the speed out from "
        "X, and "
        "at X0 it asks for speed without end: the tool turns at the speed limit, or at the machine's highest "
        "speed. A large drill burns, a small chuck may let go. Write G97 and the tool's own rpm before the "
        "approach. Facing to the centre, the feed away from it and turning outward from it are right "
        "practice and "
        "stay quiet.",
    .sequence = sequence,
    .examples =
        {
            {System::A, R"(
G21 G99
G50 S3000
T0202
G96 S30 M03
G00 X0. Z12.
G00 Z1.
G83 Z-32.5 Q6000 F0.14
;^^ warning: centre_work_under_surface_speed
G80
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2400
T0202
G96 S80 M03
G00 X0 Z.5
G00 Z.04
G01 Z-.2 F.005
;^^ warning: centre_work_under_surface_speed
G00 Z.5
M30
)"},
            {System::C, R"(
G71 G90 G95
G92 S2400
T0202
G96 S25 M03
G00 X0. Z5.
G84 Z-20. F1.5
;^^ warning: centre_work_under_surface_speed
G80
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 2\nkind = \"tap\"\ndiameter = 10\n"},
            // Facing past the centre and the feed away from the face.
            {System::A, R"(
G21 G99
G50 S2500
T0101
G97 S1150 M03
G00 X52. Z1.
G96 S180
G01 Z0. F0.2
X0.
Z1. F0.5
G00 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2500
T0101
G96 S400 M03
G00 X2. Z0
G01 X-.063 F.008
Z.04 F.02
M30
)"},
            {System::A, R"(
G21 G99
G50 S2500
T0202
G97 S1100 M03
G00 X0. Z2.
G83 Z-20. Q5000 F0.12
G80
M30
)"},
            // A turning tool that begins at the middle of the face: a ball end, with and without
            // compensation.
            {System::A, R"(
G21 G99
G50 S2500
T0303
G96 S200 M03
G00 X42. Z1.
G00 G42 X0.
G01 Z0. F0.12
G03 X24. Z-12. R12.
M30
)"},
            {System::B, R"(
G21 G90 G95
G92 S2500
T0303
G96 S200 M03
G00 X0. Z1.
G01 Z0. F0.12
X3.2 Z-0.1
X6. Z-0.4
M30
)"},
            // A face groove and a boring bar off the centre.
            {System::A, R"(
G21 G99
G50 S2500
T0606
G96 S120 M03
G00 X20. Z2.
G01 Z-20. F0.12
G74 R0.5
G74 X14. Z-3. P1000 Q1000 F0.05
M30
)"},
            // A stop with the spindle stopped, by the minute.
            {System::C, R"(
G71 G90 G94
G92 S2500
T1010
G96 S100 M05
G00 X0. Z5.
G01 Z0. F500.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::centre_work_under_surface_speed

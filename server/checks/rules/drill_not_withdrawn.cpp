// X goes, by any way, while a tool that fed along the centre is still in its hole.
#include "checks/rule.h"
#include "checks/works.h"
#include "language/said.h"

namespace turnwright::checks::rules::drill_not_withdrawn {

namespace {

/// A face can be turned from the centre outward: so deep it is a hole.
constexpr double deepest_face_mm = 2;

bool goes_home(const Step& step) {
    return is_return(step.motion);
}

/// The rapid, the way home or the feed that takes X out of the hole; nullptr: it is withdrawn.
bool takes_x(const Step& step) {
    if (goes_home(step)) return step.moves_x;
    const bool away = step.moves_x && step.to_x.known() && step.to_x.number != 0;
    if (step.motion == MotionKind::rapid) return away;
    const auto depth = to_mm(step.from_z.number, step.of(Group::units));
    // A driven end mill goes on from there.
    if (machine::spoken_to(step.of(Group::spoken_to)) == machine::Spindle::live) return false;
    return step.motion == MotionKind::feed && away && !step.moves_z && depth.value_or(0) < -deepest_face_mm;
}

/// A program that is called behind its last cut takes it home with X first, or with both.
void works(const WorksContext& context, Report& report) {
    constexpr double least_mm = 0.5;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool || work->where != Work::Where::on_centre) continue;
            const Leg* last = nullptr; ///< That it moved by before
            for (const Leg& leg : work->legs) {
                const bool in_hole = last && last->known && last->cuts() && last->dz() < 0 &&
                                     last->to.z_mm * work->unit_mm < -least_mm && last->to.x_radius_mm == 0 &&
                                     !last->of_cycle;
                if (in_hole && !last->run_at && leg.run_at && leg.kind == Leg::Kind::home && leg.moves_x) {
                    report.at(context.spans[work->span].place(leg.block))
                        .message(said(
                            "The program that is called here takes X home, and the tool stands in its hole "
                            "at {} yet: it is snapped off. Withdraw in Z in a block before.",
                            context.z(last->to.z_mm)));
                    break;
                }
                last = &leg;
            }
        }
}

void sequence(const SequenceContext& context, Report& report) {
    bool in_hole = false;
    for (const Step& step : context.steps) {
        if (step.in_contour || step.motion == MotionKind::none) continue;
        bool along_centre = step.from_x.is(0) && step.to_x.is(0) && step.moves_z && !step.moves_x;
        bool deeper = step.from_z.known() && step.to_z.known() && step.to_z.number < step.from_z.number;
        if (step.motion == MotionKind::feed && along_centre && deeper && step.to_z.number < 0) {
            in_hole = true;
            continue;
        }
        if (!in_hole || !step.moves()) continue;
        bool still_in = step.from_z.known() && step.from_z.number < 0 && step.from_x.is(0);
        if (still_in && takes_x(step)) {
            const bool by_u = find_letter(context.reader, step.place, 'U') != nullptr;
            report.at_letter(step.place, by_u ? 'U' : 'X')
                .message(said(
                    "X moves{} while the tool is in the hole at Z{}: it is snapped off. Withdraw in Z first.",
                    goes_home(step)                    ? said(" home")
                    : step.motion == MotionKind::rapid ? said(" in a rapid")
                                                       : "",
                    written(step.from_z.number)));
            return;
        }
        if (!step.to_z.known() || step.to_z.number >= 0 || !step.to_x.is(0)) in_hole = false;
    }
}

} // namespace

extern const Check check{
    .id = "drill_not_withdrawn",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "X moves while the drill is in the hole",
    .documentation = "The tool has fed along the centreline into the part, and then X moves, in a rapid, at "
                     "feed or on the way "
                     "home, while it is still in the hole: the drill is snapped off against its wall. "
                     "Withdraw in Z first. A way "
                     "home of both axes at once counts, too: they start together."
                     " So is a program that takes X home, called while the tool is in the hole.",
    .sequence = sequence,
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
G00 X80. Z20.
;   ^^^^ warning: drill_not_withdrawn
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X0 Z.1
G01 Z-1. F.006
G00 X3.
;   ^^^ warning: drill_not_withdrawn
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
G28 U0 W0
;   ^^ warning: drill_not_withdrawn
M30
)"},
            {System::C, R"(
G70 G90 G95
T0202
G97 S800 M03
G00 X0 Z.1
G01 Z.05 F.05
Z-1.2 F.004
G04 U.2
M09
G53 X0 Z0
;   ^^ warning: drill_not_withdrawn
M30
)"},
            {System::B, R"(
G21 G90 G95
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
X80.
;^^^ warning: drill_not_withdrawn
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
G28 W0
G28 U0
T0101
G00 X0 Z1.
G01 Z-1. F0.2
X30.
Z-10.
G00 X60. Z20.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X0. Z2.
G01 Z-20. F0.1
G00 Z2.
G00 Z-19.
G01 Z-40.
G00 Z10.
G00 X80. Z20.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z-1.
G01 X0. F0.2
G00 X52.
T0202
G00 X0. Z2.
G83 Z-20. R2. F0.1
G80
G00 X50.
M30
)"},
            // The program that takes it home is called from the hole.
            {System::B, R"(
G21 G90 G95
T0404 (DRILL 12)
G97 S900 M03
G00 X0 Z3.
G01 Z-40. F0.15
M98 P0390
;^^^^^^^^ warning: drill_not_withdrawn
M30
O0390
M05
G91 G28 X0
G28 Z0
G90
M99
)"},
            {System::B, R"(
G21 G90 G95
T0404 (DRILL 12)
G97 S900 M03
G00 X0 Z3.
G01 Z-40. F0.15
G00 Z3.
M98 P0390
M30
O0390
M05
G91 G28 X0
G28 Z0
G90
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::drill_not_withdrawn

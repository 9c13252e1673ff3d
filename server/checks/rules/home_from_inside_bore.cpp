// The way home in X while the tool is still deep in the bore.
#include "checks/works.h"

namespace turnwright::checks::rules::home_from_inside_bore {

namespace {

/// A bevel is cut no deeper; common practice, no source.
constexpr double deep_mm = 5;

void look_at(const WorksContext& context, const Workpiece& part, const Work& work, Report& report) {
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &before = work.legs[i - 1], &home = work.legs[i];
        if (home.kind != Leg::Kind::home || !home.moves_x || !before.arrives) continue;
        if (before.kind == Leg::Kind::home) continue;
        if (before.to.z_mm * work.unit_mm > part.z_max * work.unit_mm - deep_mm) continue;
        context.at(report, work, home, "XU")
            .message(fmt::format(
                "The tool stands in the bore at {} and goes home in X{}: it is driven into the wall. "
                "Go out along Z first, in front of the face.",
                context.z(before.to.z_mm), home.moves_z ? " and Z at once" : ""));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool && work->where == Work::Where::inside)
                look_at(context, part, *work, report);
}

} // namespace

extern const Check check{
    .id = "home_from_inside_bore",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Way home begins inside the bore",
    .documentation = "A boring tool is sent to the reference point in X, or in X and Z at once, while it "
                     "stands deep in the "
                     "bore: both axes start together and the bar goes into the wall. It wants a rapid along "
                     "Z in front of the "
                     "face first. Inside is known from the way the tool leaves its cuts.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S1000 M03
G00 X24. Z2.
G01 Z-55. F0.12
X22.
G00 Z2.
X26.
G01 Z-50.
X24.
G28 U0 W0
;   ^^ warning: home_from_inside_bore
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S1000 M03
G00 X1. Z.1
G01 Z-2.2 F.004
X.9
G00 Z.1
X1.1
G01 Z-2.
X1.
G91 G28 X0 Z0
;       ^^ warning: home_from_inside_bore
G90
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S1000 M03
G00 X24. Z2.
G01 Z-55. F.12
X22.
G00 Z2.
X26.
G01 Z-50.
X24.
G00 Z5.
G91 G28 X0 Z0
G90
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S1000 M03
G00 X24. Z2.
G01 Z-55. F0.12
X22.
G28 W0
G28 U0
M30
)"},
            // Outside the way home may begin anywhere.
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
G00 X52. Z2.
G01 Z-55. F0.12
X54.
G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::home_from_inside_bore

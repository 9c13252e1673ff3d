// A cycle along Z that begins deeper than it ends: the tool has gone in at rapid.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::cycle_goes_outward {

namespace {

constexpr double in_front_mm = -0.5, least_mm = 0.5;

/// The first feed of a cycle goes out along Z, and the rapid before it goes in.
bool is_outward(const Work& work, std::size_t i) {
    const Leg &way = work.legs[i - 1], &cut = work.legs[i];
    return cut.of_cycle && cut.kind == Leg::Kind::feed && cut.known && cut.dx() == 0 &&
           cut.dz() * work.unit_mm > least_mm && cut.from.z_mm * work.unit_mm < in_front_mm &&
           !way.of_cycle && way.kind == Leg::Kind::rapid && way.known && way.dz() < 0;
}
/// The only place where the tool does so: back work does so again.
std::size_t only_outward(const Work& work) {
    std::size_t only = 0;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        if (!is_outward(work, i)) continue;
        if (only != 0) return 0;
        only = i;
    }
    return only;
}

void tell(const WorksContext& context, const Work& work, std::size_t at, Report& report) {
    const Leg& first = work.legs[at];
    double end = first.to.z_mm; // Behind all pecks
    for (std::size_t i = at; i < work.legs.size() && work.legs[i].block == first.block; ++i)
        if (work.legs[i].kind == Leg::Kind::feed) end = std::max(end, work.legs[i].to.z_mm);
    context.at(report, work, work.legs[at - 1], "ZW")
        .message(said("The cycle begins at {} and ends at {}, farther out: the rapid before it has "
                      "gone in deeper than the cut goes, through what stands there. Are two digits "
                      "of Z swapped?",
                      context.z(first.from.z_mm), context.z(end)));
}

/// A part that stands at plus is cut outward alone.
bool any_goes_inward(const Workpiece& part) {
    return std::any_of(part.works.begin(), part.works.end(), [](const Work* work) {
        return std::any_of(work->legs.begin(), work->legs.end(),
                           [](const Leg& leg) { return leg.cuts() && leg.dz() < 0; });
    });
}

void works(const WorksContext& context, Report& report) {
    if (context.stock_is_given) return; // Its rapid is told there
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            const std::size_t at = only_outward(*work);
            if (at != 0 && any_goes_inward(part)) tell(context, *work, at, report);
        }
}

} // namespace

extern const Check check{
    .id = "cycle_goes_outward",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Cycle that begins deeper than it ends",
    .documentation = "A cycle along Z, a drilling or a grooving one in the face, begins behind the Z that it "
                     "is to cut to: "
                     "the rapid in front of it has taken the tool in at full rate, deeper than the hole or "
                     "the groove is to "
                     "be, and the cycle then goes out. A digit of the Z in front of the cycle is wrong, or "
                     "its sign. A tool "
                     "that does so more than once, as one that works on the back of a collar, is let pass.",
    .works = works,
    .examples =
        {
            {System::C, R"(
G71 G90 G95
T0101
G97 S600 M03
G00 X150. Z2.
G01 Z-27. F0.2
X154.
G00 Z2.
X146.
G01 Z-20.
X154.
G00 Z2.
X142.
G01 Z-15.
X154.
G00 Z2.
T0505
G00 X130. Z3.
Z-31.
;^^^^ warning: cycle_goes_outward
G76 R0.3
G76 Z-19. Q1500 F0.08
G00 Z3.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S600 M03
G00 X2. Z.1
G01 Z-1. F.01
G00 X2.2
Z.1
X1.9
G01 Z-.8
G00 X2.2
Z.1
X1.8
G01 Z-.6
G00 X2.2
Z.1
X1.7
G01 Z-.4
G00 X2.2
Z.1
T0505
G00 X1.2 Z.1
Z-.91
;^^^^ warning: cycle_goes_outward
G74 R.01
G74 Z-.25 Q2000 F.003
G00 Z.1
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S600 M03
G00 X150. Z2.
G01 Z-27. F0.2
X154.
G00 Z2.
T0505
G00 X130. Z3.
Z-13.
G74 R0.3
G74 Z-19. Q1500 F0.08
G00 Z3.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_goes_outward

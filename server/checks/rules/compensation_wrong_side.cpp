// G41 for G42 or the reverse, told by the side that the part lies on.
#include "checks/works.h"

#include <cmath>

namespace turnwright::checks::rules {

namespace {

/// What the compensated moves of a work go, as seen from the metal: positive when the tool is right of them.
struct Way {
    const Leg* first = nullptr;
    motion::Side side = motion::Side::off;
    double right = 0, length = 0;
    bool is_clear() const { return first && std::abs(right) > 0.3 * length && length > 0; }
    bool fits() const { return (side == motion::Side::right) == (right > 0); }
};

/// Outside, the free side is away from the centre and from the chuck; in a bore it is toward the centre.
Way way_of(const Work& work) {
    Way way;
    const double out = work.where == Work::Where::outside ? 1 : -1;
    for (const Leg& leg : work.legs) {
        if (leg.side == motion::Side::off || leg.kind != Leg::Kind::feed || !leg.known || leg.of_cycle)
            continue;
        if (!way.first) way = {&leg, leg.side};
        if (leg.side != way.side) return {};
        way.right += leg.dx() - out * leg.dz();
        way.length += std::abs(leg.dx()) + std::abs(leg.dz());
    }
    return way;
}

const Leg& switched_on_in(const Work& work, const Leg& first) {
    for (const Leg& leg : work.legs)
        if (leg.side == first.side) return leg;
    return first;
}

void works(const WorksContext& context, Report& report) {
    struct Found {
        const Work* work;
        Way way;
    };
    std::vector<Found> found;
    std::size_t fitting = 0;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            if (work->where != Work::Where::outside && work->where != Work::Where::inside) continue;
            const Way way = way_of(*work);
            if (!way.is_clear()) continue;
            way.fits() ? void(++fitting) : found.push_back({work, way});
        }
    // A machine whose view is the mirrored one has all of them so.
    if (fitting == 0 && found.size() > 1) return;
    for (const auto& [work, way] : found) {
        const bool is_right = way.side == motion::Side::right;
        const Meaning now = is_right ? Meaning::compensation_right : Meaning::compensation_left;
        const Meaning meant = is_right ? Meaning::compensation_left : Meaning::compensation_right;
        const BlockPlace place = context.place(*work, switched_on_in(*work, *way.first));
        const syntax::Item* word = find_code(context.reader, place, now);
        if (!word) continue; // Left over from the tool before: another rule tells that
        auto entry = report.at(place, *word);
        entry.message(fmt::format("{} puts the nose on the side of the metal: for {} that goes this way the "
                                  "tool is on the {} of its path. "
                                  "The contour is cut off by the nose radius, twice over. Write {}.",
                                  code(context.reader.settings(), now),
                                  work->where == Work::Where::outside ? "an outside contour" : "a bore",
                                  is_right ? "left" : "right", code(context.reader.settings(), meant)));
    }
}

} // namespace

extern const Check compensation_wrong_side{
    .id = "compensation_wrong_side",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Nose compensation to the wrong side",
    .documentation = "Looking along the way of the tool, G41 puts it left of the contour and G42 right of "
                     "it. Outside work toward "
                     "the chuck has the tool on the right (G42), a bore on the left (G41); facing toward the "
                     "centre on the left. "
                     "On the wrong side the edge cuts into the finished contour. The side is told by which "
                     "way the tool goes and "
                     "leaves. A program in which all of them are the other way round is let pass: it may be "
                     "written for a machine "
                     "that looks at the plane from the other side.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z2.
G41 G01 X24. Z-1. F0.1
;^^ warning: compensation_wrong_side
Z-20.
X40. Z-30.
X52.
G40 G00 X60. Z5.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S800 M03
G00 X0 Z.1
G01 Z-2. F.006
G00 Z.1
T0606
G00 X1.2 Z.1
G42 G01 X1. Z-.05 F.006
;^^ warning: compensation_wrong_side
Z-1.5
X.9
G40 G00 Z.2
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 G41 X18.
;       ^^^ warning: compensation_wrong_side
G01 X24. Z-2. F0.12
Z-25.
X40.
N20 G40 X52.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X20. Z2.
G42 G01 X24. Z-1. F0.1
Z-20.
X40. Z-30.
X52.
G40 G00 X60. Z5.
T0202
G00 X0 Z2.
G01 Z-40. F0.1
G00 Z5.
T0606
G00 X24. Z2.
G41 G01 X20. Z-1.
Z-30.
X18.
G40 G00 Z5.
T0101
G00 X52. Z0
G41 G01 X10.
G40 G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules

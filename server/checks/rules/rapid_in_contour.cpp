// A rapid where a contour goes on: G00 for G01, or the G01 behind the first block is lost.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::rapid_in_contour {

namespace {

bool is_rapid(const Leg& leg) {
    return leg.kind == Leg::Kind::rapid && leg.known && !leg.of_cycle && !leg.spindle_stands;
}
bool goes_deeper(const Leg& leg) {
    return leg.dz() < 0 && leg.to.z_mm < 0;
}

/// The blocks of one cycle's contour, from its first: one past its last.
std::size_t contour_end(const Work& work, std::size_t first) {
    std::size_t end = first + 1;
    while (end < work.legs.size() && work.legs[end].in_contour && !work.legs[end].behind_other) ++end;
    return end;
}

/// No way off: down the part, slanting, or in along a face.
bool shapes_wall(const Work& work, const Leg& leg) {
    if (leg.to.z_mm > 0) return false;
    return leg.dz() < 0 || (leg.dz() > 0 && leg.dx() != 0) ||
           (leg.dx() < 0 && work.where == Work::Where::outside);
}

/// The rapid takes part in the shape: it is neither the way to it nor, behind the last cut, the way off.
bool is_of_shape(const WorksContext& context, const Work& work, std::span<const Leg> contour, std::size_t i) {
    const Leg& leg = contour[i];
    if (!is_rapid(leg)) return false;
    const auto cuts = [](const Leg& other) { return other.cuts(); };
    const auto here = contour.begin() + static_cast<std::ptrdiff_t>(i);
    if (!std::any_of(contour.begin(), here, cuts))
        return leg.to.z_mm < 0 ||
               (leg.to.z_mm == 0 && find_letter(context.reader, context.place(work, leg), 'F'));
    return std::any_of(here, contour.end(),
                       [&](const Leg& other) { return cuts(other) || shapes_wall(work, other); });
}

void tell(const WorksContext& context, const Work& work, const Leg& leg, Report& report) {
    const BlockPlace where = context.place(work, leg);
    const std::string end = leg.moves_z ? context.z(leg.to.z_mm) : context.x(leg.to.x_radius_mm);
    const std::string feed = code(context.reader.settings(), Meaning::feed_line);
    const syntax::Item* word = find_code(context.reader, where, Meaning::rapid);
    (word ? report.at(where, *word) : context.at(report, work, leg, leg.moves_z ? "ZW" : "XU"))
        .message(said("This rapid to {} lies in the contour: the tool goes that way at full rate, "
                      "through the metal that it should cut. Write {}.",
                      end, feed));
}

/// On from an arc, or into one, along the wall.
bool joins_arc(const Work& work, std::size_t i) {
    const Leg& leg = work.legs[i];
    if (!is_rapid(leg) || leg.in_contour || leg.behind_other || i == 0) return false;
    const Leg& before = work.legs[i - 1];
    if (!before.cuts() || !before.known || before.spindle_stands) return false;
    constexpr double smooth = 0.999; // Of the cosine between two directions
    const auto runs_into = [&](const Leg& in, const Leg& out) {
        return motion::dot(motion::direction_at(in.segment(), 1), motion::direction_at(out.segment(), 0)) >
               smooth;
    };
    if (leg.dx() == 0 && leg.dz() == 0) return false;
    if (before.is_arc) return goes_deeper(leg) && leg.dx() == 0 && runs_into(before, leg);
    return i + 1 < work.legs.size() && work.legs[i + 1].is_arc && leg.to.z_mm < 0 &&
           runs_into(leg, work.legs[i + 1]);
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 0; i < work.legs.size(); ++i) {
        if (joins_arc(work, i)) return tell(context, work, work.legs[i], report);
        if (!work.legs[i].in_contour) continue;
        const std::size_t end = contour_end(work, i);
        const auto contour = std::span(work.legs).subspan(i, end - i);
        for (std::size_t k = 1; k < contour.size(); ++k)
            if (is_of_shape(context, work, contour, k)) return tell(context, work, contour[k], report);
        i = end - 1;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "rapid_in_contour",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid in the middle of a contour",
    .documentation =
        "After the first block of a contour the tool cuts, and here a block moves at rapid: G00 stands "
        "where "
        "G01 is meant, or the G01 after the first block is lost. The roughing cycle hides it; the finish "
        "goes "
        "there at full rate. A contour may begin with rapids in front of the face, and end with one away "
        "from "
        "the part. Outside of a cycle a rapid is told that goes on smoothly from an arc into the part, or "
        "runs smoothly into one.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-28. F0.12
X40.
G00 Z-55.
;^^ warning: rapid_in_contour
N20 G01 X52.
G70 P10 Q20
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G71 U.08 R.02
G71 P10 Q20 U.02 W.004 F.01
N10 G00 X.8
X1. Z-.1 F.005
;   ^^^^ warning: rapid_in_contour
G01 Z-1.
N20 X2.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G00 Z0 F0.12
;^^ warning: rapid_in_contour
X24. Z-2.
Z-20.
N20 X52.
G70 P10 Q20
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G72 W2. R0.5
G72 P10 Q20 U0.4 W0.1 F0.28
N10 G00 Z-12.
G01 X40. F0.12
G00 Z-1.
;^^ warning: rapid_in_contour
X38. Z0.
N20 X20.
G70 P10 Q20
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X20. Z1.
G01 Z0 F0.1
G03 X30. Z-5. R5.
G00 Z-20.
;^^ warning: rapid_in_contour
X40.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X30. Z1.
G01 Z-10. F0.1
G00 Z-15.
;^^ warning: rapid_in_contour
G02 X40. Z-20. R5.
G01 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z3.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
Z1.
G01 Z-28. F0.12
X40.
N20 G00 X52.
G72 W2. R0.5
G72 P30 Q40 U0.4 W0.1 F0.28
N30 G00 Z-28.
G01 X52. F0.12
Z0.
N40 G00 Z3.
G70 P10 Q20
G01 X30.
Z-10.
G02 X40. Z-15. R5.
G00 X60.
Z-40.
G01 X38.
G00 X60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::rapid_in_contour

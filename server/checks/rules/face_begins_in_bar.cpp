// A face that begins in the middle of bar whose rim nothing has faced: the rapid before it ends in metal.
//
// The limits: common practice, no source.
#include "checks/head_stock.h"
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace turnwright::checks::rules::face_begins_in_bar {

namespace {

/// What is turned later lies so far outside of where the face begins.
constexpr double least_rim_mm = 2, least_rim_times = 1.08; // Radius

/// The contour that the tool roughs behind its face: it begins at the rim, which is still there.
constexpr double share_of_rim = 0.6;

double rim_of_contour(const Work& work) {
    double rim = 0;
    for (const Leg& leg : work.legs)
        if (leg.in_contour && leg.known) rim = std::max(rim, leg.to.x_radius_mm);
    return work.where == Work::Where::inside ? 0 : rim;
}

bool turns_from_front(const Leg& leg, double face_z) {
    return leg.kind == Leg::Kind::feed && leg.known && leg.dz() < 0 && leg.from.z_mm >= face_z;
}

/// The tool turns the outside behind its face, all of it farther out, and one slip of X would begin the face
/// outside of that.
bool slip_begins_outside(const WorksContext& context, const Work& work, const Leg& face) {
    constexpr double clearly_inside = 0.8, most_outside = 1.4;
    if (work.where == Work::Where::inside) return false;
    double least = 0, most = 0;
    for (const Leg* leg = &face + 1; leg < work.legs.data() + work.legs.size(); ++leg) {
        if (!leg->cuts() || !leg->known || leg->dz() >= 0 || -leg->dz() < std::abs(leg->dx())) continue;
        if (leg->from.z_mm < face.to.z_mm && most == 0) return false;
        least = most == 0 ? leg->from.x_radius_mm : std::min(least, leg->from.x_radius_mm);
        most = std::max(most, leg->from.x_radius_mm);
    }
    const double begins = face.from.x_radius_mm;
    if (most == 0 || begins > clearly_inside * least || (least - begins) * work.unit_mm < least_rim_mm)
        return false;
    const machine::Settings& settings = context.reader.settings();
    const std::vector<double> meant = slips_of(x_as_written(begins, settings));
    return std::any_of(meant.begin(), meant.end(), [&](double one) {
        return one >= x_as_written(most, settings) && one <= most_outside * x_as_written(most, settings);
    });
}

/// Radius of the round bar that a note at the head gives, where nobody has worked on it before.
std::optional<double> noted_bar(const WorksContext& context, const Work& work) {
    const machine::ProgramPart& program = *context.spans[work.span].program;
    const HeadStock head = head_stock(context.reader, program.first, program, work.unit_mm);
    if (!head.stock.diameter_mm || !head.is_plain_bar || work.behind_stop) return std::nullopt;
    return *head.stock.diameter_mm / 2 / work.unit_mm;
}

/// X is taken as a diameter because nothing says how it is written, and as radii the sizes would fit that
/// bar: the face begins outside of it, and nothing is turned farther out.
bool may_be_radii(const WorksContext& context, const Workpiece& part, const Work& first, const Leg& face,
                  double bar) {
    constexpr double most_over_bar = 1.02;
    const machine::Settings& settings = context.reader.settings();
    if (settings.machine.x_told || settings.assumed.x_radius) return false;
    if ((bar - 2 * face.from.x_radius_mm) * first.unit_mm > least_rim_mm) return false;
    return std::all_of(part.works.begin(), part.works.end(), [&](const Work* work) {
        return std::all_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
            const bool turns = leg.cuts() && leg.known && leg.dz() < 0;
            return !turns || 2 * std::max(leg.from.x_radius_mm, leg.to.x_radius_mm) <= most_over_bar * bar;
        });
    });
}

/// The face begins inside of that bar, at the length that it is to have.
bool begins_in_noted_bar(const WorksContext& context, const Workpiece& part, const Work& work,
                         const Leg& face) {
    constexpr double face_mm = 0.05;
    if (std::abs(face.to.z_mm) * work.unit_mm > face_mm || work.where == Work::Where::inside) return false;
    const auto bar = noted_bar(context, work);
    if (!bar || (*bar - face.from.x_radius_mm) * work.unit_mm <= least_rim_mm) return false;
    return !may_be_radii(context, part, work, face, *bar);
}

void look_at(const WorksContext& context, const Workpiece& part, Report& report) {
    const Work* first = nullptr;
    const Leg* face = nullptr;
    const Leg* rapid = nullptr;
    for (const Work* work : part.works) {
        const auto cut = std::find_if(work->legs.begin(), work->legs.end(),
                                      [](const Leg& leg) { return leg.cuts() || leg.in_contour; });
        if (cut == work->legs.end()) continue;
        if (work->driven_tool || cut == work->legs.begin()) return;
        first = work;
        face = &*cut;
        rapid = &*(cut - 1);
        break;
    }
    if (!face || face->kind != Leg::Kind::feed || !face->known || face->of_cycle || face->in_contour) return;
    const double begins = face->from.x_radius_mm;
    if (face->dz() != 0 || begins <= 0 || face->dx() >= 0) return;
    if (rapid->kind != Leg::Kind::rapid || !rapid->arrives || rapid->of_cycle) return;
    if (&part == context.parts.data() && begins_in_noted_bar(context, part, *first, *face)) {
        context.at(report, *first, *rapid, "XU")
            .message(
                said("This rapid goes to {} {}, inside of the bar that the note at the head gives ({}), and "
                     "nothing has faced it before: with anything left on the face the tool runs into it at "
                     "full rate. Is a digit of X wrong?",
                     context.x(begins), context.z(face->to.z_mm),
                     context.x(noted_bar(context, *first).value_or(0))));
        return;
    }
    const bool by_slip = slip_begins_outside(context, *first, *face);
    if (!by_slip && face->to.x_radius_mm > 0) return;
    double least = 0;
    bool any = false;
    for (const Work* work : part.works)
        for (const Leg& leg : work->legs) {
            if (leg.cuts() && !leg.known && work == first) return;
            if (!turns_from_front(leg, face->to.z_mm) || leg.from.x_radius_mm <= 0) continue;
            least = any ? std::min(least, leg.from.x_radius_mm) : leg.from.x_radius_mm;
            any = true;
        }
    const double rim = rim_of_contour(*first);
    const bool in_rim = begins < share_of_rim * rim && (rim - begins) * first->unit_mm > least_rim_mm;
    const bool in_bar = by_slip || (any && (least - begins) * first->unit_mm >= least_rim_mm &&
                                    least >= least_rim_times * begins);
    if (!in_rim && !in_bar) return;
    context.at(report, *first, *rapid, "XU")
        .message(said("This rapid goes to {} {} and there the first face of the bar begins: nothing has "
                      "faced the bar outside of that, and {}. The tool "
                      "runs into the face at full rate, or leaves its rim standing. Is a digit lost in X?",
                      context.x(begins), context.z(face->to.z_mm),
                      in_bar ? std::string(said("all that is turned lies farther out"))
                             : said("the contour that is roughed next begins at ") + context.x(rim)));
}

/// A tool that cuts nothing comes to the centre line in front of the face: the bar is fed out against it. The
/// first face behind takes all of that at once.
struct BarStop {
    const Work* work = nullptr;
    const Leg* leg = nullptr; ///< Nearest to the chuck
};
/// `so_far`: of the parts before it, where a program stop stands between the bar stop and its first tool.
void look_at_stop(const WorksContext& context, const Workpiece& part, BarStop& so_far, Report& report) {
    constexpr double most_faced_mm = 3.5, most_mm = 35;
    for (const Work* work : part.works) {
        const auto cut = std::find_if(work->legs.begin(), work->legs.end(), [](const Leg& leg) {
            return (leg.cuts() || leg.in_contour) && !leg.spindle_stands;
        });
        if (cut == work->legs.end()) {
            for (const Leg& leg : work->legs)
                if (leg.arrives && leg.kind != Leg::Kind::home && leg.to.x_radius_mm == 0 && leg.moves_z &&
                    (!so_far.leg || leg.to.z_mm < so_far.leg->to.z_mm))
                    so_far = {work, &leg};
            continue;
        }
        const BarStop stop = std::exchange(so_far, {});
        const bool is_face = stop.leg && cut->kind == Leg::Kind::feed && cut->known && cut->dz() == 0 &&
                             cut->dx() < 0 && !cut->in_contour && work->where != Work::Where::inside;
        if (!is_face || stop.leg->to.z_mm <= 0 || stop.leg->by_letters) return;
        const double depth = (stop.leg->to.z_mm - cut->to.z_mm) * work->unit_mm;
        if (depth < most_faced_mm) return;
        // Whole numbers may be of any increment: then the clearance of the next tool tells.
        double clear = 0;
        for (auto leg = work->legs.begin(); leg != cut; ++leg)
            if (leg->kind == Leg::Kind::rapid && leg->arrives && leg->moves_z) clear = leg->to.z_mm;
        if (depth > most_mm && (clear <= 0 || stop.leg->to.z_mm < 2 * clear || stop.leg->to.z_mm > 4 * clear))
            return;
        context.at(report, *stop.work, *stop.leg, "ZW")
            .message(
                said("The bar is fed out to {} here, and the first face behind it is cut at {}: {} at once, "
                     "and what is nearer than {} comes into the bar at rapid. Is a digit or the point of Z "
                     "wrong?",
                     context.z(stop.leg->to.z_mm), context.z(cut->to.z_mm),
                     spoken(std::round((stop.leg->to.z_mm - cut->to.z_mm) * 1e4) / 1e4),
                     context.z(stop.leg->to.z_mm)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    BarStop stop;
    for (const Workpiece& part : context.parts) look_at_stop(context, part, stop, report);
    if (context.stock_is_given) return; // It tells more, and the same
    for (const Workpiece& part : context.parts) look_at(context, part, report);
}

} // namespace

extern const Check check{
    .id = "face_begins_in_bar",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Rapid on to the face inside of the bar",
    .documentation =
        "The first cut of the part is a face to the centre, and it begins far inside of everything that is "
        "turned, or of the contour that the same tool roughs next: the rapid before it ends on metal that "
        "nothing has faced, or the rim of the face stays. "
        "Mostly a digit of X is lost (X4. for X44.). Begin outside of the bar. Where only the pip of a face "
        "is to be cut, say so by a note with the name of this warning."
        " Where a note at the head gives a plain bar, a first face that begins inside of it is told as "
        "well, unless X may be a radius: nothing says how it is written, and as radii all sizes fit that "
        "bar.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X4. Z0.
;   ^^^ warning: face_begins_in_bar
G01 X-1.6 F0.25
G00 X36. Z2.
G01 Z-48. F0.3
X41.
G00 Z2.
X14.
G01 Z-20.
X41.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X.2 Z.1
Z0
;^ warning: face_begins_in_bar
G01 X-.06 F.008
G00 Z.1
X1.5
G01 Z-2. F.01
X2.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X.2 Z0
;   ^^^ warning: face_begins_in_bar
G01 X-.06 F.008
G00 Z.1
X1.5
G01 Z-2. F.01
X2.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X44. Z1.
G01 X20. F0.25
G00 Z2.
X22.
Z0.
G01 X-1.6
G00 X36. Z2.
G01 Z-48. F0.3
X41.
M30
)"},
            {System::A, R"(
G21 G99
T0202
G97 S800 M03
G00 X12. Z0.
G01 X-1.6 F0.25
G00 Z2.
X8.
G01 Z-20.
X30.
G00 Z2.
X36.
G01 Z-48. F0.3
X41.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S220 M3
G0 X27. Z.1
;  ^^^^ warning: face_begins_in_bar
G1 X-1.6 F.2
G0 Z2.
X70.
G71 U2. R.5
G71 P10 Q20 U.5 W.1 F.3
N10 G0 X28.
G1 X34. Z-1. F.15
Z-30.
N20 X70.
G0 Z50.
M30
)"},
            // A digit lost, another one, two swapped, where a bore or a chamfer lies farther in.
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X30. Z0.3
;   ^^^^ warning: face_begins_in_bar
G01 X-1.6 F0.25
G00 X130. Z2.
G77 X121. Z-24. F0.3
G77 X116. Z-14.8
X111.
G00 X250. Z200.
T0303
G97 S2500
G00 X0 Z2.
G01 Z-47. F0.2
G00 Z5.
X250. Z200.
T0707
G00 X23.4 Z2.
G01 Z-20. F0.1
X22.
G00 Z5.
X250. Z200.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X49. Z0.2
;   ^^^^ warning: face_begins_in_bar
G01 X36. F0.25
G00 Z2.
X86.4
G01 Z-22. F0.3
X92.
G28 U0
G28 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X60. Z0.2
G01 X36. F0.25
G00 Z2.
X100.
G01 Z-22. F0.3
X110.
G00 X200. Z100.
M30
)"},
            // Inside of the bar that a note gives; and outside of it.
            {System::B, R"(
(BAR 2.000 DIA 1018, STICKOUT 3.0)
G20 G90 G95
T0101
G97 S900 M03
G00 X1.15 Z0
;   ^^^^^ warning: face_begins_in_bar
G01 X-.06 F.008
G00 X2.05 Z.1
G01 Z-1. F.01
X2.1
M30
)"},
            {System::A, R"(
(BRUT D160 X 40, 2 MM SUR LA FACE)
G21 G99
T0101
G97 S900 M03
G00 X116. Z0
;   ^^^^^ warning: face_begins_in_bar
G01 X28. F0.2
G00 X150. Z2.
G01 Z-10. F0.2
X164.
M30
)"},
            {System::B, R"(
(BAR 2.000 DIA 1018, STICKOUT 3.0)
G20 G90 G95
T0101
G97 S900 M03
G00 X2.15 Z0
G01 X-.06 F.008
G00 X1.9 Z.1
G01 Z-1. F.01
X2.1
M30
)"},
            // As radii the sizes fit the bar, and nothing says that they are diameters; read as radii they do
            // not fit either.
            {System::A, R"(
(BAR 30 BRASS)
G21 G99
T0101
G97 S1800 M03
G00 X16. Z0.
G01 X0. F.15
G00 X14. Z2.
G01 Z-20. F.2
X15.5
M30
)"},
            {System::B, R"(
(1.25 DIA BAR BRASS)
G20 G90 G95
T0101
G97 S1800 M03
G00 X.65 Z0
G01 X-.02 F.005
G00 X.6 Z.05
G01 Z-1. F.008
X.64
M30
)"},
            {System::A, R"(
(BAR 44 BRASS)
G21 G99
T0101
G97 S1800 M03
G00 X4.6 Z0.
;   ^^^^ warning: face_begins_in_bar
G01 X0. F.15
G00 X40. Z2.
G01 Z-20. F.2
X45.
M30
)"},
            // A bar stop far in front of the face, in whole numbers too; and near to it.
            {System::B, R"(
G21 G90 G95
T0707
G00 X0 Z5000
;      ^^^^^ warning: face_begins_in_bar
M00 (STANGE BIS ANSCHLAG)
G00 Z100000
X120000
T0101
G97 S900 M03
G00 X44000 Z2000
G79 X-1600 Z0 F0.2
G77 X39000 Z-25500 F0.3
G00 X120000 Z100000
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G00 X0 Z5.
;      ^^^ warning: face_begins_in_bar
M00 (BAR TO THE STOP)
G00 Z100.
X120.
T0101
G97 S900 M03
G00 X44. Z2.
G79 X-1.6 Z0 F0.2
G77 X39. Z-25.5 F0.3
G00 X120. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
M05
G98
G00 X0 Z20.
G01 Z5. F1000.
;   ^^ warning: face_begins_in_bar
M11
G04 U1.
G00 Z80.
X100.
G99
T0202
G97 S2000 M03
G00 X34. Z0
G01 X-0.8 F0.15
G00 X100. Z80.
M30
)"},
            {System::A, R"(
G21 G99
T0101
M05
G98
G00 X0 Z20.
G01 Z0.5 F1000.
M11
G04 U1.
G00 Z80.
X100.
G99
T0202
G97 S2000 M03
G00 X34. Z0
G01 X-0.8 F0.15
G00 X100. Z80.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::face_begins_in_bar

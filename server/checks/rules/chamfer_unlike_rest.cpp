// An edge that is broken at an odd angle, where all others of the program are at 45 degrees: a digit of it is
// wrong.
//
// The limits and the angles that edges have: common practice, no source.
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::chamfer_unlike_rest {

namespace {

constexpr double widest_mm = 6, longest_mm = 60, least_mm = 0.0999;
constexpr double same_mm = 0.0015;
/// Longer on the side that stays nobody comes in along 45 degrees, with the way in front of the face.
constexpr double widest_edge_mm = 8;
constexpr double widest_counterpart_mm = 2.5;
constexpr std::size_t enough = 3, enough_of_lead_in = 2;
constexpr double steep = 1.9;
/// Nearer to 45 degrees it is rounding of its ends; farther out lead-ins, nuts and tapers have these.
constexpr double off_deg = 6, near_deg = 0.7;
constexpr double usual_deg[] = {10, 15, 20, 25, 30, 60, 65, 70, 75, 80};

bool is_slant(const Leg& leg, double mm) {
    if (leg.kind != Leg::Kind::feed || !leg.known || leg.is_arc || leg.of_cycle) return false;
    const double x = std::abs(leg.dx()) * mm, z = std::abs(leg.dz()) * mm;
    return std::min(x, z) >= least_mm && std::min(x, z) <= widest_mm && std::max(x, z) <= longest_mm;
}

bool is_even(const Leg& leg, double mm) {
    return std::abs(std::abs(leg.dx()) - std::abs(leg.dz())) * mm < same_mm;
}

/// Of a taper, or of an edge that one of its digits has drawn out.
bool is_flat(double deg) {
    return deg < 5 || deg > 85;
}
bool is_usual(double deg) {
    return std::abs(deg - 45) < off_deg ||
           std::any_of(std::begin(usual_deg), std::end(usual_deg),
                       [&](double usual) { return std::abs(deg - usual) < near_deg; });
}

/// An edge stands between a line along X and one along Z.
bool breaks_edge(const Leg& before, const Leg& behind) {
    const auto straight = [](const Leg& leg) {
        return leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc && (leg.dx() == 0) != (leg.dz() == 0);
    };
    return straight(before) && straight(behind) && (before.dx() == 0) != (behind.dx() == 0);
}

/// The first cut of a cycle's contour, with a line along an axis behind it.
bool is_lead_in(const Work& work, std::size_t i) {
    const Leg &before = work.legs[i - 1], &behind = work.legs[i + 1];
    return work.legs[i].in_contour && before.in_contour && before.kind == Leg::Kind::rapid &&
           behind.kind == Leg::Kind::feed && behind.known && (behind.dx() == 0) != (behind.dz() == 0);
}

/// The first cut behind a rapid, from in front of the face, with a line along Z behind it.
bool is_first_cut(const Work& work, std::size_t i) {
    const Leg &before = work.legs[i - 1], &leg = work.legs[i], &behind = work.legs[i + 1];
    return before.kind == Leg::Kind::rapid && !before.by_letters && leg.from.z_mm > 0 && leg.to.z_mm < 0 &&
           behind.kind == Leg::Kind::feed && behind.known && behind.dx() == 0 && behind.dz() < 0;
}

/// The same, whichever way along Z it goes on: a slip may have put its end too deep.
bool comes_from_front(const Work& work, std::size_t i) {
    const Leg &before = work.legs[i - 1], &leg = work.legs[i], &behind = work.legs[i + 1];
    // A short feed in front of the face, or to it, may bring it there.
    const bool to_face = before.known && before.cuts() && before.dx() == 0 && before.dz() < 0;
    const bool comes = before.kind == Leg::Kind::rapid
                           ? before.arrives && before.to.z_mm > 0
                           : before.known && (before.to.z_mm > 0 || (to_face && before.to.z_mm == 0));
    // A taper may begin there, such as that of a pipe thread.
    constexpr double most_taper = 0.15;
    return comes && !before.by_letters && leg.from.z_mm >= 0 && leg.to.z_mm < 0 &&
           behind.kind == Leg::Kind::feed && behind.known && !behind.is_arc && behind.dz() != 0 &&
           std::abs(behind.dx()) <= most_taper * std::abs(behind.dz());
}

/// The same, and off the part behind it: the pass breaks the edge alone.
bool breaks_it_alone(const Work& work, std::size_t i) {
    const Leg &before = work.legs[i - 1], &leg = work.legs[i], &behind = work.legs[i + 1];
    return before.kind == Leg::Kind::rapid && before.arrives && !before.by_letters && leg.from.z_mm > 0 &&
           leg.to.z_mm < 0 && leg.dx() > 0 && behind.kind == Leg::Kind::rapid && behind.known &&
           behind.dx() > 0;
}

std::size_t digits_of(double number) {
    const std::string text = written(std::abs(number));
    const std::size_t first = text.find_first_not_of("0.");
    if (first == std::string::npos) return 0;
    return static_cast<std::size_t>(
        std::count_if(text.begin() + static_cast<std::ptrdiff_t>(first), text.end(), text::is_digit));
}

/// The point a place off, or the first digit doubled.
bool is_plain_slip(Slip slip, double number, double meant) {
    if (slip == Slip::point_moved) return true;
    const std::string text = written(std::abs(number));
    return slip == Slip::digit_added && text.size() > 1 && text[0] == text[1] &&
           text.substr(1) == written(std::abs(meant));
}

/// Another tool of the part, or a blade of it, goes to the number along this axis.
bool is_gone_to(const Workpiece& part, const Work& own, char letter, double value, double per_radius,
                bool by_blade = false) {
    constexpr double same = 1e-5;
    return std::any_of(part.works.begin(), part.works.end(), [&](const Work* work) {
        return work != &own && !work->driven_tool && (!by_blade || is_blade(*work)) &&
               std::any_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
                   const double to = letter == 'X' ? leg.to.x_radius_mm * per_radius : leg.to.z_mm;
                   return leg.arrives && leg.kind != Leg::Kind::home &&
                          (letter == 'X' ? leg.moves_x : leg.moves_z) && std::abs(to - value) < same;
               });
    });
}

struct Mend {
    const Leg* giver = nullptr;
    char letter = 'X';
    double written = 0, meant = 0; ///< X as the program writes it
};

/// The number of one of its ends that a slip has made, and that would put it at 45 degrees.
std::vector<Mend> mends_of(const WorksContext& context, const Workpiece& part, const Work& work,
                           std::size_t i, std::size_t others) {
    const Leg& leg = work.legs[i];
    const double mm = work.unit_mm, x_way = std::abs(leg.dx()), z_way = std::abs(leg.dz());
    const double per_radius = x_as_written(1, context.reader.settings());
    const double deg = std::atan2(x_way, z_way) * 180 / motion::pi;
    const bool flat = is_flat(deg), usual = is_usual(deg);
    const double x_sign = leg.dx() < 0 ? -1 : 1, z_sign = leg.dz() < 0 ? -1 : 1;
    const auto giver_of = [&](char letter) -> const Leg* {
        for (std::size_t at = i; at-- > 0;)
            if (letter == 'X' ? work.legs[at].moves_x : work.legs[at].moves_z) return &work.legs[at];
        return nullptr;
    };
    const Leg *x_giver = giver_of('X'), *z_giver = giver_of('Z');
    const double from_x = per_radius * leg.from.x_radius_mm, to_x = per_radius * leg.to.x_radius_mm,
                 x_by_z = per_radius * z_way;
    const Mend mends[] = {
        {&leg, 'X', to_x, from_x + x_sign * x_by_z},
        {&leg, 'X', to_x, from_x - x_sign * x_by_z},
        {&leg, 'Z', leg.to.z_mm, leg.from.z_mm + z_sign * x_way},
        {x_giver, 'X', from_x, to_x - x_sign * x_by_z},
        {x_giver, 'X', from_x, to_x + x_sign * x_by_z},
        {z_giver, 'Z', leg.from.z_mm, leg.to.z_mm - z_sign * x_way},
        {leg.dz() > 0 ? z_giver : nullptr, 'Z', leg.from.z_mm, leg.to.z_mm + z_sign * x_way},
    };
    std::vector<Mend> fitting;
    for (const Mend& mend : mends) {
        if (!mend.giver || mend.giver->by_letters || mend.giver->of_cycle) continue;
        const double way = mend.letter == 'X' ? z_way : x_way;
        if (way * mm > widest_mm || mend.meant * mend.written < 0) continue;
        // So short of its digits a number cannot tell which one is wrong.
        const double meant = std::round(mend.meant * 1e4) / 1e4;
        const Slip slip = slip_between(mend.written, meant);
        const bool by_others = others >= enough && breaks_edge(work.legs[i - 1], work.legs[i + 1]);
        // Digits in disorder put a steep line at 45 degrees by no chance.
        const bool by_itself = mend.letter == 'X' && slip != Slip::other_digit && x_way > steep * z_way;
        // Where it begins nothing else hangs on; where it ends the next line does.
        const bool by_lead_in = mend.giver != &leg && others >= enough_of_lead_in && is_lead_in(work, i) &&
                                (mend.letter == 'X' ? x_way > steep * z_way : z_way > steep * x_way) &&
                                digits_of(mend.written) >= 3 && std::abs(meant - mend.meant) < 1e-5;
        // Where both X have three digits no chance makes it 45 degrees by one of them.
        const bool is_precise = others > 0 && digits_of(from_x) >= 3 && digits_of(to_x) >= 3;
        const bool by_first_cut =
            is_first_cut(work, i) && std::abs(meant - mend.meant) < 1e-5 &&
            (digits_of(mend.written) >= 2 || slip == Slip::point_moved) &&
            (is_precise || others >= (slip == Slip::other_digit ? enough : enough_of_lead_in));
        // From in front of the face both of its ends have their own Z: no cone comes to 45 degrees by a
        // point or by a digit too many, whatever else the program does.
        const bool exact = std::abs(meant - mend.meant) < 1e-6;
        const bool by_front = exact &&
                              (comes_from_front(work, i) || (others > 0 && breaks_it_alone(work, i))) &&
                              is_plain_slip(slip, mend.written, meant) && way * mm <= widest_edge_mm &&
                              (mend.letter == 'Z' ? z_way : x_way) > 1.5 * way;
        // Between a face and a diameter three digits in disorder come to 45 degrees by no chance either.
        const bool in_disorder = exact && slip == Slip::digits_swapped && digits_of(mend.written) >= 3 &&
                                 breaks_edge(work.legs[i - 1], work.legs[i + 1]);
        const bool by_order = in_disorder && z_way > steep * x_way;
        // The contour turns back in X behind its shoulder, or in Z before the edge, and would not.
        const bool is_swapped = exact && slip == Slip::digits_swapped && digits_of(mend.written) >= 2 &&
                                breaks_edge(work.legs[i - 1], work.legs[i + 1]);
        const bool turns_back_in_x = mend.letter == 'X' && mend.giver == &leg &&
                                     work.legs[i - 1].dx() * leg.dx() < 0 &&
                                     (meant - from_x) * work.legs[i - 1].dx() > 0;
        const bool turns_back_in_z = mend.letter == 'Z' && mend.giver == z_giver && leg.dz() > 0 &&
                                     meant > leg.to.z_mm && work.legs[i + 1].dz() < 0;
        const bool turns_back = is_swapped && (turns_back_in_x || turns_back_in_z);
        if (usual && !by_front) continue;
        // Its counterpart: a shoulder that a blade works to, and that was changed here alone.
        const bool by_counterpart = exact && others > 0 && mend.letter == 'Z' && meant < 0 &&
                                    std::min(x_way, z_way) * mm <= widest_counterpart_mm &&
                                    std::abs(z_way - x_way) > 0.3 * std::min(x_way, z_way) &&
                                    breaks_edge(work.legs[i - 1], work.legs[i + 1]) &&
                                    is_gone_to(part, work, mend.letter, meant, per_radius, true) &&
                                    !is_gone_to(part, work, mend.letter, mend.written, per_radius);
        if (by_counterpart || turns_back) {
            fitting.push_back({mend.giver, mend.letter, mend.written, meant});
            continue;
        }
        if (slip != Slip::none && (by_front || by_order ||
                                   (flat ? by_others : by_others || by_itself || by_lead_in || by_first_cut)))
            fitting.push_back({mend.giver, mend.letter, mend.written, meant});
    }
    return fitting;
}

struct Slant {
    const Workpiece* part;
    const Work* work;
    std::size_t at;
};

/// A small edge between two lines of a contour, toward the chuck; or the first cut that goes as far by its X
/// as by its Z, which is half of it on radius.
bool is_edge_by_itself(const Slant& slant, std::size_t even) {
    constexpr double most_mm = 1.6, most_by_half_mm = 3.2, most_of_first_mm = 8, least_off_deg = 3,
                     same = 1e-4;
    constexpr std::size_t enough_edges = 2;
    const Work& work = *slant.work;
    const Leg &leg = work.legs[slant.at], &before = work.legs[slant.at - 1],
              &behind = work.legs[slant.at + 1];
    const double x = std::abs(leg.dx()), z = std::abs(leg.dz()), mm = work.unit_mm;
    const bool outward =
        work.where == Work::Where::outside ? leg.dx() > 0 : work.where == Work::Where::inside && leg.dx() < 0;
    if (leg.by_letters || leg.dz() >= 0 || !outward || is_blade(work)) return false;
    const double most = std::abs(2 * x - z) < same ? most_by_half_mm : most_mm;
    // The last of a contour goes out into the air.
    const bool ends = before.known && before.cuts() && before.dz() == 0 && before.dx() * leg.dx() > 0 &&
                      behind.kind == Leg::Kind::rapid;
    if (even >= enough_edges && std::max(x, z) * mm <= most && (ends || breaks_edge(before, behind)) &&
        std::abs(std::atan2(x, z) * 180 / motion::pi - 45) > least_off_deg)
        return true;
    const bool first = is_lead_in(work, slant.at) || is_first_cut(work, slant.at);
    return even >= enough && first && leg.to.z_mm < 0 && std::abs(2 * x - z) < same &&
           z * mm <= most_of_first_mm;
}

/// No slip explains it: what would be at 45 degrees from where it begins.
void tell_edge(const WorksContext& context, const Slant& slant, std::size_t even, Report& report) {
    const Leg& leg = slant.work->legs[slant.at];
    const auto rounded = [](double value) { return std::round(value * 1e4) / 1e4; };
    const double x = leg.from.x_radius_mm + std::copysign(std::abs(leg.dz()), leg.dx()),
                 z = leg.from.z_mm - std::abs(leg.dx());
    const bool goes_once = std::abs(2 * std::abs(leg.dx()) - std::abs(leg.dz())) < 1e-4;
    const std::string text = said(
        "This slanting line goes {} in X (on radius) and {} in Z, and the {} others of the program are at 45 "
        "degrees. From where it begins {} or {} would be at 45 degrees.",
        spoken(rounded(std::abs(leg.dx()))), spoken(rounded(std::abs(leg.dz()))), even, context.x(rounded(x)),
        context.z(rounded(z)));
    context.at(report, *slant.work, leg, "XZ")
        .message(goes_once ? text + " " + said("X is a diameter: it changes by twice the width of the edge.")
                           : text);
}

/// Between two diameters, twice as far in X as in Z and more: a shoulder whose own block is missing. No edge
/// and no lead-in is so steep.
bool is_lost_shoulder(const Work& work, std::size_t i) {
    constexpr double longest_z_mm = 2.6, least_x_mm = 0.5, steepness = 2;
    const Leg &leg = work.legs[i], &before = work.legs[i - 1], &behind = work.legs[i + 1];
    const auto along = [](const Leg& line) {
        return line.kind == Leg::Kind::feed && line.known && !line.is_arc && !line.of_cycle &&
               line.dx() == 0 && line.dz() < 0;
    };
    const double x = std::abs(leg.dx()) * work.unit_mm, z = -leg.dz() * work.unit_mm;
    const bool outward =
        work.where == Work::Where::outside ? leg.dx() > 0 : work.where == Work::Where::inside && leg.dx() < 0;
    return is_slant(leg, work.unit_mm) && outward && leg.from.z_mm < 0 && !leg.by_letters && along(before) &&
           along(behind) && z > 0 && z <= longest_z_mm && x >= least_x_mm && x >= steepness * z &&
           !is_blade(work);
}

void tell_shoulder(const WorksContext& context, const Work& work, std::size_t i, Report& report) {
    const Leg& leg = work.legs[i];
    const double x = leg.to.x_radius_mm - std::copysign(std::abs(leg.dz()), leg.dx());
    context.at(report, work, leg, "XZ")
        .severity(Severity::warning)
        .message(
            said("Between the diameters {} and {} this goes aslant, {} in X (on radius) and {} in Z: the "
                 "shoulder becomes a cone. Is the block lost that goes out along it to {}, where an edge "
                 "of 45 degrees begins?",
                 context.x(leg.from.x_radius_mm), context.x(leg.to.x_radius_mm),
                 spoken(std::round(std::abs(leg.dx()) * 1e4) / 1e4),
                 spoken(std::round(-leg.dz() * 1e4) / 1e4), context.x(std::round(x * 1e4) / 1e4)));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            for (std::size_t i = 1; !work->driven_tool && i + 1 < work->legs.size(); ++i)
                if (is_lost_shoulder(*work, i)) return tell_shoulder(context, *work, i, report);
    std::vector<Slant> odd;
    std::size_t even = 0;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            for (std::size_t i = 1; i + 1 < work->legs.size(); ++i) {
                const Leg& leg = work->legs[i];
                if (!is_slant(leg, work->unit_mm)) continue;
                if (is_even(leg, work->unit_mm))
                    ++even;
                else if (!is_usual(std::atan2(std::abs(leg.dx()), std::abs(leg.dz())) * 180 / motion::pi) ||
                         comes_from_front(*work, i) || breaks_it_alone(*work, i))
                    odd.push_back({&part, work, i});
            }
        }
    // One that no slip explains may be meant so.
    constexpr std::size_t most_odd = 2;
    std::vector<Mend> mends;
    const Slant* found = nullptr;
    std::size_t angles = 0;
    for (const Slant& slant : odd) {
        const Leg& leg = slant.work->legs[slant.at];
        const double deg = std::atan2(std::abs(leg.dx()), std::abs(leg.dz())) * 180 / motion::pi;
        angles += !is_flat(deg) && !is_usual(deg);
        std::vector<Mend> others = mends_of(context, *slant.part, *slant.work, slant.at, even);
        if (!others.empty() && !mends.empty()) return;
        if (others.empty()) continue;
        mends = std::move(others);
        found = &slant;
    }
    if (mends.empty()) {
        const Slant* edge = nullptr;
        for (const Slant& slant : odd) {
            if (!is_edge_by_itself(slant, even)) continue;
            if (edge) return; // Two are meant
            edge = &slant;
        }
        if (edge) tell_edge(context, *edge, even, report);
        return;
    }
    if (angles > most_odd) return;
    const Leg& leg = found->work->legs[found->at];
    const auto spoken_way = [](double way) { return spoken(std::round(std::abs(way) * 1e4) / 1e4); };
    std::string instead;
    for (const Mend& mend : mends)
        instead +=
            (instead.empty() ? "" : said(", or ")) +
            said("{} in place of {}", mend.letter + written(mend.meant), mend.letter + written(mend.written));
    context.at(report, *found->work, *mends[0].giver, std::string_view(&mends[0].letter, 1))
        .message(said(
            "This slanting line goes {} in X (on radius) and {} in Z{}. {} would put it at 45 degrees: "
            "is a digit wrong?",
            spoken_way(leg.dx()), spoken_way(leg.dz()),
            even >= enough ? said(", and {} others of the program are at 45 degrees", even) : "", instead));
}

} // namespace

extern const Check check{
    .id = "chamfer_unlike_rest",
    .family = Family::words,
    .severity = Severity::information,
    .title = "Edge broken at another angle than all others",
    .documentation =
        "A short slanting line between one along X and one along Z is at 45 degrees wherever the program "
        "breaks "
        "an edge, three times or more, and one is at another angle that edges do not have, while one slip in "
        "one of its numbers (two digits changed, a digit lost, added or another, the point moved) would make "
        "it "
        "45 degrees, too. So it is of a steep line whose X has its digits swapped, lost or doubled or its "
        "point moved, "
        "whatever else the program does, of a flat one between a face and a diameter whose digits are "
        "swapped, and of the first cut from in front of the face where two others are "
        "at 45 degrees, or where its point a place off, or its first digit doubled, would make it so alone. "
        "The edge becomes a cone or a step, or the diameter behind it is "
        "wrong. Angles that "
        "lead-ins, nuts and threads have (10, 15, 20, 25, 30 degrees from either axis) are left alone."
        " A small edge at another angle than two others, with no slip that explains it, is told, too, and a "
        "shoulder whose own block is lost, so that it becomes a steep cone.",
    .works = works,
    .examples =
        {
            // An edge by once its width on diameter; a shoulder whose block is lost; and as they are meant.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X16. Z2.
G01 Z0 F0.15
X20. Z-2.
Z-28.
X36.
X37. Z-29.
;^^^ information: chamfer_unlike_rest
Z-40.
X46.
X48. Z-41.
Z-60.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S500 M03
G00 X.9 Z.1
G01 Z0 F.008
X1. Z-.05
Z-1.
X1.5 Z-1.05
;^^^ warning: chamfer_unlike_rest
Z-2.
X2.1
G00 X4. Z4.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S500 M03
G00 X.9 Z.1
G01 Z0 F.008
X1. Z-.05
Z-1.
X1.4
X1.5 Z-1.05
Z-2.
X2.1
G00 X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X16. Z2.
G01 Z0 F0.15
X20. Z-2.
Z-28.
X36.
X38. Z-29.
Z-40.
X40. Z-50.
Z-60.
X48.
G00 X100. Z50.
M30
)"},
            // The way into a facing contour.
            {System::A, R"(
G20 G99
T0202
G96 S350 M03
G00 X6.2 Z.1
G72 W.05 R.03
G72 P100 Q110 U.02 W.005 F.009
N100 G00 Z-.6925
;        ^^^^^^^ information: chamfer_unlike_rest
G01 X5.94 Z-.0625 F.005
X4.08
X4. Z-.0225
Z-.015
X3.97 Z0
N110 X1.9
G00 X8. Z4.
G28 U0 W0
T0404
G96 S300 M03
G00 X1.96 Z.1
X2.25
G01 Z-.375 F.004
X2.165
X2.1255 Z-.3948
Z-1.04
X1.98
G00 Z1.
M30
)"},
            {System::A, R"(
G20 G99
T0202
G96 S350 M03
G00 X6.2 Z.1
G72 W.05 R.03
G72 P100 Q110 U.02 W.005 F.009
N100 G00 Z-.1925
G01 X5.94 Z-.0625 F.005
X4.08
X4. Z-.0225
Z-.015
X3.97 Z0
N110 X1.9
G00 X8. Z4.
G28 U0 W0
T0404
G96 S300 M03
G00 X1.96 Z.1
X2.25
G01 Z-.375 F.004
X2.165
X2.1255 Z-.3948
Z-1.04
X1.98
G00 Z1.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X16. Z2.
G01 Z0 F0.15
X20. Z-2.
Z-28.
X36.
X38. Z-29.
Z-40.
X46.
X48. Z-45.
;    ^^^^ information: chamfer_unlike_rest
Z-60.
X56.
X58. Z-61.
Z-70.
X62.
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G96 S500 M03
G00 X.9 Z.1
G01 Z0 F.008
X1. Z-.05
Z-1.
X1.3
X1.5 Z-1.05
;^^^ information: chamfer_unlike_rest
Z-2.
X1.9
X2. Z-2.05
Z-2.5
X2.4
X2.5 Z-2.55
Z-3.
X2.7
G00 X4. Z4.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X60. Z2.
X45.
;^^^ information: chamfer_unlike_rest
G01 Z0 F0.15
X58. Z-2.
Z-90.
X63.
G00 X100. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G96 S180 M03
G00 X78. Z2.
G01 X72. Z-1. F0.12
Z-5.
X62.
X60. Z-26.
;    ^^^^^ information: chamfer_unlike_rest
Z-59.
X58.
G00 Z20.
T0101
G00 X84. Z2.
G01 X90. Z-1. F0.12
Z-20.
X97.
X99. Z-21.
Z-30.
X104.
G00 X200. Z100.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X114. Z2.
G01 X120. Z-1. F0.12
Z-20.
X126.
X128. Z-21.
Z-30.
X134.
X136. Z-31.
Z-40.
X142.
G00 X200. Z100.
T0606
G00 X47.4 Z2.
G01 X40.4 Z-2.5 F0.1
;         ^^^^^ information: chamfer_unlike_rest
Z-32.
G00 X38.
Z50.
M30
)"},
            // Lead-ins of 15 and 30 degrees, a taper, a chamfer rounded to its thread, and only two others.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X16. Z2.
G01 Z0 F0.15
X19.85 Z-2.
Z-28.
X36.
X38. Z-29.
Z-40.
X46.
X48. Z-43.732
Z-60.
X56.
X58. Z-61.
Z-70.
X60. Z-71.
Z-80.
X70. Z-95.
Z-100.
X80.
G00 X100. Z50.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X16. Z2.
G01 Z0 F0.15
X20. Z-2.
Z-28.
X36.
X38. Z-29.
Z-40.
X46.
X48. Z-44.
Z-60.
X62.
G00 X100. Z50.
M30
)"},
            // The first digit doubled, of the edge at the front; a cone from in front of the face.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X22. Z2.
X8.9
G01 X15.9 Z-11.5 F0.12
;         ^^^^^^ information: chamfer_unlike_rest
Z-30.
X24.
G00 X100. Z50.
M30
)"},
            // In a bore, beyond the floor of the seat.
            {System::B, R"(
G21 G90 G95
T0202
G97 S900 M03
G00 X65.015 Z4.
G41 G01 Z1.9 F0.5
X60.015 Z-6. F0.1
;       ^^^^ information: chamfer_unlike_rest
Z-5.
X38.5
G40 G00 Z5.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X.9 Z.1
X.68
G01 X1. Z-.6 F.005
;       ^^^^ information: chamfer_unlike_rest
Z-1.5
X1.3
G00 X4. Z4.
M30
)"},
            // The pass breaks the edge alone: the point a place off, and cones as they are meant.
            {System::B, R"(
G21 G90 G95
T0101
G97 S600 M03
G00 X54. Z2.
X44.
G01 X50. Z-10. F0.12
;        ^^^^^ information: chamfer_unlike_rest
G00 X60. Z5.
X56. Z-8.
G01 X58. Z-9.
X100. Z100.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S600 M03
G00 X2.2 Z.1
X1.6
G01 X2. Z-1. F.005
G00 X2.3 Z.3
X4. Z4.
M30
)"},
            // Digits of the diameter in disorder, seen by its edge; the same digits of a taper.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X36. Z2.
X12.
G01 Z-6. F0.12
X23.3
X23.5 Z-7.
;^^^^ information: chamfer_unlike_rest
Z-60.
X38.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X1.6 Z.1
X.5
G01 Z-.3 F.005
X1.29
X1.295 Z-.35
Z-2.
X1.7
G00 X4. Z4.
M30
)"},
            // Cones from in front of the face, as they are meant.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X42. Z2.
X19.8
G01 X30. Z-49. F0.12
Z-60.
X42.
G00 X14.4
Z2.
G01 X18. Z-10. F0.12
Z-20.
G00 X100. Z50.
M30
)"},
            // With the cone of a pipe thread behind it.
            {System::A, R"(
G20 G99
T0101
G96 S500 M03
G00 X1.6 Z.1
G71 U.06 R.02
G71 P20 Q26 U.02 W.004 F.012
N20 G00 G42 X.9476
N21 G01 X1.2876 Z-.7 F.006
;               ^^^^ information: chamfer_unlike_rest
N22 X1.3426 Z-.95
N23 X1.45
N26 G40 X1.56
M30
)"},
            // Another tool works to the shoulder that would make it even; and to the one that stands here.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X42. Z2.
X26.
G01 Z0 F0.2
X29.85 Z-1.925 F0.15
Z-28.
;^^^^ information: chamfer_unlike_rest
X33.
X35. Z-31.
Z-60.
X42.
G00 X100. Z100.
T0303
G97 S600 M03
G00 X42. Z-30.
G01 X27. F0.06
G00 X42.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X42. Z2.
X26.
G01 Z0 F0.2
X29.85 Z-1.925 F0.15
Z-28.
X33.
X35. Z-31.
Z-60.
X42.
G00 X100. Z100.
T0303
G97 S600 M03
G00 X42. Z-28.
G01 X27. F0.06
G00 X42.
M30
)"},
            // Two digits of Z; two of X, and the contour turns back; and as both are meant.
            {System::A, R"(
G21 G99
T0202
G97 S900 M03
G00 X20. Z1.
G01 X24. Z-1. F0.1
Z-14.
X25.
X26.5 Z-17.45
;     ^^^^^^^ information: chamfer_unlike_rest
Z-22.
X31.
G00 X100. Z80.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0202
G97 S900 M03
G00 X1.15 Z0
G01 X1.25 Z-.05 F.005
Z-1.5
X1.67
X1.57 Z-1.54
;^^^^ information: chamfer_unlike_rest
Z-2.
X2.1
G00 X4. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G97 S900 M03
G00 X20. Z1.
G01 X24. Z-1. F0.1
Z-14.
X25.
X26.5 Z-14.75
Z-22.
X31.
G00 X100. Z80.
M30
)"},
            // From the face on, with the point a place off; and in its place.
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X2.1 Z.1
X1.96
G01 Z0. F.007
X2. Z-.2
;   ^^^^ information: chamfer_unlike_rest
Z-.9
X2.3
G00 X2.5 Z.2
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S900 M03
G00 X2.1 Z.1
X1.96
G01 Z0. F.007
X2. Z-.02
Z-.9
X2.3
G00 X2.5 Z.2
M30
)"},
            // The cone before goes on behind the flange; and to it.
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X52. Z2.
G01 X60. Z-2. F0.15
Z-20.
X64.
X90. Z-53.
;    ^^^^^ information: chamfer_unlike_rest
X136.
X140. Z-37.
Z-52.
X152.
G00 X200. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X52. Z2.
G01 X60. Z-2. F0.15
Z-20.
X64.
X90. Z-35.
X136.
X140. Z-37.
Z-52.
X152.
G00 X200. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::chamfer_unlike_rest

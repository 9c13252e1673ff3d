// G41 for G42 or the reverse, told by the side that the part lies on.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace turnwright::checks::rules::compensation_wrong_side {

namespace {

/// What the compensated moves of a work go, as seen from the metal: positive when the tool is right of them.
struct Way {
    BlockPlace first;
    motion::Side side = motion::Side::off;
    bool outside = false;
    bool toward_plus = false; ///< The part stands towards plus of its face, as in a second spindle
    bool mirrored = false;    ///< Cut on the far side of the centre: left and right change places
    double right = 0, length = 0;
    bool is_clear() const {
        return side != motion::Side::off && std::abs(right) > 0.3 * length && length > 0;
    }
    bool fits() const { return ((side == motion::Side::right) == (right > 0)) != mirrored; }
    /// Outside, the free side is away from the centre and from the chuck; in a bore it is toward the centre.
    void add(double dx, double dz, double its_length) {
        right += (toward_plus ? -dx : dx) - (outside ? 1 : -1) * dz;
        length += its_length;
    }
};

/// Its facing cycles come from the chuck's side and go back there.
bool faces_from_behind(const Work& work) {
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &in = work.legs[i - 1], &face = work.legs[i], &out = work.legs[i + 1];
        if (face.of_cycle && is_plunge(face) && in.of_cycle && in.known && in.dx() == 0 && in.dz() > 0 &&
            out.of_cycle && out.dx() == 0 && out.dz() < 0)
            return true;
    }
    return false;
}

/// A face that looks to the chuck: by all cuts the part stands higher in front of it than behind.
bool is_back_face(const Workpiece& part, const Work& work, const Leg& leg) {
    constexpr double beside_mm = 0.5;
    if (work.where != Work::Where::outside || leg.dx() == 0 || std::abs(leg.dz()) > 0.2 * std::abs(leg.dx()))
        return false;
    if (faces_from_behind(work)) return true;
    const double beside = beside_mm / work.unit_mm, z = (leg.from.z_mm + leg.to.z_mm) / 2;
    const auto front = part.outside.at(z + beside), behind = part.outside.at(z - beside);
    return front && behind && *front - *behind > 0.5 * std::abs(leg.dx());
}

/// A part of another clamping that is cut behind Z0 alone.
bool stands_toward_plus(const WorksContext& context, const Workpiece& part) {
    constexpr double least_mm = 3, share = 3;
    return &part != &context.parts.front() && !part.works.empty() &&
           part.z_max * part.works.front()->unit_mm > least_mm && part.z_max > -share * part.z_min;
}

Way way_of(const WorksContext& context, const Workpiece& part, const Work& work, bool toward_plus) {
    Way way;
    if (work.where != Work::Where::outside && work.where != Work::Where::inside) return way;
    for (const Leg& leg : work.legs) {
        if (leg.side == motion::Side::off || leg.kind != Leg::Kind::feed || !leg.known || leg.of_cycle)
            continue;
        if (way.side == motion::Side::off)
            way = {context.place(work, leg), leg.side, work.where == Work::Where::outside, toward_plus,
                   work.beyond_centre};
        if (leg.side != way.side) return {};
        way.add(is_back_face(part, work, leg) ? -leg.dx() : leg.dx(), leg.dz(),
                std::abs(leg.dx()) + std::abs(leg.dz()));
    }
    return way;
}

/// Each stretch from where it is switched on to where it is off again, where they do not agree: a face, and
/// the contour behind it.
std::vector<Way> ways_of(const WorksContext& context, const Workpiece& part, const Work& work,
                         bool toward_plus) {
    constexpr double least_mm = 2;
    std::vector<Way> ways;
    bool on = false;
    for (const Leg& leg : work.legs) {
        const bool was_on = std::exchange(on, leg.side != motion::Side::off);
        if (!on || leg.kind != Leg::Kind::feed || !leg.known || leg.of_cycle) {
            on = on && was_on;
            continue;
        }
        if (!was_on || ways.empty() || ways.back().side != leg.side)
            ways.push_back({context.place(work, leg), leg.side, work.where == Work::Where::outside,
                            toward_plus, work.beyond_centre});
        ways.back().add(is_back_face(part, work, leg) ? -leg.dx() : leg.dx(), leg.dz(),
                        std::abs(leg.dx()) + std::abs(leg.dz()));
    }
    std::erase_if(ways,
                  [&](const Way& way) { return !way.is_clear() || way.length * work.unit_mm < least_mm; });
    const auto fitting = std::count_if(ways.begin(), ways.end(), [](const Way& way) { return way.fits(); });
    if (fitting == 0 || fitting == static_cast<std::ptrdiff_t>(ways.size())) return {};
    return ways;
}

/// The block with the code that turned it on: the last above with it, in the same work.
const syntax::Item* switched_on(const WorksContext& context, const Work& work, const Way& way,
                                BlockPlace& place) {
    const Meaning now =
        way.side == motion::Side::right ? Meaning::compensation_right : Meaning::compensation_left;
    const Span& span = context.spans[work.span];
    const BlockPlace first = span.first <= way.first && way.first <= span.last ? span.first : way.first;
    place = way.first;
    for (std::optional<BlockPlace> at = place; at && *at >= first; at = context.reader.neighbour(*at, false))
        if (const syntax::Item* word = find_code(context.reader, *at, now)) {
            place = *at;
            return word;
        }
    return nullptr;
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
            const bool toward_plus = stands_toward_plus(context, part);
            const auto take = [&](const Way& way) {
                if (!way.is_clear()) return false;
                if (way.fits())
                    ++fitting;
                else if (std::none_of(found.begin(),
                                      found.end(), // A called program is told, and counts, once
                                      [&](const Found& other) { return other.way.first == way.first; }))
                    found.push_back({work, way});
                return true;
            };
            if (work->where == Work::Where::outside || work->where == Work::Where::inside)
                if (const std::vector<Way> ways = ways_of(context, part, *work, toward_plus); !ways.empty()) {
                    std::for_each(ways.begin(), ways.end(), take);
                    continue;
                }
            if (take(way_of(context, part, *work, toward_plus))) continue;
            for (const Finish& finish : work->finishes) {
                Way way{context.place(*work, finish), finish.side, finish.outside, toward_plus};
                way.add(finish.dx, finish.dz, finish.length);
                if (take(way)) break;
            }
        }
    // A machine whose view is the mirrored one has all of them so.
    if (fitting == 0 && found.size() > 1) return;
    for (const auto& [work, way] : found) {
        const bool is_right = way.side == motion::Side::right;
        BlockPlace place;
        const syntax::Item* word = switched_on(context, *work, way, place);
        if (!word) continue; // Left over from the tool before: another rule tells that
        report.at(place, *word)
            .message(said("{} puts the nose on the side of the metal: for {} that goes this way the "
                          "tool is on the {} of "
                          "its path. The contour is cut off by the nose radius, twice over. Write {}.",
                          code(context.reader.settings(),
                               is_right ? Meaning::compensation_right : Meaning::compensation_left),
                          way.outside ? said("an outside contour") : said("a bore"),
                          is_right ? said("left") : said("right"),
                          code(context.reader.settings(),
                               is_right ? Meaning::compensation_left : Meaning::compensation_right)));
    }
}

} // namespace

extern const Check check{
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
            // A called program tells of itself once, however often it is called.
            {System::B, R"(
G21 G90 G95
G96 S200 M03
T0303
G00 X20. Z2.
M98 P7
T0404
G00 X20. Z2.
M98 P7
M30
O7
G41 G01 X24. Z-1. F0.1
;^^ warning: compensation_wrong_side
Z-20.
X40. Z-30.
X44.
G40 G00 X50.
Z2.
M99
)"},
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
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X24.
G01 Z-25. F0.12
X40. Z-30.
N20 X52.
T0303
G00 G41 X52. Z2.
;   ^^^ warning: compensation_wrong_side
G70 P10 Q20
G40 G00 X60. Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X20. Z2.
G71 U2. R0.5
G71 P10 Q20 U-0.4 W0.1 F0.28
N10 G00 X40.
G01 Z-25. F0.12
X30. Z-30.
N20 X20.
T0303
G00 G41 X20. Z2.
G70 P10 Q20
G40 G00 Z5.
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
            // Where the view is mirrored, G42 lies on the left.
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X20. Z2.
G42 G01 X24. Z-1. F0.1
;^^ warning: compensation_wrong_side
Z-20.
X40. Z-30.
X52.
G40 G00 X60. Z5.
M30
)",
             "[[machine]]\nmirrored = true\n"},
            // A face, and a contour behind it to the right side.
            {System::B, R"(
G21 G90 G95
T0202
G96 S500 M03
G00 X114. Z2.
G42 Z0.
;^^ warning: compensation_wrong_side
G01 X16. F0.15
G40 G00 Z2.
X100.
G42 X102.
G01 X110. Z-2. F0.12
Z-15.
X118.
X120. Z-16.
Z-24.
G40 X128.
G00 X250. Z200.
M30
)"},
            {System::A, R"(
G20 G99
T0202
G96 S500 M03
G00 X3.2 Z.1
G41 Z0
G01 X.6 F.006
G40 G00 Z.1
X2.4
G41 X2.5
;^^ warning: compensation_wrong_side
G01 X2.7 Z-.1 F.005
Z-.6
X3.
G40 X3.2
G28 U0 W0
M30
)"},
            {System::C, R"(
G71 G90 G95
T0202
G96 S500 M03
G00 X114. Z2.
G41 Z0.
G01 X16. F0.15
G40 G00 Z2.
X100.
G42 X102.
G01 X110. Z-2. F0.12
Z-15.
X118.
X120. Z-16.
Z-24.
G40 X128.
G00 X250. Z200.
M30
)"},
            // The back of a flange: facing cycles that come from the chuck, and the contour behind them.
            {System::B, R"(
G21 G90 G95
T0202
G96 S210 M03
G00 X90. Z2.
X80.
G01 Z-51. F.2
X84.
G00 X90.
G28 X200. Z50.
T0606
G96 S200 M03
G00 X84. Z-54.
G79 X37. Z-50.6 F.2
Z-50.1
G00 Z-53.
X81.
G42 G01 X80.6 Z-50.3 F.3
X80. Z-49. F.12
X78. Z-50.
X36. F.1
Z-60. F.15
X38. F.3
G40 G00 X90.
M30
)"},
            // On the far side of the centre left and right change places.
            {System::B, R"(
(BAR ON THE FAR SIDE)
G20 G90 G95
T0303 (DRILL 1.000)
G97 S400 M03
G00 X0 Z.2
G01 Z-2. F.008
G00 Z.2
T0505
G97 S900 M03
G00 X-1.18 Z.1
G01 Z-1.5 F.01
G00 X-1.1
Z.2
X-1.4
G41 G01 Z.05 F.02
;^^ warning: compensation_wrong_side
X-1.2 Z-.05 F.005
Z-1.5
X-1.1
G40 G00 Z.3
M30
)"},
            {System::B, R"(
(BAR ON THE FAR SIDE)
G20 G90 G95
T0303 (DRILL 1.000)
G97 S400 M03
G00 X0 Z.2
G01 Z-2. F.008
G00 Z.2
T0505
G97 S900 M03
G00 X-1.18 Z.1
G01 Z-1.5 F.01
G00 X-1.1
Z.2
X-1.4
G42 G01 Z.05 F.02
X-1.2 Z-.05 F.005
Z-1.5
X-1.1
G40 G00 Z.3
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_wrong_side

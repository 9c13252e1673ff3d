// Compensation that is on in another plane than that of the moves, or in a pocket on the side of the metal.
//
// ISO 6983-1 (from memory): G17 is the plane of X and Y, G18 of Z and X, G19 of Y and Z; compensation is
// worked out in the plane in force.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::compensation_in_other_plane {

namespace {

struct Place {
    double x = not_known, y = not_known, z = not_known;
};

/// From the block that switches compensation on to the one that switches it off.
struct Stretch {
    const ToolOfSpan* tool = nullptr;
    const Act* on = nullptr;
    Place start;               ///< In front of it
    std::vector<Place> places; ///< Ends of its moves, that of `on` first
    bool x = false, y = false, z = false, c = false;
    bool sure = true;
    bool left = false;
    std::optional<Meaning> plane;
};

std::optional<Meaning> plane_of(const machine::State& state) {
    for (const Meaning plane : {Meaning::plane_xy, Meaning::plane_zx, Meaning::plane_yz})
        if (state.is(plane)) return plane;
    return std::nullopt;
}

Place place_of(const Act& act, const Place& before) {
    return {act.moves_x ? act.to_x : before.x, act.to_y, act.moves_z ? act.to_z : before.z};
}

std::vector<Stretch> stretches_of(const FileContext& context, const ToolOfSpan& tool) {
    std::vector<Stretch> found;
    std::optional<Stretch> open;
    Place at;
    for (const Act& act : tool.work->acts) {
        const bool moves = act.moves() || tool.work->has_letter(act, "YVCH");
        const bool states = act.states(Group::nose_compensation);
        if (!open && !states) {
            if (moves) at = place_of(act, at);
            continue;
        }
        const machine::State& after = context.reader().after(tool.place(act));
        const bool left = after.is(Meaning::compensation_left),
                   on = left || after.is(Meaning::compensation_right);
        if (states && on && !open) {
            open = Stretch{};
            open->tool = &tool;
            open->on = &act;
            open->start = at;
            open->left = left;
            open->plane = plane_of(after);
        }
        if (!open) {
            if (moves) at = place_of(act, at);
            continue;
        }
        if (on) {
            const bool odd = act.polar || act.cylinder || act.in_contour || act.incremental || act.deleted ||
                             act.calls_program || act.motion == MotionKind::contour_cycle ||
                             act.motion == MotionKind::single_cycle;
            open->sure = open->sure && !odd && open->left == left && open->plane == plane_of(after);
            open->x = open->x || act.moves_x;
            open->z = open->z || act.moves_z;
            open->y = open->y || tool.work->has_letter(act, "YV");
            open->c = open->c || tool.work->has_letter(act, "CH");
            open->sure = open->sure && act.motion != MotionKind::reference;
            if (moves) {
                at = place_of(act, at);
                open->places.push_back(at);
            }
        }
        if (!on) {
            found.push_back(*open);
            open.reset();
            if (moves) at = place_of(act, at);
        }
    }
    return found;
}

/// Of the plane in force, first and second axis as it is looked at.
using Flat = std::pair<double, double>;

/// A way that comes back to where it began: twice what lies within, above 0 where G03 goes round.
std::optional<double> area_of(const std::vector<Flat>& way) {
    if (way.size() < 5) return std::nullopt;
    double area = 0, longest = 0;
    for (std::size_t i = 0; i < way.size(); ++i) {
        const Flat &a = way[i], &b = way[(i + 1) % way.size()];
        area += a.first * b.second - b.first * a.second;
        if (i + 1 < way.size())
            longest = std::max(longest, std::hypot(b.first - a.first, b.second - a.second));
    }
    const Flat &first = way.front(), &last = way.back();
    const double apart = std::hypot(first.first - last.first, first.second - last.second);
    if (apart > 0.3 * longest) return std::nullopt;
    return area;
}

bool lies_within(const Flat& place, const std::vector<Flat>& way) {
    bool within = false;
    for (std::size_t i = 0, j = way.size() - 1; i < way.size(); j = i++) {
        const Flat &a = way[i], &b = way[j];
        if ((a.second > place.second) == (b.second > place.second)) continue;
        if (place.first < (b.first - a.first) * (place.second - a.second) / (b.second - a.second) + a.first)
            within = !within;
    }
    return within;
}

bool tell_plane(const FileContext& context, const Stretch& stretch, Report& report) {
    if (!stretch.plane || stretch.c) return false;
    std::optional<Meaning> wanted;
    if (stretch.y && stretch.z && !stretch.x) wanted = Meaning::plane_yz;
    if (stretch.y && stretch.x && !stretch.z) wanted = Meaning::plane_xy;
    if (!wanted || *wanted == *stretch.plane) return false;
    report.at(stretch.tool->place(*stretch.on))
        .message(
            said("Compensation is switched on here in the plane of {}, and the way that it goes along "
                 "moves {} alone: the control alarms, or sets the tool off in an axis that should stand, "
                 "and the contour comes out by the wrong size. Write {} before it.",
                 code(context.settings(), *stretch.plane),
                 *wanted == Meaning::plane_yz ? said("Y and Z") : said("X and Y"),
                 code(context.settings(), *wanted)))
        .origin(part(Group::plane));
    return true;
}

void tell_side(const FileContext& context, const Stretch& stretch, Report& report) {
    const bool of_yz = stretch.plane == Meaning::plane_yz && stretch.y && stretch.z && !stretch.x;
    const bool of_xy = stretch.plane == Meaning::plane_xy && stretch.y && stretch.x && !stretch.z;
    if (!of_yz && !of_xy) return;
    const auto flat = [&](const Place& place) {
        return of_yz ? Flat{place.y, place.z} : Flat{place.x, place.y};
    };
    const auto is_known = [&](const Flat& place) {
        return place.first > not_known && place.second > not_known;
    };
    std::vector<Flat> way;
    for (const Place& place : stretch.places) way.push_back(flat(place));
    const Flat start = flat(stretch.start);
    if (!is_known(start) || !std::all_of(way.begin(), way.end(), is_known)) return;
    const auto area = area_of(way);
    if (!area || *area == 0) return;
    const bool within = lies_within(start, way);
    // Round as G03 goes what lies within is to the left.
    const bool sets_inward = (*area > 0) == stretch.left;
    if (within == sets_inward) return;
    const Meaning meant = stretch.left ? Meaning::compensation_right : Meaning::compensation_left;
    report_at_code(report, context.reader(), stretch.tool->place(*stretch.on),
                   stretch.left ? Meaning::compensation_left : Meaning::compensation_right)
        .message(
            within ? said("The cutter begins within this contour and {} sets it to the outside: the pocket "
                          "comes out larger by the cutter's diameter all round. Write {}.",
                          code(context.settings(),
                               stretch.left ? Meaning::compensation_left : Meaning::compensation_right),
                          code(context.settings(), meant))
                   : said("The cutter comes from outside of this contour and {} sets it to the inside: what "
                          "is to stand comes out smaller by the cutter's diameter all round. Write {}.",
                          code(context.settings(),
                               stretch.left ? Meaning::compensation_left : Meaning::compensation_right),
                          code(context.settings(), meant)));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    for (const ToolOfSpan& tool : tools_of(context)) {
        // Of tools that move Y alone: whatever turns has rules of its own.
        if (std::none_of(tool.work->words.begin(), tool.work->words.end(),
                         [](const ActWord& word) { return word.letter == 'Y' || word.letter == 'V'; }))
            continue;
        for (const Stretch& stretch : stretches_of(context, tool))
            if (stretch.sure && !tell_plane(context, stretch, report)) tell_side(context, stretch, report);
    }
}

} // namespace

extern const Check check{
    .id = "compensation_in_other_plane",
    .family = Family::compensation,
    .severity = Severity::warning,
    .title = "Milled contour compensated in another plane or to the wrong side",
    .documentation =
        "A contour is milled by Y with compensation on. It moves Y and Z, or X and Y, and the plane in force "
        "is another one: G17 is that of X and Y, G18 of Z and X, G19 of Y and Z. Or it goes round and "
        "closes, "
        "the cutter begins within it and is set to the outside, or comes from outside and is set to the "
        "inside. Open ways, ways by distances and what is milled by C are not looked at.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G18 G40 G98 G97
T0303
S5000 M203
G00 X40. Y0 Z-26.
G01 X28. F100
Z-14. F400
G17
G41 Y10. Z-20.
;^^^^^^^^^^^^^ warning: compensation_in_other_plane
Z-8.
Y-10.
Z-32.
Y10.
Z-18.
G40 Y0 Z-20.
G18
G00 X70.
M30
)"},
            {System::B, R"(
G20 G18 G40 G90 G94 G97
T0303
S5000 M203
G00 X1.6 Y0 Z-1.
G01 X1.1 F4.
G19
G42 Y.4 Z-.8 F16.
;^^ warning: compensation_in_other_plane
Z-.3
Y-.4
Z-1.3
Y.4
Z-.7
G40 Y0 Z-.8
G18
G00 X3.
M30
)"},
            {System::C, R"(
G71 G18 G40 G90 G94 G97
T0303
S5000 M203
G00 X40. Y0 Z-26.
G01 X28. F100
G19
G41 Y10. Z-20. F400
Z-8.
Y-10.
Z-32.
Y10.
Z-18.
G40 Y0 Z-20.
G18
G00 X70.
M30
)"},
            // The outside of a boss, as G03 goes.
            {System::B, R"(
G21 G18 G40 G90 G94 G97
T0303
S5000 M203
G00 X40. Y30. Z-40.
G01 X28. F100
G19
G42 Y10. Z-30. F400
Z-10.
Y-10.
Z-30.
Y12.
G40 Y30. Z-40.
G18
G00 X70.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::compensation_in_other_plane

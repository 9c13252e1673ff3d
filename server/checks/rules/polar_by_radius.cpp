// In the plane of X and C a contour that would be regular with X, or C, read by the other measure.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::polar_by_radius {

namespace {

struct Point {
    double x = 0, c = 0; ///< X as radius
};
struct Side {
    Point from, to;
    const Act* act = nullptr;
};

/// How far a side lies from the middle; nullopt: it is none.
std::optional<double> off_middle(const Side& side, double by_x, double by_c) {
    const double ax = side.from.x * by_x, ac = side.from.c * by_c, bx = side.to.x * by_x,
                 bc = side.to.c * by_c;
    const double length = std::hypot(bx - ax, bc - ac);
    if (length < 1e-6) return std::nullopt;
    return std::abs(ax * bc - bx * ac) / length;
}

/// So many sides, one after the other, lie equally far off the middle, as a square or a hexagon has them.
std::size_t most_equal(const std::vector<Side>& sides, double by_x, double by_c) {
    std::size_t most = 0;
    for (std::size_t i = 0; i < sides.size(); ++i) {
        const auto first = off_middle(sides[i], by_x, by_c);
        if (!first || *first <= 0) continue;
        std::size_t count = 1;
        for (std::size_t j = i + 1; j < sides.size(); ++j, ++count) {
            const auto next = off_middle(sides[j], by_x, by_c);
            if (!next || std::abs(*next - *first) > 4e-3 * *first) break;
        }
        most = std::max(most, count);
    }
    return most;
}

void look_at(const FileContext& context, const ToolOfSpan& tool, std::span<const Side> all, Report& report) {
    const std::vector<Side> sides(all.begin(), all.end());
    constexpr std::size_t enough = 4;
    if (sides.size() < enough || sides.size() > 12 || most_equal(sides, 1, 1) >= 3) return;
    const bool by_diameter = context.settings().machine.x == shop::XReading::diameter;
    const bool x_halved = by_diameter && most_equal(sides, 2, 1) >= enough,
               c_doubled = most_equal(sides, 1, .5) >= enough;
    if (!x_halved && !c_doubled) return;
    // Both readings give the same form in another size: which one is right no form tells.
    report.at(tool.place(*sides.front().act))
        .message(said("In this plane X is a diameter and C a radius. As it stands no two sides of this "
                      "contour lie equally "
                      "far off the middle; with X twice as large, or C half, {} do, as of a square or a "
                      "hexagon. One of "
                      "the two letters is written by the other's measure, and the flats come out skew.",
                      std::max(most_equal(sides, 2, 1), most_equal(sides, 1, .5))));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) continue;
        std::vector<Side> sides;
        std::optional<Point> at;
        bool plain = true;
        const auto end = [&] {
            if (plain) look_at(context, tool, sides, report);
            sides.clear();
            at.reset();
            plain = true;
        };
        for (const Act& act : tool.work->acts) {
            if (!act.polar) {
                if (!sides.empty()) end();
                at.reset();
                continue;
            }
            plain = plain && !act.calls_program && !act.deleted && !act.incremental;
            const bool moves = act.moves_x || tool.work->word(act, 'C');
            if (!moves) continue;
            if (act.motion == MotionKind::arc) plain = false;
            if (!known(act.to_x) || !known(act.to_c)) {
                at.reset();
                continue;
            }
            const Point to{act.to_x, act.to_c};
            if (at && act.motion == MotionKind::feed) sides.push_back({*at, to, &act});
            at = to;
        }
        if (!sides.empty()) end();
    }
}

} // namespace

extern const Check check{
    .id = "polar_by_radius",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "X or C of a contour in the plane by the other's measure",
    .documentation = "In the plane of X and C most lathes read X as a diameter and C as a radius. The sides "
                     "of a contour lie each at "
                     "another distance off the middle, and four or more of them would lie equally far with X "
                     "doubled or C halved, as a "
                     "square or a hexagon has them: all X of it are written as radius, or all C as diameter. "
                     "Contours with arcs, and "
                     "machines that are told to read X as radius, are left alone.",
    .file = file,
    .examples =
        {
            // A square 20 across, X written by radius.
            {System::A, R"(
G21 G98 G97
T0505
S1500 M33
G00 X60. Z-5. C0
G12.1
G01 X20. C-16. F120.
X10. C-10.
;^^^^^^^^^ warning: polar_by_radius
C10.
X-10.
C-10.
X10.
C0
X30.
G13.1
M30
)"},
            // All C as diameter.
            {System::C, R"(
G71 G90 G94 G97
T0505
S1500 M33
G00 X60. Z-5. C0
G12.1
G01 X40. C-32. F120.
X20. C-20.
;^^^^^^^^^ warning: polar_by_radius
C20.
X-20.
C-20.
X20.
C0
X60.
G13.1
M30
)"},
            {System::A, R"(
G21 G98 G97
T0505
S1500 M33
G00 X60. Z-5. C0
G12.1
G01 X40. C-16. F120.
X20. C-10.
C10.
X-20.
C-10.
X20.
C0
X60.
G13.1
M30
)"},
            // A rectangle.
            {System::B, R"(
G21 G90 G94 G97
T0505
S1500 M33
G00 X60. Z-5. C0
G12.1
G01 X40. C-16. F120.
X20. C-6.
C6.
X-20.
C-6.
X20.
C0
X60.
G13.1
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::polar_by_radius

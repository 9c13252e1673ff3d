// A pass that is cut twice at the same X in the middle of its row: the block with the next X is lost.
//
// That only the last pass of a row is cut again: common practice, no source.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::pass_cut_twice {

namespace {

constexpr double same = 1e-6;

/// Along Z toward the chuck, by hand.
bool is_pass(const Leg& leg) {
    return leg.kind == Leg::Kind::feed && leg.known && !leg.is_arc && !leg.of_cycle && !leg.in_contour &&
           !leg.run_at && leg.dx() == 0 && leg.dz() < 0 && leg.to.x_radius_mm > 0;
}

bool is_same_way(const Leg& one, const Leg& other) {
    return std::abs(one.from.z_mm - other.from.z_mm) < same && std::abs(one.to.z_mm - other.to.z_mm) < same;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    std::vector<const Leg*> passes;
    for (const Leg& leg : work.legs)
        if (is_pass(leg)) passes.push_back(&leg);
    for (std::size_t i = 0; i + 2 < passes.size(); ++i) {
        const Leg &first = *passes[i], &again = *passes[i + 1], &next = *passes[i + 2];
        const double deeper =
            (first.to.x_radius_mm - next.to.x_radius_mm) * (work.where == Work::Where::inside ? -1 : 1);
        if (std::abs(first.to.x_radius_mm - again.to.x_radius_mm) > same || deeper <= same) continue;
        if (!is_same_way(first, again) || !is_same_way(again, next)) continue;
        if (find_letter(context.reader, context.place(work, again), 'F')) continue;
        context.at(report, work, again, "ZW")
            .message(said("The same cut at {} from {} to {} was made just before, and the next one goes on "
                          "to {}: this one cuts air, and the next takes the depth of two. Is the block with "
                          "its X lost?",
                          context.x(again.to.x_radius_mm), context.z(again.from.z_mm),
                          context.z(again.to.z_mm), context.x(next.to.x_radius_mm)))
            .related(context.place(work, first), said("the same cut"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool &&
                (work->where == Work::Where::outside || work->where == Work::Where::inside))
                look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "pass_cut_twice",
    .family = Family::words,
    .severity = Severity::information,
    .title = "Pass that is cut twice in the middle of its row",
    .documentation =
        "Passes along the part are written block by block, all of one length, and one stands twice at the "
        "same "
        "X and with the same feed, though the row goes on behind it. Only the last pass of a size is cut "
        "again. "
        "Mostly the block with the next X is lost: one pass cuts air, and the next takes twice the depth. "
        "Write the X of the pass.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X52. Z2.
X48.
G01 Z-40. F0.3
X52.
G00 Z2.
X48.
G01 Z-40.
;   ^^^^^ information: pass_cut_twice
X52.
G00 Z2.
X44.
G01 Z-40.
X52.
G00 X100. Z50.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G96 S500 M03
G00 X2.1 Z.05
X1.8
G01 Z-3. F.012
X2.
G00 Z.05
X1.8
G01 Z-3.
;   ^^^ information: pass_cut_twice
X2.
G00 Z.05
X1.6
G01 Z-3.
X2.
G00 X4. Z4.
M30
)"},
            // A last pass, one with a feed of its own, and the next step of the part.
            {System::B, R"(
G21 G90 G95
T0101
G96 S200 M03
G00 X52. Z2.
X48.
G01 Z-40. F0.3
X52.
G00 Z2.
X46.
G01 Z-40.
X52.
G00 Z2.
X46.
G01 Z-40.
X52.
G00 Z2.
X40.
G01 Z-20.
X48.
G00 Z2.
X40.
G01 Z-20. F0.1
X48.
G00 Z2.
X36.
G01 Z-20.
X48.
G00 X100. Z50.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::pass_cut_twice

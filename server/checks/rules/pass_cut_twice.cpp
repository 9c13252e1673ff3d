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

/// In along X alone by hand, behind the face.
bool goes_in_along_x(const Leg& leg, double sign) {
    return leg.kind == Leg::Kind::feed && is_plunge(leg) && !leg.of_cycle && leg.dx() * sign > same &&
           leg.to.x_radius_mm > 0 && leg.to.z_mm < 0;
}

/// The next plunge behind `i`, with nothing but ways along X between the two.
const Leg* next_at_same_z(const Work& work, std::size_t i, double sign) {
    for (std::size_t at = i + 1; at < work.legs.size(); ++at) {
        const Leg& leg = work.legs[at];
        if (!leg.known || leg.of_cycle || std::abs(leg.dz()) > same) return nullptr;
        if (goes_in_along_x(leg, sign)) return at > i + 1 ? &leg : nullptr;
        if (leg.cuts() && leg.dx() * sign > 0) return nullptr;
    }
    return nullptr;
}

/// A plunge where the one before it has been, no deeper and from outside of it.
void look_at_plunges(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& first = work.legs[i];
        if (first.run_at || first.dx() == 0) continue;
        const double sign = first.dx() > 0 ? 1 : -1;
        const Leg* again = goes_in_along_x(first, sign) ? next_at_same_z(work, i, sign) : nullptr;
        if (!again || (again->run_at && again->run_at == first.run_at)) continue;
        const double deeper = (again->to.x_radius_mm - first.to.x_radius_mm) * sign;
        const double less_far_out = (again->from.x_radius_mm - first.to.x_radius_mm) * sign;
        if (deeper > same || less_far_out > -same) continue;
        // With a feed of its own it smooths the ground.
        const auto feed = [&](const Leg& leg) { return context.reader.after(context.place(work, leg)).feed; };
        if (!feed(first).known() || !feed(*again).known() ||
            std::abs(feed(first).number - feed(*again).number) > same)
            continue;
        context.at(report, work, *again, "XU")
            .message(said("The tool plunges to {} at {} again, where the plunge before has been to {}: this "
                          "one cuts air. Is the block with the next Z lost?",
                          context.x(again->to.x_radius_mm), context.z(again->to.z_mm),
                          context.x(first.to.x_radius_mm)))
            .related(context.place(work, first), said("the same cut"));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at_plunges(context, *work, report);
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
        "Write the X of the pass. A plunge is told, too, that follows another at the same Z, with the same "
        "feed and no deeper: the block with the next Z is lost.",
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
            // Plunges: one goes no deeper, and those of a groove that is pecked and smoothed do.
            {System::B, R"(
G21 G90 G95
T0505
G97 S700 M03
G00 X34. Z-27.
G01 X21.5 F0.08
G00 X34.
G01 X21.5 F0.08
;   ^^^^^ information: pass_cut_twice
Z-27.
X34. F0.5
G00 X80. Z50.
M30
)"},
            {System::A, R"(
G20 G99
T0606
G97 S600 M03
G00 X1.08 Z.2
Z-1.
G01 X1.54 F.002
G04 X.2
G00 X1.08
G01 X1.5
;   ^^^^ information: pass_cut_twice
G00 X1.08
Z.5
X4. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S700 M03
G00 X34. Z-27.
G01 X26. F0.08
G00 X28.
G01 X22. F0.08
G00 X34.
Z-30.
G01 X22.
G00 X34.
G01 X22. F0.04
G00 X34.
Z-27.
G01 X21.9
Z-30.
G00 X80. Z50.
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

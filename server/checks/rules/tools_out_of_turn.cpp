// Tools that stand in the wrong order: each cut is right by itself, and comes when the one that it needs has
// not been made, or when another has taken its metal.
//
// The limits: common practice, no source.
#include "checks/cuts_so_far.h"
#include "checks/noted_blade.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::tools_out_of_turn {

namespace {

struct Thread {
    const Leg* deepest = nullptr; ///< Its last pass
    const Leg* first = nullptr;
    bool inside = false;
};
/// Passes toward the chuck that all end at one Z.
std::optional<Thread> thread_of(const Work& work) {
    std::optional<Thread> thread;
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        // The pull-out of a cycle follows its pass.
        if (leg.kind != Leg::Kind::thread || work.legs[i - 1].kind == Leg::Kind::thread) continue;
        if (!leg.known || leg.dz() >= 0 || leg.to.x_radius_mm <= 0 || leg.to.z_mm >= 0) return std::nullopt;
        if (!thread) thread = Thread{&leg, &leg, work.legs[i - 1].dx() > 0};
        if (std::abs(leg.to.z_mm - thread->first->to.z_mm) > 1e-6) return std::nullopt;
        thread->deepest = &leg;
    }
    return thread;
}

bool has_unknown_cut(const Work& work) {
    return std::any_of(work.legs.begin(), work.legs.end(),
                       [](const Leg& leg) { return leg.cuts() && !leg.known; });
}

/// A plunge past the root, so near to the end of the thread that it is made for it.
const Leg* relief_in(const Work& work, const Thread& thread) {
    constexpr double behind_mm = 6, in_front_mm = 2, same_mm = 0.05;
    if (work.driven_tool || threads(work)) return nullptr;
    const double mm = work.unit_mm;
    for (const Leg& leg : work.legs) {
        if (!is_plunge(leg) || (leg.dx() > 0) != thread.inside || leg.to.x_radius_mm <= 0) continue;
        const double past = (leg.to.x_radius_mm - thread.deepest->to.x_radius_mm) * (thread.inside ? 1 : -1);
        // So far past it the part is cut off, or a groove of another sort.
        const double most = (0.5 + 0.1 * thread.deepest->to.x_radius_mm * mm) / mm;
        const double off = (leg.to.z_mm - thread.deepest->to.z_mm) * mm;
        if (past * mm > -same_mm && past < most && off > -behind_mm && off < in_front_mm) return &leg;
    }
    return nullptr;
}

/// The relief of a thread is cut by a later tool.
bool tell_relief(const WorksContext& context, const Workpiece& part, std::size_t at, Report& report) {
    const Work& work = *part.works[at];
    const auto thread = thread_of(work);
    if (!thread) return false;
    for (std::size_t i = 0; i < at; ++i)
        if (has_unknown_cut(*part.works[i]) || relief_in(*part.works[i], *thread)) return false;
    for (std::size_t i = at + 1; i < part.works.size(); ++i) {
        const Work& later = *part.works[i];
        if (!is_blade(later) && later.where != Work::Where::inside) continue;
        if (is_part_off(context, later)) continue;
        const Leg* relief = relief_in(later, *thread);
        if (!relief) continue;
        context.at(report, work, *thread->first, "ZW")
            .message(said("The passes of this thread end at {} in full metal: T{:02} cuts the relief for its "
                          "end, to {} at {}, only afterwards. The insert is torn out of the wall at every "
                          "pass. Put T{:02} in front of this tool.",
                          context.z(thread->first->to.z_mm), std::max(later.tool, 0),
                          context.x(relief->to.x_radius_mm), context.z(relief->to.z_mm),
                          std::max(later.tool, 0)))
            .related(context.place(later, *relief), said("the relief"));
        return true;
    }
    return false;
}

/// All that a tool cuts along Z lies in what one before it has cut away.
struct Air {
    const Work* by = nullptr;
    const Leg *first = nullptr, *by_leg = nullptr;
    double least = 0, length = 0;
};
std::optional<Air> all_in_air(const CutsSoFar& cuts, const Work& work, std::size_t least_legs) {
    constexpr double least_over_mm = 0.1, share = 0.95;
    std::size_t all = 0, in_air = 0, legs = 0;
    Air air;
    air.least = HUGE_VAL;
    for (const Leg& leg : work.legs) {
        if (leg.cuts() && !leg.known) return std::nullopt;
        if (leg.kind == Leg::Kind::thread) return std::nullopt;
        // Into a groove, or across a face that is there.
        if (is_plunge(leg) && !leg.of_cycle && leg.to.z_mm < 0 &&
            (leg.dx() > 0) == (work.where == Work::Where::inside))
            return std::nullopt;
        if (!cuts_along(leg) || leg.in_contour) {
            if (leg.cuts() && leg.in_contour) return std::nullopt;
            continue;
        }
        bool counted = false;
        cuts.along(leg, [&](const CutsSoFar::Cut& cut, double x) {
            ++all;
            const double over = cut.leg ? -cuts.metal(cut, x) : 0;
            if (over * work.unit_mm < least_over_mm) return;
            counted = true;
            ++in_air;
            if (over < air.least) air = {cut.work, air.first ? air.first : &leg, cut.leg, over, 0};
        });
        legs += counted;
    }
    air.length = static_cast<double>(all) * cuts.step();
    if (legs < least_legs || static_cast<double>(in_air) < share * static_cast<double>(all))
        return std::nullopt;
    return air;
}

void tell_roughing(const WorksContext& context, const Workpiece& part, Work::Where where, Report& report) {
    constexpr double least_length_mm = 5;
    CutsSoFar cuts(part.z_min, part.z_max, where == Work::Where::inside);
    for (const Work* work : part.works) {
        if (work->driven_tool || work->where != where) continue;
        if (has_unknown_cut(*work)) return;
        if (is_blade(*work)) {
            for (const Leg& leg : work->legs)
                if (is_plunge(leg)) cuts.forget_near(leg.to.z_mm, 8 / work->unit_mm);
            continue;
        }
        if (const auto air = all_in_air(cuts, *work, 2);
            air && air->by != work && air->length * work->unit_mm > least_length_mm) {
            const Leg& giver = giver_of_x(*work, *air->first);
            context.at(report, *work, giver, "XU")
                .message(
                    said("All that this tool cuts lies in air: T{:02} has gone to {} before it, and here "
                         "it goes to {}. T{:02} met the whole metal in one cut. Does this tool come "
                         "first, to rough it?",
                         std::max(air->by->tool, 0), context.x(air->by_leg->to.x_radius_mm),
                         context.x(air->first->to.x_radius_mm), std::max(air->by->tool, 0)))
                .related(context.place(*air->by, *air->by_leg), said("the cut before it"));
            return;
        }
        for (const Leg& leg : work->legs)
            if (cuts_along(leg) && leg.kind == Leg::Kind::feed) cuts.cut(*work, leg);
    }
}

/// The deepest feed on the centre.
const Leg* deepest_on_centre(const Work& work) {
    const Leg* found = nullptr;
    if (work.driven_tool || work.where != Work::Where::on_centre) return nullptr;
    for (const Leg& leg : work.legs)
        if (leg.cuts() && leg.known && (!found || leg.to.z_mm < found->to.z_mm)) found = &leg;
    return found && found->to.z_mm < 0 ? found : nullptr;
}

bool is_of_kind(const WorksContext& context, const Work& work, NamedTool::Kind kind) {
    return tool_of_work(context, work, [&](const NamedTool& named) { return named.kind == kind; }) != nullptr;
}

/// Behind a cut along Z it draws back toward the centre, and out: in a bore, whether one is known or not.
bool comes_out_inward(const Work& work) {
    for (std::size_t i = 1; i + 1 < work.legs.size(); ++i) {
        const Leg &cut = work.legs[i - 1], &leg = work.legs[i], &out = work.legs[i + 1];
        const bool along = cut.cuts() && cut.known && cut.dz() < 0 && cut.dx() == 0 && cut.from.z_mm > 0;
        if (along && leg.known && leg.dz() == 0 && leg.dx() < 0 && leg.from.z_mm < 0 &&
            leg.to.x_radius_mm > 0 && out.known && out.kind == Leg::Kind::rapid && out.dz() > 0)
            return true;
    }
    return false;
}

/// A bar goes into the hole, or a tap, before the drill has made it.
bool tell_hole(const WorksContext& context, const Workpiece& part, std::size_t at, Report& report) {
    using Kind = NamedTool::Kind;
    constexpr double least_mm = 3, least_share = 0.6;
    const Work& work = *part.works[at];
    if (work.driven_tool) return false;
    const bool taps = work.where == Work::Where::on_centre && is_of_kind(context, work, Kind::tap);
    const bool bores =
        work.where == Work::Where::inside || (work.where != Work::Where::on_centre && comes_out_inward(work));
    if (!taps && (!bores || threads(work) || is_blade(work))) return false;
    const Leg* first = nullptr;
    double deepest = 0, entry = HUGE_VAL;
    for (const Leg& leg : work.legs) {
        if (!leg.known) continue;
        if (leg.from.z_mm > 0 && leg.to.z_mm < 0) entry = std::min(entry, leg.to.x_radius_mm);
        if (!leg.cuts()) continue;
        if (!first && leg.to.z_mm < 0) first = &leg;
        deepest = std::min(deepest, leg.to.z_mm);
    }
    if (!first || -deepest * work.unit_mm < least_mm) return false;
    for (std::size_t i = 0; i < at; ++i) {
        const Work& before = *part.works[i];
        if (has_unknown_cut(before) || before.where == Work::Where::inside || comes_out_inward(before))
            return false;
        // A spot for the drill is no hole.
        if (const Leg* hole = deepest_on_centre(before); hole && hole->to.z_mm < 0.5 * deepest) return false;
    }
    for (std::size_t i = at + 1; i < part.works.size(); ++i) {
        const Work& later = *part.works[i];
        const Leg* hole = deepest_on_centre(later);
        if (!hole || hole->to.z_mm > least_share * deepest) continue;
        const NamedTool* drill = tool_of_work(context, later, [](const NamedTool& named) {
            return named.kind == Kind::drill && named.diameter > 0;
        });
        const auto diameter = drill ? drill->diameter_mm(later.unit_mm) : std::nullopt;
        if (!diameter) continue;
        // What it bores is wider than the drill, and it goes in where that has made room.
        const double in = entry * 2 * work.unit_mm;
        if (!taps && (in < *diameter - 1e-3 || in > 1.25 * *diameter + 4)) continue;
        context.at(report, work, *first, "ZW")
            .message(
                said("This tool goes down to {}, and T{:02} drills the hole of {} to {} only afterwards: "
                     "here it meets full metal. Put T{:02} in front of it.",
                     context.z(deepest), std::max(later.tool, 0),
                     spoken(std::round(*diameter / later.unit_mm * 1e4) / 1e4), context.z(hole->to.z_mm),
                     std::max(later.tool, 0)))
            .related(context.place(later, *hole), said("the hole"));
        return true;
    }
    return false;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts) {
        // What stood in another part's works may have made it.
        for (std::size_t i = 0; i < part.works.size(); ++i) {
            if (!part.works[i]->driven_tool && threads(*part.works[i])) tell_relief(context, part, i, report);
            if (part.works.front()->same_datum && tell_hole(context, part, i, report)) break;
        }
        if (!part.outside.empty()) tell_roughing(context, part, Work::Where::outside, report);
        if (!part.bore.empty()) tell_roughing(context, part, Work::Where::inside, report);
    }
}

} // namespace

extern const Check check{
    .id = "tools_out_of_turn",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Tools in the wrong order",
    .documentation =
        "Each tool cuts what it should, and in the wrong order: the relief of a thread is cut behind the "
        "thread, so that its passes end in full metal; a tool roughs what another has finished before it, "
        "which met the whole metal in one cut; a bar or a tap goes into a hole that is drilled behind it. A "
        "cut at a diameter that was there before, a groove away from the end of the thread, and a hole that "
        "the bar comes with are let be.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-25. F.2
X36.
G00 X60. Z50.
T0303
G97 S600 M03
G00 X28. Z6.
G76 P020060 Q80 R0.03
G76 X21.546 Z-22.5 P1227 Q350 F2.
;           ^^^^^^ warning: tools_out_of_turn
G00 X60. Z50.
T0202
G97 S900 M03
G00 X38. Z-25.
G01 X21. F.08
G00 X60.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G96 S500 M03
G00 X1.2 Z.1
G01 Z-1. F.006
X2.1
G00 X5. Z4.
T0101
G96 S400 M03
G00 X1.6 Z.1
;   ^^^^ warning: tools_out_of_turn
G01 Z-.99 F.01
G00 X1.7 Z.1
X1.25
G01 Z-.99
G00 X5. Z4.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G96 S180 M03
G00 X21.6 Z2.
G01 Z-29. F.15
;   ^^^^^ warning: tools_out_of_turn
X20.
G00 Z50.
T0202 (DRILL D20)
G97 S800 M03
G00 X0 Z5.
G01 Z-36. F.18
G00 Z50.
M30
)"},
            // In their order.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-25. F.2
X36.
G00 X60. Z50.
T0202
G97 S900 M03
G00 X38. Z-25.
G01 X21. F.08
G00 X60. Z50.
T0303
G97 S600 M03
G00 X28. Z6.
G76 P020060 Q80 R0.03
G76 X21.546 Z-22.5 P1227 Q350 F2.
G00 X60. Z50.
M30
)"},
            // The same diameter again.
            {System::B, R"(
G20 G90 G95
T0303
G96 S500 M03
G00 X1.2 Z.1
G01 Z-1. F.006
X2.1
G00 X5. Z4.
T0101
G96 S400 M03
G00 X1.2 Z.1
G01 Z-1. F.004
X2.1
G00 X5. Z4.
M30
)"},
            // The hole that a casting comes with, and a small one on from its bottom.
            {System::C, R"(
G71 G90 G95
T0404
G96 S180 M03
G00 X41.6 Z2.
G01 Z-29. F.15
X40.
G00 Z50.
T0202 (DRILL D10)
G97 S800 M03
G00 X0 Z5.
G01 Z-36. F.18
G00 Z50.
M30
)"},
            // A groove that is none of the thread's end.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X30. Z2.
X23.9
G01 Z-40. F.2
X36.
G00 X60. Z50.
T0303
G97 S600 M03
G00 X28. Z6.
G92 X23.2 Z-18. F1.5
X22.6
X22.1
G00 X60. Z50.
T0202
G97 S900 M03
G00 X38. Z-36.
G01 X21.5 F.08
G00 X60.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::tools_out_of_turn

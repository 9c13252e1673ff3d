// A program or loop that is run again and again and cuts the same place every time.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::repeat_cuts_the_same {

namespace {

/// Twice may be a pass to clean up.
constexpr std::size_t enough = 3;

bool same_leg(const Leg& a, const Leg& b) {
    const auto same = [](Point p, Point q) {
        return std::abs(p.x_radius_mm - q.x_radius_mm) < 1e-6 && std::abs(p.z_mm - q.z_mm) < 1e-6;
    };
    return a.run_at == b.run_at && a.kind == b.kind && a.known && b.known && same(a.to, b.to);
}

/// Turns of one length from `first` on that do the same; the way in of the first may differ.
std::size_t turns_from(const std::vector<Leg>& legs, std::size_t first, std::size_t length) {
    std::size_t turns = 1;
    for (std::size_t at = first + length; at + length <= legs.size(); at += length, ++turns)
        for (std::size_t i = 0; i < length; ++i)
            if (!same_leg(legs[first + i], legs[at + i])) return turns;
    return turns;
}

bool may_repeat(const Leg& leg) {
    return leg.kind == Leg::Kind::home || leg.spindle_stands || leg.of_cycle || leg.in_contour ||
           leg.kind == Leg::Kind::thread;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const std::vector<Leg>& legs = work.legs;
    for (std::size_t first = 0; first < legs.size(); ++first) {
        if (!legs[first].run_at) continue;
        std::size_t length = 1;
        while (first + length < legs.size() && legs[first + length].run_at != legs[first].run_at) ++length;
        if (first + length >= legs.size()) continue;
        const std::span<const Leg> turn(legs.data() + first, length);
        const bool cuts = std::any_of(turn.begin(), turn.end(), [](const Leg& leg) { return leg.cuts(); });
        const bool called =
            std::all_of(turn.begin(), turn.end(), [](const Leg& leg) { return leg.run_at.has_value(); });
        if (!cuts || !called || std::any_of(turn.begin(), turn.end(), may_repeat)) continue;
        const std::size_t turns = turns_from(legs, first, length);
        if (turns < enough) continue;
        const auto placed = std::find_if(turn.begin(), turn.end(), [](const Leg& leg) {
            return leg.kind == Leg::Kind::rapid && leg.moves_z;
        });
        const auto cut = std::find_if(turn.begin(), turn.end(), [](const Leg& leg) { return leg.cuts(); });
        context.at(report, work, placed != turn.end() ? *placed : *cut, "ZWXU")
            .message(said(
                "These blocks are run {} times and cut the same place every time, to {} at {}: nothing moves "
                "on between the turns. Is a W or U meant, or is a step lost?",
                turns, context.x(cut->to.x_radius_mm), context.z(cut->to.z_mm)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works)
            if (!work->driven_tool) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "repeat_cuts_the_same",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Repeat that does not move on",
    .documentation =
        "A called program or the blocks of a loop are run three times or more and make the same moves to the "
        "same places every time: the first turn cuts, the others go through air, and the grooves or passes "
        "that were to follow are missing. Mostly Z stands for W, or the step of a macro variable is lost.",
    .works = works,
    .examples =
        {
            {System::A, R"(
O1600
G21 G99
T0505
G97 S800 M03
G00 X24. Z-2.
M98 P1602 L4
G00 X40.
M30
O1602
G00 Z-8.
;   ^^^^ warning: repeat_cuts_the_same
G01 X18. F.06
G04 U.2
G00 X24.
M99
)"},
            {System::B, R"(
G21 G90 G95
#1=0
T0505
G97 S800 M03
G00 X54. Z-10.
WHILE[#1LT5]DO1
G00 Z-10.
;   ^^^^^ warning: repeat_cuts_the_same
G01 X44. F.06
G00 X54.
#1=#1+1
END1
M30
)"},
            {System::A, R"(
O1600
G21 G99
T0505
G97 S800 M03
G00 X24. Z-2.
M98 P1602 L4
G00 X40.
M30
O1602
G00 W-8.
G01 X18. F.06
G00 X24.
M99
)"},
            {System::C, R"(
G71 G90 G95
#1=0
T0505
G97 S800 M03
G00 X54. Z-10.
WHILE[#1LT5]DO1
G00 Z[-10.-#1*4.]
G01 X44. F.06
G00 X54.
#1=#1+1
END1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::repeat_cuts_the_same

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

/// A turn goes into the metal and out again, and steps on along the same way: the step has the letter of the
/// other axis.
struct WrongStep {
    const Leg* step = nullptr;
    bool along_x = false;
    bool goes_in = false;
    double by = 0;
};
std::optional<WrongStep> wrong_step(const Work& work, std::size_t first) {
    constexpr double least_mm = 1;
    const std::vector<Leg>& legs = work.legs;
    if (first + 5 >= legs.size()) return std::nullopt;
    const Leg &in = legs[first], &out = legs[first + 1], &step = legs[first + 2];
    for (std::size_t i = 0; i < 3; ++i) {
        const Leg &leg = legs[first + i], &next = legs[first + i + 3];
        if (!leg.known || !leg.run_at || leg.of_cycle || leg.in_contour || !next.known) return std::nullopt;
        if (next.run_at != leg.run_at || next.kind != leg.kind) return std::nullopt;
    }
    const bool feeds =
        in.kind == Leg::Kind::feed && out.kind != Leg::Kind::home && step.kind == Leg::Kind::rapid;
    const bool along_x = in.dz() == 0;
    if (!feeds || (!along_x && in.dx() != 0)) return std::nullopt;
    const auto way = [&](const Leg& leg) { return along_x ? leg.dx() : leg.dz(); };
    const auto other = [&](const Leg& leg) { return along_x ? leg.dz() : leg.dx(); };
    const bool straight = other(out) == 0 && other(step) == 0 && std::abs(way(in) + way(out)) < 1e-6;
    if (!straight || way(step) == 0 || way(in) == 0) return std::nullopt;
    // Back in to just above where it was: chips are cleared so.
    const double left = std::abs(way(in)) - std::abs(way(step));
    const bool goes_in = way(step) * way(in) > 0;
    if (goes_in && std::abs(left) * work.unit_mm < least_mm) return std::nullopt;
    return WrongStep{&step, along_x, goes_in, way(step)};
}

void look_at_steps(const WorksContext& context, const Work& work, Report& report) {
    if (work.where == Work::Where::on_centre) return;
    for (std::size_t first = 0; first < work.legs.size(); ++first) {
        const auto wrong = wrong_step(work, first);
        if (!wrong) continue;
        context.at(report, work, *wrong->step, wrong->along_x ? "XU" : "ZW")
            .message(said(
                "Each turn goes in and out again at one place, and this step of {} goes along {}, too: "
                "the next cut comes at the same place, {}, and nothing is cut beside it. Is the letter of "
                "the other axis meant?",
                spoken(std::abs(wrong->along_x ? x_as_written(wrong->by, context.reader.settings())
                                               : wrong->by)),
                wrong->along_x ? "X" : "Z", wrong->goes_in ? said("deeper by as much") : said("in the air")));
        return;
    }
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
            if (!work->driven_tool) {
                look_at(context, *work, report);
                look_at_steps(context, *work, report);
            }
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
            // U for W.
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X80. Z-11.
M98 P8010 L3
G00 X90.
G28 U0
G28 W0
M30
O8010
G01 U-10. F0.08
G04 P300
G00 U10.
U-7.
;^^^ warning: repeat_cuts_the_same
M99
)"},
            // X for Z, outward.
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X2.2 Z-.5
M98 P8010 L3
G00 X4. Z4.
M30
O8010
G91
G01 X-.3 F.003
G00 X.3
X.2
;^^ warning: repeat_cuts_the_same
G90
M99
)"},
            // Grooves in the face.
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X60. Z2.
M98 P8010 L3
G00 X100. Z100.
M30
O8010
G01 W-7. F0.08
G00 W7.
W-4.
;^^^ warning: repeat_cuts_the_same
M99
)"},
            // Pecks go back in to where they were; and grooves side by side.
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X80. Z-11.
M98 P8010 L4
G00 X90.
G28 U0
G28 W0
M30
O8010
G01 U-3. F0.08
G00 U3.
U-2.6
M99
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X2.2 Z-.5
M98 P8010 L3
G00 X4. Z4.
M30
O8010
G91
G01 X-.3 F.003
G00 X.3
Z-.2
G90
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::repeat_cuts_the_same

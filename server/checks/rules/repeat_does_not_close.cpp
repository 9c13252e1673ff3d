// A called program in U and W, repeated, whose way back along Z goes on instead.
#include "checks/slips.h"
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::repeat_does_not_close {

namespace {

constexpr std::size_t least_turns = 3;
constexpr double least_way_mm = 1, same_mm = 0.02;

/// The legs of one turn: from a block of a called program to where it comes again.
struct Turn {
    std::size_t first = 0, end = 0;
};

std::vector<Turn> turns_in(const WorksContext& context, const Work& work) {
    std::vector<Turn> turns;
    for (std::size_t i = 0; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        if (!leg.run_at || !leg.known) return {};
        const bool again =
            !turns.empty() && context.place(work, work.legs[turns.back().first]) == context.place(work, leg);
        if (!turns.empty() && !again) continue;
        if (!turns.empty()) turns.back().end = i;
        turns.push_back({i, work.legs.size()});
    }
    return turns;
}

/// The work without what its own blocks do before the calls and behind.
Work called_part(const Work& work) {
    Work called = work;
    std::erase_if(called.legs, [](const Leg& leg) { return !leg.run_at; });
    return called;
}

void look_at(const WorksContext& context, const Work& whole, Report& report) {
    const Work work = called_part(whole);
    const std::vector<Turn> turns = turns_in(context, work);
    if (turns.size() < least_turns) return;
    const auto begins = [&](std::size_t turn) { return work.legs[turns[turn].first].from; };
    const Point step = begins(1) - begins(0);
    const double mm = work.unit_mm;
    for (std::size_t i = 2; i < turns.size(); ++i)
        if (std::abs((begins(i) - begins(i - 1) - step).z_mm) * mm > same_mm) return;
    if (std::abs(step.z_mm) * mm < least_way_mm || std::abs(step.x_radius_mm) * mm < same_mm) return;
    const Leg* wrong = nullptr; // The last of them: the way in comes first
    for (std::size_t i = turns[0].first; i < turns[0].end; ++i) {
        const Leg& leg = work.legs[i];
        if (leg.by_letters && std::abs(step.z_mm - 2 * leg.dz()) * mm <= same_mm) wrong = &leg;
    }
    if (!wrong) return;
    context.at(report, work, *wrong, "WZ")
        .message(said("Each turn through here begins {} farther along Z and {} in X than the one "
                      "before: with the other "
                      "sign here it would come back along Z to where it began, and go on in X alone. "
                      "Is the sign right?",
                      spoken(std::round(step.z_mm * 1e4) / 1e4), context.x(step.x_radius_mm)));
}

/// All ways along Z but the last lead back to where the turn began, but for one whose digits are swapped.
void look_for_swapped(const WorksContext& context, const Work& whole, Report& report) {
    constexpr double closed = 1e-6;
    constexpr std::size_t least_ways = 4;
    const Work work = called_part(whole);
    const std::vector<Turn> turns = turns_in(context, work);
    if (turns.size() < 2) return;
    std::vector<const Leg*> ways;
    for (std::size_t i = turns[0].first; i < turns[0].end; ++i) {
        const Leg& leg = work.legs[i];
        if (!leg.known || leg.of_cycle || leg.in_contour) return;
        if (leg.dz() == 0) continue;
        if (!leg.by_letters) return;
        ways.push_back(&leg);
    }
    if (ways.size() < least_ways || ways.back()->cuts()) return;
    const double step = ways.back()->dz();
    ways.pop_back();
    double sum = 0;
    for (const Leg* way : ways) sum += way->dz();
    if (std::abs(sum) < closed || std::abs(sum) * work.unit_mm < same_mm) return;
    const Leg* wrong = nullptr;
    double meant = 0;
    for (const Leg* way : ways) {
        const double then = std::round((way->dz() - sum) * 1e4) / 1e4;
        if (then * way->dz() <= 0 || std::abs(then - (way->dz() - sum)) > closed ||
            slip_between(way->dz(), then) != Slip::digits_swapped)
            continue;
        if (wrong) return;
        wrong = way;
        meant = then;
    }
    if (!wrong) return;
    context.at(report, work, *wrong, "W")
        .message(said("The ways along Z of this program do not lead back before its last step of {}: {} are "
                      "left over, and each turn begins by that beside its place. With W{} in place of W{} "
                      "they would. Are two digits swapped?",
                      spoken(std::round(step * 1e4) / 1e4), spoken(std::round(sum * 1e4) / 1e4),
                      written(meant), written(std::round(wrong->dz() * 1e4) / 1e4)));
}

/// The place along Z is given anew behind each turn, so that the ways of a turn need lead nowhere: they lead
/// back to where it began, but for one sign.
void look_for_sign(const WorksContext& context, const Work& whole, Report& report) {
    constexpr double closed = 1e-6;
    constexpr std::size_t least_ways = 4;
    // From the first block of the called program to the next block of the work's own.
    std::vector<const Leg*> ways;
    std::size_t end = 0;
    while (end < whole.legs.size() && !whole.legs[end].run_at) ++end;
    for (; end < whole.legs.size() && whole.legs[end].run_at; ++end) {
        const Leg& leg = whole.legs[end];
        if (!leg.known || leg.of_cycle || leg.in_contour) return;
        if (leg.dz() != 0 && !leg.by_letters) return;
        if (leg.dz() != 0) ways.push_back(&leg);
    }
    const auto next = std::find_if(whole.legs.begin() + static_cast<std::ptrdiff_t>(end), whole.legs.end(),
                                   [](const Leg& leg) { return leg.moves_z; });
    // Run again farther on, and not at once.
    if (next == whole.legs.end() || next->by_letters || next->run_at || next->kind == Leg::Kind::home) return;
    const bool is_run_again = std::any_of(next, whole.legs.end(), [](const Leg& leg) { return leg.run_at; });
    if (ways.size() < least_ways || !is_run_again) return;
    double sum = 0;
    for (const Leg* way : ways) sum += way->dz();
    if (std::abs(sum) * whole.unit_mm < same_mm) return;
    const Leg* wrong = nullptr;
    for (const Leg* way : ways) {
        if (std::abs(sum - 2 * way->dz()) > closed) continue;
        if (wrong) return;
        wrong = way;
    }
    if (!wrong) return;
    const double way = std::round(wrong->dz() * 1e4) / 1e4;
    context.at(report, whole, *wrong, "WZ")
        .message(said("The ways along Z of this program do not lead back to where it was called: {} are left "
                      "over. With {} in place of {} here they would. Is the sign right?",
                      spoken(std::round(sum * 1e4) / 1e4), written(-way), written(way)));
}

/// Behind the last turn the tool is fed back along the part, and behind one turn less it would go on.
void look_for_one_too_many(const WorksContext& context, const Work& whole, Report& report) {
    std::size_t first = 0, end = 0;
    while (first < whole.legs.size() && !whole.legs[first].run_at) ++first;
    for (end = first; end < whole.legs.size() && whole.legs[end].run_at; ++end)
        if (whole.legs[end].block != whole.legs[first].block) return; // Another call
    if (end >= whole.legs.size()) return;
    Work called = whole;
    called.legs.assign(whole.legs.begin() + static_cast<std::ptrdiff_t>(first),
                       whole.legs.begin() + static_cast<std::ptrdiff_t>(end));
    const std::vector<Turn> turns = turns_in(context, called);
    if (turns.size() < 2) return;
    const Point step = called.legs[turns[1].first].from - called.legs[turns[0].first].from;
    const Leg& back = whole.legs[end];
    const double mm = whole.unit_mm;
    const bool goes_back = back.known && back.kind == Leg::Kind::feed && !back.by_letters && back.dx() == 0 &&
                           !back.of_cycle && !back.in_contour && back.dz() * step.z_mm < 0 &&
                           std::abs(back.dz()) < std::abs(step.z_mm) && back.to.z_mm < 0;
    const bool cuts_along = std::any_of(called.legs.begin(), called.legs.end(), [](const Leg& leg) {
        return leg.kind == Leg::Kind::feed && leg.dz() != 0;
    });
    if (!goes_back || !cuts_along || std::abs(step.z_mm) * mm < least_way_mm) return;
    report.at_letter(context.spans[whole.span].place(back.block), 'Z')
        .message(said("The {} turns of the call above end at {}, and the tool is fed back from there to {}: "
                      "the last of them has cut into what stands behind. With one turn less it would go on "
                      "here. Is the number of repeats right?",
                      turns.size(), context.z(std::round(back.from.z_mm * 1e4) / 1e4),
                      context.z(back.to.z_mm)))
        .related(context.spans[whole.span].place(whole.legs[first].block), said("called here"));
}

/// Legs of one call, and the caller's behind it up to the next.
struct Called {
    std::span<const Leg> legs, behind;
};
std::vector<Called> calls_in(const Work& work) {
    std::vector<Called> calls;
    for (std::size_t i = 0; i < work.legs.size();) {
        if (!work.legs[i].run_at) {
            ++i;
            continue;
        }
        std::size_t end = i;
        while (end < work.legs.size() && work.legs[end].run_at) ++end;
        std::size_t next = end;
        while (next < work.legs.size() && !work.legs[next].run_at) ++next;
        const std::span<const Leg> all(work.legs);
        calls.push_back({all.subspan(i, end - i), all.subspan(end, next - end)});
        i = next;
    }
    return calls;
}

/// A program in U and W that ends at another X than it began, and a caller that moves on along Z alone.
void look_for_drift(const WorksContext& context, const Work& work, Report& report) {
    const std::vector<Called> calls = calls_in(work);
    if (calls.size() < 2) return;
    const std::span<const Leg> legs = calls[0].legs;
    for (const Called& call : calls) {
        if (call.legs.size() != legs.size() ||
            context.place(work, call.legs[0]) != context.place(work, legs[0]))
            return;
        const bool known = std::all_of(call.legs.begin(), call.legs.end(), [](const Leg& leg) {
            return leg.known && leg.by_letters && !leg.of_cycle && !leg.in_contour &&
                   leg.kind != Leg::Kind::home && leg.kind != Leg::Kind::thread;
        });
        if (!known) return;
        if (&call == &calls.back()) break;
        const bool along_z = std::all_of(call.behind.begin(), call.behind.end(), [](const Leg& leg) {
            return leg.known && leg.dx() == 0 && !leg.cuts() && !leg.by_letters;
        });
        if (!along_z || call.behind.empty()) return;
    }
    // The blocks of a call that is repeated come again.
    for (std::size_t i = 1; i < legs.size(); ++i)
        if (context.place(work, legs[i]) == context.place(work, legs[0])) return;
    const double left = legs.back().to.x_radius_mm - legs.front().from.x_radius_mm,
                 along = legs.back().to.z_mm - legs.front().from.z_mm;
    if (std::abs(left) * work.unit_mm < same_mm) return;
    const double left_written = x_as_written(left, context.reader.settings());
    const Leg* wrong = nullptr;
    for (const Leg& leg : legs)
        if (leg.dz() == 0 && std::abs(leg.dx() - left) < 1e-6 && std::abs(along + left_written) < 1e-6)
            wrong = &leg;
    const Leg& last = *std::find_if(legs.rbegin(), legs.rend(), [](const Leg& leg) { return leg.dx() != 0; });
    const std::string meant =
        wrong ? said(" With Z in place of X here it would come back to where it began.") : std::string();
    context.at(report, work, wrong ? *wrong : last, "XU")
        .message(
            said("This program ends U{} from where it began, and its callers move on along Z alone: each "
                 "call begins where the one before has left off, and all that it cuts lies off by as much.{}",
                 spoken(std::round(left_written * 1e4) / 1e4), meant));
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->driven_tool) continue;
            look_at(context, *work, report);
            look_for_swapped(context, *work, report);
            look_for_sign(context, *work, report);
            look_for_one_too_many(context, *work, report);
            look_for_drift(context, *work, report);
        }
}

} // namespace

extern const Check check{
    .id = "repeat_does_not_close",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Repeated program that does not come back",
    .documentation =
        "The ways along Z of a called program in W lead back to where it was called from, which "
        "is a new place each time, but for one sign. Or the tool is fed back along the part behind the "
        "turns, as behind one turn less it would not be. Or the ways of a repeated program by W "
        "lead back to where it began, but for the step at "
        "its end, and two swapped digits of one of them keep them from it. Or a called program "
        "in U and W is repeated to go in by steps of X, and with each turn it "
        "also gets farther along "
        "Z, by twice one of its own ways: a sign of W is lost or gained, and the tool runs on "
        "toward the chuck or out "
        "of the part instead of back to the start of its pass.",
    .works = works,
    .examples =
        {
            // The flanks of a groove, one of which begins beside its place.
            {System::A, R"(
G21 G99
T0303
G97 S320 M03
G00 X120. Z5.
Z-9.
M98 P30607
G00 X160.
M30
O0607
G01 U-25.6 F.06
G00 U25.6
W-1.95
G01 U-15. F.06
G00 U15.
W3.9
G01 U-15.
G00 U15.
W-6.577
G01 U-26. W4.476
W.151
G00 U26.
W6.427
;^^^^^ warning: repeat_does_not_close
G01 U-26. W-4.476
W-.151
G00 U26.
W-12.
M99
)"},
            {System::A, R"(
G21 G99
T0303
G97 S320 M03
G00 X120. Z5.
Z-9.
M98 P30607
G00 X160.
M30
O0607
G01 U-25.6 F.06
G00 U25.6
W-1.95
G01 U-15. F.06
G00 U15.
W3.9
G01 U-15.
G00 U15.
W-6.577
G01 U-26. W4.476
W.151
G00 U26.
W4.627
G01 U-26. W-4.476
W-.151
G00 U26.
W-12.
M99
)"},
            {System::A, R"(
G50 S2800
T0303
G96 S180 M03
G00 X36. Z1.
M98 P80502
G00 X100. Z100.
M30
O0502
G00 U-4.
G01 W-31. F.15
G00 U8.
W-31.
;^^^^ warning: repeat_does_not_close
U-8.
M99
)"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S800 M03
G00 X1.5 Z.1
M98 P40502
G00 X4. Z4.
M30
O0502
G91
G00 X-.1
G01 Z-1.2 F.006
G00 X.2
Z-1.2
;^^^^ warning: repeat_does_not_close
X-.2
G90
M99
)"},
            // Grooves side by side.
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X.85 Z-.3
M98 P40502
G00 X4. Z4.
M30
O0502
G91
G01 X-.2 F.003
G00 X.2
Z-.25
G90
M99
)"},
            {System::A, R"(
G50 S2800
T0303
G96 S180 M03
G00 X36. Z1.
M98 P80502
G00 X100. Z100.
M30
O0502
G00 U-4.
G01 W-31. F.15
G00 U8.
W31.
U-8.
M99
)"},
            // Each groove's place is given anew: a sign of its ways is lost.
            {System::A, R"(
G21 G99
T0505
G97 S230 M03
G00 X150. Z-12.
X134.
M98 P1011
G00 Z-27.
M98 P1011
G00 X160.
G28 U0
G28 W0
M30
O1011
G01 U-31. F0.08
G00 U31.
W2.3
G01 U-16. F0.08
G00 U16.
W4.6
;^^^ warning: repeat_does_not_close
G01 U-16. F0.08
G00 U16.
W7.175
G01 U-31. W-4.738 F0.06
W-.137
G00 U31.
W-4.875
G01 U-31. W4.738
W.137
G00 U31.
M99
)"},
            // They lead on, and by no one sign back.
            {System::B, R"(
G20 G90 G95
T0505
G97 S230 M03
G00 X5. Z-.5
M98 P1012
G00 Z-1.
M98 P1012
G00 X8.
Z6.
M30
O1012
G91
G01 X-.5 F.003
G00 X.5
Z.05
G01 X-.3
G00 X.3
Z-.1
G01 X-.3
G00 X.3
Z-.04
G01 X-.3
G00 X.3
Z-.02
G90
M99
)"},
            // A turn too many, into the wall behind; as many as there is room for.
            {System::A, R"(
G20 G99
T0202
G97 S900 M03
G00 X.8 Z.1
X.6 Z.05
G01 Z0 F.004
M98 P0215 L5
G01 Z-1.1
;   ^^^^^ warning: repeat_does_not_close
X1.
X1.28 Z-1.18
G00 X1.5
G28 U0 W0
M30
O0215
G01 U.09 W-.19
U-.09 W-.06
M99
)"},
            {System::A, R"(
G20 G99
T0202
G97 S900 M03
G00 X.8 Z.1
X.6 Z.05
G01 Z0 F.004
M98 P0215 L4
G01 Z-1.1
X1.
X1.28 Z-1.18
G00 X1.5
G28 U0 W0
M30
O0215
G01 U.09 W-.19
U-.09 W-.06
M30
)"},
            // A step aside that goes into X.
            {System::B, R"(
G21 G90 G95
T0303
G97 S300 M03
G00 X116. Z-10.
M98 P1451
G00 Z-22.
M98 P1451
G00 X220.
M30
O1451
G91 G00 X-2.
G01 X-15. F.1
X17. F.8
X-1.
;^^^ warning: repeat_does_not_close
X-13. F.1
G00 X13.
Z2.
G01 X-13. F.1
G00 X13.
Z-1.
G90
M99
)"},
            {System::A, R"(
G20 G99
T0303
G97 S300 M03
G00 X4.1 Z-.4
M98 P1451
G00 Z-.8
M98 P1451
G00 Z-1.2
M98 P1451
G00 X6.
M30
O1451
G01 U-.5 F.004
G00 U.05
;   ^^^^ warning: repeat_does_not_close
M99
)"},
            // Deeper call by call by the caller's own X.
            {System::C, R"(
G71 G90 G95
T0303
G97 S300 M03
G00 X116. Z-10.
M98 P1451
G00 X114.
M98 P1451
G00 X112. Z-22.
M98 P1451
G00 X220.
M30
O1451
G91 G01 X-15. F.1
G00 X14.
G90
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::repeat_does_not_close

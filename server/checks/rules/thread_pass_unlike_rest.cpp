// One pass of a thread cut block by block that is not like the others.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace turnwright::checks::rules::thread_pass_unlike_rest {

namespace {

bool is_pass(const Leg& leg) {
    return leg.kind == Leg::Kind::thread && leg.known && !leg.of_cycle;
}

/// The way of most passes: from one Z to another.
struct Usual {
    double from_z = 0, to_z = 0;
    std::size_t count = 0;
};
Usual usual_of(const Work& work) {
    Usual best;
    for (const Leg& leg : work.legs) {
        if (!is_pass(leg) || leg.dz() == 0) continue;
        Usual now{leg.from.z_mm, leg.to.z_mm, 0};
        for (const Leg& other : work.legs)
            if (is_pass(other) && other.from.z_mm == now.from_z && other.to.z_mm == now.to_z) ++now.count;
        if (now.count > best.count) best = now;
    }
    return best;
}

/// A pass this much deeper than any other infeed of its thread is a slip: infeeds get smaller on the way in,
/// or stay.
constexpr double odd_infeed = 2.5;

/// A pass that goes in much further than every other of the same thread.
void look_at_infeeds(const WorksContext& context, const Work& work, Report& report) {
    struct Pass {
        const Leg* leg;
        double infeed;
    };
    std::vector<Pass> passes;
    const Leg* last = nullptr;
    for (const Leg& leg : work.legs) {
        if (!is_pass(leg) || leg.dz() == 0) continue;
        // Another thread or start: its passes begin anew.
        if (last && (leg.from.z_mm != last->from.z_mm || leg.to.z_mm != last->to.z_mm)) return;
        if (last) passes.push_back({&leg, leg.from.x_radius_mm - last->from.x_radius_mm});
        last = &leg;
    }
    if (passes.size() < 3) return;
    const auto by_size = [](const Pass& a, const Pass& b) { return std::abs(a.infeed) < std::abs(b.infeed); };
    const auto deepest = std::max_element(passes.begin(), passes.end(), by_size);
    double other = 0;
    for (auto pass = passes.begin(); pass != passes.end(); ++pass) {
        if (pass->infeed * deepest->infeed < 0) return; // Not all go in
        if (pass != deepest) other = std::max(other, std::abs(pass->infeed));
    }
    if (other <= 0 || std::abs(deepest->infeed) <= odd_infeed * other) return;
    // The place of the infeed is the move in X that brought the tool there.
    const Leg* at = deepest->leg - 1; // A taper moves in X along the pass itself
    while (at != work.legs.data() && at->dx() == 0) --at;
    context.at(report, work, *at, "XU")
        .message(said("This pass goes in by {} a side, and no other of this thread by more than {}: the "
                      "insert breaks, and the root gets too deep. Is a digit of X changed?",
                      spoken(std::round(std::abs(deepest->infeed) * 1e4) / 1e4),
                      spoken(std::round(other * 1e4) / 1e4)));
}

/// Passes that go in, but for one: so deep that the next do not reach it.
void look_at_order(const WorksContext& context, const Work& work, Report& report) {
    std::vector<const Leg*> passes;
    for (const Leg& leg : work.legs) {
        if (leg.kind != Leg::Kind::thread || leg.dz() == 0) continue;
        if (!leg.known) return;
        if (!passes.empty() && (leg.from.z_mm != passes[0]->from.z_mm || leg.to.z_mm != passes[0]->to.z_mm))
            return; // Another thread or start
        passes.push_back(&leg);
    }
    if (passes.size() < 4) return;
    const auto x = [&](std::size_t i) { return passes[i]->from.x_radius_mm; };
    // The first may be the deep one.
    const double inward = x(passes.size() - 1) < x(1) ? -1 : 1;
    std::optional<std::size_t> deep;
    if ((x(1) - x(0)) * inward < 0 && (x(2) - x(0)) * inward < 0 && (x(2) - x(1)) * inward > 0) deep = 0;
    for (std::size_t i = 1; i + 1 < passes.size(); ++i) {
        if ((x(i + 1) - x(i)) * inward >= 0) continue;
        // The next but one does not reach it either, or it would be the next that is too shallow.
        const bool next_stays_behind = i + 2 < passes.size() && (x(i + 2) - x(i)) * inward < 0;
        if (deep || !next_stays_behind || (x(i + 1) - x(i - 1)) * inward < 0) return;
        deep = i;
    }
    if (!deep) return;
    context.at(report, work, *passes[*deep], "XU")
        .message(said("This pass goes to {}, and the ones after it only to {} and on: it takes all at "
                      "once, the insert breaks, and the root is too deep. Is a digit changed?",
                      context.x(x(*deep)), context.x(x(*deep + 1))));
}

/// Turn by turn of a loop each pass may begin elsewhere: the one behind it goes back on its diameter.
bool look_at_way_back(const WorksContext& context, const Work& work, Report& report) {
    for (std::size_t i = 1; i < work.legs.size(); ++i) {
        const Leg &pass = work.legs[i - 1], &back = work.legs[i];
        if (!is_pass(pass) || !is_pass(back) || pass.dz() * back.dz() >= 0 || back.dx() != 0 ||
            back.from.x_radius_mm == 0 || // A tap
            pass.to.x_radius_mm != back.from.x_radius_mm)
            continue;
        const std::string thread = code(context.reader.settings(), Meaning::thread);
        context.at(report, work, back, "ZW")
            .message(
                said("{} is still in force here, and the tool goes back from {} to {} through the thread at "
                     "its depth: the flanks are torn and the insert breaks. Is a block lost that takes it "
                     "out in X? Write it with G00.",
                     thread, context.z(back.from.z_mm), context.z(back.to.z_mm)));
        return true;
    }
    return false;
}

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const Usual usual = usual_of(work);
    if (usual.count < 2) return;
    const std::string thread = code(context.reader.settings(), Meaning::thread);
    for (std::size_t i = 0; i < work.legs.size(); ++i) {
        const Leg& leg = work.legs[i];
        if (!leg.known || leg.of_cycle || leg.in_contour) continue;
        const bool starts_there = leg.from.z_mm == usual.from_z && leg.to.z_mm == usual.to_z;
        if (leg.kind == Leg::Kind::feed && starts_there) {
            context.at(report, work, leg, "G")
                .message(said("This pass is a feed move where {} others from {} to {} are {}: it is not in "
                              "step with the spindle and crosses the thread. Write {}.",
                              usual.count, context.z(usual.from_z), context.z(usual.to_z), thread, thread));
            return;
        }
        if (!is_pass(leg) || starts_there) continue;
        const Leg* before = i > 0 ? &work.legs[i - 1] : nullptr;
        const bool back = leg.from.z_mm == usual.to_z && leg.to.z_mm == usual.from_z;
        const bool out = leg.dz() == 0 && before && is_pass(*before);
        if (back || out) {
            context.at(report, work, leg, "XUZW")
                .message(said("{} is still in force here: the tool goes {} as a thread. Write G00 in this "
                              "block.",
                              thread, out ? said("out of it") : said("back to the start")));
            return;
        }
        const bool dived = before && before->kind == Leg::Kind::rapid && before->dx() != 0 &&
                           before->to.z_mm == usual.to_z && leg.dz() == 0;
        if (dived) {
            context.at(report, work, *before, "XU")
                .message(said("This pass begins at {}, where the others end: the tool dives into the end of "
                              "the thread in a rapid and cuts nothing. Write {} in a block before.",
                              context.z(usual.to_z), context.z(usual.from_z)));
            return;
        }
    }
}

/// Passes of single moves and of whole cycles, with the move that has brought the tool to its Z.
struct Pass {
    const Leg* leg = nullptr;
    const Leg* placed = nullptr;
    double x() const { return leg->from.x_radius_mm; }
};
/// Empty: not all of them are known, or they are taps, tapers, or go both ways.
std::vector<Pass> passes_of(const Work& work) {
    std::vector<Pass> passes;
    const Leg *placed = nullptr, *before = nullptr;
    for (const Leg& leg : work.legs) {
        const Leg* last = std::exchange(before, &leg);
        if (leg.kind != Leg::Kind::thread) {
            if (leg.moves_z && !leg.of_cycle) placed = &leg;
            continue;
        }
        if (last && last->kind == Leg::Kind::thread) continue; // The pull-out of its pass
        const bool goes_back = !passes.empty() && passes[0].leg->dz() * leg.dz() <= 0;
        if (!leg.known || leg.dz() == 0 || goes_back || leg.from.x_radius_mm <= 0) return {};
        passes.push_back({&leg, placed});
    }
    return passes;
}

/// One pass that begins beside all the others, and by no whole leads: it runs beside their groove.
bool look_at_begin(const WorksContext& context, const Work& work, const std::vector<Pass>& passes,
                   Report& report) {
    constexpr std::size_t least_passes = 4;
    if (passes.size() < least_passes) return false;
    std::optional<std::size_t> odd;
    const auto begin = [&](std::size_t i) { return passes[i].leg->from.z_mm; };
    constexpr double same = 1e-6;
    const double usual = std::abs(begin(0) - begin(1)) < same ? begin(0) : begin(2);
    for (std::size_t i = 0; i < passes.size(); ++i) {
        if (std::abs(begin(i) - usual) < same) continue;
        if (odd) return false;
        odd = i;
    }
    if (!odd) return false;
    const Pass& pass = passes[*odd];
    const double lead = pass.leg->feed, shift = std::abs(begin(*odd) - usual);
    for (const Pass& other : passes)
        if (other.leg->to.z_mm != pass.leg->to.z_mm || other.leg->feed != lead ||
            (&other != &pass && other.x() == pass.x()))
            return false; // Another start of the same depth
    const double leads = lead > 0 ? shift / lead : 0;
    if (lead <= 0 || std::abs(leads - std::round(leads)) < 0.01) return false;
    context.at(report, work, pass.placed ? *pass.placed : *pass.leg, "ZW")
        .message(
            said("This pass begins at {}, and the {} others of the thread at {}: {} is no whole lead of "
                 "{}, so that it runs beside their groove and cuts the flanks away. Begin it at {}, too.",
                 context.z(begin(*odd)), passes.size() - 1, context.z(usual),
                 spoken(std::round(shift * 1e4) / 1e4), spoken(lead), context.z(usual)));
    return true;
}

/// Infeeds get smaller on the way in, but for one near the end.
bool look_at_growing(const WorksContext& context, const Work& work, const std::vector<Pass>& passes,
                     Report& report) {
    constexpr double grows = 2, little_more = 1.25, least_mm = 0.05;
    if (passes.size() < 5) return false;
    for (const Pass& pass : passes)
        if (pass.leg->from.z_mm != passes[0].leg->from.z_mm || pass.leg->to.z_mm != passes[0].leg->to.z_mm)
            return false;
    const double inward = passes[3].x() < passes[0].x() ? -1 : 1;
    std::optional<std::size_t> odd;
    double before = 0;
    std::size_t counted = 0;
    for (std::size_t i = 1; i < passes.size(); ++i) {
        const double infeed = (passes[i].x() - passes[i - 1].x()) * inward;
        if (std::abs(infeed) < 1e-6) continue; // A spring pass
        // The last ones may not reach it any more.
        if (infeed < 0 && odd) continue;
        if (infeed < 0) return false;
        if (++counted > 2 && infeed > grows * before && infeed * work.unit_mm > least_mm) {
            if (odd) return false;
            odd = i;
            continue;
        }
        if (counted > 1 && infeed > little_more * before) return false;
        before = infeed;
    }
    if (!odd || *odd + 3 < passes.size()) return false;
    const double infeed = (passes[*odd].x() - passes[*odd - 1].x()) * inward;
    const Leg* at = passes[*odd].leg;
    while (at != work.legs.data() && (at->dx() == 0 || !at->moves_x) && !at->of_cycle) --at;
    context.at(report, work, *at, "XU")
        .message(said("The passes of this thread get smaller on the way in, to {} a side, and this one goes "
                      "in by {}: the root gets too deep, and the insert takes it on both flanks. Is a digit "
                      "of X changed?",
                      spoken(std::round(before * 1e4) / 1e4), spoken(std::round(infeed * 1e4) / 1e4)));
    return true;
}

/// A pass from where the tool stands to there: the way back to its begin is lost.
bool look_at_standing(const WorksContext& context, const Work& work, Report& report) {
    const Leg* cut = nullptr; ///< A pass that goes somewhere
    for (const Leg& leg : work.legs) {
        if (!is_pass(leg)) continue;
        if (leg.dz() != 0 && !cut) cut = &leg;
        if (!cut || leg.dz() != 0 || leg.dx() != 0 || !leg.moves_z || leg.by_letters ||
            leg.to.z_mm != cut->to.z_mm)
            continue;
        context.at(report, work, leg, "ZW")
            .message(said("From the second pass on the tool stands at {} already and goes nowhere: only the "
                          "first pass from {} is cut. Is the block lost that takes it back to {}?",
                          context.z(leg.to.z_mm), context.z(cut->from.z_mm), context.z(cut->from.z_mm)));
        return true;
    }
    return false;
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (look_at_way_back(context, *work, report)) continue;
            if (look_at_standing(context, *work, report)) continue;
            look_at(context, *work, report);
            look_at_infeeds(context, *work, report);
            look_at_order(context, *work, report);
            const std::vector<Pass> passes = passes_of(*work);
            look_at_begin(context, *work, passes, report);
            look_at_growing(context, *work, passes, report);
        }
}

} // namespace

extern const Check check{
    .id = "thread_pass_unlike_rest",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread pass unlike the others",
    .documentation =
        "A thread cut block by block has its passes from one Z to another. One of them is a plain feed move "
        "and not in step with the spindle, begins where the others end because the way back is left out, or "
        "the threading code is still in force on the way out and back; or it goes in more than 2.5 times as "
        "far as any other pass, or deeper than those after it. The thread is crossed or the insert breaks. "
        "So is one pass that begins at another Z than all others and by no whole lead, an infeed near the "
        "end that is twice the one before, and passes that go nowhere because the way back is lost.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G20 G99
T0505
G97 S900 M03
G00 X.6 Z.25
G92 X.482 Z-.62 F.05
X.47
X.46
X.425
;^^^^ warning: thread_pass_unlike_rest
X.446
X.442
X.4387
X.4387
G00 X3. Z3.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S900 M03
G00 X22. Z5.
G78 X19.4 Z-18. F1.5
X18.9
X18.5
X18.2
X18.2
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G20 G99
T0404
G97 S800 M03
G00 X.9 Z.25
X.73
G32 Z-.63 F.0625
G00 X.9
Z.25
X.71
G01 Z-.63
;^^ warning: thread_pass_unlike_rest
G00 X.9
Z.25
X.7
G32 Z-.63
G00 X.9
Z.25
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S800 M03
G00 X1. Z.2
X.73
G33 X.8 Z-.77 F.0625
G00 X1.
Z.2
X.72
G33 X.79 Z-.77
G00 X1.
X.71
;^^^ warning: thread_pass_unlike_rest
G33 X.78 Z-.77
G00 X1.
Z.2
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X24. Z5.
X19.
G33 Z-20. F1.5
X24.
;^^^ warning: thread_pass_unlike_rest
G00 Z5.
X18.5
G33 Z-20.
G00 X24.
Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X24. Z5.
X19.4
G32 Z-20. F1.5
G00 X24.
Z5.
X18.9
G32 Z-20.
G00 X24.
Z5.
X18.5
G32 Z-20.
G00 X24.
Z5.
X16.2
;^^^^ warning: thread_pass_unlike_rest
G32 Z-20.
G00 X24.
Z5.
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X24. Z5.
X19.4
G32 X21.4 Z-20. F1.5
G00 X26.
Z5.
X18.9
G32 X20.9 Z-20.
G00 X26.
Z5.
X18.5
G32 X20.5 Z-20.
G00 X26.
Z5.
X16.2
;^^^^ warning: thread_pass_unlike_rest
G32 X18.2 Z-20.
G00 X26.
Z5.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0404
G97 S800 M03
G00 X.7 Z.2
X.75
G33 Z-.6 F.0625
G00 X.7
Z.2
X.78
G33 Z-.6
G00 X.7
Z.2
X.8
G33 Z-.6
G00 X.7
Z.2
X.8
G33 Z-.6
G00 X.7
Z.2
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X24. Z5.
X19.
G32 Z-20. F1.5
X22. Z-21.
G00 X24.
Z5.
X18.5
G32 Z-20.
X22. Z-21.
G00 X24.
Z5.75
X19.
G32 Z-20.
G00 X24.
Z5.
G01 Z-19.
M30
)"},
            // A loop whose passes each begin elsewhere, and the way out is lost.
            {System::A, R"(
G21 G99
T0707
G97 S300 M03
G00 X40. Z4.
G00 X35.5 Z4.2
G32 Z-55. F6.
Z4.
;^^ warning: thread_pass_unlike_rest
G00 X35. Z4.3
G32 Z-55. F6.
G00 X40.
G00 X34.6 Z4.4
G32 Z-55. F6.
G00 X40.
G00 X34.3 Z4.5
G32 Z-55. F6.
G00 X40.
X100. Z80.
M30
)"},
            // A tap goes back as it came.
            {System::B, R"(
G21 G90 G95
T0606
G97 S300 M03
G00 X0 Z6.
G33 Z-15. F1.
M04
G33 Z6. F1.
M05
M30
)"},
            // One begins beside the others; and two starts in turn.
            {System::A, R"(
G21 G99
T0303
G97 S600 M03
G00 X24. Z5.
X19.3
G32 Z-38. F1.5
G00 X24.
Z5.
X18.9
G32 Z-38. F1.5
G00 X24.
Z4.
;^^ warning: thread_pass_unlike_rest
X18.6
G32 Z-38. F1.5
G00 X24.
Z5.
X18.4
G32 Z-38. F1.5
G00 X24.
Z5.
X18.24
G32 Z-38. F1.5
G00 X24.
M30
)"},
            {System::C, R"(
G70 G90 G95
T0303
G97 S600 M03
G00 X1. Z.3
X.98
G33 Z-1.2 F.125
G00 X1.1
Z.3625
X.98
G33 Z-1.2 F.125
G00 X1.1
Z.3
X.95
G33 Z-1.2 F.125
G00 X1.1
Z.3625
X.95
G33 Z-1.2 F.125
G00 X1.1
M30
)"},
            // The last infeed grows again; infeeds that stay, and a spring pass.
            {System::B, R"(
G21 G90 G95
T0303
G97 S600 M03
G00 X24. Z7.
G78 X20.4 Z-12.5 F1.814
X19.95
X19.55
X19.2
X18.92
X18.75
X18.361
;^^^^^^ warning: thread_pass_unlike_rest
G00 X60.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G97 S600 M03
G00 X24. Z7.
G78 X20.4 Z-12.5 F1.814
X19.95
X19.55
X19.2
X18.92
X18.75
X18.631
X18.631
G00 X60.
M30
)"},
            // The way back is lost in a loop.
            {System::C, R"(
G70 G90 G95
T0707
G97 S700 M03
G00 X1. Z.3
#100=1
WHILE[#100LE5]DO1
G00 X[.875-.0876*SQRT[#100/5]]
G33 Z-1.03 F.071429
;   ^^^^^^ warning: thread_pass_unlike_rest
G00 X1.
#100=#100+1
END1
G00 X2.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_pass_unlike_rest

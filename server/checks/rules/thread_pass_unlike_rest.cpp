// One pass of a thread cut block by block that is not like the others.
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

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

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (look_at_way_back(context, *work, report)) continue;
            look_at(context, *work, report);
            look_at_infeeds(context, *work, report);
            look_at_order(context, *work, report);
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
        "and not "
        "in step with the spindle, begins where the others end because the way back is left out, or the "
        "threading "
        "code is still in force on the way out and back; or it goes in more than 2.5 times as far as any "
        "other "
        "pass, or deeper than those after it. The thread is crossed or the insert breaks.",
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_pass_unlike_rest

// One pass of a thread cut block by block that is not like the others.
#include "checks/works.h"

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
                .message(
                    fmt::format("This pass is a feed move where {} others from {} to {} are {}: it is not in "
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
                .message(
                    fmt::format("{} is still in force here: the tool goes {} as a thread. Write G00 in this "
                                "block.",
                                thread, out ? "out of it" : "back to the start"));
            return;
        }
        const bool dived = before && before->kind == Leg::Kind::rapid && before->dx() != 0 &&
                           before->to.z_mm == usual.to_z && leg.dz() == 0;
        if (dived) {
            context.at(report, work, *before, "XU")
                .message(fmt::format(
                    "This pass begins at {}, where the others end: the tool dives into the end of "
                    "the thread in a rapid and cuts nothing. Write {} in a block before.",
                    context.z(usual.to_z), context.z(usual.from_z)));
            return;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) look_at(context, *work, report);
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
        "code is still in force on the way out and back. The thread is crossed or the insert breaks.",
    .works = works,
    .examples =
        {
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_pass_unlike_rest

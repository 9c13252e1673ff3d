// The height in a threading cycle is more than the lead can have.
#include "checks/works.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::thread_deeper_than_profile {

namespace {

void block(const BlockView& view, Report& report) {
    if (view.reading.motion != MotionKind::thread_cycle || !threads_in(view)) return;
    const machine::Word* height = view.reading.word('P');
    if (view.reading.has('K') && view.reading.has('D')) height = view.reading.word('K');
    const machine::Word* lead = view.reading.word('F');
    if (!height || !lead || !height->value.known() || !lead->value.known() || lead->value.number <= 0) return;
    if (lead->quantity == Quantity::threads_per_inch) return;
    double ratio = height->value.number / lead->value.number;
    // A taper pipe thread is 0.8 of its pitch deep, truncated (ASME B1.20.1, as engineersedge.com gives it).
    const machine::Word* taper = view.reading.word(view.reading.has('I') ? 'I' : 'R');
    const bool is_tapered = taper && taper->value.known() && taper->value.number != 0;
    if (ratio <= (is_tapered ? 0.82 : 0.72)) return;
    report.at(view, *height->item)
        .message(said("{} makes the thread {} deep on radius, {:.2f} of the lead {}: the flanks run out. An "
                      "outside 60 degree thread of this pitch is {} deep.",
                      text_of(view, *height->item), spoken(height->value.number), ratio,
                      spoken(lead->value.number), spoken(std::round(6134.3 * lead->value.number) / 10000)));
}

/// Of all passes from the first to the deepest; the first is in the metal, too.
constexpr double most_by_passes = 1.0;

void look_at(const WorksContext& context, const Work& work, Report& report) {
    const Leg* first = nullptr;
    double lead = 0;
    for (const Leg& leg : work.legs) {
        if (leg.kind != Leg::Kind::thread || !leg.known || leg.dz() == 0) continue;
        const bool begins = !first || leg.to.z_mm != first->to.z_mm || leg.from.z_mm != first->from.z_mm;
        if (begins) {
            first = &leg;
            lead = leg.lead();
        }
        if (begins || lead <= 0) continue;
        const double depth = std::abs(leg.to.x_radius_mm - first->to.x_radius_mm);
        if (depth <= most_by_passes * lead) continue;
        context.at(report, work, *first, "FE")
            .message(said("The passes of this thread go from {} to {}, {} a side, and its lead is {}: "
                          "no thread is so deep. "
                          "Is F right, and is it to be a thread at all?",
                          context.x(first->to.x_radius_mm), context.x(leg.to.x_radius_mm),
                          spoken(std::round(depth * 1e4) / 1e4), spoken(lead)));
        return;
    }
}

void works(const WorksContext& context, Report& report) {
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) look_at(context, *work, report);
}

} // namespace

extern const Check check{
    .id = "thread_deeper_than_profile",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "Thread deeper than its profile",
    .documentation =
        "The height of the thread (P of the cycle, on radius) is more than 0.72 of the lead. An "
        "outside metric or unified thread is 0.6134 of its pitch deep (ISO metric coarse profile "
        "sheet), a sharp one 0.866; with more the flanks run out and the crest is gone. Mostly the "
        "height was written on diameter, or belongs to another pitch. Multi-start threads are "
        "shallower and stay quiet, and so does a taper pipe thread of 0.8 of its pitch. Passes given one by "
        "one "
        "are told where they go in by more than the whole lead: a lead of a turning feed, or a turning pass "
        "that was written as a thread.",
    .block = block,
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P1840 Q250 F1.5
;                ^^^^^ warning: thread_deeper_than_profile
M30
)"},
            // The same pipe thread, its taper told by I.
            {System::A, R"(
G20 G99
T0606 (3/4-14 NPT)
G97 S800 M03
G00 X1.3 Z.3
G76 X.9556 Z-.7 I-.0313 K.056 D.016 F.071429
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.2
G78 P010060 Q20 R.001
G78 X.98 Z-.7 P600 Q100 F.0625
;             ^^^^ warning: thread_deeper_than_profile
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
G76 P010029 Q50 R0.02
G76 X20. Z-23. P1750 Q250 F3.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F4.5
M30
)"},
            {System::A, R"(
G21 G99
N7 (THREAD 1/2-14 NPT)
T0707
G97 S600 M03
G00 X28. Z6.
G76 P010060 Q50 R0.02
G76 X18.66 Z-13.56 R-0.611 P1451 Q250 F1.8143
M30
)"},
            // A turning cycle with the code of the thread cycle.
            {System::A, R"(
T0101
G97 S1000 M03
G00 X1.3 Z.1
G92 X1.19 Z-.65 F.01
;               ^^^^ warning: thread_deeper_than_profile
X1.13
X1.09
G00 X8. Z5.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S400 M03
G00 X40. Z9.
G78 X35.2 Z-46. F6.
X33.
X31.
X29.5
G00 X80.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_deeper_than_profile

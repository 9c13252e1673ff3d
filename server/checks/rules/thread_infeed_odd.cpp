// The first pass of a threading cycle is as deep as the whole thread, or its last ones are no shavings.
//
// The limits: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>
#include <utility>

namespace turnwright::checks::rules::thread_infeed_odd {

namespace {

constexpr double most_allowance_mm = 0.35; ///< On radius, for the last pass

const machine::Word* word_of(const BlockView& view, char letter) {
    const machine::Word* word = view.reading.word(letter);
    return word && word->value.known() && word->value.number > 0 ? word : nullptr;
}

bool is_whole_depth(double first, double height) {
    return std::abs(first - height) < 1e-6 * height;
}

/// A cycle of one line whose first pass is all of it: right where the same thread has been cut before.
void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) {
        const Act* before = nullptr;
        for (const Act& act : tool.work->acts) {
            if (act.motion != MotionKind::thread_cycle) continue;
            const Act* cut = std::exchange(before, &act);
            const ActWord *height = tool.work->word(act, 'K'), *first = tool.work->word(act, 'D');
            if (!height || !first || !(height->number > 0)) continue;
            const bool again = cut && cut->to_x == act.to_x && cut->to_z == act.to_z && cut->feed == act.feed;
            if (again) continue;
            const BlockPlace place = tool.place(act);
            const syntax::Item *k = find_letter(context.reader(), place, 'K'),
                               *d = find_letter(context.reader(), place, 'D');
            if (!k || !d || !is_whole_depth(first->number, height->number)) continue;
            const auto& line = context.reader().line(place);
            report.at_letter(place, 'D')
                .message(said(
                    "The first pass by {} is {} deep, and the whole thread by {} is {}: the control "
                    "alarms, or all is taken at once and the insert breaks. Is a digit of {} too many?",
                    line.text_of(*d), spoken(first->number), line.text_of(*k), spoken(height->number), 'D'));
        }
    }
}

void block(const BlockView& view, Report& report) {
    if (view.reading.motion != MotionKind::thread_cycle) return;
    if (view.reading.sets_up_cycle) {
        const machine::Word* left = word_of(view, 'R');
        const auto mm = left ? at_least_mm(left->value.number, view.after) : std::nullopt;
        if (!mm || *mm <= most_allowance_mm) return;
        report.at(view, *left->item)
            .message(said("{} leaves {} a side for the last pass of the thread: it is to take a shaving, "
                          "and breaks the insert so. Is the point right?",
                          text_of(view, *left->item), spoken(left->value.number)));
        return;
    }
    const bool one_line = view.reading.has('K') && view.reading.has('D');
    const machine::Word* height = word_of(view, one_line ? 'K' : 'P');
    const machine::Word* first = word_of(view, one_line ? 'D' : 'Q');
    if (!threads_in(view) || !height || !first || first->value.number < height->value.number) return;
    // Once more at the full depth, along the thread that is there: of one line as deep as high, told by the
    // file.
    if (one_line && is_whole_depth(first->value.number, height->value.number)) return;
    report.at(view, *first->item)
        .message(
            said("The first pass by {} is {} deep, and the whole thread by {} is {}: the control alarms, "
                 "or all is taken at once and the insert breaks. Is a digit of {} too many?",
                 text_of(view, *first->item), spoken(first->value.number), text_of(view, *height->item),
                 spoken(height->value.number), first->letter));
}

} // namespace

extern const Check check{
    .id = "thread_infeed_odd",
    .family = Family::threads,
    .severity = Severity::warning,
    .title = "First or last pass of a thread too deep",
    .documentation = "The first pass of a threading cycle (Q, in one line D) is as deep as the whole thread "
                     "or deeper, or what "
                     "the first line leaves for the last pass (R) is more than 0.35 mm on radius. A digit is "
                     "too many, a point "
                     "slipped, or two words changed places. The first pass takes a fifth to a half of the "
                     "height, the last one "
                     "some hundredths.",
    .block = block,
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 Q2500 F1.5
;                     ^^^^^ warning: thread_infeed_odd
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S800 M03
G00 X28. Z6.
G76 P010060 Q50 R0.4
;               ^^^^ warning: thread_infeed_odd
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::A, R"(
G21 G99
T0707
G97 S800 M03
G00 X28. Z6.
G76 X22.16 Z-23. I0 K0.92 D4000 F1.5 A60
;                         ^^^^^ warning: thread_infeed_odd
M30
)"},
            {System::C, R"(
G70 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.4
G78 P010060 Q20 R.001
G78 X.92 Z-.7 P383 Q100 F.0625
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::thread_infeed_odd

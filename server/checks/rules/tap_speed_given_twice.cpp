// The S beside the code in front of a tap is not the one that the spindle was started with.
//
// That rigid taps are announced by a code with its own S: common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::tap_speed_given_twice {

namespace {

/// A tool that comes down faster and taps slower is a habit; ten times is a slip.
constexpr double times_apart = 4;

void look_at(const ToolOfSpan& tool, Report& report) {
    if (!tool.work->has_taps) return;
    const Act *first = nullptr, *second = nullptr;
    bool cut = false;
    for (const Act& act : tool.work->acts) {
        if (act.calls_tool) first = second = nullptr, cut = false;
        if (act.spindle != machine::Spindle::main) return;
        if (act.gives_speed && act.rpm() && act.speed > 0) {
            const auto words = tool.work->words_of(act);
            const bool announces = first && std::any_of(words.begin(), words.end(), [](const ActWord& word) {
                                       return word.letter == 'M' && word.number >= 10;
                                   });
            (announces ? second : first) = &act;
            if (!announces) second = nullptr, cut = false;
        }
        if (act.taps() && first && second && !cut) {
            const double one = first->speed, other = second->speed;
            if (std::max(one, other) < times_apart * std::min(one, other)) return;
            report.at_letter(tool.place(*second), 'S')
                .message(
                    said("S{} stands here, in front of the tap, and the spindle was started with S{}: one "
                         "of the two has a digit too many or too few. Write the same S in both.",
                         spoken(other), spoken(one)))
                .related(tool.place(*first), said("started here"));
            return;
        }
        cut = cut || act.cuts() || act.threads();
    }
}

void file(const FileContext& context, Report& report) {
    for (const ToolOfSpan& tool : tools_of(context)) look_at(tool, report);
}

} // namespace

extern const Check check{
    .id = "tap_speed_given_twice",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Two speeds in front of one tap",
    .documentation =
        "The spindle is started with one S, and the code that announces the rigid tap has another one, four "
        "times as large or more, or as small. One of them is a slip: with the larger the spindle "
        "cannot turn back at the depth, and the tap breaks in the hole. Write the same S in both.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0606
G97 S3200 M03
G00 X0. Z6.
M29 S320
;   ^^^^ warning: tap_speed_given_twice
G84 Z-22. F1.5
G80
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S30 M03
G00 X0 Z.25
M29 S300
;   ^^^^ warning: tap_speed_given_twice
G84 Z-.8 F.05
G80
M30
)"},
            {System::C, R"(
G71 G90 G95
T0606
G97 S400 M03
G00 X0 Z6.
M29 S4000
;   ^^^^^ warning: tap_speed_given_twice
G84 Z-22. F1.5
G80
M30
)"},
            {System::A, R"(
G21 G99
T0404
G97 S1900 M03
G00 X0. Z3.
G83 Z-32. Q8000 F0.14
G80
T0606
G97 S500 M03
G00 X0. Z6.
M29 S320
G84 Z-22. F1.5
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::tap_speed_given_twice

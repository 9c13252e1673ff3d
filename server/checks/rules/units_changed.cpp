// The unit changes in the middle of the program.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::units_changed {

namespace {

void block(const BlockView& view, Report& report) {
    for (const machine::Word& word : view.reading.words) {
        if (!word.code || word.code->group() != Group::units) continue;
        const machine::Modal& before = view.before.of(Group::units);
        bool other = before.known() && !before.is(word.code->meaning);
        bool moved = view.before.x_radius.known() || view.before.z.known() || view.before.feed.known() ||
                     view.before.feed.why == Why::mode_changed;
        // With the words of a cycle it is another system's code, and told as that.
        if (!other || !moved || view.reading.has('P') || view.reading.has('Q')) continue;
        report.at(view, *word.item)
            .message(said("{} changes the unit in the middle of the program: offsets and positions are not "
                          "converted by every control, and a start below reads lengths 25.4 times off.",
                          text_of(view, *word.item)))
            .origin(part(Group::units));
    }
}

} // namespace

extern const Check check{
    .id = "units_changed",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Inch and millimetre in one program",
    .documentation =
        "The program switches between inch and millimetre after moves have been made. Many controls "
        "do not convert offsets and positions then, and a restart between the two reads every length "
        "wrong. Leave a program in one unit.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G00 X50. Z2.
G20
;^^ warning: units_changed
G00 X2. Z.1
M30
)"},
            {System::C, R"(
G71 G90
T0101
G00 X50. Z2.
G01 Z-5. F0.2
G70
;^^ warning: units_changed
M30
)"},
            {System::A, R"(
G20
G21 G99
T0101
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20 G90
G00 X2. Z.1
G20
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::units_changed

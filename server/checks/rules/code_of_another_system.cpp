// A G code that is not in the table of this G-code system.
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

namespace turnwright::checks::rules::code_of_another_system {

namespace {

void block(const BlockView& view, Report& report) {
    for (const machine::Word& word : view.reading.words) {
        if (word.letter != 'G' || word.after_comma || word.code || word.item->kind != syntax::ItemKind::word)
            continue;
        double number = word.item->value;
        const int whole = machine::whole_number(number);
        if (number == whole && view.settings.machine.g_codes.count(whole)) continue;
        std::string elsewhere;
        for (System other : {System::A, System::B, System::C})
            if (const codes::Code* row = codes::find(other, 'G', number); row && elsewhere.empty())
                elsewhere = said(" In system {} it is: {}.", codes::system_letter(other), row->title);
        report.at(view, *word.item)
            .severity(elsewhere.empty() ? Severity::information : Severity::warning)
            .message(said("{} is not in the table of G-code system {}: your machine's book says what it "
                          "does.{} The shop file can name it under g_codes.",
                          text_of(view, *word.item), codes::system_letter(view.settings.system), elsewhere));
    }
}

} // namespace

extern const Check check{
    .id = "code_of_another_system",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "G code this system does not have",
    .documentation =
        "The G code is not in the table of the G-code system this program is read in. The machine's book "
        "says "
        "whether its builder has given the number a meaning; the shop file can name it under "
        "`g_codes`. Where the axes stand after it is not known. Where another system has the code, the "
        "message says what it is there: the program "
        "may have been written for another machine, or the system may be set wrong in the shop file.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G77 X40. Z-10. F0.2
;   ^^^ warning: code_of_another_system
M30
)"},
            {System::B, R"(
G20 G999
;   ^^^^ information: code_of_another_system
M30
)"},
            {System::C, R"(
G70 G600
;   ^^^^ information: code_of_another_system
M30
)"},
            {System::A, R"(
G21 G150
M30
)",
             "[[machine]]\nname = \"own\"\n[machine.g_codes]\nG150 = \"bar feed\"\n"},
            {System::B, R"(
G20 G#1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::code_of_another_system

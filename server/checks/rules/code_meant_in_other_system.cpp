// A code that stands as only another G-code system writes it, in a program that is read in this one.
//
// What codes mean in the three systems: the one table (server/codes).
#include "checks/rule.h"
#include "language/said.h"
#include "machine/evidence.h"

namespace turnwright::checks::rules::code_meant_in_other_system {

namespace {

void block(const BlockView& view, Report& report) {
    const System here = view.settings.system;
    if (view.settings.system_from == machine::SystemFrom::assumed) return;
    const auto sign = machine::foreign_sign(view.run, view.text, here);
    if (!sign) return;
    const codes::Code* row = codes::find(here, 'G', sign->item->value);
    const codes::Code* meant = codes::find(sign->system, 'G', sign->item->value);
    if (!row || !meant) return; // code_of_another_system
    const std::string write = codes::written_as(here, meant->meaning);
    report.at(view, *sign->item)
        .message(said("{}. This is read in system {}, {}: there {} is: {}. {}", sign->text,
                      codes::system_letter(here),
                      view.settings.system_from == machine::SystemFrom::shop_file
                          ? said("as the shop file says")
                          : said("which most of the program speaks for"),
                      text_of(view, *sign->item), row->title,
                      write.empty() ? std::string(said("Which of them has your control?"))
                                    : said("If so, write {}.", write)));
}

} // namespace

extern const Check check{
    .id = "code_meant_in_other_system",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Code written as another G-code system means it",
    .documentation = "The same number means other things in G-code systems A, B and C, and this block has it "
                     "as only another of "
                     "them writes it: G92 with S limits the speed in B and C, in A it limits nothing and the "
                     "chuck may run up to "
                     "the machine's maximum under G96; G21 with X, Z and F is the thread cycle of C and a "
                     "unit code elsewhere. It is "
                     "the slip of somebody who comes from another lathe, or of a block that was copied. "
                     "Write the code of this "
                     "system, or set `system` in the shop file.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99 G40 G54
T0101
G92 S2500
;^^ warning: code_meant_in_other_system
G96 S200 M03
G00 X52. Z2. M08
G01 Z-30. F.3
G00 X100. Z100. M09
G50 S2000
M30
)",
             "[[machine]]\nname = \"own\"\nsystem = \"A\"\n"},
            {System::B, R"(
G21 G95 G90 G40
T0707
G97 S800 M03
G00 X32. Z5.
G21 X29.2 Z-18. F1.5
;^^ warning: code_meant_in_other_system
M30
)",
             "[[machine]]\nname = \"own\"\nsystem = \"B\"\n"},
            {System::C, R"(
G71 G95 G90 G40
T0101
G92 S2000
G96 S200 M03
G00 X32. Z5.
G73 P1 Q2 U.4 W.1 F.25
N1 G00 X20.
G01 Z-10. F.1
N2 X30.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X32. Z5.
G92 X29.2 Z-18. F1.5
X28.6
G00 X100. Z100.
G50 S2000
M30
)"},
            {System::B, R"(
G20 G90 G95
T0404
G97 S600 M03
G00 X0 Z.5
G98 G83 Z-1.735 R.04 Q2500 F.008
G80
G92 S2000
G92 X10. Z5.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::code_meant_in_other_system

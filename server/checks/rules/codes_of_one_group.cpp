// Two codes of one modal group in one block.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::codes_of_one_group {

namespace {

/// Some machines take flood and mist together.
bool may_stand_together(Meaning a, Meaning b) {
    auto is_flow = [](Meaning m) { return m == Meaning::coolant_on || m == Meaning::coolant_mist; };
    return a != b && is_flow(a) && is_flow(b);
}

std::string hint(const BlockView& view, Meaning first, Meaning second) {
    if (view.settings.system != System::A) return "";
    auto is_single = [](Meaning m) { return m == Meaning::single_turning || m == Meaning::single_facing; };
    if (!is_single(first) && !is_single(second)) return "";
    return said(" In system A G90 and G94 are single cycles, not absolute and feed by the minute.");
}

void block(const BlockView& view, Report& report) {
    const auto& words = view.reading.words;
    for (std::size_t i = 0; i < words.size(); ++i) {
        if (!words[i].code || !words[i].code->is_modal()) continue;
        for (std::size_t j = i + 1; j < words.size(); ++j) {
            if (!words[j].code || words[j].code->group() != words[i].code->group()) continue;
            if (words[j].item == words[i].item) continue; // Both by one code of the machine's builder
            Meaning first = words[i].code->meaning, second = words[j].code->meaning;
            if (may_stand_together(first, second)) break;
            // Such a code does more than what stands twice.
            if (first == second && (words[i].implied || words[j].implied)) break;
            std::string a = text_of(view, *words[i].item), b = text_of(view, *words[j].item);
            std::string group(codes::group_title(words[i].code->group()));
            std::string text = first == second
                                   ? said("{} stands twice in this block. Once is enough.", b)
                                   : said("{} and {} in one block: both set the {}. Most controls obey the "
                                          "last one, {}, some alarm. Leave the one you mean.{}",
                                          a, b, group, b, hint(view, first, second));
            report.at(view, *words[i].item)
                .message(text)
                .severity(first == second ? Severity::hint : Severity::warning)
                .tag(first == second ? Tag::unnecessary : Tag::none)
                .fix([&]() -> std::optional<Fix> {
                    if (words[i].implied) return std::nullopt;
                    return Fix{
                        said("Leave only {}", b), {remove(view, *words[i].item)}, first == second, true};
                });
            break;
        }
    }
}

} // namespace

extern const Check check{
    .id = "codes_of_one_group",
    .family = Family::modal_state,
    .severity = Severity::warning,
    .title = "Two codes of one modal group in a block",
    .documentation =
        "Codes of one modal group exclude each other, such as G00 and G01 or M03 and M05. With two of them "
        "in a "
        "block most controls obey the last one written, some the first, some alarm: the same program makes "
        "different moves on two machines. Leave the one you mean. In system A a G90 or G94 beside G00 or G01 "
        "mostly comes from a program for system B or C: there it means absolute or feed by the minute, here "
        "it "
        "is a cycle.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0505
G97 S900 M03
G00 G01 X34. F0.4
;^^ warning: codes_of_one_group
M30
)"},
            {System::A, R"(
G20 G99 T0101
G97 S900 M03
G90 G00 X2. Z.1
;^^ warning: codes_of_one_group
M30
)"},
            {System::B, R"(
G20 G90 G95 G40 G42
;           ^^^ warning: codes_of_one_group
T0101 M03 M05
;     ^^^ warning: codes_of_one_group
M30
)"},
            {System::C, R"(
G70 G71 G90 G95
;^^ warning: codes_of_one_group
G97 S500 M03 M03
;        ^^^ hint: codes_of_one_group
M30
)"},
            // A full safety line, cycle with return level, coolant of two kinds.
            {System::A, R"(
G54 G18 G97 G21 G80 G40 G99
T0101
G97 S900 M03
G00 G42 X34. Z1. M08
G28 U0 W0 M09
G00 G53 X0. Z0.
M30
)"},
            {System::B, R"(
G54 G18 G90 G97 G20 G80 G40 G95
T0404
G97 S600 M03
G00 X0 Z.5 M07 M08
G98 G83 Z-1.735 R.04 Q2500 F.008
G80 G00 Z.5
M30
)"},
            {System::C, R"(
G71 G90 G95
G92 S2000
T0101 M03
G96 S150
G00 X50. Z2.
G73 U2. R0.5
G73 P10 Q20 U0.4 W0.1 F0.3
N10 G00 X20.
N20 G01 Z-20.
M30
)"},
            {System::A, R"(
G21 G99
G97 S500 M03
T0101
G04 X2.
G09 G01 X50. Z0. F0.2
M05 M09
M30
)"},
            {System::B, R"(
G21 G95
G97 S500
T0101
M13 M03
G01 X50. Z0. F0.2
M05 M09
M30
)",
             shop_with_clamps},
            {System::A, R"(
G21 G99
G97 S500
T0101
M05 M13
;^^ warning: codes_of_one_group
M30
)",
             shop_with_clamps},
        },
};

} // namespace turnwright::checks::rules::codes_of_one_group

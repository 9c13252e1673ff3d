// The words of a cycle in a block that has no code, while plain moves are in force.
//
// That P and Q stand with no plain move of a lathe: common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::cycle_code_lost {

namespace {

bool is_of_two_lines(Meaning meaning) {
    switch (meaning) {
    case Meaning::rough_turning:
    case Meaning::rough_facing:
    case Meaning::pattern_repeat:
    case Meaning::peck_face:
    case Meaning::groove_side:
    case Meaning::thread_cycle:
        return true;
    default:
        return false;
    }
}

/// The cycle whose line a neighbour of the block is; nullptr: none.
const codes::Code* cycle_at(const machine::Reader& reader, std::optional<BlockPlace> place) {
    const syntax::Item* item = place ? find_letter(reader, *place, 'G') : nullptr;
    const codes::Code* code = item ? codes::find(reader.settings().system, 'G', item->value) : nullptr;
    return code && is_of_two_lines(code->meaning) ? code : nullptr;
}

/// Letters of the block; empty: it holds others than those of moves and cycles.
std::string letters_of(const BlockView& view) {
    std::string letters;
    for (const machine::Word& word : view.reading.words) {
        if (word.letter == 'N') continue;
        if (word.after_comma || word.implied || word.item->kind != syntax::ItemKind::word) return {};
        if (std::string_view("XZUWPQRDFKI").find(word.letter) == std::string_view::npos) return {};
        letters += word.letter;
    }
    return letters;
}

void block(const BlockView& view, Report& report) {
    const machine::Reading& reading = view.reading;
    if (reading.in_contour || reading.flow != machine::FlowKind::none || view.text.has_error) return;
    if (reading.motion != MotionKind::none && reading.motion != MotionKind::rapid &&
        reading.motion != MotionKind::feed)
        return;
    if (view.before.of(Group::modal_call).is(Meaning::modal_call)) return;
    const std::string letters = letters_of(view);
    const auto has = [&](char letter) { return letters.find(letter) != std::string::npos; };
    if (letters.empty()) return;
    const bool as_set_up = letters == "R" || letters == "UR" || letters == "WR" || letters == "UWR" ||
                           letters == "PQR" || letters == "PQ";
    const bool counts = has('P') || has('Q');
    if (!as_set_up && !(counts && letters.size() > 1)) return;
    const BlockPlace here{view.run_index, view.block};
    const codes::Code* above = cycle_at(report.reader(), report.reader().neighbour(here, false));
    const codes::Code* behind = cycle_at(report.reader(), report.reader().neighbour(here, true));
    const codes::Code* code = behind && as_set_up ? behind : above ? above : behind;
    if (as_set_up && !code && !counts) return;
    const bool goes = reading.motion != MotionKind::none;
    const std::string now = !goes ? std::string()
                            : reading.motion == MotionKind::rapid
                                ? said(" As it stands the tool goes there in one straight rapid.")
                                : said(" As it stands the tool goes there in one straight feed.");
    report.at(view).message(
        said("The words of a cycle stand here without its code, and a plain move takes neither P nor Q nor "
             "R alone: the cycle is not run.{}{}",
             now, code ? said(" {} is lost here, perhaps.", code->written()) : ""));
}

} // namespace

extern const Check check{
    .id = "cycle_code_lost",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Words of a cycle without its code",
    .documentation =
        "P and Q, or the retract R of a cycle's first line, stand in a block that has no G code, while a "
        "plain "
        "move is in force: the code of the cycle is lost. The hole is not pecked, the thread not cut and the "
        "contour not roughed; where the block has an X or a Z, the tool goes there in one straight line, at "
        "rapid mostly, through what the cycle would have cut step by step.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X0. Z5.
G74 R1.
Z-50. Q12000 F.2
;^^^^^^^^^^^^^^^ warning: cycle_code_lost
G00 Z10.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z.1
G71 U.08 R.02
P10 Q20 U.02 W.004 F.01
;^^^^^^^^^^^^^^^^^^^^^^ warning: cycle_code_lost
N10 G00 X1.
G01 Z-1. F.006
N20 X2.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G97 S800 M03
G00 X0. Z5.
R.5
;^^ warning: cycle_code_lost
G76 Z-50. Q12000 F.2
G00 Z10.
M30
)"},
            // A cycle that stays on, a corner's radius, a macro that runs behind every move.
            {System::A, R"(
G21 G99
T0303
G97 S800 M03
G00 X0. Z5.
G83 Z-20. R-3. Q3000 F.1
Z-30. Q2000
G80
G00 X50.
G01 Z-5. R1. F.1
X60.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G71 U2. R.5
G71 P10 Q20 U.4 W.1 F.3
N10 G00 X30.
G01 Z-20. R2. F.1
N20 X50.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G66 P9101 A1.
X40. Q5.
G67
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::cycle_code_lost

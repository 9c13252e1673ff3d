// The notes give the second side a datum of its own, and behind the stop the first one is stated again.
//
// Common practice, no source.
#include "checks/head_stock.h"
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"
#include "text/capitals.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace turnwright::checks::rules::noted_datum_not_stated {

namespace {

constexpr int first_datum = 54, last_datum = 59;

/// "G55" as a word of a note.
void add_datums(std::string_view note, std::set<int>& datums) {
    for (std::size_t at = note.find_first_of("Gg"); at != std::string_view::npos;
         at = note.find_first_of("Gg", at + 1)) {
        const bool is_word =
            (at == 0 || !(text::is_letter(note[at - 1]) || text::is_digit(note[at - 1]))) &&
            at + 2 < note.size() && text::is_digit(note[at + 1]) && text::is_digit(note[at + 2]) &&
            (at + 3 == note.size() || !(text::is_digit(note[at + 3]) || note[at + 3] == '.'));
        if (!is_word) continue;
        const int number = 10 * (note[at + 1] - '0') + (note[at + 2] - '0');
        if (number >= first_datum && number <= last_datum) datums.insert(number);
    }
}

struct Stated {
    BlockPlace place;
    const syntax::Item* item = nullptr;
    int number = 0;
    bool behind_stop = false; ///< A program stop stands between it and the one before
};

/// Of several datums that the notes name one is stated nowhere, and at one place the one in force is stated
/// again, between others of the notes.
bool look_for_unused(const std::set<int>& noted, const std::vector<Stated>& stated, Report& report) {
    if (noted.size() < 3) return false;
    std::vector<int> unused;
    for (const int number : noted)
        if (std::none_of(stated.begin(), stated.end(),
                         [&](const Stated& one) { return one.number == number; }))
            unused.push_back(number);
    const Stated* again = nullptr;
    std::size_t repeats = 0;
    for (std::size_t i = 1; i < stated.size(); ++i) {
        if (!noted.contains(stated[i].number)) return false;
        if (stated[i].number != stated[i - 1].number) continue;
        ++repeats;
        again = &stated[i];
    }
    if (unused.size() != 1 || repeats != 1 || again == &stated.back()) return false;
    report.at(again->place, *again->item)
        .message(said(
            "G{0} is in force already where it is stated here again, and the notes speak of G{1}, too, which "
            "no block states: this work comes to the place of the one before. Write G{1}.",
            again->number, unused[0]));
    return true;
}

void look_at(const FileContext& context, const machine::ProgramPart& program, Report& report) {
    const machine::Reader& reader = context.reader();
    std::set<int> noted;
    std::vector<Stated> stated;
    bool stopped = false;
    std::optional<BlockPlace> called_behind_stop; ///< The first tool
    for (std::optional<BlockPlace> at = program.first; at && *at <= program.last;
         at = reader.neighbour(*at, true))
        for (const syntax::Item& item : reader.items(*at)) {
            if (item.kind == syntax::ItemKind::note) add_datums(reader.line(*at).text_of(item), noted);
            if (item.kind != syntax::ItemKind::word) continue;
            if (item.letter == 'M' && item.value == 0) stopped = true;
            if (item.letter == 'T' && stopped && !stated.empty() && !called_behind_stop)
                called_behind_stop = *at;
            const bool is_datum =
                item.letter == 'G' && item.value >= first_datum && item.value < last_datum + 1;
            if (!is_datum) continue;
            if (item.value != std::floor(item.value)) return; // G54.1 P
            stated.push_back({*at, &item, machine::whole_number(item.value), stopped && !stated.empty()});
            stopped = false;
        }
    if (noted.size() == 2 && stated.size() == 1 && noted.contains(stated[0].number) && called_behind_stop &&
        turned_round_above(reader, *called_behind_stop, program.first).counts(true)) {
        const int other = *noted.begin() == stated[0].number ? *noted.rbegin() : *noted.begin();
        report.at(*called_behind_stop)
            .message(said("G{0} is in force already, and the notes speak of G{1}, too, which nothing states: "
                          "behind the stop the part would be cut by the datum of its first side. Write G{1}.",
                          stated[0].number, other));
        return;
    }
    if (look_for_unused(noted, stated, report)) return;
    if (noted.empty() && stated.size() == 2 && stated[1].behind_stop &&
        stated[0].number == stated[1].number &&
        turned_round_above(reader, stated[1].place, program.first).counts(true)) {
        report.at(stated[1].place, *stated[1].item)
            .severity(Severity::information)
            .message(said(
                "G{0} is in force already, and the part has been turned round at the stop: as it stands the "
                "second side is cut by the datum of the first. Is another one meant, such as G{1}?",
                stated[0].number, stated[0].number == last_datum ? first_datum : stated[0].number + 1));
        return;
    }
    if (noted.empty() || noted.size() > 2 || stated.size() < 2 || !stated[1].behind_stop) return;
    // Before the end some go back to the first one.
    if (std::any_of(stated.begin(), stated.end(),
                    [&](const Stated& one) { return one.number != stated[0].number; }))
        return;
    // A note at the stop may name the second one alone.
    if (noted.size() == 2 && !noted.contains(stated[0].number)) return;
    const int other = *noted.begin() == stated[0].number ? *noted.rbegin() : *noted.begin();
    if (other == stated[0].number) return;
    report.at(stated[1].place, *stated[1].item)
        .message(said("G{0} is in force already, and the notes speak of G{1}, too, which nothing states: "
                      "behind the stop the part would be cut by the datum of its first side. Write G{1}.",
                      stated[0].number, other));
}

bool names_second_side(std::string_view text) {
    const std::string upper = text::in_capitals(text);
    for (std::string_view word :
         {"SECOND", "BACK", "SUB", "REAR", "2ND", "COUNTER", "RUECKSEITE", "MIRRORED", "SPINDLE 2", "S2 "})
        if (upper.find(word) != std::string::npos) return true;
    return false;
}

/// Each datum of a note with what is said of it: "G54 Z0 = FRONT FACE. G55 Z0 = BACK FACE IN SUB". What
/// stands at a place of another one, "AT Z0 OF G54", gives no side its datum.
void sort_datums(std::string_view note, std::set<int>& of_second, std::set<int>& others) {
    constexpr std::size_t near = 14; // "SECOND SIDE: G55"
    for (std::size_t at = 0; at + 2 < note.size(); ++at) {
        std::set<int> named;
        add_datums(note.substr(at, std::min<std::size_t>(4, note.size() - at)), named);
        const bool begins = text::upper(note[at]) == 'G' && (at == 0 || !text::is_letter(note[at - 1]));
        if (!begins || named.empty()) continue;
        std::size_t end = at + 3;
        while (end < note.size() && note.substr(end, 2) != ". " && note.substr(end, 2) != "G5") ++end;
        const std::string_view before = note.substr(at > near ? at - near : 0, std::min(at, near));
        const bool is_place = before.ends_with("OF ") || before.ends_with("IN ");
        const bool second = names_second_side(note.substr(at, end - at)) ||
                            (names_second_side(before) && before.find('.') == std::string_view::npos &&
                             before.find(',') == std::string_view::npos);
        (!is_place && second ? of_second : others).insert(*named.begin());
    }
}

/// The datum that the notes of the head give the second side stands in no block: where the first tool for
/// that side is called.
void look_at_taking_over(const FileContext& context, std::span<const ToolOfSpan> program,
                         const std::vector<MachineCode>& codes, Report& report) {
    const machine::Reader& reader = context.reader();
    std::set<int> of_second, others, stated;
    // All above the first tool: where no block stands in front of the first sequence they lie within it.
    BlockPlace last = program.front().span->last;
    for (const ToolOfSpan& tool : program) {
        const auto calls = std::find_if(tool.work->acts.begin(), tool.work->acts.end(),
                                        [](const Act& act) { return act.calls_tool; });
        if (calls == tool.work->acts.end()) continue;
        last = std::max(last, tool.place(*calls));
        break;
    }
    for (const NoteAt& note : notes_between(reader, program.front().span->program->first, last))
        sort_datums(note.text, of_second, others);
    if (of_second.size() != 1 || others.contains(*of_second.begin())) return;
    const int wanted = *of_second.begin();
    const ToolOfSpan* closing = nullptr;
    const Act *call = nullptr, *cuts = nullptr, *again = nullptr;
    const ToolOfSpan *called = nullptr, *stating = nullptr;
    bool slide_seen = false;
    bool away = true; ///< Its slide has gone home with the part; or there is none
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.deleted || !tool.work->whole) return;
            if (act.states(Group::datum)) {
                const auto possible = reader.after(tool.place(act)).of(Group::datum).possible;
                for (int i = 0; i <= last_datum - first_datum; ++i)
                    if (possible >> i & 1) stated.insert(first_datum + i);
            }
            for (const ActWord& word : tool.work->words_of(act))
                if (const MachineCode* code = told_code(word, codes);
                    code && code->does == MachineCode::Does::second_close && !closing) {
                    closing = &tool;
                    away = !slide_seen;
                }
            slide_seen = slide_seen || slide_word(*tool.work, act);
            // The last one called before it cuts there.
            if (closing && &tool != closing && act.calls_tool && !cuts)
                call = &act, called = &tool, again = nullptr;
            // Parted off with the second spindle turning: the part is not there yet.
            if (const ActWord* slide = closing ? slide_word(*tool.work, act) : nullptr)
                away = slide->number == 0 || is_return(act.motion) || act.motion == MotionKind::rapid ||
                       (!act.gives_feed && !act.incremental); // Wherever its home is, it goes there at rapid
            if (closing && !cuts && act.states(Group::datum)) again = &act, stating = &tool;
            if (call && away && !cuts && act.cuts() && act.spindle == machine::Spindle::second) cuts = &act;
        }
    if (!call || !cuts || stated.size() != 1 || stated.contains(wanted)) return;
    report.at(again ? stating->place(*again) : called->place(*call))
        .message(said("The notes give the second side G{0}, and no block states it: this tool goes to the "
                      "second side by G{1}, the datum of the first one, and the turret comes to the first "
                      "spindle or beside the part. Write G{0} before it.",
                      wanted, *stated.begin()));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    if (code_that(codes, MachineCode::Does::second_close)) {
        const auto tools = tools_of(context);
        for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
            look_at_taking_over(context, program, codes, report);
        });
    }
    for (const machine::ProgramPart& program : context.outline().programs) look_at(context, program, report);
}

} // namespace

extern const Check check{
    .id = "noted_datum_not_stated",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Datum of the notes that nothing states",
    .documentation =
        "Notes give each side of the part its datum (OP 10 G54, OP 20 G55). Behind the program stop that the "
        "part is turned round at, the datum of the first side is stated again, and the other one stands "
        "nowhere: "
        "every Z is off by what the two clampings differ, and the first rapid may end in jaws or part. The "
        "same "
        "where a note gives the side in the second spindle its datum and the part is taken over. Where no "
        "note "
        "speaks of a second one, it is told as information that the first is stated again there and nowhere "
        "else.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(OP 10 IN HARD JAWS G54)
(OP 20 IN SOFT JAWS G55)
G21 G99
G54
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G28 U0 W0
M00 (TURN PART)
G54
;^^ warning: noted_datum_not_stated
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
M30
)"},
            {System::B, R"(
(SIDE 1: G54, SIDE 2: G55)
G20 G90 G95 G55
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.8 F.008
G53 G00 X0
M05
M0
G90 G55
;   ^^^ warning: noted_datum_not_stated
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-.8 F.008
M30
)"},
            // The second spindle's datum, which nothing states.
            {System::A, R"(
(G54 Z0 = FRONT FACE. G55 Z0 = BACK FACE IN SUB, Z PLUS GOES INTO THE PART)
(M303/M305 SUB ON/OFF, M70 SUB COLLET OPEN, M71 SUB COLLET CLOSED)
G21 G99
G54
T0909
G97 S1200 M03
M70
G98 G01 B-638. F600
M71
G99 G01 X0 F.05
G00 G53 B0
T1010
;^^^^ warning: noted_datum_not_stated
G96 S220 M303
G00 X32. Z-3.
Z0
G01 X6. F0.12
M305
G54
M30
)"},
            {System::C, R"(
(G54 MAIN SIDE: Z0 FINISHED FRONT FACE, Z MINUS INTO THE PART)
(G55 SECOND SIDE: Z0 FINISHED BACK FACE, Z PLUS INTO THE PART)
(M203 M205 SECOND SPINDLE, M215 / M216 SECOND CHUCK CLOSE / OPEN)
G70 G90 G95
G54
T0404
G97 S500 M03
M216
G94 G01 B-.6 F20.
M215
G95 G01 X0 F.003
G53 B0
T0505
G55
G96 S400 M203
G00 Z-.1
X2.5
G01 Z0 F.01
X.8 F.006
M205
G54
M30
)"},
            {System::C, R"(
(OP 10 IN HARD JAWS G54)
(OP 20 IN SOFT JAWS G55)
G71 G90 G95
G54
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
M00 (TURN PART)
G55
T0101
G97 S800 M03
G00 X50. Z2.
M30
)"},
            // One side a program; the datum is stated at each tool.
            {System::A, R"(
(G54 HERE, OP 20 RUNS IN G55)
G21 G99
G54
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G28 U0 W0
G54
T0303
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
M30
)"},
            {System::A, R"(
(ALL IN G54)
G21 G99
G54
T0101
G00 X50. Z2.
M00
G54
T0303
G00 X50. Z2.
M30
)"},
            // The first datum is stated a third time before the end.
            {System::C, R"(
(SIDE 1: HARD JAWS, G54)
(SIDE 2: SOFT JAWS, G55)
G71 G90 G95 G54
T0101
G97 S800 M03
G00 X89. Z0
G01 X-1.6 F0.2
G53 G00 X0
G53 G00 Z0
M05
M00 (TURN PART)
G54 T0101
;^^ warning: noted_datum_not_stated
G97 S800 M03
G00 X89. Z0
G01 X22. F0.2
G53 G00 X0
G53 G00 Z0
G54
M30
)"},
            // A note at the stop that names the second one alone.
            {System::A, R"(
G21 G99 G54
T0101
G97 S900 M03
G00 X84. Z4.
G01 Z0. F0.2
X-1.6
G00 X100. Z100.
M00 (VOLTEAR, G55 EN CARA TRASERA)
G54
;^^ warning: noted_datum_not_stated
T0101
G00 X84. Z4.
G01 Z0. F0.2
X26.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99 G54
T0101
G97 S900 M03
G00 X84. Z4.
G01 Z0. F0.2
X-1.6
G00 X100. Z100.
M00 (VOLTEAR, G54 EN CARA TRASERA)
G54
T0101
G00 X84. Z4.
G01 Z0. F0.2
X26.
G00 X100. Z100.
M30
)"},
            // The block with the second one is lost.
            {System::A, R"(
(COTE 1 EN G54, COTE 2 EN G55)
G21 G99 G54
T0101
G97 S900 M03
G00 X84. Z4.
G01 Z0. F0.2
X-1.6
G00 X100. Z100.
M00 (RETOURNER LA PIECE)
T0101
;^^^^ warning: noted_datum_not_stated
G00 X84. Z4.
G01 Z0. F0.2
X26.
G00 X100. Z100.
M30
)"},
            {System::A, R"(
(COTE 1 EN G54, COTE 2 EN G55)
G21 G99 G54
T0101
G97 S900 M03
G00 X84. Z4.
G01 Z0. F0.2
X-1.6
G00 X100. Z100.
M00 (MESURER)
T0101
G00 X84. Z4.
G01 Z0. F0.2
X-1.6
G00 X100. Z100.
M30
)"},
            // Of three that the notes name.
            {System::B, R"(
(G54 FRONT FACE, G56 THE SAME FACE BEHIND THE PULL, G57 SECOND SIDE)
G21 G90 G95
G54
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F.2
G53 X0
G54
;^^ warning: noted_datum_not_stated
T0101
G00 X50. Z-18.
G01 Z-60. F.2
G53 X0
G57
T0202
G00 X50. Z2.
G01 Z-10. F.2
G53 X0
M30
)"},
            {System::B, R"(
(G54 FRONT FACE, G56 THE SAME FACE BEHIND THE PULL, G57 SECOND SIDE)
G21 G90 G95
G54
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F.2
G53 X0
G56
T0101
G00 X50. Z-18.
G01 Z-60. F.2
G53 X0
G57
T0202
G00 X50. Z2.
G01 Z-10. F.2
G53 X0
M30
)"},
            right_turning_a,
            right_drilling_b,
            // In other words, lost at the second side; stated again where no note gives it one; a bar that is
            // pulled.
            {System::C, R"(
(CARA 1: GARRAS DURAS, CERO G54)
(CARA 2: GARRAS BLANDAS, CERO G55)
G71 G90 G95
G54
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G53 X0
G53 Z0
M00 (DAR LA VUELTA, GARRAS BLANDAS)
N6 (CARA 2)
T0101
;^^^^ warning: noted_datum_not_stated
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
M30
)"},
            {System::B, R"(
G20 G90 G95 G54
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
X2.2
G28 X0 Z0
M05
M00 (TURN END FOR END)
G54
;^^ information: noted_datum_not_stated
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
X2.2
G28 X0 Z0
M05
M30
)"},
            {System::A, R"(
G20 G99 G54
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
G28 U0 W0
M00 (OPEN THE COLLET, PULL THE BAR)
G54
T0101
G97 S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
        },
};

} // namespace turnwright::checks::rules::noted_datum_not_stated

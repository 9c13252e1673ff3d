// The notes give the second side a datum of its own, and behind the stop the first one is stated again.
//
// Common practice, no source.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"
#include "text/letters.h"

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

void look_at(const FileContext& context, const machine::ProgramPart& program, Report& report) {
    const machine::Reader& reader = context.reader();
    std::set<int> noted;
    std::vector<Stated> stated;
    bool stopped = false;
    for (std::optional<BlockPlace> at = program.first; at && *at <= program.last;
         at = reader.neighbour(*at, true))
        for (const syntax::Item& item : reader.items(*at)) {
            if (item.kind == syntax::ItemKind::note) add_datums(reader.line(*at).text_of(item), noted);
            if (item.kind != syntax::ItemKind::word) continue;
            if (item.letter == 'M' && item.value == 0) stopped = true;
            const bool is_datum =
                item.letter == 'G' && item.value >= first_datum && item.value < last_datum + 1;
            if (!is_datum) continue;
            if (item.value != std::floor(item.value)) return; // G54.1 P
            stated.push_back({*at, &item, machine::whole_number(item.value), stopped && !stated.empty()});
            stopped = false;
        }
    if (noted.size() != 2 || stated.size() != 2) return;
    if (stated[0].number != stated[1].number || !stated[1].behind_stop) return;
    if (!noted.contains(stated[0].number)) return;
    const int other = *noted.begin() == stated[0].number ? *noted.rbegin() : *noted.begin();
    report.at(stated[1].place, *stated[1].item)
        .message(said("G{0} is in force already, and the notes speak of G{1}, too, which nothing states: "
                      "behind the stop the part would be cut by the datum of its first side. Write G{1}.",
                      stated[0].number, other));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
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
        "every Z is off by what the two clampings differ, and the first rapid may end in jaws or part.",
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
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::noted_datum_not_stated

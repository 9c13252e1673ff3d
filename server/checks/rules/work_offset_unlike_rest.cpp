// One sequence states another datum than all others of its clamping, or the program another than its notes.
//
// That a part is turned in one datum as long as it is held: common practice, no source.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::work_offset_unlike_rest {

namespace {

constexpr int first_datum = 54, last_datum = 59;
/// Others in its clamping that agree.
constexpr std::size_t enough = 3;

struct Stated {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    int number = 0;
    std::size_t clamping = 0; ///< Program stops before it
};

/// nullopt: a datum that is shifted, taken from a second spindle, or none of G54 to G59.
std::optional<std::vector<Stated>> stated_in(const FileContext& context, std::span<const ToolOfSpan> tools) {
    std::vector<Stated> all;
    std::size_t clamping = 0;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || !tool.work->whole || act.spindle == machine::Spindle::second)
                return std::nullopt;
            clamping += tool.work->has_code(act, 'M', 0);
            if (!act.states(Group::datum)) continue;
            const auto possible = context.reader().after(tool.place(act)).of(Group::datum).possible;
            int number = 0;
            for (int i = 0; i <= last_datum - first_datum; ++i)
                if (possible == 1u << i) number = first_datum + i;
            if (number == 0) return std::nullopt;
            all.push_back({&tool, &act, number, clamping});
        }
    return all;
}

/// "G55" or "G55:" as a word of the notes.
std::set<int> noted_in(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    std::set<int> found;
    for (const NoteAt& note : notes_between(reader, first, last)) {
        const NotedWords words = noted_words(note.text);
        for (std::size_t i = 0; i < words.size(); ++i) {
            const std::string_view word = words.at(i);
            for (int number = first_datum; number <= last_datum; ++number)
                if (word.starts_with("G" + std::to_string(number)) &&
                    (word.size() == 3 || !is_digit(word[3])))
                    found.insert(number);
        }
    }
    return found;
}

Report::Entry at_datum(Report& report, const machine::Reader& reader, const Stated& one) {
    const BlockPlace place = one.tool->place(*one.act);
    for (const syntax::Item& item : reader.items(place))
        if (item.kind == syntax::ItemKind::word && item.letter == 'G' && item.value == one.number)
            return report.at(place, item);
    return report.at(place);
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, Report& report) {
    const auto all = stated_in(context, tools);
    if (!all || all->empty()) return;
    const machine::ProgramPart& program = *tools.front().span->program;
    for (std::size_t begin = 0, end = 0; begin < all->size(); begin = end) {
        while (end < all->size() && (*all)[end].clamping == (*all)[begin].clamping) ++end;
        const std::span<const Stated> held(all->data() + begin, end - begin);
        if (held.size() < 1 + enough) continue;
        const int usual = held[0].number == held[1].number ? held[0].number : held[2].number;
        const Stated* odd = nullptr;
        bool is_alone = true;
        for (const Stated& one : held) {
            if (one.number == usual) continue;
            is_alone = is_alone && !odd;
            odd = &one;
        }
        if (!odd || !is_alone) continue;
        const bool around = odd != &held.front() && odd != &held.back();
        const bool beside_own = std::any_of(held.begin(), held.end(), [&](const Stated& one) {
            return &one != odd && one.tool == odd->tool;
        });
        if (beside_own) continue;
        const bool is_noted =
            noted_in(context.reader(), odd->tool->span->first, odd->tool->span->last).contains(odd->number);
        // The head may give the last of them another place.
        const bool noted_at_all =
            !around && noted_in(context.reader(), program.first, program.last).contains(odd->number);
        if (is_noted || noted_at_all) continue;
        const Stated& other = odd == &held.front() ? held[1] : odd[-1];
        at_datum(report, context.reader(), *odd)
            .message(said("G{} here, and all {} other tools of this clamping state G{}: this one goes to "
                          "another datum, off by what the two differ, and may end in part or jaws at rapid. "
                          "Is G{} meant?",
                          odd->number, held.size() - 1, usual, usual))
            .related(other.tool->place(*other.act), said("as the others do"));
        return;
    }
    // The notes speak of one datum, and the program states another one throughout.
    const std::set<int> noted = noted_in(context.reader(), program.first, program.last);
    if (noted.size() != 1) return;
    const bool other = std::all_of(all->begin(), all->end(), [&](const Stated& one) {
        return one.number == all->front().number && one.number != *noted.begin();
    });
    if (!other) return;
    at_datum(report, context.reader(), all->front())
        .message(said("The notes give the part G{0}, and the program states G{1}: every move goes to another "
                      "datum. Is G{0} meant?",
                      *noted.begin(), all->front().number));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "work_offset_unlike_rest",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Datum unlike that of all other tools",
    .documentation =
        "Every tool of a clamping states its datum, and one alone states another: three others or more "
        "agree. What the two datums differ by, it "
        "goes wrong. So is a program whose notes speak of one datum and that states another. A datum that "
        "the "
        "notes of the sequence name, programs with a second spindle, with calls, and those that shift their "
        "datum are left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G54 G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G28 U0 W0
T0202
G55 G97 S800 M03
;^^ warning: work_offset_unlike_rest
G00 X0 Z5.
G01 Z-20. F0.1
G00 Z5.
G28 U0 W0
T0303
G54 G97 S800 M03
G00 X20. Z2.
G01 Z-18. F0.1
G00 X18. Z5.
G28 U0 W0
T0404
G54 G97 S800 M03
G00 X50. Z-12.
G01 X46. F0.1
G00 X60.
G28 U0 W0
M30
)"},
            {System::B, R"(
(G54 = FINISHED FACE)
G20 G90 G95
T0101
G55 G97 S800 M03
;^^ warning: work_offset_unlike_rest
G00 X2.1 Z.1
G01 Z-1. F.01
X2.2
G00 X5. Z5.
M30
)"},
            // A note gives it another place; the other side; and each tool goes to both parts.
            {System::C, R"(
G71 G90 G95
T0101
G54 G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G00 X100. Z100.
T0202 (DRILL, G55 FOR ITS LENGTH)
G55 G97 S800 M03
G00 X0 Z5.
G01 Z-20. F0.1
G00 Z5.
X100. Z100.
T0303
G54 G97 S800 M03
G00 X20. Z2.
G01 Z-18. F0.1
G00 X18. Z5.
X100. Z100.
T0404
G54 G97 S800 M03
G00 X50. Z-12.
G01 X46. F0.1
G00 X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G54 G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G28 U0 W0
T0202
G54 G97 S800 M03
G00 X0 Z5.
G01 Z-20. F0.1
G00 Z5.
G28 U0 W0
M00 (TURN PART)
T0101
G55 G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G28 U0 W0
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G54 G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
G00 X60. Z90.
G55 X52. Z2.
G01 Z-20. F0.2
G00 X60. Z90.
T0202
G54 G97 S800 M03
G00 X0 Z5.
G01 Z-20. F0.1
G00 Z5.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::work_offset_unlike_rest

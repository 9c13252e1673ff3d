// M03 or M04 beside a note that names the second spindle, which another code starts in this program.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/noted_codes.h"
#include "machine/whole_number.h"

namespace turnwright::checks::rules::spindle_unlike_note {

namespace {

using machine::Spindle;

/// The M code of an act's words that starts the main spindle as every lathe has it; -1: none.
int plain_start(const ToolOfSpan& tool, const Act& act) {
    for (const ActWord& word : tool.work->words_of(act))
        if (word.letter == 'M' && (word.number == 3 || word.number == 4))
            return machine::whole_number(word.number);
    return -1;
}

/// M203, M304: the codes of the first spindle with a digit in front (common practice, no source).
bool is_like_start(int code) {
    return code >= 100 && (code % 100 == 3 || code % 100 == 4);
}
/// Another code that starts the second spindle; -1: none stands in the program.
int second_start(std::span<const ToolOfSpan> program) {
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const bool speaks = act.spindle == Spindle::second && act.turns();
            for (const ActWord& word : tool.work->words_of(act)) {
                if (word.letter != 'M' || word.number < 10) continue;
                const int code = machine::whole_number(word.number);
                if (speaks || (act.gives_speed && is_like_start(code))) return code;
            }
        }
    return -1;
}

/// "BROCHE 2 EN MARCHE", "SUB CW": one thought, of the second spindle alone, that it turns. Words of five
/// languages: common practice, no source.
bool starts_second(std::string_view note) {
    constexpr std::string_view turns[] = {"ON",  "CW", "CCW",    "START",  "FORWARD", "REVERSE",
                                          "EIN", "AN", "MARCHE", "MARCHA", "AVVIO",   "LAUFT"};
    constexpr std::string_view others[] = {",", "1", "MAIN", "BOTH", "HAUPT"};
    const NotedWords words = noted_words(note);
    const auto has_one = [&](std::span<const std::string_view> some) {
        return std::any_of(words.words.begin(), words.words.end(), [&](const std::string& word) {
            return std::find(some.begin(), some.end(), word) != some.end();
        });
    };
    if (!has_one(turns) || has_one(others)) return false;
    // Read as of a builder's code, with the word for its way.
    constexpr int some_code = 203;
    for (const machine::NotedCode& named : machine::codes_named(std::string(note) + " CW", some_code))
        if (named.number == some_code && named.does == codes::Meaning::second_forward) return true;
    return false;
}
bool names_second(const FileContext& context, BlockPlace place) {
    const syntax::Run& line = context.reader().line(place);
    for (const syntax::Item& item : context.reader().items(place))
        if (item.kind == syntax::ItemKind::note && starts_second(syntax::note_text(line.text_of(item))))
            return true;
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    const int other = second_start(program);
    if (other < 0) return;
    struct Start {
        const ToolOfSpan* tool;
        const Act* act;
        int code;
    };
    std::vector<Start> named;
    int plain = 0; // Of the first spindle, as nobody says otherwise
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const int code = plain_start(tool, act);
            if (code < 0 || act.deleted) continue;
            if (names_second(context, tool.place(act)))
                named.push_back({&tool, &act, code});
            else
                ++plain;
        }
    if (named.size() != 1 || plain == 0) return;
    const Start& start = named.front();
    report.at_letter(start.tool->place(*start.act), 'M')
        .message(
            said("The note beside M{:02} names the second spindle, and M{:02} starts the first one: the "
                 "second one, which M{} starts elsewhere in this program, stands, and the tool goes into a "
                 "part that does not turn. Write the second spindle's code.",
                 start.code, start.code, other));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "spindle_unlike_note",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Spindle started unlike its note",
    .documentation =
        "Beside M03 or M04 a note names the second spindle, in a program that starts its second spindle by "
        "another code and its first one by M03 elsewhere: the wrong spindle is started, and the tool goes "
        "into "
        "a part that stands. Words of five languages are read. Nothing is said where no other code of the "
        "second spindle stands in the program, for there M03 may speak to whichever was chosen before.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
G00 X40. Z2.
G01 Z-20. F.2
T0505
G97 S900 M03 (SPINDLE 2 ON)
;        ^^^ warning: spindle_unlike_note
G00 X40. Z-2.
G01 Z12. F.2
T0606
G97 S1100 M203 (SPINDLE 2 ON)
G00 X30. Z-2.
G01 Z9. F.2
M205 (SPINDLE 2 STOP)
M30
)"},
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G20 G90 G95
T0101
G97 S800 M04
G00 X1.6 Z.1
G01 Z-.8 F.008
T0505
G97 S900 M03 (SUB CW)
;        ^^^ warning: spindle_unlike_note
G00 X1.6 Z-.1
G01 Z.5 F.008
T0606
S1100 M303 (SUB CW)
G00 X1.2 Z-.1
G01 Z.4 F.008
M305
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03 (SPINDLE 1 ON)
G00 X40. Z2.
G01 Z-20. F.2
T0606
G97 S1100 M203 (SPINDLE 2 ON)
G00 X30. Z-2.
G01 Z9. F.2
M205 (SPINDLE 2 STOP)
M30
)"},
            // M03 starts whichever spindle was chosen: no other code does.
            {System::B, R"(
G21 G90 G95
T0101
G97 S1000 M03
G00 X40. Z2.
G01 Z-20. F.2
T0505
M290
G97 S900 M03 (SPINDLE 2 ON)
G00 X40. Z-2.
G01 Z12. F.2
M30
)"},
            {System::C, R"(
(M303 SUB CW  M305 SUB STOP)
G71 G90 G95
T0101
G97 S800 M03 (TURN)
G00 X40. Z2.
G01 Z-20. F.2
T0606
S1100 M303 (SUB CW)
G00 X30. Z-2.
G01 Z9. F.2
M305
M30
)"},
        },
};

} // namespace turnwright::checks::rules::spindle_unlike_note

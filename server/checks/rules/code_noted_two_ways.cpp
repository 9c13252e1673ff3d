// A code whose own notes say opposite things: at one of the two places another code is meant.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <map>

namespace turnwright::checks::rules::code_noted_two_ways {

namespace {

using Does = MachineCode::Does;

bool opposite(Does a, Does b) {
    static constexpr std::pair<Does, Does> pairs[] = {
        {Does::clamp_open, Does::clamp_close},
        {Does::second_open, Does::second_close},
        {Does::c_on, Does::c_off},
        {Does::brake_on, Does::brake_off},
        {Does::live_on, Does::live_off},
        {Does::joined, Does::parted},
        {Does::catcher_out, Does::catcher_back},
        {Does::quill_out, Does::quill_back},
    };
    return std::any_of(std::begin(pairs), std::end(pairs), [&](const auto& pair) {
        return (a == pair.first && b == pair.second) || (b == pair.first && a == pair.second);
    });
}

/// A block whose only code is told by the note beside it.
struct Noted {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    MachineCode code;
};

std::vector<Noted> noted_in(const FileContext& context, std::span<const ToolOfSpan> tools) {
    std::vector<Noted> found;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts) {
            const ActWord* only = nullptr;
            int count = 0;
            for (const ActWord& word : tool.work->words_of(act))
                if (word.letter == 'M') only = &word, ++count;
            if (count != 1 || !is_of_builder(*only)) continue;
            const BlockPlace place = tool.place(act);
            const int number = static_cast<int>(only->number);
            for (const syntax::Item& item : context.reader().items(place)) {
                if (item.kind != syntax::ItemKind::note) continue;
                const auto note = syntax::note_text(context.reader().line(place).text_of(item));
                for (MachineCode& code : codes_named(note, number, only->p))
                    if (code.number == number && code.does != Does::other)
                        found.push_back({&tool, &act, std::move(code)});
            }
        }
    return found;
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    bool any = false;
    for (const ToolOfSpan& tool : tools) any = any || tool.work->codes.size() > 1;
    if (!any) return;
    const std::vector<Noted> all = noted_in(context, tools);
    std::map<int, bool> told;
    for (std::size_t i = 0; i < all.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) {
            const Noted &a = all[j], &b = all[i];
            if (a.code.number != b.code.number || !opposite(a.code.does, b.code.does) ||
                std::exchange(told[a.code.number], true))
                continue;
            // Which place is wrong: the one whose sense another code has, too, or the lone one of several.
            const auto votes = [&](Does does) {
                std::ptrdiff_t own = 0, others = 0;
                for (const Noted& one : all) {
                    if (one.code.does != does) continue;
                    ++(one.code.number == a.code.number ? own : others);
                }
                return own - others;
            };
            const bool first_is_wrong = votes(a.code.does) < votes(b.code.does);
            const Noted &wrong = first_is_wrong ? a : b, &right = first_is_wrong ? b : a;
            const auto other = std::find_if(all.begin(), all.end(), [&](const Noted& one) {
                return one.code.does == wrong.code.does && one.code.number != wrong.code.number;
            });
            auto entry = report.at_letter(wrong.tool->place(*wrong.act), 'M');
            if (other != all.end())
                entry.message(said("M{:02} stands here for {}, and elsewhere for {}: it does one of the two. "
                                   "{} is M{:02} elsewhere.",
                                   wrong.code.number, wrong.code.words, right.code.words, wrong.code.words,
                                   other->code.number));
            else
                entry.message(said("M{:02} stands here for {}, and elsewhere for {}: it does one of the two, "
                                   "and the other is not done. Look at the number of both.",
                                   wrong.code.number, wrong.code.words, right.code.words));
            entry.related(right.tool->place(*right.act), said("the other place"));
        }
}

} // namespace

extern const Check check{
    .id = "code_noted_two_ways",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Code noted in two opposite ways",
    .documentation =
        "The note beside an M code says what it is there for, and the note beside the same code elsewhere "
        "says the opposite: a chuck that opens and closes, a spindle that is engaged as C axis and released, "
        "by one number. At one of the two places the number is wrong, and what its note says is not done.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G99
T0505
G97 S1800 M03
M11 (S2 JAWS OPEN)
;^^ warning: code_noted_two_ways
G00 B-19.2
M11 (S2 JAWS CLOSED)
G00 X1.6
M10 (S2 JAWS OPEN)
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
M51 (C AXIS ON)
G00 C90.
M51 (C AXIS OFF)
;^^ warning: code_noted_two_ways
G97 S1800 M03
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
M51 (C AXIS ON)
G00 C90.
M50 (C AXIS OFF)
G97 S1800 M03
M51 (C AXIS ON)
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::code_noted_two_ways

// Characters that are no word, note or statement.
#include "checks/mistyped.h"
#include "checks/rule.h"
#include "language/said.h"
#include "syntax/limits.h"

#include <algorithm>

namespace turnwright::checks::rules::unreadable_text {

namespace {

constexpr std::size_t longest_told = 60;

std::string shown(std::string text) {
    if (text.size() > longest_told) text = text.substr(0, longest_told) + "...";
    const bool printable =
        std::all_of(text.begin(), text.end(), [](unsigned char c) { return c >= 32 && c != 127; });
    return printable ? "\"" + text + "\"" : said("This");
}

/// A note with no parentheses is one mistake, however many letters it has.
void tell(const BlockView& view, Report& report, const LooseText& loose) {
    const std::string text = view.run.text->bytes.substr(loose.begin, loose.end - loose.begin);
    auto told = report.at(view, loose.begin, loose.end - loose.begin);
    told.message(said("{} cannot be read as words: the control alarms here. Put remarks in parentheses.",
                      shown(text)));
    if (loose.has_values || text.find_first_of("()") != text.npos) return;
    told.fix([&] {
        return Fix{said("Put it in parentheses (the control does nothing with it then)"),
                   {{{view.run_index, view.block},
                     loose.begin - view.text.begin,
                     loose.end - view.text.begin,
                     "(" + text + ")"}},
                   true,
                   false};
    });
}

void block(const BlockView& view, Report& report) {
    if (!view.text.has_error) return;
    const auto loose = loose_text_in(view.run, view.text);
    const bool is_rest = view.text.item_count > syntax::most_items_of_block;
    if (loose) tell(view, report, *loose);
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::unknown || is_mistyped(view.run, view.text, item)) continue;
        if (is_rest && &item == &view.run.items_of(view.text).back()) {
            report.at(view, item)
                .message(said("More than {} words and notes in one block: what follows is not read here, "
                              "and no control holds it. Split the block.",
                              syntax::most_items_of_block));
            continue;
        }
        if (!loose)
            report.at(view, item)
                .message(said("{} cannot be read as a word: the control alarms here. Put remarks "
                              "in parentheses.",
                              shown(std::string(text_of(view, item)))));
    }
}

} // namespace

extern const Check check{
    .id = "unreadable_text",
    .family = Family::words,
    .severity = Severity::error,
    .title = "Text the control cannot read",
    .documentation =
        "The block holds something that is no word of a letter and a number, no note and no "
        "statement: a stray character, a closing parenthesis without an opening one, a value without "
        "a letter. The control alarms at this block or drops it. A remark belongs in parentheses; one that "
        "stands in none is told once.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
G00 X50. Z2. ?
;            ^ error: unreadable_text
M30
)"},
            {System::B, R"(
G20 T0101
X1.) Z2.
;  ^ error: unreadable_text
M30
)"},
            {System::C, R"(
G71 = 5
;   ^^^ error: unreadable_text
M30
)"},
            {System::A, R"(
G21 G99
VALVE BODY, REV. B - 2 TOOLS
;^^^^^^^^^^^^^^^^^^^^^^^^^^^^ error: unreadable_text
N10 ROUGH TOOL & MOVE
;   ^^^^^^^^^^^^^^^^^ error: unreadable_text
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unreadable_text

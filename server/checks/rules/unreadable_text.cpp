// Characters that are no word, note or statement.
#include "checks/mistyped.h"
#include "checks/rule.h"
#include "syntax/limits.h"

#include <algorithm>

namespace turnwright::checks::rules::unreadable_text {

namespace {

constexpr std::size_t longest_told = 60;

void block(const BlockView& view, Report& report) {
    if (!view.text.has_error) return;
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::unknown || is_mistyped(view.run, view.text, item)) continue;
        const bool is_rest = view.text.item_count > syntax::most_items_of_block;
        if (is_rest && &item == &view.run.items_of(view.text).back()) {
            report.at(view, item)
                .message(
                    fmt::format("More than {} words and notes in one block: what follows is not read here, "
                                "and no control holds it. Split the block.",
                                syntax::most_items_of_block));
            continue;
        }
        std::string text = text_of(view, item);
        if (text.size() > longest_told) text = text.substr(0, longest_told) + "...";
        bool printable =
            std::all_of(text.begin(), text.end(), [](unsigned char c) { return c >= 32 && c != 127; });
        report.at(view, item)
            .message(fmt::format("{} cannot be read as a word: the control alarms here. Put remarks "
                                 "in parentheses.",
                                 printable ? "\"" + text + "\"" : std::string("This")));
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
        "a letter. The control alarms at this block or drops it. A remark belongs in parentheses.",
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unreadable_text

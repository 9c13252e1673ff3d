// A number that begins with a nought before another digit, where the others do not: two digits changed
// places.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cctype>

namespace turnwright::checks::rules::zero_in_front {

namespace {

/// Numbers of one digit before the point that stand without a nought: this hand writes none.
constexpr std::size_t enough = 3;

/// How a number is written before its point; notes and values without a point are left alone.
struct Written {
    std::size_t digits = 0; ///< Before the point, the sign not among them
    bool nought_first = false;
};
Written written_as(std::string_view text) {
    Written out;
    const std::size_t first = text.find_first_of("0123456789");
    if (first == std::string_view::npos) return out;
    std::size_t end = first;
    while (end < text.size() && std::isdigit(static_cast<unsigned char>(text[end]))) ++end;
    if (end == text.size() || text[end] != '.') return out;
    out.digits = end - first;
    out.nought_first = text[first] == '0';
    return out;
}
/// "Z-30." of "Z-03."
std::string swapped(std::string text) {
    const std::size_t first = text.find('0');
    std::swap(text[first], text[first + 1]);
    return text;
}

struct Found {
    BlockPlace place;
    char letter = 0;
    std::string text;
    std::size_t count = 0, without = 0;
};

void look_at_block(const FileContext& context, BlockPlace place, Found& found) {
    const syntax::Run& run = context.reader().line(place);
    for (const syntax::Item& item : run.items_of(run.blocks[place.block])) {
        if (item.kind != syntax::ItemKind::word || !item.has_point) continue;
        if (std::string_view("XZUWIKR").find(item.letter) == std::string_view::npos) continue;
        const std::string_view text = run.text_of(item);
        const Written number = written_as(text);
        if (number.digits == 1 && !number.nought_first) ++found.without;
        if (number.digits != 2 || !number.nought_first) continue;
        if (found.count++ > 0) continue;
        found.place = place;
        found.letter = item.letter;
        found.text = std::string(text);
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    Found found;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (std::size_t block = 0; block < context.reader().line({run, 0}).blocks.size(); ++block)
            look_at_block(context, {run, block}, found);
    if (found.count != 1 || found.without < enough) return;
    report.at_letter(found.place, found.letter)
        .message(said("{} begins with a nought, and no other number here does: two digits changed "
                      "places, perhaps. Is {} meant?",
                      found.text, swapped(found.text)));
}

} // namespace

extern const Check check{
    .id = "zero_in_front",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Number that begins with a nought, alone among others",
    .documentation =
        "One length of the file is written with a nought before its other digit (Z-03.), and numbers of one "
        "digit stand without one everywhere else: 30 became 03 when it was typed. The tool goes to the wrong "
        "place by the difference. Write the number that is meant; files that write noughts in front of "
        "several numbers are let pass.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z2.
G01 X44. Z-1. F.2
Z-03.
;^^^^ warning: zero_in_front
X52.
G00 Z5.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S800 M03
G00 X40. Z-32.
G01 X24. F.08
G00 X40.
Z-02.
;^^^^ warning: zero_in_front
G01 X24.
G00 X50.
Z5.
X60. Z8.
Z9.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X2.1 Z0.1
G01 X1.9 Z-0.05 F.01
Z-01.5
X2.1
G00 X03. Z04.
X5. Z6.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X052.00 Z002.00
G01 X044.00 Z-001.00 F.2
Z-030.00
X052.00
G00 Z005.00
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G01 X40. Z-0.5 F0.2
Z-30.
(Z-03. IS WRONG)
X50.
G00 Z5.
X60. Z8.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::zero_in_front

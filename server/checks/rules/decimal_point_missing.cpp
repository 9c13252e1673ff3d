// A length or feed without a decimal point.
//
// Most controls read it in least increments: X52 is 0.052 mm.
#include "checks/mistyped.h"
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::decimal_point_missing {

namespace {

bool matters(const machine::Word& word, const BlockView& view) {
    if (word.quantity == Quantity::feed) // Whole numbers by the minute are common practice.
        return !view.after.may_be(Meaning::feed_per_minute);
    return codes::is_length(word.quantity) || word.quantity == Quantity::lead;
}

/// R of the first line of a two-line thread cycle, beside Q and P in increments: no allowance of the last
/// pass is so large in whole units, and so many increments are a usual one (common practice, no source).
bool is_finishing_allowance(const BlockView& view, const machine::Word& word) {
    if (word.letter != 'R' || view.reading.motion_meaning != Meaning::thread_cycle) return false;
    if (std::any_of(view.reading.words.begin(), view.reading.words.end(), [](const machine::Word& other) {
            return other.letter == 'X' || other.letter == 'Z' || other.letter == 'U' || other.letter == 'W';
        }))
        return false;
    const bool inch = view.after.is(Meaning::inch);
    const double mm =
        word.item->value * (inch ? view.settings.machine.least_increment_inch * motion::mm_per_inch
                                 : view.settings.machine.least_increment_mm);
    return word.item->value * (inch ? motion::mm_per_inch : 1.0) > 2 && mm >= 0.005 && mm <= 0.2;
}

/// What a feed was meant to be its digits tell: F008 is .008, F2 may be 0.2, and F800 is one by the minute.
void report_feed(const BlockView& view, Report& report, const machine::Word& word, const std::string& text,
                 const std::string& small) {
    const syntax::Item& item = *word.item;
    const std::string digits = text.substr(1);
    const double largest = view.after.is(Meaning::inch) ? 0.12 : 3;
    auto entry = report.at(view, item);
    if (digits.size() > 1 && digits.front() == '0') {
        const std::string meant = text.substr(0, 1) + "." + digits;
        entry.message(said("{} has no decimal point: most controls read it as {} a turn. Write {}, if that "
                           "is meant.",
                           text, small, meant));
        return;
    }
    if (item.value > largest) {
        entry.message(said("{} has no decimal point: most controls read it as {} a turn, and no tool takes "
                           "{} a turn. Write the feed a turn with its point, or {} for a feed by the "
                           "minute.",
                           text, small, spoken(item.value), code(view, Meaning::feed_per_minute)));
        return;
    }
    entry.message(said("{} has no decimal point: most controls read it as {} a turn. Write the feed with "
                       "its point.",
                       text, small));
}

void block(const BlockView& view, Report& report) {
    shop::NoPoint reading = view.settings.machine.no_point;
    if (reading == shop::NoPoint::whole_units) return;
    const machine::Assumptions& assumed = view.settings.assumed;
    if (assumed.no_point != shop::NoPoint::unknown && !assumed.few_without_point) return; // A habit, no slip
    for (const machine::Word& word : view.reading.words) {
        const syntax::Item& item = *word.item;
        if (item.kind != syntax::ItemKind::word || item.has_point || item.value == 0 || item.odd_number)
            continue;
        if (!matters(word, view) || is_mistyped(view.run, view.text, item)) continue;
        // Pecks and thread depths are counted in increments by custom, whatever the control would accept.
        if (word.letter == 'Q' || word.letter == 'D' || word.letter == 'P') continue;
        if (is_finishing_allowance(view, word)) continue;
        double mm = item.value * view.settings.machine.least_increment_mm;
        double inch = item.value * view.settings.machine.least_increment_inch;
        std::string small = view.after.is(Meaning::millimetre) ? spoken(mm) + " mm"
                            : view.after.is(Meaning::inch)
                                ? spoken(inch) + " in"
                                : spoken(mm) + said(" mm or ") + spoken(inch) + " in";
        std::string text = text_of(view, item);
        if (word.quantity == Quantity::feed) {
            report_feed(view, report, word, text, small);
            continue;
        }
        std::string_view sure = reading == shop::NoPoint::least_increments ? said("this control reads it as")
                                                                           : said("most controls read it as");
        report.at(view, item)
            .message(said("{} has no decimal point: {} {}. Write {} for {}.", text, sure, small, text + ".",
                          spoken(item.value)))
            .fix([&] {
                return Fix{said("Write {}. ({} instead of {})", text, spoken(item.value), small),
                           {insert_after(view, item, ".")},
                           true,
                           false};
            });
    }
}

/// A program written in increments throughout is no slip.
bool applies(const Habits& habits) {
    return habits.with_point * 2 >= habits.without_point;
}

} // namespace

extern const Check check{
    .id = "decimal_point_missing",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Length or feed without a decimal point",
    .documentation =
        "A number without a decimal point is read in least increments by most controls: X52 is 0.052 mm (or "
        "0.0052 in), and the tool drives to the centre. Write the point: X52. Zero needs none, nor do words "
        "that "
        "are counted in increments by rule (D, Q of a peck). Feeds by the minute in whole numbers are common "
        "practice and stay quiet. A shop file that says `no_point = \"whole units\"` ends this warning, and "
        "a "
        "program that writes most lengths without a point is taken to mean increments.",
    .block = block,
    .examples =
        {
            // The first line of a thread cycle counts in increments throughout.
            {System::A, R"(
G21 G99
T0707
G97 S500 M03
G00 X56. Z8.
G76 P020060 Q80 R30
G76 X60. Z-36. P1083 Q280 F2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1200 M03
G00 X52 Z1.
;   ^^^ warning: decimal_point_missing
G01 Z-30. F0.2
X54. Z-31.
G00 U4. W2.
G00 X60. Z10.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S700 M03
G00 X2.1 Z.1
G01 Z-1 F.01
;   ^^^ warning: decimal_point_missing
X2.2
G00 X3. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S700 M03
G00 X40. Z1.
G01 Z-10. F1
;         ^^ warning: decimal_point_missing
G02 X44. Z-12. R2
;              ^^ warning: decimal_point_missing
G00 X80. Z20.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1200 M03
G00 X52. Z1.
G71 U2. R1
;       ^^ warning: decimal_point_missing
G71 P10 Q20 U0.4 W0.1 F0.3
N10 G00 X20.
G01 Z-20.
N20 X52.
G00 X60. Z10.
M30
)"},
            // Points written in every manner, zeros, increments by rule, whole feeds by the minute.
            {System::A, R"(
G20 G99
T0202
G97 S900 M03
G00 X0 Z.5
Z0
X-.0625
Z1.
G83 Z-1. Q2500 F.006
G80
G04 P300
M30
)"},
            {System::A, R"(
G21 G98
T1010
G00 X0. Z5.
G01 Z-40. F500
G76 P010060 Q50 R0.02
G76 X22.16 Z-23. P920 Q250 F1.5
M30
)"},
            {System::B, R"(
G20 G90 G94
T0101
G01 X1. Z-1. F10.
G74 R.02
G74 Z-1.5 Q2500 F.5
M30
)"},
            // A whole program in increments.
            {System::C, R"(
G71 G90 G95
T0101
G97 S700 M03
G00 X40000 Z1000
G01 Z-10000 F200
X44000
G00 X80000 Z20000
M30
)"},
            {System::A, R"(
G21 G99 T0101
G97 S1200 M03
G00 X52 Z1.
G01 Z-30. F0.2
X54. Z-31.
M30
)",
             "[[machine]]\nno_point = \"whole units\"\n"},
        },
    .applies = applies,
};

} // namespace turnwright::checks::rules::decimal_point_missing

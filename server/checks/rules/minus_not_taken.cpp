// A minus at a word that has no sign: a retract, a peck, a dwell, a speed.
//
// That these are taken as lengths, times and counts without a sign: common practice, no source.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::minus_not_taken {

namespace {

bool has_no_sign(const machine::Reading& reading, const machine::Word& word) {
    switch (word.quantity) {
    case Quantity::length_units:
        // Of the lines that cut a thread another rule tells it.
        return reading.motion != MotionKind::thread_cycle || reading.sets_up_cycle;
    case Quantity::milliseconds:
    case Quantity::seconds:
    case Quantity::packed:
    case Quantity::speed:
    case Quantity::speed_rpm:
        return true;
    case Quantity::length:
    case Quantity::count:
        return word.letter == 'R' && reading.sets_up_cycle;
    default:
        return false;
    }
}

std::string what_happens(const machine::Word& word) {
    switch (word.quantity) {
    case Quantity::speed:
    case Quantity::speed_rpm:
        return said("the control alarms, or the spindle turns the other way round.");
    case Quantity::seconds:
    case Quantity::milliseconds:
        return said("the control alarms, or does not wait at all.");
    case Quantity::count:
        return said("the control alarms, or cuts all at once.");
    case Quantity::packed:
        return said("the control alarms.");
    default:
        break;
    }
    return word.letter == 'R' ? said("the control alarms, or the tool goes back into the cut in place of "
                                     "out of it.")
                              : said("the control alarms, or takes steps the wrong way.");
}

void block(const BlockView& view, Report& report) {
    for (const machine::Word& word : view.reading.words) {
        if (word.implied || word.after_comma || word.item->kind != syntax::ItemKind::word) continue;
        if (word.letter == 'G' || word.letter == 'M' || !word.value.known() || word.value.number >= 0)
            continue;
        if (!has_no_sign(view.reading, word)) continue;
        std::string without = text_of(view, *word.item);
        std::erase(without, '-');
        report.at(view, *word.item)
            .message(said("{} has a minus, and {} has no sign here: {} Write {}.", text_of(view, *word.item),
                          word.letter, what_happens(word), without));
    }
}

} // namespace

extern const Check check{
    .id = "minus_not_taken",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Minus at a word that has no sign",
    .documentation =
        "The retract R in the first line of a cycle, pecks and steps P and Q, the time of a dwell and a "
        "speed "
        "S are plain amounts: a minus there is a slip of the hand. Many controls alarm; others take the "
        "amount as it stands, and the tool goes back into the cut in place of away from it.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G71 U2. R-.5
;      ^^^^ warning: minus_not_taken
G71 P10 Q20 U.4 W.1 F.3
N10 G00 X30.
G01 Z-20. F.1
N20 X50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X0. Z.1
G74 R.05
G74 Z-1. Q-2500 F.006
;        ^^^^^^ warning: minus_not_taken
G00 Z.1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0505
G97 S-800 M03
;   ^^^^^ warning: minus_not_taken
G00 X52. Z-10.
G01 X40. F.08
G04 P-500
;   ^^^^^ warning: minus_not_taken
G00 X52.
M30
)"},
            // A taper, an allowance in a bore and a relief have a sign.
            {System::A, R"(
G21 G99
T0404
G97 S800 M03
G00 X20. Z2.
G71 U1.5 R.5
G71 P10 Q20 U-.4 W.1 F.2
N10 G00 X30.
G01 Z-20. F.1
N20 X20.
G90 X24. Z-10. R-1. F.2
M30
)"},
            {System::B, R"(
G20 G90 G95
T0707
G97 S800 M03
G00 X1.2 Z.3
G76 P020060 Q50 R.001
G76 X.95 Z-.7 R-.03 P560 Q120 F.071429
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G97 S800 M03
G00 X0. Z5.
G83 Z-20. R-3. Q3000 F.1
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::minus_not_taken

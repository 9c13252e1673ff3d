// Blocks behind a jump that nothing jumps to.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::unreachable_blocks {

namespace {

/// The block stands behind one of a loop: this is told, and where.
bool behind_loop(const machine::Reader& reader, BlockPlace place, Report& report) {
    // Notes, blanks, settings of variables, jumps and loops that no way leads to either may stand between.
    constexpr int most_between = 20;
    auto above = reader.neighbour(place, false);
    std::string text;
    for (int i = 0; above && i < most_between; ++i, above = reader.neighbour(*above, false)) {
        text = statement_of(reader, *above);
        if (!text.empty() && reader.before(*above).reachable) break;
    }
    if (!above) return false;
    if (text.starts_with("WHILE")) {
        report.at(*above)
            .severity(Severity::warning)
            .message(
                said("The condition of this loop does not hold the first time it is asked, so the loop is "
                     "never run: what it cuts is not made. Turn the comparison round, or check what it "
                     "begins with."));
        return true;
    }
    if (!text.starts_with("END")) return false;
    report.at(*above)
        .severity(Severity::warning)
        .message(said("This loop never ends, so the control never comes behind it: nothing in it brings its "
                      "condition to an end. Check the step of its counter and the comparison."));
    return true;
}

void file(const FileContext& context, Report& report) {
    for (const Span& span : context.spans()) {
        if (!span.facts->first_unreachable) continue;
        BlockPlace place = span.place(*span.facts->first_unreachable);
        if (behind_loop(context.reader(), place, report)) continue;
        if (is_named_by_jump(context.reader(), place)) continue;
        report.at(place)
            .message(said(
                "No way leads here: the block above jumps away, and nothing jumps to this one. The control "
                "never runs it."))
            .tag(Tag::unnecessary);
    }
}

} // namespace

extern const Check check{
    .id = "unreachable_blocks",
    .family = Family::flow,
    .severity = Severity::hint,
    .title = "Blocks that no way leads to",
    .documentation = "The blocks after an unconditional GOTO carry no N number that anything jumps to: the "
                     "control never runs them. Blocks after the program end are another matter and are not "
                     "reported here.",
    .file = file,
    .examples =
        {
            // The switch of the block delete decides.
            {System::A, R"(
G21 G99 G97 S500 M03
T0101
G00 X50. Z2.
/N10 GOTO60
G01 Z-5. F0.2
G00 X60. Z5.
N60 M30
)"},
            {System::A, R"(
G21
GOTO 100
T0101
;^^^^ hint: unreachable_blocks
G00 X50. Z2.
N100 M30
)"},
            {System::B, R"(
G20
N10 T0101
GOTO 10
G00 X2.
;^^^ hint: unreachable_blocks
M30
)"},
            {System::A, R"(
G21
IF [#500 EQ 1] GOTO 100
T0101
N100 M30
)"},
            {System::A, R"(
G21 G99
#10=0
#12=60.
T0101
WHILE[#10GT#12]DO1
;^^^^^^^^^^^^^^^^^ warning: unreachable_blocks
G00 X50. Z2.
#10=#10+5.
END1
M30
)"},
            // A label in it, which only a jump of its own leads to.
            {System::B, R"(
G21 G90 G95
#1=40.
#2=43.4
T0303
G00 X38. Z2.
WHILE [#1 GT [#2-0.2]] DO1
;^^^^^^^^^^^^^^^^^^^^^^^^^ warning: unreachable_blocks
#1=#1+1.2
IF [#1 LE [#2-0.2]] GOTO 50
#1=#2-0.2
N50 G0 X#1
G1 Z-18.5 F0.2
G0 X[#1-1.]
Z2.
END1
G0 X50.
M30
)"},
            // A loop in it.
            {System::A, R"(
G21 G99
#100=32.
#101=25.
T0606
G00 X36. Z-12.
WHILE[#100LT#101]DO1
;^^^^^^^^^^^^^^^^^^^ warning: unreachable_blocks
#100=#100-.2
IF[#100GE#101]GOTO70
#100=#101
N70 #103=0
WHILE[#103LT2]DO2
G00 Z[-12.+#103*6.]
X#100
G32 Z-116. F12.
G00 X36.
#103=#103+1
END2
END1
M30
)"},
            {System::C, R"(
G71 G90 G95
#1=40.
#2=43.4
T0303
G00 X38. Z2.
WHILE [#1 LT [#2-0.2]] DO1
#1=#1+1.2
IF [#1 LE [#2-0.2]] GOTO 50
#1=#2-0.2
N50 G00 X#1
G01 Z-18.5 F0.2
G00 X[#1-1.]
Z2.
END1
G00 X50.
M30
)"},
            {System::B, R"(
G20
M30
(BEHIND THE END)
G00 X1.
)"},
            {System::C, R"(
G71
GOTO #500
N1 T0101
N2 M30
)"},
            // Values that are right today never lead to the alarm: it is there on purpose.
            {System::A, R"(
#101=24.
#102=13.
IF [#102 GE #101] GOTO 900
G21 T0101
GOTO 999
N900 #3000=1 (VALUES DO NOT FIT)
N999 M30
)"},
            // With block delete on, the jump is not made.
            {System::C, R"(
G71 G90 G95 G97 S500 M03
/GOTO 30
T0303
G00 X0 Z5.
G01 Z-10. F0.1
G00 Z100.
N30 G00 X100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unreachable_blocks

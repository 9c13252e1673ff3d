// What stands beside the text: the state behind a block in a few words, and the sequences with their times.
#include "features/beside.h"
#include "features/open.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::System;
using features::test::Open;
using features::test::shop_of;

namespace {

/// "T03 | 800 rpm | 0.2 mm/rev | mm" behind the cursor's block.
std::string briefly(std::string_view program, System system) {
    const Open open(program, system);
    std::string text;
    for (const StateCell& cell : state_cells(open.document, open.cursor().line))
        text += (text.empty() ? "" : " | ") + cell.brief;
    return text;
}

} // namespace

TEST_CASE("the state beside the text, in three systems, inch and millimetres") {
    CHECK(briefly("G21 G99\nT0303\nG97 S800 M03\nG01 $0Z-5. F0.2\n", System::A) ==
          "T03 | 800 rpm | 0.2 mm/rev | mm");
    CHECK(briefly("G20 G95\nT0303\nG97 S800 M04\nG01 $0Z-.5 F.008\n", System::B) ==
          "T03 | 800 rpm | 0.008 in/rev | in");
    CHECK(briefly("G71 G94\nT0303\nG97 S800 M03\nG01 $0Z-5. F120.\n", System::C) ==
          "T03 | 800 rpm | 120 mm/min | mm");
    // n = 1000 v / (pi D), from the definition of surface speed: 1000 * 200 / (pi * 50) = 1273.2
    CHECK(briefly("G21 G99\nT0101\nG50 S3000\nG96 S200 M03\nG00 X50. Z2.\n$0G01 Z-5. F0.2\n", System::A) ==
          "T01 | 1273 rpm | 0.2 mm/rev | mm");
    CHECK(briefly("G21 G99\nT0101\nG50 S1000\nG96 S200 M03\nG00 X50. Z2.\n$0G01 Z-5. F0.2\n", System::A) ==
          "T01 | 1000 rpm | 0.2 mm/rev | mm");
}

TEST_CASE("what is not known beside the text is said to be not known") {
    CHECK(briefly("$0\n", System::A) ==
          "tool not known | spindle stopped | feed not known | units not known");
    CHECK_THAT(briefly("G21 G99 T0101\nG96 S200 M03\n$0G01 Z-5. F0.2\n", System::A),
               Contains("200 m/min, rpm not known"));
    CHECK_THAT(briefly("G21 G99 T0101\nG97 S#501 M03\n$0G01 Z-5. F#502\n", System::A),
               Contains("rpm not known | feed not known"));
    CHECK_THAT(briefly("G21 G99 T0101\nG97 S500 M03\nM05\n$0G00 Z5.\n", System::A),
               Contains("spindle stopped"));
    const Open open("G21 G99 T0101\nG97 S#501 M03\n$0G01 Z-5. F0.2\n", System::A);
    CHECK_THAT(state_cells(open.document, open.cursor().line)[2].whole, Contains("0.2 mm/rev"));
    const Open behind("G21\nM30\n$0G00 X1.\n", System::A);
    CHECK_THAT(state_cells(behind.document, behind.cursor().line)[0].whole,
               Contains("does not come to this block"));
}

TEST_CASE("what is assumed beside the text is marked") {
    // Feeds of thousandths speak for inch; no code states it.
    const std::string text =
        briefly("T0101\nG97 S800 M03\nG00 X2.125 Z.1\nG01 Z-.5 F.008\n$0X2.25 F.006\nM30\n", System::A);
    CHECK_THAT(text, Contains("0.006 in/rev (assumed)") && Contains("in (assumed)"));
}

TEST_CASE("sequences with their times, also of a program with a loop and a call") {
    const Open open(
        "O1\nG21 G99 G97 S500 M03\nN1 (T01)\nT0101\nG00 X40. Z2.\n#1=3\nWHILE[#1 GT 0]DO1\nG01 Z-5. F0.2\n"
        "G00 Z2.\n#1=#1-1\nEND1\nM01\nN2 (T02)\nT0202\nG00 X20. Z2.\n$0M98 P9\nM30\nO9\nG01 Z-5. F0.2\nM99\n",
        System::A);
    const std::vector<SequenceRow> rows = sequence_rows(open.document, open.cursor().line);
    REQUIRE(rows.size() >= 2);
    CHECK(rows[0].name.starts_with("N1 T0101"));
    CHECK_FALSE(rows[0].holds_line);
    CHECK(rows[1].name.starts_with("N2 T0202"));
    CHECK(rows[1].holds_line);
    // One cut of 7 mm at 0.2 mm a turn and 500 turns a minute is 4.2 s; a loop is counted as one turn.
    CHECK_THAT(rows[0].time, Contains("at least about") && Contains(" s"));
    CHECK(sequence_rows(Open("G21\nM30\n", System::A).document, 0).size() <= 1);
}

// Values and places that a control works out for itself: rounding, functions, levels, repeats, shifts.
#include "machine/program.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace turnwright;
using codes::Meaning;
using codes::System;
using machine::Why;

TEST_CASE("ROUND as the value of a word goes to its least increment") {
    // Common practice, no source: in a word to the increment of its axis, in arithmetic to a whole number.
    CHECK(Program(System::A, "G21 #1=4.98768\nG00 Z[ROUND[#1]]$0").after().z.number == Approx(4.988));
    CHECK(Program(System::A, "G21 #1=4.98768\nG00 ZROUND[#1]$0").after().z.number == Approx(4.988));
    CHECK(Program(System::A, "G20 #1=.498768\nG00 Z[ROUND[#1]]$0").after().z.number == Approx(.4988));
    CHECK(Program(System::A, "G21 #1=4.98768\n#2=ROUND[#1]\nG00 Z#2$0").after().z.is(5));
    CHECK(Program(System::A, "#1=4.98768\nG00 Z[ROUND[#1]]$0").after().z.why == Why::units_unknown);
}

TEST_CASE("TAN has no value at 90 degrees") {
    CHECK(Program(System::A, "#1=TAN[90.]$0").after().variable(1).why == Why::computed);
    CHECK(Program(System::A, "#1=TAN[-270.]$0").after().variable(1).why == Why::computed);
    CHECK(Program(System::A, "#1=TAN[45.]$0").after().variable(1).number == Approx(1));
    CHECK(Program(System::A, "#1=TAN[89.]$0").after().variable(1).number == Approx(57.28996));
}

TEST_CASE("ASIN and the two-value ATAN count their angles in one way") {
    // From memory: one parameter of the control sets both, and as delivered they run from 0 to 360.
    CHECK(Program(System::A, "#1=ASIN[-.5]$0").after().variable(1).number == Approx(330));
    CHECK(Program(System::A, "#1=ASIN[.5]$0").after().variable(1).number == Approx(30));
    CHECK(Program(System::A, "#1=ATAN[-1.]/[2.]$0").after().variable(1).number == Approx(333.43495));
}

TEST_CASE("the angle of a thread in one line is in whole degrees") {
    Program program(System::A, "G21 G99\nG00 X30. Z5.\nG76 X26. Z-20. K1.3 D0400 A60 F2.$0");
    double angle = 0;
    program.analysis.visit(0, [&](const machine::BlockView& view) {
        if (view.reading.has('A')) angle = view.reading.value('A').number;
    });
    CHECK(angle == 60);
}

TEST_CASE("a local datum shifts the axes that it names") {
    auto state = Program(System::A, "G21 G00 X40. Z2.\nG52 Z-20.$0").after();
    CHECK(state.x_radius.is(20));
    CHECK(state.z.why == Why::datum_changed);
}

TEST_CASE("tool words of five digits and more are read in two ways") {
    for (const char* text : {"T01101$0", "T010101$0"}) {
        auto state = Program(System::A, text).after();
        CHECK(!state.tool.known());
        CHECK(!state.offset.known());
    }
}

TEST_CASE("axis words beside a code that no table holds lead to no known place") {
    auto state = Program(System::A, "G21 G00 X40. Z2.\nG187 X20.$0").after();
    CHECK(state.x_radius.why == Why::machine_specific);
    CHECK(state.z.is(2));
    // An M code in front of them may take them for itself; behind them, or beside a G code, they are a move.
    state = Program(System::A, "G21 G00 X40. Z2.\nM137 X20.$0").after();
    CHECK(state.x_radius.why == Why::machine_specific);
    CHECK(state.z.is(2));
    for (const char* text : {"X20. M137", "M137 G00 X20.", "M08 X20."})
        CHECK(Program(System::A, "G21 G00 X40. Z2.\n" + std::string(text) + "$0").after().x_radius.is(10));
    CHECK(Program(System::A, "G21 G00 X40. Z2.\nM137$0").after().x_radius.is(20));
}

TEST_CASE("with the return to the R level the place behind a hole is known") {
    // Common practice, no source: in B and C R is the level itself, or a distance under incremental.
    auto state = Program(System::B, "G21 G90 G95 G00 X0 Z20.\nG99 G83 Z-30. R2. F0.1$0").after();
    CHECK(state.z.is(2));
    state = Program(System::B, "G21 G90 G95 G00 X0 Z20.\nG91 G99 G83 Z-32. R-18. F0.1$0").after();
    CHECK(state.z.is(2));
    state = Program(System::B, "G21 G90 G95 G00 X0 Z20.\nG98 G83 Z-30. R2. F0.1$0").after();
    CHECK(state.z.is(20));
    state = Program(System::C, "G71 G90 G95 G00 X60. Z-10.\nG99 G87 X30. R52. F0.1$0").after();
    CHECK(state.x_radius.is(26));
}

TEST_CASE("a drilling cycle with a distance and a count goes on by it each time") {
    auto state = Program(System::A, "G21 G98 G00 X60. Z-10.\nG87 X30. W-10. R-4. K3 F80.$0").after();
    CHECK(state.x_radius.is(30));
    CHECK(state.z.is(-40));
    CHECK(Program(System::A, "G21 G98 G00 X60. Z-10.\nG87 X30. Z-20. R-4. K3 F80.$0").after().z.is(-20));
}

TEST_CASE("a line by its angle alone waits for the next one") {
    auto state = Program(System::A, "G21 G99 G00 X20. Z2.\nG01 A180. F0.2$0\nX60. Z-40. A120.").after();
    CHECK(state.x_radius.why == Why::next_line);
    CHECK(Program(System::A, "G21 G99 G00 X20. Z2.\nG01 A180. F0.2\nX60. Z-40. A120.$0").after().z.is(-40));
}

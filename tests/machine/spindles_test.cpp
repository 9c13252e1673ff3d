// Which spindle S, M03, G96 and a limit speak to. By codes whose sense is told, or by P: common practice, no
// source.
#include "machine/assumptions.h"
#include "machine/noted_codes.h"
#include "machine/program.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using codes::Group;
using codes::Meaning;
using codes::System;
using machine::Spindle;

namespace {

shop::Machine lathe_with_spindles() {
    const shop::Shop shop = shop::parse_shop(R"(
[[machine]]
[machine.m_codes]
M51 = { does = "C axis on" }
M50 = { does = "C axis off" }
M57 = { does = "second C axis on" }
M13 = { does = "live tool on" }
M14 = { does = "live tool reverse" }
M15 = { does = "live tool off" }
M103 = { does = "second forward" }
M105 = { does = "second stop" }
M34 = { does = "spindles together" }
M35 = { does = "spindles apart" }
M90 = { does = "choose second spindle" }
M91 = { does = "choose main spindle" }
)",
                                             "t");
    CHECK(shop.problems.empty());
    return shop.machines.front();
}

machine::State behind(const std::string& text, System system = System::A) {
    return Program(system, text + "$0", lathe_with_spindles()).after();
}

} // namespace

TEST_CASE("a lathe with one spindle keeps nothing beside it") {
    const machine::State state = behind("G50 S2000\nG96 S180 M03\nG97 S900 M04\nM05");
    CHECK(state.spoken_to() == Spindle::main);
    CHECK(state.of(Group::spoken_to).surely_unset());
    CHECK_FALSE(state.spindles);
}

TEST_CASE("with C engaged S speaks to the live tool, behind it to the main spindle again") {
    for (const System system : {System::A, System::B, System::C}) {
        machine::State state = behind("G96 S180 M03\nM05\nM51\nG97 S1800 M13", system);
        CHECK(state.spoken_to() == Spindle::live);
        CHECK(state.speed.is(1800));
        CHECK(state.is(Meaning::constant_rpm));
        CHECK(state.is(Meaning::spindle_forward));
        CHECK(state.spindle(Spindle::main).speed.is(180));
        CHECK(state.spindle(Spindle::main).mode.is(Meaning::surface_speed));
        CHECK(state.part_stands());
        state = behind("G96 S180 M03\nM05\nM51\nG97 S1800 M13\nM15\nM50", system);
        CHECK(state.spoken_to() == Spindle::main);
        CHECK(state.speed.is(180));
        // G97 in between may have been for all of them: controls differ.
        CHECK(state.of(codes::Group::spindle_mode).why == machine::Why::machine_specific);
        CHECK_FALSE(state.of(codes::Group::spindle_mode).known());
        CHECK(behind("G96 S180 M03\nM05\nM51\nS1800 M13\nM15\nM50", system).is(Meaning::surface_speed));
        CHECK(behind("G97 S900 M03\nM05\nM51\nG97 S1800 M13\nM15\nM50", system).is(Meaning::constant_rpm));
        CHECK(state.is(Meaning::spindle_stop));
        CHECK(state.spindle(Spindle::live).direction.is(Meaning::spindle_stop));
    }
}

TEST_CASE("stopped between two tools the live tool is still spoken to") {
    const machine::State state = behind("M51\nG97 S1800 M13\nM15\nS400");
    CHECK(state.spoken_to() == Spindle::live);
    CHECK(state.speed.is(400));
    CHECK(state.is(Meaning::spindle_stop));
}

TEST_CASE("a live tool without C is spoken to until it stops") {
    CHECK(behind("G97 S900 M03\nM05\nS1200 M14").is(Meaning::spindle_reverse));
    CHECK(behind("G97 S900 M03\nM05\nS1200 M14").speed.is(1200));
    CHECK(behind("G97 S900 M03\nM05\nS1200 M14\nM15").speed.is(900));
}

TEST_CASE("P beside M03 names the spindle") {
    machine::State state = behind("G97 S900 M03 P1\nG50 S2500\nG96 S200 M03 P2");
    CHECK(state.spoken_to() == Spindle::second);
    CHECK(state.speed.is(200));
    CHECK(state.speed_limit.is(2500)); // Written right above it
    CHECK(state.spindle(Spindle::main).speed.is(900));
    CHECK(state.spindle(Spindle::main).direction.is(Meaning::spindle_forward));
    state = behind("G97 S900 M03 P1\nG96 S200 M03 P2\nM05 P1");
    CHECK(state.spoken_to() == Spindle::second);
    CHECK(state.is(Meaning::spindle_forward));
    CHECK(state.spindle(Spindle::main).direction.is(Meaning::spindle_stop));
    CHECK(behind("G97 S900 M03 P1\nG96 S200 M03 P2\nG97 S700 M03 P1").speed.is(700));
    // Counted otherwise: nothing is known of any of them.
    state = behind("G97 S900 M03\nG97 S200 M03 P11");
    CHECK_FALSE(state.spoken_to());
    CHECK(state.spindle(Spindle::main).direction.why == machine::Why::machine_specific);
    // P of a dwell or of a call is none.
    CHECK(behind("G97 S900 M03\nG04 P2 M03").spoken_to() == Spindle::main);
}

TEST_CASE("codes for the second spindle") {
    CHECK(behind("G97 S900 M03\nS700 M103").spindle(Spindle::second).speed.is(700));
    CHECK(behind("G97 S900 M03\nS700 M103").spindle(Spindle::main).speed.is(900));
    CHECK(behind("G97 S900 M03\nS700 M103\nM105")
              .spindle(Spindle::main)
              .direction.is(Meaning::spindle_forward));
    CHECK(behind("G97 S900 M03\nM90\nS700").spoken_to() == Spindle::second);
    CHECK(behind("G97 S900 M03\nM90\nS700\nM91").speed.is(900));
    CHECK(behind("M57\nG97 S2500 M13").spindle(Spindle::second).direction.is(Meaning::spindle_stop));
}

TEST_CASE("where the second spindle has codes of its own M05 stops the main one") {
    const shop::Shop shop = shop::parse_shop(R"(
[[machine]]
[machine.m_codes]
M103 = { does = "second forward" }
M105 = { does = "second stop" }
M34 = { does = "spindles together" }
M35 = { does = "spindles apart" }
)",
                                             "t");
    const auto behind_it = [&](const std::string& text) {
        return Program(System::A, text + "$0", shop.machines.front()).after();
    };
    machine::State state = behind_it("G97 S900 M03\nS900 M103\nM34\nM35\nM05");
    CHECK(state.spindle(Spindle::second).direction.is(Meaning::spindle_forward));
    CHECK(state.spindle(Spindle::main).direction.is(Meaning::spindle_stop));
    state = behind_it("G97 S900 M03\nS900 M103\nM105");
    CHECK(state.spindle(Spindle::second).direction.is(Meaning::spindle_stop));
    CHECK(state.spindle(Spindle::main).direction.is(Meaning::spindle_forward));
    // While they turn as one both stop.
    state = behind_it("G97 S900 M03\nS900 M103\nM34\nM05");
    CHECK(state.spindle(Spindle::second).direction.is(Meaning::spindle_stop));
    CHECK(state.spindle(Spindle::main).direction.is(Meaning::spindle_stop));
}

TEST_CASE("joined spindles turn as one, parted the other one is not known") {
    machine::State state = behind("G97 S900 M03\nM34");
    CHECK(state.spindle(Spindle::second).speed.is(900));
    CHECK(state.spindle(Spindle::second).direction.is(Meaning::spindle_forward));
    state = behind("G97 S900 M03\nM34\nS600");
    CHECK(state.spindle(Spindle::second).speed.is(600));
    state = behind("G97 S900 M03\nM34\nM35");
    CHECK(state.speed.is(900));
    CHECK(state.spindle(Spindle::second).direction.why == machine::Why::machine_specific);
}

TEST_CASE("where ways meet that speak to different ones nothing is known") {
    const machine::State state = behind("G97 S900 M03\n/G97 S700 M03 P2\nG00");
    CHECK_FALSE(state.spoken_to());
    CHECK_FALSE(state.speed.known());
    CHECK(state.spindle(Spindle::main).speed.is(900));
}

TEST_CASE("the end of a program stops them all") {
    const machine::State state = behind("M51\nG97 S1800 M13\nM30");
    CHECK(state.spoken_to() == Spindle::main);
    CHECK_FALSE(state.spindles);
    CHECK(state.is(Meaning::spindle_stop));
}

TEST_CASE("notes tell the codes of a lathe with more axes, and none of one with two") {
    const auto noted = [](const std::string& text) {
        const text::Buffer buffer(text);
        const syntax::Forest forest(buffer);
        machine::SignCounts counts;
        for (const auto& run : forest.runs()) counts += machine::signs_in(*run);
        return machine::choose_assumptions(System::A, counts).noted;
    };
    using Noted = std::vector<std::pair<int, Meaning>>;
    CHECK(noted("(M51 C ON  M50 C OFF  M13 LIVE ON)\n") ==
          Noted{{13, Meaning::live_tool_on}, {50, Meaning::c_axis_off}, {51, Meaning::c_axis_on}});
    CHECK(noted("M57 (C ON SUB)\n") == Noted{{57, Meaning::second_c_axis_on}});
    CHECK(noted("(M10 COLLET OPEN, M11 CLOSED)\n(M78 QUILL OUT)\n(M44 CATCHER OUT)\n").empty());
    CHECK(noted("(M51 C ON)\n(M51 LIVE ON)\n").empty()); // Two things
    CHECK(noted("(M03 LIVE ON  M19 C ON)\n").empty());   // Codes of the table
    CHECK(noted("(M13 LIVE ON, M70 CONVEYOR ON)\n") == Noted{{13, Meaning::live_tool_on}});
    CHECK(noted("(M61 S AND M03-M05 GO TO MAIN SPINDLE)\n") == Noted{{61, Meaning::main_spoken_to}});
    CHECK(noted("(M01 SPINDLE WORDS GO TO SPINDLE 1)\n").empty()); // Of the table
    CHECK(noted("(M23/M24/M25 = M03/M04/M05 OF SPINDLE 2)\n") ==
          Noted{{23, Meaning::second_forward}, {24, Meaning::second_reverse}, {25, Meaning::second_stop}});
    CHECK(noted("(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)\n") ==
          Noted{{103, Meaning::second_forward}, {105, Meaning::second_stop}});
    // Words of the trade in five languages: common practice, no source.
    CHECK(noted("(M23 AXE C EN SERVICE, M24 AXE C HORS SERVICE)\n") ==
          Noted{{23, Meaning::c_axis_on}, {24, Meaning::c_axis_off}});
    CHECK(noted("M33 (UTENSILE MOTORIZZATO ORARIO)\nM36 (UTENSILE MOTORIZZATO FERMO)\n") ==
          Noted{{33, Meaning::live_tool_on}, {36, Meaning::live_tool_off}});
    CHECK(noted("(M47 FRENO C PUESTO  M48 FRENO C SUELTO)\n") ==
          Noted{{47, Meaning::c_brake_on}, {48, Meaning::c_brake_off}});
    CHECK(noted("(M303 GEGENSPINDEL LAUF / M305 HALT)\n(M206 GEGENSPANNER AUF / M207 ZU)\n") ==
          Noted{{206, Meaning::second_chuck_open},
                {207, Meaning::second_chuck_closed},
                {303, Meaning::second_forward},
                {305, Meaning::second_stop}});
    CHECK(noted("M210 (MANDRIN BROCHE 2 FERME)\nM203 (BROCHE 2 EN MARCHE)\n") ==
          Noted{{203, Meaning::second_forward}, {210, Meaning::second_chuck_closed}});
    CHECK(noted("M11 (MANDRIN BROCHE 1 OUVERT)\n").empty());
    CHECK(noted("(M77 CLAMP MAIN C  M78 RELEASE MAIN C)\n") ==
          Noted{{77, Meaning::c_brake_on}, {78, Meaning::c_brake_off}});
    CHECK(noted("M80 (SPINDLE TO C AXIS)\nM81 (BACK TO SPINDLE)\n") ==
          Noted{{80, Meaning::c_axis_on}, {81, Meaning::c_axis_off}});
    CHECK(noted("(M31 SPINDLES JOINED IN SPEED  M32 JOINED OFF)\n") ==
          Noted{{31, Meaning::spindles_joined}, {32, Meaning::spindles_parted}});
    // By their place beside an S, on a lathe that sends C to its reference or moves a slide alone.
    CHECK(noted("G28 H0\nG98 G97 S3200 M63\n") == Noted{{63, Meaning::live_tool_on}});
    CHECK(noted("G98 G97 S3200 M63\n").empty());
    CHECK(noted("G00 B-300.\nG96 S200 M303\n") == Noted{{303, Meaning::second_forward}});
    CHECK(noted("G96 S200 M303\n").empty());
    CHECK(noted("G28 H0\nG00 B0\nG98 S900 M63\nG96 S200 M63\n").empty()); // Both
    CHECK(noted("G28 H0\nG98 G97 S400 M29\nG98 G97 S400 M03\n").empty());
    CHECK(noted("G28 H0\nG98 S900 M63 (SUB SPINDLE CW)\n") == Noted{{63, Meaning::second_forward}});
    // What is taken away is forgotten.
    const text::Buffer buffer("(M51 C ON)\n");
    const syntax::Forest forest(buffer);
    machine::SignCounts counts = machine::signs_in(*forest.run(0));
    counts += machine::signs_in(*forest.run(0));
    counts -= machine::signs_in(*forest.run(0));
    CHECK(counts.noted.size() == 1);
    counts -= machine::signs_in(*forest.run(0));
    CHECK(counts.noted.empty());
}

TEST_CASE("C is 0 at its reference point, and a plane of X and C begins at 0") {
    CHECK(behind("M51\nG28 H0").c.is(0));
    CHECK(behind("M51\nG28 C0.", System::B).c.is(0));
    machine::State state = behind("G21 M51\nG28 H0\nG00 X80. C30.\nG12.1\nG01 X36. C0. F120\nC-10.5");
    CHECK(state.c.is(-10.5));
    CHECK(state.x_radius.is(18));
    state = behind("G21 M51\nG28 H0\nG00 X80. C30.\nG12.1\nG01 X30. C20. F120\nG13.1");
    CHECK(state.x_radius.is(25)); // sqrt(15^2 + 20^2)
    CHECK_FALSE(state.c.known());
    CHECK(behind("G21\nG07.1 C38.").cylinder_radius.is(38));
    CHECK_FALSE(behind("G21\nG07.1 C38.\nG07.1 C0.").is_laid_out());
}

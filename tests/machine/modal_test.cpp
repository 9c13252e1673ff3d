#include "machine/program.h"

#include <catch2/catch.hpp>
#include <cmath>

using namespace turnwright;
using codes::Group;
using codes::Meaning;
using codes::System;
using machine::Why;

TEST_CASE("G90 is a turning cycle in system A and absolute in B and C") {
    // Common practice, no source: the three systems of G codes for turning.
    CHECK(Program(System::A, "G90 X40. Z-20. F0.2$0").after().is(Meaning::single_turning));
    CHECK(Program(System::B, "G90$0").after().is(Meaning::absolute));
    CHECK(Program(System::C, "G90$0").after().is(Meaning::absolute));
    CHECK(Program(System::C, "G71$0").after().is(Meaning::millimetre));
    CHECK(Program(System::B, "G21$0").after().is(Meaning::millimetre));
}

TEST_CASE("the feed and the mode it was set under") {
    auto state = Program(System::A, "G21 G99\nG01 X40. Z-5. F0.25$0").after();
    CHECK(state.feed.is(0.25));
    CHECK(state.is(Meaning::feed_per_rev));
    state = Program(System::A, "G21 G99\nG01 X40. Z-5. F0.25\nG98$0").after();
    CHECK(state.feed.why == Why::mode_changed);
    state = Program(System::B, "G21 G95\nG90 G01 X40. Z-5. F0.25$0").after();
    CHECK(state.is(Meaning::feed_per_rev));
    CHECK(state.x_radius.is(20));
    CHECK(state.z.is(-5));
}

TEST_CASE("positions: diameter to radius, increments, machine datum, units") {
    CHECK(Program(System::A, "G00 X40. Z2.\nU-2. W-1.5$0").after().x_radius.is(19));
    CHECK(Program(System::A, "G00 X40. Z2.\nU-2. W-1.5$0").after().z.is(0.5));
    CHECK(Program(System::B, "G91 G00\nX40.$0").after().x_radius.why == Why::never_set);
    CHECK(Program(System::B, "G90 G00 X40. Z0\nG91 X-4.$0").after().x_radius.is(18));
    auto state = Program(System::A, "G00 X40. Z2.\nG53 X0 Z-100.$0").after();
    CHECK(state.x_radius.why == Why::at_reference);
    CHECK(state.machine_x_radius.is(0));
    CHECK(state.machine_z.is(-100));
    state = Program(System::A, "G00 X40. Z2.\nG28 U0 W0$0").after();
    CHECK(state.z.why == Why::at_reference);
    CHECK(state.at_reference_x);
    shop::Machine by_radius;
    by_radius.x = shop::XReading::radius;
    CHECK(Program(System::A, "G00 X40. Z2.$0", by_radius).after().x_radius.is(40));
    // 1 in = 25.4 mm exactly: NBS Circular 572 addendum, 1960 (read).
    CHECK(Program(System::A, "G20 G00 X2. Z1.\nG21$0").after().z.is(25.4));
}

TEST_CASE("a value without its point is not guessed") {
    CHECK(Program(System::A, "G21 G00 X40$0").after().x_radius.why == Why::no_point);
    CHECK(Program(System::A, "G21 G00 Z0$0").after().z.is(0));
    shop::Machine machine;
    machine.no_point = shop::NoPoint::least_increments;
    CHECK(Program(System::A, "G21 G00 Z40$0", machine).after().z.is(0.04));
    CHECK(Program(System::A, "G00 Z40$0", machine).after().z.why == Why::units_unknown);
    machine.no_point = shop::NoPoint::whole_units;
    CHECK(Program(System::A, "G21 G00 X40$0", machine).after().x_radius.is(20));
    CHECK(Program(System::A, "G21 G98 G01 Z-1. F200$0").after().feed.is(200));
    CHECK(Program(System::A, "G21 G99 G01 Z-1. F20$0").after().feed.why == Why::no_point);
}

TEST_CASE("tool words of two, three and four digits") {
    auto check = [](const char* text, double tool, double offset) {
        INFO(text);
        auto state = Program(System::A, std::string(text) + "$0").after();
        CHECK(state.tool.is(tool));
        CHECK(state.offset.is(offset));
    };
    check("T0101", 1, 1);
    check("T101", 1, 1);
    check("T11", 1, 1);
    check("T1212", 12, 12);
    check("T0312", 3, 12);
    check("T0303\nT0300", 3, 0);
    check("T0303\nT0", 3, 0);
    CHECK(Program(System::A, "T5$0").after().offset.surely_unset());
}

TEST_CASE("spindle: limit, surface speed, ends") {
    auto a = Program(System::A, "G50 S2500\nG96 S180 M03$0").after();
    CHECK(a.speed_limit.is(2500));
    CHECK(a.speed.is(180));
    CHECK(a.is(Meaning::surface_speed));
    CHECK(a.is(Meaning::spindle_forward));
    CHECK(Program(System::A, "G50 X200. Z150. S1800$0").after().speed_limit.is(1800));
    CHECK(Program(System::A, "G50 X200. Z150. S1800$0").after().x_radius.is(100));
    auto b = Program(System::B, "G92 S2500\nG96 S180 M03\nG97$0").after();
    CHECK(b.speed_limit.is(2500));
    CHECK(b.speed.why == Why::mode_changed);
    auto ended = Program(System::A, "G97 S500 M03 M08\nM30$0").after();
    CHECK(ended.is(Meaning::spindle_stop));
    CHECK(ended.is(Meaning::coolant_off));
    CHECK(ended.ended);
}

TEST_CASE("contour blocks behind a roughing cycle leave the tool at the cycle's start") {
    auto state =
        Program(System::A, "G21 G99 G00 X62. Z2.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.25\nN10 G00 X20.\n"
                           "G01 Z-30. F0.1\nN20 X60.\nG00 X100.$0")
            .before();
    CHECK(state.x_radius.is(31));
    CHECK(state.z.is(2));
    CHECK(state.feed.is(0.25));
    CHECK(state.is(Meaning::rapid));
}

TEST_CASE("block delete may or may not run") {
    auto state = Program(System::A, "G00 X40. Z2.\n/X50.\nM01$0").before();
    CHECK(state.x_radius.why == Why::joined);
    CHECK(state.z.is(2));
    auto modal = Program(System::A, "G00\n/G01\nM01$0").before().of(Group::motion);
    CHECK(modal.may_be(Meaning::rapid));
    CHECK(modal.may_be(Meaning::feed_line));
    CHECK_FALSE(modal.known());
}

TEST_CASE("blocks with a block delete that stand together are all read or all left out") {
    const std::string facing = "G21 G99 G00 X44. Z4.\n/G00 Z1.5\n/G01 X-1.6 F.25\n";
    const Program inside(System::A, facing + "$0/G00 Z4.\n/X44.\nG00 Z0");
    CHECK(inside.before().z.is(1.5));
    CHECK(inside.before().x_radius.is(-0.8));
    CHECK(inside.before().feed.is(0.25));
    CHECK(inside.after().z.is(4));
    // Back where they began, nothing is left open behind them but what they set.
    const auto behind = Program(System::A, facing + "/G00 Z4.\n\n/X44.\n$0G01 Z0").before();
    CHECK(behind.z.is(4));
    CHECK(behind.x_radius.is(22));
    CHECK(behind.feed.why != Why::known);
    CHECK(Program(System::A, facing + "$0G01 Z0").before().z.why == Why::joined);
    // Another level is another switch, and a block between them is read either way.
    CHECK(Program(System::A, "G00 X44. Z4.\n/G00 Z1.5\n$0/2 X40.").before().z.why == Why::joined);
    CHECK(Program(System::A, "G00 X44. Z4.\n/G00 Z1.5\nX43.\n$0/X40.").before().z.why == Why::joined);
}

TEST_CASE("nothing is read behind the program's end") {
    auto state = Program(System::A, "G00 X40. Z2.\nM30\nX10.$0").after();
    CHECK(state.x_radius.is(20));
    CHECK(state.ended);
}

TEST_CASE("a drilling cycle stays until its cancel or a motion code") {
    auto state = Program(System::A, "G00 X0 Z5.\nG83 Z-30. Q5000 F0.1$0").after();
    CHECK(state.is(Meaning::drill_face));
    CHECK(state.z.is(5));
    CHECK(Program(System::A, "G83 Z-30. F0.1\nG80$0").after().is(Meaning::drill_cycle_off));
    CHECK(Program(System::A, "G83 Z-30. F0.1\nG00 Z5.$0").after().is(Meaning::drill_cycle_off));
}

TEST_CASE("a block that only sets a cycle's values reads no feed, nor does the finishing cut of a contour") {
    const auto reads_feed = [](System system, const char* text) {
        return (Program(system, text).analysis.result(0)->reads_first & part(machine::Part::feed)) != 0;
    };
    CHECK_FALSE(reads_feed(System::A, "G71 U2. R0.5"));
    CHECK_FALSE(reads_feed(System::B, "G76 P010060 Q50 R0.02"));
    CHECK_FALSE(reads_feed(System::C, "G77 R0.2"));
    CHECK_FALSE(reads_feed(System::A, "G70 P10 Q20"));
    CHECK(reads_feed(System::A, "G71 P10 Q20 U0.4 W0.1"));
    CHECK(reads_feed(System::B, "G76 X22.16 Z-23. P920 Q250"));
    CHECK(reads_feed(System::C, "G77 X20. Z-23. P500 Q3000"));
    CHECK(reads_feed(System::A, "G01 X20."));
}

TEST_CASE("the first line of a cycle moves nothing and reads nothing of the state") {
    for (const char* text : {"G71 U2. R0.5", "G74 R1.", "G76 P010060 Q50 R0.02"}) {
        INFO(text);
        Program program(System::A, std::string("G21 G99 G00 X40. Z2.\n") + text);
        bool seen = false;
        program.analysis.visit(0, [&](const machine::BlockView& view) {
            if (view.block != 1) return;
            seen = true;
            CHECK(view.reading.sets_up_cycle);
            CHECK((view.reading.reads & machine::part(machine::Part::feed)) == 0);
            CHECK(view.after.x_radius.is(20));
        });
        CHECK(seen);
    }
}

TEST_CASE("an angle gives the coordinate that is not written") {
    // Exact: 10 mm along Z at 45 degrees rise 10 mm of radius.
    auto state = Program(System::A, "G21 G00 X40. Z0.\nG01 Z-10. A135. F0.2$0").after();
    CHECK(state.x_radius.number == Approx(30));
    CHECK(state.z.is(-10));
    state = Program(System::A, "G21 G00 X40. Z0.\nG01 X60. A150. F0.2$0").after();
    CHECK(state.z.number == Approx(-10 * std::sqrt(3.0)));
    CHECK_FALSE(Program(System::A, "G21 G00 X40. Z0.\nG01 A150. F0.2$0").after().z.known());
    CHECK_FALSE(Program(System::A, "G21 G01 X60. A150. F0.2$0").after().z.known());
}

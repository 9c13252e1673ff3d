// Codes of the machine's builder whose effect the shop file tells.
#include "machine/program.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using codes::Group;
using codes::Meaning;
using codes::System;

namespace {

shop::Machine lathe() {
    const shop::Shop shop = shop::parse_shop(R"(
[[machine]]
[machine.m_codes]
M13 = { name = "spindle and coolant", does = "M03 M08" }
M14 = { does = "M05, M09" }
M68 = { name = "chuck closes", does = "clamp" }
M69 = { does = "unclamp" }
M78 = { does = "quill out" }
M88 = { does = "M08" }
M08 = { name = "through the tool", does = "M07" }
M130 = { calls = "O9130" }
M45 = { name = "C axis", does = "C axis on" }
M46 = { does = "c axis off" }
M23 = { does = "second clamp" }
M34 = { does = "spindles together M08" }
"M101-M103" = { does = "wait" }
M200 = "named alone"
"M60-M62" = { name = "loader", does = "nothing" }
[machine.g_codes]
G140 = { name = "groove", calls = "O9010" }
G150 = { does = "bar feed" }
G151 = { does = "G97 G40" }
)",
                                             "t");
    CHECK(shop.problems.empty());
    return shop.machines.front();
}

} // namespace

TEST_CASE("a code does in every system what the shop file says") {
    struct Row {
        const char* block;
        Meaning expected;
    };
    const auto row =
        GENERATE(Row{"M13", Meaning::spindle_forward}, Row{"M13", Meaning::coolant_on},
                 Row{"M14", Meaning::spindle_stop}, Row{"M14", Meaning::coolant_off},
                 Row{"M68", Meaning::chuck_closed}, Row{"M69", Meaning::chuck_open},
                 Row{"M78", Meaning::quill_out}, Row{"M88", Meaning::coolant_on},
                 Row{"M08", Meaning::coolant_mist}, Row{"G97 S500 M#1", Meaning::spindle_forward},
                 Row{"G96 G42\nG151", Meaning::constant_rpm}, Row{"G96 G42\nG151", Meaning::compensation_off},
                 Row{"m13 M62", Meaning::coolant_on}, Row{"M45", Meaning::c_axis_on},
                 Row{"M45\nM46", Meaning::c_axis_off}, Row{"M23", Meaning::second_chuck_closed},
                 Row{"M34", Meaning::spindles_joined}, Row{"M34", Meaning::coolant_on});
    for (const System system : {System::A, System::B, System::C}) {
        const Program program(system, std::string("#1=13\nM04 M09\n") + row.block + "$0", lathe());
        INFO(row.block);
        CHECK(program.after().is(row.expected));
    }
}

TEST_CASE("it has the same outcome as the codes that it stands for") {
    // Property: written out, nothing of the state behind it differs.
    const std::string head = "G21\nT0101\nG97 S800", cut = "\nG00 X40. Z2.\nG01 Z-10. F0.2\n";
    for (const System system : {System::A, System::B, System::C}) {
        const Program own(system, head + " M13" + cut + "M14$0", lathe());
        const Program written(system, head + " M03 M08" + cut + "M05 M09$0", lathe());
        // M08 is another coolant on this machine.
        CHECK(own.after().of(Group::spindle_direction) == written.after().of(Group::spindle_direction));
        CHECK(own.after().of(Group::coolant) == written.after().of(Group::coolant));
        CHECK(own.after().z == written.after().z);
        CHECK(own.after().feed == written.after().feed);
    }
}

TEST_CASE("a code that is not told, or does nothing, changes no mode, no place and no call") {
    const std::string before = "G21\nT0101\nG97 S800 M03\nM08\nG00 X40. Z2.\n", behind = "G01 Z-10. F0.2$0";
    for (const System system : {System::A, System::B, System::C}) {
        const Program plain(system, before + behind);
        for (const char* code : {"M200\n", "M61\n", "M777\n", "M60 M62\n", "M102 P12\n"}) {
            INFO(code);
            const Program with(system, before + code + behind);
            CHECK(with.after() == plain.after());
            const Program told(system, before + code + behind, lathe());
            CHECK(told.after().x_radius == plain.after().x_radius);
            CHECK(told.after().modal == Program(system, before + behind, lathe()).after().modal);
        }
    }
}

TEST_CASE("a code that calls hands its letters over as G65 does") {
    const std::string macro = "\nO9010\nG00 X#24 Z[#26-#1]\nM99\nO9130\nG00 X#24\nM99\n";
    const Program by_g(System::A, "O0001\nG21\nG140 X40. Z-3. A1.\nG01 F0.1$0\nM30" + macro, lathe());
    CHECK(by_g.before().x_radius.is(20));
    CHECK(by_g.before().z.is(-4));
    const Program by_m(System::B, "O0001\nG21 G90\nM130 X30.\nG01 F0.1$0\nM30" + macro, lathe());
    CHECK(by_m.before().x_radius.is(15));
    // Without the macro at hand nothing is known behind it; the block itself is no move.
    const Program away(System::C, "G71 G90\nG00 X40. Z2.\nG140 X10. Z-3.\nM00$0", lathe());
    CHECK_FALSE(away.before().x_radius.known());
    // The same number without a shop file is a code that nobody knows.
    CHECK_FALSE(Program(System::A, "G21\nG140 X40. Z-3.\nM00$0").before().x_radius.known());
}

TEST_CASE("calls stand in the shape of the program") {
    const Program program(System::A, "O0001\nG140 X40. T0505\nM30\nO9010\nM99\n", lathe());
    const auto& shape = program.analysis.shape(0);
    const auto call = std::find_if(shape.flow.begin(), shape.flow.end(), [](const machine::FlowMark& mark) {
        return mark.kind == machine::FlowKind::macro_call;
    });
    REQUIRE(call != shape.flow.end());
    CHECK(call->number == 9010);
    // T is an argument there and no tool call.
    CHECK(std::none_of(shape.landmarks.begin(), shape.landmarks.end(), [](const machine::Landmark& mark) {
        return mark.kind == machine::Landmark::Kind::tool_call;
    }));
}

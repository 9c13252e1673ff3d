#include "machine/picked_way.h"
#include "machine/program.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using codes::System;

namespace {

/// X, as a radius, that reaches the block with the cursor on the way that is picked.
machine::Value x_on_way(const std::string& text, System system = System::A) {
    const Program program(system, text);
    const machine::PickedWay way(program.analysis);
    const machine::State* before = way.before(program.cursor);
    return before ? before->x_radius : program.before().x_radius;
}

} // namespace

TEST_CASE("one way is picked where several meet") {
    const std::string head = "O1\nG21 G99\nG00 X40. Z2.\n";
    struct Row {
        const char *what, *text;
        double x_radius;
    };
    const Row rows[] = {
        {"a block with a block delete is read", "/G00 X24.02\nG01 Z-5. F.2\n$0G01 Z-9.\n", 12.01},
        {"so are several", "/G00 X24.\n/U2.\nG01 Z-5. F.2\n$0G01 Z-9.\n", 13},
        {"a jump that it makes is not", "/GOTO20\nG00 X30.\nN20 G01 Z-5. F.2\n$0G01 Z-9.\n", 15},
        {"not made", "IF[#500GT1]GOTO20\nG00 X30.\nN20 G01 Z-5. F.2\n$0G01 Z-9.\n", 15},
        {"made, where nothing but an alarm comes",
         "IF[#500EQ1]GOTO10\nIF[#500EQ2]GOTO20\n#3000=1\nN10 #1=30.\nGOTO30\nN20 #1=20.\nN30 G00 X#1\n$0G01 "
         "Z-9. F.2\n",
         15},
        {"not made, where the alarm is at its label",
         "IF[#500GT1]GOTO90\nG00 X30.\nN20 G01 Z-5. F.2\n$0G01 Z-9.\nM30\nN90 #3000=1\n", 15},
        {"made over a jump away", "IF[#500LT1]GOTO20\nGOTO90\nN20 G00 X30.\n$0G01 Z-5. F.2\nN90 M30\n", 15},
        {"the other way is passed over",
         "IF[#500GT1]GOTO20\nG00 X30.\nGOTO30\nN20 G00 X20.\nN30 G01 Z-5. F.2\n$0G01 Z-9.\n", 15},
        {"variables are as before a program out of sight",
         "#102=30.\nG65 P9832 Z-5.\nG28 U0 W0\nG00 X#102 Z1.\n$0G01 Z-9. F.2\n", 15},
    };
    for (const Row& row : rows) {
        INFO(row.what);
        CHECK(x_on_way(head + row.text).is(row.x_radius));
    }
    // A loop of which it is not known how often it goes is gone through once, one that is known as it goes.
    CHECK(x_on_way(head + "#1=0\nWHILE[#1LT#500]DO1\nG00 U-2.\n#1=#1+1\nEND1\n$0G01 Z-9. F.2\n").is(19));
    CHECK(x_on_way(head + "#1=4.\nWHILE[#500GT1]DO1\nG00 U-#1\n$0G01 Z-9. F.2\n#1=#1+1\nEND1\n").is(18));
    CHECK(x_on_way(head + "N10 G00 U-2.\n#500=#500+1\nIF[#500LT5]GOTO10\n$0G01 Z-9. F.2\n").is(19));
    CHECK(x_on_way(head + "#1=0\nWHILE[#1LT3]DO1\nG00 U-2.\n#1=#1+1\nEND1\n$0G01 Z-9. F.2\n").is(17));
    // Not what a program out of sight has set itself.
    CHECK_FALSE(x_on_way(head + "G65 P9832 Z-5.\nG00 X#140 Z1.\n$0G01 Z-9. F.2\n").known());
    // A way that meets no other is the analysis' own.
    const Program plain(System::A, head + "G00 X30.\n$0G01 Z-5. F.2\nM30\n");
    CHECK_FALSE(machine::PickedWay(plain.analysis).before(plain.cursor));
}

TEST_CASE("a place that is given in front of a T word is gone on from by distances") {
    CHECK(x_on_way("G92 X60. Z20.\nG91 T0101\nG00 X-16. Z-18.\n$0G01 Z-42. F.2\n", System::B).is(22));
    CHECK(x_on_way("G50 X60. Z20.\nT0101\nG00 U-16. W-18.\n$0G01 W-42. F.2\n").is(22));
    // So is where the turret stands when the tool is called or taken back, also in the block of the way home.
    CHECK(x_on_way("G50 X60. Z20.\nG00 U-4.\nT0101\nU-16. W-18.\n$0G01 W-42. F.2\n").is(20));
    CHECK(x_on_way("G00 X60. Z20.\nT0101\nG00 U-16. W-18.\n$0G01 W-42. F.2\n").is(22));
    const std::string first = "G50 X60. Z20.\nT0101\nG00 U-16. W-18.\nG01 W-42. F.2\n";
    CHECK(x_on_way(first + "G00 U16. W60.\nT0100\nM01\nT0303\nG00 W-18.\nU-60.\n$0G01 W-9. F.2\n").is(0));
    CHECK(x_on_way(first + "G00 U16. W60. T0100\nM01\nT0303\nG00 U-20. W-18.\n$0G01 W-9. F.2\n").is(20));
    // Not where a datum is given or a place of the machine is gone to.
    CHECK_FALSE(x_on_way(first + "G28 U0 W0 T0100\nT0303\nG00 U-20. W-18.\n$0G01 W-9. F.2\n").known());
    CHECK_FALSE(x_on_way(first + "G00 U16. W60.\nG55\nG00 U-20. W-18.\n$0G01 W-9. F.2\n").known());
}

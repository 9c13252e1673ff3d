// Programs written for another lathe of the shop file.
#include "features/transfer.h"

#include "features/open.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using features::test::shop_of;
using Sort = TransferRemark::Sort;

namespace {

/// Two lathes that differ in everything that a table can say.
constexpr std::string_view two_lathes = R"(units = "mm"
[[machine]]
name = "short bed"
system = "A"
folders = ["short"]
power_on_units = "mm"
power_on = ["G18", "G40", "G80", "G97", "G99"]
no_point = "whole units"
max_rpm = 4500
travel_x_min = -210
travel_x_max = 0
travel_z_min = -480
travel_z_max = 0
change_x = -20
change_z = -50
stations = 12
tool_digits = 4
[machine.m_codes]
M10 = { name = "chuck opens", does = "unclamp" }
M11 = { name = "chuck closes", does = "clamp" }
M13 = { name = "spindle and coolant", does = "M03 M08" }
M21 = "part catcher out"
M22 = "air blast"
M70 = "C axis on"

[[machine]]
name = "long bed"
system = "B"
folders = ["long"]
power_on_units = "inch"
power_on = ["G18", "G40", "G80", "G97", "G94"]
no_point = "least increments"
max_rpm = 2000
travel_x_min = -210
travel_x_max = 0
travel_z_min = -100
travel_z_max = 0
change_x = -30
change_z = -60
stations = 8
tool_digits = 2
[machine.m_codes]
M68 = { name = "chuck closes", does = "clamp" }
M69 = { name = "chuck opens", does = "unclamp" }
M60 = "Part-catcher OUT"
M22 = "door opens"
)";

struct Made {
    Document document;
    Transfer transfer;
    Made(std::string_view program, std::string_view shop = two_lathes, std::string_view from = "short bed",
         std::string_view to = "long bed", const TransferOrder& order = {})
        : document(program, shop_of(shop), "short/job.nc"),
          transfer(features::transfer(document, *document.shop().machine_named(from),
                                      *document.shop().machine_named(to), order)) {}
    std::string told() const {
        std::string text = transfer.refused.empty() ? "" : "refused: " + transfer.refused + "\n";
        for (const TransferRemark& remark : transfer.remarks) text += remark_text(remark) + "\n";
        return text;
    }
    std::string changed() const {
        std::string text;
        for (const std::string& change : transfer.changes) text += change + "\n";
        return text;
    }
};

TransferOrder keep_units() {
    TransferOrder order;
    order.keep_units = true;
    return order;
}

} // namespace

TEST_CASE("a program goes to a lathe of another system and unit, with the codes of its builder") {
    const Made made("O1 (PIN)\nN1 (TURN)\nG21 G99\nG50 S1800\nT0101\nG97 S1000 M13\nM11\nG00 X50.8 Z2.54\n"
                    "G01 U-2.54 Z-25.4 F0.254\nG00 X101.6 Z25.4 M09\nG53 X-40. Z-50.\nM05\nM21\nM10\nM30\n");
    CHECK(made.told() == "");
    CHECK(made.transfer.text ==
          "O1 (PIN) (MACHINE: long bed)\nN1 (TURN)\nG90 G20 G95\nG92 S1800\nT11\nG97 S1000 M03 M08\nM68\n"
          "G00 X2. Z0.1\nG01 X1.9 Z-1. F0.01\nG00 X4. Z1. M09\nG53 X-2.3622 Z-2.3622\nM05\nM60\nM69\nM30\n");
    CHECK(made.transfer.does_the_same());
    CHECK_THAT(made.changed(), Contains("G-code system A to B") && Contains("written in inches") &&
                                   Contains("M21 is M60 (part catcher out)") && Contains("T0101 is T11"));
}

TEST_CASE("a return home goes along") {
    const Made made("O1\nG21 G99\nG00 X50. Z2.\nG28 U0. W0.\nM05\nM30\n", two_lathes, "short bed", "long bed",
                    keep_units());
    CHECK(made.told() == "");
    CHECK_THAT(made.transfer.text, Contains("G91 G28 X0. Z0.\nG90 M05\n"));
}

TEST_CASE("a code that would do something else on the other lathe refuses the program") {
    CHECK_THAT(
        Made("O1\nG21 G99\nM22\nM30\n").told(),
        Contains("refused: Line 3: M22 (air blast) has no like on long bed, where M22 is: door opens."));
    // Coolant on the one is the chuck on the other.
    constexpr std::string_view shop =
        "[[machine]]\nname = \"a\"\nsystem = \"A\"\n[[machine]]\nname = \"b\"\n"
        "system = \"A\"\n[machine.m_codes]\nM08 = { name = \"chuck opens\", does "
        "= \"unclamp\" }\n";
    CHECK_THAT(Made("O1\nG21 G99\nM08\nM30\n", shop, "a", "b").told(),
               Contains("refused: Line 3: M08 (coolant on) has no like on b, where M08 is: chuck opens."));
}

TEST_CASE("a code with no like stays, with a remark and a note in its block") {
    const Made made("O1\nG21 G99\nM70\nM30\n");
    CHECK(made.told() == "Line 3: left as it is: M70 (C axis on) has no like on long bed.\n");
    CHECK_FALSE(made.transfer.does_the_same());
    CHECK_THAT(made.transfer.text, Contains("M70 (TRANSFER: LEFT AS IT WAS)\n"));
}

TEST_CASE("what a macro computes is said, and the rest goes on") {
    const Made made("O1\nG21 G99\n#501=#5041\nG00 X50. Z2.\nG01 U-#502 F.2\nM#503\nT#504\nG00 X60.\nM30\n");
    CHECK_THAT(made.told(), Contains("The program stays in its own unit. Line 3: a macro takes #5041") &&
                                Contains("Line 5: left as it is:") &&
                                Contains("Line 6: left as it is: a macro computes which code this is.") &&
                                Contains("Line 7: left as it is: a macro computes the tool."));
    CHECK_THAT(made.transfer.text, Contains("G90 G21 G95\n") && Contains("G01 U-#502 F.2 (TRANSFER:"));
}

TEST_CASE("words that a macro computes reckon on in the other unit and reading of X") {
    const std::string program =
        "O1\n#501=50.8\nG21 G99\nG00 X#501 Z2.54\nG01 Z-[#501/2] F.254\nG65 P7 A25.4\nM30\n"
        "O7\nG01 Z-#1\nM99\n";
    const Made made(program);
    CHECK(made.told() ==
          "Variables keep their numbers: 3 words reckon on with their values divided by 25.4.\n");
    CHECK(made.transfer.text == "O1 (MACHINE: long bed)\n#501=50.8\nG90 G20 G95\nG00 X[#501/25.4] Z0.1\n"
                                "G01 Z[-[#501/2]/25.4] F0.01\nG65 P7 A25.4\nM30\nO7\nG01 Z[-#1/25.4]\nM99\n");
    constexpr std::string_view shop = "[[machine]]\nname = \"a\"\nsystem = \"A\"\n[[machine]]\nname = \"c\"\n"
                                      "system = \"C\"\nx = \"radius\"\n";
    const Made radius(program, shop, "a", "c");
    CHECK_THAT(radius.transfer.text, Contains("G00 X[#501/2] Z2.54\n") && Contains("G65 P7 A25.4\n"));
    CHECK(radius.transfer.does_the_same());
    // Of a macro in another file nobody knows what its values are.
    CHECK_THAT(Made("O1\nG21 G99\nG65 P9500 A25.4\nM30\n").told(),
               Contains("stays in its own unit. Line 3: a macro is called"));
}

TEST_CASE("tool digits and stations") {
    const TransferOrder order{{{3, 5}}, true};
    const Made made("O1\nG21 G99\nT0303\nG00 X50. Z2.\nT0300\nT0404\nT0414\nT1010\nM30\n", two_lathes,
                    "short bed", "long bed", order);
    CHECK_THAT(made.transfer.text, Contains("T55\n") && Contains("T50\n") && Contains("T44\n"));
    CHECK_THAT(made.told(), Contains("Line 7: left as it is: T0414 cannot be written with the 2 digits") &&
                                Contains("Line 8: left as it is: T1010"));
    const Made back("O1\nG20 G95 G90\nT55\nG00 X2. Z.1\nT50\nT00\nM30\n", two_lathes, "long bed", "short bed",
                    order);
    CHECK_THAT(back.transfer.text, Contains("T0505\n") && Contains("T0500\n") && Contains("T0000\n"));
    CHECK_THAT(Made("O1\nG21 G99\nT0909\nG00 X50.\nM30\n").told(), Contains("Line 3: T99"));
}

TEST_CASE("what the other lathe does not reach is listed") {
    const Made made("O1\nG21 G99 G54\nT0101\nG97 S3000 M03\nG00 X50. Z2.\nG01 Z-180. F0.2\nG00 X60.\nM05\n"
                    "G53 X0. Z-400.\nM30\n",
                    two_lathes, "short bed", "long bed", keep_units());
    CHECK_THAT(made.told(), Contains("2000 rpm") && Contains("travel of long bed is 100 mm") &&
                                Contains("Line 9: Z-400. is counted from the machine datum") &&
                                Contains("beyond the travel"));
    CHECK(made.transfer.does_the_same());
}

TEST_CASE("a speed limit above what the other spindle turns is listed") {
    const Made made(
        "O1\nG21 G99 G54\nT0101\nG50 S2500\nG96 S180 M03\nG00 X50. Z2.\nG01 Z-18. F0.2\nG00 X60.\n"
        "G50 S1800\nG01 X40.\nM30\n",
        two_lathes, "short bed", "long bed", keep_units());
    CHECK_THAT(made.told(), Contains("Line 4: The limit of 2500 rpm is above the 2000 rpm of long bed"));
    CHECK_THAT(made.told(), !Contains("Line 9:"));
}

TEST_CASE("what a lathe is switched on in is stated where the other has it otherwise") {
    const Made made("O1\nT0101\nG00 X50. Z2.\nG01 Z-20. F0.2\nM30\n", two_lathes, "short bed", "long bed",
                    keep_units());
    CHECK_THAT(made.transfer.text, Contains("O1 (MACHINE: long bed)\nG21 G95 "));
    CHECK(made.told() == "");
}

TEST_CASE("numbers without a point are written for a control that reads them otherwise") {
    const Made made("O1\nG21 G99\nG00 X50 Z2\nG01 Z-20 F1\nX0\nM30\n", two_lathes, "short bed", "long bed",
                    keep_units());
    CHECK_THAT(made.transfer.text, Contains("G00 X50. Z2.\nG01 Z-20. F1.\nX0\n"));
    constexpr std::string_view fine = "[[machine]]\nname = \"a\"\nsystem = \"A\"\n[[machine]]\nname = \"b\"\n"
                                      "system = \"A\"\nleast_increment_mm = 0.0001\nno_point = \"least "
                                      "increments\"\n";
    const Made steps(
        "O1\nG21 G99\nG00 X24. Z2.\nG76 P010060 Q50 R0.02\nG76 X22.16 Z-23. P920 Q250 F1.5\nM30\n", fine, "a",
        "b");
    CHECK_THAT(steps.transfer.text, Contains("Q500 R0.02\n") && Contains("P9200 Q2500 F1.5\n"));
    CHECK(steps.told() == "");
    CHECK_THAT(Made("O1\nG21 G99\nG00 X24\nM30\n", fine, "a", "b").told(),
               Contains("Line 3: left as it is: X24 has no decimal point"));
}

TEST_CASE("a plane that is looked at from the other side and a turret on the other side of the axis") {
    constexpr std::string_view shop =
        "[[machine]]\nname = \"a\"\nsystem = \"A\"\nturret = \"behind\"\n[[machine]]\nname = \"b\"\n"
        "system = \"C\"\nturret = \"front\"\nmirrored = true\n";
    const Made made("O1\nG21 G99\nT0101\nG97 S500 M04\nG00 X20. Z2.\nG01 G42 Z0. F.1\nG03 X24. Z-2. R2.\n"
                    "G40 G00 X30.\nM30\n",
                    shop, "a", "b");
    CHECK_THAT(made.transfer.text, Contains("G01 G41 Z0. F.1\nG02 X24. Z-2. R2.\n"));
    CHECK(made.transfer.does_the_same());
    CHECK_THAT(made.told(),
               Contains("T01 cuts with M04 here. On b the turret stands in front: with M04 its edge "
                        "must look down"));
    CHECK_THAT(made.changed(), Contains("the other way round, 2 times"));
}

TEST_CASE("a note that names the machine goes along, and the result is read by the other table") {
    const Made made("O1\n(MACHINE: SHORT BED)\nG21 G99\nG00 X50. Z2.\nM30\n", two_lathes, "short bed",
                    "long bed", keep_units());
    CHECK_THAT(made.transfer.text, Contains("O1\n(MACHINE: long bed)\n"));
    const Document there(made.transfer.text, made.document.shop_pointer(), "short/job.nc");
    CHECK(there.settings().machine.name == "long bed");
}

TEST_CASE("the command of an editor does the same and tells what to look at") {
    const Document document("O1\nG21 G99\nM70\nG00 X50. Z2.\nM30\n", shop_of(two_lathes), "short/job.nc");
    const Rewrite rewrite = run_command(document, "turnwright.transfer", {"Long Bed"});
    REQUIRE(rewrite.done());
    CHECK(test::with_edits(document, rewrite.files.at(0).edits) ==
          transfer(document, document.shop().machines[0], document.shop().machines[1]).text);
    CHECK_THAT(rewrite.told, Contains("Line 3: left as it is: M70"));
    CHECK_THAT(run_command(document, "turnwright.transfer", {"short bed"}).refused, Contains("already"));
    CHECK_THAT(run_command(document, "turnwright.transfer", {"no bed"}).refused, Contains("no machine"));
}

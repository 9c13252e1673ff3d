// Offsets in both directions, and corrections from measured parts.
#include "report/offsets.h"

#include "opened.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::report;

namespace {

/// Roughs and finishes two diameters and a shoulder with one tool, offset 3 of station 3.
std::string shaft(char system, bool inch, bool macro = false, bool radius = false) {
    const double scale = inch ? 25.4 : 1;
    const auto x = [&](double mm) { return fmt::format("{:.4f}", mm / scale / (radius ? 2 : 1)); };
    const auto z = [&](double mm) { return fmt::format("{:.4f}", mm / scale); };
    std::string text = fmt::format("O15\n{} G18 G40 {}\nT0101\nG97 S1000 M03\n",
                                   inch ? (system == 'C' ? "G70" : "G20") : (system == 'C' ? "G71" : "G21"),
                                   system == 'A' ? "G99" : "G90 G95");
    text += fmt::format("G00 X{} Z{}\nG01 Z-{} F{}\nX{}\nZ-{}\nX{}\n", x(30.4), z(2), z(20), z(0.2), x(40.4),
                        z(50), x(44));
    text += fmt::format("G00 X{} Z{}\nT0303\nG97 S1200 M03\n", x(150), z(100));
    text += macro ? fmt::format("#1={}\n#2={}\nG00 X#1 Z{}\nG01 Z-#2 F{}\n", x(30), z(20), z(2), z(0.1))
                  : fmt::format("G00 X{} Z{}\nG01 Z-{} F{}\n", x(30), z(2), z(20), z(0.1));
    return text + fmt::format("X{}\nZ-{}\nX{}\nG00 X{} Z{}\nM30\n", x(40), z(50), x(44), x(150), z(100));
}

std::string two_turners(char system, bool radius = false) {
    return fmt::format("[[machine]]\nsystem = \"{}\"\nx = \"{}\"\n", system, radius ? "radius" : "diameter");
}

Corrections correct(const features::Document& document, std::vector<Measured> measured) {
    return correct_offsets(document, measured);
}

} // namespace

TEST_CASE("offsets: a program's G10 blocks as a table and back") {
    const auto document = opened("O1\nG21\nG10 P10003 X-120.5 Z-85.32 R0.8 Q3\nG10 P3 U-.02 W.01\n#1=4\n"
                                 "WHILE[#1 LT 6]DO1\nG10 P#1 X0 Z0.\n#1=#1+1\nEND1\nG10 L2 P1 X0 Z-50.\n"
                                 "G10 P#500 X1.\nG10 P7 X#501\nM30\n");
    const OffsetTable table = offsets_of_program(*document);
    REQUIRE(table.rows.size() == 4);
    CHECK_FALSE(table.rows[0].wear);
    CHECK(table.rows[0].number == 3);
    CHECK(*table.rows[0].x == Approx(-120.5));
    CHECK(*table.rows[0].z == Approx(-85.32));
    CHECK(*table.rows[0].nose_radius == Approx(0.8));
    CHECK(*table.rows[0].tip_direction == 3);
    CHECK(table.rows[1].wear);
    CHECK(*table.rows[1].x_added == Approx(-0.02));
    CHECK(*table.rows[1].z_added == Approx(0.01));
    CHECK(table.rows[2].number == 4);
    CHECK(table.rows[3].number == 5);
    CHECK(table.left_out.size() == 3);
    const std::string csv = offset_csv(table.rows);
    CHECK(csv.find("geometry,3,-120.5,-85.32,,,0.8,3\n") != std::string::npos);
    REQUIRE(is_offset_csv(csv));
    const OffsetTable back = offsets_of_csv(csv);
    CHECK(back.rows == table.rows);
    CHECK(back.left_out.empty());
    const std::string blocks = offset_blocks(table.rows);
    CHECK(blocks.find("G10 P10003 X-120.5 Z-85.32 R0.8 Q3\nG10 P3 U-0.02 W0.01\n") == 0);
    for (const char system : {'A', 'B', 'C'}) {
        const auto read = opened("O1\nG21\n" + blocks + "M30\n", two_turners(system));
        CHECK(offsets_of_program(*read).rows == table.rows);
    }
}

TEST_CASE("offsets: rows of a table that are none") {
    const std::string head = offset_csv({});
    CHECK(offsets_of_csv(head + "wear,3,0.1,,,,,\r\n\n,,,,,,,\n").rows.size() == 1);
    for (const char* const row : {"wear,0,1,,,,,", "wear,3,1,,1,,,", "length,3,1,,,,,", "wear,3,,,,,,",
                                  "wear,3,a,,,,,", "wear,3,1,,,,,12", "wear,1.5,1,,,,,", "wear,3,1",
                                  "geometry,3,,,,,-0.4,", "wear,3,nan,,,,,", "wear,3,1e999,,,,,"}) {
        CAPTURE(row);
        const OffsetTable table = offsets_of_csv(head + row + "\n");
        CHECK(table.rows.empty());
        CHECK(table.left_out.size() == 1);
    }
    CHECK_FALSE(is_offset_csv("G10 P1 X0.\n"));
}

TEST_CASE("correct: which offset, how much, which sign, on every system, in both units, past macros") {
    for (const char system : {'A', 'B', 'C'})
        for (const bool inch : {false, true})
            for (const bool macro : {false, true}) {
                CAPTURE(system, inch, macro);
                const double scale = inch ? 25.4 : 1;
                const auto document = opened(shaft(system, inch, macro), two_turners(system));
                const Corrections found =
                    correct(*document, {{30 / scale, 29.96 / scale}, {20 / scale, 20.03 / scale, true}});
                REQUIRE(found.all.size() == 2);
                CHECK(found.all[0].problem.empty());
                CHECK(found.all[0].station == 3);
                CHECK(found.all[0].offset == 3);
                CHECK(found.all[0].add == Approx(0.04 / scale));
                // A shoulder that came out too far from the face: less of Z, towards plus.
                CHECK(found.all[1].station == 3);
                CHECK(found.all[1].add == Approx(0.03 / scale));
            }
    const std::string text = corrections_text(correct(*opened(shaft('A', false)), {{30, 29.96}}));
    CHECK(text.find("0.04 too small: add +0.04 to X of wear offset 3, on diameter: G10 P3 U0.04") !=
          std::string::npos);
}

TEST_CASE("correct: X on radius, roughing left alone, and what cannot be told") {
    const auto radius = opened(shaft('A', false, false, true), two_turners('A', true));
    const Corrections on_radius = correct(*radius, {{30, 29.96}});
    CHECK_FALSE(on_radius.on_diameter);
    CHECK(on_radius.all[0].add == Approx(0.02));
    CHECK(corrections_text(on_radius).find("on radius: G10 P3 U0.02") != std::string::npos);
    const auto document = opened(shaft('A', false));
    CHECK(correct_offsets(*document, std::vector<Measured>{{30.4, 30.5}}, 1).all[0].station == 1);
    CHECK_FALSE(correct(*document, {{55, 54.9}}).all[0].problem.empty());
    // No tool is called: nobody can say whose offset it is.
    const auto no_tool = opened("O1\nG21 G99\nG97 S500 M03\nG00 X30. Z2.\nG01 Z-5. F0.1\nM30\n");
    CHECK(correct(*no_tool, {{30, 29.9}}).all[0].problem == "line 5 cuts it, and its tool is not known");
}

TEST_CASE("correct: what roughing leaves is no finished size, and half a millimetre no wear") {
    for (const char* cycle : {"G71 U2. R.5\nG71 P1 Q2 U.5 W.1 F.3\n", "G71 P1 Q2 U.5 W.1 D2000 F.3\n"}) {
        const auto document = opened(std::string("O1\nG21 G99\nT0101\nG97 S800 M03\nG00 X52. Z2.\n") + cycle +
                                     "N1 G00 X30.\nG01 Z-20. F.1\nN2 X52.\nG00 X100. Z50.\nM30\n");
        const Corrections roughed = correct(*document, {{.wanted = 30, .measured = 30.45}});
        REQUIRE(roughed.all.size() == 1);
        CHECK(roughed.all[0].problem.find("roughing leaves in line") != std::string::npos);
        CHECK(corrections_text(roughed).find("G10") == std::string::npos);
    }
    const auto finished = opened(shaft('A', false));
    const Corrections far_off = correct(*finished, {{.wanted = 30, .measured = 35}});
    REQUIRE(far_off.all.size() == 1);
    CHECK(far_off.all[0].problem.find("no wear") != std::string::npos);
    CHECK(corrections_text(far_off).find("G10") == std::string::npos);
    CHECK(correct(*finished, {{.wanted = 30, .measured = 30.04}}).all[0].problem.empty());
}

TEST_CASE("correct: two diameters of one tool that agree and that disagree") {
    const auto document = opened(shaft('A', false));
    const std::string agree = corrections_text(correct(*document, {{30, 29.96}, {40, 39.955}}));
    CHECK(agree.find("the sizes agree; one correction of +0.0425") != std::string::npos);
    const std::string apart = corrections_text(correct(*document, {{30, 29.96}, {40, 39.99}}));
    CHECK(apart.find("disagree by 0.03") != std::string::npos);
    CHECK(apart.find("+0.025 leaves each end 0.015 off") != std::string::npos);
    // With 0.01 in the offset the other comes out 0.03 too small as programmed.
    CHECK(apart.find("with +0.01 in the offset, X30.03 for line") != std::string::npos);
}

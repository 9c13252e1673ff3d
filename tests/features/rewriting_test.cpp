// Renumbering, conversions, code actions, hints and lenses.
#include "features/open.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <fstream>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using codes::Meaning;
using codes::System;
using features::test::Open;
using features::test::shop_of;
using features::test::with_edits;

namespace {

std::string example_text(const char* name) {
    std::ifstream file(std::string(SOURCE_DIR) + "/docs/examples/" + name);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

std::string done(const Document& document, const Rewrite& rewrite) {
    if (!rewrite.done()) return "refused: " + rewrite.refused;
    return with_edits(document, rewrite.files.at(0).edits);
}

std::string renumbered(std::string_view program, Renumbering how) {
    const Document document(program, shop_of(System::A));
    return done(document, renumber(document, how));
}

/// Where the tool stands behind every block, in mm, for comparing by a way of its own.
std::vector<std::pair<double, double>> positions(const Document& document) {
    std::vector<std::pair<double, double>> all;
    for (std::size_t run = 0; run < document.analysis().size(); ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) {
            const double unit = view.after.is(Meaning::inch) ? 25.4 : 1; // exact
            all.emplace_back(view.after.x_radius.known() ? view.after.x_radius.number * unit : -1e6,
                             view.after.z.known() ? view.after.z.number * unit : -1e6);
        });
    return all;
}

void check_same_places(const Document& a, const Document& b, double tolerance) {
    const auto one = positions(a), other = positions(b);
    REQUIRE(one.size() == other.size());
    for (std::size_t i = 0; i < one.size(); ++i) {
        INFO("line " << i + 1 << ": " << a.buffer().line(i) << " -> " << b.buffer().line(i));
        CHECK(one[i].first == Approx(other[i].first).margin(tolerance));
        CHECK(one[i].second == Approx(other[i].second).margin(tolerance));
    }
}

} // namespace

TEST_CASE("sequences are renumbered and what names them follows") {
    constexpr const char* program =
        "O1\nN1 (A)\nT0101\nG71 P101 Q102 U0.4 F0.2\nN101 G00 X20.\nN102 G01 Z-20.\nM01\n"
        "N2 (B)\nT0303\nIF [#1 EQ 1] GOTO 1\nM01\nM30\n";
    CHECK(renumbered(program, {Renumbering::What::sequences, 10, 10}) ==
          "O1\nN10 (A)\nT0101\nG71 P101 Q102 U0.4 F0.2\nN101 G00 X20.\nN102 G01 Z-20.\nM01\n"
          "N20 (B)\nT0303\nIF [#1 EQ 1] GOTO 10\nM01\nM30\n");
    CHECK_THAT(renumbered(program, {Renumbering::What::by_tool, 1, 1}),
               Contains("N3 (B)") && Contains("N1 (A)"));
    CHECK_THAT(renumbered(program, {Renumbering::What::sequences, 101, 1}), Contains("would both be N101"));
}

TEST_CASE("every block is numbered") {
    CHECK(renumbered("%\nO1 (A)\n(NOTE)\nG21\n/ G00 X5.\nN7 G01 X6.\nG71 P7 Q8\nN8 Z-1.\nM30\n%\n",
                     {Renumbering::What::all_blocks, 10, 5}) ==
          "%\nO1 (A)\n(NOTE)\nN10 G21\n/ N15 G00 X5.\nN20 G01 X6.\nN25 G71 P20 Q30\nN30 Z-1.\nN35 M30\n%\n");
}

TEST_CASE("renumbering is refused where a number cannot be followed") {
    const Renumbering all{Renumbering::What::all_blocks, 10, 10};
    CHECK_THAT(renumbered("N1 G00 X1.\nGOTO #1\nM30\n", all), Contains("computed number"));
    CHECK_THAT(renumbered("N1 G00 X1.\nN1 G00 X2.\nGOTO 1\nM30\n", all), Contains("2 blocks have"));
    CHECK_THAT(renumbered("G00 X1.\nGOTO 5\nM30\n", all), Contains("no block has"));
    CHECK_THAT(renumbered("G00 X1.\nM30\n", {Renumbering::What::all_blocks, 99999, 10}), Contains("outside"));
    CHECK_THAT(renumbered("O1\nM98 P2\nM30\nO2\nM99 P100\n", all), Contains("calling program"));
}

TEST_CASE("inch to millimetre and back keeps the moves") {
    // 1 in = 25.4 mm exactly (NBS Circular 572 addendum, 1960).
    const Document inch(example_text("wear-bushing.nc"),
                        shop_of("[[machine]]\nsystem = \"B\"\nno_point = \"least increments\"\n"));
    const std::string metric_text = done(inch, convert_units(inch, Meaning::millimetre));
    REQUIRE_THAT(metric_text, !Contains("refused"));
    CHECK_THAT(metric_text, Contains("G21") && !Contains("G20") && !Contains("X2.08 Z.04"));
    const Document metric(metric_text, inch.shop_pointer());
    check_same_places(inch, metric, 0.00254 / 2 + 0.001);
    const std::string back_text = done(metric, convert_units(metric, Meaning::inch));
    REQUIRE_THAT(back_text, !Contains("refused"));
    check_same_places(inch, Document(back_text, inch.shop_pointer()), 0.00254);
}

TEST_CASE("a metric program in inch") {
    const Document metric(
        "G21 G99 G18 G40 G80 G97\nT0101\nG00 X50.8 Z2.54\nG96 S120 M03\nG01 X25.4 F0.254\nU-2.54 W-1.27\n",
        shop_of(System::A));
    CHECK(done(metric, convert_units(metric, Meaning::inch)) ==
          "G20 G99 G18 G40 G80 G97\nT0101\nG00 X2. Z0.1\nG96 S394 M03\nG01 X1. F0.01\nU-0.1 W-0.05\n");
}

TEST_CASE("the stock note goes along with the unit") {
    const Document metric("O1\n(STOCK D50.8 L127 FACE 2.54 JAW Z-101.6 MATERIAL C45 12)\n(TOOL D5)\nG21 G99\n"
                          "G00 X50.8 Z2.54\nM30\n",
                          shop_of(System::A));
    const std::string inch = done(metric, convert_units(metric, Meaning::inch));
    CHECK(inch == "O1\n(STOCK D2. L5. FACE 0.1 JAW Z-4. MATERIAL C45 12)\n(TOOL D5)\nG20 G99\n"
                  "G00 X2. Z0.1\nM30\n");
    const Document back(inch, shop_of(System::A));
    CHECK_THAT(done(back, convert_units(back, Meaning::millimetre)),
               Contains("(STOCK D50.8 L127. FACE 2.54 JAW Z-101.6 MATERIAL C45 12)"));
    // One that cannot be read stays as it is.
    const Document wrong("O1\n(STOCK D50.8 L)\nG21 G99\nG00 X50.8\nM30\n", shop_of(System::A));
    CHECK_THAT(done(wrong, convert_units(wrong, Meaning::inch)), Contains("(STOCK D50.8 L)"));
}

TEST_CASE("units are not converted where a number's meaning is not known") {
    const auto refused = [](std::string_view program) {
        const Document document(program, shop_of(System::A));
        return done(document, convert_units(document, Meaning::inch));
    };
    CHECK(refused("G21 G99\n#1=5.\n#2=120\nG00 X#1\nG01 Z-[#1+2] F[#1/20]\nG96 S#2\n") ==
          "G20 G99\n#1=5.\n#2=120\nG00 X[#1/25.4]\nG01 Z[-[#1+2]/25.4] F[[#1/20]/25.4]\nG96 S[#2/0.3048]\n");
    // What the control holds is in the unit in force; a variable by a computed number may be that.
    CHECK_THAT(refused("G21\n#1=#5041\nG00 X#1\n"), Contains("Line 2") && Contains("#5041"));
    CHECK_THAT(refused("G21\n#1=#[#2+1]\nG00 X#1\n"), Contains("Line 2") && Contains("number of a variable"));
    CHECK_THAT(refused("G21\n#2=2000\nG75 X5. P#2\n"), Contains("least increments"));
    // The operator may have set #500, and who calls the program #5.
    CHECK_THAT(refused("G21\nG00 X#500\n"), Contains("G00 X[#500/25.4]\n"));
    CHECK_THAT(refused("G21\nG00 X#5 Z2.\n"), Contains("Line 2: X#5 takes a variable that no block sets"));
    CHECK_THAT(refused("G21\nG00 X5\n"), Contains("Line 2") && Contains("decimal point"));
    CHECK_THAT(refused("G00 X5.\n"), Contains("refused"));
    CHECK_THAT(refused("G21\nG65 P9000 A5.\n"), Contains("macro"));
    // The slide of a second spindle goes by lengths, a head turns by degrees.
    CHECK_THAT(refused("G21 G98\nG01 B-400. F300.\n"), Contains("Line 2: B-400. may be the way of a slide"));
    CHECK_THAT(refused("G21\nG00 B0\n"), !Contains("refused"));
}

TEST_CASE("between systems the moves stay") {
    const Document a(example_text("pump-shaft.nc"), shop_of(System::A));
    const std::string b_text = done(a, convert_system(a, System::B));
    REQUIRE_THAT(b_text, !Contains("refused"));
    CHECK_THAT(b_text, Contains("G92 S2500") && Contains("G95") && Contains("G90") && !Contains("G50"));
    const Document b(b_text, shop_of(System::B));
    check_same_places(a, b, 1e-9);
    const std::string again = done(b, convert_system(b, System::A));
    REQUIRE_THAT(again, !Contains("refused"));
    check_same_places(a, Document(again, shop_of(System::A)), 1e-9);
    const std::string c_text = done(b, convert_system(b, System::C));
    REQUIRE_THAT(c_text, !Contains("refused"));
    CHECK_THAT(c_text, Contains("G71")); // millimetres there
    check_same_places(a, Document(c_text, shop_of(System::C)), 1e-9);
}

TEST_CASE("distances change their form with the system") {
    const Document a("G21 G99\nG00 X50. Z2.\nG01 U-2. W-1. F0.2\nG00 X60.\n", shop_of(System::A));
    CHECK(done(a, convert_system(a, System::B)) ==
          "G90 G21 G95\nG00 X50. Z2.\nG01 X48. Z1. F0.2\nG00 X60.\n");
    const Document b("G90 G21 G95\nG00 X50. Z2.\nG91\nG01 X-2. Z-1. F0.2\nG90 G00 X60.\n",
                     shop_of(System::B));
    CHECK(done(b, convert_system(b, System::A)) == "G21 G99\nG00 X50. Z2.\n\nG01 U-2. W-1. F0.2\nG00 X60.\n");
    // Codes that system A does not have go with their blanks, several in a row, too.
    const Document twice("G21 G95\nN5 G90 G90 G54\nG00 X50. Z2. G90 G90\nN6 G90 G90\n", shop_of(System::B));
    CHECK(done(twice, convert_system(twice, System::A)) == "G21 G99\nN5 G54\nG00 X50. Z2.\nN6\n");
    const Document set_by_call("G90 G21 G95\nG00 X50. Z2.\nG91\nG01 X#5 F0.2\nG90\nM30\n",
                               shop_of(System::B));
    CHECK_THAT(done(set_by_call, convert_system(set_by_call, System::A)),
               Contains("refused: Line 4: X#5 takes a variable that no block sets"));
    const Document unknown("G21 G99\nG01 U-2. F0.2\n", shop_of(System::A));
    CHECK_THAT(done(unknown, convert_system(unknown, System::B)), Contains("refused: Line 2"));
}

TEST_CASE("every U and W goes along to systems where they are no distances") {
    const auto to_b = [](std::string_view program) {
        const Document a(program, shop_of(System::A));
        return done(a, convert_system(a, System::B));
    };
    const std::string head = "G21 G99\nG00 X50. Z2.\n";
    CHECK(to_b(head + "G28 U0. W0.\nM05\nM30\n") ==
          "G90 G21 G95\nG00 X50. Z2.\nG91 G28 X0. Z0.\nG90 M05\nM30\n");
    CHECK(to_b(head + "G28 U0.\nG28 W0.\n/M09\nM30\n") ==
          "G90 G21 G95\nG00 X50. Z2.\nG91 G28 X0.\nG28 Z0.\n/G90 M09\nG90 M30\n");
    CHECK_THAT(to_b(head + "G28 X60. W0.\nM30\n"), Contains("refused: Line 3"));
    CHECK_THAT(to_b(head + "G28 U0. W0.\nIF[#1EQ1]GOTO5\nN5 M30\n"), Contains("refused: Line 4"));
    CHECK_THAT(to_b(head + "G28 U0. W0.\n"), Contains("refused"));
    CHECK(to_b(head + "G75 R1.\nG75 U-20. W-10. P2000 Q3000 F.1\nM30\n") ==
          "G90 G21 G95\nG00 X50. Z2.\nG75 R1.\nG75 X30. Z-8. P2000 Q3000 F.1\nM30\n");
    CHECK(to_b(head + "G92 U-1. W-32. F2.\nU-2.\nM30\n") ==
          "G90 G21 G95\nG00 X50. Z2.\nG78 X49. Z-30. F2.\nX48.\nM30\n");
    CHECK(to_b(head + "G04 U1.5\nM30\n") == "G90 G21 G95\nG00 X50. Z2.\nG04 X1.5\nM30\n");
    CHECK_THAT(to_b(head + "G50 U2.\nM30\n"), Contains("refused: Line 3: U2."));
    CHECK_THAT(to_b(head + "G10 P1 U.1\nM30\n"), Contains("refused: Line 3"));
    // Depths and allowances are no distances.
    CHECK_THAT(to_b(head + "G71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.3\nN10 G00 U-20.\nG01 W-12.\nN20 X50.\nM30\n"),
               Contains("G71 U2. R.5\nG71 P10 Q20 U.4 W.1 F.3\nN10 G00 X30.\nG01 Z-10.\nN20 X50."));
    const auto from = [](System system, System to, std::string_view program) {
        const Document b(program, shop_of(system));
        return done(b, convert_system(b, to));
    };
    // A return under G91 takes letters, and what U means there is not guessed.
    CHECK_THAT(from(System::B, System::A, "G90 G21 G95\nG00 X50. Z2.\nG91 G28 X0. Z0.\nG90\nM30\n"),
               Contains("G28 U0. W0.\n"));
    CHECK_THAT(from(System::C, System::A, "G90 G71 G95\nG00 X50. Z2.\nG01 U-5. F.1\nM30\n"),
               Contains("refused: Line 3") && Contains("not the same on all controls"));
    CHECK_THAT(from(System::B, System::C, "G90 G21 G95\nG00 X50. Z2.\nG28 U0. W0.\nM30\n"),
               Contains("refused: Line 3"));
}

TEST_CASE("degrees a minute are the same in either unit, and Y goes along") {
    const auto in = [&](std::string_view program, Meaning to) {
        const Document document(program, shop_of(System::A));
        return done(document, convert_units(document, to));
    };
    const std::string head = "G20 G98\nT0606\nG00 X2. Z-.5 C0.\n";
    CHECK(in(head + "G01 C90. F360.\nG01 X1. F4.\nM30\n", Meaning::millimetre) ==
          "G21 G98\nT0606\nG00 X50.8 Z-12.7 C0.\nG01 C90. F360.\nG01 X25.4 F101.6\nM30\n");
    CHECK(in(head + "G01 H-90. F200.\nM30\n", Meaning::millimetre) ==
          "G21 G98\nT0606\nG00 X50.8 Z-12.7 C0.\nG01 H-90. F200.\nM30\n");
    CHECK_THAT(in(head + "G01 Z-.75 C180. F50.\nM30\n", Meaning::millimetre),
               Contains("refused: ") && Contains("degrees and lengths"));
    CHECK_THAT(in(head + "G01 C90. F50.\nZ-.75\nM30\n", Meaning::millimetre),
               Contains("refused: ") && Contains("write an F to each"));
    // A chamfer is a length, and its F counts along the way.
    CHECK(
        in("G20 G99 G97 S800 M03\nT0101\nG00 X1. Z.1\nG01 Z-.5 F.01 C.05\nX2.\nM30\n", Meaning::millimetre) ==
        "G21 G99 G97 S800 M03\nT0101\nG00 X25.4 Z2.54\nG01 Z-12.7 F0.254 C1.27\nX50.8\nM30\n");
    // On the plane of X and C it is a length along the way.
    CHECK_THAT(in("G20 G98\nT0606\nG00 X2. Z-.5 C0.\nG12.1\nG01 C.25 F4.\nG13.1\nM30\n", Meaning::millimetre),
               Contains("F101.6"));
    CHECK(in("G20 G98\nT0606\nG00 X2. Z-.5 Y0.\nG01 V.5 F4.\nV.25\nM30\n", Meaning::millimetre) ==
          "G21 G98\nT0606\nG00 X50.8 Z-12.7 Y0.\nG01 V12.7 F101.6\nV6.35\nM30\n");
}

TEST_CASE("turns of C and distances of Y change their form with the system, or are refused") {
    const auto in = [&](std::string_view program, System from, System to) {
        const Document document(program, shop_of(from));
        return done(document, convert_system(document, to));
    };
    CHECK_THAT(in("G21 G98\nT0606\nG28 H0\nG00 X50. Z2. C0.\nM30\n", System::A, System::C),
               Contains("G91 G28 C0\n") && Contains("G90 G00 X50."));
    CHECK_THAT(in("G21 G98\nT0606\nG28 U0 V0 W0\nG00 X50. Z2.\nM30\n", System::A, System::B),
               Contains("G91 G28 X0 Y0 Z0\n"));
    CHECK_THAT(in("G21 G98\nT0606\nG00 X50. Z2. Y0.\nG01 V5. F100.\nM30\n", System::A, System::B),
               Contains("G01 Y5. F100."));
    // The other way round, or a whole turn, as a position it would be another one.
    CHECK_THAT(in("G21 G98\nT0606\nG00 X50. Z2. C0.\nG01 H-360. F100.\nM30\n", System::A, System::C),
               Contains("refused: ") && Contains("H-360."));
    CHECK_THAT(
        in("G21 G90 G94\nT0606\nG00 X50. Z2. C0.\nG91 G01 C30. F100.\nG90\nM30\n", System::B, System::A),
        Contains("G01 H30. F100."));
}

TEST_CASE("diameter to radius") {
    const Document document("G21 G99\nG00 X50. Z2.\nG01 X25. U-1. F0.2\n", shop_of(System::A));
    CHECK(done(document, convert_x_reading(document, shop::XReading::radius)) ==
          "G21 G99\nG00 X25. Z2.\nG01 X12.5 U-0.5 F0.2\n");
    CHECK_THAT(done(document, convert_x_reading(document, shop::XReading::diameter)), Contains("already"));
}

TEST_CASE("absolute to incremental and back") {
    const Document a("G21 G99\nG00 X50. Z2.\nG01 X48. Z-5. F0.2\nX46.\nG00 X60.\n", shop_of(System::A));
    CHECK(done(a, convert_distance(a, {{2, 0}, {3, 0}}, Meaning::incremental)) ==
          "G21 G99\nG00 X50. Z2.\nG01 U-2. W-7. F0.2\nU-2.\nG00 X60.\n");
    const Document back("G21 G99\nG00 X50. Z2.\nG01 U-2. W-7. F0.2\nU-2.\nG00 X60.\n", shop_of(System::A));
    CHECK(done(back, convert_distance(back, {{2, 0}, {3, 0}}, Meaning::absolute)) ==
          "G21 G99\nG00 X50. Z2.\nG01 X48. Z-5. F0.2\nX46.\nG00 X60.\n");
    const Document b("G90 G21 G95\nG00 X50. Z2.\nG01 X48. Z-5. F0.2\nX46.\nG00 X60.\n", shop_of(System::B));
    CHECK(done(b, convert_distance(b, {{2, 0}, {3, 0}}, Meaning::incremental)) ==
          "G90 G21 G95\nG00 X50. Z2.\nG91 G01 X-2. Z-7. F0.2\nX-2.\nG90 G00 X60.\n");
    const Document unknown("G21\nG01 X5. F0.2\n", shop_of(System::A));
    CHECK_THAT(done(unknown, convert_distance(unknown, {{1, 0}, {1, 0}}, Meaning::incremental)),
               Contains("refused: Line 2: the position"));
}

TEST_CASE("commands take their arguments as text and refuse what they cannot read") {
    const Document document(example_text("pump-shaft.nc"), shop_of(System::A));
    CHECK(run_command(document, "turnwright.convertUnits", {"inch"}).done());
    CHECK_FALSE(run_command(document, "turnwright.convertUnits", {"furlong"}).done());
    CHECK_FALSE(run_command(document, "turnwright.convertUnits", {}).done());
    CHECK_FALSE(run_command(document, "turnwright.nothing", {}).done());
    CHECK_FALSE(run_command(document, "turnwright.convertDistance", {"absolute", "x", "-1"}).done());
    CHECK(run_command(document, "turnwright.renumber", {"sequences", "200", "10"}).done());
    CHECK_FALSE(run_command(document, "turnwright.renumber", {"sequences", "-1"}).done());
    for (const std::string& name : command_names()) CHECK_NOTHROW(run_command(document, name, {"", "", ""}));
}

// --- Warnings and what mends them
// -----------------------------------------------------------------------------

TEST_CASE("a quick fix ends its warning and keeps the moves") {
    const Open open("G21 G99 T0101\nG97 S500 M03\nG00 X75. Z12.\nG00 X$052 Z1.\nG01 Z0. F0.2\nM30\n",
                    System::A);
    bool found = false;
    for (const CodeAction& action : code_actions(open.document, {open.cursor(), open.cursor()})) {
        if (action.kind != "quickfix" || action.command) continue;
        found = true;
        REQUIRE_FALSE(action.mends.empty());
        const Document after(with_edits(open.document, action.edits), open.document.shop_pointer());
        for (const Warning& warning : warnings(after))
            CHECK_FALSE(
                (warning.id == action.mends[0].id && warning.range.begin == action.mends[0].range.begin));
    }
    CHECK(found);
}

TEST_CASE("fix all leaves nothing that it could mend") {
    Document document(example_text("pump-shaft-faulty.nc"), shop_of(System::A));
    int rounds = 0;
    for (; rounds < 6; ++rounds) {
        const Rewrite rewrite = fix_all(document, "");
        if (!rewrite.done()) break;
        document.replace_all(with_edits(document, rewrite.files[0].edits));
        document.evaluate();
    }
    CHECK(rounds > 0);
    CHECK(rounds < 6);
}

TEST_CASE("conversions are offered as commands that run") {
    const Open open("G21 G99\nG00 X5$00. Z2.\nG01 X48. F0.2\n", System::A);
    int commands = 0;
    for (const CodeAction& action : code_actions(open.document, {open.cursor(), open.cursor()})) {
        if (!action.command) continue;
        ++commands;
        CHECK(action.edits.empty());
        CHECK_NOTHROW(run_command(open.document, action.command->name, action.command->arguments));
    }
    CHECK(commands >= 8);
}

// --- Hints
// ----------------------------------------------------------------------------------------------------

namespace {
std::string hinted(std::string_view program, std::string_view toml, const HintOptions& options = {}) {
    const Document document(program, shop_of(toml));
    std::ostringstream out;
    for (const InlayHint& hint : inlay_hints(document, {{0, 0}, document.buffer().end()}, options))
        out << hint.at.line + 1 << ':' << hint.at.column << ' ' << hint.text << '\n';
    return out.str();
}
} // namespace

TEST_CASE("inlay hints show what the words come to") {
    // 1000 * 220 / (pi * 40) = 1750.7, / (pi * 20) = 3501.4 held at 2500; 0.2 * 1750.7 = 350 (formula: page
    // L030).
    const std::string program =
        "G21 G99 T0101\nG50 S2500\nG97 S1000 M03\nG00 X40. Z1.\nG96 S220\nG01 Z0. F0.2\nX20.\nW-5.\n";
    const std::string all = hinted(program, "[[machine]]\nsystem = \"A\"\n");
    CHECK_THAT(all, Contains("5:8 1751 rpm"));
    CHECK_THAT(all, Contains("6:12 350 mm/min"));
    CHECK_THAT(all, Contains("7:4 2500 rpm"));
    CHECK_THAT(all, Contains("8:4 Z-5."));
    HintOptions none{false, false, false, false, false};
    CHECK(hinted(program, "[[machine]]\nsystem = \"A\"\n", none).empty());
    CHECK_THAT(hinted("G21\nG00 X52 Z1.\n", "[[machine]]\nsystem = \"A\"\nno_point = \"least increments\"\n"),
               Contains("2:7 = 0.052"));
    CHECK(
        hinted("G21\nG00 X52 Z1.\n", "[[machine]]\nsystem = \"A\"\n").empty()); // reading not known: no guess
}

TEST_CASE("a lens stands above each sequence") {
    const Document document(example_text("pump-shaft.nc"), shop_of(System::A));
    const std::vector<CodeLens> lenses = code_lenses(document);
    REQUIRE(lenses.size() == 6);
    CHECK_THAT(lenses[0].title, Contains("T0101"));
    CHECK_THAT(sequence_report(document, lenses[1].range.begin.line),
               Contains("N2") && Contains("prove the entry"));
    CHECK(sequence_report(Document("", nullptr), 0).empty());
}

TEST_CASE("times and lists as people say them") {
    CHECK(time_text(0.36) == "0.4 s");
    CHECK(time_text(42) == "42 s");
    CHECK(time_text(185) == "3 min 05 s");
    CHECK(time_text(4320) == "1 h 12 min");
    CHECK(list_parts(0) == "nothing");
    CHECK(list_parts(machine::part(codes::Group::units) | machine::part(codes::Group::datum) |
                     machine::part(machine::Part::feed)) == "units, datum and feed");
}

TEST_CASE("the restart table has a row for each sequence") {
    const Document document(example_text("pump-shaft.nc"), shop_of(System::A));
    const std::string table = restart_report(document);
    CHECK_THAT(table, Contains("N1") && Contains("T0909") && Contains("takes over") && Contains("no proof"));
    CHECK(std::count(table.begin(), table.end(), '\n') >= 6 + 5);
    CHECK(restart_report(Document("", nullptr)) == "The program has no sequences.\n");
}

TEST_CASE(
    "the whole program is rewritten from its head or a selection, not from every line; fixes come first") {
    const Document document(
        "%\nO1 (PART)\nN1 (FACE)\nG54 G18 G97 G21 G80 G40 G99\nT0101\nG96 S200 M03\nG00 X5 Z2.\nG01 "
        "X2. F0.2\nM05\nM01\nM30\n%\n",
        test::shop_of(System::A));
    const auto kinds = [&](Range range) {
        std::vector<std::string> all;
        for (const CodeAction& action : code_actions(document, range)) all.push_back(action.kind);
        return all;
    };
    const auto rewrites = [&](Range range) {
        const auto all = kinds(range);
        return std::count(all.begin(), all.end(), "refactor.rewrite");
    };
    CHECK(rewrites({{7, 0}, {7, 0}}) == 0);
    CHECK(rewrites({{5, 4}, {5, 4}}) == 0);
    CHECK(code_actions(document, {{5, 4}, {5, 4}}, true).size() > 7); // Asked for by their kind
    CHECK(rewrites({{1, 0}, {1, 0}}) == 8);
    CHECK(rewrites({{6, 0}, {7, 3}}) == 9);
    const auto all = kinds({{0, 0}, {11, 0}});
    REQUIRE(!all.empty());
    CHECK(all.front() == "quickfix");
    CHECK(std::is_partitioned(all.begin(), all.end(),
                              [](const std::string& kind) { return kind == "quickfix"; }));
}

TEST_CASE("R of a drilling cycle is a distance in system A and a level in B and C") {
    const auto converted = [](System from, System to, std::string_view program) {
        const Document document(program, shop_of(from));
        return done(document, convert_system(document, to));
    };
    const std::string head = "G21 G99 G97 S900 M03\nG00 X40. Z5.\n";
    // 3 in front of the face, from 5: the level is at 2.
    CHECK_THAT(converted(System::A, System::B, head + "G83 Z-20. R-3. Q5000 F.1\nG80\nM30\n"),
               Contains("G83 Z-20. R2. Q5000"));
    CHECK_THAT(converted(System::A, System::C, head + "G83 Z-20. R-3. Q5000 F.1\nG80\nM30\n"),
               Contains("G83 Z-20. R2. Q5000"));
    // Into the side it is on radius there, and a diameter here: 20 - 3 = 17, twice that.
    CHECK_THAT(converted(System::A, System::B, head + "G87 X20. R-3. F.1\nG80\nM30\n"),
               Contains("G87 X20. R34. F.1"));
    const std::string head_b = "G90 G21 G95 G97 S900 M03\nG00 X40. Z5.\n";
    CHECK_THAT(converted(System::B, System::A, head_b + "G83 Z-20. R2. Q5000 F.1\nG80\nM30\n"),
               Contains("G83 Z-20. R-3. Q5000"));
    CHECK_THAT(converted(System::B, System::A, head_b + "G83 Z-20. R-3. Q5000 F.1\nG80\nM30\n"),
               Contains("refused: Line 3") && Contains("or a distance on lathes set so"));
    CHECK_THAT(converted(System::A, System::B, "G21 G99 G97 S900 M03\nG83 Z-20. R-3. F.1\nG80\nM30\n"),
               Contains("refused: Line 2"));
}

TEST_CASE("stock in a note of the shop's own words goes along with the unit") {
    const auto to_inch = [](std::string_view note) {
        const Document metric(fmt::format("O1\n{}\nG21 G99\nG00 X50.8 Z2.54\nM30\n", note),
                              shop_of(System::A));
        return done(metric, convert_units(metric, Meaning::inch));
    };
    CHECK_THAT(to_inch("(BAR 63.5 DIA C45)"), Contains("(BAR 2.5 DIA C45)"));
    CHECK_THAT(to_inch("(ROHTEIL D50.8X127)"), Contains("(ROHTEIL D2.X5.)"));
    CHECK_THAT(to_inch("(BAR 2-1/2 DIA C45)"), Contains("(BAR 2-1/2 DIA C45)"));
    CHECK_THAT(to_inch("(BAR 63.5 MM DIA C45)"), Contains("(BAR 63.5 MM DIA C45)"));
    CHECK_THAT(to_inch("(PIN 40 LONG)"), Contains("(PIN 40 LONG)"));
}

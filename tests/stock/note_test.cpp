// The stock note: a form of our own, so its only source is stock.h.
#include "stock/stocked_program.h"

using namespace turnwright;
using namespace turnwright::stock;

TEST_CASE("a stock note with everything in it") {
    auto note =
        read_stock_note("STOCK D60. L120 FACE 1.5 BORE 20. JAW Z-80. D180. TAIL Z2. D12. MATERIAL C45");
    REQUIRE(note);
    CHECK(note->wrong.empty());
    CHECK(*note->diameter == 60);
    CHECK(*note->length == 120);
    CHECK(*note->face == 1.5);
    CHECK(*note->bore == 20);
    CHECK(*note->jaw_z == -80);
    CHECK(*note->jaw_diameter == 180);
    CHECK(*note->tail_z == 2);
    CHECK(*note->tail_diameter == 12);
    CHECK(note->material == "C45");
}

TEST_CASE("other notes are left alone") {
    for (std::string_view text :
         {"", "STOCK", "STOCK 60 DIA BAR", "STOCK: 2.5 ROUND", "BAR STOCK D60 L120", "STOCK DIAMETER 60",
          "STOCK LEFT ON FACE", "STOCK FACE", "STOCKING D60 L120"})
        CHECK(!read_stock_note(text));
}

TEST_CASE("what is wrong with a stock note is said") {
    struct Row {
        std::string_view text, says;
    };
    for (auto [text, says] : {
             Row{"STOCK D60.", "L, the length, is missing"},
             Row{"STOCK L60.", "D, the diameter, is missing"},
             Row{"STOCK D60 L120 D70", "D is there twice"},
             Row{"STOCK D6O L120", "\"D6O\""},
             Row{"STOCK D6.0.0 L120", "no number"},
             Row{"STOCK D60 L120 FACE", "FACE has no number"},
             Row{"STOCK D60 L120 JAW -80", "JAW needs its place"},
             Row{"STOCK D60 L120 COLOUR RED", "\"COLOUR\""},
             Row{"STOCK D60 L0", "L must be above 0"},
             Row{"STOCK D60 L120 BORE 60", "BORE is not smaller"},
             Row{"STOCK D60 L120 JAW Z20", "do not stand on the stock"},
             Row{"STOCK D60 L120 MATERIAL", "no name after it"},
         }) {
        auto note = read_stock_note(text);
        INFO(text);
        REQUIRE(note);
        CHECK(!note->usable());
        CHECK_THAT(note->wrong, Catch::Contains(std::string(says)));
    }
}

TEST_CASE("no bytes upset the note reader") {
    for (int a = 0; a < 256; ++a)
        for (std::string_view frame :
             {"STOCK D%", "STOCK D60 L1%0", "STOCK D60 L10 JAW Z%", "STOCK %", "%STOCK D1"}) {
            std::string text(frame);
            text[text.find('%')] = static_cast<char>(a);
            auto note = read_stock_note(text);
            CHECK((!note || note->usable() || !note->wrong.empty()));
        }
}

TEST_CASE("a note is read in the program's unit, and goes before the shop file") {
    StockedProgram program(
        "(STOCK D2. L4. FACE 0.1 JAW Z-3.)\nG20 G99\nT0101\nG00 X3. Z1.\nG01 X2.5 F.01\nM30\n",
        tools_and_stock);
    REQUIRE(program.program().setup);
    const Setup& setup = *program.program().setup;
    CHECK(setup.radius_mm == Approx(25.4));
    CHECK(setup.front_z_mm == Approx(2.54));
    CHECK(setup.back_z_mm == Approx(-3.9 * 25.4));
    CHECK(*setup.jaw_z_mm == Approx(-76.2));
    CHECK(setup.bore_radius_mm == 0);
}

TEST_CASE("a note without a known unit is not taken for either") {
    StockedProgram program("(STOCK D2. L4.)\nT0101\nG00 X3. Z1.\nM30\n", tools_and_stock);
    CHECK(!program.program().setup);
    CHECK(program.program().stop == Stop::units_unknown);
}

TEST_CASE("a stock that the shop file gives in part is not made up") {
    StockedProgram program("G21 G99\nT0101\nG00 X60. Z1.\nM30\n", "units = \"mm\"\n[stock]\ndiameter = 50\n");
    CHECK(!program.program().setup);
    CHECK(program.program().stop == Stop::incomplete_stock);
    CHECK(program.program().missing == std::vector<std::string_view>{"bore", "front_z"});
}

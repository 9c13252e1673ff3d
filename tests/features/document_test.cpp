// A document after any script of edits equals one opened with its text.
#include "features/assumed.h"
#include "features/open.h"
#include "machine/course.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <functional>
#include <random>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using features::test::shop_of;

namespace {

std::string example(const char* name) {
    std::ifstream file(std::string(SOURCE_DIR) + "/docs/examples/" + name);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

std::string described(const Document& document) {
    std::ostringstream out;
    out << codes::system_letter(document.settings().system)
        << static_cast<int>(document.settings().system_from) << '\n';
    for (const Warning& warning : warnings(document)) {
        out << warning.range.begin.line << ':' << warning.range.begin.column << '-' << warning.range.end.line
            << ':' << warning.range.end.column << ' ' << warning.id << ' ' << warning.message << '\n';
        for (const RelatedWarning& related : warning.related)
            out << "  " << related.range.begin.line << ' ' << related.message << '\n';
    }
    const auto show = [&](const auto& self, const std::vector<Symbol>& symbols) -> void {
        for (const Symbol& symbol : symbols) {
            out << symbol.name << '|' << symbol.detail << '|' << symbol.range.begin.line << '-'
                << symbol.range.end.line << '\n';
            self(self, symbol.children);
        }
    };
    show(show, document_symbols(document));
    for (const CodeLens& lens : code_lenses(document))
        out << lens.range.begin.line << ' ' << lens.title << '\n';
    for (const Token& token : semantic_tokens(document))
        out << token.at.line << ':' << token.at.column << '+' << token.length << ' '
            << static_cast<int>(token.type) << ' ' << token.modifiers << '\n';
    for (const FoldingRange& fold : folding_ranges(document))
        out << fold.first_line << '-' << fold.last_line << ' ';
    return out.str();
}

/// Whether both read every block the same.
bool same_states(const Document& a, const Document& b) {
    std::vector<machine::State> states;
    for (std::size_t run = 0; run < a.analysis().size(); ++run)
        a.analysis().visit(run, [&](const machine::BlockView& view) { states.push_back(view.before); });
    std::size_t line = 0;
    bool same = true;
    for (std::size_t run = 0; run < b.analysis().size(); ++run)
        b.analysis().visit(run, [&](const machine::BlockView& view) {
            same = same && line < states.size() && states[line] == view.before;
            ++line;
        });
    return same && line == states.size();
}

Position any_position(const text::Buffer& buffer, std::mt19937& random) {
    const auto line = static_cast<std::uint32_t>(random() % buffer.line_count());
    return {line, static_cast<std::uint32_t>(random() % (buffer.line(line).size() + 1))};
}

const char* const snippets[] = {
    "X",
    "4",
    "0",
    ".",
    "\n",
    "G",
    "N5",
    "T0303\n",
    "G96 S200\n",
    "G00 X50. Z2.\n",
    "(NOTE",
    ")",
    "M01\n",
    "M30\n",
    "%\n",
    "G20",
    "G21\n",
    "#100=5\n",
    "GOTO 101\n",
    "WHILE[#1LT3]DO1\n",
    "END1\n",
    "/",
    "G71 P101 Q102 U0.4 F0.2\n",
    "G90\n",
    "G77 X20. Z-5.\n",
    "M98 P3000\n",
    "O2000\n",
    "M99\n",
    "\r\n",
    " ",
    ";",
    "\xE9",
    "G80",
    "F0.1",
};

void run_script(const std::string& start, unsigned seed, int rounds) {
    std::mt19937 random(seed);
    Document document(start, nullptr, "job.nc");
    for (int round = 0; round < rounds; ++round) {
        const int edits = random() % 4 == 0 ? 3 : 1;
        for (int i = 0; i < edits; ++i) {
            const Position begin = any_position(document.buffer(), random);
            Position end = begin;
            if (random() % 3 == 0) {
                end = {begin.line + static_cast<std::uint32_t>(random() % 3),
                       static_cast<std::uint32_t>(random() % 9)};
                if (end < begin) end = begin;
            }
            const char* with = random() % 4 == 0 ? "" : snippets[random() % std::size(snippets)];
            document.edit({begin, end}, with);
        }
        document.evaluate();
        const Document fresh(document.buffer().whole(), nullptr, "job.nc");
        INFO("seed " << seed << " round " << round << "\n" << document.buffer().whole());
        REQUIRE(same_states(document, fresh));
        REQUIRE(described(document) == described(fresh));
    }
}

} // namespace

TEST_CASE("after every edit of a random script the document equals a fresh one") {
    run_script(example("pump-shaft.nc"), 1, 60);
    run_script(example("wear-bushing.nc"), 2, 60);
    run_script(example("pump-shaft-faulty.nc"), 3, 60);
    run_script("", 4, 120);
}

TEST_CASE("edits that wait become one splice that covers them") {
    const text::Splice far = merge({10, 1, 2}, {3, 2, 1});
    CHECK(far.first == 3);
    CHECK(far.removed == 8);  // old leaves 3..10
    CHECK(far.inserted == 8); // one less at the front, one more behind
    const text::Splice inside = merge({4, 1, 3}, {5, 1, 1});
    CHECK(inside.first == 4);
    CHECK(inside.removed == 1);
    CHECK(inside.inserted == 3);
}

TEST_CASE("edits at both ends before one evaluation") {
    std::string long_program = "%\nO1\nG21 G99\nT0101\nG97 S500 M03\n";
    for (int i = 0; i < 400; ++i) long_program += "G01 X" + std::to_string(i) + ". F0.2\n";
    long_program += "M30\n%\n";
    Document document(long_program, nullptr);
    document.edit({{2, 0}, {2, 3}}, "G20");
    document.edit({{404, 0}, {404, 0}}, "G00 X3.\nZ5.\n");
    document.edit({{200, 0}, {203, 0}}, "");
    document.evaluate();
    const Document fresh(document.buffer().whole(), nullptr);
    CHECK(same_states(document, fresh));
    CHECK(described(document) == described(fresh));
    CHECK(document.analysis().before(document.place_of_line(300)).is(codes::Meaning::inch));
}

TEST_CASE("a word that tells the G-code system changes how everything is read") {
    Document document("G21 G95\nG00 X50. Z2.\n", nullptr);
    document.edit({{0, 0}, {0, 0}}, "G50 S2000\nG97 G99\n");
    document.edit({{3, 0}, {3, 7}}, "");
    document.evaluate();
    const Document fresh(document.buffer().whole(), nullptr);
    CHECK(document.settings().system == fresh.settings().system);
    CHECK(described(document) == described(fresh));
}

TEST_CASE("another shop file is taken up at the next evaluation") {
    Document document("G90 X20. Z-5. F0.2\n", shop_of(codes::System::A));
    CHECK(document.settings().system == codes::System::A);
    document.use_shop(shop_of(codes::System::B));
    document.evaluate();
    CHECK(document.settings().system == codes::System::B);
}

TEST_CASE("a note in the head names the machine") {
    const auto shop =
        shop_of("[[machine]]\nname = \"long bed\"\nsystem = \"A\"\n[[machine]]\nname = \"old inch\"\n"
                "system = \"B\"\n");
    Document document("%\nO1 (SHAFT)\n(MACHINE: OLD INCH)\nG00 X1.\n", shop);
    CHECK(document.settings().system == codes::System::B);
    document.edit({{2, 0}, {2, 19}}, "(MACHINE: LONG BED)");
    document.evaluate();
    CHECK(document.settings().system == codes::System::A);
}

TEST_CASE("places, lines and ranges agree") {
    const Document document(example("pump-shaft.nc"), nullptr);
    for (std::size_t line = 0; line < document.buffer().line_count(); ++line) {
        const machine::BlockPlace place = document.place_of_line(line);
        CHECK(document.line_of(place) == line);
        CHECK(document.buffer().slice(document.range_of(place)) == document.buffer().line(line));
        for (const syntax::Item& item : document.items(place)) {
            CHECK(document.range_of(place, item) ==
                  document.range_in_run(place.run, item.begin, item.length));
            CHECK(document.buffer().slice(document.range_of(place, item)) ==
                  document.run(place.run).text_of(item));
        }
    }
}

TEST_CASE("a program with jumps, loops and calls is gone over as often as one without") {
    const auto visits_a_block = [](const std::function<std::string(int)>& unit) {
        std::string text = "O1\nG21 G99 G97 S500 M03\nT0101 F0.1\nG00 X100. Z2.\n";
        for (int i = 0; i < 1500; ++i) text += unit(i) + "G01 X3. Z-4.\nX9. Z-3.\nX3. Z-4.\nX9. Z-3.\n";
        const std::size_t before = machine::blocks_visited();
        const Document document(text + "M30\n", shop_of(codes::System::A));
        (void)assumed_in_short(document);
        return static_cast<double>(machine::blocks_visited() - before) /
               static_cast<double>(document.buffer().line_count());
    };
    const auto number = [](int i) { return std::to_string(i); };
    const double plain = visits_a_block([](int) { return "G00 X5.\n"; });
    CHECK(plain > 1.9); // Blocks, and sequences
    CHECK(plain < 3.1); // And what is cut, of a program that is not too long
    const std::function<std::string(int)> units[] = {
        [&](int i) { return "N" + number(i) + " X3.\nIF[#1LT5]GOTO" + number(i) + "\n"; },
        [&](int i) { return "GOTO" + number(i) + "\nN" + number(i) + " X3.\n"; },
        [](int) { return "WHILE[#1LT5]DO1\n#1=#1+1\nX3.\nEND1\n"; },
        [](int) { return "G66 P9000 A1.\nX3.\nG67\n"; },
        [](int) { return "M98 P9000\n"; },
    };
    for (const auto& unit : units) {
        INFO(unit(7));
        CHECK(visits_a_block(unit) < plain + 0.1);
    }
}

// How much of a window a hover takes.
#include "features/open.h"
#include "features/speech.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

using namespace turnwright;
using namespace turnwright::features;
using Catch::Contains;
using features::test::shop_of;

namespace {

std::string contents(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

/// Lines between the fences of the state.
std::size_t state_lines(const std::string& markdown) {
    const std::size_t begin = markdown.find("```text\n");
    if (begin == std::string::npos) return 0;
    const std::size_t end = markdown.find("```", begin + 8);
    return static_cast<std::size_t>(std::count(markdown.begin() + static_cast<std::ptrdiff_t>(begin),
                                               markdown.begin() + static_cast<std::ptrdiff_t>(end), '\n')) -
           1;
}

} // namespace

TEST_CASE("every hover of the examples and the corpus fits a window of 80 by 24 with its state") {
    // Two lines of the editor and two of a border are taken off; a border and its padding take four columns.
    constexpr std::size_t most = 20, columns = 76;
    std::size_t hovers = 0, longest = 0, with_state = 0;
    for (const char* folder : {"docs/examples", "tests/corpus"})
        for (const auto& entry :
             std::filesystem::recursive_directory_iterator(std::filesystem::path(SOURCE_DIR) / folder)) {
            if (entry.path().extension() != ".nc") continue;
            std::filesystem::path toml = entry.path();
            toml.replace_extension(".turnwright.toml");
            const auto shop = std::filesystem::exists(toml) ? shop_of(contents(toml)) : nullptr;
            const Document document(contents(entry.path()), shop, entry.path());
            for (std::size_t line = 0; line < document.buffer().line_count(); ++line) {
                const auto place = document.place_of_line(line);
                for (const syntax::Item& item : document.items(place)) {
                    const std::uint32_t column = item.begin - document.block(place).begin;
                    const auto found = hover(document, {static_cast<std::uint32_t>(line), column});
                    if (!found) continue;
                    ++hovers;
                    const std::size_t lines = lines_shown(found->markdown, columns);
                    longest = std::max(longest, lines);
                    if (lines > most || state_lines(found->markdown) > 8) {
                        INFO(entry.path() << ":" << line + 1 << "\n" << found->markdown);
                        CHECK(lines <= most);
                        CHECK(state_lines(found->markdown) <= 8);
                    }
                    // The state is told within the first half of the window.
                    const std::size_t state = found->markdown.find("```text");
                    if (state == std::string::npos) continue;
                    ++with_state;
                    if (lines_shown(found->markdown.substr(0, state), columns) > most / 2)
                        FAIL(entry.path() << ":" << line + 1 << "\n" << found->markdown);
                }
            }
        }
    CHECK(hovers > 10'000);
    CHECK(with_state > hovers / 2);
    CHECK(longest > 8); // Else nothing was measured
}

TEST_CASE("lines are counted as an editor wraps them") {
    CHECK(lines_shown("one\n\ntwo\n", 76) == 3);
    CHECK(lines_shown("```text\nrow\nrow\n```\n", 76) == 2);
    CHECK(lines_shown(std::string(76, 'x'), 76) == 1);
    CHECK(lines_shown(std::string(77, 'x'), 76) == 2);
    CHECK(lines_shown("\\*\\*", 2) == 1);
    CHECK(lines_shown("\u00b5\u00b5", 2) == 1);
}

TEST_CASE("the longest notes and names do not push the state out") {
    const std::string note(3000, 'W');
    const std::string program = "%\nO1 (" + note + ")\n(T01 " + note + ")\nN1 (" + note +
                                ")\nG21 G99\nT0101\nG97 S500 M03\nG00 X5. Z5.\n"
                                "G71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.2\nN10 G00 X2. (" +
                                note + ")\nN20 G01 X5.\nM30\n";
    const Document document(program, shop_of(codes::System::A), note.substr(0, 100) + ".nc");
    for (std::uint32_t line = 0; line < 13; ++line)
        for (std::uint32_t column = 0; column < 12; ++column)
            if (const auto found = hover(document, {line, column})) {
                INFO(found->markdown);
                CHECK(lines_shown(found->markdown, 76) <= 20);
            }
}

TEST_CASE("what changes comes first, each with what it was") {
    const test::Open open(
        "G21 G99 G97 S800 M03\nT0101\nG00 X40. Z2.\nG01 Z-5. F0.28\n$0Z-9. F0.14 M08\nM30\n",
        codes::System::A);
    const auto found = hover(open.document, open.cursor());
    REQUIRE(found);
    const std::string& text = found->markdown;
    CHECK_THAT(text, Contains("feed      0.28 -> 0.14 mm/rev = 112 mm/min\nposition  X40. Z-5. -> X40. Z-9.\n"
                              "modes     now M08; "));
    CHECK(text.find("M08;") < text.find("spindle "));
}

TEST_CASE("the spindle tells what changes of it, once") {
    const auto told = [](const char* program) {
        const test::Open open(program, codes::System::A);
        return hover(open.document, open.cursor())->markdown;
    };
    // 1000 x 180 / (pi x 52) = 1101.8 rpm (exact).
    CHECK_THAT(told("G21 G99 G97 S1150 M03\nG50 S2500\nT0101\nG00 X52. Z1.\n$0G96 S180\n"),
               Contains("forward (M03), G97 1150 rpm -> G96 180 m/min: 1102 rpm at X52.,"));
    CHECK_THAT(told("G21 G99 G97 S1150 M03\nT0101\n$0M05\n"),
               Contains("forward (M03), G97 1150 rpm -> stopped (M05), G97"));
}

TEST_CASE("nothing is told to change into itself") {
    const auto told = [](const char* program) {
        const test::Open open(program, codes::System::A);
        return hover(open.document, open.cursor())->markdown;
    };
    // What was assumed is stated; it was not something else.
    CHECK_THAT(told("G40\n$0G21 G97\n(FEED .25)\nG00 X52.5\nG01 Z-35.5 F.25\n"),
               Contains("modes    now mm; ") && Contains("G97 (assumed) -> G97\n"));
    CHECK_THAT(told("(FEED)\n$0G20\nG00 X52.5\nG01 Z-35.5 F.25\n"),
               Contains("-> inch") || Contains("now inch"));
    CHECK_THAT(told("(HEAD)\n$0G97\nG00 X52.5\n"), Contains("Assumed so far, stated here."));
    CHECK_THAT(told("G97\n$0G97\nG00 X52.5\n"), Contains("In force already: nothing changes."));
    // Where the speed does not follow X, a limit changes nothing but itself.
    CHECK_THAT(told("G21 G97 S800\nM05\n$0G50 S1500\n"),
               Contains("spindle  stopped (M05), G97 800 rpm, no limit set -> limit 1500\n"));
    CHECK_THAT(told("G21 G97 S800\nG50 S2500\n$0G50 S1500\n"), Contains(", limit 2500 -> limit 1500\n"));
}

TEST_CASE("a number that means something else in another system says so") {
    const auto told = [](const char* program, codes::System system) {
        const test::Open open(program, system);
        const auto found = hover(open.document, open.cursor());
        return found ? found->markdown : std::string();
    };
    CHECK_THAT(told("G21\n$0G90 X20.\n", codes::System::B),
               Contains("In G-code system B; ") && Contains(" in A."));
    CHECK_THAT(told("G21\n$0G98\n", codes::System::A), Contains("In G-code system A; "));
    CHECK_THAT(told("G21\n$0G01 X5.\n", codes::System::A), !Contains("In G-code system"));
    CHECK_THAT(told("G21\n$0G96 S100\n", codes::System::A), !Contains("In G-code system"));
}

TEST_CASE("what to watch is told where the code changes something, the rest by explain") {
    const auto told = [](const char* program) {
        const test::Open open(program, codes::System::A);
        return hover(open.document, open.cursor())->markdown;
    };
    CHECK_THAT(told("G21\nG00 X5.\n$0M08\n"), Contains("Watch that") && Contains("turnwright explain M08"));
    CHECK_THAT(told("G21\nM08\n$0M08\n"), !Contains("Watch that") && Contains("turnwright explain M08"));
    CHECK_THAT(told("(HEAD)\nG54 $0G21 G18 G97 G80 G40 G99\n"), !Contains("Watch that"));
}

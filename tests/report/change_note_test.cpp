// The fingerprint of what a program does, and what changed as notes for its head.
#include "report/likeness.h"
#include "report/opened.h"
#include "report/sheet.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace turnwright {
namespace {

std::string replaced(std::string_view text, std::string_view from, std::string_view to) {
    std::string out(text);
    const std::size_t at = out.find(from);
    REQUIRE(at != std::string::npos);
    return out.replace(at, from.size(), to);
}

std::string fingerprint_of(std::string_view program, std::string_view shop_file = {}) {
    return report::fingerprint(report::likeness_of(report::course_of(*opened(program, shop_file))));
}

std::string note_of(std::string_view before, std::string_view after) {
    return report::change_note(report::compare(*opened(before), *opened(after)));
}

/// Programs of this repository, in all three systems.
std::vector<std::string> programs() {
    std::vector<std::string> out;
    for (const char* folder : {"docs/examples", "tests/corpus"})
        for (const auto& entry :
             std::filesystem::recursive_directory_iterator(std::filesystem::path(SOURCE_DIR) / folder)) {
            if (entry.path().extension() != ".nc") continue;
            std::ifstream in(entry.path(), std::ios::binary);
            std::string text, line;
            while (std::getline(in, line))
                if (!line.starts_with(';')) text += line + "\n"; // Marks are no part of the program
            if (text.size() < 20'000) out.push_back(std::move(text));
        }
    std::sort(out.begin(), out.end());
    return out;
}

/// What the machine takes no notice of: blanks between words and at the ends of lines, a note, empty lines.
std::string dressed(const std::string& program) {
    std::istringstream in(program);
    std::string out, line;
    while (std::getline(in, line)) {
        // A note of its own may make a sequence, or take the place of a sequence's note.
        const bool moves = line.starts_with("G01") || line.starts_with("G1 ");
        out += (moves ? "  " + line + "  (SEEN)" : line) + "\n";
    }
    return out;
}

} // namespace

TEST_CASE("fingerprint: nothing of it by notes, blanks and numbers; another by whatever else is done") {
    const std::string first = fingerprint_of(two_tools);
    CHECK(first.size() == 14);
    CHECK(first[4] == '-');
    CHECK(first.find_first_of("01IO") == std::string::npos);
    CHECK(fingerprint_of(two_tools) == first);
    for (const auto& [from, to] : {std::pair{"(TURN)", "(TURN TO SIZE)"},
                                   {"N2 (GROOVE)", "N20 (GROOVE)"},
                                   {"G01 Z-48. F0.2", " g1  z-48.0 f.20 (LONG)"},
                                   {"O0007 (PIN)", "O0008 (PIN, SECOND SIDE)"},
                                   {"X44.", "G01 X44. F0.2"}})
        CHECK(fingerprint_of(replaced(two_tools, from, to)) == first);
    for (const auto& [from, to] : {std::pair{"F0.2", "F0.21"},
                                   {"S1000", "S1001"},
                                   {"Z-48.", "Z-48.001"},
                                   {"T0202", "T0212"},
                                   {"M01", "M00"},
                                   {"X44.\n", "/X44.\n"},
                                   {"G54 T0101", "G55 T0101"},
                                   {"G00 X40. Z2.", "M08\nG00 X40. Z2."}})
        CHECK(fingerprint_of(replaced(two_tools, from, to)) != first);
}

TEST_CASE("fingerprint: systems, inch, radius, a loop and a called program") {
    constexpr std::string_view b = "G21 G18 G90 G95\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-30. F0.2\n"
                                   "G00 X100. Z50.\nM30\n";
    const std::string first = fingerprint_of(b, "[[machine]]\nsystem = \"B\"\n");
    CHECK(fingerprint_of(b, "[[machine]]\nsystem = \"C\"\n") == first);
    CHECK(fingerprint_of(replaced(replaced(b, "X40.", "X20."), "X100.", "X50."),
                         "[[machine]]\nsystem = \"B\"\nx = \"radius\"\n") == first);
    constexpr std::string_view inch =
        "G20 G18 G99\nT0101\nG97 S800 M03\nG00 X1.5 Z.1\nG01 Z-1. F.01\nG00 X4. Z2.\nM30\n";
    CHECK(fingerprint_of(inch) == fingerprint_of(replaced(inch, "Z-1.", "W-1.1")));
    CHECK(fingerprint_of(inch) != fingerprint_of(replaced(inch, "Z-1.", "Z-1.0001")));
    constexpr std::string_view called = "O1\nG21 G99\nT0101\nG97 S800 M03\nG00 X40. Z2.\nM98 P7\nM30\n"
                                        "O7\nG01 Z-30. F0.2\nX44.\nM99\n";
    CHECK(fingerprint_of(called) != fingerprint_of(replaced(called, "Z-30.", "Z-31.")));
    constexpr std::string_view looped =
        "O1\nG21 G99\nT0101\nG97 S800 M03\n#1=40.\nWHILE[#1 GT 30.]DO1\nG00 X#1 Z2.\nG01 Z-30. F0.2\nX44.\n"
        "#1=#1-5.\nEND1\nM30\n";
    CHECK(fingerprint_of(looped) == fingerprint_of(replaced(looped, "GT 30.", "GT 32.")));
    CHECK(fingerprint_of(looped) != fingerprint_of(replaced(looped, "GT 30.", "GE 30.")));
}

TEST_CASE("fingerprint: equal where a comparison finds nothing, and only there") {
    std::size_t tried = 0, differ = 0;
    for (const std::string& program : programs()) {
        const std::string first = fingerprint_of(program);
        const auto agree = [&](const std::string& other) {
            const bool same = report::compare(*opened(program), *opened(other)).same();
            INFO(program << "\n----\n" << other);
            CHECK(same == (fingerprint_of(other) == first));
            ++tried;
            differ += !same;
        };
        agree(dressed(program));
        for (const char* word : {"F0.", "Z-", "S1", "M08", "G96", "U", "T0"})
            if (const std::size_t at = program.find(word); at != std::string::npos) {
                std::string other = program;
                const std::size_t digit = other.find_first_of("0123456789", at + 1);
                if (digit == std::string::npos) continue;
                // The last digit of the number, another one
                const std::size_t last = other.find_first_not_of("0123456789.", digit);
                std::size_t change = (last == std::string::npos ? other.size() : last) - 1;
                if (other[change] == '.') --change;
                other[change] = other[change] == '9' ? '8' : static_cast<char>(other[change] + 1);
                agree(other);
            }
    }
    CHECK(tried > 200);
    CHECK(differ > 100);
}

TEST_CASE("change note: what, from what, to what, where, and nothing else") {
    const std::string after = replaced(two_tools, "F0.2", "F0.25");
    CHECK(note_of(two_tools, after) == "(CHANGED: FINGERPRINT WAS " + fingerprint_of(two_tools) + ", NOW " +
                                           fingerprint_of(after) +
                                           ")\n"
                                           "(CHANGED: N1 T0101 TURN: FEED WAS 0.2, NOW 0.25 MM/REV,)\n"
                                           "(- BEFORE FEED TO X40. Z-48.)\n"
                                           "(CHANGED: NOTHING ELSE)\n"
                                           "(CHANGED BY ........ ON ........ PROVED OUT BY ........)\n");
    CHECK(note_of(two_tools, two_tools).find("(CHANGED: NOTHING THAT THE MACHINE DOES)\n") !=
          std::string::npos);
    CHECK(note_of(two_tools, replaced(two_tools, "X40. Z2.", "X41. Z2."))
              .find("RAPID TO WAS X40. Z2., NOW X41. Z2.") != std::string::npos);
    CHECK(note_of(two_tools, replaced(two_tools, "X44.\n", "")).find("GONE: FEED TO X44. Z-48.") !=
          std::string::npos);
}

TEST_CASE("change note: in the head it changes neither what is done nor what is told") {
    std::size_t told = 0;
    for (const std::string& program : programs()) {
        const std::size_t number = ('\n' + program).find("\nO"), at = program.find("F0.");
        if (number == std::string::npos || at == std::string::npos) continue;
        const std::string after = program.substr(0, at) + "F.1" + program.substr(at + 3);
        const std::string note = note_of(program, after);
        std::istringstream lines(note);
        for (std::string line; std::getline(lines, line);) {
            CHECK(line.size() <= 80);
            CHECK(line.find_first_of("()", 1) == line.size() - 1);
        }
        const std::size_t head = after.find('\n', number) + 1;
        const auto noted = opened(after.substr(0, head) + note + after.substr(head)), bare = opened(after);
        INFO(note);
        CHECK(report::compare(*bare, *noted).same());
        noted->evaluate();
        bare->evaluate();
        CHECK(features::all_warnings(*noted).size() == features::all_warnings(*bare).size());
        CHECK(report::make_sheet(*noted).tools.size() == report::make_sheet(*bare).tools.size());
        ++told;
    }
    CHECK(told > 20);
}

TEST_CASE("the fingerprint stands on the sheet, on both pictures and in a check") {
    const auto document = opened(two_tools);
    const std::string word = fingerprint_of(two_tools);
    for (const std::string& text : {report::sheet_markdown(*document), report::sheet_page(*document),
                                    report::picture_svg(*document), report::picture_page(*document)})
        CHECK(text.find(word) != std::string::npos);
    const auto shop = std::make_shared<const shop::Shop>(shop::default_shop());
    const report::CheckedFile asked[] = {report::check_text("a.nc", two_tools, shop, {}, nullptr, true)};
    CHECK(report::as_text(asked).find("a.nc: fingerprint of what it does: " + word + "\n") !=
          std::string::npos);
    CHECK(report::as_json(asked).find("\"fingerprint\": \"" + word + "\"") != std::string::npos);
    const report::CheckedFile plain[] = {report::check_text("a.nc", two_tools, shop)};
    CHECK(report::as_text(plain).find(word) == std::string::npos);
    // What is not known is named.
    CHECK(report::sheet_text(*opened("G21 G99\nT0101\nG97 S800 M03\nG00 X[#500] Z2.\nM30\n"))
              .find(", but line 4 (G00 X[#500] Z2.) is taken by its words") != std::string::npos);
    // Where home is, the machine knows: nothing is open.
    CHECK(report::sheet_text(
              *opened("G21 G99\nT0101\nG97 S800 M03\nG00 X40. Z2.\nG01 Z-5. F0.1\nG28 U0 W0\nM30\n"))
              .find("taken by") == std::string::npos);
}

} // namespace turnwright

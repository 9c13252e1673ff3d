// Contours of thousands of blocks: found, drawn, and watched over their whole length.
#include "checks/edited_program.h"
#include "checks/marked_program.h"

#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

/// A roughing cycle along so many lines that rise in X, one step each.
std::string long_contour(int lines, std::string_view behind = "G70 P10 Q20\n") {
    std::string text = "%\nO1\nG21 G18 G40 G80 G99\nT0303\nG97 S400 M03\nG00 X195. Z2.\nG71 U2. R1.\n"
                       "G71 P10 Q20 U0.4 W0.1 F0.28\nN10 G00 X10.\n";
    for (int i = 1; i <= lines; ++i)
        text += fmt::format("{}X{:.2f} Z-{:.2f}\n", i == 1 ? "G01 " : "", 10 + 0.02 * i, 0.02 * i);
    return text + "N20 X190.\n" + std::string(behind) + "G00 X200. Z100.\nM30\n%\n";
}

std::size_t count(const Results& results, std::string_view id) {
    const auto shown = results.all();
    return static_cast<std::size_t>(std::count_if(
        shown.begin(), shown.end(), [&](const auto& placed) { return placed.finding->check->id == id; }));
}

} // namespace

TEST_CASE("a digit near the end of a contour of 2,700 lines reaches its cycle") {
    Edited program(long_contour(2700));
    REQUIRE(count(program.results, "contour_not_monotonic") == 0);
    const std::uint32_t line = 9 + 2700 - 50;
    const std::string was(program.buffer.line(line));
    program.replace({{line, 1}, {line, 2}}, "1"); // X63. falls to X13.
    CHECK(count(program.results, "contour_not_monotonic") == 1);
    CHECK(listing(program.buffer, program.results) == listing(program.buffer, Fresh(program).results));
    program.replace(program.whole_line(line), was);
    CHECK(count(program.results, "contour_not_monotonic") == 0);
}

TEST_CASE("a contour of more than 5,000 blocks is found, and its cycle has a time") {
    const int lines = GENERATE(6000, 20000);
    Edited program(long_contour(lines, ""));
    CHECK(count(program.results, "contour_missing") == 0);
    motion::Times times;
    times.rebuild(program.analysis);
    CHECK(times.between({0, 7}, {0, 7}).cut_mm > lines * 0.02);
}

TEST_CASE("labels that come and go far from a cycle are seen by it") {
    Edited program(long_contour(3000));
    const std::uint32_t last = 9 + 3000; // N20
    REQUIRE(program.buffer.line(last) == "N20 X190.");
    for (const std::string_view text : {"X190.", "N20 X190.", "N21 X190.", "N20 X190. (END)"}) {
        program.replace(program.whole_line(last), text);
        CHECK((count(program.results, "contour_missing") > 0) == (text.substr(0, 3) != "N20"));
        CHECK(listing(program.buffer, program.results) == listing(program.buffer, Fresh(program).results));
    }
    // A second contour of this name below the first.
    program.replace({{last + 2, 0}, {last + 2, 0}}, "N10 G00 X20.\nG01 Z-5.\nN20 X190.\n");
    CHECK(listing(program.buffer, program.results) == listing(program.buffer, Fresh(program).results));
}

TEST_CASE("a feed that tears the tool off is told however far down its sequence it stands") {
    std::string text = "%\nO1\nG21 G99\nN1 (TURN)\nT0101\nG97 S500 M03\nG00 X40. Z2.\n";
    for (int i = 0; i < 6'000; ++i) text += "G01 X30. Z-5. F.1\nG00 X40. Z2.\n";
    CheckedProgram checked(text + "G01 X30. F50.\nG00 X80. Z80.\nM30\n%\n", codes::System::A);
    std::vector<std::string> feeds;
    for (const auto& found : checked.found())
        if (found.finding->check->id == "feed_too_large_by_revolution")
            feeds.push_back(found.finding->message);
    REQUIRE(feeds.size() == 1);
    CHECK(feeds[0].find("F50. is 50 mm a revolution") != std::string::npos);
}

TEST_CASE("an arc that shows X as a radius is seen however far down the contour it stands") {
    std::string text =
        "G21 G99\nT0101\nG97 S800 M03\nG00 X31. Z1.\nG71 U2. R0.5\nG71 P10 Q20 U0.3 W0.1 F0.3\n"
        "N10 G00 X22.\nG01 Z0 F0.15\n";
    for (int i = 1; i <= 300; ++i) text += fmt::format("Z-{:.2f}\n", 0.01 * i);
    const auto told = [](const std::string& program) {
        return count(CheckedProgram(program, codes::System::A).results, "contour_not_monotonic");
    };
    CHECK(told(text + "X24.\nG03 X28. Z-7. R4.\nG01 Z-64.\nN20 X31.\nM30\n") == 0);
    CHECK(told(text + "X24.\nG01 X20. Z-7.\nZ-64.\nN20 X31.\nM30\n") == 1);
}

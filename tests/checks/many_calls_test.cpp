// Programs of one file that call each other so often that nothing may follow each way: 200 to the eighth
// power.
#include "marked_program.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>

using namespace turnwright;
using namespace turnwright::checks;

TEST_CASE("programs that call each other 200 times, eight deep, are checked at once") {
    std::string text = "O1 (M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN, M33 SUB SPINDLE CW, M10 CHUCK OPEN)\n"
                       "(M41 C AXIS ON, M42 C AXIS OFF)\nG21 G99 G54\nT0101\nG97 S900 M03\n";
    const auto calls = [&](int number) {
        for (int i = 0; i < 200; ++i) text += fmt::format("M98 P{}\n", number);
    };
    calls(2);
    text += "M30\n";
    for (int number = 2; number < 9; ++number) {
        text += fmt::format("O{}\nG01 X10. F.1\nM21\n", number);
        calls(number + 1);
        text += "M99\n";
    }
    text += "O9\nG01 Z-1. F.1\nM22\nM99\n";
    const CheckedProgram checked(text, codes::System::A, "");
    CHECK(checked.analysis.size() > 0);
}

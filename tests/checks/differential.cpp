// After any edit everything that is kept is what a fresh start gives: findings, facts, stock, times and
// outline, also in programs whose cycles, loops and calls reach far. And every sort of logged read is needed
// for that.
#include "checks/kept_program.h"

#include <random>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

struct Program {
    const char* name;
    std::string text;
};
std::vector<Program> programs() {
    const std::string end = "G00 X120.\nM30\n";
    return {
        {"short",
         std::string(head) + contour(1, 20) + std::string(drill) + std::string(corners) + end + "%\n"},
        {"long",
         std::string(head) + std::string(drill) + contour(1, 3000) + std::string(corners) + end + "%\n"},
        {"two long",
         std::string(head) + contour(1, 800) + std::string(corners) + contour(3, 4000) + end + "%\n"},
        {"flow", std::string(head) + contour(1, 60) + std::string(flow) + std::string(corners) + end +
                     std::string(subprogram) + "%\n"},
        {"calls", std::string(head) + std::string(flow) + std::string(drill) + std::string(flow) + end +
                      std::string(subprogram) + "O8\n" + std::string(corners) + "M99\n%\n"},
    };
}

constexpr std::string_view pieces[] = {
    "G01 Z-5.\n",     "\n",       "(TURNWRIGHT: ACCEPT feed_missing, contour_not_monotonic)\n",
    "N102 X78.\n",    "N101\n",   "G74 R0.5\n",
    "#1=#1+1\n",      "GOTO60\n", "G42 X20. ,R2.\n",
    "X30. ,C3.\n",    "T0202\n",  "M98 P7\n",
    "O7\nX1.\nM99\n", "M30\n",    "(STOCK D90. L100.)\n",
    "G20\n",          "G91\n",    "N8 (MORE)\n",
    "M05\n",          "",         "X45. Z-3.\nX46.\n",
};
constexpr std::string_view keys[] = {"1", "9", ".", "-", "", " ", "0", "X", "("};

/// One random edit: mostly a key, else lines that come and go.
void edit(Kept& kept, std::mt19937& random) {
    const auto line = static_cast<std::uint32_t>(random() % kept.program.buffer.line_count());
    if (random() % 3 != 0) {
        const auto size = static_cast<std::uint32_t>(kept.program.buffer.line(line).size());
        const std::uint32_t column = size ? static_cast<std::uint32_t>(random() % size) : 0;
        kept.replace({{line, column}, {line, column + static_cast<std::uint32_t>(random() % 2)}},
                     keys[random() % std::size(keys)]);
    } else {
        kept.replace({{line, 0}, {line + static_cast<std::uint32_t>(random() % 3), 0}},
                     pieces[random() % std::size(pieces)]);
    }
}

} // namespace

TEST_CASE("after random edits all that is kept is what a fresh start gives", "[long]") {
    for (const Program& sample : programs()) {
        const bool is_long = sample.text.size() > 30'000;
        for (int seed = 1; seed <= 6; seed += stride(is_long ? 6 : 3)) {
            Kept kept(sample.text);
            std::mt19937 random(static_cast<unsigned>(seed));
            for (int i = 0; i < (is_long ? 25 : 60); ++i) {
                edit(kept, random);
                INFO(sample.name << ", seed " << seed << ", edit " << i);
                REQUIRE(kept.difference() == "");
            }
        }
    }
}

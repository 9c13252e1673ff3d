#include "fuzz/differential/programs.h"

#include "fuzz/shops.h"

#include <cstdio>

namespace turnwright::fuzz {
namespace {

// What is put in, alone and as parts of programs. $ is a small number.
constexpr std::string_view pieces[] = {
    "G01 Z-$.\nX$.\nG02 X50. Z-$. R3.",
    "G00 X5$. Z2.",
    "G00 X200. Z100.",
    "G28 U0 W0",
    "G96 S2$0 M03",
    "G97 S1$00 M03",
    "M05",
    "M08",
    "M09",
    "M01",
    "M00",
    "M30",
    "M02",
    "M99",
    "M99 P$",
    "G50 S2500",
    "G92 S1500",
    "T0$0$",
    "T0$00\nT0$0$",
    "T$",
    "N$ (NEW SEQUENCE $)\nT0$0$\nG96 S200 M04\nG00 X60. Z2. M08\nG01 Z-$. F.2\nG00 X200. Z100. M09\nM01",
    "N$\nG50 S3000\nG00 G54 T0$0$ M08\nG97 S$00 M03\nG00 X$. Z5.\nG01 Z-$. F0.1$\nU2. W1.",
    "(TURNWRIGHT: ALLOW feed_missing)",
    "(TURNWRIGHT: ALLOW feed_with_spindle_stopped, coolant_missing)",
    "(TURNWRIGHT: ALLOW IN FILE units_missing)",
    "(MACHINE: LONG BED)",
    "(MACHINE: OLD INCH LATHE)",
    "(STOCK D$0. L120. FACE 1.5 BORE 20. JAW Z-80. D180.)",
    "(STOCK D$5. L90.)",
    "(R\xC3\x89"
    "GLAGE \xF0\x9F\x94\xA7 $)",
    "G01 X$. (\xE2\x8C\x80 $) F.2",
    "X52",
    "U-2. W.5",
    "G71 U2. R1.\nG71 P101 Q102 U0.4 W0.1 F0.28\nN101 G00 X2$.\nG01 Z-2$. F.15\nX4$. Z-4$.\nN102 Z-60.\nG70 "
    "P101 Q102",
    "G72 W2. R1.\nG72 P3$ Q4$ U.2 W.1 F.2\nN3$ G00 Z-$.\nG01 X20.\nN4$ Z2.",
    "G73 U5. W5. R3\nG73 P51 Q52 U.4 W.1 F.2\nN51 G00 X2$.\nG01 Z-1$.\nG02 X40. Z-2$. R5.\nN52 G01 X60.\nG70 "
    "P51 Q52",
    "G71 P101 Q102 U0.4 W0.1 D2000 F0.28",
    "N101 G00 X20.",
    "N102 G01 Z-90.",
    "GOTO $",
    "IF[#1EQ$]GOTO 101",
    "IF [#100 GT $.] THEN #101=#100*2",
    "WHILE[#1LT$]DO1\n#1=#1+1\nG01 U-.$ F.1\nEND1",
    "WHILE[#2LT5]DO2\nG00 X[#1*2.]",
    "END1",
    "END2",
    "#1=#1+1",
    "#100=$.",
    "#1=0",
    "N$ #5=[#1+#100]/[$-2]",
    "GOTO[#1+$]",
    "G41 X2$. ,R2.",
    "G01 X3$. ,C1.\nZ-$.",
    "G42",
    "G40",
    "O000$",
    "M98 P0009",
    "M98 P2000 L$",
    "M98 P3",
    "M98 P5",
    "M98 P1$",
    "G65 P9 A$. B2.",
    "G65 P3 L2 A$.",
    "G66 P9 A1.",
    "G66 P3",
    "G67",
    "",
    "\n\n\n",
    "%",
    "/G00 X$00.",
    "G91",
    "G90",
    "G20",
    "G21",
    "G98 F$00",
    "G99 F.2",
    "G95",
    "G54",
    "G55",
    "G10 P1 X1.",
    "G52 X0 Z-$.",
    "G83 Z-20. Q5. F.1",
    "G84 Z-15. F1.5",
    "G80",
    "G74 R1.\nG74 Z-3$. Q5000 F.1",
    "G75 R.5\nG75 X10. Z-1$. P2000 Q2500 F.08",
    "G76 P020060 Q100 R.02\nG76 X18.16 Z-2$. P920 Q300 F1.5",
    "G76 X18. Z-20. P1 Q.2 F1.5",
    "G92 X19. Z-2$. F1.5\nX18.5\nX18.2",
    "G90 X4$. Z-2$. F.2\nX40.",
    "G94 X1$. Z-2. F.15",
    "G33 Z-$. F1.",
    "G04 P$00",
    "M19",
    "G71",
    "(UNCLOSED $",
    "G0X$Z$",
    "g1 x$. z-$.",
    "N50G1X-1.6F.2",
    "G01 X",
    "$ $ $",
    "\tG01  Z-$. ",
};

constexpr std::string_view heads[] = {
    "%\nO$ (SHAFT)\nG21 G40 G99\nG50 S2500",
    "%\nO1$ (RING)\n(STOCK D6$. L100. FACE 1. JAW Z-70. D160.)\nG21 G18 G40 G80 G97 G99",
    "O0$ (FLANGE)\n(MACHINE: LONG BED)\nG20 G40",
    "(NO NUMBER)\nG90 G21 G95\nG92 S2000",
    "%\nO7$\nG00 G91 G28 X0 Z0\nG90 G54",
    "",
};

std::string filled(std::string_view piece, Random& random) {
    std::string text;
    for (const char c : piece)
        if (c == '$')
            text += static_cast<char>('1' + random.below(9));
        else
            text += c;
    return text;
}

/// One program's roughing with so many contour blocks that they reach over many pieces of the file.
std::string long_contour(Random& random) {
    const std::size_t count = 3000 + random.below(5000);
    const int first = 10 + static_cast<int>(random.below(50)), last = first + 70;
    char line[80];
    std::string text = "T0101\nG96 S180 M03\nG00 X200. Z2. M08\n";
    const char kind = random.one_in(4) ? '3' : '1';
    std::snprintf(line, sizeof line, "G7%c P%d Q%d U.4 W.1%s F.25\n", kind, first, last,
                  random.one_in(2) ? " D2000" : "");
    if (random.one_in(2)) text += "G71 U2. R1.\n";
    text += line;
    for (std::size_t i = 0; i < count; ++i) {
        const double x = 10.0 + 180.0 * static_cast<double>(i) / static_cast<double>(count);
        if (i == 0)
            std::snprintf(line, sizeof line, "N%d G00 X%.3f\n", first, x);
        else
            std::snprintf(line, sizeof line, "X%.3f Z-%.3f\n", x, static_cast<double>(i) * 0.02);
        text += line;
    }
    std::snprintf(line, sizeof line, "N%d X192.\nG70 P%d Q%d\nG00 X250. Z100.\nM05", last, first, last);
    return text + line;
}

std::string with_line_ends(const std::string& text, Random& random) {
    constexpr std::string_view ends[] = {"\n", "\r\n", "\r"};
    const std::size_t way = random.below(6); // LF for half of them, the last is a mixture
    std::string out;
    out.reserve(text.size() * 2);
    for (const char c : text)
        if (c == '\n')
            out += way == 3 ? "\r\n" : way == 4 ? "\r" : way == 5 ? random.pick(ends) : "\n";
        else
            out += c;
    return out;
}

} // namespace

std::string make_lines(Random& random) {
    return filled(random.pick(pieces), random);
}

std::string make_program(Random& random, std::size_t document, const std::vector<std::string>& samples) {
    if (!samples.empty() && random.one_in(2)) {
        std::string text;
        for (std::size_t i = 0; i <= random.below(4); ++i) text += random.pick(samples);
        return random.one_in(2) ? text : with_line_ends(text, random);
    }
    std::string text = filled(random.pick(heads), random);
    if (document > 0) text = document == 1 ? "O0009" : "O2000";
    const std::size_t how_long = random.below(10);
    const std::size_t count = how_long < 6 ? 5 + random.below(60) : how_long < 9 ? 200 : 30;
    const bool long_one = document == 0 && how_long == 9;
    const std::size_t where = random.below(count);
    for (std::size_t i = 0; i < count; ++i) {
        text += '\n';
        text += long_one && i == where ? long_contour(random) : make_lines(random);
        // Plain cutting, as most of a program is.
        for (std::size_t plain = random.below(8); plain > 0; --plain) text += filled("\nX4$.$ Z-$.$", random);
    }
    text += random.one_in(5) ? "" : document == 0 ? "\nM30\n%\n" : "\nM99\n";
    return with_line_ends(text, random);
}

std::string make_library(Random& random) {
    std::string text = random.one_in(2) ? "O0003 (H\xC3\x9CLSE)\n" : "%\nO3$\n";
    for (std::size_t i = random.below(12); i > 0; --i) text += make_lines(random) + '\n';
    return with_line_ends(filled(text, random) + "M99\n", random);
}

std::string make_shop_file(Random& random) {
    constexpr std::string_view small = R"(units = "mm"
[[machine]]
name = "long bed"
system = "B"
max_rpm = 1$00
rapid_x = 5000
rapid_z = 6000
[[machine]]
name = "short bed"
system = "A"
max_rpm = 4$00
power_on = ["G99", "G97"]
[[tool]]
station = $
kind = "turning"
nose_radius = 0.$
tip_direction = 3
[checks]
feed_missing = "off"
)";
    constexpr std::string_view bad = "units = \"mm\"\n[[machine]]\nname = 5\nmax_rpm = -$\n[[nothing]\n";
    switch (random.below(5)) {
    case 0:
        return std::string(shop::example());
    case 1:
        return std::string(inch_shop);
    case 2:
        return filled(bad, random);
    default:
        return filled(small, random);
    }
}

std::string make_job_file(Random& random) {
    static constexpr std::string_view machines[] = {
        "", "[machine]\npower_on_units = \"inch\"\n",
        "[machine]\nsystem = \"A\"\npower_on = [\"G98\"]\nx = \"radius\"\n",
        "[machine]\nno_point = \"whole units\"\nmax_rpm = 3\n"};
    const std::string head = "units = \"mm\"\n" + std::string(random.pick(machines));
    return head + filled(R"([stock]
diameter = 6$
front_z = 1.$
back_z = -1$0
[[tool]]
station = $
kind = "turning"
hand = "right"
nose_radius = 0.$
tip_direction = 3
)",
                         random);
}

} // namespace turnwright::fuzz

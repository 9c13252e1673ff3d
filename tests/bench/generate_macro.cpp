// A family of parts: sizes in variables, roughing by loops, grooves by calls, jumps over what a part lacks.
#include "bench/generate_styles.h"

namespace bench {
namespace {

constexpr std::size_t called_blocks = 26; ///< Of write_called_programs and the end of the main program.
constexpr std::size_t longest_part = 40;

void write_part(Writer& out, int part) {
    const std::string label = std::to_string(part * 10);
    const std::string after = std::to_string(part * 10 + 5);
    const int small = out.between(20, 30) * 1000;
    out.block("(PART ", std::to_string(part), ")");
    out.block("#100=", value(small + out.between(10, 20) * 1000), " (STOCK)");
    out.block("#101=", value(small), " (FINISHED)");
    out.block("#102=", value(out.between(15, 40) * 1000), " (LENGTH)");
    out.block("#103=[#100-#101]/2.");
    out.block("#104=FIX[#103/2.]+1.");
    out.block("#105=ROUND[#103/#104*1000.]/1000.");
    out.block("G21 G40 G80 G99");
    out.block("T0101");
    out.block("G50 S2500");
    out.block("G96 S180 M03");
    out.block("G00 X[#100+4.] Z5. M08");
    out.block("Z2.");
    out.block("#110=0");
    out.block("WHILE [#110 LT #104] DO1");
    out.block("#110=#110+1.");
    out.block("#111=#100-2.*#105*#110");
    out.block("G00 X#111");
    out.block("G01 Z-#102 ", word('F', out.between(15, 30) * 10));
    out.block("U1. W0.5");
    out.block("G00 Z2.");
    out.block("END1");
    out.block("IF [#102 LT 25.] GOTO ", label);
    out.block("G65 P9010 X#101 Z-[#102/2.] ", word('W', out.between(2, 5) * 1000), " ",
              word('D', out.between(10, 30) * 100));
    out.block("N", label, " G00 X[#100+4.] Z2.");
    out.block("IF [#103 GE ", value(out.between(6, 9) * 1000), "] THEN #106=1.");
    out.block("IF [#106 EQ #0] GOTO ", after);
    out.block("M98 P9020");
    out.block("N", after, " G00 X150. Z100. M09");
    out.block("#106=#0");
    out.block("M05");
    out.block("M01");
}

void write_called_programs(Writer& out) {
    out.block("M30");
    out.block("O9010 (GROOVE: X BOTTOM, Z LEFT EDGE, W WIDTH, D DEPTH)");
    out.block("#1=#24+2.*#7+2.");
    out.block("#2=0");
    out.block("WHILE [#2 LT #23] DO1");
    out.block("G00 X#1 Z[#26+#2]");
    out.block("G01 X#24 F0.06");
    out.block("G04 X0.3");
    out.block("G00 X#1");
    out.block("#2=#2+1.5");
    out.block("END1");
    out.block("IF [#23 LE 0] GOTO 90");
    out.block("G00 X#1 Z[#26+#23]");
    out.block("G01 X#24 F0.06");
    out.block("G00 X#1");
    out.block("N90 M99");
    out.block("O9020 (CHAMFER)");
    out.block("G00 X[#101-2.] Z1.");
    out.block("G01 Z0 F0.1");
    out.block("U2. W-1.");
    out.block("U2.");
    out.block("G00 Z2.");
    out.block("M99");
    out.block("%");
}

} // namespace

void write_macro(Writer& out) {
    out.block("%");
    out.block("O3001 (FAMILY OF BUSHINGS)");
    out.block("G21 G40 G80 G99");
    int part = 0;
    while (out.left() > longest_part + called_blocks) write_part(out, ++part);
    while (out.left() > called_blocks) out.block("(", std::to_string(out.left()), " LINES LEFT)");
    out.block("T0100");
    out.block("G28 U0 W0");
    write_called_programs(out);
}

} // namespace bench

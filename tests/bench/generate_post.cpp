// As a post-processor writes: N on every block, no cycles, finishing passes of a thousand short moves.
#include "bench/generate_styles.h"

namespace bench {
namespace {

struct Numbered {
    Writer& out;
    int next = 0;

    template <typename... Pieces>
    void block(const Pieces&... pieces) {
        next += 5;
        out.block(number('N', next), " ", pieces...);
    }
    bool room(std::size_t blocks = 8) const { return out.left() > blocks; }
};

void tool_start(Numbered& out, int station, int speed) {
    const std::string tool = std::to_string(100 + station).substr(1);
    out.block("T", tool, tool);
    out.block("G50 S2800");
    out.block("G96 ", number('S', speed), " M03");
    out.block("G00 X84. Z5. M08");
    out.block("G42 X80. Z2.");
    out.block("G01 Z0. F0.12");
}

void tool_end(Numbered& out) {
    out.block("G00 G40 X120. Z100. M09");
    out.block("M05");
}

/// Down the length of a part in short lines and quarter arcs that leave and meet the axes squarely.
void pass(Numbered& out, Writer& random, int blocks) {
    int x = random.between(10000, 20000);
    int z = 0;
    out.block("G01 ", word('X', x), " ", word('Z', z));
    while (blocks-- > 0 && out.room()) {
        const int kind = random.between(0, 9);
        if (kind == 0 && x < 70000) {
            const int radius = random.between(200, 3000);
            x += 2 * radius;
            z -= radius;
            out.block("G03 ", word('X', x), " ", word('Z', z), " I0. ", word('K', -radius));
            out.block("G01 ", word('Z', z - 53));
            z -= 53;
        } else if (kind == 1 && x > 12000) {
            const int radius = random.between(100, 900);
            x -= 2 * radius;
            z -= radius;
            out.block("G03 ", word('X', x), " ", word('Z', z), " ", word('I', -radius), " K0.");
            out.block("G01 ", word('Z', z - 41));
            z -= 41;
        } else if (kind == 2) {
            z -= random.between(20, 900);
            out.block(word('Z', z));
        } else {
            const int step = random.between(-350, 400);
            x += x + step > 5000 && x + step < 78000 ? step : 0;
            z -= random.between(11, 260);
            out.block(word('X', x), " ", word('Z', z));
        }
        if (z < -180000) break;
    }
}

} // namespace

void write_post(Writer& out) {
    out.block("%");
    out.block("O2001");
    Numbered numbered{out};
    numbered.block("G21 G40 G80 G99");
    int station = 0;
    while (numbered.room(30)) {
        station = station % 8 + 1;
        tool_start(numbered, station, out.between(14, 26) * 10);
        const int passes = out.between(1, 3);
        for (int i = 0; i < passes && numbered.room(20); ++i) {
            pass(numbered, out, 1200);
            numbered.block("X82.");
            numbered.block("G00 Z2.");
        }
        tool_end(numbered);
    }
    while (out.left() > 3) numbered.block("G04 X0.1");
    numbered.block("G28 U0 W0");
    numbered.block("M30");
    out.block("%");
}

} // namespace bench

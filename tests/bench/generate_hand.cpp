// As written at the machine: one sequence a tool, each with its note, safety line, speed limit, approach in
// two steps, work, retract and optional stop.
#include "bench/generate_styles.h"

namespace bench {
namespace {

/// Longest sequence below, so that the end of the program always fits.
constexpr std::size_t longest_sequence = 40;

struct Sequences {
    Writer& out;
    int sequence = 0;
    int label = 0; ///< Contour labels count on their own, above every sequence number.

    void begin(const char* note, int station, int surface_speed, int rpm_limit) {
        out.block(number('N', ++sequence), " (", note, ")");
        out.block("G21 G40 G80 G99");
        const std::string tool = std::to_string(100 + station).substr(1);
        out.block("T", tool, tool);
        out.block("G50 ", number('S', rpm_limit));
        out.block("G96 ", number('S', surface_speed), " M03");
    }
    void begin_at_fixed_speed(const char* note, int station, int rpm) {
        out.block(number('N', ++sequence), " (", note, ")");
        out.block("G21 G40 G80 G99");
        const std::string tool = std::to_string(100 + station).substr(1);
        out.block("T", tool, tool);
        out.block("G97 ", number('S', rpm), " M03");
    }
    void approach(int x, int z) {
        out.block("G00 ", word('X', x), " Z5. M08");
        out.block(word('Z', z));
    }
    void end() {
        out.block("G00 X150. Z100. M09");
        out.block("M05");
        out.block("M01");
    }

    void face(int stock) {
        begin("FACE", 1, out.between(16, 22) * 10, 2500);
        approach(stock + 4000, 200);
        const int passes = out.between(2, 4);
        for (int left = passes; left > 0; --left) {
            out.block("G00 ", word('Z', (left - 1) * 500));
            out.block("G01 X-1.6 ", word('F', out.between(15, 25) * 10));
            out.block("G00 ", word('Z', (left - 1) * 500 + 2000));
            out.block(word('X', stock + 4000));
        }
        end();
    }

    /// A stepped shaft from `small` up to the stock, then its finish.
    void turn(int stock) {
        const int first = ++label * 2 + 100000;
        begin("ROUGH TURN", 1, out.between(16, 22) * 10, 2500);
        approach(stock + 2000, 2000);
        out.block("G71 U", value(out.between(15, 30) * 100), " R0.5");
        out.block("G71 ", number('P', first), " ", number('Q', first + 1), " U0.4 W0.1 F0.25");
        const int steps = out.between(2, 4);
        int x = stock - steps * 8000;
        int z = 0;
        out.block(number('N', first), " G00 ", word('X', x - 2000));
        out.block("G01 Z0 F0.12");
        out.block(word('X', x), " Z-1.");
        for (int step = 0; step < steps; ++step) {
            z -= out.between(8, 25) * 1000;
            out.block(word('Z', z));
            x += 6000;
            out.block(word('X', x));
            x += 2000;
            z -= 1000;
            out.block("G03 ", word('X', x), " ", word('Z', z), " R1.");
            out.block("G01 ", word('Z', z - 2000));
            z -= 2000;
        }
        out.block(number('N', first + 1), " ", word('X', stock + 1000));
        end();
    }

    void finish(int stock) {
        begin("FINISH TURN", 3, out.between(20, 28) * 10, 3000);
        approach(stock + 2000, 2000);
        int x = stock - 24000 - out.between(0, 9) * 100;
        int z = 0;
        out.block("G00 G42 ", word('X', x - 2000), " Z1.");
        out.block("G01 Z0 ", word('F', out.between(8, 15) * 10));
        out.block(word('X', x), " Z-1.");
        const int steps = out.between(2, 4);
        for (int step = 0; step < steps; ++step) {
            z -= out.between(8, 25) * 1000 + 500;
            out.block(word('Z', z));
            x += out.between(2, 5) * 1000;
            out.block(word('X', x), step % 2 == 0 ? "" : " F0.08");
        }
        out.block(word('X', stock + 2000));
        out.block("G00 G40 X", value(stock + 10000));
        end();
    }

    void drill() {
        const int diameter = out.between(8, 20);
        begin_at_fixed_speed("DRILL", 5, 60000 / diameter / 3);
        approach(0, 3000);
        const int pecks = out.between(3, 6);
        for (int peck = 1; peck <= pecks; ++peck) {
            out.block("G01 ", word('Z', -peck * diameter * 1000), " F0.15");
            out.block("G00 Z3.");
            if (peck < pecks) out.block(word('Z', -peck * diameter * 1000 + 500));
        }
        end();
    }

    void groove(int stock) {
        begin("GROOVE", 7, out.between(8, 12) * 10, 1500);
        const int x = stock - 14000;
        const int z = -out.between(12, 30) * 1000;
        approach(stock + 2000, 2000);
        out.block(word('Z', z));
        out.block("G01 ", word('X', x), " F0.06");
        out.block("G04 P300");
        out.block("G00 ", word('X', stock + 2000));
        out.block("W", value(-out.between(5, 25) * 100));
        out.block("G01 ", word('X', x), " F0.06");
        out.block("G00 ", word('X', stock + 2000));
        end();
    }

    void thread() {
        const int diameter = out.between(6, 20) * 2;
        begin_at_fixed_speed("THREAD", 9, 30000 / diameter);
        approach(diameter * 1000 + 4000, 6000);
        // Depth 0.61344 of the lead 1.5 on the radius, in thousandths on the diameter.
        int x = diameter * 1000;
        const int cuts[] = {600, 380, 260, 220, 180, 140, 60};
        bool first = true;
        for (const int cut : cuts) {
            x -= cut;
            if (first)
                out.block("G92 ", word('X', x), " Z-22. F1.5");
            else
                out.block(word('X', x));
            first = false;
        }
        end();
    }
};

} // namespace

void write_hand(Writer& out) {
    out.block("%");
    out.block("O1001 (PUMP SHAFT, BAR 50 MM)");
    out.block("(MEASURING PROGRAM, NOT FOR A MACHINE)");
    out.block("G21 G40 G80 G99");
    Sequences job{out};
    while (out.left() > longest_sequence) {
        const int stock = out.between(40, 60) * 1000;
        switch (job.sequence % 6) {
        case 0:
            job.face(stock);
            break;
        case 1:
            job.turn(stock);
            break;
        case 2:
            job.finish(stock);
            break;
        case 3:
            job.drill();
            break;
        case 4:
            job.groove(stock);
            break;
        default:
            job.thread();
        }
    }
    while (out.left() > 3) out.block("(", std::to_string(out.left()), " LINES LEFT)");
    out.block("G28 U0 W0");
    out.block("M30");
    out.block("%");
}

} // namespace bench

// What whole blocks come to, against values worked out by hand from the geometry of the cut and the clock.
#include "motion/program.h"

#include <cmath>

using namespace turnwright;
using namespace turnwright::motion;

namespace {

constexpr std::string_view turning = "G21 G18 G99 G97 S600 M03\nG00 X40. Z5.\n";

std::vector<Segment> threads_of(const BlockPath& path) {
    std::vector<Segment> threads;
    for (const Segment& segment : path.segments)
        if (segment.kind == SegmentKind::thread && segment.from.x_radius_mm == segment.to.x_radius_mm)
            threads.push_back(segment);
    return threads;
}

} // namespace

TEST_CASE("A thread fed in along its flank moves by the tangent of half its angle") {
    // First principles: going d deeper along a flank that stands at half the thread's angle to the square of
    // the axis goes d tan(30 deg) along the axis. One line or two, A60 is 60 degrees as P..60 is.
    const double tangent = 1 / std::sqrt(3.0);
    for (const char* cycle : {"G76 X37.4 Z-30. K1.3 D400 A60 F2.\n", "G76 X37.4 Z-30. K1.3 D400 A60. F2.\n",
                              "G76 P010060 Q100\nG76 X37.4 Z-30. P1300 Q400 F2.\n"}) {
        INFO(cycle);
        Program program(std::string(turning) + cycle);
        const auto threads = threads_of(program.paths.at(program.paths.size() - 2));
        REQUIRE(threads.size() >= 4);
        for (std::size_t i = 1; i < threads.size(); ++i) {
            const double deeper = threads[i - 1].from.x_radius_mm - threads[i].from.x_radius_mm;
            CHECK(std::abs(threads[i].from.z_mm - threads[i - 1].from.z_mm) ==
                  Approx(deeper * tangent).margin(1e-9));
        }
    }
    Program straight(std::string(turning) + "G76 X37.4 Z-30. K1.3 D400 A0 F2.\n");
    const auto threads = threads_of(straight.line(3));
    REQUIRE(threads.size() >= 4);
    CHECK(threads.front().from.z_mm == Approx(threads.back().from.z_mm));
}

TEST_CASE("A dwell is seconds in inch and in mm") {
    // A second is no length: ISO 6983-1 counts it apart from the axes (common practice for the letters).
    for (const char* unit : {"G21", "G20"})
        for (const char* word : {"X2.", "U2.", "P2000"}) {
            INFO(unit << ' ' << word);
            Program program(std::string(unit) + " G99 G97 S600 M03\nG04 " + word + "\n");
            CHECK(program.totals(2).dwell_seconds == Approx(2));
        }
}

TEST_CASE("A stop of the spindle in a block with a move acts behind it") {
    // ISO 6983-1: M05 is effective after the motion of its block. 60 mm at 0.1 mm a turn and 600 rpm: one
    // minute.
    Program program(std::string(turning) + "G01 Z-55. F0.1 M05\n");
    CHECK(program.totals(3).cut_seconds == Approx(60));
    Program before(std::string(turning) + "M05\nG01 Z-55. F0.1\n");
    CHECK(before.totals(4).cut_seconds == 0);
}

TEST_CASE("The sine, the cosine and the root of macro words count in degrees") {
    // Plane geometry: a square of 30 has the diagonal 30 sqrt(2); 30 degrees has the sine 1/2.
    Program program(std::string(turning) + "G01 X[2*30*SIN[30]] Z-[SQRT[200]*COS[45]] F0.1\n");
    const Segment& segment = program.line(3).segments.at(0);
    CHECK(segment.to.x_radius_mm == Approx(15));
    CHECK(segment.to.z_mm == Approx(-10));
}

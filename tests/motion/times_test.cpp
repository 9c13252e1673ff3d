#include "motion/program.h"

#include <chrono>
#include <random>

using namespace turnwright;
using namespace turnwright::motion;

namespace {

/// A long program: blocks of turning, and a contour cycle whose contour stands runs away from it.
std::string long_program(int sequences, int steps = 80) {
    std::string text = "G21 G97 G99 S1000 M03\n";
    for (int i = 0; i < sequences; ++i) {
        std::string n = std::to_string(100 + i * 10), end = std::to_string(105 + i * 10);
        text += "T0101\nG00 X60. Z5.\nG71 U2. R0.5\nG71 P" + n + " Q" + end + " U0.4 W0.1 F0.25\n";
        text += "N" + n + " G00 X20.\n";
        for (int step = 0; step < steps; ++step)
            text += "G01 X" + std::to_string(20 + step / 4) + ". Z-" + std::to_string(step) + ". F0.1\n";
        text += "N" + end + " X58.\nG70 P" + n + " Q" + end + "\nG04 P500\n";
    }
    return text + "M30\n";
}

bool equal(const Totals& a, const Totals& b) {
    auto close = [](double x, double y) { return x == Approx(y).margin(1e-9); };
    auto same = [&](const std::optional<double>& x, const std::optional<double>& y) {
        return x.has_value() == y.has_value() && (!x || close(*x, *y));
    };
    return close(a.cut_seconds, b.cut_seconds) && close(a.rapid_seconds, b.rapid_seconds) &&
           close(a.dwell_seconds, b.dwell_seconds) && close(a.change_seconds, b.change_seconds) &&
           close(a.cut_mm, b.cut_mm) && close(a.rapid_mm, b.rapid_mm) &&
           a.blocks_without_time == b.blocks_without_time && same(a.min_x_radius_mm, b.min_x_radius_mm) &&
           same(a.max_x_radius_mm, b.max_x_radius_mm) && same(a.min_z_mm, b.min_z_mm) &&
           same(a.max_z_mm, b.max_z_mm);
}

machine::BlockPlace last_place(const machine::Analysis& analysis) {
    std::size_t run = analysis.size() - 1;
    return {run, analysis.forest().run(run)->blocks.size() - 1};
}

} // namespace

TEST_CASE("A span's times are the sums of its blocks") {
    Program program(long_program(3));
    Times times;
    times.rebuild(program.analysis);
    REQUIRE(program.analysis.size() > 2);
    for (auto [first, last] :
         {std::pair<std::size_t, std::size_t>{1, 10}, {40, 200}, {64, 129}, {5, 5}, {1, 260}}) {
        Totals sum;
        for (std::size_t number = first; number <= last; ++number) sum += program.totals(number);
        CHECK(equal(times.between(program.place(first), program.place(last)), sum));
        CHECK(equal(times.between(program.place(first), program.place(last)), sum)); // from what was kept
    }
}

TEST_CASE("After random edits the kept times equal those from scratch") {
    std::mt19937 random(20240501);
    text::Buffer buffer(long_program(4));
    syntax::Forest forest(buffer);
    shop::Shop shop = test_shop();
    machine::Settings settings = machine::choose_settings(shop.machines.front(), {});
    machine::Analysis analysis;
    analysis.rebuild(forest, settings, nullptr);
    Times times;
    times.rebuild(analysis);
    const char* pieces[] = {
        "X33.3", "Z-7.", "\n",  "G00 ",         "F0.3", "(note)", "N120", "", "\nG01 Z-3. ,R1.\nX50.\n",
        "N105 ", "U0.8", "G20", "G71 U1. R1.\n"};
    for (int round = 0; round < 80; ++round) {
        auto line = static_cast<std::uint32_t>(random() % buffer.line_count());
        auto column = static_cast<std::uint32_t>(random() % 12);
        text::Range range{{line, column}, {line, column + static_cast<std::uint32_t>(random() % 6)}};
        if (random() % 20 == 0) range.end = {line + 5, 0};
        text::Splice splice = buffer.replace(range, pieces[random() % std::size(pieces)]);
        forest.update(buffer, splice);
        analysis.update(forest, splice);
        times.update(analysis, splice);
        Times scratch;
        scratch.rebuild(analysis);
        machine::BlockPlace last = last_place(analysis);
        REQUIRE(equal(times.between({0, 0}, last), scratch.between({0, 0}, last)));
        machine::BlockPlace middle{analysis.size() / 2, 3};
        REQUIRE(equal(times.between({0, 2}, middle), scratch.between({0, 2}, middle)));
    }
}

TEST_CASE("An edit in a contour changes the time of the cycle that calls it from another run") {
    text::Buffer buffer(long_program(1, 200));
    syntax::Forest forest(buffer);
    shop::Shop shop = test_shop();
    machine::Settings settings = machine::choose_settings(shop.machines.front(), {});
    machine::Analysis analysis;
    analysis.rebuild(forest, settings, nullptr);
    Times times;
    times.rebuild(analysis);
    machine::BlockPlace cycle{0, 4};
    double before = times.between(cycle, cycle).cut_mm;
    REQUIRE(before > 0);
    // Line 190 is a contour block two runs or more behind the cycle: its Z goes much deeper.
    REQUIRE(buffer.leaf_of_line(190) > 1);
    text::Splice splice = buffer.replace({{190, 0}, {190, 1000}}, "G01 X65. Z-400. F0.1");
    REQUIRE(splice.first > 1);
    forest.update(buffer, splice);
    analysis.update(forest, splice);
    times.update(analysis, splice);
    CHECK(times.between(cycle, cycle).cut_mm > before + 100);
}

TEST_CASE("Many spans of a long program are added up once") {
    Program program(long_program(60));
    Times times;
    times.rebuild(program.analysis);
    auto ask = [&] {
        Totals sum;
        for (std::size_t number = 1; number + 87 < program.places.size(); number += 87)
            sum += times.between(program.place(number + 1), program.place(number + 86));
        return sum;
    };
    ask();
    auto begin = std::chrono::steady_clock::now();
    machine::BlockPlace last = last_place(program.analysis);
    for (int i = 0; i < 100; ++i) times.between({0, 0}, last);
    double each = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count() / 100;
    INFO("seconds for the whole of " << program.places.size() << " blocks: " << each);
    CHECK(each < 0.01); // adding up anew takes a hundred times as long
}

TEST_CASE("A call, a loop and a jump leave the time open, since blocks as they stand are not what runs") {
    Program program(
        "O1\nG21 G97 G99 S1000 M03\nG00 X40. Z2.\nG01 Z-10. F0.2\nM98 P2 L5\n#1=0\nWHILE[#1 LT 3]DO1\n"
        "#1=#1+1\nEND1\nM30\nO2\nG01 W-1. F0.1\nM99");
    CHECK(program.totals(4).blocks_without_time == 0);
    CHECK(program.totals(5).blocks_without_time == 1);
    CHECK(program.totals(6).blocks_without_time == 0);
    CHECK(program.totals(7).blocks_without_time == 1);
    CHECK(program.totals(9).blocks_without_time == 1);
    CHECK(program.totals(10).blocks_without_time == 0);
}

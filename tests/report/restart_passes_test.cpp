// Restarts inside a cycle: the passes that are done and the ones that are written cut what the whole cycle
// cuts.
#include "report/restart.h"

#include "features/equal_moves.h"
#include "opened.h"
#include "stock/follow.h"

#include <array>
#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <random>

using namespace turnwright;
using namespace turnwright::report;
using codes::Meaning;

namespace {

struct WayOfWriting {
    codes::System system = codes::System::A;
    bool inch = false, diameter = true;
    std::string code(Meaning meaning) const { return codes::written_as(system, meaning); }
    std::string length(double mm) const { return fmt::format("{:.4f}", inch ? mm / 25.4 : mm); }
    std::string x(double mm) const { return "X" + length(diameter ? mm : mm / 2); }
    std::string z(double mm) const { return "Z" + length(mm); }
    std::string shop() const {
        return fmt::format(
            "units = \"mm\"\n[[machine]]\nsystem = \"{}\"\nx = \"{}\"\n[stock]\ndiameter = 60\n"
            "bore = 0\nfront_z = 1\nback_z = -120\njaw_front_z = -90\njaw_diameter = 160\n"
            "[[tool]]\nstation = 1\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = 3\n"
            "approach_angle = 95\nback_angle = 5\n"
            "[[tool]]\nstation = 2\nkind = \"drill\"\ndiameter = 12\npoint_angle = 118\n"
            "[[tool]]\nstation = 4\nkind = \"grooving\"\nwidth = 3\nnose_radius = "
            "0.2\ntip_direction = 3\n"
            "[[tool]]\nstation = 5\nkind = \"threading\"\ntip_direction = 8\n",
            codes::system_letter(system), diameter ? "diameter" : "radius");
    }
    std::string head(int tool) const {
        return fmt::format(
            "O1234\nN{0}\nG54 G18 G97 {1} G80 G40 {2}{3}\nT0{0}0{0}\n{4} S2500\nG97 S900 M03\n", tool,
            code(inch ? Meaning::inch : Meaning::millimetre), code(Meaning::feed_per_rev),
            system == codes::System::A ? "" : " G90", code(Meaning::speed_limit));
    }
    /// A length without a point, in least increments.
    std::string steps(double mm) const { return fmt::format("{:.0f}", inch ? mm / 0.00254 : mm / 0.001); }
    std::string end() const { return "G00 " + x(200) + ' ' + z(100) + "\nM30\n"; }
};

/// A roughing cycle with its contour, of any depth and shape.
std::string roughing(const WayOfWriting& way, Meaning cycle, std::mt19937& random) {
    const auto from = [&](int least, int most) {
        return std::uniform_int_distribution<int>(least * 10, most * 10)(random) / 10.0;
    };
    const double depth = from(1, 3), small = from(24, 34), step = -from(12, 20), end = step - from(4, 12);
    const std::string code = way.code(cycle);
    std::string text = way.head(1) + "G00 " + way.x(66) + ' ' + way.z(10) + "\nM08\nG00 " + way.x(62) + ' ' +
                       way.z(2) + '\n';
    const bool facing = cycle == Meaning::rough_facing;
    text += fmt::format("{} {}{} R{}\n{} P10 Q20 U{} W{} F{}\n", code, facing ? "W" : "U", way.length(depth),
                        way.length(1), code, way.length(way.diameter ? 0.4 : 0.2), way.length(0.1),
                        way.length(0.25));
    if (facing)
        text += "N10 G00 " + way.z(end) + "\nG01 " + way.x(small + 14) + "\nN20 " + way.x(small) + ' ' +
                way.z(2) + '\n';
    else
        text += "N10 G00 " + way.x(small) + "\nG01 " + way.z(step) + '\n' + way.x(small + 10) + ' ' +
                way.z(end) + "\nN20 " + way.x(62) + '\n';
    return text + way.end();
}

/// Cycles whose passes are no roughing along a contour, of any depth; a macro and a call stand above.
std::string other_cycle(const WayOfWriting& way, Meaning cycle, std::mt19937& random) {
    const auto from = [&](int least, int most) {
        return std::uniform_int_distribution<int>(least * 10, most * 10)(random) / 10.0;
    };
    const bool drills = cycle == Meaning::peck_face || cycle == Meaning::drill_face;
    const std::string code = way.code(cycle);
    std::string text = way.head(drills                          ? 2
                                : cycle == Meaning::groove_side ? 4
                                                                : 1) +
                       "#1=" + way.length(from(30, 45)) + "\nM98 P8001\nG00 " + way.x(66) + ' ' + way.z(10) +
                       "\nM08\nG00 ";
    if (cycle == Meaning::pattern_repeat) {
        const double small = from(24, 34);
        text += way.x(62) + ' ' + way.z(2) +
                fmt::format("\n{0} U{1} W{2} R{3}\n{0} P10 Q20 U{4} W{2} F{5} (CUTS)\n", code,
                            way.length(from(4, 9)), way.length(0.1),
                            std::uniform_int_distribution<int>(3, 6)(random),
                            way.length(way.diameter ? 0.4 : 0.2), way.length(0.25)) +
                "N10 G00 " + way.x(small) + "\nG01 " + way.z(-from(12, 20)) + '\n' + way.x(small + 10) + ' ' +
                way.z(-from(24, 30)) + "\nN20 " + way.x(62) + '\n';
    } else if (cycle == Meaning::peck_face) {
        text += way.x(0) + ' ' + way.z(3) +
                fmt::format("\n{0} R{1}\n{0} {2} Q{3} F{4} (CUTS)\n", code, way.length(1),
                            way.z(-from(40, 60)), way.steps(from(8, 14)), way.length(0.12));
    } else if (cycle == Meaning::drill_face) {
        // In system A the R level is a distance from where the drill stands (common practice, no source).
        const std::string level = way.length(way.system == codes::System::A ? -3 : 2);
        text += way.x(0) + ' ' + way.z(5) +
                fmt::format("\n{} {} R{} Q{} F{} (CUTS)\nG80\n", code, way.z(-from(40, 60)), level,
                            way.steps(from(8, 14)), way.length(0.12));
    } else {
        text += way.x(64) + ' ' + way.z(-20) +
                fmt::format("\n{0} R{1}\n{0} {2} {3} P{4} Q{5} F{6} (CUTS)\n", code, way.length(0.5),
                            way.x(from(40, 48)), way.z(-from(26, 34)), way.steps(from(2, 4)), way.steps(2.5),
                            way.length(0.08));
    }
    return text + way.end() + "O8001\n#2=#1\nM99\n";
}

std::size_t line_with(const features::Document& document, std::string_view words) {
    for (std::size_t line = 0; line < document.buffer().line_count(); ++line)
        if (document.buffer().line(line).find(words) != std::string_view::npos) return line;
    FAIL("no line with " << words);
    return 0;
}

/// What is left when lines from `first` to `last` were run, or, with `moves`, so many moves of the last.
stock::Region left_behind(const features::Document& document, stock::Region before, std::size_t first,
                          std::size_t last, std::optional<std::size_t> moves = {}) {
    const stock::ProgramCourse& course = document.results().stock().programs().at(0);
    stock::Region left = before;
    const machine::BlockPlace place = document.place_of_line(last);
    stock::Onlooker onlooker{[&](const stock::Passed& passed, const stock::Region& now) {
                                 if (!moves || passed.block.place < place || passed.move < *moves) left = now;
                             },
                             {}};
    stock::follow_sequence(document.analysis(), document.shop(), *course.setup,
                           {std::make_shared<const stock::Region>(std::move(before)), {}},
                           document.place_of_line(first), place, 10'000, &onlooker);
    return left;
}

/// What is left when so many passes of a cycle are done; found in its moves by where it goes on.
std::optional<stock::Region> left_when_done(const features::Document& document, const stock::Region& raw,
                                            std::size_t cycle, std::size_t done) {
    std::optional<stock::Region> now;
    const machine::BlockPlace place = document.place_of_line(cycle);
    document.analysis().visit(place.run, [&](const machine::BlockView& view) {
        if (view.block != place.block) return;
        const auto moves = motion::path_of(view, document.analysis()).segments;
        std::size_t passes = 0;
        bool cuts = false;
        for (std::size_t move = 0; move < moves.size() && !now; ++move) {
            const bool is_cut = moves[move].role == motion::SegmentRole::cycle_pass ||
                                moves[move].role == motion::SegmentRole::finish;
            if (!is_cut && cuts && passes == done) now = left_behind(document, raw, 1, cycle, move);
            passes += is_cut && !cuts;
            cuts = is_cut;
        }
    });
    return now;
}

bool same_stock(const stock::Region& a, const stock::Region& b) {
    return !stock::is_wider(stock::subtract(a, b), stock::touch_mm) &&
           !stock::is_wider(stock::subtract(b, a), stock::touch_mm);
}

} // namespace

namespace {

/// A cycle that was broken off in, and the stock around it.
struct BrokenOff {
    BrokenOff(const std::string& text, const WayOfWriting& way, std::string_view cycle_words)
        : document(opened(text, way.shop())), cycle(line_with(*document, cycle_words)),
          raw(stock::raw_stock(*document->results().stock().programs().at(0).setup)),
          whole(left_behind(*document, raw, 1, cycle)),
          count(restart_at(*document, {cycle, false}).passes.size()) {}

    std::unique_ptr<features::Document> document;
    std::size_t cycle;
    stock::Region raw, whole; ///< In front of the program, behind the cycle
    std::size_t count;
    std::array<std::size_t, 3> some() const { return {1, count / 2, count - 1}; }

    /// What a program that goes on from line `first` leaves of the stock with so many passes done.
    void check_whole_behind(std::size_t done, const features::Document& program, std::size_t first,
                            std::size_t last) const {
        const auto now = left_when_done(*document, raw, cycle, done);
        REQUIRE(now);
        CHECK_FALSE(same_stock(*now, whole));
        CHECK(same_stock(left_behind(program, *now, first, last), whole));
    }
};

/// Of how many restarts asked for blocks were written.
struct Share {
    std::size_t asked = 0, written = 0;
};

void check_remaining(const BrokenOff& broken, const WayOfWriting& way, Share& share) {
    REQUIRE(broken.count > 2);
    for (const std::size_t done : broken.some()) {
        const Restart restart = restart_at(*broken.document, {broken.cycle, false, done});
        CAPTURE(done, restart.refused);
        ++share.asked;
        if (restart.head.empty()) continue;
        ++share.written;
        const FileText own = restart_program(*broken.document, restart, 0);
        CAPTURE(own.text);
        REQUIRE(own.problem.empty());
        const auto program = opened(own.text, way.shop());
        const std::size_t first = 2, last = first + restart.head.size() + restart.remaining.size() - 1;
        broken.check_whole_behind(done, *program, first, last);
    }
}

} // namespace

TEST_CASE("restart passes: those done and those left leave the stock of the whole cycle") {
    std::mt19937 random(20240711);
    Share share;
    for (int i = 0; i < 36; ++i) {
        const WayOfWriting way{static_cast<codes::System>(i % 3), i / 3 % 2 == 1, i / 6 % 2 == 1};
        const std::string text =
            roughing(way, i / 12 % 2 ? Meaning::rough_facing : Meaning::rough_turning, random);
        CAPTURE(text);
        check_remaining(BrokenOff(text, way, "P10 Q20"), way, share);
    }
    CAPTURE(share.asked, share.written);
    CHECK(share.written * 10 >= share.asked * 8);
}

TEST_CASE("restart passes: of repeated contours, grooves and holes the rest is cut, too") {
    std::mt19937 random(20261130);
    for (const Meaning cycle :
         {Meaning::pattern_repeat, Meaning::groove_side, Meaning::peck_face, Meaning::drill_face}) {
        Share share;
        for (int i = 0; i < 12; ++i) {
            const WayOfWriting way{static_cast<codes::System>(i % 3), i / 3 % 2 == 1, i / 6 % 2 == 1};
            const std::string text = other_cycle(way, cycle, random);
            CAPTURE(text);
            check_remaining(BrokenOff(text, way, "(CUTS)"), way, share);
        }
        CAPTURE(codes::title(cycle), share.asked, share.written);
        CHECK(share.written * 10 >= share.asked * 8);
    }
}

TEST_CASE("restart passes: from another start the cycle leaves the stock of the whole cycle") {
    std::mt19937 random(20261129);
    Share share;
    for (int i = 0; i < 24; ++i) {
        const WayOfWriting way{static_cast<codes::System>(i % 3), i / 3 % 2 == 1, i / 6 % 2 == 1};
        const std::string text =
            roughing(way, i / 12 % 2 ? Meaning::rough_facing : Meaning::rough_turning, random);
        const BrokenOff broken(text, way, "P10 Q20");
        for (const std::size_t done : broken.some()) {
            const Restart restart = restart_at(*broken.document, {broken.cycle, false, done});
            CAPTURE(text, done, restart.refused);
            ++share.asked;
            if (restart.cycle_head.empty()) continue;
            ++share.written;
            CHECK(restart.cycle_line == broken.cycle - 1); // Its line of two
            std::string own = "O1\n";
            for (const std::string& line : restart.cycle_head) own += line + '\n';
            for (std::size_t line = restart.cycle_line; line < broken.document->buffer().line_count(); ++line)
                own += std::string(broken.document->buffer().line(line)) + '\n';
            CAPTURE(own);
            const auto program = opened(own, way.shop());
            const std::size_t here = line_with(*program, "P10 Q20");
            // A cycle of one pass is not told as one of passes.
            const std::size_t left = broken.count - done;
            CHECK(restart_at(*program, {here, false}).passes.size() == (left > 1 ? left : 0));
            broken.check_whole_behind(done, *program, 1, here);
        }
    }
    CAPTURE(share.asked, share.written);
    // A pass along the contour that alone remains has no start of its own
    CHECK(share.written * 10 >= share.asked * 7);
}

namespace {

std::string shaft_with(const std::string& blocks, int tool = 1) {
    return WayOfWriting{}.head(tool) + "G00 X66. Z10.\nM08\n" + blocks + "G00 X200. Z100.\nM30\n";
}
const std::string rough = "G00 X62. Z2.\nG71 U2. R1.\nG71 P10 Q20 U0.5 W0.1 F0.25\nN10 G00 X30.\nG01 Z-20.\n"
                          "X40. Z-30.\nN20 X62.\nG70 P10 Q20 F0.1\n";

} // namespace

TEST_CASE("restart passes: how far it got is told by number or by place") {
    const auto document = opened(shaft_with(rough), WayOfWriting{}.shop());
    const std::size_t cycle = line_with(*document, "P10 Q20 U0.5");
    // The allowance of 0.5 moves the start to 62.5; each pass steps 2 mm on radius.
    const Restart asked = restart_at(*document, {cycle, false});
    REQUIRE(asked.passes.size() == 8);
    CHECK(asked.passes[0].at == "X58.5 Z-29.9");
    CHECK(asked.passes[3].deeper == "2.");
    const Restart reached = restart_at(*document, {cycle, false, {}, "x50"});
    CHECK(reached.remaining == restart_at(*document, {cycle, false, 3}).remaining);
    CHECK(reached.remaining.front() == "G00 X46.5");
    CHECK(document->buffer().line(reached.behind) == "G70 P10 Q20 F0.1");
    CHECK(restart_at(*document, {cycle, false, {}, "Z-30"}).refused.find("do not step in Z") !=
          std::string::npos);
    CHECK(restart_at(*document, {cycle, false, {}, "30"}).refused.find("X42.5") != std::string::npos);
    CHECK(restart_at(*document, {cycle, false, 9}).refused == "G71 has 8 passes.");
    CHECK(restart_at(*document, {line_with(*document, "G70"), false, 1}).refused.find("No cycle") !=
          std::string::npos);
    // All of them done: on behind the contour.
    CHECK(document->buffer().line(restart_at(*document, {cycle, false, 8}).line) == "G70 P10 Q20 F0.1");
    const std::string told = restart_text(*document, reached);
    // Behind it G70 goes back to where it began: from another start the machine would move otherwise.
    CHECK(reached.cycle_head.empty());
    CHECK(told.find("Passes of G71: 8, done 3, the last at X50.5 Z-29.9; these remain:\n    4  X46.5") !=
          std::string::npos);
    // The contour comes along for the finish, and behind block delete the program stays as it was.
    CHECK(restart_program(*document, reached, 0)
              .text.find("G70 P10 Q20 F0.1\nG00 X200. Z100.\nM30\n(CONTOURS") != std::string::npos);
    const std::string with = features::edited(*document, insert_restart(*document, reached).files[0].edits);
    CHECK(with.find("N20 X62.\n/(RESTART HEAD") != std::string::npos);
    CHECK(count_of(with, "\n/") == reached.head.size() + reached.remaining.size() + 1);
}

TEST_CASE("restart passes: a thread is met at the same start, and once more takes its last pass") {
    const auto many =
        opened(shaft_with("G00 X34. Z5.\nG76 P010060 Q100 R0.05\nG76 X27.5 Z-15. P1227 Q400 F2.\n", 5),
               WayOfWriting{}.shop());
    const Restart spring = restart_at(*many, {line_with(*many, "P1227"), true});
    CAPTURE(spring.refused);
    REQUIRE(spring.passes.size() == 9);
    // 1.227 mm deep along a flank of 30 degrees: 1.227 * tan 30 = 0.708 before the start.
    CHECK(spring.remaining ==
          std::vector<std::string>{"G00 Z4.292", "G00 X27.5", "G32 Z-15. F2.", "G00 X34.", "G00 Z5.", "F2."});
    const auto each =
        opened(shaft_with("G00 X34. Z5.\nG92 X29. Z-15. F2.\nX28.5\nX28.\n", 5), WayOfWriting{}.shop());
    const Restart second = restart_at(*each, {line_with(*each, "G92"), false, 1});
    CHECK(second.block == "G92 X28.5 Z-15.");
    CHECK(restart_at(*each, {line_with(*each, "G92"), true}).block == "G92 X28. Z-15.");
    const auto single = opened(shaft_with("G00 X34. Z5.\nG00 X29.\nG32 Z-15. F2.\nG00 X34.\nZ5.\nX28.5\n"
                                          "G32 Z-15. F2.\nG00 X34.\nZ5.\n",
                                          5),
                               WayOfWriting{}.shop());
    const Restart plain = restart_at(*single, {line_with(*single, "G32"), false, 1});
    CHECK(plain.passes.size() == 2);
    CHECK(plain.line == line_with(*single, "X28.5") + 1);
}

TEST_CASE("restart passes: what cannot be written says why") {
    const auto compensated = opened(shaft_with("G42 " + rough + "G40 G00 X66.\n"), WayOfWriting{}.shop());
    const auto why = [](const features::Document& document, std::string_view words) {
        const Restart restart = restart_at(document, {line_with(document, words), false, 1});
        CHECK(restart.head.empty());
        return restart.refused;
    };
    CHECK_FALSE(why(*compensated, "P10 Q20 U0.5").empty());
    CHECK(restart_at(*compensated, {line_with(*compensated, "P10 Q20 U0.5"), false, 1}).cycle_head.empty());
    const auto called = opened(shaft_with("M98 P7\n") + "O0007\n" + rough + "M99\n", WayOfWriting{}.shop());
    CHECK(why(*called, "P10 Q20 U0.5").find("called") != std::string::npos);
}

TEST_CASE("restart passes: into a hole that is there the first way goes at feed") {
    std::mt19937 random(7);
    for (int i = 0; i < 6; ++i) {
        const WayOfWriting way{static_cast<codes::System>(i % 3), i / 3 == 1, false};
        const std::string text = other_cycle(way, Meaning::drill_face, random);
        const BrokenOff broken(text, way, "(CUTS)");
        const Restart restart = restart_at(*broken.document, {broken.cycle, false, 1});
        CAPTURE(text, restart.refused);
        REQUIRE_FALSE(restart.remaining.empty());
        CHECK(restart.remaining.front().find("G01") != std::string::npos);
        CHECK(std::any_of(restart.cautions.begin(), restart.cautions.end(), [](const std::string& caution) {
            return caution.find("broken piece") != std::string::npos;
        }));
    }
}

// Restart heads: what they state, that they lead into the same moves, that their way in is clear.
#include "report/restart.h"

#include "features/equal_moves.h"
#include "features/word_edits.h"
#include "opened.h"
#include "report/compare.h"
#include "stock/passes.h"
#include "thorough.h"

#include <catch2/catch.hpp>
#include <fmt/format.h>
#include <random>

using namespace turnwright;
using namespace turnwright::report;
using codes::Meaning;

namespace {

/// How a program is written.
struct Manner {
    codes::System system = codes::System::A;
    bool inch = false, diameter = true, surface = true, compensated = false;
    bool macros = false; ///< Sizes in variables, passes in a loop, a called program
};

std::string shop_file(const Manner& manner) {
    return fmt::format("units = \"mm\"\n[[machine]]\nsystem = \"{}\"\nx = \"{}\"\n[stock]\ndiameter = "
                       "60\nbore = 0\nfront_z = 1\n"
                       "back_z = -120\njaw_front_z = -90\njaw_diameter = 160\n"
                       "[[tool]]\nstation = 1\nkind = \"turning\"\nnose_radius = 0.8\ntip_direction = 3\n"
                       "approach_angle = 95\nback_angle = 5\n"
                       "[[tool]]\nstation = 3\nkind = \"turning\"\nnose_radius = 0.4\ntip_direction = 3\n"
                       "approach_angle = 93\nback_angle = 52\n"
                       "[[tool]]\nstation = 5\nkind = \"threading\"\ntip_direction = 8\n",
                       codes::system_letter(manner.system), manner.diameter ? "diameter" : "radius");
}

/// Blocks written in one manner; lengths in mm, X on diameter.
class Writer {
public:
    explicit Writer(const Manner& manner) : manner_(manner) {}

    std::string code(Meaning meaning) const { return codes::written_as(manner_.system, meaning); }
    std::string x(double diameter) const { return "X" + length(manner_.diameter ? diameter : diameter / 2); }
    std::string z(double mm) const { return "Z" + length(mm); }
    std::string length(double mm) const { return fmt::format("{:.4f}", manner_.inch ? mm / 25.4 : mm); }
    void line(const std::string& words) { text += words + '\n'; }

    void begin(int tool, bool surface) {
        line(fmt::format("N{} (TOOL {})", tool, tool));
        line(code(Meaning::datum_1) + " G18 G40 " + code(manner_.inch ? Meaning::inch : Meaning::millimetre) +
             ' ' + code(Meaning::feed_per_rev) +
             (manner_.system == codes::System::A ? "" : ' ' + code(Meaning::absolute)));
        line(fmt::format("T0{0}0{0}", tool));
        line(code(Meaning::speed_limit) + " S2500");
        line("G97 S900 M03");
        surface_ = surface;
    }
    void approach(double diameter, double at_z) {
        line("G00 " + x(diameter) + ' ' + z(10));
        line(z(at_z));
        line("M08");
        if (surface_) line(manner_.inch ? "G96 S600" : "G96 S180");
    }
    void end() {
        line("G00 " + x(200) + ' ' + z(100));
        line("M09");
        line("M01");
    }

    std::string text;

private:
    Manner manner_;
    bool surface_ = false;
};

const std::string called = "O8003 (BACK)\n#102=#101\nG04 X1.\nM99\n";

/// Passes along a shaft with a step, then a finish along the contour, a cycle and a thread.
std::string generated(const Manner& manner, std::mt19937& random) {
    const auto from = [&](double least, double most) {
        return std::uniform_int_distribution<int>(static_cast<int>(least * 10),
                                                  static_cast<int>(most * 10))(random) /
               10.0;
    };
    Writer program(manner);
    program.line("O1234 (SHAFT)");
    const double shaft = from(30, 40), shoulder = -from(25, 45), step = from(1.5, 3);
    if (manner.macros) program.line("#101=" + program.length(-shoulder) + "\n#103=" + program.length(2));
    const std::string to_shoulder = manner.macros ? "Z-#101" : program.z(shoulder);
    program.begin(1, manner.surface);
    program.approach(66, 0);
    program.line("G01 " + program.x(-2) + " F" + program.length(0.2));
    program.line("G00 " + program.z(2));
    double at = 60 - 2 * step;
    for (; at > shaft + 3; at -= 2 * step) {
        program.line("G00 " + program.x(at));
        program.line("G01 " + to_shoulder);
        program.line(program.x(at + 2 * step + 1));
        program.line("G00 " + program.z(2));
    }
    if (manner.macros) {
        program.line("#104=0\nWHILE[#104 LT #103]DO1");
        program.line("G00 Z[#103-#104]");
        program.line("#104=#104+" + program.length(0.5) + "\nEND1");
        program.line("M98 P8003\nG00 " + program.z(2));
    }
    const double last = at + 2 * step;
    // Modal cycles: the second and third block take their words over.
    program.line("G00 " + program.x(last + 4));
    program.line(program.code(Meaning::single_turning) + ' ' + program.x(last - 0.4) + ' ' +
                 program.z(shoulder + 3));
    program.line(program.x(last - 0.8));
    program.end();
    program.begin(3, manner.surface);
    program.approach(last + 10, 2);
    program.line("G00 " + program.x(shaft - 6));
    program.line((manner.compensated ? "G42 G01 " : "G01 ") + program.z(0) + " F" + program.length(0.12));
    program.line(program.x(shaft - 2) + ' ' + program.z(-2));
    program.line(program.z(shoulder + 4));
    program.line("G02 " + program.x(shaft + 4) + ' ' + program.z(shoulder + 1) + " R" + program.length(3));
    program.line("G01 " + program.x(62));
    program.line("G40 G00 " + program.x(66));
    program.end();
    program.begin(5, false);
    program.approach(shaft + 4, 5);
    program.line(program.code(Meaning::single_threading) + ' ' + program.x(shaft - 3) + ' ' + program.z(-15) +
                 " F" + program.length(1.5));
    program.line(program.x(shaft - 3.4));
    program.line(program.x(shaft - 3.7));
    program.end();
    program.line("M30");
    return program.text + (manner.macros ? called : "");
}

std::vector<Action> moves_from(const features::Document& document, std::size_t line) {
    std::vector<Action> moves;
    bool begun = false;
    // What is called stands behind the end.
    std::size_t end = line;
    while (end < document.buffer().line_count() && !document.buffer().line(end).starts_with("M30")) ++end;
    for (const ActionSpan& span : course_of(document).spans)
        for (const Action& action : span.actions) {
            begun = begun || (action.line >= line && action.line <= end);
            if (begun && action.kind != Action::Kind::setting) moves.push_back(action);
        }
    return moves;
}

bool same_row(const std::vector<Action>& a, const std::vector<Action>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const Action& one, const Action& other) { return same_action(one, other, {}); });
}

/// The stock when a block begins, as the picture's film follows it.
std::optional<stock::Region> stock_before(const features::Document& document, std::size_t line) {
    const auto& programs = document.results().stock().programs();
    if (programs.empty() || !programs[0].setup) return std::nullopt;
    stock::Region left = stock::raw_stock(*programs[0].setup);
    bool reached = false;
    stock::follow_passes(document.analysis(), document.shop(), programs[0], 10'000,
                         [&](const stock::Passed& passed, const stock::Region& now) {
                             reached = reached || document.line_of(passed.block.place) >= line;
                             if (!reached) left = now;
                         });
    return left;
}

bool is_inside(const stock::Region& left, motion::Point at) {
    constexpr double hair_mm = 0.03;
    const stock::Region hair = stock::rectangle(at.z_mm - hair_mm, at.z_mm + hair_mm,
                                                at.x_radius_mm - hair_mm, at.x_radius_mm + hair_mm);
    return !stock::intersect(left, hair).empty();
}

/// Rapids of the head against what is left, point by point; the first comes from where nobody knows.
std::size_t points_inside(const features::Document& program, std::size_t head_lines,
                          const stock::Region& left) {
    std::size_t inside = 0;
    for (std::size_t line = 2; line < 2 + head_lines; ++line) {
        const machine::BlockPlace place = program.place_of_line(line);
        program.analysis().visit(place.run, [&](const machine::BlockView& view) {
            if (view.block != place.block) return;
            for (const motion::Segment& segment : motion::path_of(view, program.analysis()).segments) {
                if (segment.kind != motion::SegmentKind::rapid) continue;
                for (int i = 0; i <= 50; ++i)
                    inside += is_inside(
                        left, {std::lerp(segment.from.x_radius_mm, segment.to.x_radius_mm, i / 50.0),
                               std::lerp(segment.from.z_mm, segment.to.z_mm, i / 50.0)});
            }
        });
    }
    return inside;
}

bool is_move(std::string_view line) {
    return line.find('X') != line.npos || line.find('Z') != line.npos;
}

} // namespace

TEST_CASE("restart: the head and what follows moves as the program does, and its way in is clear") {
    std::mt19937 random(20240611);
    std::size_t asked = 0, written = 0;
    for (int i = 0; i < 216; i += stride(11)) {
        Manner manner;
        manner.system = static_cast<codes::System>(i % 3);
        manner.inch = i / 3 % 2;
        manner.diameter = i / 6 % 2;
        manner.surface = i / 12 % 2;
        manner.compensated = i / 24 % 2;
        manner.macros = i / 48 % 2;
        const std::string text = generated(manner, random);
        const auto document = opened(text, shop_file(manner));
        std::vector<std::size_t> moving;
        for (std::size_t line = 0; line < document->buffer().line_count(); ++line)
            if (is_move(document->buffer().line(line))) moving.push_back(line);
        for (int pick = 0; pick < 3; ++pick) {
            const std::size_t line =
                moving[std::uniform_int_distribution<std::size_t>(0, moving.size() - 1)(random)];
            const Restart restart = restart_at(*document, {line, false});
            CAPTURE(text, line + 1, restart.refused, restart.head, restart.block);
            ++asked;
            if (restart.head.empty()) {
                REQUIRE_FALSE(restart.refused.empty());
                REQUIRE_FALSE(restart.entries.empty());
                continue;
            }
            ++written;
            const FileText own = restart_program(*document, restart, 0);
            REQUIRE(own.problem.empty());
            const auto program = opened(own.text.find("M98") == own.text.npos ? own.text : own.text + called,
                                        shop_file(manner));
            CAPTURE(own.text);
            REQUIRE(
                same_row(moves_from(*document, restart.line), moves_from(*program, 2 + restart.head.size())));
            const machine::State there = document->analysis().before(document->place_of_line(restart.line));
            const machine::State reached =
                program->analysis().before(program->place_of_line(2 + restart.head.size()));
            REQUIRE(there.tool == reached.tool);
            REQUIRE(there.offset == reached.offset);
            REQUIRE(there.speed == reached.speed);
            REQUIRE(there.speed_limit == reached.speed_limit);
            if (there.feed.known()) REQUIRE(reached.feed.number == Approx(there.feed.number));
            const auto left = stock_before(*document, restart.line);
            REQUIRE(left);
            REQUIRE(points_inside(*program, restart.head.size(), *left) == 0);
        }
    }
    CAPTURE(asked, written);
    CHECK(written * 10 >= asked * 7);
}

namespace {

constexpr Manner plain_manner{};

/// One sequence around some blocks; system A, mm, X on diameter, speed at the surface.
std::string shaft(const std::string& blocks) {
    return "O1234 (SHAFT)\nN1 (TURN)\nG54 G18 G97 G21 G80 G40 G99\nT0101\nG50 S2500\nG97 S900 M03\n"
           "G00 X66. Z10.\nM08\nG96 S180\n" +
           blocks + "G00 X200. Z100.\nM30\n";
}

std::size_t line_of(const features::Document& document, std::string_view words) {
    for (std::size_t line = 0; line < document.buffer().line_count(); ++line)
        if (document.buffer().line(line) == words) return line;
    FAIL("no line " << words);
    return 0;
}

} // namespace

TEST_CASE("restart: what is keyed in, reckoned by hand") {
    // After the pass the bar is 50 mm wide to Z-30. The tool stands 2 mm over it: the last rapid may end
    // there.
    const auto document = opened(shaft("G00 X50. Z2.\nG01 Z-30. F0.25\nX54.\nG01 Z-31. F0.2\nG00 Z2.\n"),
                                 shop_file(plain_manner));
    const Restart clear = restart_at(*document, {line_of(*document, "G01 Z-30. F0.25"), false});
    CAPTURE(clear.refused);
    // 180 m/min at 50 mm: 1000 * 180 / (pi * 50) = 1145.9 rpm. The front is at Z1, 10 mm before it Z11.
    CHECK(clear.head == std::vector<std::string>{"G54 G18 G21 G99 G80 G40", "T0101", "G50 S2500",
                                                 "G97 S1145 M03", "G00 X50. Z11.", "M08", "G00 Z2.",
                                                 "G96 S180"});
    CHECK(clear.completed.empty());
    // On the shoulder, the corner of the part: 2 mm away in both axes, the rest at the feed in force. The
    // jaws, 160 mm wide, are passed by 10 mm on radius.
    const Restart at_corner = restart_at(*document, {line_of(*document, "X54."), false});
    CAPTURE(at_corner.refused);
    CHECK(at_corner.head == std::vector<std::string>{"G54 G18 G21 G99 G80 G40", "T0101", "G50 S2500",
                                                     "G97 S1061 M03", "G00 X180. Z-28.", "M08", "G00 X54.",
                                                     "G96 S180", "G01 X50. Z-30. F0.25"});
    CHECK(at_corner.block == "G01 X54.");
    CHECK(at_corner.completed == "G01");
    CHECK(at_corner.entries.size() == 1);
    CHECK(at_corner.stock.starts_with("largest X60., front at Z1.; from the front about X50. to Z-29."));
    CHECK(at_corner.stock.ends_with(", X60."));
}

TEST_CASE("restart: a cycle, a contour, a thread and a called program are entered where they begin") {
    const auto document = opened(
        shaft("G00 X62. Z2.\nG71 U2. R1.\nG71 P10 Q20 U0.5 W0.1 F0.25\nN10 G00 X30.\nG01 Z-20.\nN20 X62.\n"
              "G70 P10 Q20\nM98 P7\nG00 X40. Z5.\nG32 Z-10. F1.5\nG32 X42. Z-12.\nG00 X64.\n"
              "G00 X30. Z2.\nG42 G01 Z0. F0.1\nZ-8.\nX32.\nG40 G00 X64.\n") +
            "O0007\nG00 X62. Z3.\nG01 X61. F0.1\nG00 X64.\nM99\n",
        shop_file(plain_manner));
    const auto entered = [&](std::string_view asked, std::string_view at) {
        CAPTURE(asked);
        const Restart restart = restart_at(*document, {line_of(*document, asked), false});
        CAPTURE(restart.refused);
        CHECK(document->buffer().line(restart.line) == at);
        CHECK(restart.moved.empty() == (asked == at));
        return restart;
    };
    CHECK_FALSE(entered("G01 Z-20.", "G71 U2. R1.").head.empty());
    CHECK_FALSE(entered("G71 P10 Q20 U0.5 W0.1 F0.25", "G71 U2. R1.").head.empty());
    CHECK_FALSE(entered("G01 X61. F0.1", "M98 P7").head.empty());
    CHECK_FALSE(entered("G32 X42. Z-12.", "G32 Z-10. F1.5").head.empty());
    CHECK_FALSE(entered("X32.", "G42 G01 Z0. F0.1").head.empty());
    // The contour of finishing stands above: it comes along behind the end.
    const FileText finish = restart_program(*document, entered("G70 P10 Q20", "G70 P10 Q20"), 77);
    CHECK(finish.problem.empty());
    CHECK(finish.text.starts_with("%\nO0077 (RESTART OF O1234 AT LINE 16)\n"));
    CHECK(finish.text.ends_with("M30\n(CONTOURS NAMED ABOVE)\nN10 G00 X30.\nG01 Z-20.\nN20 X62.\n%\n"));
}

TEST_CASE("restart: where something is not known no head is written, and the entry before it is told") {
    const auto refused = [](const std::string& blocks, std::string_view asked) {
        const auto document = opened(shaft(blocks), shop_file(plain_manner));
        const Restart restart = restart_at(*document, {line_of(*document, asked), false});
        CAPTURE(blocks, restart.head);
        CHECK(restart.head.empty());
        REQUIRE(restart.entries.size() == 1);
        CHECK(restart.entries[0].safe);
        CHECK(restart_text(*document, restart).find("Enter at line 2, N1 T0101 TURN.") != std::string::npos);
        return restart.refused;
    };
    // Nobody knows what the operator has put into #500, so #101 is not known; #[..] may be any of them.
    CHECK(refused("G00 X50. Z2.\nIF[#500 GT 1]THEN #101=20.\nG00 Z1.\nG01 Z-#101 F0.2\n", "G00 Z1.")
              .find("with #101, and what it holds there is not known") != std::string::npos);
    CHECK(refused("G00 X50. Z2.\n#101=20.\nG00 Z1.\nG01 Z-#[#101+1] F0.2\n", "G00 Z1.").find("computes") !=
          std::string::npos);
    CHECK_FALSE(refused("G00 X50. Z2.\nG65 P8999 A1.\nG01 Z-30. F0.2\n", "G01 Z-30. F0.2").empty());
    // With a live tool at work a head of the turning plane would start the spindle that holds the part.
    const std::string live =
        "M05\nM51 (C AXIS ON)\nG28 C0\nG97 S2500 M13 (LIVE TOOL ON)\nG00 X50. Z-8. C90.\nG01 X40. F0.1\n"
        "M15 (LIVE TOOL OFF)\nM50 (C AXIS OFF)\n";
    CHECK(refused(live, "G01 X40. F0.1").find("S speaks to the live tool there") != std::string::npos);
    CHECK(refused("G00 X50. Z2. Y-20.\nG01 X40. F0.1\n", "G01 X40. F0.1").find("off the centre in Y") !=
          std::string::npos);
    CHECK(refused("G00 X50. Z2.\nG01 Z-30. F0.2\n", "T0101").find("None is needed") != std::string::npos);
}

TEST_CASE("restart: the entry that is safe behind the head is named with the lines of the head") {
    const std::string text =
        "O1234 (SHAFT)\nG21 G99 G18 G40\nG50 S2500\nN1 (TURN)\nT0101\nG97 S900 M03\n"
        "G00 X66. Z10.\nG01 X50. F0.2\nZ-20.\nG00 X200. Z100.\nN2 (FINISH)\nT0303\n"
        "G97 S900 M03\nG00 X66. Z10.\nG65 P8999 A1.\nG01 X40. F0.2\nG00 X200. Z100.\nM30\n";
    const auto document = opened(text, shop_file(plain_manner));
    const Restart restart = restart_at(*document, {line_of(*document, "G01 X40. F0.2"), false});
    CAPTURE(restart.head);
    REQUIRE(restart.head.empty());
    const std::string told = restart_text(*document, restart);
    CAPTURE(told);
    CHECK(told.find("Run the head of the program first (line 1 to 3), then enter at line 11, N2") !=
          std::string::npos);
    CHECK(told.find("No entry before it") == std::string::npos);
    CHECK(told.find("The way in is run through") == std::string::npos);
}

TEST_CASE("restart: variables that the rest reckons with are set, and a loop is entered from its front") {
    for (const codes::System system : {codes::System::A, codes::System::B, codes::System::C})
        for (const bool inch : {false, true}) {
            const Manner manner{system, inch, true, false, false, false};
            Writer program(manner);
            program.line("O1234 (BUSH)");
            program.line("#101=" + program.length(50) + " (DIAMETER)");
            program.line("#102=" + program.length(8));
            program.line("#103=3");
            program.begin(1, false);
            program.approach(66, 2);
            program.line("G00 X#101");
            program.line("G01 Z-[#102*2] F" + program.length(0.2));
            program.line(program.x(64));
            program.line("G00 " + program.z(2));
            program.line("#1=0");
            program.line("WHILE[#1 LT #103]DO1");
            program.line("G00 X[#101-#1]");
            program.line("G01 Z-#102");
            program.line("G00 " + program.x(64) + " " + program.z(2));
            program.line("#1=#1+1");
            program.line("END1");
            program.line("M98 P8002");
            program.end();
            program.line("M30");
            program.line("O8002");
            program.line("G00 X[#101+#102]");
            program.line("M99");
            const auto document = opened(program.text, shop_file(manner));
            const auto blocks = [&](std::string_view asked) {
                const Restart restart = restart_at(*document, {line_of(*document, asked), false});
                CAPTURE(program.text, asked, restart.refused);
                REQUIRE_FALSE(restart.head.empty());
                // As a program of its own it moves as the whole one does from there on.
                const FileText own = restart_program(*document, restart, 0);
                REQUIRE(own.problem.empty());
                const auto alone = opened(own.text + "O8002\nG00 X[#101+#102]\nM99\n", shop_file(manner));
                CAPTURE(own.text);
                CHECK(same_row(moves_from(*document, restart.line),
                               moves_from(*alone, 2 + restart.head.size())));
                return restart;
            };
            const Restart behind = blocks(program.x(64));
            const std::string diameter = features::with_point(inch ? 1.9685 : 50, 6),
                              deep = features::with_point(inch ? 0.315 : 8, 6);
            CHECK(std::vector<std::string>(behind.head.begin() + 1, behind.head.begin() + 4) ==
                  std::vector<std::string>{"#101=" + diameter, "#102=" + deep, "#103=3."});
            CHECK(behind.moved.empty());
            const Restart loop = blocks("G01 Z-#102");
            CHECK(document->buffer().line(loop.line) == "#1=0");
            CHECK(loop.moved.find("in a loop") != std::string::npos);
        }
    // What a loop sets is perhaps never set, and of the P words only calls name a program.
    {
        const auto document =
            opened(shaft("#1=5\n#2=3\n#3=9\nG00 X50. Z2.\nG01 Z-3. F0.2\nWHILE[#2 LT #3]DO1\n"
                         "#1=7.\n#2=#2+1\nEND1\nG04 P500\nG00 X[#1+60]\n"),
                   shop_file(plain_manner));
        const Restart restart = restart_at(*document, {line_of(*document, "G01 Z-3. F0.2"), false});
        CAPTURE(restart.refused);
        REQUIRE(restart.head.size() > 4);
        CHECK(std::vector<std::string>(restart.head.begin() + 1, restart.head.begin() + 4) ==
              std::vector<std::string>{"#1=5.", "#2=3.", "#3=9."});
    }
    // What a called program reads before it is set is written, what is set before the call is not.
    {
        const auto document = opened(
            shaft(
                "#101=5\n#102=3\nG00 X50. Z2.\nG01 Z-3. F0.2\n#102=4\nM98 P8002\n#101=7\nG00 X[#101+60]\n") +
                "O8002\nG00 X[#101+#102+60]\nM99\n",
            shop_file(plain_manner));
        const Restart restart = restart_at(*document, {line_of(*document, "G01 Z-3. F0.2"), false});
        CAPTURE(restart.refused);
        REQUIRE(restart.head.size() > 2);
        CHECK(restart.head[1] == "#101=5.");
        CHECK(restart.head[2] == "T0101");
    }
    // What the machine has of its own, and what is set anew, is not written.
    const auto document =
        opened(shaft("#1=5\n#2=50.\nG00 X50. Z2.\nG01 Z-3. F0.2\n#1=7.\nG00 X[#1+60]\nX#500\n"),
               shop_file(plain_manner));
    const Restart restart = restart_at(*document, {line_of(*document, "G01 Z-3. F0.2"), false});
    CAPTURE(restart.refused);
    CHECK(restart.head[1] == "T0101");
}

TEST_CASE("restart: of a loop around whole sequences one turn is run to its end") {
    // As a loop, and from a label on and back to it.
    for (const codes::System system : {codes::System::A, codes::System::B, codes::System::C})
        for (const bool inch : {false, true})
            for (const bool by_label : {false, true}) {
                const Manner manner{system, inch, true, false, false, false};
                const auto job = [&](bool with_loop, std::string_view counted) {
                    Writer program(manner);
                    program.line("O1234 (PINS)");
                    program.line("#1=0");
                    program.line(!with_loop ? "" : by_label ? "N90" : "WHILE[#1 LT 5]DO1");
                    program.begin(1, false);
                    program.approach(66, 2);
                    program.line("G00 " + program.x(50));
                    program.line("G01 " + program.z(-30) + " F" + program.length(0.2));
                    program.line(program.x(64));
                    program.end();
                    program.begin(3, false);
                    program.approach(66, 2);
                    program.line("G00 " + program.x(48));
                    program.line("G01 " + program.z(-20) + " F" + program.length(0.1));
                    program.line(program.x(52));
                    program.line("G01 Z-[" + program.length(21) + std::string(counted) + "]");
                    program.end();
                    program.line("#1=#1+1");
                    program.line(!with_loop ? "" : by_label ? "IF[#1 LT 5]GOTO90" : "END1");
                    program.line("M30");
                    return program.text;
                };
                const auto document = opened(job(true, ""), shop_file(manner));
                const auto once = opened(job(false, ""), shop_file(manner));
                Writer words(manner);
                const Restart restart = restart_at(*document, {line_of(*document, words.x(52)), false});
                CAPTURE(job(true, ""), restart.refused, restart.head);
                REQUIRE_FALSE(restart.head.empty());
                CHECK(std::none_of(restart.head.begin(), restart.head.end(),
                                   [](const std::string& block) { return block.starts_with("#1="); }));
                REQUIRE(restart.loop_line == 2);
                CHECK(document->buffer().line(restart.last) == "#1=#1+1");
                CHECK(restart_text(*document, restart).find("this turn of the loop ends, and stop there") !=
                      std::string::npos);
                CHECK(insert_restart(*document, restart).refused.find("in a loop") != std::string::npos);
                const FileText own = restart_program(*document, restart, 0);
                REQUIRE(own.problem.empty());
                CAPTURE(own.text);
                const auto alone = opened(own.text, shop_file(manner));
                const auto rest = moves_from(*once, restart.line);
                REQUIRE(rest.size() >= 3);
                CHECK(same_row(rest, moves_from(*alone, 2 + restart.head.size())));
                // Where a size hangs on the turn nobody knows which it was.
                const auto counts = opened(job(true, "+#1"), shop_file(manner));
                const Restart refused = restart_at(*counts, {line_of(*counts, words.x(52)), false});
                CHECK(refused.head.empty());
                CHECK(refused.refused.find("with #1, and what it holds there is not known") !=
                      std::string::npos);
            }
}

TEST_CASE("restart: what is left of the stock is told step by step") {
    const auto document = opened(shaft("G00 X50. Z2.\nG01 Z-30. F0.25\nX62.\nG00 Z2.\nX40.\nG01 Z-10.\n"
                                       "X52.\nG00 Z2.\nX30.\n"),
                                 shop_file(plain_manner));
    const Restart restart = restart_at(*document, {line_of(*document, "X30."), false});
    CAPTURE(restart.stock);
    CHECK(restart.stock.find("largest X60., front at Z1.; from the front about X40. to Z-") == 0);
    CHECK(restart.stock.ends_with(", X60."));
    CHECK(count_of(restart.stock, " to Z-") == 2);
    // A taper goes from one diameter to another; the bar's end is not known.
    std::string bar = shop_file(plain_manner);
    bar.erase(bar.find("back_z = -120\n"), 14);
    const auto taper = opened(shaft("G00 X30. Z2.\nG01 Z-10. F0.25\nX50. Z-30.\nX62.\nG00 Z2.\n"), bar);
    const Restart behind = restart_at(*taper, {line_of(*taper, "G00 Z2."), false});
    CAPTURE(behind.stock);
    CHECK(count_of(behind.stock, " to Z-") == 1);
    CHECK(behind.stock.find(" to X5") != std::string::npos);
    CHECK(behind.stock.find(" at Z-29") != std::string::npos);
}

TEST_CASE("restart: what the shop file lacks of the tool is named") {
    const auto asked = [](std::string_view tool) {
        const auto document =
            opened("O1\nN1 (GROOVE)\nG54 G18 G97 G21 G80 G40 G99\nT0707\nG50 S2500\nG97 S900 M03\n"
                   "G00 X66. Z10.\nM08\nG00 X62. Z-10.\nG75 R0.5\nG75 X40. Z-20. P2000 Q2500 F0.08\n"
                   "G00 X66.\nM30\n",
                   fmt::format("{}[[tool]]\nstation = 7\nkind = \"grooving\"\nwidth = 3\n{}",
                               shop_file(plain_manner), tool));
        return restart_at(*document, {10, false, 6});
    };
    CHECK(asked("").refused == "What remains cannot be run through the stock: the shop file does not give "
                               "tip_direction of T07.");
    const Restart round = asked("tip_direction = 3\n");
    CHECK(round.stock.find(
              "known only to line 2 and taken as it is there: the shop file does not give nose_radius of "
              "T07") != std::string::npos);
    CHECK_FALSE(asked("tip_direction = 3\nnose_radius = 0.2\n").head.empty());
}

TEST_CASE("restart: where nobody told the stock it is taken from the program, and said to be") {
    std::string shop = shop_file(plain_manner);
    shop.erase(shop.find("[stock]"), shop.find("[[tool]]") - shop.find("[stock]"));
    const std::string cut = "G01 Z-30. F0.2";
    const auto document = opened(shaft("G00 X50. Z2.\n" + cut + "\n"), shop);
    const Restart restart = restart_at(*document, {line_of(*document, cut), false});
    CAPTURE(restart.refused);
    CHECK_FALSE(restart.head.empty());
    CHECK(restart.stock.find("(assumed, see at the machine that it is so: stock diameter 50 mm at least") !=
          std::string::npos);
    // A program that shows none: no head, and the entry before it.
    const auto bare = opened(shaft("G00 X50. Z2.\nG00 X60.\n"), shop);
    const Restart nothing = restart_at(*bare, {line_of(*bare, "G00 X60."), false});
    CHECK(nothing.head.empty());
    CHECK(nothing.refused.find("the stock") != std::string::npos);
}

TEST_CASE(
    "restart: tools that the shop file does not tell are taken as the picture takes them, and that is said") {
    // The stock is told by a note.
    const auto document = opened("O1234\n(STOCK D60 L120)\nN1 (ROUGH)\nG54 G18 G97 G21 G80 G40 G99\nT0101\n"
                                 "G50 S2500\nG97 S900 M03\nG00 X66. Z10.\nM08\nG00 X62. Z2.\n"
                                 "G71 U2. R1.\nG71 P10 Q20 U0.5 W0.1 F0.25\nN10 G00 X30.\nG01 Z-20.\n"
                                 "X40. Z-30.\nN20 X62.\nG00 X200. Z100.\nM30\n",
                                 "");
    const Restart restart = restart_at(*document, {11, false, 3});
    CAPTURE(restart.refused);
    CHECK(restart.remaining.front() == "G00 X46.5");
    CHECK(restart.cycle_head.back() == "G00 Z2.");
    CHECK(restart.stock.find("assumed, see at the machine that it is so") != std::string::npos);
    CHECK(restart_text(*document, restart).find("and go on with the program at line 11, where G71 begins.") !=
          std::string::npos);
}

TEST_CASE("restart: behind a bar that was moved no way in is written, be its stock told or assumed") {
    const std::string with_stock = shop_file(plain_manner) + "[[tool]]\nstation = 9\nkind = \"bar puller\"\n";
    std::string without = with_stock;
    without.erase(without.find("[stock]"), without.find("[[tool]]") - without.find("[stock]"));
    for (const std::string& shop : {with_stock, without}) {
        const auto document = opened(
            shaft("G00 X50. Z2.\nG01 Z-30. F0.2\nX64.\nG00 X200. Z100.\nM05\nN9 T0909\nG00 X60. Z-20.\nG98 "
                  "G01 X45. F300.\nZ20. F900.\nG99 G00 X200. Z100.\nN3 T0303\nG54 G18 G21 G99 G40 G80\nG50 "
                  "S2500\nG97 S900 M03\nG00 X62. Z3.\nG00 X40.\nG01 Z-10. F0.2\n"),
            shop);
        const Restart before = restart_at(*document, {line_of(*document, "X64."), false});
        CAPTURE(before.refused);
        CHECK_FALSE(before.head.empty());
        const Restart behind = restart_at(*document, {line_of(*document, "G00 X40."), false});
        CAPTURE(behind.stock, behind.refused);
        CHECK(behind.head.empty());
        CHECK(behind.stock.find("the bar was moved") != std::string::npos);
    }
}

TEST_CASE("restart: in the second spindle no way in is written, be the stock told or assumed") {
    const bool told = GENERATE(true, false);
    const std::string program =
        std::string("O0021\n(M203 SUB SPINDLE CW, M211 SUB CHUCK CLOSE, M10 MAIN CHUCK OPEN)\n") +
        (told ? "(STOCK D60. L90.)\n" : "(BAR 60)\n") +
        "G21 G40 G97 G99 G54\nN1 T0101\nG97 S800 M03\nG00 X64. Z2.\nG01 X40. F0.2\nG01 Z-20. F0.2\nG00 X70. "
        "Z50.\nM05\nM211\nM10\nN2 T0101\nG55 G97 S800 M203\nG00 X64. Z2.\nX50.\nG01 Z-20. F0.2\nX64.\n"
        "G00 X70. Z50.\nM30\n";
    std::string shop = shop_file(plain_manner);
    shop.erase(shop.find("[stock]"), shop.find("[[tool]]") - shop.find("[stock]"));
    const auto document = opened(program, shop);
    const Restart behind = restart_at(*document, {line_of(*document, "X50."), false});
    CAPTURE(behind.stock, behind.refused);
    CHECK(behind.stock.find("in the second spindle") != std::string::npos);
    CHECK(behind.head.empty());
}

TEST_CASE("restart: behind block delete the program is as it was, and its line ends stay") {
    std::string text = shaft("G00 X50. Z2.\nG01 Z-30. F0.25\nX54.\nG00 Z2.\n");
    for (std::size_t at = 0; (at = text.find('\n', at)) != text.npos; at += 2) text.insert(at, 1, '\r');
    const auto document = opened(text, shop_file(plain_manner));
    const Restart restart = restart_at(*document, {line_of(*document, "X54."), false});
    const features::Rewrite rewrite = insert_restart(*document, restart);
    REQUIRE(rewrite.files.size() == 1);
    const std::string with = features::edited(*document, rewrite.files[0].edits);
    CHECK(count_of(with, "\n") == count_of(with, "\r\n"));
    CHECK(count_of(with, "\n/") == restart.head.size() + 1);
    CHECK(with.find("\r\n/G01 X50. Z-30. F0.25\r\nG01 X54.\r\nG00 Z2.\r\n") != std::string::npos);
}

TEST_CASE("restart: one cut alone ends with its sequence") {
    const Manner manner;
    std::mt19937 random(7);
    const auto document = opened(generated(manner, random), shop_file(manner));
    const std::size_t begins = line_of(*document, "N3 (TOOL 3)");
    const Restart restart = restart_at(*document, {begins + 9, true});
    CAPTURE(restart.refused);
    REQUIRE_FALSE(restart.head.empty());
    const FileText own = restart_program(*document, restart, 0);
    CHECK(own.text.ends_with("M01\nM30\n%\n"));
    CHECK(own.text.find("T0303") != std::string::npos);
    CHECK(own.text.find("T0505") == std::string::npos);
}

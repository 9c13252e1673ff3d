// Programs followed through their stock. Volumes by hand from the cylinder's and the cone's formulas.
#include "stock/stocked_program.h"

#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <random>
#include <sstream>

using namespace turnwright;
using namespace turnwright::stock;

namespace {

constexpr double pi = 3.14159265358979323846;
double ring(double outer_diameter, double inner_diameter, double length) {
    return pi / 4 * (outer_diameter * outer_diameter - inner_diameter * inner_diameter) * length;
}

const std::string shaft = [] {
    std::ifstream file(SOURCE_DIR "/docs/examples/pump-shaft.nc", std::ios::binary);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}();

/// All that a course says, for comparing two.
std::string told(const StockedProgram& program) {
    std::ostringstream out;
    out.precision(12);
    for (const ProgramCourse& each : program.course.programs())
        for (const SequenceCourse& s : each.sequences) {
            out << static_cast<int>(s.stop) << ' ' << s.removed_mm3 << ' ' << s.cut_mm << ' ' << s.air_mm
                << ' ' << s.exact << (s.out ? s.out->area_mm2() : -1) << '\n';
            for (const Event& e : s.events)
                out << "  " << static_cast<int>(e.kind) << " line " << program.line(s.place(e.block)) << ' '
                    << e.amount << ' ' << e.at.z_mm << '\n';
            for (const BlockCut& c : s.cuts)
                out << "  cut line " << program.line(s.place(c.block)) << ' ' << c.removed_mm3 << '\n';
        }
    return out.str();
}

} // namespace

TEST_CASE("facing and a longitudinal cut take off what the cylinder's formula says") {
    StockedProgram program(R"(G21 G99
T0101
G97 S800 M03
G00 X60. Z0.
G01 X-1.6 F0.2
Z2.
G00 X46.
G01 Z-30. F0.2
G00 X60.
M30
)",
                           tools_and_stock);
    CHECK(program.events().empty());
    const SequenceCourse& course = program.sequence(1);
    REQUIRE(course.stop == Stop::none);
    REQUIRE(course.cuts.size() == 2);
    CHECK(course.cuts[0].removed_mm3 == Approx(ring(50, 0, 1)).epsilon(1e-3));
    CHECK(course.cuts[0].depth_mm == Approx(1).margin(0.005));
    // The shoulder leans by 5 degrees and ends in a nose of 0.8: under 0.2 mm in Z over a depth of 2 mm.
    CHECK(course.cuts[1].removed_mm3 == Approx(ring(50, 46, 30)).epsilon(0.01));
    CHECK(course.cuts[1].depth_mm == Approx(2).margin(0.005));
    CHECK(course.exact);
    // Profile and moves agree: what is gone is what was taken off.
    CHECK(course.in->volume_mm3() - course.out->volume_mm3() == Approx(course.removed_mm3).epsilon(1e-6));
}

TEST_CASE("a drill takes off its cylinder and its point") {
    StockedProgram program(R"(G21 G99
T0202
G97 S800 M03
G00 X0. Z5.
G01 Z-30. F0.1
G00 Z5.
M30
)",
                           tools_and_stock);
    CHECK(program.events().empty());
    // Drill point 118 degrees: length D / (2 tan 59), exact.
    double point = 8.5 / 2 / std::tan(59 * pi / 180);
    double wanted = ring(8.5, 0, 31 - point) + ring(8.5, 0, point) / 3;
    CHECK(program.sequence(1).removed_mm3 == Approx(wanted).epsilon(1e-3));
}

TEST_CASE("a groove is as wide as the blade") {
    StockedProgram program(R"(G21 G99
T0505
G97 S800 M03
G00 X60. Z-20.
G01 X40. F0.05
G00 X60.
M30
)",
                           tools_and_stock);
    CHECK(program.events().empty());
    CHECK(program.sequence(1).removed_mm3 == Approx(ring(50, 40, 3)).epsilon(1e-3));
}

TEST_CASE("parting drops what is cut off, and the stub stays") {
    StockedProgram program(R"(G21 G99
T0909
G97 S800 M03
G00 X60. Z-63.
G01 X-1. F0.05
G00 X60.
G00 Z5.
G00 X0.
G00 Z-59.
M30
)",
                           tools_and_stock);
    CHECK(program.events().empty());
    REQUIRE(program.sequence(1).out);
    CHECK(program.sequence(1).out->box().z_max == Approx(-63).margin(0.25));
}

TEST_CASE("a rapid along the surface, down to it or out of the cut is no collision") {
    StockedProgram program(R"(G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G00 Z-40.
G00 Z2.
G00 X46.
G01 Z-20. F0.2
G00 X60.
G00 Z1.
G00 X50.
G00 X60. Z5.
M30
)",
                           tools_and_stock);
    CHECK(told(program).find("line") == told(program).find("cut line") + 4);
    CHECK(program.events().empty());
}

TEST_CASE("a rapid through a flange is told with its place and size") {
    StockedProgram program(R"(G21 G99
T0101
G97 S800 M03
G00 X60. Z2.
G00 X44.
G00 Z-20.
M30
)",
                           tools_and_stock);
    REQUIRE(program.events().size() == 1);
    CHECK(program.has(EventKind::rapid_through, 6));
    const Event& event = program.only_event();
    CHECK(event.at.z_mm == Approx(1).margin(0.1));
    CHECK(event.at.x_radius_mm == Approx(22));
    CHECK(event.way == Approx(20).margin(1.1));
    CHECK(event.amount == Approx(3).margin(0.1)); // Radius 25 less 22
}

TEST_CASE("a drill of the shop file works round the axis where the part stands as one, or from the side") {
    constexpr std::string_view shop = R"(units = "mm"
[[machine]]
name = "with C"
system = "A"
x = "diameter"
[machine.m_codes]
M41 = { name = "C axis on", does = "C axis on" }
M42 = { name = "C axis off", does = "C axis off" }
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
hand = "right"
approach_angle = 95
back_angle = 5
[[tool]]
station = 6
kind = "drill"
diameter = 5
point_angle = 118
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -80
)";
    const std::string turned = "G21 G40 G99 G97\nT0101\nS800 M03\nG00 X54. Z2.\nX48.\nG01 Z-60. F0.25\nX52.\n"
                               "G00 X100. Z50.\nM05\nT0606\nM41\nG98 S2500\n";
    // Its point stands 2 mm in front of the surface; its half diameter lies along Z.
    const StockedProgram side(turned + "G00 X100. Z-10. C0.\nX52.\nG87 X30. R-1. F100\nC120.\nC240.\nG80\n"
                                       "G00 X100. Z50.\nM42\nM30\n",
                              shop);
    CHECK(side.events().empty());
    const StockedProgram face(turned +
                                  "G00 X30. Z5. C0.\nG83 Z-15. R-3. F100\nC120.\nC240.\nG80\n"
                                  "G00 X100. Z50.\nM42\nT0101\nG99 S800 M03\nG00 X46. Z2.\nG01 Z-20. F0.2\n"
                                  "X50.\nG00 X100. Z50.\nM30\n",
                              shop);
    INFO("stop " << static_cast<int>(face.program().stop));
    REQUIRE(!face.program().sequences.empty());
    REQUIRE(!side.program().sequences.empty());
    CHECK(face.events().empty());
    for (const SequenceCourse& sequence : face.program().sequences) CHECK(sequence.stop == Stop::none);
    CHECK(face.program().sequences.back().removed_mm3 == Approx(ring(48, 46, 21)).epsilon(0.01)); // The nose
    // Where the part may turn, a drill beside the centre is what it was.
    const StockedProgram turning("G21 G40 G99 G97\nT0606\nS800 M03\nG00 X100. Z-10.\nX52.\nG00 X46.\nM30\n",
                                 shop);
    CHECK_FALSE(turning.events().empty());
}

TEST_CASE("an unknown tool is followed by its tip until it cuts, and then the stock is not known") {
    StockedProgram program(R"(G21 G99
T0606
G97 S800 M03
G00 X60. Z2.
G00 X40. Z-20.
G00 X60.
G01 X46. F0.2
T0101
G00 X60. Z5.
G00 X20. Z-30.
M30
)",
                           tools_and_stock);
    REQUIRE(program.events().size() == 1);
    CHECK(program.has(EventKind::rapid_through, 5));
    const SequenceCourse& course = program.sequence(1);
    CHECK(course.stop == Stop::tool_unknown);
    CHECK(program.line(course.place(course.stopped_at)) == 7);
    CHECK(course.missing == std::vector<std::string_view>{"station"});
    CHECK(!course.out);
    CHECK(program.sequence(2).stop == Stop::above);
}

TEST_CASE("what cannot be followed stops the course, with the reason") {
    auto stop_of = [](std::string_view block) {
        std::string text = "G21 G99\nG54\nT0101\nG97 S800 M03\nG00 X60. Z2.\nG01 X48. F0.2\n";
        text += block;
        text += "\nG01 Z-5.\nG00 X60.\nM30\n";
        StockedProgram program(text, tools_and_stock);
        return program.sequence(1).stop;
    };
    CHECK(stop_of("") == Stop::none);
    CHECK(stop_of("M98 P7000") == Stop::call);
    CHECK(stop_of("IF[#500 GT 1.]GOTO 99") == Stop::jump);
    CHECK(stop_of("G01 X#500") == Stop::path_unknown);
    CHECK(stop_of("G55 G00 X60. Z2.\nG01 X40.") == Stop::datum);
    CHECK(stop_of("G01 X-20.") == Stop::off_centre);
}

namespace {

constexpr std::string_view two_calls = R"(O1
G21 G99
T0505
G97 S800 M03
G00 X60. Z-20.
M98 P7100
G00 X60. Z-30.
M98 P7100 L2
G00 X60. Z-40.
M30
O7100
G01 U-20. F0.05
U20. F0.4
W-8.
M99
)";

} // namespace

TEST_CASE("a called program is followed at each of its calls") {
    StockedProgram program(two_calls, tools_and_stock);
    CHECK(program.events().empty());
    const SequenceCourse& course = program.sequence(1);
    CHECK(course.stop == Stop::none);
    // Three grooves 3 wide to X40: at Z-20, Z-30 and Z-38.
    CHECK(course.removed_mm3 == Approx(3 * ring(50, 40, 3)).epsilon(1e-3));
    REQUIRE(course.cuts.size() == 2);
    CHECK(program.line(course.place(course.cuts[0].block)) == 6);
    CHECK(program.line(course.place(course.cuts[1].block)) == 8);
    CHECK(course.cuts[1].removed_mm3 == Approx(2 * course.cuts[0].removed_mm3).epsilon(1e-3));

    SECTION("a change in it is followed, and one elsewhere is not") {
        program.edit("U-20.", "U-10.");
        CHECK(program.sequence(1).removed_mm3 == Approx(3 * ring(50, 50, 3)).margin(1));
        program.edit("U-10. F0.05\nU20.", "U-30. F0.05\nU30.");
        CHECK(program.sequence(1).removed_mm3 == Approx(3 * ring(50, 30, 3)).epsilon(1e-3));
        StockedProgram fresh(program.buffer.whole(), tools_and_stock);
        CHECK(told(program) == told(fresh));
    }
    SECTION("a program that comes or goes is seen") {
        program.edit("O7100\n", "O7200\n");
        CHECK(program.sequence(1).stop == Stop::call);
        program.edit("O7200\n", "O7100\n");
        CHECK(program.sequence(1).stop == Stop::none);
    }
    SECTION("what it hits is told at the call") {
        program.edit("U20. F0.4\n", "G00 W-20.\nG00 U20.\n");
        CHECK(program.has(EventKind::rapid_through, 6));
    }
    SECTION("a jump in it, or itself in it, is not followed") {
        program.edit("W-8.", "IF[#500 GT 1.]GOTO 5");
        CHECK(program.sequence(1).stop == Stop::jump);
        program.edit("IF[#500 GT 1.]GOTO 5", "M98 P7100");
        CHECK(program.sequence(1).stop == Stop::call);
    }
    SECTION("a call whose count is not known is not followed") {
        program.edit("L2", "L#500");
        CHECK(program.sequence(1).stop == Stop::call);
        program.edit("L#500", "L999");
        CHECK(program.sequence(1).stop != Stop::call); // As far as moves are followed
    }
    SECTION("calls in calls without measure end") {
        program.edit("W-8.", "M98 P7200 L999");
        program.edit("M99\n", "M99\nO7200\nM98 P7300 L999\nM99\nO7300\nG04 P1\nM99\n");
        CHECK(program.sequence(1).stop != Stop::none);
    }
}

TEST_CASE("the finished shaft is what the drawing says, without one false alarm") {
    StockedProgram program(shaft, tools_and_stock);
    CHECK(program.events().empty());
    for (const SequenceCourse& course : program.program().sequences) CHECK(course.stop == Stop::none);
    // Before parting: compare the profile's size at places of the drawing (G71's contour).
    const SequenceCourse& finished = program.sequence(5);
    REQUIRE(finished.out);
    auto diameter_at = [&](double z) {
        Region slice = intersect(*finished.out, rectangle(z - 0.001, z + 0.001, 0, 100));
        return 2 * slice.box().x_max;
    };
    CHECK(diameter_at(-10) == Approx(22.16).margin(0.01));  // Thread, taken off to its full depth
    CHECK(diameter_at(-23.5) == Approx(21.6).margin(0.01)); // Relief
    CHECK(diameter_at(-40) == Approx(30).margin(0.01));
    CHECK(diameter_at(-70) == Approx(45).margin(0.01));
    // The fillet R2 about Z-55, X34: at Z-56 its radius is 17 - sqrt(4 - 1), exact.
    CHECK(diameter_at(-56) == Approx(2 * (17 - std::sqrt(3.0))).margin(0.02));
    // The edge R1 about Z-58, X43: at Z-57.5 its radius is 21.5 + sqrt(1 - 0.25), exact.
    CHECK(diameter_at(-57.5) == Approx(2 * (21.5 + std::sqrt(0.75))).margin(0.02));
    // The chamfer from X18 Z1 to X24 Z-2.
    CHECK(diameter_at(-1) == Approx(22).margin(0.02));
}

TEST_CASE("without compensation the nose leaves tapers too large by its shift") {
    // G40 in place of G42: facts of geometry, exact: at 45 degrees a nose of 0.4 leaves r (2 - sqrt 2) along
    // X.
    std::string text = shaft;
    text.replace(text.find("G42"), 3, "G40");
    StockedProgram program(text, tools_and_stock);
    Region slice = intersect(*program.sequence(3).out, rectangle(-1.001, -0.999, 0, 100));
    CHECK(slice.box().x_max == Approx(11 + 0.4 * (2 - std::sqrt(2.0))).margin(0.01));
}

TEST_CASE("an edit follows only what it touches, and tells the same as from scratch") {
    StockedProgram program(shaft, tools_and_stock);
    std::size_t sequences = program.program().sequences.size();
    CHECK(program.course.followed_anew() == sequences);

    SECTION("in the last sequence") {
        program.edit("X-0.6 F0.05", "X-0.7 F0.05");
        CHECK(program.course.followed_anew() == 1);
    }
    SECTION("a change in the middle that leaves the same stock") {
        program.edit("G42 X52.", "G42  X52.");
        // The neighbours too: a corner at their border could look at the edited line.
        CHECK(program.course.followed_anew() <= 3);
    }
    SECTION("a size at the top changes all below") {
        program.edit("X43.\n", "X42.\n");
        CHECK(program.course.followed_anew() > 3);
    }
    SECTION("tools put in that cut nothing, many of them, and taken out again") {
        const std::string at = "N2 ";
        std::string tools;
        constexpr std::size_t put_in = 9;
        for (std::size_t i = 0; i < put_in; ++i) tools += "T0303\nG00 X200. Z100.\nM01\n";
        program.edit(at, tools + at);
        CHECK(program.program().sequences.size() == sequences + put_in);
        CHECK(program.course.followed_anew() <= put_in + 3); // And the neighbours
        program.edit(tools, "");
        CHECK(program.course.followed_anew() <= 3);
    }
    SECTION("lines put in above move nothing") {
        program.edit("%\nO1001", "%\n(A)\n(B)\nO1001");
    }
    StockedProgram fresh(program.buffer.whole(), tools_and_stock);
    CHECK(told(program) == told(fresh));
}

TEST_CASE("random edits tell the same as from scratch") {
    StockedProgram program(shaft, tools_and_stock);
    std::mt19937 random(6983);
    const std::string_view parts[] = {
        "X40.", "Z-20.", "G00 X30. Z-15.\n", "T0404\n", "G01 Z-12.\n", "(", "M98 P5\n", "G42 ", "G40\n", "\n",
        "G21",  "#1"};
    for (int i = 0; i < 40; ++i) {
        std::string text = program.buffer.whole();
        auto lines = static_cast<std::uint32_t>(program.buffer.line_count());
        std::uint32_t line = random() % lines, column = random() % 12;
        text::Range range{{line, column}, {line, column + (random() % 3 == 0 ? 4 : 0)}};
        text::Splice splice = program.buffer.replace(range, parts[random() % std::size(parts)]);
        program.forest.update(program.buffer, splice);
        program.analysis.update(program.forest, splice);
        program.outline = machine::outline(program.analysis);
        program.course.follow(program.analysis, program.shop, program.outline);
        StockedProgram fresh(program.buffer.whole(), tools_and_stock);
        INFO("edit " << i << " at line " << line + 1);
        REQUIRE(told(program) == told(fresh));
    }
}

TEST_CASE("a file with more moves than are followed says so") {
    std::string text = "G21 G99\nT0101\nG97 S800 M03\nG00 X60. Z5.\n";
    for (std::size_t i = 0; i <= most_moves; ++i) text += i % 2 ? "G00 X61.\n" : "G00 X60.\n";
    text += "M30\n";
    StockedProgram program(text, tools_and_stock);
    CHECK(program.sequence(1).stop == Stop::too_many_moves);
}

TEST_CASE("numbers without end upset nothing") {
    for (std::string_view block : {"G01 X99999999999999. F1", "G01 Z-99999999999.", "G00 X-99999999.",
                                   "G02 X10. Z-99999999. R99999999999."}) {
        std::string text = "G21 G99\nT0101\nG97 S800 M03\nG00 X60. Z2.\n";
        text += block;
        text += "\nM30\n";
        StockedProgram program(text, tools_and_stock);
        CHECK(program.sequence(1).stop != Stop::none);
    }
}

TEST_CASE("a limit of moves counts over the whole file, kept sequences too") {
    StockedProgram program(shaft, tools_and_stock);
    Course few;
    few.follow(program.analysis, program.shop, program.outline, 60);
    Course kept;
    kept.follow(program.analysis, program.shop, program.outline);
    kept.follow(program.analysis, program.shop, program.outline, 60);
    auto stops = [](const Course& course) {
        std::vector<Stop> all;
        for (const SequenceCourse& sequence : course.programs().front().sequences)
            all.push_back(sequence.stop);
        return all;
    };
    CHECK(stops(few) == stops(kept));
    CHECK(stops(few).back() == Stop::above);
    kept.follow(program.analysis, program.shop, program.outline);
    CHECK(stops(kept).back() == Stop::none);
}

namespace {

/// 1 a turning tool with its holder, 5 a blade that stands out 8; jaws at Z-60.
const std::string holders = R"(
units = "mm"
[[machine]]
name = "m"
no_point = "whole units"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
edge_length = 12
outline = [[3, 1], [3, 20], [20, 32], [120, 32], [120, 7], [20, 7]]
[[tool]]
station = 5
kind = "grooving"
width = 3
nose_radius = 0
tip_direction = 3
length = 8
[stock]
diameter = 50
bore = 0
front_z = 1
back_z = -140
jaw_front_z = -60
jaw_diameter = 160
tailstock_z = 60
tailstock_diameter = 40
)";

} // namespace

TEST_CASE("the least way from a holder to jaws and tailstock is kept with its block") {
    // The holder's left side stands 1 mm to the right of the tip, its right side 32.
    StockedProgram program(R"(G21 G99
T0101
G97 S800 M03
G00 X60. Z10.
G00 Z-58.
G00 Z20.
G00 X10.
M30
)",
                           holders);
    CHECK(program.events().empty());
    const std::vector<Clearance>& found = program.sequence(1).clearances;
    REQUIRE(found.size() == 2);
    CHECK(found[0].body == Body::jaws);
    CHECK(found[0].mm == Approx(60 - 58 + 1).margin(1e-4));
    CHECK(program.line(program.sequence(1).place(found[0].block)) == 5);
    CHECK(found[1].body == Body::tailstock);
    // With the tip at X10 the holder's outer lower corner is at X radius 5 + 20 and Z 20 + 32.
    CHECK(found[1].mm == Approx(std::hypot(60 - 52, 25 - 20)).margin(1e-4));
    CHECK(program.line(program.sequence(1).place(found[1].block)) == 7);
}

TEST_CASE("a holder that goes through jaws and part is told for each, where it happens first") {
    StockedProgram program(R"(G21 G99
T0101
G97 S800 M03
G00 X200. Z-90.
G00 X60.
G00 X30.
M30
)",
                           holders);
    std::vector<std::pair<std::size_t, Body>> told;
    for (const auto& [line, event] : program.events())
        if (event.kind == EventKind::holder_hits) told.emplace_back(line, event.body);
    CHECK(told == std::vector<std::pair<std::size_t, Body>>{{5, Body::jaws}, {6, Body::part}});
}

TEST_CASE("a holder that runs into a shoulder in feed is seen where the insert's edges end") {
    // A shoulder of 20 on radius, the edge reaches 12 and the holder stands 1 behind it: the way in to Z-30
    // cuts the shoulder away with a long edge, and leaves it for the holder with the one that is given.
    const std::string text = R"(G21 G99
T0101
G97 S800 M03
G00 X8. Z5.
G01 Z-30. F0.2
G00 Z5.
M30
)";
    CHECK(StockedProgram(text, holders).has(EventKind::holder_hits, 5));
    std::string unknown = holders;
    unknown.replace(unknown.find("edge_length = 12"), 16, "");
    CHECK_FALSE(StockedProgram(text, unknown).has(EventKind::holder_hits, 5));
}

TEST_CASE("a blade deeper than it stands out hits with its holder, unless one side of the groove is open") {
    const std::string head = "G21 G99\nT0505\nG97 S800 M03\nG00 X60. Z-20.\n", end = "G00 X60.\nM30\n";
    const StockedProgram deep(head + "G01 X30. F0.05\n" + end, holders);
    REQUIRE(deep.has(EventKind::beyond_reach, 5));
    CHECK(deep.only_event().limit == 8);
    CHECK(deep.only_event().amount == Approx(10).margin(1e-3));
    CHECK(StockedProgram(head + "G01 X34. F0.05\n" + end, holders).events().empty());
    // Beside the free end the holder may be flush with the blade.
    CHECK(StockedProgram("G21 G99\nT0505\nG97 S800 M03\nG00 X60. Z-1.5\nG01 X30. F0.05\n" + end, holders)
              .events()
              .empty());
}

TEST_CASE("a loop around several sequences is run turn by turn, and each sequence has what is done in it") {
    // By hand: T01 turns 46, 42, 38 down to Z-20, T05 cuts 3 wide from there down to 40, 36, 32.
    StockedProgram program(R"(G21 G99
#1=0
WHILE[#1LT3]DO1
N1 T0101
G97 S800 M03
G00 X60. Z2.
X[46.-#1*4.]
G01 Z-20. F0.2
G00 X60.
N5 T0505
G97 S500 M03
G00 X60. Z-15.
G01 X[40.-#1*4.] F0.1
G00 X60.
#1=#1+1
END1
Z50.
N3 T0303
G97 S800 M03
G00 X60. Z2.
X30.
G01 Z-10. F0.2
G00 X60.
M30
)",
                           tools_and_stock);
    for (const SequenceCourse& course : program.program().sequences) CHECK(course.stop == Stop::none);
    REQUIRE(program.program().sequences.size() == 4);
    CHECK(program.events().empty());
    const SequenceCourse &head = program.sequence(0), &turn = program.sequence(1),
                         &groove = program.sequence(2), &behind = program.sequence(3);
    CHECK(head.cuts.empty());
    REQUIRE(turn.cuts.size() == 1);
    CHECK(program.line(turn.place(turn.cuts[0].block)) == 8);
    // The shoulder that leans by 5 degrees and its nose are some three in a hundred of it.
    const double both = ring(50, 38, 21);
    CHECK(turn.removed_mm3 + groove.removed_mm3 == Approx(both + ring(38, 32, 3)).epsilon(0.03));
    REQUIRE(groove.cuts.size() == 1);
    CHECK(program.line(groove.place(groove.cuts[0].block)) == 13);
    CHECK(turn.station == 1);
    CHECK(groove.station == 5);
    // What comes behind the loop cuts what the loop has left; the raw face stands 1 mm in front of Z0.
    CHECK(behind.removed_mm3 == Approx(ring(38, 30, 11)).epsilon(0.02));
    CHECK(behind.in->volume_mm3() == Approx(head.in->volume_mm3() - turn.removed_mm3 - groove.removed_mm3));
}

TEST_CASE("a hit in a loop is told at its own block") {
    StockedProgram program(R"(G21 G99
T0101
G97 S800 M03
G00 X60. Z2.
#1=0
WHILE[#1LT3]DO1
G00 X60. Z[2.-#1*10.]
X40.
X60.
#1=#1+1
END1
M30
)",
                           tools_and_stock);
    REQUIRE_FALSE(program.events().empty());
    for (const auto& [line, event] : program.events()) CHECK((line == 8 || line == 9));
    CHECK(program.has(EventKind::rapid_through, 8));
}

TEST_CASE("where the program itself puts the datum elsewhere behind a cut, nothing is followed in it") {
    const auto stop_of = [](std::string_view shift, std::string_view before = "") {
        StockedProgram program(
            fmt::format("G21 G99\n{}\nT0101\nG97 S800 M03\nG00 X60. Z2.\nX46.\nG01 Z-20. F0.2\n"
                        "G00 X60.\n{}\nG00 X60. Z2.\nX44.\nG01 Z-10. F0.2\nG00 X60.\nM30\n",
                        before, shift),
            tools_and_stock);
        return program.sequence(1).stop;
    };
    CHECK(stop_of("") == Stop::none);
    CHECK(stop_of("G10 P0 Z-22.") == Stop::datum);
    CHECK(stop_of("G10 L2 P1 Z-122.") == Stop::datum);
    CHECK(stop_of("G52 Z-22.") == Stop::datum);
    CHECK(stop_of("G50 W22.") == Stop::datum);
    CHECK(stop_of("G55") == Stop::datum);
    // The same once more, another datum's, a tool's offset, and a place that is given anew at a change
    CHECK(stop_of("G10 P0 Z-22.", "G10 P0 Z-22.") == Stop::none);
    CHECK(stop_of("G10 L2 P1 Z-122.", "G54 G10 L2 P1 Z-122.") == Stop::none);
    CHECK(stop_of("G10 L2 P2 Z-122.") == Stop::none);
    CHECK(stop_of("G10 P1 Z0.1") == Stop::none);
    CHECK(stop_of("G50 X60. Z2.") == Stop::none);
    CHECK(stop_of("G50 S2000") == Stop::none);
    CHECK(stop_of("G54") == Stop::none);
}

// A shop file learnt from programs: what counts, what is left to a person, and that it makes no noise.
#include "report/learn.h"
#include "report/report.h"

#include "opened.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

using namespace turnwright;
using namespace turnwright::report;

namespace {

namespace fs = std::filesystem;

struct FolderFiles : machine::ProgramLibrary {
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t) const override { return nullptr; }
    std::uint64_t stamp() const override { return 1; }
};

LearntShop learn(const std::vector<std::string>& texts) {
    std::vector<ProgramText> programs;
    for (std::size_t i = 0; i < texts.size(); ++i) {
        const std::string name = std::to_string(i + 1) + ".nc";
        programs.push_back({name, name, texts[i]});
    }
    return learn_shop(programs, "turnwright.toml", std::make_shared<FolderFiles>());
}

shop::Shop read_back(const LearntShop& learnt) {
    shop::Shop read = shop::parse_shop(learnt.text, "turnwright.toml");
    INFO(learnt.text);
    for (const shop::Problem& problem : read.problems)
        FAIL_CHECK(problem.line + 1 << ": " << problem.message);
    return read;
}

/// Two tools as a shop of habits writes them, in system A; the limit and a word of its own can differ.
std::string part(int limit, std::string_view more = "", std::string_view last_stop = "M01") {
    return "O" + std::to_string(limit) + " (PIN)\nG21\nG50 S" + std::to_string(limit) + R"(
N1 (T01 TURN)
G54 G97 G40 G80 G99
T0101
G96 S180 M03
G00 X75. Z12. M08
G00 X40. Z1.
G01 Z-48. F0.2
X44.
M09
M05
G00 G53 X0. Z0.
)" + std::string(last_stop) +
           R"(
N2 (T02 DRILL 8.5)
G54 G97 G40 G80 G99
T0202
G97 S500 M03
G00 X0. Z12. M08
G00 Z1.
G01 Z-10. F0.1
G00 Z12.
M09
M05
G00 G53 X0. Z0.
M01
N3 (T03 GROOVE 3 WIDE)
G54 G97 G40 G80 G99
T0303
G97 S500 M03
G00 X75. Z12. M08
G00 X45. Z1.
Z-20.
G01 X30. F0.1
G00 X45.
M09
M05
G00 G53 X0. Z0.
)" + std::string(more) +
           "M30\n";
}

struct ProgramsBelow {
    std::vector<ProgramText> programs;
    explicit ProgramsBelow(const char* relative) {
        const fs::path top = fs::path(SOURCE_DIR) / relative;
        for (const auto& entry : fs::recursive_directory_iterator(top)) {
            if (entry.path().extension() != ".nc") continue;
            std::ifstream file(entry.path(), std::ios::binary);
            std::stringstream whole;
            whole << file.rdbuf();
            programs.push_back({entry.path(), entry.path().lexically_relative(top).string(), whole.str()});
        }
        std::sort(programs.begin(), programs.end(),
                  [](const auto& a, const auto& b) { return a.path < b.path; });
    }
};

std::multiset<std::string> told_of(const ProgramText& program,
                                   const std::shared_ptr<const shop::Shop>& shop) {
    std::multiset<std::string> told;
    for (const CheckedWarning& warning :
         check_text(program.name, program.text, shop, program.path, std::make_shared<FolderFiles>()).warnings)
        told.insert(std::to_string(warning.line) + " " + warning.id);
    return told;
}

} // namespace

TEST_CASE("a shop file is learnt from what the programs have in common") {
    const LearntShop learnt = learn({part(3000), part(2500), part(3000)});
    CHECK(learnt.programs == 3);
    const shop::Shop shop = read_back(learnt);
    INFO(learnt.text);
    REQUIRE(shop.machines.size() == 1);
    CHECK(shop.machines[0].system == codes::System::A);
    CHECK(shop.machines[0].tool_digits == 4);
    CHECK_FALSE(shop.machines[0].max_rpm.has_value()); // A limit in use is no fact about the machine
    CHECK(shop.house.safety_line == std::vector<std::string>{"G54", "G97", "G40", "G80", "G99"});
    CHECK(shop.house.number_is_tool == shop::Rule::yes);
    CHECK(shop.house.optional_stop == shop::Rule::yes);
    CHECK(shop.house.two_step_approach == shop::Rule::yes);
    CHECK(shop.house.return_in_machine_datum == shop::Rule::yes);
    CHECK(shop.house.coolant_off_first == shop::Rule::yes);
    CHECK(shop.house.first_approach_mm == Approx(12));
    CHECK(shop.house.second_approach_mm == Approx(1));
    REQUIRE(shop.tools.size() == 3);
    CHECK(shop.tool(2)->kind == shop::ToolKind::drill);
    CHECK(shop.tool(2)->diameter_mm == Approx(8.5));
    CHECK(shop.tool(3)->kind == shop::ToolKind::grooving);
    CHECK(shop.tool(3)->width_mm == Approx(3));
    CHECK(shop.tool(2)->note == "T02 DRILL 8.5");
    CHECK(learnt.text.find("3 of 3 programs") != std::string::npos);
    CHECK(learnt.text.find("speed limits in use: 2500 in 1 program, 3000 in 2 programs") !=
          std::string::npos);
}

TEST_CASE("questions for a person stand at the top of a learnt shop file, the most useful first") {
    std::string bare = part(3000);
    bare.erase(bare.find("G21\n"), 4);
    const LearntShop learnt = learn({part(3000), bare, part(2500)});
    const std::size_t first = learnt.text.find("# 1. "), second = learnt.text.find("# 2. "),
                      system = learnt.text.find("system = ");
    REQUIRE(second != std::string::npos);
    CHECK(first < second);
    CHECK(second < system);
    CHECK(learnt.top.size() == 3);
    CHECK(std::any_of(learnt.top.begin(), learnt.top.end(), [](const std::string& question) {
        return question.find("1 of 3 programs state none before they move") != std::string::npos;
    }));
    CHECK(learnt.text.find("# power_on_units = \"mm\"") != std::string::npos);
}

TEST_CASE("what programs do not agree on is left to a person") {
    std::string other = part(3000);
    for (std::size_t at; (at = other.find("G99")) != std::string::npos;) other.replace(at, 3, "G95");
    other.replace(other.find("G50"), 3, "G92");
    other.replace(other.find("G21\n"), 4, "G21 G90\n");
    other.replace(other.find("DRILL 8.5"), 9, "BORING BAR");
    const LearntShop learnt = learn({part(3000), part(2500), other});
    const shop::Shop shop = read_back(learnt);
    INFO(learnt.text);
    CHECK_FALSE(shop.machines.at(0).system.has_value());
    CHECK(learnt.text.find("# system = \"A\"") != std::string::npos);
    CHECK(learnt.text.find("2 of 3 programs; otherwise in 3.nc") != std::string::npos);
    CHECK(learnt.text.find("Which programs run on which machine?") != std::string::npos);
    REQUIRE(shop.tool(2));
    CHECK(shop.tool(2)->kind == shop::ToolKind::unknown);
    CHECK(learnt.text.find("boring in 1 program, drill in 2 programs") != std::string::npos);
}

TEST_CASE("a habit that one program breaks is left to a person, with that program's name") {
    const LearntShop learnt = learn({part(3000), part(2500), part(2000), part(1800), part(1500), part(1400),
                                     part(1300), part(1200), part(1100), part(1000, "", "(GOES ON)")});
    const shop::Shop shop = read_back(learnt);
    INFO(learnt.text);
    CHECK(shop.house.optional_stop == shop::Rule::unset);
    CHECK(shop.house.number_is_tool == shop::Rule::yes);
}

namespace {

/// Of a shop that states neither unit nor feed mode, with tools that come in one step.
std::string bare_pin(int number, std::string_view z = "-1.25") {
    return "O" + std::to_string(number) + R"( (PIN)
G50 S2500
T0101 (80 DEG R.031)
G96 S400 M03
G00 X1.6 Z.1
G01 Z)" + std::string(z) +
           R"( F.008
X1.7
G28 U0 W0
T0202 (DRILL .375 118 DEG)
G97 S900 M03
G00 X0. Z.2
G01 Z-.8 F.005
G00 Z.2
G28 U0 W0
M30
)";
}

} // namespace

TEST_CASE("what no program states and all of them show is learnt with its count") {
    const LearntShop learnt = learn({bare_pin(1), bare_pin(2, "-1.125"), bare_pin(3, "-.875")});
    const shop::Shop shop = read_back(learnt);
    INFO(learnt.text);
    CHECK(learnt.text.find("units = \"inch\"") == learnt.text.find("units ="));
    CHECK(shop.machines.at(0).units == codes::Meaning::inch);
    CHECK(shop.machines.at(0).power_on == std::vector{codes::Meaning::feed_per_rev});
    CHECK(learnt.text.find("by feeds and sizes so in 3 of 3 programs") != std::string::npos);
    // Where one of them shows the other unit, a person is asked.
    std::string other = bare_pin(4);
    for (const auto& [from, to] : {std::pair{"X1.6 Z.1", "X40. Z2."},
                                   {"Z-1.25 F.008", "Z-52. F.2"},
                                   {"X1.7", "X44."},
                                   {"Z.2\nG01 Z-.8 F.005\nG00 Z.2", "Z2.\nG01 Z-50. F.12\nG00 Z2."},
                                   {"(80 DEG R.031)", "(R0.8)"},
                                   {"(DRILL .375 118 DEG)", "(DRILL 12)"}})
        other.replace(other.find(from), std::string_view(from).size(), to);
    const LearntShop mixed = learn({bare_pin(1), bare_pin(2), other});
    INFO(mixed.text);
    CHECK_FALSE(read_back(mixed).machines.at(0).units.has_value());
}

TEST_CASE("the point of a drill, the kind by an insert's angle and a way in one step are learnt") {
    const LearntShop learnt = learn({bare_pin(1), bare_pin(2), bare_pin(3)});
    const shop::Shop shop = read_back(learnt);
    INFO(learnt.text);
    REQUIRE(shop.tool(2));
    CHECK(shop.tool(2)->point_angle_deg == Approx(118));
    REQUIRE(shop.tool(1));
    CHECK(shop.tool(1)->kind == shop::ToolKind::turning);
    CHECK(shop.house.first_approach_mm == Approx(2.54));
    CHECK_FALSE(shop.house.second_approach_mm.has_value());
}

TEST_CASE("what half of the programs do is no habit of the shop") {
    // Of one tool each, so that no stop stands between two.
    std::vector<std::string> programs{part(3000), part(2500)};
    for (int i = 0; i < 3; ++i)
        programs.push_back(bare_pin(10 + i).substr(0, bare_pin(10 + i).find("T0202")) + "M30\n");
    const LearntShop learnt = learn(programs);
    INFO(learnt.text);
    CHECK(read_back(learnt).house.optional_stop == shop::Rule::unset);
    CHECK(learnt.text.find("# optional_stop = true") != std::string::npos);
    CHECK(learnt.text.find("2 of 5 programs") != std::string::npos);
}

TEST_CASE("codes of the machine's builder are learnt by the notes beside them") {
    const std::string with = "M68 (CHUCK OPEN)\nM69 (CHUCK CLOSE)\nM177\n";
    const LearntShop learnt = learn({part(3000, with), part(2500, with), part(2000)});
    const shop::Shop shop = read_back(learnt);
    INFO(learnt.text);
    const auto& names = shop.machines.at(0).m_codes;
    REQUIRE(names.contains(68));
    CHECK(names.at(68) == "CHUCK OPEN");
    CHECK_FALSE(names.contains(177));
    CHECK(learnt.text.find("# M177 =") != std::string::npos);
    // What it does by its name is offered, and counts when a person has put it in.
    CHECK(learnt.text.find("# M68 = { name = \"CHUCK OPEN\", does = \"unclamp\" }") != std::string::npos);
    CHECK(learnt.text.find("# M69 = { name = \"CHUCK CLOSE\", does = \"clamp\" }") != std::string::npos);
    CHECK(shop.machines.at(0).effects.empty());
    CHECK(learnt.text.find("What do these codes do on this machine: M177?") != std::string::npos);
}

TEST_CASE("what a code does is offered by its name where that tells it for certain") {
    struct Row {
        std::string note;
        std::string does; ///< Empty: not offered
    };
    const Row rows[] = {
        {"M13 (SPINDLE CW AND COOLANT)", "M03 M08"},
        {"M14 (SPINDLE AND COOLANT)", "M04 M08"},
    };
    for (const Row& row : rows) {
        const LearntShop learnt = learn({part(3000, row.note + "\n"), part(2500, row.note + "\n")});
        INFO(learnt.text);
        const std::string key = "# " + row.note.substr(0, row.note.find(' ')) + " = { name = ";
        const std::size_t at = learnt.text.find(key);
        REQUIRE((at != std::string::npos) == !row.does.empty());
        if (at == std::string::npos) continue;
        const std::string line = learnt.text.substr(at, learnt.text.find('\n', at) - at);
        CHECK(line.find("does = \"" + row.does + "\"") != std::string::npos);
        // It is a line that a shop file takes.
        const shop::Shop shop =
            shop::parse_shop("[[machine]]\n[machine.m_codes]\n" + line.substr(2), "turnwright.toml");
        CHECK(shop.problems.empty());
    }
}

TEST_CASE("nothing is learnt from what is no program, and notes cannot break the file") {
    CHECK(learn({}).text.empty());
    const LearntShop none = learn({std::string("\0\0\0\0", 4), ""});
    CHECK(none.programs == 0);
    CHECK(none.left_out == 2);
    std::string odd = part(3000);
    odd.replace(odd.find("T02 DRILL 8.5"), 13, "A \"B\" \\ C # \xC4 \x01 = [[tool]]");
    read_back(learn({odd, odd}));
}

TEST_CASE("a learnt shop file is a right one and makes its own programs no noisier") {
    const char* folder = GENERATE("tests/corpus/system_a", "tests/corpus/system_b", "tests/corpus/system_c",
                                  "tests/corpus", "tests/judged/right", "docs/examples");
    INFO(folder);
    const ProgramsBelow read(folder);
    REQUIRE(read.programs.size() >= 3);
    const LearntShop learnt = learn_shop(read.programs, "turnwright.toml", std::make_shared<FolderFiles>());
    CHECK(learnt.programs == read.programs.size());
    CHECK(learnt.active > 0);
    const auto shop = std::make_shared<const shop::Shop>(read_back(learnt));
    const auto bare = std::make_shared<const shop::Shop>(shop::default_shop());
    for (const ProgramText& program : read.programs) {
        const auto before = told_of(program, bare), with = told_of(program, shop);
        for (const std::string& finding : with) {
            INFO(program.name << " " << finding);
            CHECK(with.count(finding) <= before.count(finding));
        }
    }
}

TEST_CASE("the lines that differ between two texts are shown") {
    CHECK(line_changes("a\nb\n", "a\nb\n").empty());
    CHECK(line_changes("a\r\nb\r\n", "a\nb\n").empty());
    CHECK(line_changes("", "a\n") == "+ a\n");
    CHECK(line_changes("1\n2\n3\n4\n5\n6\n7\n8\n9\n", "1\n2\n3\nfour\n5\n6\n7\n8\n9\nten\n") ==
          "  ...\n  2\n  3\n- 4\n+ four\n  5\n  6\n  ...\n  8\n  9\n+ ten\n");
}

TEST_CASE("a feed mode stated before a program that is not at hand is no question") {
    constexpr std::string_view question = "Is the feed by the turn or by the minute";
    const std::string rest = "T0101\nG97 S800 M03\nG00 X40. Z2.\nM98 P9005\nG01 Z-20. F0.2\nM30\n";
    CHECK(learn({"O1\nG90 G95 G21\n" + rest}).text.find(question) == std::string::npos);
    CHECK(learn({"O1\nG90 G21\n" + rest}).text.find(question) != std::string::npos);
}

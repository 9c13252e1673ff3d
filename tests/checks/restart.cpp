// The restart table and the fix that makes a sequence fit to be entered.
#include "checks/marked_program.h"

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

using namespace turnwright;
using namespace turnwright::checks;
using codes::Group;
using codes::Meaning;

namespace {

std::vector<RestartRow> table_of(const CheckedProgram& checked) {
    return restart_table(checked.analysis, checked.results.spans(), *checked.shop);
}

std::string fixed(const CheckedProgram& checked, std::string_view id) {
    for (const Report::Placed& placed : checked.results.with_fixes(0)) {
        if (placed.finding.check->id != id || placed.finding.fixes.empty()) continue;
        text::Buffer out = checked.buffer;
        auto edits = placed.finding.fixes.front().edits;
        std::stable_sort(edits.begin(), edits.end(), [](const Edit& a, const Edit& b) {
            return std::pair(a.block, a.begin_column) < std::pair(b.block, b.begin_column);
        });
        for (auto edit = edits.rbegin(); edit != edits.rend(); ++edit) {
            auto line = static_cast<std::uint32_t>(edit->block.block);
            out.replace({{line, edit->begin_column}, {line, edit->end_column}}, edit->text);
        }
        return out.whole();
    }
    return "";
}

} // namespace

TEST_CASE("the restart table tells what each sequence sets, takes over and leaves on") {
    CheckedProgram checked(R"(G21 G99
N1 (FACE)
G54 G97 G40
T0101
G50 S2500
G96 S180 M03
G00 X52. Z2. M08
G01 X0. F0.2
N2 (DRILL)
T0202
G00 X0. Z2.
G83 Z-20. Q5000
M30
)",
                           codes::System::A);
    auto rows = table_of(checked);
    REQUIRE(rows.size() == 2);
    CHECK(rows[0].number == 1);
    CHECK(rows[0].tool == 1);
    CHECK(rows[0].offset == 1);
    CHECK((rows[0].set_at_entry & machine::part(machine::Part::speed_limit)) != 0);
    CHECK((rows[0].inherited & machine::part(Group::units)) != 0);
    CHECK((rows[0].inherited & machine::part(machine::Part::speed_limit)) == 0);
    CHECK(!rows[0].safe);
    auto leaves = [](const RestartRow& row, Group group, Meaning meaning) {
        return std::any_of(row.left.begin(), row.left.end(),
                           [&](const auto& left) { return left.group == group && left.meaning == meaning; });
    };
    CHECK(leaves(rows[0], Group::coolant, Meaning::coolant_on));
    CHECK(leaves(rows[0], Group::spindle_mode, Meaning::surface_speed));
    CHECK(leaves(rows[0], Group::spindle_direction, Meaning::spindle_forward));
    CHECK(rows[1].tool == 2);
    for (auto part : {machine::part(machine::Part::feed), machine::part(machine::Part::speed),
                      machine::part(Group::spindle_mode), machine::part(Group::spindle_direction),
                      machine::part(Group::coolant), machine::part(Group::feed_mode)})
        CHECK((rows[1].inherited & part) != 0);
    CHECK(leaves(rows[1], Group::drill_cycle, Meaning::drill_face));
}

TEST_CASE("sequences with all they need are safe to enter") {
    for (const char* name : {"pump-shaft.nc", "wear-bushing.nc"}) {
        std::ifstream file(std::string(SOURCE_DIR) + "/docs/examples/" + name);
        std::stringstream text;
        text << file.rdbuf();
        CheckedProgram checked(text.str(), std::nullopt);
        INFO(name);
        auto rows = table_of(checked);
        CHECK(rows.size() >= 5);
        for (const RestartRow& row : rows) CHECK(row.safe);
    }
}

TEST_CASE("the fix writes what a sequence takes over into its safety line, in the order of the house") {
    CheckedProgram checked(R"(G21
N1 G54 G97 G21 G40 G99
T0101
S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
M05
N2 G54 G97 G21 G40 G99
T0202
S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
M05
N3 G54 G40
T0303
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.1
M30
)",
                           codes::System::A);
    std::string text = fixed(checked, "restart_relies_on_head");
    CHECK(text.find("N3 G54 G21 G40 G99\nT0303") != std::string::npos);
    CheckedProgram after(text, codes::System::A);
    for (const RestartRow& row : table_of(after)) CHECK(row.safe);
}

TEST_CASE("the fix gives a sequence the feed and the speed limit it would take over") {
    CheckedProgram checked(R"(N1 G21 G99 G97
T0101
G50 S2500
G96 S200 M03
G00 X50. Z2.
G01 Z-5. F0.2
M05
N2 G21 G99 G97
T0202
G96 S200 M03
G00 X50. Z2.
G01 Z-5.
M05
N3 G21 G99 G97
T0303
G50 S3500
G96 S200 M03
G00 X50. Z2.
G01 Z-5. F0.1
M30
)",
                           codes::System::A);
    std::string text = fixed(checked, "restart_inherits");
    CHECK(text.find("T0202\nG50 S2500\nG96 S200 M03\nG00 X50. Z2.\nG01 Z-5. F0.2\n") != std::string::npos);
}

namespace {

std::vector<std::string> messages(const CheckedProgram& checked, std::string_view id) {
    std::vector<std::string> out;
    for (const auto& found : checked.found())
        if (found.finding->check->id == id) out.push_back(found.finding->message);
    return out;
}

bool holds(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("what only the head states is told once, with a fix that writes it into each sequence") {
    CheckedProgram checked(R"(O0001 (PIN)
G21 G40 G99
G50 S2500
T0101
G96 S180 M03
G00 X50. Z2.
G01 Z-5. F0.2
G28 U0 W0
M05
M01
(FINISH)
T0202
G96 S220 M03
G00 X50. Z2.
G01 Z-5. F0.1
G28 U0 W0
M05
M01
(GROOVE)
T0303
G96 S120 M03
G00 X50. Z-3.
G01 X40. F0.08
G28 U0 W0
M05
M30
)",
                           codes::System::A);
    CHECK(messages(checked, "restart_inherits").empty());
    auto told = messages(checked, "restart_relies_on_head");
    REQUIRE(told.size() == 1);
    CHECK(holds(told[0], "G21, G99 and G50 S2500"));
    CHECK(holds(told[0], "the sequences of T02 and T03 take them over"));
    const std::string text = fixed(checked, "restart_relies_on_head");
    CheckedProgram after(text, codes::System::A);
    INFO(text);
    CHECK(messages(after, "restart_relies_on_head").empty());
    CHECK(messages(after, "restart_inherits").empty());
}

TEST_CASE("a sequence that another one leaves something else to is told which reading it would be") {
    CheckedProgram checked(R"(N1 G21 G99 G97
T0101
G50 S2500
G96 S200 M03
G00 X50. Z2.
G01 Z-5. F0.2
M05
N2 G21 G99
T0202
S180 M03
G00 X50. Z2.
G01 Z-5. F0.2
M05
N3 G21 G99 G97
T0303
G50 S1500
G97 S700 M03
G00 X50. Z2.
G01 Z-5. F0.1
M30
)",
                           codes::System::A);
    auto told = messages(checked, "restart_inherits");
    REQUIRE(told.size() == 1);
    CHECK(holds(told[0], "S would be read as rpm"));
    CHECK(holds(told[0], "Write G50 S2500 G96 after the call of T02."));
}

TEST_CASE("what a program that is not at hand may have changed is no warning") {
    CheckedProgram checked(R"(G21 G40 G99
N1 T0101
G50 S2500
G96 S180 M03
G00 X50. Z2.
G01 Z-5. F0.2
M98 P9005
M01
N2 T0202
G50 S2500
G96 S180 M03
G00 X50. Z2.
G01 Z-5. F0.2
M98 P9005
M30
)",
                           codes::System::A);
    CHECK(messages(checked, "restart_inherits").empty());
}

TEST_CASE("a count packed in front of a program number calls the program of the file") {
    CheckedProgram checked(R"(O0001
G21 G40 G99
N1 T0101
G97 S800 M03
G00 X50. Z2.
M98 P0021010
M01
N2 G21 G40 G99
T0202
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
M30
O1010
G01 W-5. F0.2
G00 U1.
W5.
U-1.
M99
)",
                           codes::System::A);
    CHECK(messages(checked, "restart_inherits").empty());
    CHECK(messages(checked, "program_not_found").empty());
}

TEST_CASE("what another program of the file leaves is not what this one may find") {
    CheckedProgram checked(R"(O0001
G21 G40 G99
N1 T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
M01
N2 T0202
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F0.2
M30
O0002
G21 G40 G98
N1 T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-5. F200.
M30
)",
                           codes::System::A);
    CHECK(messages(checked, "restart_inherits").empty());
    CHECK(messages(checked, "restart_relies_on_head").size() == 1);
}

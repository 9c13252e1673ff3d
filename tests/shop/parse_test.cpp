// Shop files read: every key, units, and each kind of slip located.
#include "shop/shop.h"

#include <catch2/catch.hpp>

#include <chrono>

using namespace turnwright;
using namespace turnwright::shop;
using codes::Meaning;

namespace {
/// The part of the text that a problem points at.
std::string under(std::string_view text, const Problem& problem) {
    for (std::size_t line = 0; line < problem.line; ++line) text.remove_prefix(text.find('\n') + 1);
    return std::string(text.substr(problem.column, problem.length));
}

struct One {
    std::string at, message;
};
/// For a text with exactly one problem.
One only_problem(std::string_view text) {
    const Shop shop = parse_shop(text, "/shop/turnwright.toml");
    for (const Problem& problem : shop.problems) UNSCOPED_INFO(problem.line << ": " << problem.message);
    REQUIRE(shop.problems.size() == 1);
    return {under(text, shop.problems[0]), shop.problems[0].message};
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}
} // namespace

TEST_CASE("The shop without a file knows nothing but the defaults") {
    const Shop shop = default_shop();
    REQUIRE(shop.machines.size() == 1);
    const Machine& machine = shop.machines[0];
    CHECK_FALSE(machine.system);
    CHECK_FALSE(machine.units);
    CHECK(machine.no_point == NoPoint::unknown);
    CHECK(machine.x == XReading::diameter);
    CHECK(machine.least_increment_mm == 0.001);
    CHECK(machine.least_increment_inch == 0.0001);
    CHECK_FALSE(machine.max_rpm);
    CHECK(shop.house.optional_stop == Rule::unset);
    CHECK(shop.tools.empty());
    for (const char* text : {"", "\n\n", "# nothing\n", "\xEF\xBB\xBF"}) {
        const Shop empty = parse_shop(text, "turnwright.toml");
        CHECK(empty.problems.empty());
        CHECK(empty.machines.size() == 1);
    }
}

TEST_CASE("The example in the page is read whole and without a problem") {
    const Shop shop = parse_shop(example(), "/shop/turnwright.toml");
    for (const Problem& problem : shop.problems) UNSCOPED_INFO(problem.line << ": " << problem.message);
    CHECK(shop.problems.empty());
    REQUIRE(shop.machines.size() == 2);
    const Machine& first = shop.machines[0];
    CHECK(first.name == "short bed");
    CHECK(first.folders == std::vector<std::string>{"short-bed", "repeat-jobs/short-bed"});
    CHECK(first.system == codes::System::A);
    CHECK(first.units == Meaning::millimetre);
    CHECK(first.no_point == NoPoint::least_increments);
    CHECK(first.power_on == std::vector<Meaning>{Meaning::plane_zx, Meaning::compensation_off,
                                                 Meaning::drill_cycle_off, Meaning::constant_rpm,
                                                 Meaning::feed_per_rev});
    CHECK(first.max_rpm == 4500.0);
    CHECK(first.min_rpm == 40.0);
    CHECK(first.chuck_max_rpm == 4000.0);
    CHECK(first.rapid_x_mm_per_min == 12000.0);
    CHECK(first.rapid_z_mm_per_min == 16000.0);
    CHECK(first.max_feed_mm_per_min == 5000.0);
    CHECK(first.tool_change_seconds == 1.2);
    CHECK(first.spindle_ramp_rpm_per_second == 900.0);
    CHECK(first.max_power_kw == 11.0);
    CHECK(first.max_torque_nm == 140.0);
    CHECK(first.power_efficiency == 0.8);
    CHECK(first.travel_x_min_mm == -210.0);
    CHECK(first.travel_x_max_mm == 0.0);
    CHECK(first.travel_z_min_mm == -480.0);
    CHECK(first.travel_z_max_mm == 0.0);
    CHECK(first.change_x_radius_mm == 0.0);
    CHECK(first.change_z_mm == 0.0);
    CHECK(first.stations == 12);
    CHECK(first.tool_digits == 4);
    CHECK(first.arc_tolerance_mm == 0.01);
    CHECK(first.m_codes == std::map<int, std::string>{{10, "chuck opens"},
                                                      {11, "chuck closes"},
                                                      {13, "spindle and coolant"},
                                                      {21, "part catcher out"},
                                                      {60, "loader"},
                                                      {61, "loader"},
                                                      {62, "loader"},
                                                      {63, "loader"},
                                                      {64, "loader"},
                                                      {65, "loader"},
                                                      {66, "loader"},
                                                      {67, "loader"},
                                                      {68, "loader"},
                                                      {69, "loader"},
                                                      {101, "wait"},
                                                      {102, "wait"},
                                                      {103, "wait"}});
    const Machine& second = shop.machines[1];
    CHECK(second.system == codes::System::B);
    CHECK(second.units == Meaning::inch);
    CHECK(second.no_point == NoPoint::whole_units);
    CHECK(*second.rapid_x_mm_per_min == Approx(200 * 25.4));
    CHECK(*second.rapid_z_mm_per_min == Approx(300 * 25.4));
    CHECK(second.max_rpm == 2200.0);

    REQUIRE(shop.tools.size() == 3);
    const Tool* rougher = shop.tool(1);
    REQUIRE(rougher);
    CHECK(rougher->note == "80 degree rougher");
    CHECK(rougher->kind == ToolKind::turning);
    CHECK(rougher->hand == ToolHand::right);
    CHECK(rougher->nose_radius_mm == 0.8);
    CHECK(rougher->tip_direction == 3);
    CHECK(rougher->approach_angle_deg == 95.0);
    CHECK(rougher->back_angle_deg == 5.0);
    CHECK(rougher->max_depth_mm == 4.0);
    CHECK(rougher->max_feed_mm_per_rev == 0.45);
    CHECK_FALSE(rougher->upside_down);
    const Tool* groove = shop.tool(5);
    CHECK(groove->width_mm == 3.0);
    CHECK(groove->upside_down == true);
    CHECK(groove->offsets == std::vector<int>{5, 15});
    CHECK(shop.tool(7)->kind == ToolKind::drill);
    CHECK(shop.tool(7)->point_angle_deg == 118.0);
    CHECK(shop.tool(7)->length_mm == 90.0);
    CHECK(shop.tool(7)->max_rpm == 1800.0);
    CHECK(shop.tool(2) == nullptr);

    CHECK(shop.stock.diameter_mm == 65.0);
    CHECK(shop.stock.bore_mm == 0.0);
    CHECK(shop.stock.front_z_mm == 1.5);
    CHECK(shop.stock.back_z_mm == -110.0);
    CHECK(shop.stock.jaw_front_z_mm == -72.0);
    CHECK(shop.stock.jaw_diameter_mm == 190.0);
    CHECK_FALSE(shop.stock.tailstock_z_mm);
    CHECK(shop.stock.material == "P");
    CHECK(shop.house.optional_stop == Rule::yes);
    CHECK(shop.house.return_in_machine_datum == Rule::no);
    CHECK(shop.house.safety_line == std::vector<std::string>{"G54", "G97", "G40", "G80"});
    CHECK(shop.house.first_approach_mm == 12.0);
    CHECK(shop.format.leading_zeros == true);
    CHECK_FALSE(shop.format.trailing_zeros);
    CHECK(shop.checks.at("optional_stop_missing") == Severity::off);
    CHECK(shop.checks.at("speed_limit_missing") == Severity::error);
    for (const auto& [id, severity] : shop.checks) {
        INFO("a check has a page of its own: " << id);
        CHECK(std::filesystem::exists(SOURCE_DIR "/docs/warnings/" + id + ".md"));
    }
    CHECK(under(example(), shop.check_places.at("speed_limit_missing")) == "speed_limit_missing");
}

TEST_CASE("Lengths in inches are kept in mm, 1 in = 25.4 mm exactly (NBS Circular 572 addendum, 1960)") {
    const Shop shop =
        parse_shop("units = \"inch\"\n"
                   "[[machine]]\nrapid_x = 400\nleast_increment_mm = 0.01\nleast_increment_inch = "
                   "0.001\nmax_rpm = 3000\ntool_change_seconds = 2\n"
                   "[[tool]]\nstation = 3\nnose_radius = 0.0313\nmax_feed = 0.012\npoint_angle = 118\n"
                   "[[tool]]\nstation = 4\nunits = \"mm\"\nnose_radius = 0.8\n"
                   "[house]\nsecond_approach = 0.040\n",
                   "turnwright.toml");
    CHECK(shop.problems.empty());
    CHECK(*shop.machines[0].rapid_x_mm_per_min == Approx(10160));
    CHECK(shop.machines[0].least_increment_mm == 0.01);    // these two have a unit of their own
    CHECK(shop.machines[0].least_increment_inch == 0.001); //
    CHECK(shop.machines[0].max_rpm == 3000.0);
    CHECK(shop.machines[0].tool_change_seconds == 2.0);
    CHECK(*shop.tool(3)->nose_radius_mm == Approx(0.79502));
    CHECK(*shop.tool(3)->max_feed_mm_per_rev == Approx(0.3048));
    CHECK(shop.tool(3)->point_angle_deg == 118.0);
    CHECK(shop.tool(4)->nose_radius_mm == 0.8);
    CHECK(*shop.house.second_approach_mm == Approx(1.016)); // 0.040 in = 1.016 mm
}

TEST_CASE("Lengths without units are not guessed") {
    const std::string text = "[[tool]]\nstation = 1\nnose_radius = 0.8\nwidth = 3\n[stock]\ndiameter = 50\n";
    const One problem = only_problem(text);
    CHECK(problem.at == "0.8");
    CHECK(has(problem.message, "units = \"mm\""));
    const Shop shop = parse_shop(text, "t");
    CHECK_FALSE(shop.tool(1)->nose_radius_mm);
    CHECK_FALSE(shop.stock.diameter_mm);
    // A slip in units is one problem, not one a length.
    CHECK(only_problem("units = \"cm\"\n[stock]\ndiameter = 50\nback_z = -3\n").at == "\"cm\"");
    CHECK(only_problem("units = \"mm\"\n[stock]\nunits = \"inches\"\ndiameter = 50\n").at == "\"inches\"");
    CHECK(parse_shop("[[machine]]\nmax_rpm = 3000\n", "t").problems.empty());
    // One table's own units are not another's.
    const Shop own = parse_shop(
        "[[tool]]\nunits = \"mm\"\nstation = 1\nwidth = 3\n[[tool]]\nstation = 2\nwidth = 3\n", "t");
    CHECK(own.tool(1)->width_mm == 3.0);
    CHECK_FALSE(own.tool(2)->width_mm);
    CHECK(own.problems.size() == 1);
}

TEST_CASE("An unknown key is named with the nearest known one") {
    One problem = only_problem("units = \"mm\"\n[[tool]]\nstation = 1\nnose_radus = 0.8\n");
    CHECK(problem.at == "nose_radus");
    CHECK(problem.message == "[tool] has no key \"nose_radus\". Did you mean \"nose_radius\"?");
    problem = only_problem("[[machien]]\nname = \"x\"\n");
    CHECK(problem.at == "machien");
    CHECK(has(problem.message, "Did you mean \"machine\"?"));
    problem = only_problem("[house]\nsequence_noet = true\n");
    CHECK(has(problem.message, "Did you mean \"sequence_note\"?"));
    problem = only_problem("[house]\nzzzzzzzzzzzzz = true\n");
    CHECK_FALSE(has(problem.message, "Did you mean"));
    problem = only_problem("[format]\nunits = \"mm\"\n"); // no lengths in it
    CHECK(problem.at == "units");
}

TEST_CASE("A value of the wrong type is located, and the others count") {
    const std::string text = "[[machine]]\nmax_rpm = \"fast\"\nmin_rpm = 50\n";
    const One problem = only_problem(text);
    CHECK(problem.at == "\"fast\"");
    CHECK(problem.message ==
          "max_rpm must be a speed in turns a minute, above 0 up to 200000; this is text and is not used.");
    const Shop shop = parse_shop(text, "t");
    CHECK_FALSE(shop.machines[0].max_rpm);
    CHECK(shop.machines[0].min_rpm == 50.0);
    CHECK(only_problem("[[machine]]\nname = 5\n").at == "5");
    CHECK(only_problem("[house]\noptional_stop = \"yes\"\n").at == "\"yes\"");
    CHECK(only_problem("[[machine]]\nstations = 12.0\n").at == "12.0");
    CHECK(only_problem("[[machine]]\nfolders = \"a\"\n").at == "\"a\"");
    CHECK(only_problem("[[machine]]\nfolders = [\"a\", 3]\n").at == "3");
    CHECK(only_problem("[[machine]]\nmax_rpm = nan\n").at == "nan");
    CHECK(only_problem("[[machine]]\nmax_rpm = inf\n").at == "inf");
    CHECK(only_problem("[[machine]]\nname = 2026-01-01\n").at == "2026-01-01");
    CHECK(has(only_problem("machine = 4\n").message, "[[machine]]"));
    CHECK(has(only_problem("stock = []\n").message, "[stock]"));
    CHECK(only_problem("[[machine]]\nm_codes = 5\n").at == "5");
    CHECK(only_problem("checks = true\n").at == "true");
    CHECK(only_problem("units = 1\n").at == "1");
}

TEST_CASE("A value out of range is located and stays unknown") {
    struct Row {
        const char *table, *key, *value;
    };
    const Row rows[] = {
        {"[[tool]]\nstation = 1\n", "nose_radius", "-0.4"},
        {"[[tool]]\n", "station", "0"},
        {"[[tool]]\n", "station", "-3"},
        {"[[tool]]\nstation = 1\n", "tip_direction", "10"},
        {"[[tool]]\nstation = 1\n", "width", "0"},
        {"[[tool]]\nstation = 1\n", "point_angle", "180.5"},
        {"[[tool]]\nstation = 1\n", "max_rpm", "-1"},
        {"[[machine]]\n", "max_rpm", "0"},
        {"[[machine]]\n", "min_rpm", "-5"},
        {"[[machine]]\n", "tool_digits", "5"},
        {"[[machine]]\n", "power_efficiency", "1.2"},
        {"[[machine]]\n", "rapid_x", "-100"},
        {"[[machine]]\n", "stations", "0"},
        {"[[machine]]\n", "least_increment_mm", "0"},
        {"[stock]\n", "diameter", "0"},
        {"[stock]\n", "bore", "-1"},
        {"[house]\n", "first_approach", "0"},
        {"[[machine]]\n", "stations", "9223372036854775807"},
    };
    for (const Row& row : rows) {
        INFO(row.key << " = " << row.value);
        const std::string text =
            std::string("units = \"mm\"\n") + row.table + row.key + " = " + row.value + "\n";
        const One problem = only_problem(text);
        CHECK(problem.at == row.value);
        CHECK(has(problem.message, row.key));
    }
    CHECK_FALSE(parse_shop("units = \"mm\"\n[[tool]]\nstation = 1\nnose_radius = -0.4\n", "t")
                    .tool(1)
                    ->nose_radius_mm);
    CHECK(only_problem("units = \"mm\"\n[[tool]]\nstation = 1\noffsets = [3, 0]\n").at == "0");
    CHECK(parse_shop("units = \"mm\"\n[[tool]]\nstation = 1\noffsets = [3, 0]\n", "t").tool(1)->offsets ==
          std::vector<int>{3});
    // Limits themselves are allowed where they make sense.
    CHECK(parse_shop("units = \"mm\"\n[[tool]]\nstation = 99\nnose_radius = 0\ntip_direction = 9\n", "t")
              .problems.empty());
}

TEST_CASE("Two values that contradict each other are both unknown") {
    const std::string text = "[[machine]]\nmin_rpm = 3000\nmax_rpm = 2000\n";
    CHECK(only_problem(text).at == "2000");
    const Shop shop = parse_shop(text, "t");
    CHECK_FALSE(shop.machines[0].min_rpm);
    CHECK_FALSE(shop.machines[0].max_rpm);
    CHECK(has(only_problem("units=\"mm\"\n[[machine]]\ntravel_x_min = 5\ntravel_x_max = -5\n").message,
              "travel_x_max"));
    CHECK(has(only_problem("units=\"mm\"\n[[machine]]\ntravel_z_min = 5\ntravel_z_max = 5\n").message,
              "travel_z_max"));
    CHECK(has(only_problem("units=\"mm\"\n[stock]\ndiameter = 20\nbore = 30\n").message, "bore"));
    CHECK(has(only_problem("units=\"mm\"\n[stock]\nfront_z = -20\nback_z = 0\n").message, "front_z"));
    CHECK(has(only_problem("units=\"mm\"\n[house]\nfirst_approach = 1\nsecond_approach = 12\n").message,
              "first_approach"));
}

TEST_CASE("A choice that is none is shown with the nearest one") {
    const One problem = only_problem("[[tool]]\nstation = 1\nkind = \"thredding\"\n");
    CHECK(problem.at == "\"thredding\"");
    CHECK(has(problem.message, "Did you mean \"threading\"?"));
    CHECK(has(problem.message, "\"centre drill\""));
    CHECK(only_problem("[[machine]]\nsystem = \"D\"\n").at == "\"D\"");
    CHECK(only_problem("[checks]\nx = \"loud\"\n").at == "\"loud\"");
    CHECK(parse_shop("[checks]\nx = \"loud\"\n", "t").checks.empty());
}

TEST_CASE("Each choice lands in its own value") {
    const std::pair<const char*, ToolKind> kinds[] = {
        {"turning", ToolKind::turning},
        {"boring", ToolKind::boring},
        {"grooving", ToolKind::grooving},
        {"parting", ToolKind::parting},
        {"threading", ToolKind::threading},
        {"threading inside", ToolKind::threading_inside},
        {"drill", ToolKind::drill},
        {"centre drill", ToolKind::centre_drill},
        {"tap", ToolKind::tap},
        {"reamer", ToolKind::reamer},
        {"face grooving", ToolKind::face_grooving},
        {"knurl", ToolKind::knurl},
        {"bar puller", ToolKind::bar_puller},
        {"live", ToolKind::live},
    };
    for (const auto& [text, kind] : kinds)
        CHECK(
            parse_shop(std::string("[[tool]]\nstation = 1\nkind = \"") + text + "\"\n", "t").tool(1)->kind ==
            kind);
    const std::pair<const char*, ToolHand> hands[] = {
        {"right", ToolHand::right}, {"left", ToolHand::left}, {"neutral", ToolHand::neutral}};
    for (const auto& [text, hand] : hands)
        CHECK(
            parse_shop(std::string("[[tool]]\nstation = 1\nhand = \"") + text + "\"\n", "t").tool(1)->hand ==
            hand);
    CHECK(parse_shop("[[machine]]\nx = \"radius\"\n", "t").machines[0].x == XReading::radius);
    CHECK(parse_shop("[[machine]]\nx = \"diameter\"\n", "t").machines[0].x == XReading::diameter);
    CHECK(parse_shop("[[machine]]\nsystem = \"C\"\n", "t").machines[0].system == codes::System::C);
    const std::pair<const char*, Severity> severities[] = {{"off", Severity::off},
                                                           {"hint", Severity::hint},
                                                           {"information", Severity::information},
                                                           {"warning", Severity::warning},
                                                           {"error", Severity::error}};
    for (const auto& [text, severity] : severities)
        CHECK(parse_shop(std::string("[checks]\nsome_check = \"") + text + "\"\n", "t")
                  .checks.at("some_check") == severity);
}

TEST_CASE("Codes after switching on are read by the machine's system") {
    CHECK(parse_shop("[[machine]]\nsystem = \"B\"\npower_on = [\"G99\", \"g95\", \"G91\"]\n", "t")
              .machines[0]
              .power_on ==
          std::vector<Meaning>{Meaning::return_r_level, Meaning::feed_per_rev, Meaning::incremental});
    // The system may stand after it.
    CHECK(parse_shop("[[machine]]\npower_on = [\"G99\"]\nsystem = \"A\"\n", "t").machines[0].power_on ==
          std::vector<Meaning>{Meaning::feed_per_rev});
    CHECK(parse_shop("[[machine]]\npower_on = [\"G97\", \"M05\"]\n", "t").machines[0].power_on ==
          std::vector<Meaning>{Meaning::constant_rpm, Meaning::spindle_stop});
    CHECK(has(only_problem("[[machine]]\npower_on = [\"G99\"]\n").message, "systems A, B and C"));
    CHECK(only_problem("[[machine]]\nsystem = \"A\"\npower_on = [\"G98\", \"G99\"]\n").at == "\"G99\"");
    CHECK(has(only_problem("[[machine]]\npower_on = [\"G04\"]\n").message, "one block only"));
    // Codes that a control has not, by its own system: G74 faces in C and pecks in A.
    CHECK(parse_shop("[[machine]]\nsystem = \"C\"\nlacks = [\"G74\", \"m29\"]\n", "t").machines[0].lacks ==
          std::vector<Meaning>{Meaning::rough_facing, Meaning::rigid_tapping});
    CHECK(has(only_problem("[[machine]]\nlacks = [\"G74\"]\n").message, "systems A, B and C"));
    CHECK(parse_shop("[[machine]]\nturret = \"behind\"\n", "t").machines[0].turret == Turret::behind);
    CHECK(only_problem("[[machine]]\npower_on = [\"G97\", \"fast\"]\n").at == "\"fast\"");
    CHECK(only_problem("[[machine]]\npower_on = [\"M68\"]\n").at == "\"M68\"");
    // The unit is the machine's power-on unit as well.
    CHECK(parse_shop("[[machine]]\nsystem = \"C\"\npower_on = [\"G70\"]\n", "t").machines[0].units ==
          Meaning::inch);
    const One both =
        only_problem("[[machine]]\nsystem = \"A\"\npower_on = [\"G20\"]\npower_on_units = \"mm\"\n");
    CHECK(has(both.message, "neither"));
}

TEST_CASE("Names of this machine's codes are read in the ways people write them") {
    const Shop shop =
        parse_shop("[[machine]]\n[machine.m_codes]\nM21 = \"C axis on\"\nm22 = \"C axis off\"\n68 = "
                   "\"chuck in\"\nM08 = \"flood\"\n[machine.g_codes]\nG170 = \"part catcher\"\n",
                   "t");
    CHECK(shop.problems.empty());
    CHECK(shop.machines[0].m_codes ==
          std::map<int, std::string>{{8, "flood"}, {21, "C axis on"}, {22, "C axis off"}, {68, "chuck in"}});
    CHECK(shop.machines[0].g_codes == std::map<int, std::string>{{170, "part catcher"}});
    CHECK(only_problem("[machine.m_codes]\nG21 = \"x\"\n").at == "G21");
    CHECK(only_problem("[machine.m_codes]\nM21 = 4\n").at == "4");
    CHECK(only_problem("[machine.m_codes]\nMx = \"x\"\n").at == "Mx");
    CHECK(has(only_problem("[machine.m_codes]\nM21 = \"x\"\n21 = \"y\"\n").message, "twice"));
}

TEST_CASE("What this machine's own codes do is read from codes and words") {
    const Shop shop = parse_shop(R"([[machine]]
[machine.m_codes]
M13 = { name = "spindle and coolant", does = "m03 M08" }
M14.does = "M05, quill in"
M68 = { name = "chuck", does = "Clamp" }
M69 = { does = "unclamp" }
M30 = "end"
"M60-M63" = { name = "loader", does = "nothing" }
"70-71" = "lamp"
[machine.g_codes]
G140 = { calls = "O9010", does = "M05" }
G141 = { does = "G97 g40, M09" }
)",
                                 "t");
    for (const Problem& problem : shop.problems) UNSCOPED_INFO(problem.message);
    CHECK(shop.problems.empty());
    const Machine& machine = shop.machines[0];
    const auto does = [&](char letter, double number) { return machine.effect_of(letter, number)->does; };
    CHECK(does('M', 13) == std::vector{Meaning::spindle_forward, Meaning::coolant_on});
    CHECK(does('M', 14) == std::vector{Meaning::spindle_stop, Meaning::quill_in});
    CHECK(does('M', 68) == std::vector{Meaning::chuck_closed});
    CHECK(does('M', 69) == std::vector{Meaning::chuck_open});
    CHECK(does('M', 63).empty());
    CHECK(machine.effect_of('M', 63)->calls == -1);
    CHECK(machine.effect_of('G', 140)->calls == 9010);
    CHECK(does('G', 141) ==
          std::vector{Meaning::constant_rpm, Meaning::compensation_off, Meaning::coolant_off});
    for (const double none : {30.0, 64.0, 59.0, 13.5, -13.0, 1e12})
        CHECK(machine.effect_of('M', none) == nullptr);
    CHECK(machine.effect_of('G', 13) == nullptr);
    CHECK(machine.m_codes.at(61) == "loader");
    CHECK(machine.m_codes.at(69) == "unclamp");
    CHECK(machine.m_codes.at(71) == "lamp");
    CHECK(machine.g_codes.at(140) == "M05");
}

TEST_CASE("What cannot be an effect is located, and the code stays unknown") {
    struct Row {
        const char *entry, *told;
    };
    const auto row = GENERATE(
        Row{"M13 = { does = \"M98\" }", "not understood"}, Row{"M13 = { does = \"G04\" }", "not understood"},
        Row{"M13 = { does = \"G00\" }", "not understood"}, Row{"M13 = { does = \"G83\" }", "not understood"},
        Row{"M13 = { does = \"G98\" }", "different things in systems A, B and C"},
        Row{"M13 = { does = \"G97 G96\" }", "two things"}, Row{"M13 = { does = \"G555\" }", "no code"},
        Row{"M13 = { does = \"M555\" }", "not understood"},
        Row{"M13 = { does = \"clamping\" }", "not understood"},
        Row{"M13 = { does = \"quill\" }", "not understood"},
        Row{"M13 = { does = \"M03 M05\" }", "two things"},
        Row{"M13 = { does = \"clamp unclamp\" }", "two things"},
        Row{"M13 = { calls = \"9010\" }", "no program"}, Row{"M13 = { calls = \"O0\" }", "no program"},
        Row{"M13 = { dose = \"M03\" }", "Did you mean \"does\""}, Row{"M13 = { does = 3 }", "must be text"},
        Row{"M13 = [\"M03\"]", "must be text"}, Row{"\"M69-M60\" = \"x\"", "range"},
        Row{"\"M1-M9999\" = \"x\"", "range"}, Row{"\"M60-G69\" = \"x\"", "range"},
        Row{"\"M60-\" = \"x\"", "range"});
    INFO(row.entry);
    const Shop shop = parse_shop(std::string("[[machine]]\n[machine.m_codes]\n") + row.entry + "\n", "t");
    REQUIRE(shop.problems.size() == 1);
    CHECK(shop.problems[0].line == 2);
    CHECK(has(shop.problems[0].message, row.told));
    CHECK(shop.machines[0].effects.empty());
    CHECK(has(only_problem("[machine.m_codes]\n\"M10-M12\" = \"x\"\nM11 = \"y\"\n").message, "twice"));
}

TEST_CASE("The safety line is codes in the shop's order") {
    CHECK(parse_shop("[house]\nsafety_line = [\"g54\", \"G40\", \"G80\"]\n", "t").house.safety_line ==
          std::vector<std::string>{"G54", "G40", "G80"});
    CHECK(only_problem("[house]\nsafety_line = [\"G54 G40\"]\n").at == "\"G54 G40\"");
    CHECK(only_problem("[house]\nsafety_line = [40]\n").at == "40");
}

TEST_CASE("Stations that are missing or listed twice are told") {
    CHECK(has(only_problem("[[tool]]\nnote = \"x\"\n").message, "no station"));
    const std::string text =
        "[[tool]]\nstation = 2\nnote = \"first\"\n[[tool]]\nstation = 2\nnote = \"second\"\n";
    CHECK(has(only_problem(text).message, "twice"));
    CHECK(parse_shop(text, "t").tool(2)->note == "first");
    CHECK(has(only_problem("[[machine]]\nname = \"a\"\n[[machine]]\nname = \"a\"\n").message,
              "Another machine"));
}

TEST_CASE("One machine or tool may be a plain table") {
    const Shop shop = parse_shop("[machine]\nmax_rpm = 2500\n[tool]\nstation = 4\n", "t");
    CHECK(shop.problems.empty());
    CHECK(shop.machines[0].max_rpm == 2500.0);
    CHECK(shop.tool(4));
}

TEST_CASE("Broken TOML is one located problem and all defaults") {
    const std::string text = "[[machine]]\nmax_rpm = 3000\n\n[[tool]\nstation = 1\n";
    const Shop shop = parse_shop(text, "t");
    REQUIRE(shop.problems.size() == 1);
    CHECK(shop.problems[0].line == 3);
    CHECK(shop.machines.size() == 1);
    CHECK_FALSE(shop.machines[0].max_rpm);
    CHECK(shop.tools.empty());
    for (const char* broken :
         {"a = ", "= 1", "[", "a = 'x", "a = 1\na = 2\n", "a = \"\\q\"", "\xff\xfe", "a = [1, 2"}) {
        INFO(broken);
        CHECK(parse_shop(broken, "t").problems.size() == 1);
    }
}

TEST_CASE("What the TOML reader takes for granted is made sure of first") {
    for (const char* broken :
         {"[\x03machine]]\n", "[=x]", "[", "[[", "[\n]", "[ [", " [,]\n", "[.a]", "[\xC3\xA9]"}) {
        INFO(broken);
        const Shop shop = parse_shop(broken, "t");
        CHECK(shop.problems.size() == 1);
        CHECK(shop.machines.size() == 1);
    }
    CHECK(parse_shop("\xEF\xBB\xBF[=]", "t").problems.at(0).column == 4);
    CHECK(parse_shop(" [ \"house\" ]\n  [[ 'tool' ]]\nstation = 1\n", "t").problems.empty());
    // Points in a note or in numbers side by side are no key.
    CHECK(
        parse_shop("[[tool]]\nstation = 1\nnote = \"one. two. three ... 1.5, 2.5\"\n", "t").problems.empty());
}

TEST_CASE("Columns are bytes, also after letters of more than one byte") {
    const std::string text = "note = \"x\"\nhouse = { \"caf\xC3\xA9\" = 1, optional_stop = 3 }\n";
    const Shop shop = parse_shop(text, "t");
    REQUIRE(shop.problems.size() == 3);
    CHECK(under(text, shop.problems[0]) == "note");
    CHECK(under(text, shop.problems[1]) == "\"caf\xC3\xA9\"");
    CHECK(under(text, shop.problems[2]) == "3");
    const std::string marked = "\xEF\xBB\xBFnote = \"x\"\n";
    const Shop with_mark = parse_shop(marked, "t");
    REQUIRE(with_mark.problems.size() == 1);
    CHECK(under(marked, with_mark.problems[0]) == "note");
    const std::string crlf = "[house]\r\n\"\xE2\x82\xAC\" = 1\r\noptional_stop = 7\r\n";
    const Shop windows = parse_shop(crlf, "t");
    REQUIRE(windows.problems.size() == 2);
    CHECK(under(crlf, windows.problems[1]) == "7");
}

TEST_CASE("Letters of every alphabet may stand in notes, names and comments") {
    // toml++ 3.3 sorts these out by a table with gaps, so each of them is tried.
    const auto utf8 = [](unsigned code) {
        std::string text;
        if (code < 0x800) {
            text += static_cast<char>(0xC0 | code >> 6);
        } else {
            text += static_cast<char>(0xE0 | code >> 12);
            text += static_cast<char>(0x80 | (code >> 6 & 0x3F));
        }
        return text + static_cast<char>(0x80 | (code & 0x3F));
    };
    std::size_t tried = 0, wrong = 0;
    for (unsigned code = 0xA0; code <= 0xFFFD; ++code) {
        if (code >= 0xD800 && code <= 0xDFFF) continue;
        const std::string each = utf8(code);
        const std::string note = "a" + each + " " + each + "b";
        const Shop shop = parse_shop("[[tool]] # " + each + "\nstation = 1 # a" + each + "\nnote = \"" +
                                         note + "\"\n[checks]\n\"" + each + "\" = \"off\"\n",
                                     "t");
        ++tried;
        wrong += !shop.problems.empty() || shop.tools.size() != 1 || shop.tools[0].note != note ||
                 shop.checks.count(each) != 1;
    }
    CHECK(tried > 60000);
    CHECK(wrong == 0);
}

TEST_CASE("Problems come in the order of the file and not without end") {
    std::string text = "units = \"mm\"\n";
    for (int key = 0; key < 5000; ++key) text += "key_" + std::to_string(key) + " = 1\n";
    const Shop shop = parse_shop(text, "t");
    CHECK(shop.problems.size() == most_problems);
    for (std::size_t place = 1; place < shop.problems.size(); ++place)
        CHECK(shop.problems[place - 1].line < shop.problems[place].line);
}

TEST_CASE("Two megabytes of anything are quick and hurt nothing") {
    constexpr std::size_t size = 2 << 20;
    std::vector<std::string> texts;
    // Too large to be read at all, and just small enough.
    for (std::size_t length : {size, largest_file}) {
        for (char each : {'a', '[', '\0', '"', '.', '\xff'}) texts.emplace_back(length, each);
        std::string noise;
        unsigned state = 1;
        while (noise.size() < length)
            noise += static_cast<char>((state = state * 1664525U + 1013904223U) >> 24);
        texts.push_back(noise);
    }
    const auto grown = [](std::string text, const auto& more, std::string_view end = "") {
        for (int count = 0; text.size() < largest_file - 60; ++count) text += more(std::to_string(count));
        return text.append(end);
    };
    using Text = const std::string&;
    texts.push_back(grown(
        "a", [](Text) { return ".a"; }, " = 1"));
    texts.push_back(grown("a = ", [](Text) { return "["; }));
    texts.push_back(grown("[house]\n", [](Text count) { return "k" + count + " = 1\n"; }));
    texts.push_back(grown(
        "[[machine]]\npower_on = [", [](Text) { return "'G04',"; }, "]"));
    texts.push_back(grown(
        "[house]\nsafety_line = [\"\xC3\xA9\",", [](Text) { return "1,"; }, "]"));
    texts.push_back(grown("[machine.m_codes]\n", [](Text count) { return "M" + count + " = 1\n"; }));
    texts.push_back(grown("", [](Text count) { return "[[machine]]\nnane = '" + count + "'\n"; }));
    const auto start = std::chrono::steady_clock::now();
    for (const std::string& text : texts) {
        const Shop shop = parse_shop(text, "t");
        CHECK(shop.machines.size() >= 1);
        CHECK_FALSE(shop.problems.empty());
        CHECK(shop.problems.size() <= most_problems);
    }
    const auto seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    INFO(texts.size() << " large files in " << seconds << " s, without optimisation");
    CHECK(seconds < 20);
}

TEST_CASE("Many machines of many names are read in the time of reading") {
    std::string text;
    for (int count = 0; text.size() < largest_file - 60; ++count)
        text += "[[machine]]\nname = 'lathe " + std::to_string(count) + "'\n";
    const Shop shop = parse_shop(text, "t");
    CHECK(shop.problems.empty());
    CHECK(shop.machines.size() > 5000);
}

TEST_CASE("An outline is read whole, in the file's unit, or not at all") {
    const std::string tool = "[[tool]]\nstation = 1\noutline = ";
    const std::string square = "[[1, 2], [3, 2], [3, 4.5], [1, 4.5]]\n";
    const Shop inch = parse_shop("units = \"inch\"\n" + tool + square, "t");
    CHECK(inch.problems.empty());
    REQUIRE(inch.tool(1)->outline.size() == 4);
    CHECK(inch.tool(1)->outline[2].x_mm == Approx(76.2));
    CHECK(inch.tool(1)->outline[2].z_mm == Approx(114.3));
    for (const char* wrong :
         {"[[1, 2], [3, 2]]", "[[1, 2], [3, 2], [3]]", "[[1, 2], [3, 2], [3, \"4\"]]", "[1, 2, 3]", "7",
          "[[1, 2], [3, 2], [nan, 1]]", "[[1, 2], [3, 4], [3, 2], [1, 4]]"}) {
        CAPTURE(wrong);
        const Shop shop = parse_shop("units = \"mm\"\n" + tool + wrong + "\n", "t");
        CHECK(shop.problems.size() == 1);
        CHECK(shop.tool(1)->outline.empty());
    }
    CHECK(parse_shop(tool + square, "t").tool(1)->outline.empty());
}

TEST_CASE("How the programs of two turrets find each other is two texts or a number") {
    const std::string lathe = "[[machine]]\n";
    const Shop right =
        parse_shop(lathe + "path_numbers = 1000\npath_marks = [\"(UPPER)\", \"(LOWER)\"]\n", "t");
    CHECK(right.problems.empty());
    CHECK(right.machines[0].path_numbers == 1000);
    CHECK(right.machines[0].path_marks.size() == 2);
    CHECK(right.machines[0].has_paths());
    CHECK_FALSE(parse_shop(lathe, "t").machines[0].has_paths());
    for (const char* wrong : {"path_numbers = 0", "path_numbers = \"1000\"", "path_marks = [\"(UPPER)\"]",
                              "path_endings = [\".nc\", \".nc\"]", "path_folders = [\"a\", \"\"]",
                              "path_folders = [\"a\", \"b\", \"c\"]"}) {
        CAPTURE(wrong);
        const Shop shop = parse_shop(lathe + wrong + "\n", "t");
        CHECK(shop.problems.size() == 1);
        CHECK_FALSE(shop.machines[0].has_paths());
    }
}

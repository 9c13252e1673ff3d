// The job file beside a program: what it takes the place of, and what has no place in it.
#include "shop/job_file.h"

#include "temporary_folder.h"

#include <catch2/catch.hpp>
#include <filesystem>

using namespace turnwright::shop;
namespace fs = std::filesystem;

namespace {

constexpr std::string_view some_job = "units = \"mm\"\n";

constexpr std::string_view shop_text = R"(
units = "mm"
[stock]
diameter = 80
bore = 30
front_z = 1
jaw_front_z = -20
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
[[tool]]
station = 2
kind = "drill"
diameter = 10
)";

} // namespace

TEST_CASE("a stock in the job file takes the whole place of the shop's") {
    const Shop shop = parse_shop(shop_text, "turnwright.toml");
    const Job job = parse_job("units = \"mm\"\n[stock]\ndiameter = 50\n", "p.turnwright.toml", shop);
    CHECK(job.problems.empty());
    const Shop both = with_job(shop, job);
    CHECK(both.stock.diameter_mm == 50);
    CHECK(!both.stock.bore_mm); // Of another part: not to be guessed from
    CHECK(!both.stock.jaw_front_z_mm);
    CHECK(both.tools.size() == 2);
    CHECK(both.path == "turnwright.toml");
}

TEST_CASE("a tool in the job file takes the place of its station's, the others stay") {
    const Shop shop = parse_shop(shop_text, "turnwright.toml");
    const Job job = parse_job("units = \"inch\"\n[[tool]]\nstation = 2\nkind = \"drill\"\ndiameter = 0.5\n"
                              "[[tool]]\nstation = 9\nkind = \"parting\"\nwidth = 0.125\n",
                              "p.turnwright.toml", shop);
    const Shop both = with_job(shop, job);
    REQUIRE(both.tools.size() == 3);
    CHECK(*both.tool(1)->nose_radius_mm == Approx(0.8));
    CHECK(*both.tool(2)->diameter_mm == Approx(12.7));
    CHECK(*both.tool(9)->width_mm == Approx(3.175));
    CHECK(both.stock.diameter_mm == 80); // The job file gives no stock
}

TEST_CASE("what belongs to the shop is told and left out") {
    const Job job =
        parse_job("units = \"mm\"\n[[machine]]\nname = \"x\"\nmax_rpm = 10\n[stock]\ndiamter = 5\n"
                  "  [checks]\nfeed_missing = \"off\"\n[[tool]]\nstation = 1\n",
                  "p.turnwright.toml", default_shop());
    REQUIRE(job.problems.size() == 4);
    CHECK(job.problems[0].line == 2);
    CHECK(job.problems[0].message.find("name belongs into turnwright.toml") != std::string::npos);
    CHECK(job.problems[1].line == 3); // max_rpm
    CHECK(job.problems[1].message.find("[machine] in a job file") == 0);
    CHECK(job.problems[2].line == 5); // diamter
    CHECK(job.problems[3].line == 6);
    CHECK(job.problems[3].column == 2);
    CHECK(job.problems[3].message.find("A job file holds") == 0);
    const Shop both = with_job(default_shop(), job);
    CHECK(!both.machines.front().max_rpm);
    CHECK(!both.machine_for("p.nc", "").max_rpm);
    CHECK(both.checks.empty());
    CHECK(both.tools.size() == 1);
    // Text that is no TOML is a problem, and changes nothing.
    const Job broken = parse_job("[stock\n", "p.turnwright.toml", default_shop());
    CHECK(!broken.problems.empty());
    CHECK(with_job(parse_shop(shop_text, {}), broken).stock.diameter_mm == 80);
}

TEST_CASE("the job file states how the control reads its one program, over the shop file") {
    using turnwright::codes::Meaning;
    using turnwright::codes::System;
    const Shop shop = parse_shop(R"(
[[machine]]
system = "A"
power_on_units = "mm"
power_on = ["G98", "G97"]
x = "diameter"
max_rpm = 3500
)",
                                 "turnwright.toml");
    const Job job = parse_job("[machine]\npower_on_units = \"inch\"\npower_on = [\"G99\"]\nx = \"radius\"\n",
                              "p.turnwright.toml", shop);
    CHECK(job.problems.empty()); // G99 by the system of the shop's machine
    const Shop both = with_job(shop, job);
    const Machine& held = both.machine_for("p.nc", "");
    CHECK(held.units == Meaning::inch);
    CHECK(held.power_on == std::vector{Meaning::constant_rpm, Meaning::feed_per_rev});
    CHECK(held.x == XReading::radius);
    CHECK(held.max_rpm == 3500);
    CHECK(held.system == System::A);
    CHECK(both.machines.front().units == Meaning::millimetre); // Of the next program
    // What it leaves out stays as the shop file has it.
    const Job some = parse_job("[machine]\ntool_digits = 4\n", "p.turnwright.toml", shop);
    CHECK(with_job(shop, some).machine_for("p.nc", "").units == Meaning::millimetre);
    CHECK(with_job(shop, some).machine_for("p.nc", "").tool_digits == 4);
}

TEST_CASE("a job file with no shop file, and beside several machines") {
    using turnwright::codes::Meaning;
    const auto job_in = [](const Shop& shop, const char* text) {
        return parse_job(text, "p.turnwright.toml", shop);
    };
    const Shop none = default_shop();
    // G99 is something else in every system.
    CHECK(job_in(none, "[machine]\npower_on = [\"G99\"]\n").problems.size() == 1);
    const Job whole = job_in(none, "[machine]\nsystem = \"B\"\npower_on = [\"G95\"]\n");
    CHECK(whole.problems.empty());
    CHECK(with_job(none, whole).machine_for("p.nc", "").power_on == std::vector{Meaning::feed_per_rev});
    const Shop two =
        parse_shop("[[machine]]\nname = \"big\"\nfolders = [\"big\"]\n[[machine]]\nname = \"small\"\n"
                   "folders = [\"small\"]\nmax_rpm = 6000\n",
                   "turnwright.toml");
    const Shop both = with_job(two, job_in(two, "[machine]\npower_on_units = \"inch\"\n"));
    CHECK(both.machine_for("p.nc", "small").units == Meaning::inch);
    CHECK(both.machine_for("p.nc", "small").max_rpm == 6000);
    CHECK(both.machine_for("p.nc", "").units == Meaning::inch); // It is not known on which it runs
    CHECK(both.machine_for("p.nc", "").name.empty());
    CHECK(!two.machine_for("p.nc", "").units);
}

TEST_CASE("the job file is found by the program's name, inside the root only") {
    const TemporaryFolder folder;
    const fs::path program = folder.write("O1001.nc", "O1001\n");
    CHECK(find_job_file(program, folder.path).empty());
    const fs::path job = folder.write("O1001.turnwright.toml", some_job);
    CHECK(find_job_file(program, folder.path) == job);
    CHECK(find_job_file(folder.path / "O1001.tap", folder.path) == job);
    CHECK(find_job_file(folder.path / "O1002.nc", folder.path).empty());
    folder.make("inside");
    CHECK(find_job_file(program, folder.path / "inside").empty());
    CHECK(find_job_file({}, folder.path).empty());
    // A folder is no file, and what is far too large was not written by a person.
    folder.make("b.turnwright.toml");
    CHECK(find_job_file(folder.path / "b.nc", folder.path).empty());
    folder.write("c.turnwright.toml", std::string(largest_file + 1, '#'));
    CHECK(find_job_file(folder.path / "c.nc", folder.path).empty());
}

TEST_CASE("a job file with letters beyond ASCII in its name is found") {
    const TemporaryFolder folder;
    const fs::path job = folder.path / fs::path(u8"wälle.turnwright.toml");
    std::ofstream(job) << some_job;
    CHECK(find_job_file(folder.path / fs::path(u8"wälle.nc"), folder.path) == job);
}

TEST_CASE("a link does not lead a job file out of the root") {
    if (!links_can_be_made()) return;
    const TemporaryFolder folder;
    const fs::path job = folder.write("a.turnwright.toml", some_job);
    folder.make("inside");
    fs::create_symlink(job, folder.path / "inside" / "a.turnwright.toml");
    CHECK(find_job_file(folder.path / "inside" / "a.nc", folder.path / "inside").empty());
}

// Where keys are written into a shop file that is there, and where they cannot be.
#include "shop/machine_place.h"
#include "shop/shop.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

using namespace turnwright;
using namespace turnwright::shop;

namespace {

/// The file with a line behind the place.
std::string written(std::string text, const MachinePlace& place, std::string_view line) {
    std::size_t at = 0;
    for (std::size_t i = 0; i < place.line; ++i) at = text.find('\n', at) + 1;
    return text.insert(at + place.byte, "\n" + std::string(line));
}

} // namespace

TEST_CASE("a key that is written at its place is one of its machine") {
    const std::string files[] = {
        "units = \"mm\"\n[[machine]]\nname = \"A\"\n",
        "units = \"mm\"\n[[machine]] # the long one\nname = \"A\"\n[stock]\ndiameter = 60\n",
        "units = \"mm\"\r\n  [[machine]]\r\nname = \"A\"\r\n",
        "units = \"mm\"\n[[machine]]",
        "units = \"mm\"\n[[machine]]\n[machine.m_codes]\nM10 = \"opens\"\n",
    };
    for (const std::string& file : files) {
        INFO(file);
        const auto place = place_in_machine(file, 0);
        REQUIRE(place);
        CHECK(place->inch == std::optional(false));
        CHECK_FALSE(place->is_new_table);
        const Shop shop = parse_shop(written(file, *place, "rapid_x = 9000"), "turnwright.toml");
        CHECK(shop.problems.empty());
        CHECK(shop.machines.front().rapid_x_mm_per_min == 9000.0);
    }
}

TEST_CASE("of several machines each has its place, its keys and its unit") {
    const std::string file =
        "units = \"mm\"\n[[machine]]\nname = \"A\"\nrapid_x = 1\n\n[[machine]]\nname = \"B\"\n"
        "units = \"inch\"\n";
    const auto first = place_in_machine(file, 0), second = place_in_machine(file, 1);
    REQUIRE(first);
    REQUIRE(second);
    CHECK(first->inch == std::optional(false));
    CHECK(second->inch == std::optional(true));
    CHECK(std::find(first->keys.begin(), first->keys.end(), "rapid_x") != first->keys.end());
    CHECK(std::find(second->keys.begin(), second->keys.end(), "rapid_x") == second->keys.end());
    const Shop shop = parse_shop(written(file, *second, "rapid_x = 100"), "turnwright.toml");
    CHECK(shop.machines.at(0).rapid_x_mm_per_min == 1.0);
    CHECK(shop.machines.at(1).rapid_x_mm_per_min == 2540.0);
}

TEST_CASE("a file without a machine has a place at its end, and some have none") {
    const auto end = place_in_machine("[house]\noptional_stop = true\n", 0);
    REQUIRE(end);
    CHECK(end->is_new_table);
    CHECK(end->line == 2);
    CHECK(end->byte == 0);
    CHECK(end->inch == std::nullopt);
    const auto open = place_in_machine("[house]\noptional_stop = true", 0);
    REQUIRE(open);
    CHECK(open->line == 1);
    CHECK(open->byte == 20);
    CHECK(place_in_machine("", 0)->is_new_table);
    CHECK_FALSE(place_in_machine("machine = [{ name = \"A\" }]\n", 0));
    CHECK_FALSE(place_in_machine("[machine]\nname = \"A\"\n", 0));
    CHECK_FALSE(place_in_machine("[[machine]\n", 0));
    CHECK_FALSE(place_in_machine("[[machine]]\nname = \"A\"\n", 1));
    CHECK_FALSE(place_in_machine(std::string(largest_file + 1, ' '), 0));
}

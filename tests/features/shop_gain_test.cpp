// What a shop file would make known of a program, counted from it.
#include "features/shop_gain.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::features;

namespace {

std::vector<std::string> gains(std::string_view program, bool with_shop_file = false) {
    shop::Shop shop = with_shop_file ? shop::parse_shop("[[machine]]\nsystem = \"A\"\n", "turnwright.toml")
                                     : shop::default_shop();
    Document document(program, std::make_shared<const shop::Shop>(std::move(shop)), "pin.nc");
    return gains_of_a_shop_file(document);
}

constexpr std::string_view two_tools = "O1\nG21 G99\nG50 S2500\nN1 T0101\nG96 S180 M03\nG00 X40. Z2.\n"
                                       "G01 Z-20. F0.2\nM13\nM01\nN2 T0202\nG97 S500 M03\nG00 X0. Z2.\n"
                                       "G01 Z-10. F0.1\nM30\n";

} // namespace

TEST_CASE("what a shop file would make known is counted from the program") {
    // The two tool changes take an assumed time; where the first rapids come from no shop file tells.
    CHECK(gains(two_tools) ==
          std::vector<std::string>{"2 tools",
                                   "to be filled in: rapid rates and tool change (2 times become exact)",
                                   "the chuck's speed limit", "1 M code's name"});
    CHECK(gains(two_tools, true).empty());
    CHECK(gains("").empty());
    CHECK(gains("(A NOTE)\n").empty());
}

TEST_CASE("what a program leaves to the machine's power-on state comes first") {
    const auto open = gains("O1\nT0101\nG97 S500 M03\nG00 X40. Z2.\nG01 Z-10. F0.1\nM30\n");
    REQUIRE(open.size() >= 2);
    CHECK(open[0] == "the unit of every length");
    CHECK(open[1] == "feed by the turn or by the minute");
}

TEST_CASE("the head reaches down to the first tool") {
    Document document(two_tools, std::make_shared<const shop::Shop>(shop::default_shop()));
    CHECK(is_at_head(document, 0));
    CHECK(is_at_head(document, 3));
    CHECK_FALSE(is_at_head(document, 4));
    CHECK_FALSE(is_at_head(document, 12));
}

// Shop files that the targets read programs with: none, the one of the docs, one in inch and radius.
#pragma once

#include "shop/shop.h"

#include <array>
#include <memory>

namespace turnwright::fuzz {

inline constexpr std::string_view inch_shop = R"(
units = "inch"
[[machine]]
name = "old inch lathe"
system = "B"
power_on_units = "inch"
no_point = "whole units"
x = "radius"
power_on = ["G18", "G40", "G80", "G95"]
max_rpm = 2200
rapid_x = 200
rapid_z = 300
tool_digits = 2
dwell_in_revolutions = true
[[tool]]
station = 1
kind = "turning"
hand = "left"
nose_radius = 0.0315
tip_direction = 3
[stock]
diameter = 2.5
bore = 0.75
front_z = 0.05
back_z = -4
[format]
upper_case = false
blanks_between_words = false
leading_zeros = false
)";

/// Parsed once: most of the time goes into programs.
inline const std::shared_ptr<const shop::Shop>& shop_number(std::size_t number) {
    static const auto shops = [] {
        const auto parsed = [](std::string_view text) {
            return std::make_shared<const shop::Shop>(shop::parse_shop(text, "/shop/turnwright.toml"));
        };
        return std::array{std::make_shared<const shop::Shop>(shop::default_shop()), parsed(shop::example()),
                          parsed(inch_shop)};
    }();
    return shops[number % shops.size()];
}

} // namespace turnwright::fuzz

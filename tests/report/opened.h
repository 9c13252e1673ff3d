// Programs for these tests.
#pragma once

#include "report/report.h"

#include <memory>
#include <string_view>

namespace turnwright {

/// A program with a shop file of its own; both as text.
inline std::unique_ptr<features::Document> opened(std::string_view program, std::string_view shop_file = {}) {
    auto shop = shop_file.empty() ? shop::default_shop() : shop::parse_shop(shop_file, "turnwright.toml");
    return std::make_unique<features::Document>(program, std::make_shared<const shop::Shop>(std::move(shop)),
                                                "shaft.nc");
}

inline std::size_t count_of(std::string_view text, std::string_view part) {
    std::size_t count = 0;
    for (std::size_t at = text.find(part); at != std::string_view::npos; at = text.find(part, at + 1))
        ++count;
    return count;
}

/// Two sequences of plain turning in system A.
inline constexpr std::string_view two_tools = R"(O0007 (PIN)
N1 (TURN)
G21 G18 G40 G99
G54 T0101
G97 S1000 M03
G00 X40. Z2.
G01 Z-48. F0.2
X44.
G00 X100. Z50.
M05
M01
N2 (GROOVE)
G21 G18 G40 G99
G54 T0202
G97 S500 M03
G00 X42. Z-20.
G01 X30. F0.05
X42. F0.5
G00 X100. Z50.
M05
M30
)";

} // namespace turnwright

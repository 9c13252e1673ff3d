// One table of the file read by its keys. Only reader.cpp and value.cpp include toml++ and this.
#pragma once

#include "shop/keys.h"

#define TOML_ENABLE_FORMATTERS 0
#include <toml++/toml.h>

namespace turnwright::shop {

/// Turns toml++ positions (lines and characters from 1) into ours (lines and bytes from 0).
class Positions {
public:
    explicit Positions(std::string_view text);
    Place at(const toml::source_region& region) const;
    Place at(const toml::source_position& position) const;

private:
    std::size_t column(const toml::source_position& position) const;
    struct Line {
        std::size_t bytes = 0;
        std::vector<std::uint32_t> characters; ///< Where each begins; empty when every byte is one
    };
    std::vector<Line> lines_;
};

/// Text that toml++ 3.3 must not see, because it would run out of stack or read on where it may not.
struct Trouble {
    Place place;
    std::string_view message;
};
std::optional<Trouble> trouble_for_parser(std::string_view text);

enum class FileUnits : std::uint8_t { unknown, millimetre, inch };

struct Reading {
    const Positions& positions;
    Problems& problems;
    FileUnits units = FileUnits::unknown;
    bool told_of_units = false; ///< The lack of `units` is one problem, not one a length
};

/// The value of `node` by its key, or nothing with a problem told.
std::optional<Value> read_value(const Key& key, const std::string& name, const toml::node& node,
                                Reading& reading);

/// How to say what a node is: "text", "a list".
std::string_view type_title(const toml::node& node);

} // namespace turnwright::shop

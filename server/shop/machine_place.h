// Where keys of a machine may be written into a shop file that is there.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::shop {

struct MachinePlace {
    std::size_t line = 0, byte = 0; ///< From 0; what is written there begins a line of its own
    bool is_new_table = false;      ///< Behind all of the file, which has no [[machine]]
    std::optional<bool> inch;       ///< The unit of its lengths; nullopt: the file states none
    std::vector<std::string> keys;  ///< That stand in it
};
/// Of the machine with this index. nullopt: the text is no TOML, or its machines are written otherwise than
/// as
/// [[machine]].
std::optional<MachinePlace> place_in_machine(std::string_view toml, std::size_t machine);

} // namespace turnwright::shop

// Commands by name, for clients that run them on the server.
#include "features/calculation.h"
#include "features/rewriting.h"
#include "features/transfer.h"
#include "language/said.h"

#include <charconv>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::System;

std::vector<std::string> command_names() {
    return {"turnwright.fixAll",        "turnwright.renumber", "turnwright.convertUnits",
            "turnwright.convertSystem", "turnwright.convertX", "turnwright.convertDistance",
            "turnwright.writeBlocks",   "turnwright.transfer", "turnwright.breakCorner"};
}

namespace {

/// A whole number from 0 to 9 digits; -1 when it is none.
std::int32_t whole_number(const std::string& text) {
    if (text.empty() || text.size() > 9 || text.find_first_not_of("0123456789") != std::string::npos)
        return -1;
    return std::stoi(text);
}

Rewrite run_renumber(const Document& document, const std::vector<std::string>& arguments) {
    Renumbering how;
    if (!arguments.empty()) {
        if (arguments[0] == "all_blocks")
            how.what = Renumbering::What::all_blocks;
        else if (arguments[0] == "by_tool")
            how.what = Renumbering::What::by_tool;
        else if (arguments[0] != "sequences")
            return {{}, said("Renumber takes sequences, all_blocks or by_tool.")};
    }
    if (how.what == Renumbering::What::sequences) how.start = how.step = 1;
    if (arguments.size() > 1) how.start = whole_number(arguments[1]);
    if (arguments.size() > 2) how.step = whole_number(arguments[2]);
    return renumber(document, how);
}

Rewrite run_corner(const Document& document, const std::vector<std::string>& arguments) {
    double size = 0;
    const std::string number = arguments.size() == 3 ? arguments[2] : std::string();
    const auto [end, failed] = std::from_chars(number.data(), number.data() + number.size(), size);
    if (arguments.size() != 3 || whole_number(arguments[1]) < 0 || failed != std::errc{} ||
        end != number.data() + number.size())
        return {{}, said("Give chamfer or round, the line, and the size.")};
    return break_corner(document, static_cast<std::uint32_t>(whole_number(arguments[1])), arguments[0], size);
}

Rewrite run_distance(const Document& document, const std::vector<std::string>& arguments) {
    if (arguments.size() != 3 || whole_number(arguments[1]) < 0 || whole_number(arguments[2]) < 0)
        return {{}, said("Give absolute or incremental, the first line and the last line.")};
    const auto first = static_cast<std::uint32_t>(whole_number(arguments[1]));
    const auto last = static_cast<std::uint32_t>(whole_number(arguments[2]));
    if (arguments[0] != "absolute" && arguments[0] != "incremental")
        return {{}, said("Distances are absolute or incremental.")};
    return convert_distance(document, {{first, 0}, {last, 0}},
                            arguments[0] == "absolute" ? Meaning::absolute : Meaning::incremental);
}

/// With the programs that it calls in other files, which are still in the old form.
Rewrite with_others(const Document& document, Rewrite rewrite) {
    if (!rewrite.done()) return rewrite;
    std::string names;
    for (const std::int32_t number : called_elsewhere(document))
        names += fmt::format("{}O{:04}", names.empty() ? "" : ", ", number);
    if (!names.empty())
        rewrite.told += said("{}Called and not in this file, to be converted as well: {}.",
                             rewrite.told.empty() ? "" : "\n", names);
    return rewrite;
}

} // namespace

Rewrite run_command(const Document& document, std::string_view name,
                    const std::vector<std::string>& arguments) {
    const std::string first = arguments.empty() ? std::string{} : arguments[0];
    if (name == "turnwright.fixAll") return fix_all(document, first);
    if (name == "turnwright.renumber") return run_renumber(document, arguments);
    if (name == "turnwright.transfer") return transfer_to(document, first);
    if (name == "turnwright.convertDistance") return run_distance(document, arguments);
    if (name == "turnwright.breakCorner") return run_corner(document, arguments);
    if (name == "turnwright.writeBlocks") {
        if (arguments.size() != 1 || whole_number(first) < 0) return {{}, said("Give the line of the note.")};
        return write_blocks(document, static_cast<std::uint32_t>(whole_number(first)));
    }
    if (name == "turnwright.convertUnits") {
        if (first == "mm") return with_others(document, convert_units(document, Meaning::millimetre));
        if (first == "inch") return with_others(document, convert_units(document, Meaning::inch));
        return {{}, said("Units are inch or mm.")};
    }
    if (name == "turnwright.convertSystem") {
        if (first == "A") return with_others(document, convert_system(document, System::A));
        if (first == "B") return with_others(document, convert_system(document, System::B));
        if (first == "C") return with_others(document, convert_system(document, System::C));
        return {{}, said("Systems are A, B and C.")};
    }
    if (name == "turnwright.convertX") {
        if (first == "diameter")
            return with_others(document, convert_x_reading(document, shop::XReading::diameter));
        if (first == "radius")
            return with_others(document, convert_x_reading(document, shop::XReading::radius));
        return {{}, said("X is a diameter or a radius.")};
    }
    return {{}, said("There is no command {}.", name)};
}

} // namespace turnwright::features

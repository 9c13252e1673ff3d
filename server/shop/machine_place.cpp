#include "shop/machine_place.h"

#include "shop/reader.h"

#include <algorithm>

namespace turnwright::shop {

namespace {

std::optional<bool> counts_in_inch(const toml::table& table) {
    const auto units = table["units"].value<std::string_view>();
    if (!units || (*units != "mm" && *units != "inch")) return std::nullopt;
    return *units == "inch";
}

std::optional<MachinePlace> place_in(const toml::table& file, std::string_view text, std::size_t machine) {
    MachinePlace place;
    place.inch = counts_in_inch(file);
    const toml::node* machines = file.get("machine");
    if (!machines) {
        place.is_new_table = true;
        place.line = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
        place.byte = text.size() - (text.rfind('\n') + 1);
        return place;
    }
    const toml::array* tables = machines->as_array();
    if (!tables || machine >= tables->size()) return std::nullopt;
    const toml::table* table = (*tables)[machine].as_table();
    if (!table || table->is_inline() || table->source().begin.line == 0) return std::nullopt;
    if (table->contains("units")) place.inch = counts_in_inch(*table);
    for (const auto& [key, node] : *table) place.keys.emplace_back(key.str());
    place.line = table->source().begin.line - 1;
    std::size_t begin = 0;
    for (std::size_t i = 0; i < place.line; ++i) begin = text.find('\n', begin) + 1;
    const std::size_t end = std::min(text.find('\n', begin), text.size());
    std::string_view header = text.substr(begin, end - begin);
    if (header.ends_with('\r')) header.remove_suffix(1);
    if (header.find("[[") == std::string_view::npos) return std::nullopt;
    place.byte = header.size();
    return place;
}

} // namespace

std::optional<MachinePlace> place_in_machine(std::string_view text, std::size_t machine) {
    if (text.size() > largest_file || trouble_for_parser(text)) return std::nullopt;
    try {
        return place_in(toml::parse(text), text, machine);
    } catch (const std::exception&) { // parse_error is one
        return std::nullopt;
    }
}

} // namespace turnwright::shop

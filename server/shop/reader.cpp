// A shop file's text to a Shop. toml++ reads the syntax, the table of keys says what it means.
#include "shop/reader.h"

#include "shop/outline_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace turnwright::shop {

Positions::Positions(std::string_view text) {
    const auto continues = [](char byte) { return (static_cast<unsigned char>(byte) & 0xc0) == 0x80; };
    while (true) {
        const std::size_t end = text.find('\n');
        const std::string_view line = text.substr(0, end);
        Line& entry = lines_.emplace_back();
        entry.bytes = line.size();
        if (std::any_of(line.begin(), line.end(), continues))
            for (std::uint32_t byte = lines_.size() == 1 && line.starts_with("\xEF\xBB\xBF") ? 3 : 0;
                 byte < line.size(); ++byte) // toml++ does not count a byte-order mark
                if (!continues(line[byte])) entry.characters.push_back(byte);
        if (end == std::string_view::npos) return;
        text.remove_prefix(end + 1);
    }
}

std::size_t Positions::column(const toml::source_position& position) const {
    if (position.line == 0 || position.line > lines_.size() || position.column == 0) return 0;
    const Line& line = lines_[position.line - 1];
    const std::size_t character = position.column - 1;
    if (line.characters.empty()) return std::min(character, line.bytes);
    return character < line.characters.size() ? line.characters[character] : line.bytes;
}

Place Positions::at(const toml::source_position& position) const {
    if (position.line == 0) return {};
    const std::size_t line = std::min<std::size_t>(position.line, lines_.size()) - 1;
    return {line, column(position), 1};
}

Place Positions::at(const toml::source_region& region) const {
    Place place = at(region.begin);
    if (region.end.line != region.begin.line) return place;
    const std::size_t end = column(region.end);
    if (end > place.column) place.length = end - place.column;
    return place;
}

namespace {
void tell_unknown_key(const toml::key& key, std::string_view where, std::span<const std::string_view> known,
                      Reading& reading) {
    if (reading.problems.full()) return;
    const std::string_view near = nearest(key.str(), known);
    std::string message = fmt::format("{} has no key \"{}\".", where, key.str().substr(0, 60));
    if (!near.empty()) message += fmt::format(" Did you mean \"{}\"?", near);
    reading.problems.add(reading.positions.at(key.source()), std::move(message));
}

/// `units` of a table hold for that table only.
FileUnits units_of(const toml::table& table, FileUnits outer, Reading& reading) {
    const toml::node* node = table.get("units");
    if (!node) return outer;
    const auto value = read_value(units_key(), "units", *node, reading);
    if (!value) return FileUnits::unknown;
    return value->choice == 0 ? FileUnits::millimetre : FileUnits::inch;
}

/// The same where they have been read, and what is wrong with them was told.
FileUnits stated_units(const toml::table& table, FileUnits outer) {
    if (!table.contains("units")) return outer;
    const auto own = table["units"].value<std::string_view>();
    return own == "mm" ? FileUnits::millimetre : own == "inch" ? FileUnits::inch : FileUnits::unknown;
}

template <class Owner>
Values read_table(const toml::table& table, std::string_view name, std::span<const Row<Owner>> rows,
                  bool has_lengths, Owner& owner, Reading& outer) {
    // A table's own units hold for itself, and what is told once is told for the whole file.
    Reading reading = outer;
    if (has_lengths) reading.units = units_of(table, outer.units, outer);
    if (has_lengths && table.contains("units") && reading.units == FileUnits::unknown)
        reading.told_of_units = true;
    std::vector<std::string_view> known;
    if (has_lengths) known.push_back("units");
    for (const auto& row : rows) known.push_back(row.key.name);
    Values values;
    for (const auto& [key, node] : table) {
        const std::string_view key_name = key.str();
        if (has_lengths && key_name == "units") continue;
        const auto row = std::find_if(rows.begin(), rows.end(),
                                      [&](const Row<Owner>& each) { return each.key.name == key_name; });
        if (row == rows.end()) {
            tell_unknown_key(key, fmt::format("[{}]", name), known, reading);
            continue;
        }
        auto value = read_value(row->key, std::string(key_name), node, reading);
        if (!value) continue;
        if (row->store) row->store(owner, *value);
        values.emplace(row->key.name, std::move(*value));
    }
    if (!table.contains("units")) outer.told_of_units |= reading.told_of_units;
    apply_rules(owner, values, reading.problems);
    return values;
}

/// Calls `each(table)` for [[name]], and for [name] written by somebody who has only one.
template <class Each>
void for_each_table(const toml::table& file, std::string_view name, Reading& reading, Each each) {
    const toml::node* node = file.get(name);
    if (!node) return;
    const auto tell = [&](const toml::node& wrong) {
        reading.problems.add(reading.positions.at(wrong.source()),
                             fmt::format("{} must be a table [[{}]]; this is {} and is not used.", name, name,
                                         type_title(wrong)));
    };
    if (const auto* table = node->as_table()) return each(*table);
    const auto* list = node->as_array();
    if (!list) return tell(*node);
    for (const toml::node& entry : *list) {
        if (const auto* table = entry.as_table())
            each(*table);
        else
            tell(entry);
    }
}

template <class Owner>
void read_single(const toml::table& file, std::string_view name, std::span<const Row<Owner>> rows,
                 bool has_lengths, Owner& owner, Reading& reading) {
    const toml::node* node = file.get(name);
    if (!node) return;
    if (const auto* table = node->as_table()) {
        read_table(*table, name, rows, has_lengths, owner, reading);
        return;
    }
    reading.problems.add(
        reading.positions.at(node->source()),
        fmt::format("{} must be a table [{}]; this is {} and is not used.", name, name, type_title(*node)));
}

void read_machines(const toml::table& file, Shop& shop, std::optional<codes::System> usual,
                   Reading& reading) {
    std::set<std::string> names;
    for_each_table(file, "machine", reading, [&](const toml::table& table) {
        Machine machine;
        if (!table.contains("system")) machine.system = usual;
        const Values values = read_table(table, "machine", machine_keys(), true, machine, reading);
        if (!table.contains("system")) machine.system.reset();
        if (!machine.name.empty() && !names.insert(machine.name).second)
            reading.problems.add(
                values.at("name").place,
                fmt::format("Another machine is called \"{}\" too; a program that names it gets the "
                            "first one.",
                            machine.name));
        shop.machines.push_back(std::move(machine));
    });
    if (shop.machines.empty()) shop.machines.emplace_back();
}

/// The outline that stands in a drawing, in the units of the tool's own table.
void take_outline_file(Tool& tool, const Values& values, FileUnits units,
                       const std::filesystem::path& shop_file, Reading& reading) {
    const auto named = values.find("outline_file");
    if (named == values.end()) return;
    const Place& place = named->second.place;
    if (!tool.outline.empty()) {
        reading.problems.add(place, "outline and outline_file are both there; outline counts.");
        return;
    }
    std::string wrong;
    if (units == FileUnits::unknown)
        wrong = "the units of lengths are not stated";
    else
        tool.outline = outline_in(shop_file, named->second.text, units == FileUnits::inch ? 25.4 : 1, wrong);
    if (!wrong.empty())
        reading.problems.add(place, fmt::format("The outline in {} is not used: {}.",
                                                named->second.text.substr(0, 80), wrong));
}

void read_tools(const toml::table& file, Shop& shop, Reading& reading) {
    for_each_table(file, "tool", reading, [&](const toml::table& table) {
        Tool tool;
        const Values values = read_table(table, "tool", tool_keys(), true, tool, reading);
        if (tool.station == 0) {
            if (!table.contains("station"))
                reading.problems.add(reading.positions.at(table.source()),
                                     "This tool has no station, so no program can call it; it is not used.");
            return;
        }
        // A turret each may have one of this number.
        const auto is_same = [&](const Tool& held) {
            return held.station == tool.station && (!held.path || !tool.path || held.path == tool.path);
        };
        if (std::any_of(shop.tools.begin(), shop.tools.end(), is_same)) {
            reading.problems.add(
                values.at("station").place,
                fmt::format("Station {} is listed twice; the first tool counts.", tool.station));
            return;
        }
        take_outline_file(tool, values, stated_units(table, reading.units), shop.path, reading);
        shop.tools.push_back(std::move(tool));
    });
}

void read_checks(const toml::table& file, Shop& shop, Reading& reading) {
    const toml::node* node = file.get("checks");
    if (!node) return;
    const auto value = read_value(checks_key(), "checks", *node, reading);
    if (!value) return;
    for (const Value::Item& item : value->items) {
        shop.checks[item.text] = static_cast<Severity>(item.number);
        shop.check_places[item.text] = {item.place.line, item.place.column, item.place.length, {}};
    }
}

void read_file(const toml::table& file, Shop& shop, std::optional<codes::System> usual, Reading& reading) {
    std::vector<std::string_view> known{units_key().name, checks_key().name};
    for (const Section& section : sections()) known.push_back(section.name);
    for (const auto& [key, node] : file)
        if (std::find(known.begin(), known.end(), key.str()) == known.end())
            tell_unknown_key(key, "A shop file", known, reading);
    reading.units = units_of(file, FileUnits::unknown, reading);
    if (file.contains("units") && reading.units == FileUnits::unknown) reading.told_of_units = true;
    read_machines(file, shop, usual, reading);
    read_tools(file, shop, reading);
    read_single(file, "stock", stock_keys(), true, shop.stock, reading);
    read_single(file, "house", house_keys(), true, shop.house, reading);
    read_single(file, "format", format_keys(), false, shop.format, reading);
    read_checks(file, shop, reading);
}
} // namespace

Shop parse_shop(std::string_view text, const std::filesystem::path& path,
                std::optional<codes::System> usual) {
    Shop shop;
    shop.path = path;
    Problems problems(shop.problems);
    const auto give_up = [&](const Place& place, std::string message) {
        problems.add(place, std::move(message));
        shop.machines.emplace_back();
        return std::move(shop);
    };
    if (text.size() > largest_file)
        return give_up(
            {}, fmt::format("This file has {} bytes, and a shop file has {} at most; nothing of it is used.",
                            text.size(), largest_file));
    if (const auto trouble = trouble_for_parser(text))
        return give_up(trouble->place, std::string(trouble->message));
    const Positions positions(text);
    toml::table file;
    try {
        file = toml::parse(text);
    } catch (const toml::parse_error& error) {
        return give_up(
            positions.at(error.source().begin),
            fmt::format("This cannot be read, so nothing of the file is used: {}.", error.description()));
    } catch (const std::exception& error) {
        return give_up({},
                       fmt::format("This file cannot be read, so nothing of it is used: {}.", error.what()));
    }
    Reading reading{positions, problems};
    read_file(file, shop, usual, reading);
    std::stable_sort(shop.problems.begin(), shop.problems.end(),
                     [](const Problem& left, const Problem& right) {
                         return std::pair(left.line, left.column) < std::pair(right.line, right.column);
                     });
    return shop;
}

} // namespace turnwright::shop

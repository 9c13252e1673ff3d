// What is wrong only when several values are seen together, and reading of codes by the machine's own system.
#include "language/said.h"
#include "shop/keys.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>

namespace turnwright::shop {
namespace {
using codes::System;
constexpr System systems[] = {System::A, System::B, System::C};

/// Both go when they contradict each other: nobody can tell which one is the slip.
template <class Field>
void in_order(Field& low, Field& high, std::string_view low_name, std::string_view high_name,
              const Values& values, Problems& problems) {
    if (!low || !high || *low < *high) return;
    const auto place = values.find(high_name);
    problems.add(place == values.end() ? Place{} : place->second.place,
                 said("{} must be more than {}; neither is used.", high_name, low_name));
    low.reset();
    high.reset();
}

/// Of the first path and of the second.
void in_pairs(std::vector<std::string>& texts, std::string_view name, const Values& values,
              Problems& problems) {
    const auto value = values.find(name);
    const bool is_pair = texts.size() == 2 && !texts[0].empty() && !texts[1].empty() && texts[0] != texts[1];
    if (value == values.end() || is_pair) return;
    problems.add(value->second.place,
                 said("{} is two different texts, for the first and the second turret; it is not "
                      "used.",
                      name));
    texts.clear();
}

void read_lacks(Machine& machine, const Value& value, Problems& problems) {
    for (const Value::Item& item : value.items)
        if (const auto meaning = meaning_of(machine, item, problems)) machine.lacks.push_back(*meaning);
}

/// One that stays in force.
std::optional<codes::Meaning> power_on_meaning(const Machine& machine, const Value::Item& item,
                                               Problems& problems) {
    const auto meaning = meaning_of(machine, item, problems);
    if (!meaning || codes::group_of(*meaning) != codes::Group::one_shot) return meaning;
    problems.add(item.place, said("{} acts in one block only ({}), so it is no state after "
                                  "switching on.",
                                  item.text, codes::title(*meaning)));
    return std::nullopt;
}

void read_power_on(Machine& machine, const Value& value, Problems& problems) {
    for (const Value::Item& item : value.items) {
        const auto meaning = power_on_meaning(machine, item, problems);
        if (!meaning) continue;
        const auto same_group = [&](codes::Meaning other) {
            return codes::group_of(other) == codes::group_of(*meaning);
        };
        const auto other = std::find_if(machine.power_on.begin(), machine.power_on.end(), same_group);
        if (other == machine.power_on.end()) {
            machine.power_on.push_back(*meaning);
        } else {
            problems.add(item.place, said("{} ({}) and {} cannot both be in force after switching on; the "
                                          "first one counts.",
                                          item.text, codes::title(*meaning), codes::title(*other)));
        }
    }
}

void read_safety_line(House& house, const Value& value, Problems& problems) {
    for (const Value::Item& item : value.items) {
        const WrittenCode written = read_code(item.text);
        if (written.letter == 0) {
            problems.add(item.place,
                         said("\"{}\" is no code; write one code an entry, such as \"G40\".", item.text));
            continue;
        }
        std::string text = item.text;
        text.front() = written.letter;
        house.safety_line.push_back(std::move(text));
    }
}
} // namespace

std::optional<codes::Meaning> meaning_of(const Machine& machine, const Value::Item& item,
                                         Problems& problems) {
    const WrittenCode written = read_code(item.text);
    if (written.letter != 'G' && written.letter != 'M') {
        problems.add(item.place, said("\"{}\" is no G or M code.", item.text));
        return std::nullopt;
    }
    std::optional<codes::Meaning> meaning;
    bool first = true;
    for (System system : systems) {
        if (machine.system && *machine.system != system) continue;
        const codes::Code* code = codes::find(system, written.letter, written.number);
        const auto here = code ? std::optional(code->meaning) : std::nullopt;
        if (!first && here != meaning) {
            problems.add(item.place, said("{} means different things in systems A, B and C; state this "
                                          "machine's system first.",
                                          item.text));
            return std::nullopt;
        }
        meaning = here;
        first = false;
    }
    if (!meaning) problems.add(item.place, said("{} is no code of this machine's system.", item.text));
    return meaning;
}

WrittenCode read_code(std::string_view text) {
    if (text.size() < 2 || text.size() > 8) return {};
    const char letter = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    if (letter < 'A' || letter > 'Z') return {};
    double number = 0;
    const char* end = text.data() + text.size();
    if (!std::isdigit(static_cast<unsigned char>(text[1]))) return {};
    const auto result = std::from_chars(text.data() + 1, end, number, std::chars_format::fixed);
    if (result.ec != std::errc() || result.ptr != end) return {};
    return {letter, number};
}

namespace {

/// Twice the area of a triangle, with the sign of its turn.
double turn(const OutlinePoint& a, const OutlinePoint& b, const OutlinePoint& c) {
    return (b.z_mm - a.z_mm) * (c.x_mm - a.x_mm) - (b.x_mm - a.x_mm) * (c.z_mm - a.z_mm);
}

} // namespace

bool crosses_itself(const std::vector<OutlinePoint>& outline) {
    const std::size_t size = outline.size();
    for (std::size_t i = 0; i < size; ++i)
        for (std::size_t j = i + 2; j < size; ++j) {
            if (i == 0 && j == size - 1) continue; // They meet in the first point
            const OutlinePoint &a = outline[i], &b = outline[i + 1];
            const OutlinePoint &c = outline[j], &d = outline[(j + 1) % size];
            if (turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0) return true;
        }
    return false;
}

namespace {

void drop_crossed(std::vector<OutlinePoint>& outline, std::string_view name, const Values& values,
                  Problems& problems) {
    if (!crosses_itself(outline)) return;
    problems.add(values.at(name).place,
                 said("The outline crosses itself: write its points in the order round it. It is not used."));
    outline.clear();
}

} // namespace

void apply_rules(Machine& machine, const Values& values, Problems& problems) {
    if (const auto value = values.find("power_on"); value != values.end())
        read_power_on(machine, value->second, problems);
    if (const auto value = values.find("lacks"); value != values.end())
        read_lacks(machine, value->second, problems);
    for (const auto& [key, letter] : {std::pair("m_codes", 'M'), std::pair("g_codes", 'G')})
        if (const auto value = values.find(key); value != values.end())
            read_effects(machine, letter, value->second, problems);
    in_order(machine.min_rpm, machine.max_rpm, "min_rpm", "max_rpm", values, problems);
    in_order(machine.travel_x_min_mm, machine.travel_x_max_mm, "travel_x_min", "travel_x_max", values,
             problems);
    in_order(machine.travel_z_min_mm, machine.travel_z_max_mm, "travel_z_min", "travel_z_max", values,
             problems);
    in_pairs(machine.path_marks, "path_marks", values, problems);
    in_pairs(machine.path_endings, "path_endings", values, problems);
    in_pairs(machine.path_folders, "path_folders", values, problems);
    drop_crossed(machine.turret_outline, "turret_outline", values, problems);
    const auto power =
        std::find_if(machine.power_on.begin(), machine.power_on.end(),
                     [](codes::Meaning meaning) { return codes::group_of(meaning) == codes::Group::units; });
    if (power == machine.power_on.end()) return;
    if (machine.units && *machine.units != *power) {
        problems.add(values.at("power_on").place,
                     said("power_on says {} and power_on_units says {}; neither is used.",
                          codes::title(*power), codes::title(*machine.units)));
        machine.units.reset();
        machine.power_on.erase(power);
    } else {
        machine.units = *power;
    }
}

void apply_rules(Tool& tool, const Values& values, Problems& problems) {
    drop_crossed(tool.outline, "outline", values, problems);
}

void apply_rules(Stock& stock, const Values& values, Problems& problems) {
    in_order(stock.bore_mm, stock.diameter_mm, "bore", "diameter", values, problems);
    in_order(stock.back_z_mm, stock.front_z_mm, "back_z", "front_z", values, problems);
}

void apply_rules(House& house, const Values& values, Problems& problems) {
    if (const auto value = values.find("safety_line"); value != values.end())
        read_safety_line(house, value->second, problems);
    for (std::string& ending : house.endings) {
        for (char& c : ending) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        if (!ending.starts_with('.')) ending.insert(0, ".");
    }
    in_order(house.second_approach_mm, house.first_approach_mm, "second_approach", "first_approach", values,
             problems);
}

void Problems::add(const Place& place, std::string message) {
    if (list_.size() < most_problems)
        list_.push_back({place.line, place.column, place.length, std::move(message)});
}

} // namespace turnwright::shop

// One value by its key: right type, in range, lengths in mm.
#include "language/said.h"
#include "shop/reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

namespace turnwright::shop {
namespace {
constexpr double mm_per_inch = 25.4;
/// No holder needs more, and every move is looked at with each.
constexpr std::size_t most_outline_points = 100;
constexpr int most_codes_in_range = 1000;

std::optional<Value> wrong_type(const Key& key, const std::string& name, const toml::node& node,
                                Reading& reading) {
    reading.problems.add(
        reading.positions.at(node.source()),
        said("{} must be {}; this is {} and is not used.", name, kind_title(key), type_title(node)));
    return std::nullopt;
}

bool in_range(const Key& key, double value) {
    const Range& range = key.range;
    if (!std::isfinite(value)) return false;
    return value <= range.most && (range.above_least ? value > range.least : value >= range.least);
}

/// What a number is multiplied by; nullopt: the file does not say its units.
std::optional<double> factor_of(const Key& key, const Place& place, Reading& reading) {
    if (!follows_units(key.unit)) return 1;
    if (reading.units == FileUnits::inch) return mm_per_inch;
    if (reading.units != FileUnits::unknown) return 1;
    if (!reading.told_of_units)
        reading.problems.add(
            place, said("The file does not say its units: write units = \"mm\" or units = \"inch\" at "
                        "the top. No length in it is used until then."));
    reading.told_of_units = true;
    return std::nullopt;
}

std::optional<Value> read_number(const Key& key, const std::string& name, const toml::node& node,
                                 Reading& reading) {
    const auto number = node.value<double>();
    if (!node.is_number() || !number) return wrong_type(key, name, node, reading);
    Value value;
    value.place = reading.positions.at(node.source());
    value.number = *number;
    if (key.kind == Kind::whole && !node.is_integer()) return wrong_type(key, name, node, reading);
    const auto factor = factor_of(key, value.place, reading);
    if (!factor) return std::nullopt;
    value.number *= *factor;
    if (in_range(key, value.number)) return value;
    reading.problems.add(value.place, said("{} must be {}; {} is not used.", name, kind_title(key), *number));
    return std::nullopt;
}

std::optional<int> choice_of(const Key& key, const std::string& name, const toml::node& node,
                             Reading& reading) {
    const auto* text = node.as_string();
    if (!text) {
        wrong_type(key, name, node, reading);
        return std::nullopt;
    }
    const auto found = std::find(key.choices.begin(), key.choices.end(), std::string_view(text->get()));
    if (found != key.choices.end()) return static_cast<int>(found - key.choices.begin());
    if (reading.problems.full()) return std::nullopt;
    const std::string_view near = nearest(text->get(), key.choices);
    std::string message = said("{} cannot be \"{}\".", name, text->get().substr(0, 60));
    // Of single letters any is as near as any other.
    if (near.size() > 1) message += said(" Did you mean \"{}\"?", near);
    std::string all;
    for (std::string_view choice : key.choices)
        all += fmt::format("{}\"{}\"", all.empty() ? "" : ", ", choice);
    reading.problems.add(reading.positions.at(node.source()), message + said(" It is one of ") + all + ".");
    return std::nullopt;
}

std::optional<Value> read_choice(const Key& key, const std::string& name, const toml::node& node,
                                 Reading& reading) {
    const auto choice = choice_of(key, name, node, reading);
    if (!choice) return std::nullopt;
    Value value;
    value.place = reading.positions.at(node.source());
    value.choice = *choice;
    return value;
}

/// Entries that cannot be read are told and left out; the others count.
std::optional<Value> read_list(const Key& key, const std::string& name, const toml::node& node,
                               Reading& reading) {
    const auto* list = node.as_array();
    if (!list) return wrong_type(key, name, node, reading);
    Value value;
    value.place = reading.positions.at(node.source());
    for (const toml::node& entry : *list) {
        Value::Item item;
        item.place = reading.positions.at(entry.source());
        if (key.kind == Kind::texts && entry.is_string()) {
            item.text = entry.as_string()->get();
        } else if (key.kind == Kind::wholes && entry.is_integer() &&
                   in_range(key, static_cast<double>(entry.as_integer()->get()))) {
            item.number = static_cast<int>(entry.as_integer()->get());
        } else {
            reading.problems.add(item.place,
                                 said("{} must be {}; this entry is not used.", name, kind_title(key)));
            continue;
        }
        value.items.push_back(std::move(item));
    }
    return value;
}

/// An outline is used whole or not at all: with a point less it is another one.
std::optional<Value> read_points(const Key& key, const std::string& name, const toml::node& node,
                                 Reading& reading) {
    const auto* list = node.as_array();
    if (!list) return wrong_type(key, name, node, reading);
    Value value;
    value.place = reading.positions.at(node.source());
    const auto factor = factor_of(key, value.place, reading);
    if (!factor) return std::nullopt;
    for (const toml::node& entry : *list) {
        const auto* pair = entry.as_array();
        const bool upright = pair && pair->size() == 2 && (*pair)[0].is_number() && (*pair)[1].is_number();
        const double x = upright ? *(*pair)[0].value<double>() * *factor : NAN;
        const double z = upright ? *(*pair)[1].value<double>() * *factor : NAN;
        if (!in_range(key, x) || !in_range(key, z)) {
            reading.problems.add(reading.positions.at(entry.source()),
                                 said("Each point of {} must be [x, z]; it is not used.", name));
            return std::nullopt;
        }
        value.points.emplace_back(x, z);
    }
    if (value.points.size() >= 3 && value.points.size() <= most_outline_points) return value;
    reading.problems.add(value.place,
                         said("{} must have 3 to {} points; it is not used.", name, most_outline_points));
    return std::nullopt;
}

/// M21, m21 or 21: the number, when the letter is the table's own.
std::optional<int> code_number(const Key& key, std::string_view name) {
    const char letter = letter_of(key);
    std::string text(name);
    if (!text.empty() && text.front() >= '0' && text.front() <= '9') text.insert(text.begin(), letter);
    const WrittenCode code = read_code(text);
    if (code.letter != letter || code.number != std::floor(code.number) || !in_range(key, code.number))
        return std::nullopt;
    return static_cast<int>(code.number);
}

/// "M60-M69": the first and the last.
std::optional<std::pair<int, int>> code_range(const Key& key, std::string_view name) {
    const std::size_t dash = name.find('-');
    const auto first = code_number(key, name.substr(0, dash));
    const auto last = dash == std::string_view::npos ? first : code_number(key, name.substr(dash + 1));
    if (!first || !last || *last < *first || *last - *first >= most_codes_in_range) return std::nullopt;
    return std::pair(*first, *last);
}

/// Text is its name; a table may say what it does, too.
std::optional<Value::Item> read_code_entry(std::string_view code, const toml::node& entry, Reading& reading) {
    Value::Item item;
    if (entry.is_string()) {
        item.text = entry.as_string()->get();
        return item;
    }
    const auto* table = entry.as_table();
    if (!table) {
        reading.problems.add(
            reading.positions.at(entry.source()),
            said("The name of {} must be text; this is {} and is not used.", code, type_title(entry)));
        return std::nullopt;
    }
    static constexpr std::pair<std::string_view, std::string Value::Item::*> fields[] = {
        {"name", &Value::Item::text}, {"does", &Value::Item::does}, {"calls", &Value::Item::calls}};
    static constexpr std::string_view names[] = {"name", "does", "calls"};
    for (const auto& [key, node] : *table) {
        const auto* field = std::find_if(std::begin(fields), std::end(fields),
                                         [name = key.str()](const auto& some) { return some.first == name; });
        const Place place = reading.positions.at(key.source());
        if (field == std::end(fields)) {
            const std::string_view near = nearest(key.str(), names);
            reading.problems.add(place,
                                 said("A code has no key \"{}\"; it has name, does and calls.{}",
                                      key.str().substr(0, 60),
                                      near.empty() ? std::string() : said(" Did you mean \"{}\"?", near)));
        } else if (!node.is_string()) {
            reading.problems.add(reading.positions.at(node.source()),
                                 said("{} of {} must be text; this is {} and is not used.", key.str(), code,
                                      type_title(node)));
        } else {
            item.*field->second = node.as_string()->get();
        }
    }
    if (item.text.empty()) item.text = item.does.empty() ? item.calls : item.does;
    return item;
}

std::optional<Value> read_code_names(const Key& key, const std::string& name, const toml::node& node,
                                     Reading& reading) {
    const auto* table = node.as_table();
    if (!table) return wrong_type(key, name, node, reading);
    Value value;
    value.place = reading.positions.at(node.source());
    std::set<int> seen;
    for (const auto& [code, entry] : *table) {
        const auto range = code_range(key, code.str());
        const Place place = reading.positions.at(code.source());
        if (!range) {
            reading.problems.add(place, said("\"{0}\" is no whole {1} code; write one such as {1}21, or a "
                                             "range of {2} at most such as \"{1}60-{1}69\".",
                                             code.str().substr(0, 60), letter_of(key), most_codes_in_range));
        } else if (auto item = read_code_entry(code.str(), entry, reading)) {
            item->place = place;
            bool told = false;
            for (int number = range->first; number <= range->second; ++number) {
                if (seen.insert(number).second) {
                    item->number = number;
                    value.items.push_back(*item);
                } else if (!std::exchange(told, true)) {
                    reading.problems.add(place, said("{} is named twice; only one of the names is used.",
                                                     range->first == range->second
                                                         ? std::string(code.str())
                                                         : fmt::format("{}{}", letter_of(key), number)));
                }
            }
        }
    }
    return value;
}

/// text: check id, number: index of the severity.
std::optional<Value> read_severities(const Key& key, const std::string& name, const toml::node& node,
                                     Reading& reading) {
    const auto* table = node.as_table();
    if (!table) return wrong_type(key, name, node, reading);
    Value value;
    value.place = reading.positions.at(node.source());
    for (const auto& [id, entry] : *table)
        if (const auto choice = choice_of(key, std::string(id.str()), entry, reading))
            value.items.push_back({std::string(id.str()), *choice, reading.positions.at(id.source())});
    return value;
}
} // namespace

std::string_view type_title(const toml::node& node) {
    switch (node.type()) {
    case toml::node_type::table:
        return said("a table");
    case toml::node_type::array:
        return said("a list");
    case toml::node_type::string:
        return "text";
    case toml::node_type::integer:
        return said("a whole number");
    case toml::node_type::floating_point:
        return said("a number");
    case toml::node_type::boolean:
        return said("true or false");
    default:
        return said("a date or time");
    }
}

std::optional<Value> read_value(const Key& key, const std::string& name, const toml::node& node,
                                Reading& reading) {
    switch (key.kind) {
    case Kind::number:
    case Kind::whole:
        return read_number(key, name, node, reading);
    case Kind::choice:
        return read_choice(key, name, node, reading);
    case Kind::texts:
    case Kind::wholes:
        return read_list(key, name, node, reading);
    case Kind::points:
        return read_points(key, name, node, reading);
    case Kind::code_names:
        return read_code_names(key, name, node, reading);
    case Kind::severities:
        return read_severities(key, name, node, reading);
    case Kind::yes_no:
    case Kind::text:
        break;
    }
    Value value;
    value.place = reading.positions.at(node.source());
    if (key.kind == Kind::text && node.is_string()) {
        value.text = node.as_string()->get();
    } else if (key.kind == Kind::yes_no && node.is_boolean()) {
        value.yes = node.as_boolean()->get();
    } else {
        return wrong_type(key, name, node, reading);
    }
    return value;
}

} // namespace turnwright::shop

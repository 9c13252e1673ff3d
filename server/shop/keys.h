// The table of keys: everything a shop file may say. The reader, the schema and the page are driven by it.
#pragma once

#include "language/language.h"
#include "shop/shop.h"

#include <limits>
#include <span>

namespace turnwright::shop {

enum class Kind : std::uint8_t {
    text,
    number,
    whole,
    yes_no,
    choice,
    texts,      ///< List of text
    wholes,     ///< List of whole numbers
    points,     ///< List of pairs of numbers, an outline
    code_names, ///< Table: M21 = "C axis on", M13 = { name = ..., does = ..., calls = ... }
    severities, ///< Table: check id = severity
};

/// What a number counts, and by what it is turned into mm.
enum class Unit : std::uint8_t {
    none,
    length,
    feed_per_minute,
    feed_per_rev,
    rpm,
    rpm_per_second,
    seconds,
    degrees,
    kilowatt,
    newton_metre,
    millimetre, ///< mm whatever the file's units
    inch,       ///< inch whatever the file's units
};
constexpr bool follows_units(Unit unit) {
    return unit == Unit::length || unit == Unit::feed_per_minute || unit == Unit::feed_per_rev;
}
std::string_view unit_title(Unit unit);

/// Allowed values after conversion to mm.
struct Range {
    double least = -1e6;
    double most = 1e6;
    bool above_least = false; ///< `least` itself is not allowed
};

struct Key {
    std::string_view name;
    Kind kind = Kind::text;
    Unit unit = Unit::none;
    Range range;
    std::span<const std::string_view> choices;
    TableText text; ///< For people: what it is, one or two sentences
};

struct Place {
    std::size_t line = 0, column = 0, length = 1;
    bool operator==(const Place&) const = default;
};

/// What was read for one key: only the part that its kind fills.
struct Value {
    struct Item {
        std::string text;
        int number = 0;
        Place place;
        std::string does{}, calls{}; ///< Of a code; empty: not said
    };
    Place place;
    std::string text;
    double number = 0;
    bool yes = false;
    int choice = 0; ///< Index into the key's choices
    std::vector<Item> items;
    std::vector<std::pair<double, double>> points;
};
using Values = std::map<std::string_view, Value>;

template <class Owner>
struct Row {
    Key key;
    void (*store)(Owner&, const Value&); ///< nullptr: the rules read it from the values
};

std::span<const Row<Machine>> machine_keys();
std::span<const Row<Tool>> tool_keys();
std::span<const Row<Stock>> stock_keys();
std::span<const Row<House>> house_keys();
std::span<const Row<Format>> format_keys();
const Key& units_key();  ///< `units` at the top and in each table that holds lengths
const Key& checks_key(); ///< `[checks]`

/// A table of the file, for the schema and the page.
struct Section {
    std::string_view name;
    bool repeats;     ///< [[machine]]
    bool has_lengths; ///< May hold `units`
    std::string_view text;
    std::vector<const Key*> keys;
};
std::vector<Section> sections();

/// Of the codes that a table names.
inline char letter_of(const Key& key) {
    return key.name.front() == 'm' ? 'M' : 'G';
}
/// "a length from 0 to 100 mm", "one of a, b".
std::string kind_title(const Key& key);

/// Problems of one file, in the order found, with the number bounded.
class Problems {
public:
    explicit Problems(std::vector<Problem>& list) : list_(list) {}
    void add(const Place& place, std::string message);
    /// Nothing more is taken, so nobody need think of words for it.
    bool full() const { return list_.size() >= most_problems; }

private:
    std::vector<Problem>& list_;
};

/// The meaning of a code, when it is one and is the same in every system that may be meant; else it is told.
std::optional<codes::Meaning> meaning_of(const Machine& machine, const Value::Item& item, Problems& problems);
/// What the codes of a table do: those that say so go into `machine.effects`.
void read_effects(Machine& machine, char letter, const Value& codes, Problems& problems);

/// What can only be judged with several values together. A value that loses is reset to unknown.
void apply_rules(Machine& machine, const Values& values, Problems& problems);
void apply_rules(Stock& stock, const Values& values, Problems& problems);
void apply_rules(House& house, const Values& values, Problems& problems);
void apply_rules(Tool& tool, const Values& values, Problems& problems);
inline void apply_rules(Format&, const Values&, Problems&) {}

/// Whether two edges of a closed outline cross.
bool crosses_itself(const std::vector<OutlinePoint>& outline);

/// A code as people write it ("g01", "G54.1"). `number` is negative when it is none.
struct WrittenCode {
    char letter = 0;
    double number = -1;
};
WrittenCode read_code(std::string_view text);

/// The nearest of `known` to what was written, or empty when nothing is near.
std::string_view nearest(std::string_view written, std::span<const std::string_view> known);

} // namespace turnwright::shop

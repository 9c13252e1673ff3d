// What is taken for granted in a program, with its reason, and how it is written into the program.
#pragma once

#include "features/warnings.h"

#include <functional>
#include <initializer_list>
#include <span>

namespace turnwright::features {

/// One part that the program hangs on and that neither it nor a file beside it states.
struct AssumedHere {
    std::string name;        ///< "units"
    std::string value;       ///< "inch"; "not known" where the signs speak against each other
    std::string reason;      ///< "by its feeds: F.005 in line 12"
    std::string code;        ///< What states it: "G20"; empty: no code does
    bool by_program = false; ///< Not the same for every program, though no code states it
    /// What is told of it where all stands in one line: "X as a diameter". Empty: its value with its reason.
    std::string brief{};
    /// Stated by an action of its own alone: what is in force at the machine may be another.
    bool stated_alone = false;
    bool is_untold = false; ///< Not known, for nothing in the program tells
    /// What it may be otherwise, where its signs may mislead: "G21" and "millimetre". Both where they speak
    /// against each other.
    struct Other {
        std::string code, value;
    };
    std::vector<Other> others{};
    bool by_moves = false; ///< Of tools and stock: no note tells it
};
std::vector<AssumedHere> assumed_here(const Document& document);
/// Stock and tools by the program's notes, where neither a file nor a stock note tells them.
std::vector<AssumedHere> noted_here(const Document& document);
/// What is assumed of stock and tools: noted_here(), or what reads their moves too.
using SetupHere = std::function<std::vector<AssumedHere>(const Document&)>;
/// "units: inch, by its feeds: F.005 in line 12"
std::string assumed_line(const AssumedHere& assumed);
/// All of them in one line, with what is assumed of stock and tools: "inch (its feeds), feed per revolution
/// (its feeds)"; empty when there are none.
std::string assumed_in_short(const Document& document, std::span<const AssumedHere> setup);
std::string assumed_in_short(const Document& document); ///< With noted_here()
/// X is read as a diameter, and no file beside the program and no sign in it says so.
bool is_diameter_assumed(const Document& document);

/// Where blocks hang on it and none states it; nullopt, too, where nothing is assumed.
std::optional<codes::Meaning> assumed_unit(const Document& document);

/// " (assumed: inch by its feeds)" for those of the groups that are; empty when none is.
std::string assumed_words(const machine::State& state, std::initializer_list<codes::Group> groups,
                          const machine::Settings& settings);

/// The same of a length: its unit, what X is, and how a number without a point is read.
std::string assumed_of_length(const machine::State& state, const Document& document, bool along_x,
                              bool without_point);

/// One assumption as a key of a machine in the shop file.
struct ShopEntry {
    std::string key;      ///< "rapid_x"
    std::string mm, inch; ///< Its value, where lengths are in these: "12000", "472.44"
    std::string comment;  ///< "mm a minute"; of mm and inch alike where it names no unit
    std::string group; ///< What it says, in a title: "rapid rates and tool change"; empty: nobody assumed it
};
/// What is assumed and a shop file can tell, but for what codes of the program state; empty when it tells
/// all.
std::vector<ShopEntry> assumed_shop_entries(const Document& document);

/// A length without a point whose reading nothing tells: "X5", and its line from 0.
struct OpenLength {
    std::string text;
    std::size_t line = 0;
};
std::optional<OpenLength> first_open_length(const Document& document);

/// Actions at the head of the program that state there what is assumed, or overrule it.
void add_stating_actions(const Document& document, Range range, std::vector<CodeAction>& actions);

} // namespace turnwright::features

// A shop file learnt from the programs of a shop: what they have in common, each with its count.
//
// What is learnt is no fact about the machine until a person has read it: where programs differ, and where
// an entry would draw warnings that they do not draw without it, the entry is a comment.
#pragma once

#include "features/document.h"

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::report {

struct ProgramText {
    std::filesystem::path path;
    std::string name; ///< For people: seen from the folder
    std::string text;
};
inline constexpr std::size_t most_learnt_from = 2000;

struct LearntShop {
    std::string text;             ///< The whole shop file; empty when no program could be read
    std::size_t programs = 0;     ///< Read
    std::size_t left_out = 0;     ///< No programs, or more than `most_learnt_from`
    std::size_t active = 0;       ///< Entries that count as they stand
    std::size_t commented = 0;    ///< Entries left to a person
    std::vector<std::string> top; ///< The three most useful questions
};
/// `shop_file`: where it will stand. Each program is read with no shop file.
LearntShop learn_shop(const std::vector<ProgramText>& programs, const std::filesystem::path& shop_file,
                      const std::shared_ptr<const machine::ProgramLibrary>& library);

/// Lines taken out (-) and put in (+) with some around them; empty when the texts are the same.
std::string line_changes(std::string_view before, std::string_view after);

// --- Between the parts of it -----------------------------------------------------------------------------

struct Habit {
    std::size_t with = 0, total = 0;
    void add(bool keeps) {
        ++total;
        if (keeps) ++with;
    }
    /// Nearly always, nearly never, or nothing that would be a habit.
    std::optional<bool> kept() const;
};
struct StationShown {
    std::set<std::string> kinds; ///< Words of the shop file
    std::set<double> diameters_mm, nose_radii_mm, widths_mm, point_angles_deg;
    std::string note;
    std::set<int> offsets;
    bool compensated = false; ///< Cuts with nose radius compensation
};
/// What one program shows.
struct ProgramShows {
    std::string name;
    std::optional<codes::System> system;
    bool states_mm = false, states_inch = false, moves_without_units = false, feed_mode_open = false;
    bool surface_speed = false, own_time = false;
    /// Of what it states nowhere, by its own signs; none where they speak against each other.
    std::optional<codes::Meaning> assumed_unit, assumed_feed_mode;
    std::set<int> tool_digits;
    Habit optional_stop, number_is_tool, two_steps, sequence_note, machine_return, coolant_first;
    std::vector<std::string> safety_line;
    std::set<double> speed_limits;
    std::optional<double> first_approach_mm, second_approach_mm;
    std::uint64_t without_point = 0;
    std::map<int, StationShown> stations;
    std::map<std::pair<char, int>, std::string> own_codes; ///< Of the machine's builder: what a note says
};
ProgramShows shown_by(const features::Document& document, std::string name);

/// One line of the file.
struct LearntEntry {
    std::string section; ///< "", "machine", "machine.m_codes", "tool 5", "house"
    std::string key, value;
    std::string why; ///< Behind it, as a comment
    bool active = false;
};
struct ShopQuestion {
    std::size_t programs = 0; ///< It would help
    std::string text;
};
struct LearntParts {
    std::vector<LearntEntry> entries;
    std::vector<ShopQuestion> questions; ///< The most useful first
};
LearntParts learnt_from(const std::vector<ProgramShows>& programs);
std::string shop_file_text(const LearntParts& parts, std::size_t programs);

} // namespace turnwright::report

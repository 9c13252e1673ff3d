// Inside the report room: a program as the row of things the machine does, for comparing two of them.
#pragma once

#include "report/report.h"
#include "report/walk.h"

#include <array>
#include <string>
#include <vector>

namespace turnwright::report {

/// What a setting is about; from `first_group` on the place in `compared_groups`.
enum Subject : std::uint8_t { tool, spindle, speed_limit, feed, first_group };
inline constexpr codes::Group compared_groups[] = {codes::Group::plane,
                                                   codes::Group::nose_compensation,
                                                   codes::Group::datum,
                                                   codes::Group::path_mode,
                                                   codes::Group::opposed_turret,
                                                   codes::Group::travel_check,
                                                   codes::Group::speed_check,
                                                   codes::Group::polar,
                                                   codes::Group::spindle_direction,
                                                   codes::Group::coolant,
                                                   codes::Group::chuck,
                                                   codes::Group::quill,
                                                   codes::Group::catcher,
                                                   codes::Group::steady,
                                                   codes::Group::door,
                                                   codes::Group::second_chuck,
                                                   codes::Group::c_axis,
                                                   codes::Group::c_brake,
                                                   codes::Group::live_tool,
                                                   codes::Group::spindles_together,
                                                   codes::Group::spoken_to};

/// One thing the machine does, or one thing that is otherwise from here on.
struct Action {
    enum class Kind : std::uint8_t {
        rapid,
        line,
        arc,
        thread,
        dwell,
        setting,
        as_written,
        cycle ///< What a cycle or a block of a contour is told with; its moves follow
    } kind = Kind::setting;
    int block_delete = 0; ///< Its level; 0: none
    std::uint8_t subject =
        0; ///< Which setting; cycle: 0 its call, 1 its first line of two, 2 a block of a contour
    std::size_t line = 0; ///< From 0
    /// cycle: its meaning, and of a contour's block the end. Moves: end X radius, end Z, middle X radius,
    /// middle Z, lead, seconds. Settings: their numbers.
    std::array<double, 6> numbers{};
    std::string
        words; ///< Compared too; as_written: the block without N, notes and blanks, or one word's name
    std::string shown;          ///< Of as_written and cycle, where it is not `words`
    std::vector<double> values; ///< Of as_written and cycle
};
/// How far apart two numbers of actions may be and still be the same.
struct Nearness {
    double x_mm = 0.00026, z_mm = 0.00051;
};
bool same_action(const Action& a, const Action& b, Nearness nearness);
/// "feed line to X45. Z-58."
std::string action_text(const Action& action, const features::Document& document, LengthUnit unit);

struct ActionSpan {
    std::string name, note, tool; ///< tool: "T3 offset 3", what sequences are matched by
    std::size_t first_line = 0;   ///< From 0
    bool in_subprogram = false;
    bool stands_apart = false; ///< In a subprogram that no call reached
    motion::Totals totals;
    std::vector<Action> actions;
};
struct Course {
    std::vector<ActionSpan> spans;
    motion::Totals totals;
    std::size_t as_written = 0;   ///< Blocks whose moves are not known, compared by their words
    std::string first_as_written; ///< "line 22 (G65 P9010)"
    std::size_t moves_without_unit = 0;
    bool calls_lost = false; ///< Programs are called whose way is not known
    LengthUnit unit = LengthUnit::unknown;
};
/// "; G71 in line 10 and G70 in line 21 follow it"; empty where no cycle does.
std::string followers_text(const Change& change);
Course course_of(const features::Document& document);
Gathering<Course> gather_course(const features::Document& document);

/// Pairs of indices that belong together in two rows, in order; a longest common row when it is found within
/// `most_steps` differences, else what begins and ends alike.
std::vector<std::pair<std::size_t, std::size_t>>
common_row(std::size_t old_size, std::size_t new_size,
           const std::function<bool(std::size_t, std::size_t)>& same, std::size_t most_steps = 1500);

} // namespace turnwright::report

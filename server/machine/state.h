// The control's state: known, assumed, one of a few, unknown with the reason.
//
// Lengths are in program units, the unit that G20/G21 (or the power-on state) has in force; X is kept as a
// radius. So a program whose unit is not stated can still be followed, and shows its own numbers.
#pragma once

#include "codes/codes.h"
#include "machine/spindle.h"
#include "machine/variables.h"

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>

namespace turnwright::machine {

/// Everything a block can read or set, as a bit each. The first group_count bits are the modal groups.
enum class Part : std::uint8_t {
    first_value = codes::group_count,
    feed = first_value,
    speed,
    speed_limit,
    tool,
    offset,
    x,
    z,
    y,
    c,
    cycle_words,
    variables,
    cylinder,
    count_,
};
using Parts = std::uint64_t;
constexpr Parts part(codes::Group group) {
    return Parts{1} << static_cast<int>(group);
}
constexpr Parts part(Part p) {
    return Parts{1} << static_cast<int>(p);
}
static_assert(static_cast<int>(Part::count_) <= 64);
/// "feed mode", "speed limit", "X position": lower case, fits in a sentence.
std::string_view part_title(int bit);

struct State;

/// The contour blocks of a roughing cycle stand after its call and are not run in passing.
struct Contour {
    enum class Stage : std::uint8_t { none, armed, inside } stage = Stage::none;
    std::int32_t first_label = 0;
    std::int32_t last_label = 0;
    std::shared_ptr<const State> around; ///< Holds again behind the contour; set inside it
    bool operator==(const Contour& other) const;
};

struct DeletedBlocks;

/// Modes that a program may be read without: what it does not state is assumed or said as not known.
constexpr codes::Group assumable_groups[] = {codes::Group::units,        codes::Group::feed_mode,
                                             codes::Group::spindle_mode, codes::Group::distance,
                                             codes::Group::plane,        codes::Group::datum};

struct State {
    std::array<Modal, codes::group_count> modal{};
    Value feed;                        ///< F as written, in program units by feed_set_under
    Value speed;                       ///< S as written: rpm, or m/min / ft/min under surface speed
    Value speed_limit;                 ///< rpm
    Value tool;                        ///< Station
    Value offset;                      ///< Offset number; 0: cancelled
    Value x_radius, z, y, c;           ///< Position in the datum in force, program units, degrees
    Value machine_x_radius, machine_z; ///< Position in the machine datum, program units
    Value cycle_x_radius, cycle_z, cycle_r, cycle_q, cycle_p; ///< Words a modal cycle repeats with
    Value cylinder_radius;     ///< Z and C are laid out on it; never set or 0: they are not
    Value modal_program;       ///< O number that G66 runs behind every move
    Variables modal_arguments; ///< Its local variables
    bool at_reference_x = false, at_reference_z = false;
    bool reachable = true; ///< False after an end or a jump, until a label that something jumps to
    bool ended = false;    ///< Behind M02, M30, M99 or the closing %, until the next program
    Contour contour;
    /// Those that S does not speak to now; null: none but the main one was ever spoken to.
    std::shared_ptr<const MoreSpindles> spindles;
    std::shared_ptr<const DeletedBlocks> deleted; ///< Behind a block with a block delete; null elsewhere
    Variables variables;

    const Modal& of(codes::Group group) const { return modal[static_cast<std::size_t>(group)]; }
    Modal& of(codes::Group group) { return modal[static_cast<std::size_t>(group)]; }
    bool is(codes::Meaning meaning) const { return of(codes::group_of(meaning)).is(meaning); }
    bool may_be(codes::Meaning meaning) const { return of(codes::group_of(meaning)).may_be(meaning); }
    void leave_assumed_out();
    Parts unstated() const; ///< Of the assumable modes those that nothing above has stated
    /// Of these modes and the spindle's values those that are assumed behind a program out of sight.
    Parts kept_assumed() const;
    /// Whose mode, direction, speed and limit stand in the state: the one that S, M03 and G96 speak to.
    /// nullopt: not known.
    std::optional<Spindle> spoken_to() const;
    bool speaks_to_main() const { return spoken_to() == Spindle::main; }
    SpindleState spindle(Spindle which) const;
    /// The main or the second one, which S speaks to when no live tool is on.
    Spindle turning_spindle() const { return spindles ? spindles->turning : Spindle::main; }
    bool is_axis() const; ///< A spindle is engaged as C, for certain
    /// Behind this, for certain, the part does not turn: it is an axis, or its spindle is stopped.
    bool part_stands() const;
    /// X and C are a plane, or Z and C are laid out on a cylinder: for certain.
    bool is_laid_out() const {
        return is(codes::Meaning::polar_on) || (cylinder_radius.known() && cylinder_radius.number != 0);
    }
    void set_spindle(Spindle which, const SpindleState& to);
    /// From here on S, M03 and G96 speak to another one.
    void speak_to(Spindle which);
    void set(codes::Meaning meaning) { of(codes::group_of(meaning)) = Modal::of(meaning); }
    Value variable(int number) const { return variables.value(number); }
    void set_variable(int number, Value value) { variables.set(number, value); }
    bool operator==(const State& other) const;
};

/// Blocks with a block delete of one level that stand together: the switch on the panel leaves out all of
/// them or none.
struct DeletedBlocks {
    int level = 1;
    State left_out, read; ///< Behind the last of them, with all left out or all read
    bool operator==(const DeletedBlocks&) const = default;
};

/// Nothing known, for the reason given.
State unknown_state(Why why);
/// What holds where two ways meet. An unreachable state adds nothing.
State join(const State& a, const State& b);

} // namespace turnwright::machine

// The control's state: known, assumed, one of a few, unknown with the reason.
//
// Lengths are in program units, the unit that G20/G21 (or the power-on state) has in force; X is kept as a
// radius. So a program whose unit is not stated can still be followed, and shows its own numbers.
#pragma once

#include "codes/codes.h"
#include "machine/value.h"
#include "machine/variables.h"

#include <array>
#include <bit>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>

namespace turnwright::machine {

/// The members of one modal group that can be in force; bit i is member i. Assumed: it has members, and `why`
/// still says why they are not stated.
struct Modal {
    std::uint16_t possible = 0; ///< 0: any or none
    Why why = Why::never_set;   ///< `known`: stated by the program or the shop file

    static Modal of(codes::Meaning meaning) {
        return {static_cast<std::uint16_t>(1u << codes::member_of(meaning)), Why::known};
    }
    static Modal unknown(Why why) { return {0, why}; }
    static Modal assumed(codes::Meaning meaning) { return {of(meaning).possible, Why::never_set}; }
    /// Stated or assumed.
    bool known() const { return std::has_single_bit(possible); }
    bool is_assumed() const { return possible != 0 && why != Why::known; }
    /// The same with no assumption.
    Modal stated() const { return why == Why::known ? *this : unknown(why); }
    /// Nothing could have set it, on any way to here.
    bool surely_unset() const { return why == Why::never_set; }
    bool is(codes::Meaning meaning) const { return possible == 1u << codes::member_of(meaning); }
    bool may_be(codes::Meaning meaning) const {
        return possible == 0 || (possible >> codes::member_of(meaning) & 1u);
    }
    bool operator==(const Modal&) const = default;
};
Modal join(const Modal& a, const Modal& b);

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
    Value modal_program;                                      ///< O number that G66 runs behind every move
    Variables modal_arguments;                                ///< Its local variables
    bool at_reference_x = false, at_reference_z = false;
    bool reachable = true;    ///< False after an end or a jump, until a label that something jumps to
    bool ended = false;       ///< Behind M02, M30, M99 or the closing %, until the next program
    std::int32_t program = 0; ///< O number of the program this block is in; 0: none written
    Contour contour;
    std::shared_ptr<const DeletedBlocks> deleted; ///< Behind a block with a block delete; null elsewhere
    Variables variables;

    const Modal& of(codes::Group group) const { return modal[static_cast<std::size_t>(group)]; }
    Modal& of(codes::Group group) { return modal[static_cast<std::size_t>(group)]; }
    bool is(codes::Meaning meaning) const { return of(codes::group_of(meaning)).is(meaning); }
    bool may_be(codes::Meaning meaning) const { return of(codes::group_of(meaning)).may_be(meaning); }
    void leave_assumed_out();
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

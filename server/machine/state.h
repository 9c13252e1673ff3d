// The control's state, three-valued: known, one of a few, unknown with the reason.
//
// Lengths are in program units, the unit that G20/G21 (or the power-on state) has in force; X is kept as a
// radius. So a program whose unit is not stated can still be followed, and shows its own numbers.
#pragma once

#include "codes/codes.h"

#include <array>
#include <bit>
#include <cstdint>
#include <memory>
#include <optional>
#include <string_view>
#include <vector>

namespace turnwright::machine {

/// Why something is not known. `known` means it is.
enum class Why : std::uint8_t {
    known,
    never_set,        ///< Nothing above has set it, and no shop file gives the power-on state
    restarted,        ///< Entered in the middle: whatever was in force
    joined,           ///< Jumps or loops arrive here with different values
    computed,         ///< Depends on a variable without a known value
    no_point,         ///< No decimal point: the reading depends on the control's setting
    mode_changed,     ///< Set under another feed or spindle mode
    datum_changed,    ///< Position is not known after a datum, offset or work shift change
    at_reference,     ///< Position is the reference point, not known in program coordinates
    other_program,    ///< A program that is not to be seen could have set it
    machine_specific, ///< A code this table does not know
    units_unknown,    ///< The unit of length is not stated
    data_set,         ///< G10 or the like changed it
    measured,         ///< A skip or measuring move ends where the part is
};
/// For hover: "not set by any block above".
std::string_view explain(Why why);

struct Value {
    double number = 0; ///< 0 when not known, so that equal states compare equal.
    Why why = Why::never_set;

    static Value of(double number) { return {number, Why::known}; }
    static Value unknown(Why why) { return {0, why}; }
    bool known() const { return why == Why::known; }
    /// Nothing could have set it, on any way to here.
    bool surely_unset() const { return why == Why::never_set; }
    bool is(double expected) const { return known() && number == expected; }
    bool operator==(const Value&) const = default;
};
Value join(const Value& a, const Value& b);

/// The members of one modal group that can be in force; bit i is member i.
struct Modal {
    std::uint16_t possible = 0; ///< 0: any or none
    Why why = Why::never_set;   ///< `known` whenever `possible` has at least one bit

    static Modal of(codes::Meaning meaning) {
        return {static_cast<std::uint16_t>(1u << codes::member_of(meaning)), Why::known};
    }
    static Modal unknown(Why why) { return {0, why}; }
    bool known() const { return std::has_single_bit(possible); }
    bool surely_unset() const { return possible == 0 && why == Why::never_set; }
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

/// Values of macro variables; shared, never changed in place. Sorted by number.
struct Variables {
    std::vector<std::pair<int, Value>> values;
    bool others_unknown = false; ///< A variable not listed could hold anything (else: it is empty, #0)
    bool operator==(const Variables&) const = default;
};
using VariablesPointer = std::shared_ptr<const Variables>;

/// The contour blocks of a roughing cycle stand after its call and are not run in passing.
struct Contour {
    enum class Stage : std::uint8_t { none, armed, inside } stage = Stage::none;
    std::int32_t first_label = 0;
    std::int32_t last_label = 0;
    Value start_x_radius, start_z, feed; ///< Restored behind the contour
    Modal motion;
    bool operator==(const Contour&) const = default;
};

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
    VariablesPointer modal_arguments;                         ///< Its local variables
    bool at_reference_x = false, at_reference_z = false;
    bool reachable = true;    ///< False after an end or a jump, until a label that something jumps to
    bool ended = false;       ///< Behind M02, M30, M99 or the closing %, until the next program
    std::int32_t program = 0; ///< O number of the program this block is in; 0: none written
    Contour contour;
    VariablesPointer variables; ///< nullptr: every variable is empty at the start

    const Modal& of(codes::Group group) const { return modal[static_cast<std::size_t>(group)]; }
    Modal& of(codes::Group group) { return modal[static_cast<std::size_t>(group)]; }
    bool is(codes::Meaning meaning) const { return of(codes::group_of(meaning)).is(meaning); }
    bool may_be(codes::Meaning meaning) const { return of(codes::group_of(meaning)).may_be(meaning); }
    void set(codes::Meaning meaning) { of(codes::group_of(meaning)) = Modal::of(meaning); }
    Value variable(int number) const;
    void set_variable(int number, Value value);
    bool operator==(const State& other) const;
};

/// Nothing known, for the reason given.
State unknown_state(Why why);
/// What holds where two ways meet. An unreachable state adds nothing.
State join(const State& a, const State& b);

} // namespace turnwright::machine

// One value of the control's state: known, or unknown with the reason.
#pragma once

#include <cstdint>
#include <string_view>

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
    jumped_over,      ///< No way leads to the block
    no_rapid_rate,    ///< A time that needs the machine's rapid rates
    next_line,        ///< A line by its angle ends where the next block's line meets it
    out_of_reach,     ///< A number that no machine could go to
    cut_short,        ///< More work than is done for one program
};
/// For hover: "not set by any block above".
std::string_view explain(Why why);

/// Assumed: it has a number, and `why` still says why it is not known. Of a speed behind a program out of
/// sight alone; 0 is never assumed.
struct Value {
    double number = 0; ///< 0 when neither known nor assumed, so that equal states compare equal.
    Why why = Why::never_set;

    static Value of(double number) { return {number, Why::known}; }
    static Value unknown(Why why) { return {0, why}; }
    bool known() const { return why == Why::known; }
    bool is_assumed() const { return number != 0 && why != Why::known; }
    /// The same with no assumption.
    Value stated() const { return known() ? *this : unknown(why); }
    /// Nothing could have set it, on any way to here.
    bool surely_unset() const { return why == Why::never_set; }
    bool is(double expected) const { return known() && number == expected; }
    bool operator==(const Value&) const = default;
};
Value join(const Value& a, const Value& b);

} // namespace turnwright::machine

// The drives of a lathe that turn a part or a tool. A lathe of two axes has the main spindle alone, and its
// values stand in the state; what holds of the others is kept beside it.
#pragma once

#include "machine/value.h"

#include "codes/codes.h"

#include <array>
#include <bit>
#include <cstdint>
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

/// In the order of the members of Group::spoken_to.
enum class Spindle : std::uint8_t { main, second, live };
inline constexpr std::size_t spindle_count = 3;
/// "spindle", "second spindle", "live tool": behind "the".
std::string_view spindle_title(Spindle spindle);

/// By a modal of Group::spoken_to: the main one where nothing says another; nullopt: not known.
std::optional<Spindle> spoken_to(const Modal& modal);

/// What S, M03, G96 and a limit have told one of them.
struct SpindleState {
    Modal mode, direction;
    Value speed;       ///< As written: rpm, or m/min / ft/min under surface speed
    Value speed_limit; ///< rpm
    static SpindleState unknown(Why why) {
        return {Modal::unknown(why), Modal::unknown(why), Value::unknown(why), Value::unknown(why)};
    }
    bool operator==(const SpindleState&) const = default;
};
SpindleState join(const SpindleState& a, const SpindleState& b);

/// Kept where more than the main spindle was spoken to.
struct MoreSpindles {
    std::array<SpindleState, spindle_count> of; ///< That of the one spoken to is not looked at
    Spindle turning = Spindle::main; ///< Spoken to again behind the live tool: the main or the second one
    bool operator==(const MoreSpindles&) const = default;
};

} // namespace turnwright::machine

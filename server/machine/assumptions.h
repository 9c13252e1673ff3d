// What is taken for granted where neither the program, its job file nor the shop file says it: decided once a
// program, by what stands in it, as the G-code system is.
#pragma once

#include "codes/codes.h"
#include "shop/shop.h"
#include "syntax/syntax.h"

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace turnwright::text {
class Buffer;
}

namespace turnwright::machine {

/// What speaks for one of two readings.
enum class Sign : std::uint8_t {
    none,          ///< Not assumed
    code,          ///< A code further down, or behind a jump
    feed,          ///< What a feed would be otherwise
    feed_a_turn,   ///< Feeds by the minute over the speeds
    size,          ///< Lengths of X and Z
    decimals,      ///< Four of them are written in inch
    drill_feed,    ///< What the feed of a drilling cycle would be otherwise
    lead,          ///< Leads of threads
    note,          ///< Drill and thread names, units in notes
    surface_speed, ///< S under G96
    insert,        ///< Names of inserts by ISO 1832, or in inch
    approach,      ///< Rapids that end close in front of the part
    practice,      ///< What lathes are usually switched on with
    count_,
};

/// What notes say of a code of the machine's builder that turns or holds something beside the main spindle:
/// "M51 C AXIS ON".
struct NotedEffect {
    int number = 0; ///< Of an M code
    codes::Meaning does = codes::Meaning::machine_specific;
    std::uint32_t count = 0; ///< Notes that say so
    bool operator==(const NotedEffect&) const = default;
};

/// Counts of signs, which add up over runs: a sum does not hang on where runs begin.
struct SignCounts {
    using Counts = std::array<std::uint32_t, static_cast<std::size_t>(Sign::count_)>;
    Counts inch{}, millimetre{};
    Counts inch_in_c{}, millimetre_in_c{};     ///< By codes that system C has for it
    std::uint32_t per_rev = 0, per_minute = 0; ///< Feeds that can be nothing else
    /// Of those by the turn the ones too fine by the minute in any unit, and feeds that no edge takes by the
    /// turn, though some tool may travel so.
    std::uint32_t fine = 0, coarse = 0;
    std::uint32_t past_inch =
        0; ///< Of those by the turn the ones that nobody takes in inch but on the largest
    std::uint32_t by_surface = 0; ///< Blocks that keep the surface speed
    /// How many there are of each size, two classes to a power of two: feeds of 1 and more, and S but for
    /// surface speeds and limits.
    using Steps = std::array<std::uint32_t, 32>;
    Steps feeds{}, speeds{};
    Steps surface_speeds{}, speed_limits{};
    std::uint32_t rev_in_a = 0, minute_in_a = 0, rev_in_bc = 0, minute_in_bc = 0; ///< Codes
    /// X and Z, but for nought: with a point, of them those with no decimals ("50."), without a point, and of
    /// these the ones of ten thousands of least increments and of few.
    std::uint32_t pointed = 0, pointed_whole = 0, pointless = 0, pointless_large = 0, pointless_small = 0;
    /// How many there are of each size, by powers of two: X with U, Z with W.
    using Sizes = std::array<std::uint32_t, 16>;
    Sizes pointed_x{}, pointed_z{}, pointless_x{}, pointless_z{};
    std::uint32_t x_radius = 0, x_diameter = 0; ///< Notes that speak of how X is written
    std::uint32_t pointless_feeds = 0;          ///< Of 1 to 20
    std::uint32_t stations_alone = 0;           ///< "T01"
    std::uint32_t doubled_digits = 0;           ///< "T11", "T0101": station and offset
    std::uint32_t by_sense = 0;                 ///< Words without a point that can only be meant in one way
    std::vector<NotedEffect> noted;             ///< By number, then by what it does
    SignCounts& operator+=(const SignCounts& other);
    SignCounts& operator-=(const SignCounts& other);
    bool operator==(const SignCounts&) const = default;
};
SignCounts signs_in(const syntax::Run& run);

struct Assumption {
    codes::Meaning meaning = codes::Meaning::rapid;
    Sign by = Sign::none;
    bool conflict = false; ///< Signs speak against each other: nothing is assumed
    bool operator==(const Assumption&) const = default;
};
struct Assumptions {
    Assumption units, feed_mode, spindle_mode, plane, distance;
    /// How lengths without a point are read, by their sizes: of a program that writes none as "50.", or of
    /// the few among many with a point.
    shop::NoPoint no_point = shop::NoPoint::unknown;
    bool few_without_point = false; ///< They are slips, and no habit
    /// What one of a feed by the turn or of a lead without a point is worth, in the assumed unit; 0: not
    /// known.
    double feed_step = 0;
    bool by_sense = false;       ///< Words without a point that only_one_reading() has
    Assumption values;           ///< The unit by its values, which may speak against a code
    bool stations_alone = false; ///< T01 and T12 are stations, and tell no offset
    bool x_radius = false;       ///< A note says so, and none the other
    /// Codes that notes tell, each in one way.
    std::vector<std::pair<int, codes::Meaning>> noted;
    std::array<Assumption, 5> all() const { return {units, feed_mode, spindle_mode, plane, distance}; }
    const Assumption* of(codes::Group group) const;
    bool operator==(const Assumptions&) const = default;
};
Assumptions choose_assumptions(codes::System system, const SignCounts& signs);

/// How a word without a point is meant where its size leaves one reading: a lead of 0.002 mm is none, nor is
/// a dwell of a hundredth of a second or of many minutes. A length with noughts in front ("R0010") is counted
/// in least increments. Common practice, no source.
shop::NoPoint only_one_reading(const syntax::Run& run, const syntax::Item& item, codes::Quantity quantity);

/// "its feeds": fits behind "by".
std::string_view sign_title(Sign sign);
/// The first place where a sign speaks for a meaning.
struct SignPlace {
    std::size_t line = 0; ///< From 0
    std::string text;     ///< "F.005"
};
std::optional<SignPlace> first_sign(const syntax::Forest& forest, const text::Buffer& buffer,
                                    codes::System system, const Assumption& assumption);

} // namespace turnwright::machine

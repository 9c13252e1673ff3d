// The one table of what letters, G and M codes mean in G-code systems A, B and C.
//
// Hover, completion, checks, tokens, docs and the interpreter read the same rows; a code is described once.
// A row's `meaning` is what the machine does, whatever number a system writes it with: system A writes
// feed_per_rev as G99, B and C as G95.
#pragma once

#include "language/language.h"

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::codes {

enum class System : std::uint8_t { A, B, C };
char system_letter(System system);

/// Which systems a row holds for.
enum Systems : std::uint8_t { in_a = 1, in_b = 2, in_c = 4, in_bc = 6, in_ab = 3, in_ac = 5, in_all = 7 };

/// Modal groups. Every meaning belongs to one; those of `one_shot` act in their block only.
enum class Group : std::uint8_t {
    one_shot,
    motion,            ///< G00 G01 G02 G03, threading, single cycles
    plane,             ///< G17 G18 G19
    units,             ///< inch, millimetre
    distance,          ///< absolute, incremental (systems B and C)
    feed_mode,         ///< per minute, per revolution, inverse time
    spindle_mode,      ///< constant surface speed, constant rpm
    nose_compensation, ///< G40 G41 G42
    datum,             ///< G54 ... G59
    drill_cycle,       ///< G80 ... G89
    return_level,      ///< initial or R level (systems B and C)
    path_mode,         ///< exact stop, cutting, tapping, corner override
    modal_call,        ///< G66 G67
    opposed_turret,    ///< G68 G69
    travel_check,      ///< G22 G23
    speed_check,       ///< G25 G26 spindle speed fluctuation watch
    polar,             ///< G12.1 G13.1
    spindle_direction, ///< M03 M04 M05
    coolant,           ///< M08 M09
    chuck,             ///< This and below: of codes that the shop file gives a sense
    quill,
    catcher,
    steady,
    door,
    second_chuck,      ///< Of the spindle that takes the part over
    c_axis,            ///< The spindle as an axis
    c_brake,           ///< What holds C while it does not move
    live_tool,         ///< A tool that its own drive turns
    spindles_together, ///< Both turn as one
    spoken_to,         ///< The spindle that S, M03, G96 and feed by the revolution speak to
    count_,
};
inline constexpr std::size_t group_count = static_cast<std::size_t>(Group::count_);

namespace detail {
constexpr std::uint16_t member(Group group, int index) {
    return static_cast<std::uint16_t>(static_cast<int>(group) << 8 | index);
}
} // namespace detail

/// What a code makes the machine do. The low byte is the member's place in its group; a modal group has at
/// most 16 members.
enum class Meaning : std::uint16_t {
    rapid = detail::member(Group::motion, 0),
    feed_line,
    arc_clockwise,
    arc_counterclockwise,
    thread,              ///< one threading move: G32 in A, G33 in B and C
    thread_varying_lead, ///< G34
    single_turning,      ///< G90 in A, G77 in B, G20 in C
    single_threading,    ///< G92 in A, G78 in B, G21 in C
    single_facing,       ///< G94 in A, G79 in B, G24 in C
    thread_arc_clockwise,
    thread_arc_counterclockwise,

    plane_xy = detail::member(Group::plane, 0), ///< G17
    plane_zx,                                   ///< G18, the turning plane
    plane_yz,                                   ///< G19

    inch = detail::member(Group::units, 0),
    millimetre,

    absolute = detail::member(Group::distance, 0),
    incremental,

    feed_per_minute = detail::member(Group::feed_mode, 0),
    feed_per_rev,
    feed_inverse_time,

    surface_speed = detail::member(Group::spindle_mode, 0), ///< G96
    constant_rpm,                                           ///< G97

    compensation_off = detail::member(Group::nose_compensation, 0), ///< G40
    compensation_left,                                              ///< G41, tool left of the contour
    compensation_right,                                             ///< G42

    datum_1 = detail::member(Group::datum, 0), ///< G54
    datum_2,
    datum_3,
    datum_4,
    datum_5,
    datum_6,        ///< G59
    datum_extended, ///< G54.1 P..

    drill_cycle_off = detail::member(Group::drill_cycle, 0), ///< G80
    drill_face,                                              ///< G83 along Z, with or without pecks
    drill_side,                                              ///< G87 along X
    tap_face,                                                ///< G84
    tap_side,                                                ///< G88
    bore_face,                                               ///< G85
    bore_side,                                               ///< G89
    drill_spot,                                              ///< G81
    drill_dwell,                                             ///< G82
    bore_stop,                                               ///< G86

    return_initial_level = detail::member(Group::return_level, 0), ///< G98 in B and C
    return_r_level,                                                ///< G99 in B and C

    cutting_mode = detail::member(Group::path_mode, 0), ///< G64
    exact_stop_mode,                                    ///< G61
    corner_override,                                    ///< G62
    tapping_mode,                                       ///< G63

    modal_call_off = detail::member(Group::modal_call, 0), ///< G67
    modal_call,                                            ///< G66

    opposed_turret_off = detail::member(Group::opposed_turret, 0), ///< G69
    opposed_turret_on,                                             ///< G68

    travel_check_on = detail::member(Group::travel_check, 0), ///< G22
    travel_check_off,                                         ///< G23

    speed_check_off = detail::member(Group::speed_check, 0), ///< G25
    speed_check_on,                                          ///< G26

    polar_off = detail::member(Group::polar, 0), ///< G13.1
    polar_on,                                    ///< G12.1

    spindle_forward = detail::member(Group::spindle_direction, 0), ///< M03
    spindle_reverse,                                               ///< M04
    spindle_stop,                                                  ///< M05

    coolant_on = detail::member(Group::coolant, 0), ///< M08
    coolant_off,                                    ///< M09
    coolant_mist,                                   ///< M07

    chuck_closed = detail::member(Group::chuck, 0), ///< Or collet
    chuck_open,
    quill_out = detail::member(Group::quill, 0), ///< Towards the part
    quill_in,
    catcher_out = detail::member(Group::catcher, 0), ///< Under the part
    catcher_in,
    steady_closed = detail::member(Group::steady, 0),
    steady_open,
    door_closed = detail::member(Group::door, 0),
    door_open,
    second_chuck_closed = detail::member(Group::second_chuck, 0),
    second_chuck_open,
    c_axis_on = detail::member(Group::c_axis, 0), ///< Of the main spindle
    c_axis_off,
    second_c_axis_on,
    c_brake_on = detail::member(Group::c_brake, 0),
    c_brake_off,
    live_tool_on = detail::member(Group::live_tool, 0),
    live_tool_off,
    live_tool_reverse,
    spindles_joined = detail::member(Group::spindles_together, 0),
    spindles_parted,
    main_spoken_to = detail::member(Group::spoken_to, 0),
    second_spoken_to,
    live_spoken_to,

    // Act in their block only.
    dwell = detail::member(Group::one_shot, 0), ///< G04
    exact_stop,                                 ///< G09
    cylindrical,                                ///< G07.1
    data_setting,                               ///< G10
    data_setting_off,                           ///< G11
    reference_check,                            ///< G27
    reference_return,                           ///< G28
    reference_leave,                            ///< G29
    reference_return_second,                    ///< G30
    skip_feed,                                  ///< G31
    automatic_offset_x,                         ///< G36
    automatic_offset_z,                         ///< G37
    speed_limit,                                ///< G50 S in A, G92 S in B and C
    work_shift,                                 ///< G50 X Z in A, G92 X Z in B and C (same code, other words)
    local_datum,                                ///< G52
    machine_datum,                              ///< G53
    macro_call,                                 ///< G65
    finish_cycle,                               ///< G70, in C G72
    rough_turning,                              ///< G71, in C G73
    rough_facing,                               ///< G72, in C G74
    pattern_repeat,                             ///< G73, in C G75
    peck_face,                                  ///< G74, in C G76
    groove_side,                                ///< G75, in C G77
    thread_cycle,                               ///< G76, in C G78
    program_stop,                               ///< M00
    optional_stop,                              ///< M01
    program_end,                                ///< M02
    program_end_rewind,                         ///< M30
    tool_change,                                ///< M06
    subprogram_call,                            ///< M98
    subprogram_end,                             ///< M99
    spindle_orient,                             ///< M19
    rigid_tapping,                              ///< M29
    polygon_on,                                 ///< G51.2
    polygon_off,                                ///< G50.2
    datum_preset,                               ///< G50.3 in A, G92.1 in B and C
    machine_specific,                           ///< Named by the shop file; unknown otherwise
    bar_feed,                                   ///< This and below: of codes that the shop file gives a sense
    second_forward,
    second_reverse,
    second_stop,
    part_pushed_out, ///< Of the second chuck
    path_wait,       ///< For the program of the other turret
    bar_stop_out,    ///< In front of the bar
    bar_stop_in,
    puller_closed, ///< On the bar
    puller_open,
};

constexpr Group group_of(Meaning meaning) {
    return static_cast<Group>(static_cast<std::uint16_t>(meaning) >> 8);
}
constexpr unsigned member_of(Meaning meaning) {
    return static_cast<std::uint16_t>(meaning) & 0xff;
}
constexpr Meaning meaning_of(Group group, unsigned member) {
    return static_cast<Meaning>(static_cast<unsigned>(group) << 8 | member);
}

/// What the number behind a letter is, so that a value can be read, checked and shown with its unit.
enum class Quantity : std::uint8_t {
    none,
    length_x,     ///< Coordinate in X: diameter or radius by the shop file
    length_z,     ///< Coordinate in Z (also Y)
    increment_x,  ///< U: signed distance in X, diameter or radius as X
    increment_z,  ///< W: signed distance in Z
    radius_x,     ///< Always a radius value (I, taper R, G71 depth U)
    length,       ///< Distance with no axis of its own (R of an arc, K, retract)
    length_units, ///< Distance in least increments, no decimal point allowed (D, G76 P and Q, G74 P and Q)
    angle,        ///< Degrees (C, A)
    feed,         ///< By the feed mode
    lead,         ///< Distance a revolution
    threads_per_inch,
    speed,     ///< rpm or surface speed by the spindle mode
    speed_rpm, ///< Always rpm
    seconds,
    milliseconds, ///< No decimal point
    count,        ///< Whole number
    label,        ///< N number
    program,      ///< O number
    tool,
    offset_number,
    packed,      ///< Several two-digit numbers in one (G76 P011060)
    argument,    ///< Macro argument
    angle_units, ///< Degrees in least increments, no decimal point allowed (Q start angle of a thread)
};
/// True for lengths and radii in the program's unit; `length_units` counts in least increments instead.
bool is_length(Quantity quantity);
/// True for quantities that the control reads in least increments when no decimal point is written.
bool reads_in_increments(Quantity quantity);
/// True for quantities that must be whole numbers without a point.
bool is_whole(Quantity quantity);

struct WordUse {
    char letter;
    Quantity quantity;
    bool required;
    TableText meaning; ///< A few plain words, lower case: "end point in X"
};

struct Code {
    char letter;                 ///< 'G' or 'M'
    std::uint16_t number_tenths; ///< G1 is 10, G54.1 is 541, G107 is 1070
    Systems systems;
    Meaning meaning;
    TableText title; ///< A few words, sentence case: "Feed in a straight line"
    TableText text;  ///< Two sentences: what the machine does, what to watch.
    std::span<const WordUse> words;
    std::string_view source; ///< "ISO 6983-1:1982" or "common practice"
    bool power_on = false;   ///< Usual power-on state of its group

    Group group() const { return group_of(meaning); }
    bool is_modal() const { return group() != Group::one_shot; }
    std::string written() const; ///< "G01", "M03", "G54.1"; empty: no number of its own
};

/// What codes of a machine's builder may do beside what the codes of the table do: a shop file gives them one
/// of these senses. Their rows have no number.
struct Effect {
    std::string_view words; ///< As the shop file writes it: "quill out"
    Code code;
};
std::span<const Effect> effects();
inline constexpr std::uint16_t no_number = 0xffff;

/// All rows, ordered by letter, number, system.
std::span<const Code> all_codes();
/// The row of a code, or nullptr for one the table does not hold. `number` as written: 54.1.
/// Where one number has two meanings by its words (speed limit or work shift) the row that has the words'
/// letters is chosen by find_with_words. find() gives the row that is right with no words known: the speed
/// limit, and of a cycle in two lines the first line, none of whose words is marked required.
const Code* find(System system, char letter, double number);
///
/// find_with_words: `letters` are the letters of the block. G71 U2. R0.5 is the row of the first line (U a
/// depth of cut on radius), G71 P10 Q20 U0.5 the row of the line that calls the contour (U an allowance in X,
/// P and Q required); G76 has three rows. A block with G50 S X Z is the work shift, and S in it is the speed
/// limit too.
const Code* find_with_words(System system, char letter, double number, std::span<const char> letters);
/// How a system writes a meaning: "G99" for feed_per_rev in A. Empty when the system has no code for it.
std::string written_as(System system, Meaning meaning);
/// An arc or a side of compensation the other way round, as a machine sees it that looks at the plane from
/// the other side; any other meaning is itself.
Meaning mirrored(Meaning meaning);
/// Of an effect the row with no number.
const Code* code_for(System system, Meaning meaning);

std::string_view title(Meaning meaning);   ///< "constant surface speed": lower case, fits in a sentence
std::string_view group_title(Group group); ///< "feed mode"
std::vector<Meaning> members(Group group);

struct Letter {
    char letter;
    Quantity quantity; ///< What it is when no code of its block says otherwise
    TableText title;   ///< "Coordinate in X"
    TableText text;    ///< One or two sentences
    std::string_view source;
};
/// Row of an address letter; nullptr for '@' and the like. X, Z, C, Y, U, W, V, H, I, J, K, R, F, E, S, T, N,
/// O, P, Q, D, L, A, B, M, G.
const Letter* letter(char letter);
std::span<const Letter> all_letters();

/// What `letter` is in a block that holds `code` (nullptr: no code of its own).
Quantity quantity_in(const Code* code, char letter);
/// The words that `code` takes, or nullptr.
const WordUse* word_use(const Code* code, char letter);

/// A few words for people: "distance in X, with sign".
std::string_view quantity_title(Quantity quantity);

/// The documentation page of a system and the index of all of them, in Markdown. docs/codes holds them.
std::string codes_markdown(System system);
std::string codes_index_markdown();

} // namespace turnwright::codes

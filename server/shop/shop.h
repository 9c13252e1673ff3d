// The shop file `turnwright.toml`: what this shop's machines are and how its people write programs.
//
// Every field may be missing. A missing field is unknown, and what depends on it is said as unknown; the few
// that have a default say so here. A wrong field is a located problem and stays unknown, the others count.
// Text that is no TOML at all (a syntax error) is one located problem and all defaults.
//
// Lengths in the file are in its `units`, which a table may state for itself; here they are mm.
#pragma once

#include "codes/codes.h"

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::shop {

/// How a value without a decimal point is read.
enum class NoPoint : std::uint8_t { unknown, least_increments, whole_units };
enum class XReading : std::uint8_t { diameter, radius }; ///< Default: diameter (common practice, no source).
enum class Severity : std::uint8_t { off, hint, information, warning, error };
/// On which side of the spindle axis the turret stands, seen by whoever works at the machine.
enum class Turret : std::uint8_t { unknown, front, behind };
/// How the stations stand to each other: on a circle about an axis along Z, in a row along X, or round a post
/// that turns about an axis square to X and Z.
enum class TurretForm : std::uint8_t { unknown, disc, gang, post };
/// On which side of the working station of a post the one with the next number stands.
enum class NextStation : std::uint8_t { unknown, chuck, tailstock };
/// How a turret gets to the station that is called. Unknown: a disc the shorter way, a post forward.
enum class TurretTurns : std::uint8_t { unknown, shorter, forward };
/// Where the second turret of a lathe works, seen from the first: across the centreline or on its side.
enum class SecondTurret : std::uint8_t { unknown, opposite, same_side };
enum class ToolHand : std::uint8_t { unknown, right, left, neutral };
enum class ToolKind : std::uint8_t {
    unknown,
    turning,
    boring,
    grooving,
    parting,
    threading,
    threading_inside,
    drill,
    centre_drill,
    tap,
    reamer,
    face_grooving,
    knurl,
    bar_puller,
    live,
};
/// As the shop file writes it; empty for unknown.
std::string_view kind_word(ToolKind kind);

/// From a tool's programmed point: X as a distance, not as a diameter.
struct OutlinePoint {
    double x_mm = 0, z_mm = 0;
    bool operator==(const OutlinePoint&) const = default;
};

/// One station of the turret. Lengths in mm.
struct Tool {
    int station = 0;
    std::optional<int> path; ///< Of two turrets the one that holds it: 1 or 2
    std::string note;
    ToolKind kind = ToolKind::unknown;
    ToolHand hand = ToolHand::unknown;
    std::optional<double> nose_radius_mm;
    std::optional<int> tip_direction;         ///< Imaginary tip direction 1..9
    std::optional<double> width_mm;           ///< Grooving and parting
    std::optional<double> diameter_mm;        ///< Drill, reamer, tap, smallest bore of a boring bar
    std::optional<double> point_angle_deg;    ///< Drill
    std::optional<double> approach_angle_deg; ///< Cutting edge to the axis, front
    std::optional<double> back_angle_deg;     ///< Clearance of the trailing edge to the axis
    std::optional<double> length_mm;          ///< Reach in Z (drill, bar), out of the holder (blade)
    std::optional<double> max_rpm;
    std::optional<double> max_depth_mm; ///< Radial depth of cut
    std::optional<double> max_feed_mm_per_rev;
    std::optional<bool> upside_down; ///< Edge down: cuts with M04
    std::vector<int> offsets;        ///< Offset numbers this station may be called with; empty: same number
    std::optional<double> life_minutes;    ///< That an edge lasts, in cut
    std::optional<double> flute_length_mm; ///< Drill
    std::optional<double> edge_length_mm;  ///< Of an insert's cutting edges
    std::vector<OutlinePoint> outline;     ///< Of what does not cut: holder, shank, bar; empty: not known
    std::optional<double> shank_mm;        ///< Of a turning tool along Z, of a bar or drill its diameter
    std::optional<double> turret_x_mm;     ///< Programmed point from the turret's axis or mark, on radius
    std::optional<double> turret_z_mm;     ///< The same along Z, away from the chuck positive
};

/// What a code of the machine's builder does, where the file says so. Nothing in it: nothing of what is
/// followed here.
struct CodeEffect {
    std::vector<codes::Meaning> does;
    std::int32_t calls = -1; ///< Program that it calls, with its letters as arguments; -1: none
    bool by_note = false;    ///< A note of the program says so, and no shop file
    bool operator==(const CodeEffect&) const = default;
};

struct Machine {
    std::string name;
    std::optional<codes::System> system;
    std::optional<codes::Meaning> units; ///< Power-on inch or millimetre
    NoPoint no_point = NoPoint::unknown;
    double least_increment_mm = 0.001;
    double least_increment_inch = 0.0001;
    XReading x = XReading::diameter;
    bool x_told = false; ///< No note of a program says otherwise
    Turret turret = Turret::unknown;
    bool mirrored = false;                ///< G02 and G03 change places, and so do G41 and G42
    std::vector<codes::Meaning> lacks;    ///< Codes of the table that its control does not have
    std::vector<codes::Meaning> power_on; ///< State after switching on; groups not listed are unknown
    std::optional<double> max_rpm;
    std::optional<double> min_rpm;
    std::optional<double> chuck_max_rpm;
    std::optional<double> second_max_rpm, live_max_rpm; ///< Of the second spindle, of live tools
    std::optional<double> rapid_x_mm_per_min;           ///< On radius
    std::optional<double> rapid_z_mm_per_min;
    std::optional<double> max_feed_mm_per_min;
    std::optional<double> tool_change_seconds;
    std::optional<double> spindle_ramp_rpm_per_second;
    std::optional<bool> dwell_in_revolutions; ///< G04 counts spindle turns under feed per revolution
    std::optional<double> max_power_kw;
    std::optional<double> max_torque_nm;
    std::optional<double> power_efficiency;
    std::optional<double> travel_x_min_mm, travel_x_max_mm; ///< Machine datum, radius
    std::optional<double> travel_z_min_mm, travel_z_max_mm;
    std::optional<double> change_x_radius_mm, change_z_mm; ///< Tool-change position, machine datum, radius
    std::optional<int> stations;                           ///< Turret stations
    TurretForm turret_form = TurretForm::unknown;
    NextStation next_station = NextStation::unknown;
    TurretTurns turret_turns = TurretTurns::unknown;
    SecondTurret second_turret = SecondTurret::unknown;
    std::vector<OutlinePoint> turret_outline; ///< From its axis or mark; empty: not known
    std::optional<int> tool_digits;           ///< Digits of the T word: 2, 3 or 4; unknown: from the program
    std::optional<double> arc_tolerance_mm;   ///< Radius mismatch the control accepts
    std::map<int, std::string> m_codes;       ///< M number -> name of this machine
    std::map<int, std::string> g_codes;       ///< G number -> name of this machine
    std::map<std::pair<char, int>, CodeEffect> effects; ///< Of those of them that say what they do
    std::vector<std::string> folders;                   ///< Folders whose programs run on it
    // How the programs of two turrets find each other; the first one is of the first path.
    std::optional<int> path_numbers;       ///< Program number of the second path above that of the first
    std::vector<std::string> path_marks;   ///< Two texts, in front of the programs of one file
    std::vector<std::string> path_endings; ///< Two ends of file names
    std::vector<std::string> path_folders; ///< Two folders side by side, with files of the same name
    bool has_paths() const {
        return path_numbers || !path_marks.empty() || !path_endings.empty() || !path_folders.empty();
    }

    /// nullptr: the file does not say what this code does.
    const CodeEffect* effect_of(char letter, double number) const;
};

/// Stock, jaws and tailstock in program coordinates (Z along the axis, 0 at the datum), mm.
struct Stock {
    std::optional<double> diameter_mm;
    std::optional<double> bore_mm;
    std::optional<double> front_z_mm; ///< Face of the raw stock, in front of the datum when positive
    std::optional<double> back_z_mm;
    std::optional<double> jaw_front_z_mm;
    std::optional<double> jaw_diameter_mm;
    /// Of the second spindle, in the Z of the programs that work on what it holds.
    std::optional<double> second_jaw_front_z_mm, second_jaw_diameter_mm;
    std::optional<double> tailstock_z_mm;
    std::optional<double> tailstock_diameter_mm;
    std::optional<double> quill_z_mm, quill_diameter_mm;                    ///< Its front, behind the centre
    std::optional<double> tailstock_body_z_mm, tailstock_body_diameter_mm;  ///< Behind the quill
    std::optional<double> steady_z_mm, steady_width_mm, steady_diameter_mm; ///< Middle, along Z, outside
    std::optional<double> bar_length_mm, bar_remnant_mm; ///< Of a new bar; what must be left of it
    std::string material; ///< Row of the material table (ISO group letter or name)
    bool operator==(const Stock&) const = default;
};

/// House rules. `unset` means: learn it from the program's own majority.
enum class Rule : std::uint8_t { unset, yes, no };
struct House {
    Rule optional_stop = Rule::unset;  ///< Every sequence ends with M01
    Rule number_is_tool = Rule::unset; ///< N of a sequence is its tool number
    Rule two_step_approach = Rule::unset;
    Rule sequence_note = Rule::unset;
    Rule return_in_machine_datum = Rule::unset;
    Rule coolant_off_first = Rule::unset; ///< Behind the cut: coolant off before the spindle stops
    std::vector<std::string>
        safety_line; ///< Codes in the order the shop writes them: {"G54","G97","G40","G80"}
    std::optional<double> first_approach_mm, second_approach_mm;
    std::vector<std::string> endings; ///< Of programs beside the usual ones: ".mpf", in small letters
};

/// How the formatter writes a program. Unset: leave as written.
struct Format {
    std::optional<bool> upper_case;
    std::optional<bool> blanks_between_words;
    std::optional<bool> leading_zeros;  ///< G01 rather than G1
    std::optional<bool> trailing_zeros; ///< 1.500 rather than 1.5
    std::optional<bool> order_words;
};

struct Problem {
    std::size_t line = 0;   ///< From 0
    std::size_t column = 0; ///< From 0, bytes
    std::size_t length = 1;
    std::string message;
};

struct Shop {
    std::filesystem::path path;    ///< Empty: no shop file, all defaults
    std::vector<Machine> machines; ///< At least one (the default machine)
    /// The same machines with what the job file states of them for its one program, and one more of which
    /// nothing else is known; empty: it states nothing.
    std::vector<Machine> for_job;
    std::vector<Tool> tools;
    Stock stock;
    House house;
    Format format;
    std::map<std::string, Severity> checks; ///< Check id -> severity
    std::map<std::string, Problem>
        check_places;              ///< Where each id stands, for whoever knows which ids there are
    std::vector<Problem> problems; ///< In the order of the file, at most `most_problems`

    /// The only machine, or of several the one named in the program, else the one whose folders hold the
    /// program (the longest match), else the first without folders. When none of these is there the machine
    /// is unknown: an empty one is returned. With what the job file states of it. `program` is compared by
    /// its text, with folders relative to the shop file's.
    const Machine& machine_for(const std::filesystem::path& program, std::string_view named_in_program) const;
    /// In whatever case it is written; nullptr: none has this name.
    const Machine* machine_named(std::string_view name) const;
    std::optional<int> own_path; ///< Of two turrets the one whose program asks: 1 or 2; nullopt: not known
    /// In the turret that asks; nullptr: none, or one in each and it is not known which of them asks.
    const Tool* tool(int station) const;
    /// Some turret has a tool there.
    bool has_tool(int station) const;
    /// In the turret of a path, 1 or 2.
    const Tool* tool(int station, int of_path) const;
};

/// The shop without a file: one machine, everything unknown but the defaults above.
Shop default_shop();
/// Reads a shop file's text. Never throws: what is wrong is in `problems`, with line and column; unknown keys
/// are named with the nearest known key. Codes of a machine that states no system are read by `usual`.
Shop parse_shop(std::string_view toml, const std::filesystem::path& path,
                std::optional<codes::System> usual = std::nullopt);
/// A file larger than this is not read.
inline constexpr std::size_t largest_file = 1 << 18;
inline constexpr std::size_t most_problems = 100;

/// The nearest turnwright.toml from the program's folder upward, not above `root`. Empty when there is none,
/// or when the program lies outside `root`. Symbolic links that lead out of `root` are not followed.
std::filesystem::path find_shop_file(const std::filesystem::path& program, const std::filesystem::path& root);

/// One key a shop file may hold, for help while it is written: "tool.nose_radius".
struct KeyHelp {
    std::string path;
    std::string kind; ///< "length, from 0 to 100 mm"
    std::string_view text;
};
std::vector<KeyHelp> all_keys();

/// docs/shop-file.schema.json, docs/shop-file.md and the example in it, all written from the table of keys.
std::string schema_json();
std::string page_markdown();
std::string_view example();

} // namespace turnwright::shop

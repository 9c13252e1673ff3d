#include "shop/keys.h"
#include "language/said.h"

#include <fmt/format.h>

namespace turnwright::shop {
namespace {

// How a value lands in its field: by the field's own type.
template <auto field>
struct Store;
template <class Owner, class Field, Field Owner::*field>
struct Store<field> {
    static void number(Owner& owner, const Value& value) { owner.*field = value.number; }
    static void whole(Owner& owner, const Value& value) { owner.*field = static_cast<int>(value.number); }
    static void yes_no(Owner& owner, const Value& value) { owner.*field = value.yes; }
    static void rule(Owner& owner, const Value& value) { owner.*field = value.yes ? Rule::yes : Rule::no; }
    static void text(Owner& owner, const Value& value) { owner.*field = value.text; }
    /// The choices stand in the enum's order, after its `unknown`.
    static void choice(Owner& owner, const Value& value) {
        owner.*field = static_cast<Field>(value.choice + 1);
    }
    static void texts(Owner& owner, const Value& value) {
        for (const Value::Item& item : value.items) (owner.*field).push_back(item.text);
    }
    static void wholes(Owner& owner, const Value& value) {
        for (const Value::Item& item : value.items) (owner.*field).push_back(item.number);
    }
    static void outline(Owner& owner, const Value& value) {
        for (const auto& [x, z] : value.points) (owner.*field).push_back({x, z});
    }
    static void names(Owner& owner, const Value& value) {
        for (const Value::Item& item : value.items) (owner.*field)[item.number] = item.text;
    }
};

using K = Kind;
using U = Unit;

constexpr std::string_view unit_choices[] = {"mm", "inch"};
constexpr std::string_view system_choices[] = {"A", "B", "C"};
constexpr std::string_view no_point_choices[] = {"least increments", "whole units"};
constexpr std::string_view x_choices[] = {"diameter", "radius"};
constexpr std::string_view turret_choices[] = {"front", "behind"};
constexpr std::string_view form_choices[] = {"disc", "gang", "post"};
constexpr std::string_view next_station_choices[] = {"chuck", "tailstock"};
constexpr std::string_view turns_choices[] = {"shorter", "forward"};
constexpr std::string_view second_turret_choices[] = {"opposite", "same side"};
constexpr std::string_view hand_choices[] = {"right", "left", "neutral"};
constexpr std::string_view kind_choices[] = {
    "turning",      "boring", "grooving", "parting",       "threading", "threading inside", "drill",
    "centre drill", "tap",    "reamer",   "face grooving", "knurl",     "bar puller",       "live"};
constexpr std::string_view severity_choices[] = {"off", "hint", "information", "warning", "error"};

constexpr Range anything{};
constexpr Range above_zero{0, 1e6, true};
constexpr Range from_zero{0, 1e6, false};
constexpr Range rpm_range{0, 200000, true};
constexpr Range angle_range{0, 180, true};

void store_system(Machine& machine, const Value& value) {
    machine.system = static_cast<codes::System>(value.choice);
}
void store_x(Machine& machine, const Value& value) {
    machine.x = static_cast<XReading>(value.choice);
    machine.x_told = true;
}
void store_power_on_units(Machine& machine, const Value& value) {
    machine.units = value.choice == 0 ? codes::Meaning::millimetre : codes::Meaning::inch;
}

constexpr Row<Machine> machines[] = {
    {{"name",
      K::text,
      U::none,
      anything,
      {},
      "What the shop calls the machine. A program may name it in a note."},
     Store<&Machine::name>::text},
    {{"folders",
      K::texts,
      U::none,
      anything,
      {},
      "Folders, seen from this file, whose programs run on this machine. With one machine only it may be "
      "left out."},
     Store<&Machine::folders>::texts},
    {{"path_numbers",
      K::whole,
      U::none,
      {1, 99999999, false},
      {},
      "Of a lathe with two turrets, each with a program of its own: how much higher the number of the second "
      "turret's program is. With 1000, O0012 and O1012 run together; they may stand in one file or two."},
     Store<&Machine::path_numbers>::whole},
    {{"path_marks",
      K::texts,
      U::none,
      anything,
      {},
      "Two texts that stand in front of the programs of the first and the second turret where one file holds "
      "both: [\"(PATH 1)\", \"(PATH 2)\"]."},
     Store<&Machine::path_marks>::texts},
    {{"path_endings",
      K::texts,
      U::none,
      anything,
      {},
      "Two ends of file names for the programs of the first and the second turret: [\"_1.nc\", "
      "\"_2.nc\"]."},
     Store<&Machine::path_endings>::texts},
    {{"path_folders",
      K::texts,
      U::none,
      anything,
      {},
      "Two folders beside each other that hold the programs of the first and the second turret, in files of "
      "the same name: [\"upper\", \"lower\"]."},
     Store<&Machine::path_folders>::texts},
    {{"system", K::choice, U::none, anything, system_choices,
      "G-code system of its control. Left out, it is taken from the program where that shows it."},
     store_system},
    {{"power_on_units", K::choice, U::none, anything, unit_choices,
      "Unit in which the control reads a program that states none."},
     store_power_on_units},
    {{"no_point", K::choice, U::none, anything, no_point_choices,
      "How the control reads a number without a decimal point: X10 as ten least increments or as ten whole "
      "units."},
     Store<&Machine::no_point>::choice},
    {{"least_increment_mm",
      K::number,
      U::millimetre,
      {0, 1, true},
      {},
      "Least increment when the program is in mm. 0.001 when left out."},
     Store<&Machine::least_increment_mm>::number},
    {{"least_increment_inch",
      K::number,
      U::inch,
      {0, 0.1, true},
      {},
      "Least increment when the program is in inches. 0.0001 when left out."},
     Store<&Machine::least_increment_inch>::number},
    {{"x", K::choice, U::none, anything, x_choices,
      "Whether X in a program is a diameter or a radius. Left out: what a note in the program says (X IS "
      "RADIUS), else diameter."},
     store_x},
    {{"turret", K::choice, U::none, anything, turret_choices,
      "On which side of the spindle axis the turret stands, seen from where one works at the machine."},
     Store<&Machine::turret>::choice},
    {{"mirrored",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether G02 and G03, and G41 and G42, are the other way round than in the drawing (X up, Z to the "
      "right): so on some lathes with the turret in front."},
     Store<&Machine::mirrored>::yes_no},
    {{"lacks",
      K::texts,
      U::none,
      anything,
      {},
      "Codes that its control does not have, such as \"G71\" and \"G76\", by its own system. `turnwright "
      "transfer` writes single moves for cycles among them."},
     nullptr},
    {{"power_on",
      K::texts,
      U::none,
      anything,
      {},
      "Codes in force after switching on, such as \"G99\" and \"G97\". A group of codes that is not listed "
      "is "
      "unknown."},
     nullptr},
    {{"max_rpm", K::number, U::rpm, rpm_range, {}, "Highest speed of the main spindle."},
     Store<&Machine::max_rpm>::number},
    {{"min_rpm", K::number, U::rpm, {0, 200000, false}, {}, "Lowest speed of the main spindle."},
     Store<&Machine::min_rpm>::number},
    {{"chuck_max_rpm",
      K::number,
      U::rpm,
      rpm_range,
      {},
      "Speed up to which the chuck with its jaws may run, as marked on the chuck."},
     Store<&Machine::chuck_max_rpm>::number},
    {{"second_max_rpm",
      K::number,
      U::rpm,
      rpm_range,
      {},
      "Highest speed of the second spindle, the one that takes the part over."},
     Store<&Machine::second_max_rpm>::number},
    {{"live_max_rpm", K::number, U::rpm, rpm_range, {}, "Highest speed of live tools."},
     Store<&Machine::live_max_rpm>::number},
    {{"rapid_x",
      K::number,
      U::feed_per_minute,
      above_zero,
      {},
      "Rapid rate of the X slide itself, so on radius."},
     Store<&Machine::rapid_x_mm_per_min>::number},
    {{"rapid_z", K::number, U::feed_per_minute, above_zero, {}, "Rapid rate of the Z slide."},
     Store<&Machine::rapid_z_mm_per_min>::number},
    {{"max_feed", K::number, U::feed_per_minute, above_zero, {}, "Highest cutting feed."},
     Store<&Machine::max_feed_mm_per_min>::number},
    {{"tool_change_seconds", K::number, U::seconds, {0, 600, false}, {}, "Time of one turret index."},
     Store<&Machine::tool_change_seconds>::number},
    {{"spindle_ramp",
      K::number,
      U::rpm_per_second,
      above_zero,
      {},
      "How fast the spindle speeds up and slows down."},
     Store<&Machine::spindle_ramp_rpm_per_second>::number},
    {{"dwell_in_revolutions",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether G04 counts turns of the spindle while the feed is per revolution. Not given: it counts time."},
     Store<&Machine::dwell_in_revolutions>::yes_no},
    {{"max_power_kw",
      K::number,
      U::kilowatt,
      {0, 1000, true},
      {},
      "Power of the main spindle that it can keep up."},
     Store<&Machine::max_power_kw>::number},
    {{"max_torque_nm", K::number, U::newton_metre, {0, 100000, true}, {}, "Torque of the main spindle."},
     Store<&Machine::max_torque_nm>::number},
    {{"power_efficiency",
      K::number,
      U::none,
      {0, 1, true},
      {},
      "Part of the motor's power that reaches the cut, such as 0.8."},
     Store<&Machine::power_efficiency>::number},
    {{"travel_x_min",
      K::number,
      U::length,
      anything,
      {},
      "Lowest position of X, counted from the machine datum, on radius."},
     Store<&Machine::travel_x_min_mm>::number},
    {{"travel_x_max",
      K::number,
      U::length,
      anything,
      {},
      "Highest position of X, counted from the machine datum, on radius."},
     Store<&Machine::travel_x_max_mm>::number},
    {{"travel_z_min",
      K::number,
      U::length,
      anything,
      {},
      "Lowest position of Z, counted from the machine datum."},
     Store<&Machine::travel_z_min_mm>::number},
    {{"travel_z_max",
      K::number,
      U::length,
      anything,
      {},
      "Highest position of Z, counted from the machine datum."},
     Store<&Machine::travel_z_max_mm>::number},
    {{"change_x",
      K::number,
      U::length,
      anything,
      {},
      "Where the turret indexes: X, counted from the machine datum, on radius."},
     Store<&Machine::change_x_radius_mm>::number},
    {{"change_z",
      K::number,
      U::length,
      anything,
      {},
      "Where the turret indexes: Z, counted from the machine datum."},
     Store<&Machine::change_z_mm>::number},
    {{"stations", K::whole, U::none, {1, 99, false}, {}, "Number of stations of the turret."},
     Store<&Machine::stations>::whole},
    {{"turret_form", K::choice, U::none, anything, form_choices,
      "How the stations stand to each other: \"disc\", on a circle that turns about an axis along Z, "
      "\"gang\", in a row on the cross slide, or \"post\", round a tool post that turns about an axis square "
      "to X and Z, such as one with four sides. With stations and the tools' turret_x and turret_z the tools "
      "beside the one that works are looked at too; a post needs next_station as well."},
     Store<&Machine::turret_form>::choice},
    {{"next_station", K::choice, U::none, anything, next_station_choices,
      "Of a post: on which side of the station that works the one with the next number stands, toward the "
      "chuck or toward the tailstock."},
     Store<&Machine::next_station>::choice},
    {{"turret_turns", K::choice, U::none, anything, turns_choices,
      "Which way the turret turns to the station that is called: the \"shorter\" one, or always \"forward\", "
      "to the next number. Not given: a disc the shorter way, a post forward."},
     Store<&Machine::turret_turns>::choice},
    {{"second_turret", K::choice, U::none, anything, second_turret_choices,
      "Of a lathe with two turrets where the second one works: \"opposite\", across the centreline from the "
      "first in one plane with it, or \"same side\". With it whole tools of both are held against each "
      "other, "
      "and not only what is true on either side."},
     Store<&Machine::second_turret>::choice},
    {{"turret_outline",
      K::points,
      U::length,
      {-10000, 10000, false},
      {},
      "Outline of the turret's own body as points [x, z] from its axis (disc, post) or its mark (gang), as "
      "it "
      "stands in the plane of the tool that works: X outward from the spindle's centreline positive, Z away "
      "from the chuck positive."},
     Store<&Machine::turret_outline>::outline},
    {{"tool_digits",
      K::whole,
      U::none,
      {2, 4, false},
      {},
      "Digits of the T word: T11 has 2, T0101 has 4. Left out, it is taken from the program."},
     Store<&Machine::tool_digits>::whole},
    {{"arc_tolerance",
      K::number,
      U::length,
      {0, 10, false},
      {},
      "How far the radius at the end of an arc may differ from the one at its start before the control "
      "alarms."},
     Store<&Machine::arc_tolerance_mm>::number},
    {{"m_codes",
      K::code_names,
      U::none,
      {0, 99999, false},
      {},
      "This machine's own M codes: M21 = \"C axis on\" gives the name alone, M13 = { name = \"spindle and "
      "coolant\", does = \"M03 M08\" } what it does too, \"M60-M69\" = ... the same of a range. `does` is "
      "codes of the table that need no words of their own (\"M05 M09\", \"G97 G40\"), \"nothing\" of what is "
      "followed, or \"clamp\", \"unclamp\", \"quill out\", "
      "\"quill "
      "in\", \"bar feed\", \"catcher out\", \"catcher in\", \"steady clamp\", \"steady unclamp\", \"door "
      "open\", "
      "\"door close\", \"second clamp\", \"second unclamp\", \"C axis on\", \"C axis off\", \"C brake on\", "
      "\"C brake off\", \"live tool on\", \"live tool off\", \"spindles together\", \"spindles apart\", "
      "\"second C axis on\", \"live tool reverse\", \"second forward\", \"second reverse\", "
      "\"second stop\", \"choose main spindle\", \"choose second spindle\", \"choose live tool\", \"push "
      "out\", \"bar stop out\", \"bar stop in\", \"puller close\", \"puller open\", \"wait\" (for the "
      "program of "
      "the other turret). "
      "`calls` is a program that the code calls, with the block's letters as arguments: "
      "\"O9010\". Any other special M code stays unknown."},
     Store<&Machine::m_codes>::names},
    {{"g_codes", K::code_names, U::none, {0, 9999, false}, {}, "This machine's own G codes, as m_codes."},
     Store<&Machine::g_codes>::names},
};

constexpr Row<Tool> tools[] = {
    {{"station",
      K::whole,
      U::none,
      {1, 99, false},
      {},
      "Station of the turret. A tool without it is not used."},
     Store<&Tool::station>::whole},
    {{"path",
      K::whole,
      U::none,
      {1, 2, false},
      {},
      "Of a lathe with two turrets the one that holds this tool, 1 or 2. Left out, it is in either. A number "
      "that both turrets have is known where the other keys tell which turret a program is of."},
     Store<&Tool::path>::whole},
    {{"note", K::text, U::none, anything, {}, "What it is, in the shop's own words."},
     Store<&Tool::note>::text},
    {{"kind", K::choice, U::none, anything, kind_choices, "Kind of tool."}, Store<&Tool::kind>::choice},
    {{"hand", K::choice, U::none, anything, hand_choices, "Hand of the tool."}, Store<&Tool::hand>::choice},
    {{"nose_radius", K::number, U::length, {0, 100, false}, {}, "Nose radius of the insert."},
     Store<&Tool::nose_radius_mm>::number},
    {{"tip_direction", K::whole, U::none, {1, 9, false}, {}, "Tip direction, as set in the offset table."},
     Store<&Tool::tip_direction>::whole},
    {{"width", K::number, U::length, {0, 1000, true}, {}, "Width of a grooving or parting tool."},
     Store<&Tool::width_mm>::number},
    {{"diameter",
      K::number,
      U::length,
      {0, 2000, true},
      {},
      "Diameter of a drill, reamer or tap, or the smallest bore a boring bar goes into."},
     Store<&Tool::diameter_mm>::number},
    {{"point_angle", K::number, U::degrees, {0, 180, true}, {}, "Angle of a drill's point, such as 118."},
     Store<&Tool::point_angle_deg>::number},
    {{"approach_angle",
      K::number,
      U::degrees,
      angle_range,
      {},
      "Angle of the cutting edge to the spindle axis, such as 95."},
     Store<&Tool::approach_angle_deg>::number},
    {{"back_angle",
      K::number,
      U::degrees,
      {0, 180, false},
      {},
      "Angle of the trailing edge to the spindle axis: steeper contours going down are rubbed."},
     Store<&Tool::back_angle_deg>::number},
    {{"length",
      K::number,
      U::length,
      {0, 10000, true},
      {},
      "How far a drill or bar reaches in Z, or a blade stands out of its holder."},
     Store<&Tool::length_mm>::number},
    {{"flute_length",
      K::number,
      U::length,
      {0, 10000, true},
      {},
      "Length of a drill's flutes, from the point."},
     Store<&Tool::flute_length_mm>::number},
    {{"edge_length",
      K::number,
      U::length,
      {0, 1000, true},
      {},
      "Length of an insert's cutting edges. Left out, they are taken as long as the longest have them, so "
      "that "
      "a holder is looked at only further out."},
     Store<&Tool::edge_length_mm>::number},
    {{"outline",
      K::points,
      U::length,
      {-10000, 10000, false},
      {},
      "Outline of what does not cut (holder, shank, bar) as points [x, z] from the programmed point of the "
      "tool: "
      "X a distance, not a diameter, outward from the centreline positive; Z away from the chuck positive."},
     Store<&Tool::outline>::outline},
    {{"outline_file",
      K::text,
      U::none,
      anything,
      {},
      "The same from a drawing: an SVG file beside this one, or in a folder under its folder, whose first "
      "path is "
      "the outline. The origin of the drawing is the programmed point of the tool; right is away from the "
      "chuck, up is outward. One unit is one of the shop file's, or what width and viewBox say in mm, cm "
      "or in. Read anew when this file changes."},
     nullptr},
    {{"shank",
      K::number,
      U::length,
      {0, 1000, true},
      {},
      "Size of the shank along Z of a tool that turns or grooves outside; diameter of the shank of a bar or "
      "a "
      "drill. It is drawn; what is looked at is the outline."},
     Store<&Tool::shank_mm>::number},
    {{"turret_x",
      K::number,
      U::length,
      {-10000, 10000, false},
      {},
      "How far the programmed point stands from the turret's axis (disc, post) on radius, toward the spindle "
      "while it works; of gang tools where it stands in the row, outward positive."},
     Store<&Tool::turret_x_mm>::number},
    {{"turret_z",
      K::number,
      U::length,
      {-10000, 10000, false},
      {},
      "Where the programmed point stands along Z while it works, away from the chuck positive: from one "
      "plane "
      "that is the same for all tools of the turret, of a post from its axis."},
     Store<&Tool::turret_z_mm>::number},
    {{"max_rpm", K::number, U::rpm, rpm_range, {}, "Highest speed for this tool."},
     Store<&Tool::max_rpm>::number},
    {{"max_depth", K::number, U::length, {0, 1000, true}, {}, "Deepest cut, on radius."},
     Store<&Tool::max_depth_mm>::number},
    {{"max_feed", K::number, U::feed_per_rev, {0, 1000, true}, {}, "Highest feed for one turn."},
     Store<&Tool::max_feed_mm_per_rev>::number},
    {{"upside_down",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether its edge looks down, so that it cuts with M04."},
     Store<&Tool::upside_down>::yes_no},
    {{"offsets",
      K::wholes,
      U::none,
      {1, 9999, false},
      {},
      "Offset numbers it may be called with. Left out, only the number of its station."},
     Store<&Tool::offsets>::wholes},
    {{"life_minutes", K::number, U::none, {0, 100000, true}, {}, "Minutes in cut that an edge of it lasts."},
     Store<&Tool::life_minutes>::number},
};

constexpr Row<Stock> stocks[] = {
    {{"diameter", K::number, U::length, above_zero, {}, "Outside diameter of the raw stock."},
     Store<&Stock::diameter_mm>::number},
    {{"bore", K::number, U::length, from_zero, {}, "Bore of the raw stock. 0 for solid bar."},
     Store<&Stock::bore_mm>::number},
    {{"front_z",
      K::number,
      U::length,
      anything,
      {},
      "Face of the raw stock in the program's Z, such as 1.5 for stock left on the face."},
     Store<&Stock::front_z_mm>::number},
    {{"back_z", K::number, U::length, anything, {}, "Back end of the raw stock in the program's Z."},
     Store<&Stock::back_z_mm>::number},
    {{"jaw_front_z", K::number, U::length, anything, {}, "Front of the jaws in the program's Z."},
     Store<&Stock::jaw_front_z_mm>::number},
    {{"jaw_diameter", K::number, U::length, above_zero, {}, "Largest diameter of the jaws as they turn."},
     Store<&Stock::jaw_diameter_mm>::number},
    {{"second_jaw_front_z",
      K::number,
      U::length,
      anything,
      {},
      "Front of the second spindle's jaws, in the Z of the sequences that work on what it holds."},
     Store<&Stock::second_jaw_front_z_mm>::number},
    {{"second_jaw_diameter",
      K::number,
      U::length,
      above_zero,
      {},
      "Largest diameter of the second spindle's jaws as they turn. With second_jaw_front_z moves on the "
      "second "
      "side that get into them are told."},
     Store<&Stock::second_jaw_diameter_mm>::number},
    {{"tailstock_z", K::number, U::length, anything, {}, "Point of the tailstock centre in the program's Z."},
     Store<&Stock::tailstock_z_mm>::number},
    {{"tailstock_diameter",
      K::number,
      U::length,
      above_zero,
      {},
      "Diameter of the centre behind its point of 60 degrees; of centre and quill where the quill has no "
      "keys of "
      "its own."},
     Store<&Stock::tailstock_diameter_mm>::number},
    {{"quill_z", K::number, U::length, anything, {}, "Front of the tailstock's quill in the program's Z."},
     Store<&Stock::quill_z_mm>::number},
    {{"quill_diameter", K::number, U::length, above_zero, {}, "Diameter of the quill."},
     Store<&Stock::quill_diameter_mm>::number},
    {{"tailstock_body_z",
      K::number,
      U::length,
      anything,
      {},
      "Front of the tailstock's body, out of which the quill comes, in the program's Z."},
     Store<&Stock::tailstock_body_z_mm>::number},
    {{"tailstock_body_diameter",
      K::number,
      U::length,
      above_zero,
      {},
      "How far the body reaches toward the tools, as a diameter about the centreline."},
     Store<&Stock::tailstock_body_diameter_mm>::number},
    {{"steady_z", K::number, U::length, anything, {}, "Middle of the steady rest in the program's Z."},
     Store<&Stock::steady_z_mm>::number},
    {{"steady_width", K::number, U::length, above_zero, {}, "Width of the steady rest along Z."},
     Store<&Stock::steady_width_mm>::number},
    {{"steady_diameter",
      K::number,
      U::length,
      above_zero,
      {},
      "How far the steady rest reaches toward the tools, as a diameter about the centreline."},
     Store<&Stock::steady_diameter_mm>::number},
    {{"bar_length",
      K::number,
      U::length,
      above_zero,
      {},
      "Length of a new bar, where parts are made of bars."},
     Store<&Stock::bar_length_mm>::number},
    {{"bar_remnant",
      K::number,
      U::length,
      from_zero,
      {},
      "What must be left of a bar behind its last part, so that it is held."},
     Store<&Stock::bar_remnant_mm>::number},
    {{"material",
      K::text,
      U::none,
      anything,
      {},
      "What it is made of: a group letter such as \"P\", or a name."},
     Store<&Stock::material>::text},
};

constexpr Row<House> houses[] = {
    {{"optional_stop", K::yes_no, U::none, anything, {}, "Whether every sequence ends with M01."},
     Store<&House::optional_stop>::rule},
    {{"number_is_tool",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether the N number of a sequence is its tool number."},
     Store<&House::number_is_tool>::rule},
    {{"two_step_approach", K::yes_no, U::none, anything, {}, "Whether tools come to the part in two rapids."},
     Store<&House::two_step_approach>::rule},
    {{"sequence_note",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether every sequence has a note that says what it does."},
     Store<&House::sequence_note>::rule},
    {{"return_in_machine_datum",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether tools go back to the change position by a move in the machine datum."},
     Store<&House::return_in_machine_datum>::rule},
    {{"coolant_off_first",
      K::yes_no,
      U::none,
      anything,
      {},
      "Whether the coolant goes off before the spindle stops."},
     Store<&House::coolant_off_first>::rule},
    {{"safety_line",
      K::texts,
      U::none,
      anything,
      {},
      "Codes at the start of every sequence, in the order the shop writes them."},
     nullptr},
    {{"first_approach", K::number, U::length, above_zero, {}, "How far from the part the first rapid ends."},
     Store<&House::first_approach_mm>::number},
    {{"second_approach",
      K::number,
      U::length,
      above_zero,
      {},
      "How far from the part the second rapid ends."},
     Store<&House::second_approach_mm>::number},
    {{"endings",
      K::texts,
      U::none,
      anything,
      {},
      "Endings of program files beside .nc .cnc .tap .eia, for folders that are checked and for programs "
      "that "
      "others call: [\"txt\", \"mpf\"]."},
     Store<&House::endings>::texts},
};

constexpr Row<Format> formats[] = {
    {{"upper_case", K::yes_no, U::none, anything, {}, "Letters in upper case."},
     Store<&Format::upper_case>::yes_no},
    {{"blanks_between_words",
      K::yes_no,
      U::none,
      anything,
      {},
      "A blank between words: G01 X20. and not G01X20."},
     Store<&Format::blanks_between_words>::yes_no},
    {{"leading_zeros", K::yes_no, U::none, anything, {}, "G01 rather than G1."},
     Store<&Format::leading_zeros>::yes_no},
    {{"trailing_zeros", K::yes_no, U::none, anything, {}, "X1.500 rather than X1.5."},
     Store<&Format::trailing_zeros>::yes_no},
    {{"order_words",
      K::yes_no,
      U::none,
      anything,
      {},
      "Words of a block in one order: N, G, X, Z and so on."},
     Store<&Format::order_words>::yes_no},
};

constexpr Key units{
    "units",
    K::choice,
    U::none,
    anything,
    unit_choices,
    "Unit of every length, feed and rapid rate. A table may state its own. There is no default."};
constexpr Key checks{
    "checks",
    K::severities,
    U::none,
    anything,
    severity_choices,
    "How loud a check is: check_id = \"warning\". Checks that are not named keep their own."};

template <class Owner>
std::vector<const Key*> keys_of(std::span<const Row<Owner>> rows, bool has_lengths) {
    std::vector<const Key*> keys;
    if (has_lengths) keys.push_back(&units);
    for (const auto& row : rows) keys.push_back(&row.key);
    return keys;
}

std::string range_title(const Key& key) {
    const Range& range = key.range;
    if (range.least <= -1e6) return {};
    const std::string low =
        fmt::format(", {} {}", range.above_least ? said("above") : said("from"), range.least);
    if (range.most >= 1e6) return low + (range.above_least ? "" : said(" up"));
    return low + said("{} to {}{}", range.above_least ? said(" up") : "", range.most,
                      follows_units(key.unit) ? " mm" : "");
}

std::string joined(std::span<const std::string_view> choices) {
    std::string text;
    for (std::string_view choice : choices) {
        if (!text.empty()) text += ", ";
        text += fmt::format("\"{}\"", choice);
    }
    return text;
}
} // namespace

std::span<const Row<Machine>> machine_keys() {
    return machines;
}
std::span<const Row<Tool>> tool_keys() {
    return tools;
}
std::span<const Row<Stock>> stock_keys() {
    return stocks;
}
std::span<const Row<House>> house_keys() {
    return houses;
}
std::span<const Row<Format>> format_keys() {
    return formats;
}
const Key& units_key() {
    return units;
}
const Key& checks_key() {
    return checks;
}

std::vector<Section> sections() {
    return {
        {"machine", true, true,
         said("One table a machine. All positions in it are on radius, from the machine datum."),
         keys_of(machine_keys(), true)},
        {"tool", true, true, said("One table a turret station."), keys_of(tool_keys(), true)},
        {"stock", false, true,
         said("What is held, in the program's own coordinates (Z along the axis from the datum)."),
         keys_of(stock_keys(), true)},
        {"house", false, true,
         said("How this shop writes programs. What is left out is learnt from the greater part of each "
              "program."),
         keys_of(house_keys(), true)},
        {"format", false, false,
         said("How the formatter writes a program. What is left out stays as it was written."),
         keys_of(format_keys(), false)},
    };
}

std::string_view unit_title(Unit unit) {
    switch (unit) {
    case Unit::none:
        return said("a number");
    case Unit::length:
        return said("a length");
    case Unit::feed_per_minute:
        return said("a length a minute");
    case Unit::feed_per_rev:
        return said("a length a turn");
    case Unit::rpm:
        return said("a speed in turns a minute");
    case Unit::rpm_per_second:
        return said("a speed gained in turns a minute for each second");
    case Unit::seconds:
        return said("a time in seconds");
    case Unit::degrees:
        return said("an angle in degrees");
    case Unit::kilowatt:
        return said("a power in kW");
    case Unit::newton_metre:
        return said("a torque in Nm");
    case Unit::millimetre:
        return said("a length in mm");
    case Unit::inch:
        return said("a length in inches");
    }
    return said("a number");
}

std::string kind_title(const Key& key) {
    switch (key.kind) {
    case Kind::text:
        return said("text");
    case Kind::number:
        return std::string(unit_title(key.unit)) + range_title(key);
    case Kind::whole:
        return said("a whole number") + range_title(key);
    case Kind::yes_no:
        return said("true or false");
    case Kind::choice:
        return said("one of ") + joined(key.choices);
    case Kind::texts:
        return said("a list of text");
    case Kind::wholes:
        return said("a list of whole numbers") + range_title(key);
    case Kind::points:
        return said("a list of at least three points [x, z]");
    case Kind::code_names:
        return said("a table of codes and names");
    case Kind::severities:
        return said("a table of check ids and one of ") + joined(key.choices);
    }
    return said("text");
}

std::vector<KeyHelp> all_keys() {
    std::vector<KeyHelp> all{{"units", kind_title(units), units.text}};
    for (const Section& section : sections())
        for (const Key* key : section.keys)
            all.push_back({fmt::format("{}.{}", section.name, key->name), kind_title(*key), key->text});
    all.push_back({"checks", kind_title(checks), checks.text});
    return all;
}

std::string_view kind_word(ToolKind kind) {
    return kind == ToolKind::unknown ? std::string_view{} : kind_choices[static_cast<std::size_t>(kind) - 1];
}

} // namespace turnwright::shop

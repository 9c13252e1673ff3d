// What stays in force until changed: plane, units, absolute or incremental, feed and spindle mode,
// compensation, watches.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse leave_words[] = {
    {'I', Q::radius_x, false, "direction of the contour left behind, in X"},
    {'K', Q::length, false, "direction of the contour left behind, in Z"},
};
constexpr WordUse per_minute_words[] = {{'F', Q::feed, false, "feed in one minute"}};
constexpr WordUse per_rev_words[] = {{'F', Q::feed, false, "feed in one turn"}};
constexpr WordUse inverse_words[] = {{'F', Q::none, true, "one divided by the minutes of this move"}};
constexpr WordUse surface_words[] = {
    {'S', Q::speed, false, "surface speed"},
    {'P', Q::count, false, "axis whose position counts as the diameter"},
};
constexpr WordUse rpm_words[] = {{'S', Q::speed, false, "turns a minute"}};
constexpr WordUse zone_words[] = {
    {'X', Q::length_x, false, "one limit in X, machine datum"},
    {'Z', Q::length_z, false, "one limit in Z, machine datum"},
    {'I', Q::length_x, false, "other limit in X, machine datum"},
    {'K', Q::length_z, false, "other limit in Z, machine datum"},
};
constexpr WordUse watch_words[] = {
    {'P', Q::milliseconds, false, "time until the watch starts"},
    {'Q', Q::count, false, "percent within which the speed counts as reached"},
    {'R', Q::count, false, "percent of change that raises the alarm"},
};

constexpr std::string_view inch_text =
    "Lengths and feeds are read in inches from this block on. Watch that it stands at the head of the "
    "program, "
    "before any length, and that offsets and tool data belong to the same unit.";
constexpr std::string_view millimetre_text =
    "Lengths and feeds are read in millimetres from this block on. Watch that it stands at the head of the "
    "program, before any length, and that offsets and tool data belong to the same unit.";
constexpr std::string_view per_minute_text =
    "F is the distance in one minute, whatever the spindle does. Watch for a value meant for one turn: F0.2 "
    "would "
    "creep, and a value for one minute under feed per turn would crash.";
constexpr std::string_view per_rev_text = "F is the distance in one turn of the spindle, the usual way of "
                                          "turning. Watch that the spindle turns, since "
                                          "with it stopped the slide stands still and waits.";

constexpr Code setting_rows[] = {
    {'G',
     170,
     in_all,
     M::plane_xy,
     "Plane XY",
     "Arcs and compensation work in the plane of X and Y, for milling on the face. Watch that G18 is given "
     "again "
     "before turning, or arcs will be refused or go wrong.",
     {},
     iso_6983},
    {'G',
     180,
     in_all,
     M::plane_zx,
     "Plane ZX, the turning plane",
     "Arcs and compensation work in the plane of Z and X, as all turning needs. Watch for programs that "
     "leave "
     "another plane in force after milling.",
     {},
     iso_6983,
     true},
    {'G',
     190,
     in_all,
     M::plane_yz,
     "Plane YZ",
     "Arcs and compensation work in the plane of Y and Z, for milling from the side. Watch that G18 is given "
     "again before turning.",
     {},
     iso_6983},
    {'G', 200, in_ab, M::inch, "Inch", inch_text, {}, practice},
    {'G', 210, in_ab, M::millimetre, "Millimetre", millimetre_text, {}, practice},
    {'G', 700, in_c, M::inch, "Inch", inch_text, {}, rs_274},
    {'G', 710, in_c, M::millimetre, "Millimetre", millimetre_text, {}, rs_274},
    {'G', 220, in_all, M::travel_check_on, "Forbidden zone on",
     "The control stops with an alarm before the turret enters the zone given by X, Z, I and K or stored in "
     "its "
     "settings. Watch that the corners are counted from the machine datum and not from the part.",
     zone_words, practice, true},
    {'G',
     230,
     in_all,
     M::travel_check_off,
     "Forbidden zone off",
     "The turret may enter the stored zone again. Watch that nothing now guards chuck or tailstock against "
     "the "
     "turret.",
     {},
     practice},
    {'G',
     250,
     in_all,
     M::speed_check_off,
     "Spindle speed watch off",
     "The control no longer raises an alarm when the spindle speed wanders. Watch a heavy cut yourself from "
     "here "
     "on.",
     {},
     practice,
     true},
    {'G', 260, in_all, M::speed_check_on, "Spindle speed watch on",
     "The control raises an alarm when the spindle speed strays too far from the one asked for. Watch that "
     "the "
     "percent values suit cuts that start and stop, or it alarms for nothing.",
     watch_words, practice},
    {'G', 400, in_all, M::compensation_off, "Nose radius compensation off",
     "The path is again that of the tool's sharp tip. Watch that it is switched off by a move clear of the "
     "part, "
     "because the tool shifts by its nose radius on the way.",
     leave_words, iso_6983, true},
    {'G',
     410,
     in_all,
     M::compensation_left,
     "Nose radius compensation left",
     "The tool runs on the left of the contour, seen in the direction it moves, so that the nose radius "
     "leaves "
     "tapers and arcs true. Watch that the move switching it on is longer than the nose radius and clear of "
     "the "
     "part, and that radius and tip direction are set for the tool.",
     {},
     iso_6983},
    {'G',
     420,
     in_all,
     M::compensation_right,
     "Nose radius compensation right",
     "The tool runs on the right of the contour, seen in the direction it moves, so that the nose radius "
     "leaves "
     "tapers and arcs true. Watch that the move switching it on is longer than the nose radius and clear of "
     "the "
     "part, and that radius and tip direction are set for the tool.",
     {},
     iso_6983},
    {'G',
     900,
     in_bc,
     M::absolute,
     "Absolute positions",
     "X and Z are positions counted from the datum. Watch that it is given again after a stretch of "
     "incremental "
     "moves, or the next position is read as a distance.",
     {},
     iso_6983,
     true},
    {'G',
     910,
     in_bc,
     M::incremental,
     "Incremental distances",
     "X and Z are distances from where the tool stands. Watch that a restart in the middle moves from a "
     "different "
     "place, and that G90 is given at the end.",
     {},
     iso_6983},
    {'G', 930, in_bc, M::feed_inverse_time, "Inverse time feed",
     "F is one divided by the minutes that this move takes, so each block has an F of its own. Watch that it "
     "is "
     "seldom used on lathes and that an ordinary feed read this way makes a very fast move.",
     inverse_words, iso_6983},
    {'G', 940, in_bc, M::feed_per_minute, "Feed per minute", per_minute_text, per_minute_words, iso_6983},
    {'G', 950, in_bc, M::feed_per_rev, "Feed per turn of the spindle", per_rev_text, per_rev_words, iso_6983,
     true},
    {'G', 980, in_a, M::feed_per_minute, "Feed per minute", per_minute_text, per_minute_words, practice},
    {'G', 990, in_a, M::feed_per_rev, "Feed per turn of the spindle", per_rev_text, per_rev_words, practice,
     true},
    {'G', 960, in_all, M::surface_speed, "Constant surface speed",
     "S is the speed of the cut in metres or feet a minute, and the spindle turns faster as the tool comes "
     "nearer "
     "the centre. Watch that a speed limit is in force that chuck, part and bar can bear, because toward the "
     "centre the speed rises without end.",
     surface_words, iso_6983},
    {'G', 970, in_all, M::constant_rpm, "Constant spindle speed",
     "S is turns a minute and stays the same at every diameter, as drilling and threading need. Watch that S "
     "is "
     "given anew, because a surface speed left over would be read as turns a minute.",
     rpm_words, iso_6983, true},
    {'G',
     980,
     in_bc,
     M::return_initial_level,
     "Return to the start level",
     "After each hole of a drilling cycle the tool goes back to the level where the cycle was called. Watch "
     "that "
     "in system A the same number means feed per minute.",
     {},
     practice,
     true},
    {'G',
     990,
     in_bc,
     M::return_r_level,
     "Return to the R level",
     "After each hole of a drilling cycle the tool goes back only to the level R. Watch for shoulders and "
     "clamps "
     "between the holes, and that in system A the same number means feed per turn.",
     {},
     practice},
    {'G',
     680,
     in_all,
     M::opposed_turret_on,
     "Opposed turret on",
     "X is read for the turret on the other side of the centre, so its sign turns round. Watch that the "
     "machine "
     "has such a turret and that the active tool stands on it.",
     {},
     practice},
    {'G',
     690,
     in_all,
     M::opposed_turret_off,
     "Opposed turret off",
     "X is read for the ordinary turret again. Watch that the active tool stands on that side before the "
     "next "
     "move.",
     {},
     practice,
     true},
};
} // namespace

std::span<const Code> setting_codes() {
    return setting_rows;
}

} // namespace turnwright::codes

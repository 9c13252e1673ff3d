// Moves: rapid, line, arcs, thread, and how the path between blocks is driven.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

// Distances by U, W, V and H are system A's way; B and C say absolute or incremental by G90 and G91.
constexpr WordUse rapid_a[] = {
    {'X', Q::length_x, false, "end point in X"},   {'Z', Q::length_z, false, "end point in Z"},
    {'Y', Q::length_z, false, "end point in Y"},   {'C', Q::angle, false, "end angle of the C axis"},
    {'U', Q::increment_x, false, "distance in X"}, {'W', Q::increment_z, false, "distance in Z"},
    {'V', Q::increment_z, false, "distance in Y"}, {'H', Q::angle, false, "turn of the C axis"},
};
constexpr WordUse rapid_bc[] = {
    {'X', Q::length_x, false, "end point in X, or distance under G91"},
    {'Z', Q::length_z, false, "end point in Z, or distance under G91"},
    {'Y', Q::length_z, false, "end point in Y, or distance under G91"},
    {'C', Q::angle, false, "end angle of the C axis, or turn under G91"},
};
constexpr WordUse line_a[] = {
    {'X', Q::length_x, false, "end point in X"},
    {'Z', Q::length_z, false, "end point in Z"},
    {'Y', Q::length_z, false, "end point in Y"},
    {'U', Q::increment_x, false, "distance in X"},
    {'W', Q::increment_z, false, "distance in Z"},
    {'V', Q::increment_z, false, "distance in Y"},
    {'C', Q::angle, false, "end angle of the C axis; a chamfer where the machine has none"},
    {'H', Q::angle, false, "turn of the C axis"},
    {'R', Q::length, false, "corner radius to the next move"},
    {'I', Q::radius_x, false, "chamfer toward X"},
    {'K', Q::length, false, "chamfer toward Z"},
    {'A', Q::angle, false, "angle of the line to the Z axis"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse line_bc[] = {
    {'X', Q::length_x, false, "end point in X, or distance under G91"},
    {'Z', Q::length_z, false, "end point in Z, or distance under G91"},
    {'Y', Q::length_z, false, "end point in Y, or distance under G91"},
    {'C', Q::angle, false, "end angle of the C axis; a chamfer where the machine has none"},
    {'R', Q::length, false, "corner radius to the next move"},
    {'I', Q::radius_x, false, "chamfer toward X"},
    {'K', Q::length, false, "chamfer toward Z"},
    {'A', Q::angle, false, "angle of the line to the Z axis"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse arc_a[] = {
    {'X', Q::length_x, false, "end point in X"},
    {'Z', Q::length_z, false, "end point in Z"},
    {'Y', Q::length_z, false, "end point in Y"},
    {'U', Q::increment_x, false, "distance in X to the end point"},
    {'W', Q::increment_z, false, "distance in Z to the end point"},
    {'V', Q::increment_z, false, "distance in Y to the end point"},
    {'R', Q::length, false, "radius of the arc"},
    {'I', Q::radius_x, false, "centre from the start in X, on radius"},
    {'K', Q::length, false, "centre from the start in Z"},
    {'J', Q::length, false, "centre from the start in Y"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse arc_bc[] = {
    {'X', Q::length_x, false, "end point in X, or distance under G91"},
    {'Z', Q::length_z, false, "end point in Z, or distance under G91"},
    {'Y', Q::length_z, false, "end point in Y, or distance under G91"},
    {'R', Q::length, false, "radius of the arc"},
    {'I', Q::radius_x, false, "centre from the start in X, on radius"},
    {'K', Q::length, false, "centre from the start in Z"},
    {'J', Q::length, false, "centre from the start in Y"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse thread_a[] = {
    {'X', Q::length_x, false, "end point in X"},
    {'Z', Q::length_z, false, "end point in Z"},
    {'U', Q::increment_x, false, "distance in X"},
    {'W', Q::increment_z, false, "distance in Z"},
    {'F', Q::lead, false, "lead of the thread"},
    {'E', Q::none, false, "lead or threads per inch, by the control"},
    {'Q', Q::angle_units, false, "angle of the spindle where the thread starts"},
};
constexpr WordUse thread_bc[] = {
    {'X', Q::length_x, false, "end point in X, or distance under G91"},
    {'Z', Q::length_z, false, "end point in Z, or distance under G91"},
    {'F', Q::lead, false, "lead of the thread"},
    {'I', Q::lead, false, "lead along X, where no F gives it"},
    {'K', Q::lead, false, "lead along Z, where no F gives it"},
    {'E', Q::none, false, "lead or threads per inch, by the control"},
    {'Q', Q::angle_units, false, "angle of the spindle where the thread starts"},
};
constexpr WordUse thread_arc[] = {
    {'X', Q::length_x, false, "end point in X"},
    {'Z', Q::length_z, false, "end point in Z"},
    {'U', Q::increment_x, false, "distance in X"},
    {'W', Q::increment_z, false, "distance in Z"},
    {'R', Q::length, false, "radius of the arc"},
    {'I', Q::radius_x, false, "centre from the start in X, on radius"},
    {'K', Q::length, false, "centre from the start in Z"},
    {'F', Q::lead, false, "lead of the thread"},
    {'Q', Q::angle_units, false, "angle of the spindle where the thread starts"},
};
constexpr WordUse varying_a[] = {
    {'X', Q::length_x, false, "end point in X"},
    {'Z', Q::length_z, false, "end point in Z"},
    {'U', Q::increment_x, false, "distance in X"},
    {'W', Q::increment_z, false, "distance in Z"},
    {'F', Q::lead, false, "lead at the start"},
    {'K', Q::length, true, "change of lead in one turn, with sign"},
};
constexpr WordUse varying_bc[] = {
    {'X', Q::length_x, false, "end point in X, or distance under G91"},
    {'Z', Q::length_z, false, "end point in Z, or distance under G91"},
    {'F', Q::lead, false, "lead at the start"},
    {'K', Q::length, true, "change of lead in one turn, with sign"},
};
constexpr WordUse dwell_words[] = {
    {'X', Q::seconds, false, "time in seconds"},
    {'U', Q::seconds, false, "time in seconds"},
    {'P', Q::milliseconds, false, "time in milliseconds"},
};
constexpr WordUse skip_a[] = {
    {'X', Q::length_x, false, "end point in X if no signal comes"},
    {'Z', Q::length_z, false, "end point in Z if no signal comes"},
    {'U', Q::increment_x, false, "distance in X if no signal comes"},
    {'W', Q::increment_z, false, "distance in Z if no signal comes"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse skip_bc[] = {
    {'X', Q::length_x, false, "end point in X if no signal comes"},
    {'Z', Q::length_z, false, "end point in Z if no signal comes"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse cylinder_words[] = {
    {'C', Q::radius_x, false, "radius of the cylinder, or 0 to end"},
    {'H', Q::radius_x, false, "radius of the cylinder, or 0 to end"},
};

constexpr std::string_view rapid_text = "The turret moves to the point as fast as each axis can, and the "
                                        "axes may arrive one after the other, so the "
                                        "path can bend. Watch chuck, tailstock and part along the whole way, "
                                        "because nothing may be cut and no feed "
                                        "slows it down.";
constexpr std::string_view line_text =
    "The tool moves to the point in a straight line at the feed in force, both axes arriving together. Watch "
    "that "
    "the spindle turns and that the feed was given for the feed mode now in force.";
constexpr std::string_view clockwise_text = "The tool feeds along a clockwise arc to the point, its size "
                                            "given by the radius R or by the centre I and K "
                                            "counted from the start. Watch from which side it is meant: "
                                            "clockwise holds with plus X drawn upward, and "
                                            "looks the other way round with plus X drawn downward.";
constexpr std::string_view counterclockwise_text =
    "The tool feeds along a counterclockwise arc to the point, its size given by the radius R or by the "
    "centre I "
    "and K counted from the start. Watch from which side it is meant: counterclockwise holds with plus X "
    "drawn "
    "upward, and looks the other way round with plus X drawn downward.";
constexpr std::string_view thread_text = "One cut along the thread, the slide advancing by the lead F at "
                                         "every turn and starting at the same spindle "
                                         "angle each time. Watch that the speed stays constant, that there "
                                         "is room to run in and out, and that feed "
                                         "hold does not stop the cut.";
constexpr std::string_view thread_arc_text =
    "One cut of a thread along a clockwise arc, the slide advancing by the lead F at every turn. Watch that "
    "few controls have it, and that the counterclockwise one shares its number with a tool offset code on "
    "some.";
constexpr std::string_view varying_text = "One cut along a thread whose lead grows or shrinks by K at every "
                                          "turn. Watch that the lead stays above zero "
                                          "to the end of the cut and within what the slides can follow.";
constexpr std::string_view skip_text =
    "The tool feeds toward the point and stops where it is when the skip signal comes, for a probe or a "
    "stop. "
    "Watch that the rest of the distance is dropped, so the next block starts from wherever it stopped.";

constexpr Code motion_rows[] = {
    {'G', 0, in_a, M::rapid, "Rapid move", rapid_text, rapid_a, iso_6983, true},
    {'G', 0, in_bc, M::rapid, "Rapid move", rapid_text, rapid_bc, iso_6983, true},
    {'G', 10, in_a, M::feed_line, "Feed in a straight line", line_text, line_a, iso_6983},
    {'G', 10, in_bc, M::feed_line, "Feed in a straight line", line_text, line_bc, iso_6983},
    {'G', 20, in_a, M::arc_clockwise, "Arc clockwise", clockwise_text, arc_a, iso_6983},
    {'G', 20, in_bc, M::arc_clockwise, "Arc clockwise", clockwise_text, arc_bc, iso_6983},
    {'G', 30, in_a, M::arc_counterclockwise, "Arc counterclockwise", counterclockwise_text, arc_a, iso_6983},
    {'G', 30, in_bc, M::arc_counterclockwise, "Arc counterclockwise", counterclockwise_text, arc_bc,
     iso_6983},
    {'G', 350, in_all, M::thread_arc_clockwise, "Thread cut on an arc, clockwise", thread_arc_text,
     thread_arc, practice},
    {'G', 40, in_all, M::dwell, "Dwell",
     "All slides wait for the written time while the spindle keeps turning, with X or U in seconds and P in "
     "milliseconds. Watch the unit: P2 is two thousandths of a second where X2.0 is two seconds, or turns of "
     "the "
     "spindle where the control is set to count these.",
     dwell_words, iso_6983},
    {'G', 71, in_all, M::cylindrical, "Cylinder surface",
     "Moves in Z and C are laid out on the surface of a cylinder of the written radius, until the code is "
     "given "
     "with radius 0. Watch that it is ended before turning goes on, and that live tool and C axis are set up "
     "first.",
     cylinder_words, practice},
    {'G', 1070, in_all, M::cylindrical, "Cylinder surface",
     "The same as G07.1: moves in Z and C are laid out on the surface of a cylinder, until the code is given "
     "with "
     "radius 0. Watch that it is ended before turning goes on, and that live tool and C axis are set up "
     "first.",
     cylinder_words, practice},
    {'G',
     90,
     in_all,
     M::exact_stop,
     "Exact stop in this block",
     "The slides come to rest at the end of this block before the next one starts, so a corner stays sharp. "
     "Watch for the witness mark that a tool leaves when it rests against the part.",
     {},
     practice},
    {'G',
     121,
     in_all,
     M::polar_on,
     "Polar face milling on",
     "From here X and C are worked as a flat plane on the face, for live tools milling flats and slots. "
     "Watch "
     "that ordinary turning moves are not written before it is switched off, and that X and C start in a "
     "safe "
     "place.",
     {},
     practice},
    {'G',
     131,
     in_all,
     M::polar_off,
     "Polar face milling off",
     "X and C are ordinary axes again. Watch that the tool stands clear, because the position is shown in "
     "the "
     "ordinary way from here.",
     {},
     practice,
     true},
    {'G',
     1120,
     in_all,
     M::polar_on,
     "Polar face milling on",
     "The same as G12.1: from here X and C are worked as a flat plane on the face. Watch that ordinary "
     "turning "
     "moves are not written before it is switched off.",
     {},
     practice},
    {'G',
     1130,
     in_all,
     M::polar_off,
     "Polar face milling off",
     "The same as G13.1: X and C are ordinary axes again. Watch that the tool stands clear, because the "
     "position "
     "is shown in the ordinary way from here.",
     {},
     practice,
     true},
    {'G', 310, in_a, M::skip_feed, "Feed until a signal", skip_text, skip_a, practice},
    {'G', 310, in_bc, M::skip_feed, "Feed until a signal", skip_text, skip_bc, practice},
    {'G', 320, in_a, M::thread, "Thread cut", thread_text, thread_a, practice},
    {'G', 330, in_bc, M::thread, "Thread cut", thread_text, thread_bc, iso_6983},
    {'G', 340, in_a, M::thread_varying_lead, "Thread cut with changing lead", varying_text, varying_a,
     practice},
    {'G', 340, in_bc, M::thread_varying_lead, "Thread cut with changing lead", varying_text, varying_bc,
     practice},
    {'G',
     610,
     in_all,
     M::exact_stop_mode,
     "Exact stop in every block",
     "The slides come to rest at the end of every cutting block until another path mode is given. Watch "
     "cycle "
     "time and witness marks, and go back to G64 when the sharp corners are done.",
     {},
     practice},
    {'G',
     620,
     in_all,
     M::corner_override,
     "Slow down in inside corners",
     "The feed is lowered by itself in inside corners while nose radius compensation is on. Watch that the "
     "amount comes from the control's own settings and not from the program.",
     {},
     practice},
    {'G',
     630,
     in_all,
     M::tapping_mode,
     "Tapping mode",
     "Feed override and feed hold do nothing and the slides do not slow down between blocks, as a tap needs "
     "it. "
     "Watch that the operator cannot stop the feed, and go back to G64 as soon as the tap is out.",
     {},
     practice},
    {'G',
     640,
     in_all,
     M::cutting_mode,
     "Continuous path",
     "Each cutting block flows into the next without a full stop, which is the usual way of turning. Watch "
     "that "
     "sharp corners come out slightly rounded at high feed.",
     {},
     practice,
     true},
};
} // namespace

std::span<const Code> motion_codes() {
    return motion_rows;
}

} // namespace turnwright::codes

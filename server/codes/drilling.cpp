// Drilling, tapping and boring on the face and into the side.
//
// R is a distance from the start level in system A and the R level itself in B and C.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse face_a[] = {
    {'Z', Q::length_z, false, "bottom of the hole"},
    {'W', Q::increment_z, false, "distance in Z to the bottom"},
    {'R', Q::increment_z, false, "distance from the start level to the R level"},
    {'Q', Q::length_units, false, "depth of each peck"},
    {'P', Q::milliseconds, false, "dwell at the bottom"},
    {'F', Q::feed, false, "feed"},
    {'X', Q::length_x, false, "place of the hole in X"},
    {'C', Q::angle, false, "place of the hole, angle of the C axis"},
    {'U', Q::increment_x, false, "distance in X to the hole"},
    {'H', Q::angle, false, "turn of the C axis to the hole"},
    {'K', Q::count, false, "number of holes"},
    {'S', Q::speed, false, "speed"},
};
constexpr WordUse face_bc[] = {
    {'Z', Q::length_z, false, "bottom of the hole"},
    {'R', Q::length_z, false, "R level in Z, or distance to it under G91"},
    {'Q', Q::length_units, false, "depth of each peck"},
    {'P', Q::milliseconds, false, "dwell at the bottom"},
    {'F', Q::feed, false, "feed"},
    {'X', Q::length_x, false, "place of the hole in X"},
    {'C', Q::angle, false, "place of the hole, angle of the C axis"},
    {'K', Q::count, false, "number of holes"},
    {'S', Q::speed, false, "speed"},
};
constexpr WordUse side_a[] = {
    {'X', Q::length_x, false, "bottom of the hole"},
    {'U', Q::increment_x, false, "distance in X to the bottom"},
    {'R', Q::radius_x, false, "distance from the start level to the R level, on radius"},
    {'Q', Q::length_units, false, "depth of each peck"},
    {'P', Q::milliseconds, false, "dwell at the bottom"},
    {'F', Q::feed, false, "feed"},
    {'Z', Q::length_z, false, "place of the hole in Z"},
    {'C', Q::angle, false, "place of the hole, angle of the C axis"},
    {'W', Q::increment_z, false, "distance in Z to the hole"},
    {'H', Q::angle, false, "turn of the C axis to the hole"},
    {'K', Q::count, false, "number of holes"},
    {'S', Q::speed, false, "speed"},
};
constexpr WordUse side_bc[] = {
    {'X', Q::length_x, false, "bottom of the hole"},
    {'R', Q::length_x, false, "R level in X, or distance to it under G91"},
    {'Q', Q::length_units, false, "depth of each peck"},
    {'P', Q::milliseconds, false, "dwell at the bottom"},
    {'F', Q::feed, false, "feed"},
    {'Z', Q::length_z, false, "place of the hole in Z"},
    {'C', Q::angle, false, "place of the hole, angle of the C axis"},
    {'K', Q::count, false, "number of holes"},
    {'S', Q::speed, false, "speed"},
};

constexpr std::string_view spot_title = "Drilling";
constexpr std::string_view spot_text = "Drills along Z to the bottom in one stroke and comes out by rapid. "
                                       "Watch that it stays in force, so that any "
                                       "later position is another hole until G80.";
constexpr std::string_view dwell_title = "Drilling with dwell";
constexpr std::string_view dwell_text = "Drills along Z to the bottom in one stroke, waits there for P, and "
                                        "comes out by rapid. Watch that P is in "
                                        "milliseconds and that the cycle stays in force until G80.";
constexpr std::string_view face_title = "Drilling on the face";
constexpr std::string_view face_text = "Drills along Z to the bottom, in pecks of Q if Q is written, drawing "
                                       "back between them as a parameter of the "
                                       "control says, and comes out by rapid. Watch that a drill on the "
                                       "centre wants constant spindle speed and no X "
                                       "word, and that G80 ends the cycle.";
constexpr std::string_view fast_title = "Drilling on the face with short retracts";
constexpr std::string_view fast_text =
    "Drills along Z to the bottom in pecks of Q and draws back only a little after each, to break the chip. "
    "Watch that the chips stay in the hole, and that G80 ends the cycle.";
constexpr std::string_view deep_title = "Drilling on the face out of the hole after each peck";
constexpr std::string_view deep_text =
    "Drills along Z to the bottom in pecks of Q and comes out of the hole after each, to clear the chips. "
    "Watch that G80 ends the cycle.";
constexpr std::string_view tap_title = "Tapping on the face";
constexpr std::string_view tap_text =
    "Feeds the tap along Z to the bottom, reverses the spindle and feeds it out again. Watch that feed and "
    "lead "
    "agree, that the spindle is in constant speed, and that G80 ends the cycle.";
constexpr std::string_view bore_title = "Boring on the face";
constexpr std::string_view bore_text =
    "Feeds along Z to the bottom and out again at a feed, as reamers need: at the same feed or twice it, by "
    "the control. Watch that it stays in force until G80, and that the way out is not by rapid.";
constexpr std::string_view stop_title = "Boring with spindle stop";
constexpr std::string_view stop_text = "Feeds along Z to the bottom, stops the spindle and comes out by "
                                       "rapid. Watch that the stopped tool leaves a "
                                       "line along the bore, and that few lathes have this cycle.";
constexpr std::string_view side_title = "Drilling into the side";
constexpr std::string_view side_text =
    "Drills along X to the bottom with a live tool, in pecks of Q if Q is written, and comes out by rapid. "
    "Watch "
    "that the main spindle is held at its angle, and that G80 ends the cycle.";
constexpr std::string_view side_tap_title = "Tapping into the side";
constexpr std::string_view side_tap_text =
    "Feeds the live tap along X to the bottom, reverses it and feeds it out again. Watch that feed and lead "
    "agree, "
    "that the main spindle is held at its angle, and that G80 ends the cycle.";
constexpr std::string_view side_bore_title = "Boring into the side";
constexpr std::string_view side_bore_text = "Feeds along X to the bottom with a live tool and out again at a "
                                            "feed. Watch that the main spindle is held at "
                                            "its angle, and that G80 ends the cycle.";

constexpr Code drilling_rows[] = {
    {'G',
     800,
     in_all,
     M::drill_cycle_off,
     "Drilling cycles off",
     "No drilling, tapping or boring cycle is in force any more, and positions are plain moves again. Watch "
     "that "
     "it stands after the last hole, because the next position would otherwise drill.",
     {},
     iso_6983,
     true},
    {'G', 810, in_a, M::drill_spot, spot_title, spot_text, face_a, iso_6983},
    {'G', 810, in_bc, M::drill_spot, spot_title, spot_text, face_bc, iso_6983},
    {'G', 820, in_a, M::drill_dwell, dwell_title, dwell_text, face_a, iso_6983},
    {'G', 820, in_bc, M::drill_dwell, dwell_title, dwell_text, face_bc, iso_6983},
    {'G', 830, in_a, M::drill_face, face_title, face_text, face_a, iso_6983},
    {'G', 830, in_bc, M::drill_face, face_title, face_text, face_bc, iso_6983},
    {'G', 835, in_a, M::drill_face, fast_title, fast_text, face_a, practice},
    {'G', 835, in_bc, M::drill_face, fast_title, fast_text, face_bc, practice},
    {'G', 836, in_a, M::drill_face, deep_title, deep_text, face_a, practice},
    {'G', 836, in_bc, M::drill_face, deep_title, deep_text, face_bc, practice},
    {'G', 840, in_a, M::tap_face, tap_title, tap_text, face_a, iso_6983},
    {'G', 840, in_bc, M::tap_face, tap_title, tap_text, face_bc, iso_6983},
    {'G', 850, in_a, M::bore_face, bore_title, bore_text, face_a, iso_6983},
    {'G', 850, in_bc, M::bore_face, bore_title, bore_text, face_bc, iso_6983},
    {'G', 860, in_a, M::bore_stop, stop_title, stop_text, face_a, iso_6983},
    {'G', 860, in_bc, M::bore_stop, stop_title, stop_text, face_bc, iso_6983},
    {'G', 870, in_a, M::drill_side, side_title, side_text, side_a, practice},
    {'G', 870, in_bc, M::drill_side, side_title, side_text, side_bc, practice},
    {'G', 880, in_a, M::tap_side, side_tap_title, side_tap_text, side_a, practice},
    {'G', 880, in_bc, M::tap_side, side_tap_title, side_tap_text, side_bc, practice},
    {'G', 890, in_a, M::bore_side, side_bore_title, side_bore_text, side_a, practice},
    {'G', 890, in_bc, M::bore_side, side_bore_title, side_bore_text, side_bc, practice},
};
} // namespace

std::span<const Code> drilling_codes() {
    return drilling_rows;
}

} // namespace turnwright::codes

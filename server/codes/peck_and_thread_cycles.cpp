// Cycles that peck on the face or into the side, and the threading cycle in many passes.
//
// The threading cycle has three rows: the first of two lines (P packed), the second line (P a height), and
// the one-line form (P a way of infeed).
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse peck_words[] = {
    {'R', Q::length, false, "retract after each peck (first line); relief at the bottom (second line)"},
    {'X', Q::length_x, false, "end in X"},
    {'Z', Q::length_z, false, "end in Z"},
    {'U', Q::increment_x, false, "distance in X to the end"},
    {'W', Q::increment_z, false, "distance in Z to the end"},
    {'P', Q::length_units, false, "step in X on radius"},
    {'Q', Q::length_units, false, "step in Z"},
    {'I', Q::radius_x, false, "step in X on radius (one-line form)"},
    {'K', Q::length, false, "step in Z (one-line form)"},
    {'D', Q::length_units, false, "relief at the bottom (one-line form)"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse thread_first[] = {
    {'P', Q::packed, false, "finish passes, run-out in tenths of the lead and thread angle, two digits each"},
    {'Q', Q::length_units, false, "least depth of a pass, on radius"},
    {'R', Q::length, false, "depth of the finish pass, on radius"},
};
constexpr WordUse thread_second[] = {
    {'X', Q::length_x, false, "root diameter of the thread"},
    {'Z', Q::length_z, false, "end of the thread in Z"},
    {'U', Q::increment_x, false, "distance in X to the root"},
    {'W', Q::increment_z, false, "distance in Z to the end"},
    {'R', Q::radius_x, false, "taper: start less end on radius, with sign"},
    {'P', Q::length_units, false, "height of the thread, on radius"},
    {'Q', Q::length_units, false, "depth of the first pass, on radius"},
    {'F', Q::lead, true, "lead of the thread"},
};
constexpr WordUse thread_one_line[] = {
    {'X', Q::length_x, false, "root diameter of the thread"},
    {'Z', Q::length_z, false, "end of the thread in Z"},
    {'U', Q::increment_x, false, "distance in X to the root"},
    {'W', Q::increment_z, false, "distance in Z to the end"},
    {'I', Q::radius_x, false, "taper: start less end on radius, with sign"},
    {'K', Q::length, true, "height of the thread, on radius"},
    {'D', Q::length_units, true, "depth of the first pass, on radius"},
    {'A', Q::angle, false, "angle of the thread"},
    {'P', Q::count, false, "way of infeed"},
    {'Q', Q::angle_units, false, "angle of the spindle where the thread starts"},
    {'F', Q::lead, true, "lead of the thread"},
    {'E', Q::none, false, "lead or threads per inch, by the control"},
};

constexpr std::string_view peck_face_title = "Pecking on the face";
constexpr std::string_view peck_face_text =
    "Cuts along Z in pecks with a short retract after each, as a hole on the centre or a groove in the face. "
    "Watch that a drill on the centre gets no X word, and that P and Q are written in least increments with "
    "no "
    "point.";
constexpr std::string_view peck_side_title = "Pecking into the side";
constexpr std::string_view peck_side_text =
    "Cuts along X in pecks with a short retract after each, as a groove, several grooves or a part-off. "
    "Watch "
    "that the step in Z is no wider than the tool, or rings of material stay between the grooves.";
constexpr std::string_view thread_cycle_title = "Threading in many passes";
constexpr std::string_view thread_first_title = "Threading in many passes, first line";
constexpr std::string_view thread_first_text =
    "Stores the finish passes, run-out, angle, least depth and finish depth for the line that follows, and "
    "nothing "
    "moves yet. Watch that P is three pairs of digits in one number, so a digit left out shifts all of them.";
constexpr std::string_view thread_cycle_text = "Cuts the whole thread in passes that grow shallower with depth, "
                                         "from the first depth Q down to the height P "
                                         "and the finish passes. Watch that P and Q are on radius in least "
                                         "increments with no point, that the speed is "
                                         "constant, and that the start leaves room to run in.";
constexpr std::string_view thread_line_title = "Threading in many passes, one-line form";
constexpr std::string_view thread_line_text =
    "Cuts the whole thread in passes that grow shallower with depth, from the first depth D down to the "
    "height K. "
    "Watch that the speed is constant, that the start leaves room to run in, and that D has no point.";

constexpr Code peck_rows[] = {
    {'G', 740, in_ab, M::peck_face, peck_face_title, peck_face_text, peck_words, practice},
    {'G', 760, in_c, M::peck_face, peck_face_title, peck_face_text, peck_words, practice},
    {'G', 750, in_ab, M::groove_side, peck_side_title, peck_side_text, peck_words, practice},
    {'G', 770, in_c, M::groove_side, peck_side_title, peck_side_text, peck_words, practice},
    {'G', 760, in_ab, M::thread_cycle, thread_first_title, thread_first_text, thread_first, practice},
    {'G', 760, in_ab, M::thread_cycle, thread_cycle_title, thread_cycle_text, thread_second, practice},
    {'G', 760, in_ab, M::thread_cycle, thread_line_title, thread_line_text, thread_one_line, practice},
    {'G', 780, in_c, M::thread_cycle, thread_first_title, thread_first_text, thread_first, practice},
    {'G', 780, in_c, M::thread_cycle, thread_cycle_title, thread_cycle_text, thread_second, practice},
    {'G', 780, in_c, M::thread_cycle, thread_line_title, thread_line_text, thread_one_line, practice},
};
} // namespace

std::span<const Code> peck_and_thread_cycle_codes() {
    return peck_rows;
}

} // namespace turnwright::codes

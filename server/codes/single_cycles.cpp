// Single cycles: one block is approach, cut, retract and return. They stay in force until another motion
// code.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse turning_a[] = {
    {'X', Q::length_x, false, "diameter of the cut at its end"},
    {'Z', Q::length_z, false, "end of the cut in Z"},
    {'U', Q::increment_x, false, "distance in X to the end of the cut"},
    {'W', Q::increment_z, false, "distance in Z to the end of the cut"},
    {'R', Q::radius_x, false, "taper: start less end on radius, with sign"},
    {'I', Q::radius_x, false, "taper: start less end on radius, with sign, in an older form"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse turning_bc[] = {
    {'X', Q::length_x, false, "diameter of the cut at its end, or distance under G91"},
    {'Z', Q::length_z, false, "end of the cut in Z, or distance under G91"},
    {'R', Q::radius_x, false, "taper: start less end on radius, with sign"},
    {'I', Q::radius_x, false, "taper: start less end on radius, with sign, in an older form"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse threading_a[] = {
    {'X', Q::length_x, false, "diameter of this pass at its end"},
    {'Z', Q::length_z, false, "end of the thread in Z"},
    {'U', Q::increment_x, false, "distance in X to the end of the thread"},
    {'W', Q::increment_z, false, "distance in Z to the end of the thread"},
    {'R', Q::radius_x, false, "taper: start less end on radius, with sign"},
    {'I', Q::radius_x, false, "taper: start less end on radius, with sign, in an older form"},
    {'F', Q::lead, false, "lead of the thread"},
    {'E', Q::none, false, "lead or threads per inch, by the control"},
    {'Q', Q::angle_units, false, "angle of the spindle where the thread starts"},
};
constexpr WordUse threading_bc[] = {
    {'X', Q::length_x, false, "diameter of this pass at its end, or distance under G91"},
    {'Z', Q::length_z, false, "end of the thread in Z, or distance under G91"},
    {'R', Q::radius_x, false, "taper: start less end on radius, with sign"},
    {'I', Q::radius_x, false, "taper: start less end on radius, with sign, in an older form"},
    {'F', Q::lead, false, "lead of the thread"},
    {'E', Q::none, false, "lead or threads per inch, by the control"},
    {'Q', Q::angle_units, false, "angle of the spindle where the thread starts"},
};
constexpr WordUse facing_a[] = {
    {'X', Q::length_x, false, "end of the cut in X"},
    {'Z', Q::length_z, false, "face of the cut at its end"},
    {'U', Q::increment_x, false, "distance in X to the end of the cut"},
    {'W', Q::increment_z, false, "distance in Z to the end of the cut"},
    {'R', Q::length, false, "taper: start less end in Z, with sign"},
    {'K', Q::length, false, "taper: start less end in Z, with sign, in an older form"},
    {'F', Q::feed, false, "feed"},
};
constexpr WordUse facing_bc[] = {
    {'X', Q::length_x, false, "end of the cut in X, or distance under G91"},
    {'Z', Q::length_z, false, "face of the cut at its end, or distance under G91"},
    {'R', Q::length, false, "taper: start less end in Z, with sign"},
    {'K', Q::length, false, "taper: start less end in Z, with sign, in an older form"},
    {'F', Q::feed, false, "feed"},
};

constexpr std::string_view single_turning_text = "One pass along the bar: in to the diameter by rapid, along Z at "
                                          "the feed, out in X at the feed, and back to "
                                          "the start by rapid. Watch that it stays in force, so that every "
                                          "later X or Z is another pass until a motion "
                                          "code ends it.";
constexpr std::string_view threading_text = "One thread pass: in to the diameter by rapid, along the thread "
                                            "at the lead, out, and back to the start by "
                                            "rapid, with each later X another pass. Watch that the speed "
                                            "stays constant from first to last pass, that the "
                                            "start leaves room to run in, and that a motion code ends it.";
constexpr std::string_view single_facing_text =
    "One pass across the face: to the face in Z by rapid, across in X at the feed, off in Z at the feed, and "
    "back "
    "to the start by rapid. Watch that it stays in force, so that every later X or Z is another pass until a "
    "motion code ends it.";

constexpr Code single_cycle_rows[] = {
    {'G', 900, in_a, M::single_turning, "Single turning cycle", single_turning_text, turning_a, practice},
    {'G', 770, in_b, M::single_turning, "Single turning cycle", single_turning_text, turning_bc, practice},
    {'G', 200, in_c, M::single_turning, "Single turning cycle", single_turning_text, turning_bc, practice},
    {'G', 920, in_a, M::single_threading, "Single threading cycle", threading_text, threading_a, practice},
    {'G', 780, in_b, M::single_threading, "Single threading cycle", threading_text, threading_bc, practice},
    {'G', 210, in_c, M::single_threading, "Single threading cycle", threading_text, threading_bc, practice},
    {'G', 940, in_a, M::single_facing, "Single facing cycle", single_facing_text, facing_a, practice},
    {'G', 790, in_b, M::single_facing, "Single facing cycle", single_facing_text, facing_bc, practice},
    {'G', 240, in_c, M::single_facing, "Single facing cycle", single_facing_text, facing_bc, practice},
};
} // namespace

std::span<const Code> single_cycle_codes() {
    return single_cycle_rows;
}

} // namespace turnwright::codes

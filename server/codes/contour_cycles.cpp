// Cycles that rough and finish a contour given by the blocks from N p to N q.
//
// Each roughing cycle has two rows: the first of two lines, which only stores values, and the line that names
// the contour (the second line, or the only one in the one-line form). The same letter means different things
// in them: U is a depth on radius in the first and an allowance on diameter in the second.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse finish_words[] = {
    {'P', Q::label, true, "N number where the contour starts"},
    {'Q', Q::label, true, "N number where the contour ends"},
    {'U', Q::increment_x, false, "allowance left in X, where the control takes it"},
    {'W', Q::increment_z, false, "allowance left in Z, where the control takes it"},
    {'F', Q::feed, false, "feed where the contour gives none"},
    {'S', Q::speed, false, "speed where the contour gives none"},
    {'T', Q::tool, false, "tool and offset"},
};

constexpr WordUse turning_first[] = {
    {'U', Q::radius_x, false, "depth of cut on radius"},
    {'R', Q::length, false, "retract after each cut"},
    {'P', Q::label, false, "N number where the contour starts (in the line that calls it)"},
    {'Q', Q::label, false, "N number where the contour ends (in the line that calls it)"},
    {'W', Q::increment_z, false, "allowance left in Z (in the line that calls the contour)"},
    {'D', Q::length_units, false, "depth of cut on radius (one-line form)"},
    {'I', Q::radius_x, false, "allowance in X for a cut before the finish (one-line form)"},
    {'K', Q::length, false, "allowance in Z for a cut before the finish (one-line form)"},
    {'F', Q::feed, false, "feed for roughing"},
    {'S', Q::speed, false, "speed for roughing"},
    {'T', Q::tool, false, "tool and offset"},
};
constexpr WordUse facing_first[] = {
    {'W', Q::length, false, "depth of cut in Z"},
    {'R', Q::length, false, "retract after each cut"},
    {'P', Q::label, false, "N number where the contour starts (in the line that calls it)"},
    {'Q', Q::label, false, "N number where the contour ends (in the line that calls it)"},
    {'U', Q::increment_x, false, "allowance left in X (in the line that calls the contour)"},
    {'D', Q::length_units, false, "depth of cut in Z (one-line form)"},
    {'I', Q::radius_x, false, "allowance in X for a cut before the finish (one-line form)"},
    {'K', Q::length, false, "allowance in Z for a cut before the finish (one-line form)"},
    {'F', Q::feed, false, "feed for roughing"},
    {'S', Q::speed, false, "speed for roughing"},
    {'T', Q::tool, false, "tool and offset"},
};
constexpr WordUse pattern_first[] = {
    {'U', Q::radius_x, false, "relief in X on radius, with sign"},
    {'W', Q::increment_z, false, "relief in Z, with sign"},
    {'R', Q::count, false, "number of cuts"},
    {'P', Q::label, false, "N number where the contour starts (in the line that calls it)"},
    {'Q', Q::label, false, "N number where the contour ends (in the line that calls it)"},
    {'I', Q::radius_x, false, "relief in X on radius (one-line form)"},
    {'K', Q::length, false, "relief in Z (one-line form)"},
    {'D', Q::count, false, "number of cuts (one-line form)"},
    {'F', Q::feed, false, "feed for roughing"},
    {'S', Q::speed, false, "speed for roughing"},
    {'T', Q::tool, false, "tool and offset"},
};

constexpr WordUse turning_call[] = {
    {'P', Q::label, true, "N number where the contour starts"},
    {'Q', Q::label, true, "N number where the contour ends"},
    {'U', Q::increment_x, false, "allowance left in X, with sign"},
    {'W', Q::increment_z, false, "allowance left in Z, with sign"},
    {'D', Q::length_units, false, "depth of cut on radius (one-line form)"},
    {'I', Q::radius_x, false, "allowance in X for a cut before the finish (one-line form)"},
    {'K', Q::length, false, "allowance in Z for a cut before the finish (one-line form)"},
    {'R', Q::length, false, "retract after each cut, where the one-line form takes it"},
    {'F', Q::feed, false, "feed for roughing"},
    {'S', Q::speed, false, "speed for roughing"},
    {'T', Q::tool, false, "tool and offset"},
};
constexpr WordUse facing_call[] = {
    {'P', Q::label, true, "N number where the contour starts"},
    {'Q', Q::label, true, "N number where the contour ends"},
    {'U', Q::increment_x, false, "allowance left in X, with sign"},
    {'W', Q::increment_z, false, "allowance left in Z, with sign"},
    {'D', Q::length_units, false, "depth of cut in Z (one-line form)"},
    {'I', Q::radius_x, false, "allowance in X for a cut before the finish (one-line form)"},
    {'K', Q::length, false, "allowance in Z for a cut before the finish (one-line form)"},
    {'R', Q::length, false, "retract after each cut, where the one-line form takes it"},
    {'F', Q::feed, false, "feed for roughing"},
    {'S', Q::speed, false, "speed for roughing"},
    {'T', Q::tool, false, "tool and offset"},
};
constexpr WordUse pattern_call[] = {
    {'P', Q::label, true, "N number where the contour starts"},
    {'Q', Q::label, true, "N number where the contour ends"},
    {'U', Q::increment_x, false, "allowance left in X, with sign"},
    {'W', Q::increment_z, false, "allowance left in Z, with sign"},
    {'I', Q::radius_x, false, "relief in X on radius (one-line form)"},
    {'K', Q::length, false, "relief in Z (one-line form)"},
    {'D', Q::count, false, "number of cuts (one-line form)"},
    {'R', Q::count, false, "number of cuts, where the one-line form takes it"},
    {'F', Q::feed, false, "feed for roughing"},
    {'S', Q::speed, false, "speed for roughing"},
    {'T', Q::tool, false, "tool and offset"},
};

constexpr std::string_view finish_title = "Finish along a contour";
constexpr std::string_view finish_text = "The tool follows the contour from block P to block Q once, at the "
                                         "feed and speed written there, and returns to "
                                         "the start by rapid. Watch that the start is clear of the part, "
                                         "because the way back is straight, and that "
                                         "nose radius compensation is set as the contour wants it.";
constexpr std::string_view turning_title = "Rough turning of a contour";
constexpr std::string_view turning_first_title = "Rough turning of a contour, first line";
constexpr std::string_view turning_first_text =
    "Stores the depth of cut on radius and the retract for the line that follows, and nothing moves yet. "
    "Watch "
    "that U here is the depth of cut, while in the next line it is the allowance in X.";
constexpr std::string_view turning_text = "Roughs away everything down to the contour from block P to block "
                                          "Q in cuts along Z, leaving the allowances U "
                                          "and W for the finish cut. Watch that the start stands outside the "
                                          "largest diameter and in front of the face, "
                                          "and that U is negative in a bore.";
constexpr std::string_view facing_title = "Rough facing of a contour";
constexpr std::string_view facing_first_title = "Rough facing of a contour, first line";
constexpr std::string_view facing_first_text =
    "Stores the depth of cut in Z and the retract for the line that follows, and nothing moves yet. Watch "
    "that W "
    "here is the depth of cut, while in the next line it is the allowance in Z.";
constexpr std::string_view facing_text = "Roughs away everything down to the contour from block P to block Q "
                                         "in cuts along X, leaving the allowances U "
                                         "and W for the finish cut. Watch that the contour is written from "
                                         "the back to the front and that the start "
                                         "stands clear of stock in X and Z.";
constexpr std::string_view pattern_title = "Repeated contour";
constexpr std::string_view pattern_first_title = "Repeated contour, first line";
constexpr std::string_view pattern_first_text =
    "Stores how far off the first cut runs in X and Z and how many cuts there are, and nothing moves yet. "
    "Watch "
    "that U is on radius and that R is a number of cuts and not a length.";
constexpr std::string_view pattern_text =
    "Cuts the whole contour from block P to block Q several times, each time nearer, as suits castings and "
    "forgings. Watch that on solid bar the tool cuts air in one place and far too deep in another.";

constexpr Code contour_rows[] = {
    {'G', 700, in_ab, M::finish_cycle, finish_title, finish_text, finish_words, practice},
    {'G', 720, in_c, M::finish_cycle, finish_title, finish_text, finish_words, practice},
    {'G', 710, in_ab, M::rough_turning, turning_first_title, turning_first_text, turning_first, practice},
    {'G', 710, in_ab, M::rough_turning, turning_title, turning_text, turning_call, practice},
    {'G', 730, in_c, M::rough_turning, turning_first_title, turning_first_text, turning_first, practice},
    {'G', 730, in_c, M::rough_turning, turning_title, turning_text, turning_call, practice},
    {'G', 720, in_ab, M::rough_facing, facing_first_title, facing_first_text, facing_first, practice},
    {'G', 720, in_ab, M::rough_facing, facing_title, facing_text, facing_call, practice},
    {'G', 740, in_c, M::rough_facing, facing_first_title, facing_first_text, facing_first, practice},
    {'G', 740, in_c, M::rough_facing, facing_title, facing_text, facing_call, practice},
    {'G', 730, in_ab, M::pattern_repeat, pattern_first_title, pattern_first_text, pattern_first, practice},
    {'G', 730, in_ab, M::pattern_repeat, pattern_title, pattern_text, pattern_call, practice},
    {'G', 750, in_c, M::pattern_repeat, pattern_first_title, pattern_first_text, pattern_first, practice},
    {'G', 750, in_c, M::pattern_repeat, pattern_title, pattern_text, pattern_call, practice},
};
} // namespace

std::span<const Code> contour_cycle_codes() {
    return contour_rows;
}

} // namespace turnwright::codes

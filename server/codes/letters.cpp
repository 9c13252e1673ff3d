// Address letters: what a letter is when no code of its block says otherwise.
#include "text/letters.h"
#include "codes/families.h"

#include <array>

namespace turnwright::codes {
namespace {
using Q = Quantity;

constexpr Letter letter_rows[] = {
    {'X', Q::length_x, "Coordinate in X",
     "Position across the axis, as a diameter on most lathes, or as a radius where the machine is set so. X0 "
     "is the "
     "spindle centreline.",
     iso_6983},
    {'Z', Q::length_z, "Coordinate in Z", "Position along the spindle axis. Plus is away from the chuck.",
     iso_6983},
    {'Y', Q::length_z, "Coordinate in Y",
     "Position across the axis at right angles to X, on machines that have it.", iso_6983},
    {'C', Q::angle, "Angle of the C axis",
     "Angle of the main spindle when it works as an axis. On plain lathes the letter is a chamfer instead.",
     iso_6983},
    {'U', Q::increment_x, "Distance in X",
     "How far X moves from where it stands, as a change of diameter where X is a diameter. Used in system A "
     "beside "
     "absolute X.",
     practice},
    {'W', Q::increment_z, "Distance in Z",
     "How far Z moves from where it stands. Used in system A beside absolute Z.", practice},
    {'V', Q::increment_z, "Distance in Y",
     "How far Y moves from where it stands. Used in system A beside absolute Y.", practice},
    {'H', Q::angle, "Turn of the C axis",
     "How far the C axis turns from where it stands. Used in system A beside absolute C.", practice},
    {'I', Q::radius_x, "Arc centre in X",
     "Distance in X from the start of an arc to its centre, always on radius. In some cycles it is a taper.",
     iso_6983},
    {'J', Q::length, "Arc centre in Y", "Distance in Y from the start of an arc to its centre.", iso_6983},
    {'K', Q::length, "Arc centre in Z",
     "Distance in Z from the start of an arc to its centre. In some cycles it is a depth or a count.",
     iso_6983},
    {'R', Q::length, "Radius",
     "Radius of an arc or a corner. In cycles it is a retract, a taper or a level, as the cycle says.",
     practice},
    {'F', Q::feed, "Feed",
     "How fast the tool moves while it cuts, for one turn or one minute by the feed mode. In threading it is "
     "the "
     "lead.",
     iso_6983},
    {'E', Q::none, "Second feed or lead",
     "A second feed, a lead or threads per inch, as the control reads it. What it is cannot be told from the "
     "program "
     "alone.",
     iso_6983},
    {'S', Q::speed, "Spindle speed",
     "Turns a minute, or the surface speed in metres or feet a minute under G96.", iso_6983},
    {'T', Q::tool, "Tool and offset",
     "Turret station and tool offset in one number, each two digits in the four-digit form. Offset 00 takes "
     "the "
     "offset away.",
     iso_6983},
    {'N', Q::label, "Sequence number",
     "Name of a block, for searching, for jumps and for cycles that name a contour. It moves nothing.",
     iso_6983},
    {'O', Q::program, "Program number", "Number under which the control stores the program.", practice},
    {'P', Q::count, "P word",
     "A number whose meaning the code of the block sets: a dwell, a program, a label or a count.", practice},
    {'Q', Q::count, "Q word",
     "A number whose meaning the code of the block sets: a peck, a label or a start angle.", practice},
    {'D', Q::length_units, "Depth of cut",
     "Depth in the one-line form of a cycle, in least increments with no point. Outside cycles it has no "
     "meaning of "
     "its own.",
     practice},
    {'L', Q::count, "Count", "How many times a subprogram or macro runs, or the kind of data with G10.",
     practice},
    {'A', Q::angle, "Angle",
     "Angle of a line to the Z axis, or of a thread in the one-line threading cycle; alone in a rapid the "
     "way "
     "of a slide, as the second spindle's.",
     practice},
    {'B', Q::angle, "B axis",
     "Angle of a turning head or an index, or the way of a slide, as the second spindle's: the machine's "
     "book "
     "says which.",
     iso_6983},
    {'M', Q::count, "Miscellaneous function",
     "Switches something on the machine: spindle, coolant, stops, clamps. Numbers outside the common ones "
     "belong to "
     "the machine's maker.",
     iso_6983},
    {'G', Q::count, "Preparatory function",
     "Says how the words of this block, and often of those after it, are to be read. Its number means "
     "different "
     "things in systems A, B and C.",
     iso_6983},
};

constexpr std::array<std::int8_t, 26> index_of_letters() {
    std::array<std::int8_t, 26> index{};
    index.fill(-1);
    std::int8_t place = 0;
    for (const Letter& row : letter_rows) index[static_cast<std::size_t>(row.letter - 'A')] = place++;
    return index;
}
constexpr std::array<std::int8_t, 26> index = index_of_letters();
} // namespace

const Letter* letter(char letter) {
    letter = text::upper(letter);
    if (letter < 'A' || letter > 'Z') return nullptr;
    const std::int8_t place = index[static_cast<std::size_t>(letter - 'A')];
    return place < 0 ? nullptr : &letter_rows[place];
}

std::span<const Letter> all_letters() {
    return letter_rows;
}

} // namespace turnwright::codes

// Miscellaneous functions that mean the same on every machine. All other M numbers belong to the machine's
// maker: the shop file names them, and without it they stay unknown.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse start_words[] = {{'S', Q::speed, false, "speed"}};
constexpr WordUse orient_words[] = {
    {'S', Q::angle, false, "angle, where the machine takes it"},
    {'R', Q::angle, false, "angle, where the machine takes it"},
};
constexpr WordUse rigid_words[] = {{'S', Q::speed_rpm, false, "turns a minute while tapping"}};
constexpr WordUse change_words[] = {{'T', Q::tool, false, "tool and offset"}};
constexpr WordUse call_words[] = {
    {'P', Q::program, false,
     "number of the subprogram, with the times in front where the control packs them"},
    {'L', Q::count, false, "how many times"},
};
constexpr WordUse return_words[] = {{'P', Q::label, false, "N number in the calling program to go on from"}};

constexpr Code miscellaneous_rows[] = {
    {'M',
     0,
     in_all,
     M::program_stop,
     "Program stop",
     "The program stops here, after the block's move, with spindle and coolant, until the start key is "
     "pressed. Watch that most "
     "controls "
     "stop the spindle but do not start it again by themselves, so the next block needs its own M03 or M04.",
     {},
     iso_6983},
    {'M',
     10,
     in_all,
     M::optional_stop,
     "Optional stop",
     "The program stops here only while the optional stop switch is on, as between two tools. Watch that the "
     "block "
     "after it can be started from, with spindle, coolant and feed given anew.",
     {},
     iso_6983},
    {'M',
     20,
     in_all,
     M::program_end,
     "Program end",
     "The program ends here and does not go back to its start. Watch that a tape style program needs a "
     "rewind "
     "before the next part, which M30 does.",
     {},
     iso_6983},
    {'M', 30, in_all, M::spindle_forward, "Spindle forward",
     "The main spindle turns in the forward direction at the speed in force. Watch that it suits the tool: "
     "one "
     "mounted upside down wants M04.",
     start_words, iso_6983},
    {'M', 40, in_all, M::spindle_reverse, "Spindle reverse",
     "The main spindle turns in the reverse direction at the speed in force. Watch that it suits the tool, "
     "and that "
     "a turning spindle is stopped before it is reversed.",
     start_words, iso_6983},
    {'M',
     50,
     in_all,
     M::spindle_stop,
     "Spindle stop",
     "The main spindle stops; in a block with a move it stops after the move, though some controls do it at "
     "once. Watch that the tool is out of the cut first, and that the next tool starts the spindle again.",
     {},
     iso_6983,
     true},
    {'M', 60, in_all, M::tool_change, "Tool change",
     "Changes to the tool named by T on machines with a changer, while a turret lathe indexes by T alone. "
     "Watch "
     "that the turret stands clear of the part before any change.",
     change_words, iso_6983},
    {'M',
     70,
     in_all,
     M::coolant_mist,
     "Second coolant on",
     "Starts mist or a second coolant, as the machine is fitted. Watch that the machine has it, and that M09 "
     "stops "
     "it.",
     {},
     iso_6983},
    {'M',
     80,
     in_all,
     M::coolant_on,
     "Coolant on",
     "Starts the flood coolant. Watch that it runs before the tool cuts, and that the guard is closed.",
     {},
     iso_6983},
    {'M',
     90,
     in_all,
     M::coolant_off,
     "Coolant off",
     "Stops all coolant; in a block with a move after the move, on some controls at once. Watch that the "
     "tool is out of the cut first.",
     {},
     iso_6983,
     true},
    {'M', 190, in_all, M::spindle_orient, "Spindle stop at an angle",
     "The spindle stops at a fixed angle, or at the one written where the machine takes it. Watch that an "
     "ordinary "
     "start is needed before the next cut.",
     orient_words, iso_6983},
    {'M', 290, in_all, M::rigid_tapping, "Rigid tapping",
     "Couples spindle and feed for the tapping cycle that follows, so that no floating holder is needed. "
     "Watch that "
     "the tapping cycle stands in the next block and that S is turns a minute.",
     rigid_words, practice},
    {'M',
     300,
     in_all,
     M::program_end_rewind,
     "Program end and rewind",
     "The program ends, spindle and coolant stop, and it stands at its start for the next part. Watch that "
     "most "
     "modal codes stay as they are, so the head of the program must set what it needs.",
     {},
     iso_6983},
    {'M', 980, in_all, M::subprogram_call, "Subprogram call",
     "Runs the subprogram P once, or L times, and goes on after this block. Watch that whatever the "
     "subprogram "
     "leaves in force stays in force here.",
     call_words, practice},
    {'M', 1980, in_all, M::subprogram_call, "Subprogram call, program kept elsewhere",
     "Runs the program P from a card, a disk or another store, and goes on after this block. Watch that it "
     "is "
     "there when the block comes, and that the store is as fast as the program needs.",
     call_words, practice},
    {'M', 990, in_all, M::subprogram_end, "Subprogram end",
     "Goes back to the calling program, or in a main program to its start, over and over. Watch that in a "
     "main "
     "program it never ends by itself, as bar work wants it.",
     return_words, practice},
};
} // namespace

std::span<const Code> miscellaneous_codes() {
    return miscellaneous_rows;
}

} // namespace turnwright::codes

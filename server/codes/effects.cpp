// What codes of a machine's builder may do, as a shop file says it.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using M = Meaning;

constexpr Effect effect(std::string_view words, M meaning, std::string_view title, std::string_view text) {
    return {words, {'M', no_number, in_all, meaning, title, text, {}, practice}};
}

constexpr Effect effect_rows[] = {
    effect("clamp", M::chuck_closed, "Chuck or collet closes",
           "Watch that the part is seated, and that the machine waits until it is held."),
    effect("unclamp", M::chuck_open, "Chuck or collet opens",
           "Watch that the spindle stands and that nothing else must hold the part."),
    effect("quill out", M::quill_out, "Quill comes out",
           "Watch that the part is held in the chuck, and that no tool stands in its way."),
    effect("quill in", M::quill_in, "Quill goes back",
           "Watch that the spindle stands: after it a long part is held at one end alone."),
    effect("bar feed", M::bar_feed, "Bar is fed",
           "Watch that the chuck or collet is open, and that the stop stands where the bar should end."),
    effect("catcher out", M::catcher_out, "Part catcher comes out",
           "Watch that tool and jaws are clear of it."),
    effect("catcher in", M::catcher_in, "Part catcher goes back", ""),
    effect("steady clamp", M::steady_closed, "Steady closes", "Watch that the place it runs on is turned."),
    effect("steady unclamp", M::steady_open, "Steady opens", "Watch that the spindle stands."),
    effect("door open", M::door_open, "Door opens", "Watch that spindle and axes stand."),
    effect("door close", M::door_closed, "Door closes", ""),
    effect("second clamp", M::second_chuck_closed, "Second chuck closes",
           "Watch that the part stands in it, and that both spindles stand or turn together."),
    effect("second unclamp", M::second_chuck_open, "Second chuck opens",
           "Watch that its spindle stands and that the part is held or caught."),
    effect("C axis on", M::c_axis_on, "C axis engages: the spindle is turned to angles",
           "Watch that the spindle stands, and that C is sent to its zero before it is counted from."),
    effect("second C axis on", M::second_c_axis_on, "C axis of the second spindle engages",
           "Watch that the second spindle stands, and that C is sent to its zero before it is counted from."),
    effect("C axis off", M::c_axis_off, "C axis is released: the spindle turns again",
           "Watch that no brake holds it and no live tool stands in the part."),
    effect("C brake on", M::c_brake_on, "C brake holds the spindle where it stands",
           "Watch that it is let go before C moves again."),
    effect("C brake off", M::c_brake_off, "C brake lets go", ""),
    effect("live tool on", M::live_tool_on, "Live tool turns",
           "Watch that S speaks to the live tool now, and that surface speed is off."),
    effect("live tool reverse", M::live_tool_reverse, "Live tool turns the other way round",
           "Watch that the tool is made for it, as a left-hand tap is."),
    effect("live tool off", M::live_tool_off, "Live tool stops", "Watch that it is clear of the part."),
    effect("spindles together", M::spindles_joined, "Both spindles turn together",
           "Watch that both can turn at this speed, and in which direction each turns."),
    effect("spindles apart", M::spindles_parted, "Spindles turn apart again",
           "Watch that only one of them still holds the part."),
    effect("second forward", M::second_forward, "Second spindle turns forward",
           "Watch that its chuck is closed on a part, and that S speaks to it from here on."),
    effect("second reverse", M::second_reverse, "Second spindle turns in reverse",
           "Watch that its chuck is closed on a part, and that S speaks to it from here on."),
    effect("second stop", M::second_stop, "Second spindle stops", ""),
    effect("choose main spindle", M::main_spoken_to, "S and M03 speak to the main spindle",
           "Watch that speed, limit and feed by the revolution are those of this spindle from here on."),
    effect("choose second spindle", M::second_spoken_to, "S and M03 speak to the second spindle",
           "Watch that speed, limit and feed by the revolution are those of this spindle from here on."),
    effect("choose live tool", M::live_spoken_to, "S and M03 speak to the live tool",
           "Watch that speed and feed by the revolution are those of the live tool from here on."),
    effect("push out", M::part_pushed_out, "Part is pushed out of the second chuck",
           "Watch that its chuck is open and that the part is caught."),
    effect("wait", M::path_wait, "Waits for the program of the other turret",
           "Neither program goes on before both have come to the same code. Watch that it stands in both, in "
           "the same order."),
    effect("bar stop out", M::bar_stop_out, "Bar stop comes out",
           "Watch that no tool stands in its way, and that it stands where the bar should end."),
    effect("bar stop in", M::bar_stop_in, "Bar stop goes back", "Watch that the bar is held by now."),
    effect("puller close", M::puller_closed, "Puller grips the bar",
           "Watch that it stands over the end of the bar, and that the spindle stands."),
    effect("puller open", M::puller_open, "Puller lets the bar go",
           "Watch that the chuck or collet holds the bar again."),
};
} // namespace

std::span<const Effect> effects() {
    return effect_rows;
}

} // namespace turnwright::codes

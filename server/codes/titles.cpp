// Names of meanings, groups and quantities that fit into a sentence.
#include "codes/codes.h"
#include "language/said.h"

#include <array>

namespace turnwright::codes {
namespace {
using M = Meaning;

struct Named {
    Meaning meaning;
    TableText title;
};

// Every meaning of codes.h, in its order.
constexpr Named meanings[] = {
    {M::rapid, "rapid move"},
    {M::feed_line, "feed in a straight line"},
    {M::arc_clockwise, "arc clockwise"},
    {M::arc_counterclockwise, "arc counterclockwise"},
    {M::thread, "thread cut"},
    {M::thread_varying_lead, "thread cut with changing lead"},
    {M::single_turning, "single turning cycle"},
    {M::single_threading, "single threading cycle"},
    {M::single_facing, "single facing cycle"},
    {M::thread_arc_clockwise, "thread cut on an arc, clockwise"},
    {M::thread_arc_counterclockwise, "thread cut on an arc, counterclockwise"},
    {M::plane_xy, "plane XY"},
    {M::plane_zx, "plane ZX"},
    {M::plane_yz, "plane YZ"},
    {M::inch, "inch"},
    {M::millimetre, "millimetre"},
    {M::absolute, "absolute positions"},
    {M::incremental, "incremental distances"},
    {M::feed_per_minute, "feed per minute"},
    {M::feed_per_rev, "feed per turn"},
    {M::feed_inverse_time, "inverse time feed"},
    {M::surface_speed, "constant surface speed"},
    {M::constant_rpm, "constant spindle speed"},
    {M::compensation_off, "nose radius compensation off"},
    {M::compensation_left, "nose radius compensation left"},
    {M::compensation_right, "nose radius compensation right"},
    {M::datum_1, "datum 1"},
    {M::datum_2, "datum 2"},
    {M::datum_3, "datum 3"},
    {M::datum_4, "datum 4"},
    {M::datum_5, "datum 5"},
    {M::datum_6, "datum 6"},
    {M::datum_extended, "further datum"},
    {M::drill_cycle_off, "drilling cycles off"},
    {M::drill_face, "drilling on the face"},
    {M::drill_side, "drilling into the side"},
    {M::tap_face, "tapping on the face"},
    {M::tap_side, "tapping into the side"},
    {M::bore_face, "boring on the face"},
    {M::bore_side, "boring into the side"},
    {M::drill_spot, "drilling"},
    {M::drill_dwell, "drilling with dwell"},
    {M::bore_stop, "boring with spindle stop"},
    {M::return_initial_level, "return to the start level"},
    {M::return_r_level, "return to the R level"},
    {M::cutting_mode, "continuous path"},
    {M::exact_stop_mode, "exact stop in every block"},
    {M::corner_override, "slow down in inside corners"},
    {M::tapping_mode, "tapping mode"},
    {M::modal_call_off, "macro call after every move, off"},
    {M::modal_call, "macro call after every move"},
    {M::opposed_turret_off, "opposed turret off"},
    {M::opposed_turret_on, "opposed turret on"},
    {M::travel_check_on, "forbidden zone on"},
    {M::travel_check_off, "forbidden zone off"},
    {M::speed_check_off, "spindle speed watch off"},
    {M::speed_check_on, "spindle speed watch on"},
    {M::polar_off, "polar face milling off"},
    {M::polar_on, "polar face milling on"},
    {M::spindle_forward, "spindle forward"},
    {M::spindle_reverse, "spindle reverse"},
    {M::spindle_stop, "spindle stop"},
    {M::coolant_on, "coolant on"},
    {M::coolant_off, "coolant off"},
    {M::coolant_mist, "second coolant on"},
    {M::chuck_closed, "chuck closed"},
    {M::chuck_open, "chuck open"},
    {M::quill_out, "quill out"},
    {M::quill_in, "quill in"},
    {M::catcher_out, "part catcher out"},
    {M::catcher_in, "part catcher in"},
    {M::steady_closed, "steady closed"},
    {M::steady_open, "steady open"},
    {M::door_closed, "door closed"},
    {M::door_open, "door open"},
    {M::second_chuck_closed, "second chuck closed"},
    {M::second_chuck_open, "second chuck open"},
    {M::c_axis_on, "spindle engaged as C axis"},
    {M::c_axis_off, "spindle released from C axis"},
    {M::second_c_axis_on, "second spindle engaged as C axis"},
    {M::c_brake_on, "brake of C on"},
    {M::c_brake_off, "brake of C off"},
    {M::live_tool_on, "live tool turning"},
    {M::live_tool_off, "live tool stopped"},
    {M::live_tool_reverse, "live tool turning the other way"},
    {M::spindles_joined, "both spindles turn together"},
    {M::spindles_parted, "spindles turn apart"},
    {M::main_spoken_to, "main spindle addressed by S"},
    {M::second_spoken_to, "second spindle addressed by S"},
    {M::live_spoken_to, "live tool addressed by S"},
    {M::dwell, "dwell"},
    {M::exact_stop, "exact stop in this block"},
    {M::cylindrical, "cylinder surface"},
    {M::data_setting, "set offsets from the program"},
    {M::data_setting_off, "end of setting offsets"},
    {M::reference_check, "check of the reference point"},
    {M::reference_return, "return to the reference point"},
    {M::reference_leave, "leave the reference point"},
    {M::reference_return_second, "return to a further reference point"},
    {M::skip_feed, "feed until a signal"},
    {M::automatic_offset_x, "automatic tool offset in X"},
    {M::automatic_offset_z, "automatic tool offset in Z"},
    {M::speed_limit, "speed limit"},
    {M::work_shift, "work shift"},
    {M::local_datum, "local datum"},
    {M::machine_datum, "move in the machine datum"},
    {M::macro_call, "macro call"},
    {M::finish_cycle, "finish along a contour"},
    {M::rough_turning, "rough turning of a contour"},
    {M::rough_facing, "rough facing of a contour"},
    {M::pattern_repeat, "repeated contour"},
    {M::peck_face, "pecking on the face"},
    {M::groove_side, "pecking into the side"},
    {M::thread_cycle, "threading in many passes"},
    {M::program_stop, "program stop"},
    {M::optional_stop, "optional stop"},
    {M::program_end, "program end"},
    {M::program_end_rewind, "program end and rewind"},
    {M::tool_change, "tool change"},
    {M::subprogram_call, "subprogram call"},
    {M::subprogram_end, "subprogram end"},
    {M::spindle_orient, "spindle stop at an angle"},
    {M::rigid_tapping, "rigid tapping"},
    {M::polygon_on, "polygon turning"},
    {M::polygon_off, "polygon turning off"},
    {M::datum_preset, "datum set back"},
    {M::machine_specific, "function of this machine"},
    {M::bar_feed, "bar feed"},
    {M::second_forward, "second spindle forward"},
    {M::second_reverse, "second spindle reverse"},
    {M::second_stop, "second spindle stop"},
    {M::part_pushed_out, "part pushed out"},
    {M::path_wait, "wait for the other path"},
    {M::bar_stop_out, "bar stop out"},
    {M::bar_stop_in, "bar stop in"},
    {M::puller_closed, "puller closes"},
    {M::puller_open, "puller opens"},
};

constexpr std::size_t place_count = 64;
constexpr std::uint8_t no_place = 0xff;
static_assert(std::size(meanings) < no_place);

constexpr auto places_of_meanings() {
    std::array<std::array<std::uint8_t, place_count>, group_count> places{};
    for (auto& group : places) group.fill(no_place);
    std::uint8_t place = 0;
    for (const Named& named : meanings)
        places[static_cast<std::size_t>(group_of(named.meaning))][member_of(named.meaning)] = place++;
    return places;
}
constexpr auto places = places_of_meanings();

constexpr std::string_view groups[group_count] = {
    "this block only",
    "motion",
    "plane",
    "units",
    "absolute or incremental",
    "feed mode",
    "spindle mode",
    "nose radius compensation",
    "datum",
    "drilling cycle",
    "return level",
    "path mode",
    "macro call after every move",
    "opposed turret",
    "forbidden zone",
    "spindle speed watch",
    "polar face milling",
    "spindle direction",
    "coolant",
    "chuck",
    "quill",
    "part catcher",
    "steady",
    "door",
    "second chuck",
    "C axis",
    "C brake",
    "live tool",
    "spindles together",
    "spindle that S speaks to",
};

constexpr std::string_view quantities[] = {
    "number",
    "position in X",
    "position in Z or Y",
    "distance in X, with sign",
    "distance in Z or Y, with sign",
    "distance in X on radius",
    "distance",
    "distance in least increments, no point",
    "angle in degrees",
    "feed",
    "lead, distance in one turn",
    "threads per inch",
    "speed, turns a minute or surface speed",
    "turns a minute",
    "time in seconds",
    "time in milliseconds, no point",
    "whole number",
    "N number",
    "program number",
    "tool and offset",
    "offset number",
    "several numbers in one",
    "value handed to the macro",
    "angle in least increments, no point",
};
static_assert(std::size(quantities) == static_cast<std::size_t>(Quantity::angle_units) + 1);
} // namespace

std::string_view title(Meaning meaning) {
    const auto group = static_cast<std::size_t>(group_of(meaning));
    if (group >= group_count || member_of(meaning) >= place_count) return "unknown function";
    const std::uint8_t place = places[group][member_of(meaning)];
    return place == no_place ? "unknown function" : meanings[place].title;
}

std::string_view group_title(Group group) {
    const auto place = static_cast<std::size_t>(group);
    return place < group_count ? translated(groups[place]) : std::string_view("unknown group");
}

std::vector<Meaning> members(Group group) {
    std::vector<Meaning> found;
    for (const Named& named : meanings)
        if (group_of(named.meaning) == group) found.push_back(named.meaning);
    return found;
}

std::string_view quantity_title(Quantity quantity) {
    const auto place = static_cast<std::size_t>(quantity);
    return place < std::size(quantities) ? quantities[place] : "number";
}

} // namespace turnwright::codes

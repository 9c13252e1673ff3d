#include "checks/open_end.h"

#include <algorithm>

namespace turnwright::checks {
namespace {

constexpr OpenEndRow rows[] = {
    {"blade_moved_sideways", OpenEnd::sequence},    {"code_of_pair_missing", OpenEnd::program},
    {"contour_missing", OpenEnd::program},          {"contour_not_finished", OpenEnd::program},
    {"coolant_left_on", OpenEnd::program},          {"coolant_missing", OpenEnd::program},
    {"corner_does_not_fit", OpenEnd::block},        {"cut_far_from_rest", OpenEnd::program},
    {"depth_unlike_note", OpenEnd::sequence},       {"drill_not_withdrawn", OpenEnd::sequence},
    {"face_left_standing", OpenEnd::program},       {"face_stops_short", OpenEnd::program},
    {"groove_count_unlike_note", OpenEnd::program}, {"home_nearer_than_rest", OpenEnd::block},
    {"label_not_found", OpenEnd::program},          {"last_tool_not_sent_home", OpenEnd::program},
    {"listed_tool_never_called", OpenEnd::program}, {"loop_not_closed", OpenEnd::program},
    {"loop_unlike_finish", OpenEnd::program},       {"motion_code_again", OpenEnd::block},
    {"one_step_approach", OpenEnd::program},        {"optional_stop_missing", OpenEnd::program},
    {"order_unlike_rest", OpenEnd::sequence},       {"part_off_misplaced", OpenEnd::sequence},
    {"program_end_missing", OpenEnd::program},      {"program_not_found", OpenEnd::file},
    {"repeat_cuts_the_same", OpenEnd::program},     {"restart_inherits", OpenEnd::program},
    {"restart_relies_on_head", OpenEnd::program},   {"safety_line_incomplete", OpenEnd::program},
    {"sequence_note_missing", OpenEnd::program},    {"spindle_left_on", OpenEnd::program},
    {"tape_mark_missing", OpenEnd::file},           {"thread_size_odd", OpenEnd::sequence},
    {"thread_unlike_blank", OpenEnd::sequence},     {"tool_cuts_nothing", OpenEnd::sequence},
    {"variable_slipped", OpenEnd::program},         {"waits_do_not_meet", OpenEnd::program},
};

} // namespace

std::span<const OpenEndRow> ids_of_open_ends() {
    return rows;
}

OpenEnd open_end(std::string_view id) {
    const auto row = std::find_if(std::begin(rows), std::end(rows),
                                  [&](const OpenEndRow& candidate) { return candidate.id == id; });
    return row == std::end(rows) ? OpenEnd::none : row->end;
}

} // namespace turnwright::checks

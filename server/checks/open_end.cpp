#include "checks/open_end.h"

#include <algorithm>

namespace turnwright::checks {
namespace {

constexpr OpenEndRow rows[] = {
    {"code_of_pair_missing", OpenEnd::program},
    {"coolant_left_on", OpenEnd::sequence},
    {"coolant_missing", OpenEnd::sequence},
    {"contour_missing", OpenEnd::program},
    {"drill_not_withdrawn", OpenEnd::sequence},
    {"label_not_found", OpenEnd::program},
    {"loop_not_closed", OpenEnd::program},
    {"optional_stop_missing", OpenEnd::sequence},
    {"program_end_missing", OpenEnd::program},
    {"program_not_found", OpenEnd::file},
    {"restart_inherits", OpenEnd::sequence},
    {"restart_relies_on_head", OpenEnd::sequence},
    {"safety_line_incomplete", OpenEnd::sequence},
    {"spindle_left_on", OpenEnd::sequence},
    {"tape_mark_missing", OpenEnd::file},
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

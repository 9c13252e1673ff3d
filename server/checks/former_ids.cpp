#include "checks/former_ids.h"

#include <algorithm>

namespace turnwright::checks {

namespace {

constexpr FormerId table_of_former_ids[] = {
    {"recursion_too_deep", "program_calls_itself"},
};

} // namespace

std::span<const FormerId> former_ids() {
    return table_of_former_ids;
}

std::string_view present_id(std::string_view id) {
    const auto row = std::find_if(std::begin(table_of_former_ids), std::end(table_of_former_ids),
                                  [&](const FormerId& known) { return known.former == id; });
    return row == std::end(table_of_former_ids) ? id : row->present;
}

} // namespace turnwright::checks

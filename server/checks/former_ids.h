/// Ids that checks had before. Notes, shop files, options and baselines that were written with one go on
/// working.
#pragma once

#include <span>
#include <string_view>

namespace turnwright::checks {

struct FormerId {
    std::string_view former, present;
};
/// Whoever renames a check adds its row; a row is never taken out.
std::span<const FormerId> former_ids();
/// What the check of this id is called now: the id itself where none was renamed.
std::string_view present_id(std::string_view id);

} // namespace turnwright::checks

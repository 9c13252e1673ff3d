// The list of rules: made from the names of the files in rules/.

#include "checks/checks.h"
#include "checks/former_ids.h"

#include <algorithm>

namespace turnwright::checks {

#define CHECK(id)                                                                                            \
    namespace rules::id {                                                                                    \
    extern const Check check;                                                                                \
    }
#include "check_list.inc"
#undef CHECK

std::span<const Check* const> all_checks() {
    static const std::vector<const Check*> list = [] {
        std::vector<const Check*> checks = {
#define CHECK(id) &rules::id::check,
#include "check_list.inc"
#undef CHECK
        };
        std::sort(checks.begin(), checks.end(), [](auto* a, auto* b) { return a->id < b->id; });
        return checks;
    }();
    return list;
}

const Check* find_check(std::string_view id) {
    id = present_id(id);
    auto list = all_checks();
    auto at = std::lower_bound(list.begin(), list.end(), id, [](const Check* check, std::string_view wanted) {
        return check->id < wanted;
    });
    return at != list.end() && (*at)->id == id ? *at : nullptr;
}

std::string_view family_title(Family family) {
    switch (family) {
    case Family::words:
        return "Words and numbers";
    case Family::modal_state:
        return "Modal state";
    case Family::spindle:
        return "Spindle and speed";
    case Family::feed:
        return "Feed";
    case Family::tools:
        return "Tools and offsets";
    case Family::approach:
        return "Approach and retract";
    case Family::coolant:
        return "Coolant";
    case Family::cycles:
        return "Cycles";
    case Family::threads:
        return "Threads";
    case Family::compensation:
        return "Nose radius compensation";
    case Family::flow:
        return "Program flow";
    case Family::limits:
        return "Limits of the machine";
    case Family::restart:
        return "Restart in the middle";
    case Family::house:
        return "House rules";
    case Family::file:
        return "The file";
    case Family::stock:
        return "Stock";
    }
    return "";
}

} // namespace turnwright::checks

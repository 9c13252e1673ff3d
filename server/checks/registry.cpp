// The list of rules: made from the names of the files in rules/.

#include "checks/checks.h"
#include "checks/former_ids.h"
#include "language/said.h"

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

bool hangs_on_file(std::string_view id) {
    // Notes that silence nothing are known when all is found, and so is that there is too much to tell.
    if (id == "unused_silencing" || id == "unreadable_text") return true;
    const Check* check = find_check(id);
    return check && (check->landmarks || check->file || check->stock || check->works);
}

std::string_view family_title(Family family) {
    switch (family) {
    case Family::words:
        return said("Words and numbers");
    case Family::modal_state:
        return said("Modal state");
    case Family::spindle:
        return said("Spindle and speed");
    case Family::feed:
        return said("Feed");
    case Family::tools:
        return said("Tools and offsets");
    case Family::approach:
        return said("Approach and retract");
    case Family::coolant:
        return said("Coolant");
    case Family::cycles:
        return said("Cycles");
    case Family::threads:
        return said("Threads");
    case Family::compensation:
        return said("Nose radius compensation");
    case Family::flow:
        return said("Program flow");
    case Family::limits:
        return said("Limits of the machine");
    case Family::restart:
        return said("Restart in the middle");
    case Family::house:
        return said("House rules");
    case Family::file:
        return said("The file");
    case Family::stock:
        return said("Stock");
    }
    return "";
}

} // namespace turnwright::checks

// A note of ours that silences nothing. Found where notes are applied (results.cpp).
#include "checks/rule.h"

namespace turnwright::checks::rules::unused_silencing {

extern const Check check{
    .id = "unused_silencing",
    .family = Family::file,
    .severity = Severity::information,
    .title = "Silencing note that hides nothing",
    .documentation =
        "A note (TURNWRIGHT: ACCEPT ...) stands where there is no such warning any more, or names a warning "
        "that "
        "does not exist. Left in place it would hide the next real one. A note holds for its own block; "
        "alone on "
        "its line it also holds for the next block with words. (TURNWRIGHT: ACCEPT IN FILE ...) above the "
        "first "
        "tool call holds for the whole file. Several ids are separated by commas, and `-` may stand for `_`.",
    .examples =
        {
            {System::A, R"(
G21
T0101 (TURNWRIGHT: ACCEPT feed_missing)
;     ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ information: unused_silencing
M30
)"},
            {System::B, R"(
(TURNWRIGHT: ACCEPT IN FILE program_end_missing, no_such_warning)
;^^^^^^^^^^^ information: unused_silencing
G20
T0101
)"},
            {System::C, R"(
G71
T0101
(TURNWRIGHT: ACCEPT IN FILE program_end_missing)
;^^^^^^^^^^^ information: unused_silencing
G00 X50. Z1.
)"},
            {System::A, R"(
(TURNWRIGHT: ACCEPT IN FILE units_missing)
T0101
G00 X50. Z1.
M30
)"},
            {System::B, R"(
T0101
(TURNWRIGHT: ACCEPT UNITS-MISSING)

G00 X50. Z1.
M30
)"},
            {System::C, R"(
T0101
G00 X50. Z1. (TURNWRIGHT: ACCEPT units_missing)
M30
(THE TURNWRIGHT IS AT LUNCH)
)"},
        },
};

} // namespace turnwright::checks::rules::unused_silencing

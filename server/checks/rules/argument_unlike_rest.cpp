// A value of one macro call that has its point or a digit elsewhere than in all other calls.
//
// How near to each other values have to be that make a habit: common practice, no source.
#include "checks/macro_calls.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace turnwright::checks::rules::argument_unlike_rest {

namespace {

constexpr std::size_t least_calls = 3;
/// Of the others to each other, and of the odd one to each of them.
constexpr double alike = 1.5, apart = 5;

struct Given {
    const MacroCall* call;
    double value;
};

bool is_far(double value, double other) {
    const double one = std::abs(value), two = std::abs(other);
    return one > apart * two || two > apart * one;
}

/// One value whose point slipped: all others are near to each other.
const Given* odd_point(const std::vector<Given>& row, double& meant) {
    const Given* odd = nullptr;
    for (const Given& one : row) {
        double least = 1e9, most = 0;
        const Given* slip = nullptr;
        bool far = true;
        for (const Given& other : row) {
            if (&other == &one) continue;
            far = far && other.value * one.value > 0 && is_far(one.value, other.value);
            least = std::min(least, std::abs(other.value));
            most = std::max(most, std::abs(other.value));
            if (slip_between(one.value, other.value) != Slip::none) slip = &other;
        }
        if (!far || least <= 0 || most > alike * least || !slip) continue;
        if (odd) return nullptr;
        odd = &one;
        meant = slip->value;
    }
    return odd;
}

/// One value whose sign all others have not, and that stands in their row with it.
const Given* odd_sign(const std::vector<Given>& row) {
    const Given* odd = nullptr;
    for (const Given& one : row) {
        if (one.value == 0) return nullptr;
        const bool alone = std::all_of(row.begin(), row.end(), [&](const Given& other) {
            return &other == &one || other.value * one.value < 0;
        });
        if (!alone) continue;
        if (odd) return nullptr;
        odd = &one;
    }
    if (!odd) return nullptr;
    int rises = 0, falls = 0;
    for (std::size_t i = 1; i < row.size(); ++i) {
        const auto of = [&](const Given& one) { return &one == odd ? -one.value : one.value; };
        (of(row[i]) > of(row[i - 1]) ? rises : falls) += of(row[i]) != of(row[i - 1]);
    }
    return (rises == 0) != (falls == 0) ? odd : nullptr;
}

void file(const FileContext& context, Report& report) {
    const std::vector<MacroCall> calls = macro_calls_of(context);
    std::map<std::pair<std::int32_t, char>, std::vector<Given>> rows;
    for (const MacroCall& call : calls)
        for (const auto& [letter, value] : call.arguments)
            rows[{call.program, letter}].push_back({&call, value});
    for (const auto& [key, row] : rows) {
        if (row.size() < least_calls) continue;
        const char letter = key.second;
        double meant = 0;
        if (const Given* odd = odd_point(row, meant)) {
            report.at_letter(odd->call->place, letter)
                .message(
                    said("{0}{1} here, and the {2} other calls of O{3:04} give {0} near {0}{4}: the macro "
                         "cuts to another place, far off. Is {0}{4} meant?",
                         letter, written(odd->value), row.size() - 1, key.first, written(meant)));
        } else if (const Given* other = odd_sign(row)) {
            report.at_letter(other->call->place, letter)
                .message(said("{0}{1} here, and the {2} other calls of O{3:04} give {0} with the other sign, "
                              "one behind the other: {0}{4} stands in their row. Is the sign right?",
                              letter, written(other->value), row.size() - 1, key.first,
                              written(-other->value)));
        }
    }
}

} // namespace

extern const Check check{
    .id = "argument_unlike_rest",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Value of a macro call far from those of all other calls",
    .documentation =
        "A macro is called three times or more, and a letter has nearly the same value in all calls but one, "
        "where its point has slipped or a digit is lost or added; or it has the other sign in one, and "
        "without that it stands in the row of the others. The macro then cuts far too deep, or in front of "
        "the part.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0404
G96 S180 M03
G00 X66. Z2.
G65 P1901 A60. B53. Z-9.5 F0.08
G65 P1901 A60. B5.3 Z-16.5 F0.08
;              ^^^^ warning: argument_unlike_rest
G65 P1901 A60. B52. Z-24. F0.06
G00 X70.
M30
)"},
            {System::A, R"(
G20 G99
T0404
G96 S180 M03
G65 P1901 A2. Z-.5
G65 P1901 A2. Z.75
;             ^^^^ warning: argument_unlike_rest
G65 P1901 A2. Z-1.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0404
G65 P1901 A60. B53. Z-9.5 F.08
G65 P1901 A60. B45. Z-16.5 F.08
G65 P1901 A60. B12. Z-24. F.06
M30
)"},
            {System::A, R"(
G21 G99
T0404
G65 P1901 A60. B5. Z-9.5
G65 P1901 A60. B50. Z2.
G65 P1901 A60. B500. Z-24.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0404
G65 P1901 A60. B53. R-1.
G65 P1901 A60. B5.3 R1.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::argument_unlike_rest

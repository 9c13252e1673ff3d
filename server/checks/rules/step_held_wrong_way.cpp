// A macro steps toward a bound and is to be held at it, and the condition is the wrong way round.
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

#include <utility>

namespace turnwright::checks::rules::step_held_wrong_way {

namespace {

/// "IF[#7LE#2]GOTO590" or "IF[#7GE#2]THEN#7=#2".
struct Condition {
    std::string variable, relation, bound;
    bool jumps = false;
    std::string rest; ///< Behind GOTO or THEN
};
std::optional<Condition> condition_in(const std::string& statement) {
    const std::size_t close = statement.find(']');
    if (!statement.starts_with("IF[#") || close == std::string::npos) return std::nullopt;
    const std::string inside = statement.substr(3, close - 3), behind = statement.substr(close + 1);
    for (const std::string_view relation : {"LT", "LE", "GT", "GE"}) {
        const std::size_t at = inside.find(relation);
        if (at == std::string::npos || !plain_number(std::string_view(inside).substr(1, at - 1))) continue;
        Condition found{inside.substr(0, at), std::string(relation), inside.substr(at + 2), false, {}};
        found.jumps = behind.starts_with("GOTO");
        if (!found.jumps && !behind.starts_with("THEN")) return std::nullopt;
        found.rest = behind.substr(4);
        return found;
    }
    return std::nullopt;
}

/// "#7=#7-#8": true where it gets less, false where more; nullopt: it is set otherwise, or by a sign that
/// only the machine knows.
std::optional<bool> gets_less(const std::string& statement, const std::string& variable) {
    const std::string start = variable + "=" + variable;
    if (!statement.starts_with(start) || statement.size() < start.size() + 2) return std::nullopt;
    const char sign = statement[start.size()];
    const std::string_view step = std::string_view(statement).substr(start.size() + 1);
    if (step[0] == '-' || step[0] == '[') return std::nullopt;
    if (sign == '-' || sign == '+') return sign == '-';
    const auto factor = plain_number(step);
    if (!factor || *factor <= 0 || *factor == 1) return std::nullopt;
    if (sign == '*') return *factor < 1;
    if (sign == '/') return *factor > 1;
    return std::nullopt;
}

void block(const BlockView& view, Report& report) {
    if (view.reading.flow != machine::FlowKind::jump && view.reading.flow != machine::FlowKind::maybe_jump &&
        view.reading.flow != machine::FlowKind::none)
        return;
    const machine::Reader& reader = report.reader();
    const BlockPlace place{view.run_index, view.block};
    const auto items = reader.items(place);
    if (items.empty()) return;
    const auto condition = condition_in(statement_of(reader, place));
    if (!condition) return;
    const std::string held = condition->variable + "=" + condition->bound;
    std::string set = condition->rest;
    if (condition->jumps) {
        const auto next = reader.neighbour(place, true);
        set = next ? statement_of(reader, *next) : std::string();
    }
    const auto before = reader.neighbour(place, false);
    if (set != held || !before) return;
    const auto less = gets_less(statement_of(reader, *before), condition->variable);
    if (!less) return;
    // Held where it has gone past the bound: what jumps over it does so before that.
    const bool past_below = condition->relation[0] == 'L';
    const bool holds_below = condition->jumps ? !past_below : past_below;
    if (holds_below == *less) return;
    const std::string right = std::string(past_below ? "G" : "L") + condition->relation[1];
    report.at(view)
        .message(said("{0} gets {1} block by block, and {2} is done as long as it has not reached {3}: it "
                      "takes {3} at once, and the first pass cuts all there is. Write {4} for {5}.",
                      condition->variable, *less ? said("less") : said("more"), held, condition->bound, right,
                      condition->relation))
        .related(*before, said("the step"));
}

} // namespace

extern const Check check{
    .id = "step_held_wrong_way",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Macro takes its last value at once",
    .documentation =
        "A macro steps a variable toward a bound, and a condition holds it there when it has gone past. The "
        "condition is the wrong way round: the variable takes the bound at the first step. Cut by cut to a "
        "root becomes one cut to the root, and the tool breaks. Where a jump leads over the block that "
        "sets the bound, the condition says when it is not set yet.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G97 G99
#7=32.
#2=25.
#8=.2
WHILE[#7GT#2]DO1
#7=#7-#8
IF [#7 LE #2] GOTO 590
;^^^^^^^^^^^^^^^^^^^^^^ warning: step_held_wrong_way
#7=#2
N590 G00 X#7
G32 Z-131. F12.
G00 X44.
Z2.
END1
M30
)"},
            {System::A, R"(
G21 G97 G99
#7=32.
#2=25.
#8=.2
WHILE[#7GT#2]DO1
#7=#7-#8
IF [#7 GE #2] GOTO 590
#7=#2
N590 G00 X#7
G32 Z-131. F12.
G00 X44.
Z2.
END1
M30
)"},
            // A cut that gets smaller, held at the smallest.
            {System::B, R"(
G20 G90 G97 G95
#3=.02
#1=1.
N10 #1=#1-#3
#3=#3*.9
IF [#3 LT .004] THEN #3=.004
IF [#1 GT .9] GOTO 10
M30
)"},
            {System::B, R"(
G20 G90 G97 G95
#3=.02
#1=1.
N10 #1=#1-#3
#3=#3*.9
IF [#3 GT .004] THEN #3=.004
;^^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: step_held_wrong_way
IF [#1 GT .9] GOTO 10
M30
)"},
            // Outward in a bore.
            {System::C, R"(
G71 G90 G97 G95
#5=20.
#6=24.
WHILE[#5LT#6]DO1
#5=#5+.3
IF [#5 GE #6] GOTO 30
;^^^^^^^^^^^^^^^^^^^^^ warning: step_held_wrong_way
#5=#6
N30 G00 X#5
G01 Z-20. F.1
G00 X19.
Z2.
END1
M30
)"},
            // It goes round: set anew behind the bound, and to another value.
            {System::C, R"(
G71 G90 G97 G95
N10 #5=#5+1
IF [#5 GE 12] GOTO 30
#5=0
N30 G04 X1.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::step_held_wrong_way

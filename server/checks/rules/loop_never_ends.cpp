// A loop whose counter stands still, or runs away from the value that ends it.
#include "checks/loops.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cctype>

namespace turnwright::checks::rules::loop_never_ends {

namespace {

/// What is kept over programs.
constexpr double first_kept = 500;

struct Counter {
    bool is_set = false, otherwise = false; ///< Otherwise than by a step, or what cannot be seen
    bool leads_away = false;                ///< Something in the loop does: it may end another way
    std::size_t sets = 0, last_at = 0; ///< Blocks that set it; the last, counted from where it is read from
    double step = 0;
    BlockPlace place; ///< Of the last step
};
/// What the blocks of the loop do to what the condition looks at.
void read(const machine::Reader& reader, const std::string& statement, BlockPlace place, std::size_t at,
          bool forward, const LoopCondition& condition, Counter& counter) {
    for (const std::string_view leads_away :
         {"GOTO", "M98", "G65", "G66", "M99", "M198", "THEN", "SETVN", "M30"})
        if (statement.find(leads_away) != std::string::npos) counter.leads_away = true;
    if (statement.starts_with("WHILE") || statement.starts_with("DO")) counter.leads_away = true;
    if (condition.limit.starts_with('#') && statement.starts_with(condition.limit + "="))
        counter.otherwise = true;
    if (statement.starts_with("#[")) counter.otherwise = true;
    if (!statement.starts_with(condition.variable + "=")) return;
    counter.is_set = true;
    if (counter.sets++ == 0 || forward) {
        counter.place = place;
        counter.last_at = at;
    }
    if (const auto step = loop_step(reader, place, statement, condition.variable))
        counter.step += *step;
    else
        counter.otherwise = true;
}

/// Counted by one step alone, right in front of where the condition is looked at: nothing on the way from the
/// one to the other changes what it does.
constexpr std::size_t most_between = 3;
bool counts_beside(const Counter& counter, std::size_t blocks_between) {
    return counter.sets == 1 && counter.step != 0 && blocks_between <= most_between;
}
/// Whether the way back of a loop that may end another way still may count beside it, `at` blocks behind: in
/// a row of jumps each would go over all that stand above.
bool may_count_beside(const Counter& counter, std::size_t at) {
    return counter.sets == 0 ? at < most_between : counts_beside(counter, counter.last_at);
}

void tell(const LoopCondition& condition, const Counter& counter, BlockPlace place, bool never_taken,
          Report& report) {
    if (counter.otherwise || (never_taken && counter.step == 0)) return;
    const std::string held = fmt::format("{} {} {}", condition.variable, condition.relation, condition.limit);
    if (!counter.is_set) {
        // What is kept over programs a code of the machine may count, too.
        if (condition.number >= first_kept) return;
        report.at(place).message(said("This loop never ends: nothing in it changes {}, so {} holds "
                                      "for ever and the machine repeats these "
                                      "blocks. Count {} inside the loop.",
                                      condition.variable, held, condition.variable));
        return;
    }
    if (!(condition.is_below() && counter.step <= 0) && !(condition.is_above() && counter.step >= 0)) return;
    if (never_taken) {
        report.at(place).message(said(
            "This way back is never taken: {} would have to hold, it does not at the first time, and {} gets "
            "{} at every turn. The blocks of the loop run once. Turn the comparison round.",
            held, condition.variable, counter.step < 0 ? said("smaller") : said("larger")));
        return;
    }
    report.at(counter.place)
        .message(
            said("This loop never ends: it goes on while {}, and here {} gets {} at every turn. Turn the "
                 "sign round, or the comparison.",
                 held, condition.variable,
                 counter.step == 0  ? said("no other value")
                 : counter.step < 0 ? said("smaller")
                                    : said("larger")))
        .related(place, said("the condition"));
}

/// "IF[#1GE#2]GOTO5" behind a step away from the end: it jumps at every turn. Its label.
std::optional<double> jumps_over(const std::string& statement, const LoopCondition& loop,
                                 const Counter& counter) {
    const std::size_t label_at = statement.find("GOTO");
    if (!statement.starts_with("IF") || label_at == std::string::npos || !counter.is_set) return std::nullopt;
    const auto condition = loop_condition(statement);
    if (!condition || condition->variable != loop.variable || condition->limit != loop.limit)
        return std::nullopt;
    const bool always = (loop.is_below() && condition->is_below() && counter.step < 0) ||
                        (loop.is_above() && condition->is_above() && counter.step > 0);
    return always ? plain_number(std::string_view(statement).substr(label_at + 4)) : std::nullopt;
}
/// The block with this N number further on in the loop.
std::optional<BlockPlace> label_behind(const machine::Reader& reader, BlockPlace from, double label,
                                       const std::string& end) {
    std::size_t looked_at = 0;
    for (auto at = reader.neighbour(from, true); at; at = reader.neighbour(*at, true)) {
        if (++looked_at > most_blocks_of_loop || statement_of(reader, *at) == end) return std::nullopt;
        const auto items = reader.items(*at);
        if (!items.empty() && items.front().kind == syntax::ItemKind::word && items.front().letter == 'N' &&
            items.front().value == label)
            return at;
    }
    return std::nullopt;
}

void look_at_while(BlockPlace place, const std::string& statement, Report& report) {
    const auto condition = loop_condition(statement);
    const std::size_t number_at = statement.rfind("DO");
    if (!condition || number_at == std::string::npos || number_at + 2 >= statement.size()) return;
    const std::string begin = statement.substr(number_at), end = "END" + begin.substr(2);
    if (begin != "DO1" && begin != "DO2" && begin != "DO3") return; // None that a control takes
    const machine::Reader& reader = report.reader();
    Counter counter;
    std::size_t looked_at = 0;
    for (auto at = reader.neighbour(place, true); at; at = reader.neighbour(*at, true)) {
        const std::string inside = statement_of(reader, *at);
        if (inside == end) {
            if (!counter.leads_away || counts_beside(counter, looked_at + 1 - counter.last_at))
                tell(*condition, counter, place, false, report);
            return;
        }
        if (++looked_at > most_blocks_of_loop || counter.otherwise) return;
        if (inside.ends_with(begin)) return; // Its own END is missing, and told so
        if (const auto over = jumps_over(inside, *condition, counter)) {
            at = label_behind(reader, *at, *over, end);
            if (!at) return;
            read(reader, statement_of(reader, *at), *at, looked_at, true, *condition, counter);
            continue;
        }
        read(reader, inside, *at, looked_at, true, *condition, counter);
    }
}

/// Behind the condition the program jumps, too, or begins again: what it is for is not known.
bool goes_on_elsewhere(const machine::Reader& reader, BlockPlace place) {
    auto at = reader.neighbour(place, true);
    for (int i = 0; at && i < 4; ++i, at = reader.neighbour(*at, true)) {
        const std::string statement = statement_of(reader, *at);
        if (statement.find("GOTO") != std::string::npos || statement.find("M99") != std::string::npos)
            return true;
    }
    return false;
}

void look_at_jump(BlockPlace place, const std::string& statement, bool never_taken, Report& report) {
    const auto condition = loop_condition(statement);
    const std::size_t label_at = statement.find("GOTO");
    if (!condition || label_at == std::string::npos) return;
    const auto label = plain_number(std::string_view(statement).substr(label_at + 4));
    if (!label) return;
    const machine::Reader& reader = report.reader();
    Counter counter;
    std::size_t looked_at = 0;
    for (auto at = reader.neighbour(place, false); at; at = reader.neighbour(*at, false)) {
        if (++looked_at > most_blocks_of_loop || counter.otherwise) return;
        const auto items = reader.items(*at);
        const auto starts_with = [&](char letter) {
            return !items.empty() && items.front().kind == syntax::ItemKind::word &&
                   items.front().letter == letter;
        };
        if (starts_with('O')) return;
        read(reader, statement_of(reader, *at), *at, looked_at, false, *condition, counter);
        if (counter.leads_away && !may_count_beside(counter, looked_at)) return;
        if (!starts_with('N') || items.front().value != *label) continue;
        const bool is_plain = !counter.leads_away ||
                              (counts_beside(counter, counter.last_at) && !goes_on_elsewhere(reader, place));
        if (is_plain) tell(*condition, counter, place, never_taken, report);
        return;
    }
}

/// "N50 IF [#1 GT 5] GOTO 80 ... GOTO 50": the way out in front, and the way back behind.
void look_at_way_out(BlockPlace place, const std::string& statement, Report& report) {
    auto condition = loop_condition(statement);
    const machine::Reader& reader = report.reader();
    const auto items = reader.items(place);
    const std::size_t label_at = statement.find("GOTO");
    const bool is_numbered =
        !items.empty() && items.front().kind == syntax::ItemKind::word && items.front().letter == 'N';
    if (!condition || label_at == std::string::npos || !is_numbered || condition->number >= first_kept)
        return;
    const std::string back = "GOTO" + spoken(items.front().value);
    Counter counter;
    std::size_t looked_at = 0;
    for (auto at = reader.neighbour(place, true); at; at = reader.neighbour(*at, true)) {
        const std::string inside = statement_of(reader, *at);
        const auto words = reader.items(*at);
        const bool program =
            !words.empty() && words.front().kind == syntax::ItemKind::word && words.front().letter == 'O';
        if (program || ++looked_at > most_blocks_of_loop || counter.otherwise || counter.leads_away) return;
        if (inside != back) {
            read(reader, inside, *at, looked_at, true, *condition, counter);
            continue;
        }
        if (counter.is_set) return;
        report.at(*at)
            .message(
                said("This loop never ends: it is left when {} {} {}, and nothing between there and this way "
                     "back changes {}. The machine repeats these blocks for ever. Count {} inside the loop.",
                     condition->variable, condition->relation, condition->limit, condition->variable,
                     condition->variable))
            .related(place, said("the condition"));
        return;
    }
}

void block(const BlockView& view, Report& report) {
    const machine::FlowKind flow = view.reading.flow;
    const bool loops = flow == machine::FlowKind::loop_start;
    // IF with GOTO whose condition is known not to hold.
    const bool never =
        flow == machine::FlowKind::none && view.reading.condition.is(0) && view.reading.flow_target.known();
    if (!loops && !never && flow != machine::FlowKind::jump && flow != machine::FlowKind::maybe_jump) return;
    const BlockPlace place{view.run_index, view.block};
    const std::string statement = statement_of(report.reader(), place);
    if (loops && statement.starts_with("WHILE")) look_at_while(place, statement, report);
    if (!loops && statement.starts_with("IF")) look_at_way_out(place, statement, report);
    if (!loops && statement.starts_with("IF")) look_at_jump(place, statement, never, report);
}

} // namespace

extern const Check check{
    .id = "loop_never_ends",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Loop that never ends, or never begins again",
    .documentation =
        "WHILE, or IF with a GOTO back, goes on while a variable is below or above a value, and "
        "inside the loop "
        "nothing changes that variable, or a step changes it the other way. The machine repeats "
        "the blocks until "
        "somebody stops it: the same cut in air, or a step too deep at every turn. A "
        "GOTO back that does not hold at the first time, while the variable goes away from it, is "
        "told, too: the loop is run once. Loops with "
        "jumps, calls or a second loop inside are looked at where one step alone counts, right in front of "
        "the condition.",
    .block = block,
    .examples =
        {
            // The step leads away, and the jump is taken at every turn.
            {System::C, R"(
#1=50.
WHILE[#1GT40.4]DO1
#1=#1+3.
;^^^^^^^^ warning: loop_never_ends
IF[#1GE40.4]GOTO5
#1=40.4
N5G0X#1
G1Z-44.8F.25
G0Z2.
END1
M30
)"},
            {System::C, R"(
#1=50.
WHILE[#1GT40.4]DO1
#1=#1-3.
IF[#1GE40.4]GOTO5
#1=40.4
N5G0X#1
G1Z-44.8F.25
G0Z2.
END1
M30
)"},
            // The way back is not taken once.
            {System::B, R"(
G21 G90 G95
T0505
G97 S500 M03
G00 X52. Z-42.
#120=50.
N480 #120=#120-2.
G01 X#120 F0.08
G00 X[#120+1.]
IF[#120LT40.]GOTO480
;^^^^^^^^^^^^^^^^^^^ warning: loop_never_ends
G00 X120.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0505
G97 S500 M03
G00 X52. Z-42.
#120=50.
N480 #120=#120-2.
G01 X#120 F0.08
G00 X[#120+1.]
IF[#120GT40.]GOTO480
G00 X120.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S500 M03
#1=40.
G00 X#1 Z2.
WHILE [#1 LT 44.] DO1
G00 X#1
G01 Z-10. F0.2
G00 Z2.
#1=#1-1.5
;^^^^^^^^^ warning: loop_never_ends
END1
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S500 M03
#2=0
WHILE [#2 LT 4] DO 1
;^^^^^^^^^^^^^^^^^^^ warning: loop_never_ends
G91 G00 Z-.25
G90 G01 X1. F.004
G00 X1.3
END 1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S500 M03
#3=1
N50 G00 X[50. - #3] Z2.
G01 Z-10. F.2
G00 Z2.
IF [#3 LE 5] GOTO 50
;^^^^^^^^^^^^^^^^^^^^ warning: loop_never_ends
M30
)"},
            // Counted to its end, up or down; by another variable's hand; left by a jump; a part counter by
            // call.
            {System::A, R"(
G21 G99
T0101
G97 S500 M03
#1=40.
WHILE [#1 GT 30.] DO1
G00 X#1 Z2.
G01 Z-10. F0.2
G00 Z2.
#1=#1-1.5
END1
#2=0
N10 G00 X50. Z2.
#2=#2+1
IF [#2 LT 3] GOTO 10
#4=0
WHILE [#4 LT 9] DO1
#5=#5+1
IF [#5 GT 3] GOTO 20
END1
N20 M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G97 S500 M03
#6=1
WHILE [#6 LT #7] DO1
G00 X#6 Z2.
#7=#7-1
END1
#8=0
WHILE [#8 LT 3] DO1
#8=#8+#9
END1
WHILE [#3011 LT 5] DO1
G04 X1.
END1
M30
)"},
            // Parts of a bar, counted the wrong way; what is called counts nothing.
            {System::A, R"(
G21 G99
#100=0
N10 T0101
G97 S800 M03
G00 X42. Z2.
M98 P2021
G00 X60.
T0505
G00 X42. Z-20.
G01 X-0.4 F0.06
G00 X60.
M05
#100=#100-1
;^^^^^^^^^^^ warning: loop_never_ends
IF[#100LT12]GOTO10
M30
O2021
G01 Z-18. F0.2
G00 Z2.
M99
)"},
            // The comparison turned round, and right.
            {System::B, R"(
G21 G90 G95
#100=0
N10 T0101
G97 S800 M03
G00 X42. Z2.
M98 P2021
#100=#100+1
IF[#100GT12]GOTO10
;^^^^^^^^^^^^^^^^^ warning: loop_never_ends
M30
O2021
G01 Z-18. F0.2
G00 Z2.
M99
)"},
            {System::C, R"(
G71 G90 G95
#100=0
N10 T0101
G97 S800 M03
G00 X42. Z2.
M98 P2021
#100=#100+1
IF[#100LT12]GOTO10
M30
O2021
G01 Z-18. F0.2
G00 Z2.
M99
)"},
            // The way out in front, and the way back behind.
            {System::C, R"(
G71 G90 G95
T0303
G97 S900 M03
G00 X46. Z2.
#1=1
#2=-13.
N50 IF [#1 GT 5] GOTO 80
G00 Z#2
G01 X36. F0.08
G00 X46.
#2=#2-8.
GOTO 50
;^^ warning: loop_never_ends
N80 G00 X100. Z100.
M30
)"},
            {System::A, R"(
G21 G99
T0303
G97 S900 M03
G00 X46. Z2.
#1=1
#2=-13.
N50 IF [#1 GT 5] GOTO 80
G00 Z#2
G01 X36. F0.08
G00 X46.
#2=#2-8.
#1=#1+1
GOTO 50
N80 G00 X100. Z100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::loop_never_ends

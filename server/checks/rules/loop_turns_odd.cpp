// A loop that runs once too often, once in all, or never, by one number or sign of what it counts with.
#include "checks/loops.h"
#include "checks/noted_counts.h"
#include "checks/noted_words.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::loop_turns_odd {

namespace {

constexpr int most_turns = 60;

struct Loop {
    BlockPlace place, end; ///< Of WHILE and END
    LoopCondition condition;
    SetTo start;
    BlockPlace step_at;
    double step = 0, limit = 0;
    std::optional<SetTo> limit_set; ///< Where a variable gives it
    bool cuts_along_z = false;      ///< Each turn at another place
};

bool holds(const LoopCondition& condition, double value, double limit) {
    constexpr double same = 1e-9;
    if (condition.relation == "LT") return value < limit - same;
    if (condition.relation == "LE") return value < limit + same;
    if (condition.relation == "GT") return value > limit + same;
    return condition.relation == "GE" && value > limit - same;
}
int turns_of(const Loop& loop) {
    int turns = 0;
    for (double value = loop.start.number; turns <= most_turns && holds(loop.condition, value, loop.limit);
         value += loop.step)
        ++turns;
    return turns;
}

bool is_whole(double number) {
    return number == std::floor(number) && std::abs(number) <= most_turns;
}
/// Pieces and turns are counted so, and no lengths.
bool counts(const Loop& loop) {
    const double low = std::min(loop.start.number, loop.limit),
                 high = std::max(loop.start.number, loop.limit);
    return is_whole(low) && is_whole(high) && (low == 0 || low == 1) && high >= 2 && is_whole(loop.step);
}

/// WHILE with a counter that begins, goes on and ends by numbers.
std::optional<Loop> loop_at(const machine::Reader& reader, BlockPlace place) {
    const std::string statement = statement_of(reader, place);
    const std::size_t number_at = statement.rfind("DO");
    const auto condition = statement.starts_with("WHILE") ? loop_condition(statement) : std::nullopt;
    if (!condition || number_at == std::string::npos) return std::nullopt;
    Loop loop{place, place, *condition, {}, place, 0, 0, std::nullopt, false};
    const auto start = set_above(reader, place, condition->variable);
    if (!start) return std::nullopt;
    loop.start = *start;
    if (condition->limit.starts_with('#')) {
        loop.limit_set = set_above(reader, place, condition->limit);
        if (!loop.limit_set) return std::nullopt;
        loop.limit = loop.limit_set->number;
    } else {
        const auto number = signed_number(condition->limit);
        if (!number) return std::nullopt;
        loop.limit = *number;
    }
    const std::string end = "END" + statement.substr(number_at + 2);
    std::size_t looked_at = 0, steps = 0;
    for (auto at = reader.neighbour(place, true); at && looked_at < most_blocks_of_loop;
         at = reader.neighbour(*at, true), ++looked_at) {
        const std::string inside = statement_of(reader, *at);
        if (inside == end) {
            loop.end = *at;
            return steps == 1 && loop.step != 0 ? std::optional(loop) : std::nullopt;
        }
        for (const std::string_view elsewhere : {"GOTO", "M99", "THEN", "WHILE"})
            if (inside.find(elsewhere) != std::string::npos) return std::nullopt;
        if (inside.starts_with(condition->limit + "=") || inside.starts_with("#[")) return std::nullopt;
        if (inside.find("Z#") != std::string::npos || inside.find("Z[") != std::string::npos ||
            inside.find("Z-#") != std::string::npos || inside.find('W') != std::string::npos)
            loop.cuts_along_z = true;
        if (!inside.starts_with(condition->variable + "=")) continue;
        const auto step = loop_step(reader, *at, inside, condition->variable);
        if (!step || ++steps > 1) return std::nullopt;
        loop.step = *step;
        loop.step_at = *at;
    }
    return std::nullopt;
}

/// "8 (NUMBER OF GROOVES)": a note beside the block speaks of how many there are.
std::string note_of_count(const machine::Reader& reader, BlockPlace place) {
    constexpr std::string_view words[] = {"NUMBER", "COUNT",    "QTY",    "HOW",    "ANZAHL",  "STUECKZAHL",
                                          "NOMBRE", "CANTIDAD", "NUMERO", "AANTAL", "QUANTITA"};
    for (const NoteAt& note : notes_between(reader, place, place)) {
        const NotedWords noted = noted_words(note.text);
        for (std::size_t i = 0; i < noted.size(); ++i)
            if (std::find(std::begin(words), std::end(words), noted.at(i)) != std::end(words))
                return std::string(note.text);
    }
    return {};
}

/// Between where its counter is set and the loop nothing is cut that it leaves out.
bool begins_with_first(const machine::Reader& reader, const Loop& loop) {
    for (auto at = reader.neighbour(loop.place, false); at; at = reader.neighbour(*at, false)) {
        const std::string statement = statement_of(reader, *at);
        if (statement.starts_with('T')) return true;
        for (const std::string_view cut : {"G1X", "G01X", "G1U", "G01U", "G1Z", "G01Z", "M98", "G65"})
            if (statement.find(cut) != std::string::npos) return false;
        if (*at <= loop.start.place && statement.find('T') != std::string::npos) return true;
    }
    return true;
}

std::string condition_text(const Loop& loop) {
    return fmt::format("{} {} {}", loop.condition.variable, loop.condition.relation, loop.condition.limit);
}

/// The note at its limit says how many, or the notes of the sequence and the head do.
bool look_at_count(const FileContext& context, const Span& span, const Loop& loop, Report& report) {
    const machine::Reader& reader = context.reader();
    const int turns = turns_of(loop);
    if (!counts(loop) || std::abs(loop.step) != 1 || turns > most_turns || turns == 0) return false;
    const int limit = static_cast<int>(std::max(loop.start.number, loop.limit));
    if (loop.limit_set && std::abs(turns - limit) == 1) {
        const std::string note = note_of_count(reader, loop.limit_set->place);
        const bool all_in_loop = turns > limit || begins_with_first(reader, loop);
        if (!note.empty() && all_in_loop) {
            report.at(loop.place)
                .message(said(
                    "From {} on, as long as {}, this loop runs {} times, and {} is noted as \"{}\": "
                    "{}. Look at the comparison and at the first value.",
                    spoken(loop.start.number), condition_text(loop), turns, spoken(limit), note,
                    turns > limit ? said("the tool goes on behind the last of them, into what is to stay "
                                         "or what holds the part")
                                  : said("the others are not made")))
                .related(loop.start.place, said("counted from here"));
            return true;
        }
    }
    if (!loop.cuts_along_z) return false;
    std::vector<NotedCount> noted = noted_counts(reader, span.first, loop.place);
    const auto keep = [&] { std::erase_if(noted, [](const NotedCount& one) { return !one.of_grooves; }); };
    keep();
    if (noted.empty()) noted = noted_counts(reader, span.program->first, span.first);
    keep();
    const bool agree = !noted.empty() && std::all_of(noted.begin(), noted.end(), [&](const NotedCount& one) {
        return one.number == noted.front().number;
    });
    if (!agree || turns == noted.front().number || turns % noted.front().number == 0) return false;
    const bool more = turns > noted.front().number;
    if (!more && !(turns == noted.front().number - 1 && begins_with_first(reader, loop))) return false;
    auto entry = loop.limit_set ? report.at(loop.limit_set->place) : report.at(loop.place);
    entry
        .message(
            said("The loop that this counts runs {} times, as long as {}, and the note says \"{}\": {}. Is "
                 "a number or the comparison wrong?",
                 turns, condition_text(loop), noted.front().text,
                 more ? said("the tool goes on behind the last of them, into what is to stay "
                             "or what holds the part")
                      : said("the others are not made")))
        .related(noted.front().note, said("counted here"));
    return true;
}

/// Steps that are as long as all the way.
bool look_at_step(const Loop& loop, Report& report) {
    if (!counts(loop) || std::abs(loop.step) < 2 || turns_of(loop) != 1 ||
        std::abs(loop.limit - loop.start.number) < 1)
        return false;
    report.at(loop.step_at)
        .message(
            said("This loop runs once: {} begins at {}, goes on by {}, and then {} holds no more. A step of "
                 "1 would make {} turns. Is the step right?",
                 loop.condition.variable, spoken(loop.start.number), spoken(std::abs(loop.step)),
                 condition_text(loop),
                 static_cast<int>(std::abs(loop.limit - loop.start.number)) +
                     (loop.condition.relation.ends_with('E') ? 1 : 0)))
        .related(loop.place, said("the condition"));
    return true;
}

/// "IF[#1GE#2]GOTO40" of a counter that goes away from #2: with the other sign it would come to it.
void look_at_jump(const machine::Reader& reader, BlockPlace place, Report& report) {
    const std::string statement = statement_of(reader, place);
    if (!statement.starts_with("IF[")) return;
    const auto condition = loop_condition(statement);
    if (!condition || condition->relation == "NE" || !condition->limit.starts_with('#')) return;
    const auto limit = set_above(reader, place, condition->limit);
    if (!limit || limit->number == 0) return;
    // Its step is the last that sets it, and its first value stands above that.
    std::size_t looked_at = 0;
    std::optional<double> step;
    for (auto at = reader.neighbour(place, false); at && looked_at < most_blocks_of_loop;
         at = reader.neighbour(*at, false), ++looked_at) {
        const std::string above = statement_of(reader, *at);
        if (!above.starts_with(condition->variable + "=")) continue;
        step = loop_step(reader, *at, above, condition->variable);
        if (!step) return;
        const auto start = set_above(reader, *at, condition->variable);
        if (!start || *step * (limit->number - start->number) >= 0 ||
            *step * (-limit->number - start->number) <= 0 ||
            std::abs(limit->number - start->number) < std::abs(*step))
            return;
        report.at(limit->place)
            .message(
                said("{} begins at {} and goes on by {}, and {} is {}: it goes away from there and never "
                     "comes to it. Is the sign of {} wrong?",
                     condition->variable, spoken(start->number), spoken(*step), condition->limit,
                     spoken(limit->number), condition->limit))
            .related(place, said("the condition"));
        return;
    }
}

/// "GOTO900" of a statement.
std::optional<double> label_of(const std::string& statement) {
    const std::size_t at = statement.find("GOTO");
    return at == std::string::npos ? std::nullopt : plain_number(std::string_view(statement).substr(at + 4));
}
bool ends_program(const std::string& statement) {
    return statement.ends_with("M30") || statement.ends_with("M02") || statement.ends_with("M2");
}
/// Blocks behind a place: true where one that fits comes before any that cuts or calls.
template <class Fits>
bool comes_soon(const machine::Reader& reader, BlockPlace place, int most_blocks, Fits&& fits) {
    auto at = reader.neighbour(place, true);
    for (int i = 0; at && i < most_blocks; ++i, at = reader.neighbour(*at, true))
        if (fits(*at, statement_of(reader, *at))) return true;
    return false;
}

/// "IF[#1GE#2]GOTO400", M30, N400 M99: the way back to the start is taken only when no more are to be made.
void look_at_way_back(const machine::Reader& reader, BlockPlace place, const LoopCondition& condition,
                      double label, double step, Report& report) {
    constexpr int near = 6;
    bool ended = false, begins_again = false;
    comes_soon(reader, place, near, [&](BlockPlace at, const std::string& next) {
        const auto items = reader.items(at);
        const bool is_label = !items.empty() && items.front().letter == 'N' && items.front().value == label;
        if (is_label) begins_again = ended && next == "M99";
        ended = ended || ends_program(next);
        return is_label;
    });
    if (!begins_again) return;
    report.at(place).message(said("{} counts the parts, and this goes back to the start only when {} {} {}: "
                                  "behind the first part the program "
                                  "ends, with the others not made. Turn the comparison round: {}.",
                                  condition.variable, condition.variable, condition.relation, condition.limit,
                                  step > 0 ? "LT" : "GT"));
}

/// Parts are counted, and the jump to the end is taken while some are still to be made: "#1=#1+1",
/// "IF[#1LE#2]GOTO900", M99, N900 M30.
void look_at_parts(const machine::Reader& reader, BlockPlace place, Report& report) {
    constexpr int near = 4;
    const std::string statement = statement_of(reader, place);
    if (!statement.starts_with("IF[")) return;
    const auto condition = loop_condition(statement);
    const auto label = label_of(statement);
    if (!condition || !label || condition->relation == "NE") return;
    std::optional<double> step;
    auto above = reader.neighbour(place, false);
    for (int i = 0; above && i < near && !step; ++i, above = reader.neighbour(*above, false)) {
        const std::string counts = statement_of(reader, *above);
        if (!counts.starts_with(condition->variable + "=")) continue;
        step = loop_step(reader, *above, counts, condition->variable);
        if (!step) return;
    }
    if (!step || std::abs(*step) != 1) return;
    const bool while_some_left = *step > 0 ? condition->is_below() : condition->is_above();
    if (!while_some_left) {
        look_at_way_back(reader, place, *condition, *label, *step, report);
        return;
    }
    const bool begins_again = comes_soon(reader, place, 2, [](BlockPlace, const std::string& next) {
        return next == "M99" || next.starts_with("M99P");
    });
    bool behind_label = false;
    const bool ends =
        begins_again && comes_soon(reader, place, 2 * near, [&](BlockPlace at, const std::string& next) {
            const auto items = reader.items(at);
            behind_label = behind_label ||
                           (!items.empty() && items.front().letter == 'N' && items.front().value == *label);
            return behind_label && ends_program(next);
        });
    if (!ends) return;
    report.at(place).message(said("{} counts the parts, and this jumps to the end of the program while {} {} "
                                  "{}: behind the first part it "
                                  "stops there, with the others not made. Turn the comparison round: {}.",
                                  condition->variable, condition->variable, condition->relation,
                                  condition->limit, *step > 0 ? "GE" : "LE"));
}

void file(const FileContext& context, Report& report) {
    if (context.runs() > most_runs_of_works) return;
    const auto& spans = context.spans();
    const machine::Reader& reader = context.reader();
    std::size_t s = 0;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            const BlockPlace place{run, mark.block};
            while (s + 1 < spans.size() && spans[s].last < place) ++s;
            if (mark.kind == machine::FlowKind::loop_start) {
                if (const auto loop = loop_at(reader, place))
                    if (!look_at_count(context, spans[s], *loop, report)) look_at_step(*loop, report);
            } else if (mark.kind == machine::FlowKind::maybe_jump || mark.kind == machine::FlowKind::jump) {
                look_at_jump(reader, place, report);
                look_at_parts(reader, place, report);
            }
        }
}

} // namespace

extern const Check check{
    .id = "loop_turns_odd",
    .family = Family::flow,
    .severity = Severity::warning,
    .title = "Loop that runs once too often, once in all or toward nothing",
    .documentation =
        "A loop counts from 0 or 1, and a note beside its limit (NUMBER OF GROOVES) or one of the sequence "
        "or the head (5 GROOVES) says how many there are: LE for LT, or a first value of 0 for 1, makes one "
        "more or one less, and the tool goes on behind the last. A step as long as all the way to the limit "
        "lets the loop run once. A counter that goes away from the variable it is compared with, which has "
        "lost or gained its minus, is told at that variable. Counters that are set otherwise than by "
        "numbers, "
        "and loops with jumps inside, are left alone. A count of parts that jumps to the end of the program "
        "while "
        "some are still to be made is told, too.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0700 (ROLLER)
G21 G99
#100=8 (NUMBER OF GROOVES)
T0404
G97 S500 M03
G00 X62. Z5.
#110=0
WHILE [#110 LE #100] DO1
;^^^^^^^^^^^^^^^^^^^^^^^^ warning: loop_turns_odd
#111=-15.-#110*10.
G00 Z#111
G01 X52. F0.1
G00 X62.
#110=#110+1
END1
M30
)"},
            {System::B, R"(
O0900 (PISTON, 5 GROOVES)
G20 G90 G95
T1313
G97 S500 M03
#100=1
#101=6
;^^^^^^ warning: loop_turns_odd
#103=-.5
G00 X3.3 Z.2
WHILE [#100 LE #101] DO1
G00 Z#103
G01 X2.8 F.004
G00 X3.3
#103=#103-.48
#100=#100+1
END1
M30
)"},
            {System::C, R"(
G71 G90 G95
T0707
G97 S240 M03
G00 X46. Z10.
#105=1
WHILE [#105 LE 3] DO2
G00 X29.
G33 Z-116. F6.
G00 X46.
Z10.
#105=#105+10
;^^^^^^^^^^^ warning: loop_turns_odd
END2
M30
)"},
            {System::A, R"(
G20 G99
#103=2.9 (DRILL DEPTH)
;^^^^^^^ warning: loop_turns_odd
#104=.4
T0505
G97 S300 M03
G00 X0. Z.2 M08
#110=0
N30 #110=#110-#104
IF [#110 GE #103] GOTO 40
#110=#103
N40 G01 Z#110 F.01
G00 Z.2
IF [#110 LE #103] GOTO 50
GOTO 30
N50 G00 Z2. M09
M30
)"},
            {System::A, R"(
G21 G99
T0606
G97 S900 M03
G00 X34. Z-23.
G01 X16.8 F0.06
G28 U0 W0
#501=#501+1
IF[#501 LE #502]GOTO900
;^^^^^^^^^^^^^^^^^^^^^^ warning: loop_turns_odd
M99
N900 M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S900 M03
G00 X1.4 Z-.9
G01 X.5 F.002
G00 X6. Z4.
#510=#510-1
IF[#510 LE 0]GOTO900
M99
N900 M05
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S900 M03
G00 X66. Z-44.
G01 X19. F0.08
G00 X150. Z120.
#501=#501+1
IF[#501 LT #502]GOTO400
M30
N400 M99
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S900 M03
G00 X66. Z-44.
G01 X19. F0.08
G00 X150. Z120.
#501=#501+1
IF[#501 GE #502]GOTO400
;^^^^^^^^^^^^^^^^^^^^^^ warning: loop_turns_odd
M30
N400 M99
)"},
            // As noted; the first by itself; and two cuts of each.
            {System::A, R"(
O0700 (ROLLER)
G21 G99
#100=8 (NUMBER OF GROOVES)
T0404
G97 S500 M03
G00 X62. Z5.
#110=0
WHILE [#110 LT #100] DO1
#111=-15.-#110*10.
G00 Z#111
G01 X52. F0.1
G00 X62.
#110=#110+1
END1
M30
)"},
            {System::B, R"(
O0900 (PISTON, 5 GROOVES)
G20 G90 G95
T1313
G97 S500 M03
G00 X3.3 Z-.5
G01 X2.8 F.004
G00 X3.3
#100=1
#103=-.98
WHILE [#100 LE 4] DO1
G00 Z#103
G01 X2.8 F.004
G00 X3.3
#103=#103-.48
#100=#100+1
END1
M30
)"},
            {System::C, R"(
O0900 (SHAFT, 2 GROOVES)
G71 G90 G95
T1313
G97 S500 M03
G00 X33. Z2.
#100=1
WHILE [#100 LE 4] DO1
G00 Z[-5.*#100]
G01 X28. F.04
G00 X33.
#100=#100+1
END1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::loop_turns_odd

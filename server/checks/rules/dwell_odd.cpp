// A dwell of a few milliseconds, or of many minutes.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::dwell_odd {

namespace {

/// Of a number without a point that nobody waits for in seconds.
constexpr double least_mistaken = 30;

struct Dwell {
    const ToolOfSpan* tool;
    const Act* act;
    const ActWord* word;
    double seconds;
};

/// The tool has been fed to where it waits, and the spindle turns: nobody lets an edge rub for so long.
constexpr double most_in_cut = 60;
bool waits_in_cut(const ToolOfSpan& tool, const Act& dwell) {
    const Act* last = nullptr;
    for (const Act& act : tool.work->acts) {
        if (&act == &dwell) break;
        if (act.moves()) last = &act;
    }
    return last && last->motion == MotionKind::feed && last->cuts() && !dwell.stopped() &&
           dwell.spindle == machine::Spindle::main;
}

/// X and U in seconds with a point; without, and P, in milliseconds. nullopt: in turns, or not known.
std::optional<Dwell> dwell_of(const ToolOfSpan& tool, const Act& act, const machine::Settings& settings) {
    if (settings.machine.dwell_in_revolutions.value_or(false) && !act.per_minute()) return std::nullopt;
    for (char letter : {'P', 'X', 'U'})
        if (const ActWord* word = tool.work->word(act, letter)) {
            // By turns under feed per revolution only where the builder has set it so: the size tells then.
            const bool plain_seconds = letter != 'P' && word->has_point;
            return Dwell{&tool, &act, word, plain_seconds ? word->number : word->number / 1000};
        }
    return std::nullopt;
}

/// The tool comes by rapid, waits, and goes off by a rapid to where it stands already: what it was to cut
/// there is lost.
bool waits_for_nothing(const ToolOfSpan& tool, const Act& dwell) {
    const Act *before = nullptr, *behind = nullptr;
    const Act* end = tool.work->acts.data() + tool.work->acts.size();
    for (const Act* act = tool.work->acts.data(); act != end && !behind; ++act) {
        if (act->moves() && (act < &dwell ? before : behind) != act) (act < &dwell ? before : behind) = act;
        const bool between = act != &dwell && !act->moves() && (before || act > &dwell);
        // Codes between the moves are what is waited for.
        if (between && !tool.work->words_of(*act).empty() && !behind) before = nullptr;
    }
    return before && behind && before->motion == MotionKind::rapid && behind->motion == MotionKind::rapid &&
           behind->moves_x != behind->moves_z && known(behind->from_x) && known(behind->from_z) &&
           behind->from_x == behind->to_x && behind->from_z == behind->to_z && behind->to_x > 0 &&
           !dwell.stopped() && dwell.spindle == machine::Spindle::main;
}

void file(const FileContext& context, Report& report) {
    std::vector<Dwell> dwells;
    const auto tools = tools_of(context);
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->has_dwells) continue;
        for (const Act& act : tool.work->acts)
            if (act.dwells && waits_for_nothing(tool, act)) {
                report.at(tool.place(act))
                    .message(
                        said("The tool waits here where a rapid has brought it, and goes off to where it "
                             "stands already: nothing is cut. Is the block lost that feeds it in?"));
            } else if (act.dwells)
                if (auto dwell = dwell_of(tool, act, context.settings()); dwell && dwell->seconds > 0)
                    dwells.push_back(*dwell);
    }
    auto longest_but = [&](const Dwell& dwell) {
        double longest = 0;
        for (const Dwell& other : dwells)
            if (other.word != dwell.word && other.seconds < dwell.seconds)
                longest = std::max(longest, other.seconds);
        return longest;
    };
    // The same number by P: the letter is a slip where it is the only one that is not P.
    auto same_by_p = [&](const Dwell& dwell) -> const Dwell* {
        const Dwell* found = nullptr;
        for (const Dwell& other : dwells) {
            if (other.word->letter != 'P' && other.word != dwell.word) return nullptr;
            if (other.word->letter == 'P' && other.word->number == dwell.word->number) found = &other;
        }
        return dwell.word->number >= least_mistaken ? found : nullptr;
    };
    for (const Dwell& dwell : dwells) {
        const BlockPlace place = dwell.tool->place(*dwell.act);
        const ActWord& word = *dwell.word;
        const bool in_milliseconds = word.letter == 'P' || !word.has_point;
        auto at = [&] { return report.at_letter(place, word.letter); };
        const std::string as_written =
            fmt::format("{}{}", word.letter, word.has_point ? written(word.number) : spoken(word.number));
        if (word.letter == 'P' && word.has_point) {
            at().message(
                said("{} has a point, and P counts milliseconds: the control alarms, or does not wait. "
                     "Write P{:.0f} for {} seconds.",
                     as_written, word.number * 1000, spoken(word.number)));
        } else if (in_milliseconds && dwell.seconds <= 0.0101) {
            if (word.letter == 'P')
                at().message(said("{} is {} milliseconds: it does not wait at all. For {} seconds write {}.",
                                  as_written, spoken(dwell.seconds * 1000), spoken(word.number),
                                  fmt::format("P{:.0f}", word.number * 1000)));
            else
                at().message(
                    said("{} has no point: most controls read {} milliseconds and do not wait at all. For "
                         "{} seconds write {}.",
                         as_written, spoken(dwell.seconds * 1000), spoken(word.number),
                         fmt::format("{}{}", word.letter, written(word.number))));
        } else if (const Dwell* by_p = in_milliseconds && word.letter != 'P' ? same_by_p(dwell) : nullptr) {
            at().severity(Severity::information)
                .message(said("{} has no point: some controls wait {} seconds, others {}. Elsewhere this "
                              "program writes P{:.0f} for {} seconds. Is P meant?",
                              as_written, spoken(dwell.seconds), spoken(word.number), by_p->word->number,
                              spoken(by_p->seconds)));
        } else if (const double longest = longest_but(dwell);
                   dwell.seconds >= 300 ||
                   (dwell.seconds >= most_in_cut && waits_in_cut(*dwell.tool, *dwell.act)) ||
                   (dwell.seconds >= 60 && longest > 0 && dwell.seconds >= 100 * longest)) {
            at().message(
                said("{} waits {} minutes{}. For {} seconds write {}.", as_written,
                     spoken(std::round(dwell.seconds / 6) / 10),
                     dwell.act->stopped() ? "" : said(" where the tool stands"), spoken(dwell.seconds / 1000),
                     word.letter == 'P' ? fmt::format("P{:.0f}", dwell.seconds)
                                        : fmt::format("{}{}", word.letter, written(dwell.seconds / 1000))));
        }
    }
}

} // namespace

extern const Check check{
    .id = "dwell_odd",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Dwell of milliseconds or of minutes",
    .documentation =
        "P of a dwell counts milliseconds and takes no point; X and U are seconds with a point and mostly "
        "milliseconds without one. A dwell of 10 ms or less waits for nothing: a bar is gripped before it "
        "has come, a groove keeps its step. One of five minutes, of a minute where the tool has been fed to, "
        "or of one "
        "minute and a hundred times all others, is a unit mistaken. X or U without a point is told where the "
        "same number stands elsewhere "
        "with P: controls read it in seconds or in milliseconds. A dwell between two rapids, the second to "
        "where the tool stands already, waits for a cut that is lost.",
    .file = file,
    .examples =
        {
            {System::B, R"(
G21 G90 G95
T0505
G97 S800 M03
G00 X50. Z-20.
G01 X40. F.1
G04 U200.
;   ^^^^^ warning: dwell_odd
G00 X50.
M05
G04 U200.
M30
)"},
            // Turns of the spindle, by the shop file.
            {System::B, R"(
G21 G90 G95
T0505
G97 S800 M03
G00 X50. Z-20.
G01 X40. F.1
G04 X2
G00 X50.
M30
)",
             "units = \"mm\"\n[[machine]]\nname = \"m\"\ndwell_in_revolutions = true\n"},
            {System::A, R"(
G20 G99
M05
T0101
G00 X0 Z.03
M10
G04 P1.5
;   ^^^^ warning: dwell_odd
M11
G04 U.5
M30
)"},
            {System::C, R"(
G71 G90 G95
T0303
G01 X24. F.08
G04 U1
;   ^^ warning: dwell_odd
G00 X30.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0303
G04 X1500.
;   ^^^^^^ warning: dwell_odd
G01 X24. F.08
G04 X1.
G00 X30.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G01 X.88 F.003
G04 X250
;   ^^^^ information: dwell_odd
G00 X1.3
Z-1.2
G01 X.88
G04 P250
G00 X1.3
M30
)"},
            {System::C, R"(
G71 G90 G95
G04 X250
G01 X24. F.08
G04 X250
G04 P250
M30
)"},
            {System::A, R"(
G21 G99
G04 P1500
G04 U.3
G04 X2.
G04 P300
M30
)"},
            {System::B, R"(
G21 G90 G95
(WARM UP)
G97 S500 M03
G04 X120.
S1000
G04 X60.
S2000
G04 X60.
M30
)"},
            // The cut between is lost.
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X38. Z2.
Z-26.
G04 P300
;^^^^^^^ warning: dwell_odd
G00 X38.
X100. Z80.
M30
)"},
            {System::A, R"(
G21 G99
T0505
G97 S800 M03
G00 X38. Z2.
Z-26.
G01 X27.4 F0.08
G04 P300
G00 X38.
X100. Z80.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::dwell_odd

// Of two codes of the builder that take turns through the program one comes twice, and the other not between.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::code_twice_without_other {

namespace {

using Does = MachineCode::Does;

/// A block as the machine runs it, called ones in their place.
struct Run {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

constexpr std::size_t most_run = 4000;

class Follower {
public:
    explicit Follower(std::span<const ToolOfSpan> all) : all_(all) {}
    std::vector<Run> runs;
    bool whole = true; ///< False: something is called that is not in the file, or it is too long
    void follow(std::span<const ToolOfSpan> program, int deep = 0) {
        for (const ToolOfSpan& tool : program)
            for (const Act& act : tool.work->acts) {
                if (act.deleted || !tool.work->whole || runs.size() > most_run) whole = false;
                if (!whole) return;
                runs.push_back({&tool, &act});
                if (act.calls_program) call(tool, act, deep);
            }
    }

private:
    void call(const ToolOfSpan& tool, const Act& act, int deep) {
        constexpr int deepest = 3;
        const auto number = number_called(*tool.work, act);
        bool found = false;
        if (number && deep < deepest)
            for_each_program(all_, [&](std::span<const ToolOfSpan> program) {
                if (program[0].span->program->number != *number || found) return;
                found = true;
                const std::size_t before = runs.size();
                follow(program, deep + 1);
                // Once more, so that its end meets its top.
                if (repeats(tool, act) && runs.size() - before < most_run) follow(program, deep + 1);
            });
        if (!found) whole = false;
    }
    static bool repeats(const ToolOfSpan& tool, const Act& act) {
        const ActWord *count = tool.work->word(act, 'L'), *packed = tool.work->word(act, 'P');
        return (count && count->number > 1) || (packed && packed->number >= 20000);
    }
    std::span<const ToolOfSpan> all_;
};

bool is_of_pairs(const ActWord& word) {
    constexpr double common[] = {19, 29, 98, 99};
    return is_of_builder(word) && word.number >= 10 &&
           std::find(std::begin(common), std::end(common), word.number) == std::end(common);
}

/// One of the two, where it comes.
struct Given {
    std::size_t at; ///< Among the runs
    bool first;     ///< Of the pair
};

struct Pair {
    int first = 0, second = 0;
    const MachineCode *told_first = nullptr, *told_second = nullptr;
};

/// What is looked for: `code` does not come between two of the other one.
struct Lost {
    int code = 0, twice = 0;
    std::size_t from = 0, to = 0; ///< The other one's places
    std::size_t turns = 0;        ///< So often the two do take turns
};

std::optional<Lost> lost_of(const Pair& pair, const std::vector<Given>& given, const std::vector<Run>& runs) {
    const auto works = [&](std::size_t from, std::size_t to) {
        return std::any_of(runs.begin() + static_cast<std::ptrdiff_t>(from),
                           runs.begin() + static_cast<std::ptrdiff_t>(to), [](const Run& run) {
                               return run.act->cuts() || run.act->drills() || run.act->taps() ||
                                      run.act->moves();
                           });
    };
    std::optional<Lost> found;
    std::size_t turns = 0;
    std::set<const Act*> seen;
    for (std::size_t i = 1; i < given.size(); ++i) {
        const Given &before = given[i - 1], &now = given[i];
        if (before.first != now.first) {
            turns += !now.first;
            continue;
        }
        if (!works(before.at, now.at)) {
            if (now.at - before.at > 3) return std::nullopt;
            continue; // Once more to be sure
        }
        if (!seen.insert(runs[now.at].act).second) continue; // The same place of a repeated program
        if (found) return std::nullopt;
        found = Lost{now.first ? pair.second : pair.first, now.first ? pair.first : pair.second, before.at,
                     now.at, 0};
    }
    if (!found || turns == 0) return std::nullopt;
    found->turns = turns;
    return found;
}

/// The letters and codes of a block, its builder's code left out.
std::string shape_of(const FileContext& context, const Run& run, int without) {
    std::string shape;
    for (const syntax::Item& item : context.reader().items(run.tool->place(*run.act))) {
        if (item.kind != syntax::ItemKind::word || item.letter == 'N') continue;
        const bool is_code = item.letter == 'G' || item.letter == 'M';
        if (item.letter == 'M' && item.value == without) continue;
        shape += item.letter;
        if (is_code) shape += fmt::format("{}", item.value);
    }
    return shape;
}

/// Where the lost one stands elsewhere, as far as the blocks beside it tell: behind this one; nullopt: no
/// place between is like it.
std::optional<std::size_t> place_of(const FileContext& context, const std::vector<Run>& runs,
                                    const Lost& lost) {
    std::size_t best = 0;
    int most = 0;
    for (std::size_t k = 1; k + 1 < runs.size(); ++k) {
        if (!runs[k].tool->work->has_code(*runs[k].act, 'M', lost.code)) continue;
        const std::string own = shape_of(context, runs[k], lost.code),
                          before = shape_of(context, runs[k - 1], -1),
                          behind = shape_of(context, runs[k + 1], -1);
        for (std::size_t i = lost.from; i < lost.to; ++i) {
            int like = 0;
            if (own.empty()) {
                if (before == shape_of(context, runs[i], -1)) like += 2;
                if (behind == shape_of(context, runs[i + 1], -1)) like += 2;
            } else if (own == shape_of(context, runs[i], -1))
                like = 3;
            if (like <= most) continue;
            most = like;
            best = i;
        }
    }
    if (most < 2) return std::nullopt;
    return best;
}

std::string named(int number, const MachineCode* told) {
    return told ? with_words(*told) : fmt::format("M{:02}", number);
}

/// What it comes to, of codes that the notes tell.
std::string what_then(const MachineCode* lost) {
    switch (lost ? lost->does : Does::other) {
    case Does::brake_on:
        return std::string(said("The cut between comes with C free, and the part turns away under it."));
    case Does::brake_off:
        return std::string(said("C turns against its brake, or the spindle starts against it."));
    case Does::c_on:
        return std::string(
            said("C is turned while the spindle is not its axis: the control alarms, or the place is lost."));
    case Does::c_off:
        return std::string(said("The spindle is still an axis where it is to turn."));
    case Does::clamp_open:
        return std::string(
            said("The bar or the part is not let go, and what pulls it pulls at a closed chuck."));
    case Does::clamp_close:
    case Does::second_close:
        return std::string(said("Nothing holds the bar or the part there."));
    case Does::second_open:
        return std::string(said("The second chuck comes to the part with closed jaws."));
    default:
        return std::string(said("What it puts on stays on, or what it takes back was never there."));
    }
}

/// Speed is set with it: it is given for each tool anew, stopped or not.
bool comes_with_speed(const std::vector<Run>& runs, const std::vector<Given>& given, bool first) {
    return std::any_of(given.begin(), given.end(),
                       [&](const Given& one) { return one.first == first && runs[one.at].act->gives_speed; });
}

bool are_partners(const MachineCode* one, const MachineCode* other) {
    if (!one || !other) return false;
    const auto a = held_by(one->does), b = held_by(other->does);
    if (a && b) return a->first == b->first && a->second != b->second;
    return (one->does == Does::clamp_open && other->does == Does::clamp_close) ||
           (one->does == Does::clamp_close && other->does == Does::clamp_open);
}

void look_at(const FileContext& context, const std::vector<Run>& runs, const std::vector<MachineCode>& codes,
             Report& report) {
    std::set<int> numbers;
    for (const Run& run : runs)
        for (const ActWord& word : run.tool->work->words_of(*run.act))
            if (is_of_pairs(word)) {
                if (word.p >= 0 || run.act->drills() || run.act->taps()) continue;
                numbers.insert(machine::whole_number(word.number));
            }
    std::set<int> told;
    for (const int first : numbers)
        for (const int second : numbers) {
            if (first >= second || told.contains(first) || told.contains(second)) continue;
            const ActWord a{'M', false, -1, static_cast<double>(first)},
                b{'M', false, -1, static_cast<double>(second)};
            const Pair pair{first, second, told_code(a, codes), told_code(b, codes)};
            const bool partners = are_partners(pair.told_first, pair.told_second);
            const auto spoken_of = [&](int number) {
                return std::any_of(codes.begin(), codes.end(),
                                   [&](const MachineCode& code) { return code.number == number; });
            };
            if (!partners && (second - first > 1 || spoken_of(first) || spoken_of(second))) continue;
            const Does does = pair.told_first ? pair.told_first->does : Does::other;
            if (does == Does::live_on || does == Does::live_off || does == Does::catcher_out ||
                does == Does::catcher_back)
                continue;
            std::vector<Given> given;
            bool in_cycles = false;
            for (std::size_t i = 0; i < runs.size(); ++i)
                for (const ActWord& word : runs[i].tool->work->words_of(*runs[i].act)) {
                    if (word.letter != 'M' || (word.number != first && word.number != second)) continue;
                    in_cycles = in_cycles || runs[i].act->drills() || runs[i].act->taps();
                    given.push_back({i, word.number == first});
                }
            if (in_cycles || given.size() < 3 || comes_with_speed(runs, given, true) ||
                comes_with_speed(runs, given, false))
                continue;
            const auto lost = lost_of(pair, given, runs);
            if (!lost || (!partners && lost->turns < 1)) continue;
            const auto place = place_of(context, runs, *lost);
            if (!place && !partners) continue;
            const Run& at = runs[place.value_or(lost->to)];
            const MachineCode* of_lost = lost->code == first ? pair.told_first : pair.told_second;
            const MachineCode* of_twice = lost->code == first ? pair.told_second : pair.told_first;
            told.insert({first, second});
            report.at(at.tool->place(*at.act))
                .severity(partners ? Severity::warning : Severity::information)
                .message(said(
                    "{0} comes twice, and {1} does not come between: elsewhere the two take turns. {2} Is "
                    "the "
                    "block with M{3:02} lost{4}?",
                    named(lost->twice, of_twice), named(lost->code, of_lost), what_then(of_lost), lost->code,
                    place ? std::string(said(" behind this one, where it stands elsewhere")) : std::string()))
                .related(runs[lost->from].tool->place(*runs[lost->from].act), said("comes first here"))
                .related(runs[lost->to].tool->place(*runs[lost->to].act), said("and again here"));
        }
}

/// What a pair of codes holds, and what is said where one of the two never comes.
struct Kept {
    Does sets, takes_back;
};
constexpr Kept kept[] = {
    {Does::brake_on, Does::brake_off}, {Does::c_on, Does::c_off}, {Does::live_on, Does::live_off}};

bool works_at(const Act& act) {
    return act.cuts() || act.drills() || act.taps();
}

/// The block in front of which the code that takes back is lost: behind the last cut of the tools that work
/// so, the way out of it done.
std::size_t behind_work(const std::vector<Run>& runs, std::size_t from, Does lost) {
    std::size_t last = from;
    for (std::size_t i = from; i < runs.size(); ++i) {
        const Act& act = *runs[i].act;
        if (i > from && (act.ends_program || (act.states(Group::spindle_direction) && act.turns() &&
                                              act.spindle != machine::Spindle::live)))
            break;
        const bool turning = act.turns() && act.spindle == machine::Spindle::main;
        if ((works_at(act) && !turning) || act.turns_part) last = i;
    }
    std::size_t at = std::min(last + 1, runs.size() - 1);
    if (lost == Does::brake_off) return at;
    // The axis goes, and the tool stops, when it is out of the part and home.
    while (at + 1 < runs.size() && !runs[at].act->ends_program && !runs[at + 1].act->ends_program &&
           !runs[at + 1].act->calls_tool && !runs[at].act->states(Group::feed_mode) &&
           !is_return(runs[at].act->motion))
        ++at;
    return at;
}

/// C is engaged here: another spindle's, or for other tools.
bool c_in_again(const Run& run, const std::vector<MachineCode>& codes) {
    for (const ActWord& word : run.tool->work->words_of(*run.act))
        if (const MachineCode* code = told_code(word, codes); code && code->does == Does::c_on) return true;
    return false;
}

/// A pair that the notes tell: the first of it is a taking back with cuts before, or the last a setting with
/// cuts behind it and none that takes back, at all or as elsewhere.
void look_at_ends(const std::vector<Run>& runs, const std::vector<MachineCode>& codes, const Kept& pair,
                  Report& report) {
    const MachineCode *sets = nullptr, *takes_back = nullptr;
    for (const MachineCode& code : codes) {
        if (code.does == pair.sets && !sets) sets = &code;
        if (code.does == pair.takes_back && !takes_back) takes_back = &code;
    }
    if (!sets || !takes_back || sets->number < 10 || takes_back->number < 10 || sets->p >= 0) return;
    std::optional<std::size_t> first_set, last_set, first_back, last_back, c_work, c_at;
    bool c_in = false;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const Act& act = *runs[i].act;
        for (const ActWord& word : runs[i].tool->work->words_of(act)) {
            const MachineCode* code = told_code(word, codes);
            if (!code) continue;
            if (code->does == Does::c_on) c_in = true;
            if (code->does == pair.sets || code->does == pair.takes_back) {
                if (act.drills() || act.taps()) return; // For its own hole
                auto& first = code->does == pair.sets ? first_set : first_back;
                auto& last = code->does == pair.sets ? last_set : last_back;
                first = first.value_or(i);
                last = i;
            }
        }
        // C stands where it was turned to, or where it came in.
        const bool turns = act.turns_part && !works_at(act) && !act.polar && !act.cylinder;
        if (turns || (c_in && !c_at)) c_at = i;
        const bool at_angle = c_in && !act.polar && !act.cylinder && !act.turns_part && works_at(act);
        if (at_angle && !c_work && !first_back) c_work = pair.sets == Does::brake_on ? c_at.value_or(i) : i;
        if (c_in_again(runs[i], codes) && !first_back) c_work.reset();
    }
    const bool c_or_brake = pair.sets != Does::live_on;
    if (first_back && (!first_set || *first_set > *first_back)) {
        // In the head it is to be sure.
        if (!c_work || *c_work > *first_back || pair.sets == Does::c_on) return;
        const Run& at = runs[*c_work];
        report.at(at.tool->place(*at.act))
            .message(said("What comes from here on is cut before {0} has come, and {1} comes behind it: {2} "
                          "Write M{3:02} before the cut.",
                          with_words(*sets), with_words(*takes_back),
                          pair.sets == Does::live_on
                              ? std::string(said("the tool is pushed into the part and does not turn."))
                              : what_then(sets),
                          sets->number))
            .related(runs[*first_back].tool->place(*runs[*first_back].act), said("comes first here"));
        return;
    }
    if (!last_set || (last_back && *last_back >= *last_set)) return;
    if (pair.sets == Does::live_on && last_back)
        return; // Of the tools that are not stopped another check speaks
    if (std::none_of(runs.begin() + static_cast<std::ptrdiff_t>(*last_set), runs.end(),
                     [](const Run& run) { return works_at(*run.act); }))
        return;
    // The next part begins with it.
    if (c_or_brake && first_back && *first_back < *first_set) return;
    const Run& at = runs[behind_work(runs, *last_set, pair.takes_back)];
    // Each spindle may have a code of its own.
    for (const ActWord& word : runs[*last_set].tool->work->words_of(*runs[*last_set].act))
        if (const MachineCode* code = told_code(word, codes); code && code->does == pair.sets) sets = code;
    const std::string then =
        pair.takes_back == Does::c_off
            ? std::string(
                  said("the next start for turning finds the spindle as an axis, and the control alarms."))
        : pair.takes_back == Does::brake_off
            ? std::string(said("the spindle is next turned against the brake."))
            : std::string(said("the tool turns on at the tool change and beside whoever reaches in."));
    report.at(at.tool->place(*at.act))
        .message(
            last_back
                ? said("{0} comes last here, and {1} not behind it, as it does elsewhere: {2} Write M{3:02}.",
                       with_words(*sets), with_words(*takes_back), then, takes_back->number)
                : said("{0} comes, and {1}, which notes or shop file tell, comes nowhere: {2} Write M{3:02}.",
                       with_words(*sets), with_words(*takes_back), then, takes_back->number))
        .related(runs[*last_set].tool->place(*runs[*last_set].act), said("put on here"));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const std::vector<MachineCode> codes = codes_told(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        Follower follower(tools);
        follower.follow(program);
        if (!follower.whole) return;
        const std::size_t before = report.found.size();
        look_at(context, follower.runs, codes, report);
        if (report.found.size() != before) return;
        for (const Kept& pair : kept) look_at_ends(follower.runs, codes, pair, report);
    });
}

} // namespace

extern const Check check{
    .id = "code_twice_without_other",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "A code twice, and its other one not between",
    .documentation = "Two codes of the machine's builder take turns through the program, as a brake that is "
                     "put on and let go at "
                     "each hole, or a chuck that opens and closes, and at one place one of them comes twice "
                     "with work between and "
                     "the other one not: a block is lost, or the wrong one of the two is written. What the "
                     "codes mean is read from "
                     "`m_codes` in the shop file, else from notes; of two neighbouring numbers that nothing "
                     "tells it is said as a "
                     "question, where the blocks round the place are like those round the others. Of brake, "
                     "C axis and live tool also where the one that "
                     "puts on comes only behind the cuts, or the one that takes back comes nowhere and the "
                     "notes tell it. Codes that stand in drilling cycles or "
                     "come with a speed are left alone.",
    .file = file,
    .examples =
        {
            // The second hole is drilled with C free.
            {System::A, R"(
(M51 C ON  M50 C OFF  M61 C BRAKE ON  M62 C BRAKE OFF)
G21 G98 G97
T0505
M51
S2000 M13
G00 X60. Z-10. C0
M61
G01 X40. F60.
G00 X60.
M62
C120.
;^^^^ warning: code_twice_without_other
G01 X40. F60.
G00 X60.
M62
C240.
M61
G01 X40. F60.
G00 X60.
M62
M50
M30
)"},
            // Not let go before the C axis goes.
            {System::C, R"(
(M14 C AXIS IN, M15 C AXIS OUT, M21 C LOCK, M22 C FREE)
G70 G90 G94 G97
T0505
M14
G00 X2. Z-.5 C0
M21
G01 X1.6 F6.
G00 X2.
M22
G00 C180.
M21
G01 X1.6 F6.
G00 X2.
;^^^^^^ warning: code_twice_without_other
T0707
G00 X2. Z-.8 C90.
M21
G01 X1.5 F6.
G00 X2.
M22
M15
M30
)"},
            // Nothing tells what they are.
            {System::B, R"(
G21 G90 G94 G97
T0808
G00 X13. Z5. C0
M183
G01 Z-8. F100.
G00 Z5.
M184
C90.
M183
G01 Z-8. F100.
G00 Z5.
;^^^^^^ information: code_twice_without_other
C180.
M183
G01 Z-8. F100.
G00 Z5.
M184
M30
)"},
            // Told, and nowhere in the program.
            {System::A, R"(
(M51 C ON  M50 C OFF)
G21 G99
T0101
G97 S900 M03
G00 X40. Z2.
G01 Z-20. F.2
M05
T0505
M51
G98
G00 X60. Z-10. C0
G01 X40. F60.
G00 X60.
G28 U0 W0
;^^^^^^^^ warning: code_twice_without_other
M30
)"},
            // Put on only behind the cut.
            {System::B, R"(
(M51 C ON, M50 C OFF, M61 C BRAKE ON, M62 C BRAKE OFF)
G20 G90 G94 G97
T0505
M51
G00 X2.4 Z-.4 C0
;^^^^^^^^^^^^^^^^ warning: code_twice_without_other
G01 X1.6 F6.
G00 X2.4
M62
M50
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0808
G00 X13. Z5. C0
M183
G01 Z-8. F100.
G00 Z5.
M184
C90.
M183
G01 Z-8. F100.
G00 Z5.
M184
M30
)"},
            // Once more in the head, to be sure.
            {System::A, R"(
(M51 C ON  M50 C OFF  M61 C BRAKE ON  M62 C BRAKE OFF)
G21 G98 G97
M62
M50
T0505
M51
M62
G00 X60. Z-10. C0
M61
G01 X40. F60.
G00 X60.
M62
M50
M30
)"},
            // Two levels of one thing: each cut has its own.
            {System::C, R"(
G71 G90 G95 G97
T0101
S900 M03
M41
G00 X60. Z2.
G01 Z-30. F.2
G00 X62. Z2.
M42
G01 Z-30. F.2
G00 X62. Z2.
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::code_twice_without_other

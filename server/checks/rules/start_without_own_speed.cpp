// One start of a spindle or live tool comes without S, all others state theirs.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>

namespace turnwright::checks::rules::start_without_own_speed {

namespace {

struct Start {
    const ToolOfSpan* tool;
    const Act* act;
    int code; ///< M
    bool has_speed;
};

/// M03, M04 or a code of the builder's beside the mode of the speed.
std::optional<int> starting_code(const Acts& work, const Act& act) {
    if (!act.states(Group::spindle_mode) || act.deleted || act.calls_program) return std::nullopt;
    for (const ActWord& word : work.words_of(act))
        if (word.letter == 'M' && (word.number == 3 || word.number == 4 || is_of_builder(word)))
            return machine::whole_number(word.number);
    return std::nullopt;
}

/// In the block, above it for the same tool, or below it in front of the first cut.
bool has_speed(const Acts& work, const Act& start, int code) {
    bool above = false;
    for (const Act& act : work.acts) {
        const std::optional<int> starts = starting_code(work, act);
        if (&act < &start) {
            // Of another spindle it is another's.
            above = starts && *starts != code ? false : above || act.gives_speed || act.calls_program;
            continue;
        }
        if (&act > &start && (starts || act.cuts() || act.threads() || act.motion == MotionKind::feed))
            return above;
        if (above || act.gives_speed || (&act > &start && act.calls_program)) return true;
    }
    return above;
}

std::vector<Start> starts_of(std::span<const ToolOfSpan> program) {
    std::vector<Start> starts;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (const std::optional<int> code = starting_code(*tool.work, act))
                starts.push_back({&tool, &act, *code, has_speed(*tool.work, act, *code)});
    return starts;
}

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<Start> starts = starts_of(program);
    const Start* bare = nullptr;
    std::size_t with = 0, alike = 0;
    for (const Start& start : starts) {
        if (start.has_speed) {
            ++with;
            continue;
        }
        if (bare) return; // A habit
        bare = &start;
    }
    if (!bare || with < 2) return;
    for (const Start& start : starts) alike += start.code == bare->code && start.has_speed;
    // A code that starts nothing else may be no start.
    if (alike == 0 && bare->code != 3 && bare->code != 4) return;
    // Of a lathe with one spindle `restart_inherits` tells it.
    const auto one_spindle = [](const Start& start) { return start.code == 3 || start.code == 4; };
    if (std::all_of(starts.begin(), starts.end(), one_spindle)) return;
    // With another mode before, or none, other warnings tell it.
    const Act& act = *bare->act;
    if (act.spindle == machine::Spindle::main && !known(act.speed)) return;
    const std::string kept = known(act.speed) ? "S" + written(act.speed) : said("the S from above");
    report.at(bare->tool->place(act))
        .message(said("M{:02} comes with no S here, and the {} other starts of this program state theirs: "
                      "{} stays in force, which was meant for other work. Write S in this block.",
                      bare->code, with, kept));
}

/// The tool cuts without a word of its speed, and what turns is not known since a program out of sight: then
/// `restart_inherits` does not tell it.
void look_for_none(std::span<const ToolOfSpan> program, Report& report) {
    constexpr std::size_t enough = 3;
    const ToolOfSpan* bare = nullptr;
    const Act* cut = nullptr;
    std::size_t with = 0;
    for (const ToolOfSpan& tool : program) {
        if (!tool.work->whole) return;
        if (!tool.span->sequence || !tool.span->sequence->calls_tool) continue;
        bool gives = false, calls = false;
        const Act* first_cut = nullptr;
        for (const Act& act : tool.work->acts) {
            if (!first_cut && (act.cuts() || act.threads() || act.taps())) first_cut = &act;
            gives = gives || act.gives_speed || act.states(Group::spindle_mode);
            calls = calls || (act.calls_program && !first_cut);
        }
        if (gives) {
            ++with;
            continue;
        }
        if (!first_cut || calls) continue;
        if (bare || with == 0) return; // A habit, or a bar stop
        bare = &tool;
        cut = first_cut;
    }
    if (!bare || with < enough || cut->stopped() || known(cut->speed)) return;
    if (cut->spindle != machine::Spindle::main || bare->own->live || bare->is(NamedTool::Kind::stop)) return;
    report.at_letter(bare->span->sequence->tool_call, 'T')
        .message(said("T{:02} cuts with no speed of its own, and the {} other tools state S and how it is "
                      "meant: it runs as the tool before was set, or as the called program has left it. Is "
                      "the line with G96 or G97 lost?",
                      bare->station, with));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_for_none(program, report); });
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
}

} // namespace

extern const Check check{
    .id = "start_without_own_speed",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "One start without a speed of its own",
    .documentation =
        "A block states G96 or G97 and starts the spindle, the second spindle or a live tool, and no S "
        "stands "
        "there, above it for the same tool or below it in front of the first cut, while all other such "
        "starts "
        "of the program, two or more, state theirs. What turns keeps the speed of the tool before: a small "
        "drill "
        "at the speed of a large one, or the surface speed of a turning tool as revolutions. With the mode "
        "of "
        "the main spindle changed too, `speed_from_other_mode` tells it. A tool that cuts with no word of a "
        "speed "
        "at all, behind a called program that is not at hand, is told where three others or more state "
        "theirs.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G99
T0101
G50 S2500
G96 S200 M03
G00 X50. Z2.
G01 Z-20. F.2
G00 X100. Z50.
M05
T0707
M51
G28 H0
G98 G97 M13
;^^^^^^^^^^ warning: start_without_own_speed
G00 X30. Z3. C0.
G83 Z-12. R-1. F120.
G80
G00 X100. Z50.
M15
T0808
G97 S1400 M13
G00 X30. Z3. C0.
G83 Z-12. R-1. F120.
G80
M15
M50
G99
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G92 S2500
G97 S900 M303
G00 X2. Z.1
G01 Z-1. F.008
G00 X4. Z2.
T0202
G97 M303
;^^^^^^^ warning: start_without_own_speed
G00 X1.8 Z.1
G01 Z-1. F.008
G00 X4. Z2.
T0303
G97 S1200 M303
G00 X1.6 Z.1
G01 Z-1. F.008
G00 X4. Z2.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G92 S2500
G96 S200 M03
G00 X50. Z2.
G01 Z-20. F.2
G00 X100. Z50.
T0202
G96 M303
;^^^^^^^ warning: start_without_own_speed
G00 X48. Z2.
G01 Z-20. F.1
G00 X100. Z50.
T0303
G96 S120 M303
G00 X46. Z2.
G01 Z-20. F.1
G00 X100. Z50.
M30
)"},
            // S in a block of its own, and a start again by the same tool.
            {System::A, R"(
G21 G99
T0101
G97 S900 M03
G00 X50. Z2.
G01 Z-20. F.2
M05
M00
G97 M03
G01 Z-30.
G00 X100. Z50.
T0202
G97 M03
S700
G00 X48. Z2.
G01 Z-20. F.1
G00 X100. Z50.
T0303
G97 S800 M03
G00 X46. Z2.
G01 Z-20. F.1
G00 X100. Z50.
M30
)"},
            // A habit: two do without.
            {System::B, R"(
G21 G90 G95
T0101
G97 S900 M03
G00 X50. Z2.
G01 Z-20. F.2
G00 X100. Z50.
T0202
G97 M03
G00 X48. Z2.
G01 Z-20. F.1
G00 X100. Z50.
T0303
G97 M03
G00 X46. Z2.
G01 Z-20. F.1
G00 X100. Z50.
T0404
G97 S700 M03
G00 X44. Z2.
G01 Z-20. F.1
G00 X100. Z50.
M30
)"},
            // The line with the speed is lost, behind a program that goes to the change position.
            {System::A, R"(
G21 G99
M98 P9001
;^^^^^^^^ information: program_not_found
T0101
G50 S2000
G96 S140 M03
G00 X72. Z0.
G01 X-1.6 F0.2
M98 P9001
T0303
G96 S180 M03
G00 X60. Z2.
G01 Z-20. F0.1
M98 P9001
T0505
;^^^^ warning: start_without_own_speed
G00 X0 Z5.
G01 Z-30. F0.2
G00 Z5.
M98 P9001
T0707
G96 S120 M03
G00 X21. Z3.
G01 Z-20. F0.15
G00 X20. Z5.
M98 P9001
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::start_without_own_speed

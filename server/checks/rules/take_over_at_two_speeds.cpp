// The second spindle is started at another speed than the part turns at, and its chuck closes on it.
#include "checks/clamping.h"
#include "checks/noted_words.h"
#include "checks/path_examples.h"
#include "checks/rule.h"
#include "checks/two_paths.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::take_over_at_two_speeds {

namespace {

using Does = MachineCode::Does;
using machine::Spindle;

constexpr double share_alike = 0.01;

struct Speed {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    double rpm = 0;
};

void look_at(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes, Report& report) {
    std::optional<Speed> main, second;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code || act.deleted) continue;
                if (code->does == Does::second_open) second.reset();
                if (code->does != Does::second_close) continue;
                if (!main || !second || std::abs(main->rpm - second->rpm) <= share_alike * main->rpm) return;
                report.at_letter(second->tool->place(*second->act), 'S')
                    .message(said(
                        "The second spindle is started at {} rpm and the part turns at {} in the main one: "
                        "{} closes on it at unlike speeds, the jaws score it or throw it, or the spindles "
                        "do not join. Give both the same S.",
                        spoken(second->rpm), spoken(main->rpm), with_words(*code)))
                    .related(main->tool->place(*main->act), said("the main spindle"));
                return;
            }
            if (act.states(Group::spindle_direction) && act.stopped()) {
                if (act.spindle == Spindle::main) main.reset();
                if (act.spindle == Spindle::second) second.reset();
            }
            // What the second one was given for its own work is not of the taking over.
            if (act.cuts() && act.spindle == Spindle::second) second.reset();
            if (!act.gives_speed || act.gives_limit || !known(act.speed)) continue;
            const std::optional<Speed> given =
                act.rpm() ? std::optional(Speed{&tool, &act, act.speed}) : std::nullopt;
            if (act.spindle == Spindle::main) main = given;
            if (act.spindle == Spindle::second) second = given;
            if (!act.spindle) main = second = std::nullopt;
        }
}

/// "M24 TURNS WITH M3", "M53 TURNS LIKE M3": the code of the second spindle's sense that the part turns in.
std::optional<int> noted_sense(const FileContext& context, const Span& head) {
    std::optional<int> found;
    for (const NoteAt& note : notes_between(context.reader(), head.first, head.last)) {
        const NotedWords words = noted_words(note.text);
        for (std::size_t i = 0; i + 3 < words.size(); ++i) {
            const bool turns = words.at(i + 1) == "TURNS" || words.at(i + 1) == "RUNS";
            const bool like =
                words.at(i + 2) == "WITH" || words.at(i + 2) == "LIKE" || words.at(i + 2) == "AS";
            const bool of_main = words.at(i + 3) == "M3" || words.at(i + 3) == "M03";
            if (!turns || !like || !of_main || words.at(i).size() < 3 || words.at(i)[0] != 'M') continue;
            const auto number = plain_number(words.at(i).substr(1));
            if (!number || found) return std::nullopt;
            found = static_cast<int>(*number);
        }
    }
    return found;
}

/// The second spindle is started the other way round than the note says that the part turns.
void look_at_sense(const FileContext& context, std::span<const ToolOfSpan> program,
                   const std::vector<MachineCode>& codes, Report& report) {
    const auto sense = noted_sense(context, *program.front().span);
    if (!sense) return;
    struct Start {
        const ToolOfSpan* tool = nullptr;
        const Act* act = nullptr;
        int number = 0;
    };
    std::optional<Start> start;
    bool main_forward = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.states(Group::spindle_direction) && act.spindle == Spindle::main)
                main_forward = Act::only(act.direction, Meaning::spindle_forward);
            for (const ActWord& word : tool.work->words_of(act)) {
                // As M03 and M04 of the main spindle.
                const long number = word.letter == 'M' ? std::lround(word.number) : 0;
                const bool of_sense = number / 10 == *sense / 10 && (number % 10 == 3 || number % 10 == 4);
                if (of_sense)
                    start = act.turns() && act.spindle == Spindle::second && main_forward
                                ? std::optional(Start{&tool, &act, static_cast<int>(number)})
                                : std::nullopt;
                const MachineCode* code = told_code(word, codes);
                if (!code || code->does != Does::second_close || !start || act.deleted) continue;
                if (start->number == *sense) return;
                report.at_letter(start->tool->place(*start->act), 'M')
                    .message(
                        said("M{:02} starts the second spindle, and by the notes M{:02} turns it as M03 "
                             "turns the part: {} closes on a part that runs the other way, twists it and "
                             "scores it, or the spindles do not join. Write M{:02}.",
                             start->number, *sense, with_words(*code), *sense));
                return;
            }
        }
}

void file(const FileContext& context, Report& report) {
    report_paths(context, report, "take_over_at_two_speeds");
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    if (!code_that(codes, Does::second_close)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at(program, codes, report);
        look_at_sense(context, program, codes, report);
    });
}

} // namespace

extern const Check check{
    .id = "take_over_at_two_speeds",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Part taken over at two speeds",
    .documentation =
        "Both spindles are started for the take-over, each with an S of its own, and the two are not alike "
        "when "
        "the second chuck closes: a digit of one is lost. What the codes mean is read from `m_codes` in the "
        "shop file (`does = \"second clamp\"`, `\"second forward\"`), else from notes (M103 SPINDLE 2 "
        "FORWARD); without either nothing is said, nor where one of them stands or has surface speed.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M3 M4 M5 MAIN - M23 M24 M25 SUB CW CCW STOP, M24 TURNS WITH M3)
(M35/M36 SUB COLLET OPEN/SHUT)
(M40 SPINDLES LOCKED TOGETHER, M41 FREE)
G20 G99
T0707
G97 S700 M3
M35
M23 S700
;^^ warning: take_over_at_two_speeds
M40
G98 G1 A-26.25 F40.
M36
G99
M30
)"},
            {System::B, R"(
(M53/M55 SUB FORWARD/STOP, M53 TURNS LIKE M3)
(M110 SUB OPEN M111 SUB CLOSED)
G21 G90 G95
T0707
G97 S700 M3
M110
M53 S700
G94 G1 B-516. F400.
M111
G95
M30
)"},
            // Each path has one of the spindles.
            {System::A, R"(
O0012
G21 G99
G97 S90 M03
;^^^^^^^^^^ warning: take_over_at_two_speeds
M101
M102
G00 X52. Z-30.
G01 X-1. F.1
M103
M30
O1012
(M03 IN THIS PATH = SECOND SPINDLE, M31 / M32 SECOND COLLET CLOSE / OPEN)
G21 G99
M32
G97 S900 M03
;^^^^^^^^^^^ warning: take_over_at_two_speeds
M101
G98 G01 B-20. F800
M31
G99
M102
M103
M30
)",
             shop_of_paths},
            {System::C, R"(
(M103 SPINDLE 2 FORWARD, M105 STOP)
(M47 PHASE AND SPEED COUPLED, M49 COUPLING OFF)
(M78 CHUCK 2 CLOSED, M79 OPEN)
G71 G90 G94
M79
G97 S1000 M03
S100 M103
;^^^ warning: take_over_at_two_speeds
M47
G00 B-290.
G01 B-308. F250
M78
M30
)"},
            {System::A, R"(
(M62 S AND M03-M05 GO TO SECOND SPINDLE, M61 S AND M03-M05 GO TO MAIN SPINDLE)
(M31 / M32 SECOND COLLET CLOSE / OPEN)
G20 G98
M61
G97 S1200 M03
M32
M62
G97 S2100 M03
;   ^^^^^ warning: take_over_at_two_speeds
M61
G00 B-14.2
G01 B-14.95 F20.
M31
M30
)"},
            {System::C, R"(
(M103 SPINDLE 2 FORWARD, M105 STOP)
(M78 CHUCK 2 CLOSED, M79 OPEN)
G71 G90 G94
M79
G97 S1000 M03
S1000 M103
G00 B-290.
G01 B-308. F250
M78
M30
)"},
            {System::B, R"(
(M103 SPINDLE 2 FORWARD, M105 STOP)
(M78 CHUCK 2 CLOSED, M79 OPEN)
G21 G90 G94
M79
G97 S1000 M03
S500 M103
M05
M105
G00 B-290.
G01 B-308. F250
M78
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::take_over_at_two_speeds

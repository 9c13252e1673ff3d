// The second spindle is started at another speed than the part turns at, and its chuck closes on it.
#include "checks/clamping.h"
#include "checks/rule.h"
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

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    if (!code_that(codes, Does::second_close)) return;
    const auto tools = tools_of(context);
    for_each_main_program(tools,
                          [&](std::span<const ToolOfSpan> program) { look_at(program, codes, report); });
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

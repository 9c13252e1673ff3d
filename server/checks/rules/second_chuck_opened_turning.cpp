// The second chuck is opened while its spindle turns the part that it holds.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "checks/second_sides.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>

namespace turnwright::checks::rules::second_chuck_opened_turning {

namespace {

using Does = MachineCode::Does;
using machine::Spindle;

struct Start {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
};

bool is_noted(const ActWord& word, const std::vector<MachineCode>& codes) {
    return std::any_of(codes.begin(), codes.end(),
                       [&](const MachineCode& code) { return code.number == word.number; });
}

/// A code of its own stops the second spindle: M05 is the main one's then.
bool has_own_stop(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                  const shop::Machine& machine) {
    const auto stops_second = [](const auto& code) {
        const auto& does = code.second.does;
        return std::find(does.begin(), does.end(), Meaning::second_stop) != does.end();
    };
    if (std::any_of(machine.effects.begin(), machine.effects.end(), stops_second)) return true;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const ActWord* code = tool.work->word(act, 'M');
            if (act.spindle == Spindle::second && act.stopped() && code && code->number > 9) return true;
        }
    return std::any_of(codes.begin(), codes.end(), [](const MachineCode& code) {
        return code.does == Does::other && code.number > 9 &&
               (code.words.find("STOP") != std::string::npos || code.words.find("OFF") != std::string::npos ||
                code.words.find("HALT") != std::string::npos);
    });
}

std::string start_code(const Start& start) {
    for (const ActWord& word : start.tool->work->words_of(*start.act))
        if (word.letter == 'M') return fmt::format("M{:02}", machine::whole_number(word.number));
    return "M03";
}

class Walk {
public:
    Walk(std::span<const ToolOfSpan> all, const std::vector<MachineCode>& codes, const SecondSpindle& second,
         bool own_stop, Report& report)
        : all_(all), codes_(codes), second_(second), own_stop_(own_stop), report_(report) {}

    /// What is called in the file comes in its place.
    void follow(std::span<const ToolOfSpan> program, int depth = 0) {
        constexpr int deepest = 4;
        for (const ToolOfSpan& tool : program)
            for (const Act& act : tool.work->acts) {
                if (told_ || (depth > 0 && called_left_ == 0)) return;
                if (depth > 0) --called_left_;
                take(tool, act);
                if (!act.calls_program) continue;
                const auto number = number_called(*tool.work, act);
                bool found = false;
                if (number && depth < deepest && !act.deleted)
                    for_each_program(all_, [&](std::span<const ToolOfSpan> called) {
                        if (found || called[0].span->program->number != *number ||
                            called[0].span->program == tool.span->program)
                            return;
                        found = true;
                        follow(called, depth + 1);
                    });
                if (!found) started_.reset();
            }
    }

private:
    void take(const ToolOfSpan& tool, const Act& act) {
        const bool second = act.spindle == Spindle::second;
        const ActWord* own = tool.work->word(act, 'M');
        const bool starts =
            second && act.turns() && own && (act.gives_speed || act.states(Group::spindle_mode));
        if (starts && !act.deleted && closed_) started_ = Start{&tool, &act};
        // Started by M03, with S sent to the second spindle: M05 stops it.
        const bool by_main_code = started_ && start_code(*started_) < "M05";
        const bool stops =
            act.stopped() && (act.states(Group::spindle_direction)
                                  ? !own_stop_ || by_main_code
                                  : second && own && own->number > 9 && !told_code(*own, codes_));
        if (stops) started_.reset();
        cut_ = cut_ || (closed_ && started_ && act.cuts() && second);
        for (const ActWord& word : tool.work->words_of(act)) take_code(tool, act, word, starts);
    }

    void take_code(const ToolOfSpan& tool, const Act& act, const ActWord& word, bool starts) {
        const MachineCode* code = told_code(word, codes_);
        if (!code) {
            if (is_of_builder(word) && !starts && !is_noted(word, codes_)) started_.reset();
            return;
        }
        if (code->does == Does::joined) started_.reset();
        if (code->does == Does::second_close) {
            closed_ = true;
            cut_ = false;
            started_.reset();
        }
        if (code->does != Does::second_open) return;
        const bool has_part = cut_ || second_.holds(tool.place(act));
        if (closed_ && has_part && started_ && !act.deleted && !told_) {
            told_ = true;
            report_.at_letter(tool.place(act), 'M')
                .message(said("{} lets go of the part while the second spindle turns it: {} has "
                              "started it, and nothing stops it before. The part is thrown out. Stop "
                              "that spindle and dwell before the chuck opens.",
                              with_words(*code), start_code(*started_)))
                .related(started_->tool->place(*started_->act), said("started here"));
        }
        closed_ = false;
        started_.reset();
    }

    std::span<const ToolOfSpan> all_;
    const std::vector<MachineCode>& codes_;
    const SecondSpindle& second_;
    bool own_stop_;
    Report& report_;
    std::optional<Start> started_; ///< By itself, since the chuck closed; nothing has stopped it
    bool closed_ = false, cut_ = false, told_ = false;
    std::size_t called_left_ = 20'000; ///< Acts: programs may call each other many times
};

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const auto tools = tools_of(context);
    const shop::Machine& machine = context.settings().machine;
    const SecondSpindle& second = context.second_spindle();
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        Walk(tools, codes, second, has_own_stop(tools, codes, machine), report).follow(program);
    });
}

} // namespace

extern const Check check{
    .id = "second_chuck_opened_turning",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second chuck opened while its spindle turns",
    .documentation =
        "The second chuck has closed on the part, its spindle was started by itself and a tool has cut "
        "there, "
        "and the code that opens the chuck comes with no stop of that spindle before: the part is thrown "
        "out. "
        "The stop is lost, stands behind the opening, or is the one of the main spindle. What the codes do "
        "is "
        "read from `m_codes` in the shop file (`does = \"second unclamp\"`, `\"second forward\"`, `\"second "
        "stop\"`) or from notes; a code that nothing tells may stop the spindle, and then nothing is said. A "
        "chuck that opens empty, or with both spindles joined, is let pass.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M203/M205 SPINDLE 2 RUN/STOP, M110/M111 CHUCK 2 CLOSE/OPEN)
G21 G99
G54
T0101
G97 S900 M03
G00 X40. Z2.
G01 X-1.6 F0.2
M111
S900 M203
G00 B-380.
G98 G01 B-400. F300
M110
G99
T0707
G00 X42. Z-30.
G01 X-0.6 F0.05
G00 X42.
M05
G00 B0
G55
T0808
G96 S180 M203
G00 X42. Z-2.
Z0
G01 X-1.6 F0.15
G00 X100.
Z-100.
M111
;^^^ warning: second_chuck_opened_turning
M30
)"},
            {System::B, R"(
(M63 SECOND SPINDLE RUNS, M65 SECOND SPINDLE STOP)
(M12 SECOND CHUCK SHUT, M13 SECOND CHUCK OPEN)
G20 G90 G95
G54
T0101
G97 S900 M03
G00 X1.3 Z.1
G01 Z-1. F.006
M13
G97 S900 M63
G00 B-18.
G94 G01 B-19.5 F12.
M12
G95
T0707
G00 X1.3 Z-1.5
G01 X-.03 F.003
G00 X1.3
G00 B0
M65
M05
G55
T0808
G97 S1200 M63
G00 X0 Z-.1
G01 Z.5 F.005
G00 Z-3.
M05
G04 P2000
M13
;^^ warning: second_chuck_opened_turning
M30
)"},
            {System::A, R"(
(M203/M205 SPINDLE 2 RUN/STOP, M110/M111 CHUCK 2 CLOSE/OPEN)
G21 G99
G54
T0101
G97 S900 M03
G00 X40. Z2.
G01 X-1.6 F0.2
M111
S900 M203
G00 B-380.
G98 G01 B-400. F300
M110
G99
T0707
G00 X42. Z-30.
G01 X-0.6 F0.05
G00 X42.
M05
G00 B0
G55
T0808
G96 S180 M203
G00 X42. Z-2.
Z0
G01 X-1.6 F0.15
G00 X100.
Z-100.
M205
G04 U2.
M111
M30
)"},
            // Opened empty before it comes, with its spindle turning; a code that nothing tells before the
            // end.
            {System::C, R"(
(M203/M205 SPINDLE 2 RUN/STOP, M110/M111 CHUCK 2 CLOSE/OPEN)
G71 G90 G95
G54
T0101
G97 S900 M203
M111
G00 X40. Z2.
G97 S900 M03
G01 X-1.6 F0.2
G00 B-380.
G94 G01 B-400. F300
M110
G95
M05
G00 B0
G55
T0808
G96 S180 M203
G00 X42. Z-2.
Z0
G01 X-1.6 F0.15
G00 X100.
Z-100.
M188
M111
M30
)"},
            // In a called program, and in front of the first cut there.
            {System::A, R"(
O1104
(M203/M205 SPINDLE 2 RUN/STOP, M110/M111 CHUCK 2 CLOSE/OPEN, M10 MAIN CHUCK OPEN)
G21 G99
G54
T0101
G97 S900 M03
G00 X42. Z2.
G01 X30. F.2
G01 Z-20.
G00 X100. Z50.
M05
G00 B-400.
M110
M10
G00 B0
M98 P1204
M30
O1204
N8
G55
T0808
G96 S180 M203
G00 X42. Z-2.
Z0
G01 X-1.6 F.15
G00 Z-20.
M111
;^^^ warning: second_chuck_opened_turning
M99
)"},
            {System::C, R"(
(M203/M205 SPINDLE 2 RUN/STOP, M110/M111 CHUCK 2 CLOSE/OPEN, M10 MAIN CHUCK OPEN)
G70 G90 G95
G54
T0101
G97 S900 M03
G00 X1.7 Z.1
G01 X1.2 F.01
G01 Z-.8
G00 X6. Z2.
M05
G00 B-16.
M110
M10
G00 B0
N8
G55
T0808
G96 S600 M203
M111
;^^^ warning: second_chuck_opened_turning
G00 X1.7 Z-.1
Z0
G01 X-.06 F.006
G00 Z-1.
M205
M30
)"},
            // The chuck is tried empty.
            {System::B, R"(
(M203/M205 SPINDLE 2 RUN/STOP, M110/M111 CHUCK 2 CLOSE/OPEN, M10 MAIN CHUCK OPEN)
G21 G90 G95
M110
G97 S500 M203
M111
M205
G54
T0101
G97 S900 M03
G00 X42. Z2.
G01 X30. F.2
G01 Z-20.
G00 X100. Z50.
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::second_chuck_opened_turning

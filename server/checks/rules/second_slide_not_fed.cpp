// The slide of the second spindle stops in front of the part: its last way, at feed, is missing.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::second_slide_not_fed {

namespace {

void look_at(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes, Report& report) {
    const ToolOfSpan* tool_out = nullptr;
    const Act* out = nullptr; ///< The rapid that brings the slide out, nothing fed since
    const ActWord* word_out = nullptr;
    bool code_came = false;
    std::size_t outs = 0, builder_codes = 0;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const ActWord* word = slide_word(*tool.work, act);
            if (word && !act.in_contour) {
                const bool rapid = act.meaning == Meaning::rapid && !act.gives_feed;
                const bool is_home = word->number == 0;
                // Two codes of chucks, and back again: it closes here, and the other opens.
                const bool draws_back = out && !rapid && builder_codes >= 2 && !act.deleted &&
                                        std::abs(word->number) < std::abs(word_out->number) &&
                                        word->number * word_out->number >= 0;
                if (draws_back) {
                    report.at_letter(tool_out->place(*out), word_out->letter)
                        .message(said(
                            "The slide of the second spindle is brought to {0}{1} by rapid alone, and after "
                            "the codes of the chucks it goes back to {0}{2}: nothing feeds it onto the part. "
                            "Its chuck closes in front of the part, which falls when the other one opens. "
                            "Write the feed onto the part (G01 {0} F) before the chuck closes.",
                            word_out->letter, written(static_cast<float>(word_out->number)),
                            written(static_cast<float>(word->number))))
                        .related(tool.place(act), said("drawn back here"));
                    return;
                }
                builder_codes = 0;
                if (out && is_home && code_came && outs == 1) {
                    report.at_letter(tool_out->place(*out), word_out->letter)
                        .message(said(
                            "The slide of the second spindle is brought to {0}{1} by rapid alone and goes "
                            "home "
                            "again behind the part-off: nothing feeds it onto the part, and its chuck closes "
                            "in front of it. The part falls when it is cut off. Write the feed onto the part "
                            "(G01 {0} F) before the chuck closes.",
                            word_out->letter, written(static_cast<float>(word_out->number))))
                        .related(tool.place(act), said("sent home here"));
                    return;
                }
                if (is_home || !rapid || act.deleted) {
                    out = nullptr;
                } else {
                    tool_out = &tool;
                    out = &act;
                    word_out = word;
                    ++outs;
                }
                code_came = false;
                continue;
            }
            if (!out) continue;
            for (const ActWord& word_here : tool.work->words_of(act)) {
                const MachineCode* closes = told_code(word_here, codes);
                if (!closes || closes->does != MachineCode::Does::second_close || act.deleted) continue;
                report.at_letter(tool_out->place(*out), word_out->letter)
                    .message(said(
                        "The slide of the second spindle comes to {0}{1} by rapid alone, and {2} closes "
                        "its chuck there: nothing feeds it onto the part. The jaws meet the part at "
                        "full rate, or close in front of it. Write the feed onto the part (G01 {0} F) "
                        "before the chuck closes.",
                        word_out->letter, written(static_cast<float>(word_out->number)), with_words(*closes)))
                    .related(tool.place(act), said("closed here"));
                return;
            }
            for (const ActWord& code : tool.work->words_of(act)) builder_codes += is_of_builder(code);
            // Parted to the axis, or to a hole, with the slide out.
            code_came = code_came || (act.cuts() && act.moves_x && !act.moves_z && act.turns() &&
                                      known(act.to_x) && known(act.from_x) && act.to_x < act.from_x);
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    if (tools.empty()) return;
    const std::vector<MachineCode> codes = codes_told(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, codes, report); });
}

} // namespace

extern const Check check{
    .id = "second_slide_not_fed",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second spindle closes in front of the part",
    .documentation =
        "The slide of the second spindle comes out by rapid, the part is cut off, and the slide goes home: "
        "it "
        "was never fed onto the part, so that its chuck closes in front of it and the part falls. Nobody "
        "brings jaws over a part at full rate. A letter B is taken for the "
        "slide.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0909
G97 S1000 M03
M33
G00 B-310.
;   ^^^^^^ warning: second_slide_not_fed
M61
G04 U.8
G00 X40. Z-48.3
G01 X22. F.07
G00 X42.
G28 U0 W0
G00 B0
M30
)"},
            {System::B, R"(
G20 G90 G95
T0909
G97 S1000 M03
G00 B-12.
;   ^^^^^ warning: second_slide_not_fed
M61
G04 P800
G00 X1.8 Z-2.
G01 X-.02 F.003
G00 X2.
B0
M30
)"},
            {System::A, R"(
G21 G99
T0909
G97 S1000 M03
G00 B-310.
G98 G01 B-338. F600.
M61
G99
G00 X40. Z-48.3
G01 X22. F.07
G00 X42.
G00 B0
M30
)"},
            {System::C, R"(
G71 G90 G95
G00 B-100.
G00 B0
T0909
G97 S1000 M03
G00 X40. Z-48.3
G01 X22. F.07
G00 X42.
M30
)"},
            {System::B, R"(
G21 G90 G95
T0909
G97 S1000 M03
G00 B-310.
G00 X40. Z-48.3
G01 Z-50. F.07
G00 X42.
B0
M30
)"},
            {System::C, R"(
G71 G90 G95
G97 S700 M03
M44
G00 B-490.
;   ^^^^^^ warning: second_slide_not_fed
G94
M63
G04 X1.
M60
G04 X1.
G01 B-440. F1500
G00 B0.
M45
M30
)"},
            {System::C, R"(
G71 G90 G95
G97 S700 M03
M44
G00 B-490.
G94
G01 B-515. F300
M63
G04 X1.
M60
G04 X1.
G01 B-440. F1500
G00 B0.
M45
M30
)"},
            // Twice by rapid, and the chuck closes there.
            {System::A, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN)
G21 G99
T0505
G97 S1200 M03
G00 X36. Z-43.
M22
G00 B-300.
G00 B-318.
;   ^^^^^^ warning: second_slide_not_fed
M21
G01 X-.8 F.05
G00 X60.
M30
)"},
            {System::C, R"(
(M21 SUB CHUCK CLOSE, M22 SUB CHUCK OPEN)
G71 G90 G95
T0505
G97 S1200 M03
G00 X36. Z-43.
M22
G00 B-300.
G94 G01 B-318. F300.
M21
G95 G01 X-.8 F.05
G00 X60.
G00 B0
M21
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_slide_not_fed

// The slide of the second spindle stays at the part while other tools work on the second side, or to the end.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::second_slide_left_out {

namespace {

/// A move of the slide.
struct Slide {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    const ActWord* word = nullptr;
};

/// The tools of one program, in order.
void look_at(std::span<const ToolOfSpan> program, Report& report) {
    std::vector<Slide> slides;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts)
            if (const ActWord* word = slide_word(*tool.work, act); word && !act.in_contour)
                slides.push_back({&tool, &act, word});
    if (slides.size() < 2) return;
    const Slide& last = slides.back();
    const auto is_letter = [&](const Slide& slide) { return slide.word->letter == last.word->letter; };
    if (!std::all_of(slides.begin(), slides.end(), is_letter)) return;
    // Sent somewhere else than home last of all, by feed, as to the part; a home before that is of the head
    // or of the part before.
    if (last.word->number == 0 || last.act->deleted || is_return(last.act->motion)) return;
    // The tool that works on behind the part-off.
    const bool has_home = std::any_of(slides.begin(), slides.end(), [](const Slide& slide) {
        return slide.word->number == 0 || is_return(slide.act->motion);
    });
    // At rapid it has drawn away to where it waited before it came: there it is still in the way.
    const bool where_it_waited = std::count_if(slides.begin(), slides.end(), [&](const Slide& slide) {
                                     return slide.word->number == last.word->number && !slide.act->gives_feed;
                                 }) > 1;
    if (!last.act->gives_feed && !(has_home && where_it_waited)) return;
    bool behind = false, parted = false, fed = false;
    const ToolOfSpan* blade = nullptr;
    for (const ToolOfSpan& tool : program) {
        for (const Act& act : tool.work->acts) {
            if (&act == last.act) behind = true;
            // Parted off, then drawn away a little, and a home that the program has is not written.
            if (!behind && slide_word(*tool.work, act) && act.gives_feed) fed = true, parted = false;
            const bool plunges = act.cuts() && act.moves_x && !act.moves_z && !slide_word(*tool.work, act);
            if (!behind && fed && has_home && plunges) parted = true, blade = &tool;
            if (!behind || &act == last.act) continue;
            if (act.motion == machine::MotionKind::reference && tool.work->word(act, last.word->letter))
                return;
            if (plunges && !parted && (&tool == last.tool || tool.is(NamedTool::Kind::part_off)))
                parted = true, blade = &tool;
            if (parted && &tool != last.tool && &tool != blade && act.calls_tool) {
                report.at(tool.place(act))
                    .message(said(
                        "The slide of the second spindle stands at {0}{1} since the part was taken over, and "
                        "the next tool comes: no {0} sends it home. The turret works on a part in the wrong "
                        "place, or meets the spindle. Write {0}0 behind the part-off.",
                        last.word->letter, written(static_cast<float>(last.word->number))))
                    .related(last.tool->place(*last.act), said("brought to the part here"));
                return;
            }
        }
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
}

} // namespace

extern const Check check{
    .id = "second_slide_left_out",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Slide of the second spindle not sent home",
    .documentation =
        "The slide of the second spindle is fed onto the part, the part is cut off, and another tool is "
        "called with no move of the slide between, nor anywhere behind: the second side is then worked in "
        "the "
        "wrong place, and the turret may meet the spindle. A letter B is taken "
        "for the slide. Nothing is said of a slide that moves again by a command of its own.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0909
G97 S800 M03
G00 B-260.
G98 G01 B-284. F500.
M48
G99
G00 X30. Z-43.5
G01 X-.4 F.05
G00 X34.
G28 U0 W0
G55
T0202
;^^^^ warning: second_slide_left_out
G96 S200 M353
G00 X32. Z-4.
Z0.
G01 X-1.6 F.15
M30
)"},
            {System::B, R"(
G20 G90 G95
T0505
G97 S800 M03
G00 B-11.
G94 G01 B-12.4 F25.
M121
G95
G00 X1.8 Z-1.4
G01 X-.02 F.003
G00 X3. Z2.
T0606
;^^^^ warning: second_slide_left_out
G96 S500 M403
G00 X1.8 Z-.2
G01 X-.06 F.005
M30
)"},
            {System::A, R"(
G21 G99
T0909
G97 S800 M03
G00 B-260.
G98 G01 B-284. F500.
M48
G99
G00 X30. Z-43.5
G01 X-.4 F.05
G00 X34.
B0
G28 U0 W0
G55
T0202
G96 S200 M353
G00 X32. Z-4.
G01 X-1.6 F.15
M30
)"},
            {System::C, R"(
G71 G90 G95
T0909
G97 S800 M03
G00 B-260.
G94 G01 B-284. F500.
M48
G95
G00 X30. Z-43.5
G01 X-.4 F.05
G00 X34.
M30
)"},
            {System::B, R"(
G21 G90 G95
G00 B10.
T0909
G97 S800 M03
G00 X30. Z-43.5
G01 X-.4 F.05
G00 X34.
T0202
G00 X32. Z-4.
G01 X-1.6 F.15
M30
)"},
            // Sent home in the head, and not behind the part-off of its own tool.
            {System::C, R"(
G71 G90 G95
G53 G00 B0
T0505
G97 S800 M03
G00 B-260.
G94 G01 B-284. F500.
M48
G95
T0909 (PART OFF)
G00 X30. Z-43.5
G01 X-.4 F.05
G00 X34.
G55
T0202
;^^^^ warning: second_slide_left_out
G96 S200 M353
G00 X32. Z-4.
Z0.
G01 X-1.6 F.15
M30
)"},
            {System::C, R"(
G71 G90 G95
G53 G00 B0
T0505
G97 S800 M03
G00 B-260.
G94 G01 B-284. F500.
M48
G95
T0909 (PART OFF)
G00 X30. Z-43.5
G01 X-.4 F.05
G00 X34.
G53 B0
G55
T0202
G96 S200 M353
G00 X32. Z-4.
Z0.
G01 X-1.6 F.15
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_slide_left_out

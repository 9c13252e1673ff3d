// The slide of the second spindle is sent to the other side of its home than in all other blocks.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::second_slide_other_way {

namespace {

/// How far two places of a slide near the main chuck are from each other at most, as parts of them.
constexpr double most_apart = 1.5;

struct Slide {
    const ToolOfSpan* tool;
    const Act* act;
    const ActWord* word;
    bool feeds;
};

std::vector<Slide> slides_of(std::span<const ToolOfSpan> program) {
    std::vector<Slide> slides;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const ActWord* word = slide_word(*tool.work, act);
            if (!word || act.in_contour || act.moves() || word->number == not_known || word->number == 0 ||
                act.motion == MotionKind::reference)
                continue;
            slides.push_back({&tool, &act, word, act.gives_feed});
        }
    return slides;
}

bool is_near(const Slide& a, const Slide& b) {
    const double one = std::abs(a.word->number), other = std::abs(b.word->number);
    return std::max(one, other) <= most_apart * std::min(one, other);
}

void look_at(std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<Slide> slides = slides_of(program);
    std::vector<const Slide*> plus, minus;
    bool feeds = false;
    for (const Slide& slide : slides) {
        if (slide.word->letter != slides.front().word->letter || slide.act->incremental || slide.act->deleted)
            return;
        feeds = feeds || slide.feeds;
        (slide.word->number > 0 ? plus : minus).push_back(&slide);
    }
    // A head that tilts is not fed to its angle.
    if (!feeds || plus.empty() || minus.empty()) return;
    const std::vector<const Slide*>&few = plus.size() <= minus.size() ? plus : minus,
                            &many = plus.size() <= minus.size() ? minus : plus;
    if (few.size() != 1) return;
    // Of one each only the way from one to the other tells that they belong together.
    const Slide& lone = *(few.size() == many.size() ? &slides.back() : few.front());
    const auto other = std::find_if(slides.begin(), slides.end(), [&](const Slide& slide) {
        return &slide != &lone && is_near(slide, lone);
    });
    if (other == slides.end() || (many.size() == 1 && !lone.feeds)) return;
    const char letter = lone.word->letter;
    report.at_letter(lone.tool->place(*lone.act), letter)
        .message(
            said("{0}{1} sends the slide of the second spindle to the other side of {0}0 than {2} in this "
                 "program ({0}{3}): it runs {4} the other way, into its end or the main chuck. Is the "
                 "sign wrong? Write {0}{5}.",
                 letter, written(lone.word->number),
                 many.size() == 1 ? said("the other block") : said("all other blocks"),
                 written(other->word->number), written(std::abs(lone.word->number - other->word->number)),
                 written(-lone.word->number)));
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(program, report); });
}

} // namespace

extern const Check check{
    .id = "second_slide_other_way",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Slide of the second spindle sent the other way",
    .documentation =
        "The slide of the second spindle goes to places on one side of its zero, and in one block to the "
        "other "
        "side, about as far out: the sign is wrong, and the slide runs to the far end of its way or into the "
        "main chuck. A letter B, A or E that stands without X and Z and is fed at least once is taken for "
        "the "
        "slide; a head that tilts is not fed to its angle.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0909
G97 S700 M03
M163
G00 B-490.
G98
G01 B515. F300
;   ^^^^^ warning: second_slide_other_way
M162
G01 B-440. F1500
G00 B0.
M05
M30
)"},
            {System::C, R"(
G70 G90 G95
T0909
G97 S700 M03
G00 B-14.
G94
G01 B15.25 F40.
;   ^^^^^^ warning: second_slide_other_way
M162
G00 B0.
M05
M30
)"},
            {System::A, R"(
G21 G99
T0909
G97 S700 M03
G00 B-490.
G98
G01 B-515. F300
M162
G01 B-440. F1500
G00 B0.
M05
M30
)"},
            // A head that tilts to both sides.
            {System::B, R"(
G21 G90 G94
T0505
G00 B45.
G01 X20. Z-5. F100.
G00 X60. Z20.
G00 B45.
G01 X18. Z-5.
G00 X60. Z20.
G00 B-45.
G01 X18. Z-25.
G00 X60. Z20.
M30
)"},
            // Out of the way on the other side of zero.
            {System::B, R"(
G21 G90 G94
T0909
G00 B-490.
G01 B-515. F300.
M162
G01 B-440. F1500.
G00 B20.
M30
)"},
            right_turning_a,
            right_drilling_b,
        },
};

} // namespace turnwright::checks::rules::second_slide_other_way

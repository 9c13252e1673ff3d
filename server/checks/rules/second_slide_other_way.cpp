// The slide of the second spindle is sent to the other side of its home than in all other blocks.
#include "checks/more_axes.h"
#include "checks/noted_words.h"
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

/// "B MINUS = JAWS REACH OVER THE PART", "B0 HOME, MINUS TO THE MAIN", "A MINUS OVER THE PART": which way the
/// slide comes to the part; 0: no note of the head tells it.
int noted_way(const FileContext& context, const Span& head, char letter) {
    constexpr std::size_t near = 6;
    for (std::optional<BlockPlace> at = head.first; at && *at <= head.last;
         at = context.reader().neighbour(*at, true))
        for (const syntax::Item& item : context.reader().items(*at)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const NotedWords words = noted_words(syntax::note_text(context.reader().line(*at).text_of(item)));
            bool of_slide = false;
            for (std::size_t i = 0; i < words.size(); ++i) {
                const std::string_view word = words.at(i);
                of_slide =
                    of_slide ||
                    (!word.empty() && word[0] == letter &&
                     (word.size() == 1 || text::is_digit(word[1]) || (word[1] == '-' && word.size() > 2)));
                if (!of_slide || (word != "MINUS" && word != "PLUS")) continue;
                for (std::size_t k = i + 1; k < std::min(words.size(), i + near) && words.at(k) != ","; ++k) {
                    const bool to_main =
                        (words.at(k) == "TO" || words.at(k) == "TOWARDS" || words.at(k) == "TOWARD") &&
                        (words.at(k + 1) == "MAIN" || words.at(k + 2) == "MAIN" ||
                         (words.at(k + 1) == "SPINDLE" && words.at(k + 2) == "1"));
                    const bool goes_on =
                        words.at(k) == "FURTHER" || words.at(k) == "FARTHER" || words.at(k) == "REACHES";
                    if (to_main || goes_on || words.at(k) == "OVER") return word == "MINUS" ? -1 : 1;
                }
            }
        }
    return 0;
}

/// True: told.
bool look_at_note(const FileContext& context, std::span<const ToolOfSpan> program,
                  const std::vector<Slide>& slides, Report& report) {
    const auto fed = std::find_if(slides.begin(), slides.end(), [](const Slide& slide) {
        return slide.feeds && !slide.act->incremental && !slide.act->deleted;
    });
    if (fed == slides.end()) return false;
    const int way = noted_way(context, *program.front().span, fed->word->letter);
    if (way == 0 || fed->word->number * way > 0) return false;
    const bool closes = std::none_of(slides.begin(), slides.end(), [&](const Slide& slide) {
        return slide.feeds && slide.word->number * way > 0;
    });
    if (!closes) return false;
    const char letter = fed->word->letter;
    report.at_letter(fed->tool->place(*fed->act), letter)
        .message(said(
            "{0}{1} feeds the slide of the second spindle away from the part: by the notes {0} {2} brings "
            "it over the part. The chuck closes on nothing, and the part flies when it is cut off. Write "
            "{0}{3}.",
            letter, written(fed->word->number), way < 0 ? said("minus") : said("plus"),
            written(-fed->word->number)));
    return true;
}

/// With its own chuck closed and the main one open the slide draws the bar: away from the main chuck, which
/// it came to. True: told.
bool look_at_pull(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                  Report& report) {
    using Does = MachineCode::Does;
    bool open = false, held = false;
    std::optional<double> stands;
    const ActWord* last = nullptr;
    double came = 0; // Which way it was fed onto the part
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            for (const ActWord& word : tool.work->words_of(act))
                if (const MachineCode* code = told_code(word, codes)) {
                    if (code->does == Does::clamp_open || code->does == Does::clamp_close)
                        open = code->does == Does::clamp_open;
                    if (code->does == Does::second_open || code->does == Does::second_close)
                        held = code->does == Does::second_close;
                }
            const ActWord* slide = slide_word(*tool.work, act);
            if (!slide) continue;
            if (act.incremental || act.deleted || (last && last->letter != slide->letter)) return false;
            const double goes = stands ? slide->number - *stands : 0;
            if (open && held && came != 0 && goes * came > 0) {
                const char letter = slide->letter;
                report.at_letter(tool.place(act), letter)
                    .message(said("With the main chuck open the slide goes from {0}{1} to {0}{2}, on toward "
                                  "the main chuck, the way that it came over the part: it draws no bar, it "
                                  "pushes it back and runs {3} into the main chuck. Write {0}{4}.",
                                  letter, written(static_cast<float>(*stands)), written(slide->number),
                                  spoken(std::round(std::abs(goes) * 1e4) / 1e4),
                                  written(static_cast<float>(*stands - goes))));
                return true;
            }
            if (!held && act.gives_feed && goes != 0 && last) came = goes;
            stands = slide->number;
            last = slide;
        }
    return false;
}

/// The slide comes from far, at rapid, and is fed back a little before its chuck closes. True: told.
bool look_at_approach(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                      Report& report) {
    constexpr double far = 3; // The rapid goes so many times as far as the feed
    struct At {
        const ToolOfSpan* tool;
        const Act* act;
        const ActWord* word;
    };
    std::vector<At> ways;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code || code->does != MachineCode::Does::second_close || ways.size() < 3) continue;
                const At &home = ways[ways.size() - 3], &near = ways[ways.size() - 2], &fed = ways.back();
                const double came = near.word->number - home.word->number,
                             goes = fed.word->number - near.word->number;
                const bool one_letter =
                    home.word->letter == near.word->letter && near.word->letter == fed.word->letter;
                if (!one_letter || home.act->motion == MotionKind::reference || near.act->gives_feed ||
                    !fed.act->gives_feed || came * goes >= 0 ||
                    (std::abs(came) < far * std::abs(goes) &&
                     !(home.word->number == 0 && near.word->number * fed.word->number > 0)))
                    continue;
                const char letter = fed.word->letter;
                report.at_letter(fed.tool->place(*fed.act), letter)
                    .message(said("{0}{1} feeds the slide of the second spindle back from {0}{2}, away from "
                                  "the part that it came to from {0}{3}: {4} closes on nothing, and the part "
                                  "flies when it is cut off. Is the sign of {0} wrong?",
                                  letter, written(fed.word->number), written(near.word->number),
                                  written(home.word->number), with_words(*code)));
                return true;
            }
            const ActWord* slide = slide_word(*tool.work, act);
            if (!slide) continue;
            if (act.incremental || act.deleted) return false;
            ways.push_back({&tool, &act, slide});
        }
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program,
             const std::vector<MachineCode>& codes, Report& report) {
    const std::vector<Slide> slides = slides_of(program);
    if (slides.empty() || look_at_pull(program, codes, report)) return;
    if (look_at_note(context, program, slides, report)) return;
    if (look_at_approach(program, codes, report)) return;
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
    const std::vector<MachineCode> codes = codes_told(context);
    for_each_program(tools,
                     [&](std::span<const ToolOfSpan> program) { look_at(context, program, codes, report); });
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
        "main chuck; or it is fed against the way that a note of the head tells (B MINUS OVER THE PART). A "
        "letter B, A or E that stands without X and Z and is fed at least once is taken for "
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
            // The bar is pushed back into the main chuck.
            {System::B, R"(
(M10 MAIN OPEN M11 MAIN CLOSED, M110 SUB OPEN M111 SUB CLOSED)
G21 G90 G95
M110
G00 B-490.
G94 G01 B-516. F400.
M111
M10
G01 B-593. F1200.
;   ^^^^^ warning: second_slide_other_way
M11
G95
M30
)"},
            {System::A, R"(
(M10 MAIN OPEN M11 MAIN CLOSED, M110 SUB OPEN M111 SUB CLOSED)
G20 G99
M110
G00 B.2
G98 G01 B-.8 F20.
M111
M10
G01 B1.5 F40.
M11
G99
M30
)"},
            // It comes from E400 and is fed back.
            {System::C, R"(
(E = SECOND SPINDLE SLIDE. E0 = ITS JAW FACE ON Z0 OF G54, MINUS FURTHER ON)
(SECOND SPINDLE: M203 RUN, M205 STOP, JAWS M210 OPEN M211 CLOSED)
G71 G90 G95
G53 G00 E400.
M210
G00 E5.
G94 G01 E12. F300.
;       ^^^ warning: second_slide_other_way
M211
G95
M30
)"},
            {System::A, R"(
(SECOND SPINDLE: M203 RUN, M205 STOP, JAWS M210 OPEN M211 CLOSED)
G21 G99
G53 G00 B400.
M210
G00 B5.
G98 G01 B12. F300.
;       ^^^^ warning: second_slide_other_way
M211
G99
M30
)"},
            {System::B, R"(
(SECOND SPINDLE: M203 RUN, M205 STOP, JAWS M210 OPEN M211 CLOSED)
G20 G90 G95
G53 G00 E16.
M210
G00 E.2
G94 G01 E-.5 F12.
M211
G01 E2. F80.
G53 G00 E16.
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
            {System::A, R"(
(A = SLIDE OF SECOND SPINDLE, A0 = COLLET FACE AT MAIN Z0, A MINUS OVER THE PART)
G20 G99
T0505
G97 S1000 M03
G00 A.2
G98 G01 A1.15 F30.
;       ^^^^^ warning: second_slide_other_way
M31
G99
G28 A0
M05
M30
)"},
            {System::B, R"(
(B SLIDE OF SPINDLE 2, B0 HOME, MINUS TO THE MAIN)
G21 G90 G95
T0505
G97 S1000 M03
G00 B-410.
G94 G01 B-437. F300.
M78
G95
G00 B0.
M05
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

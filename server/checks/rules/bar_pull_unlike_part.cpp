// A puller draws the bar less far than a part takes of it, or much farther.
#include "checks/more_axes.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::bar_pull_unlike_part {

namespace {

using Does = MachineCode::Does;

constexpr double hardly_mm = 0.02;
constexpr double on_centre_mm = 0.6; ///< Radius that a part-off ends at, with its pip
constexpr double widest_blade_mm = 8;
constexpr double most_faced_mm = 5; ///< More in front of the part is no metal to face off

/// One way with the clamp open and the bar in the puller, in program units.
struct Pull {
    const ToolOfSpan* tool = nullptr;
    const Act* last = nullptr;
    double length = 0;
};
/// Away from the chuck with the clamp closed, before the code that closes it.
struct HeldPull {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    const MachineCode* closes = nullptr;
};
struct PartedOff {
    const ToolOfSpan* tool = nullptr;
    double z = 0;
};

bool is_puller(const ToolOfSpan& tool, const shop::Shop& shop) {
    const shop::Tool* held = tool.station > 0 ? shop.tool(tool.station) : nullptr;
    if (held) return held->kind == shop::ToolKind::bar_puller;
    return tool.that([](const NamedTool& named) {
        return named.kind == NamedTool::Kind::stop && names_puller(named.word);
    }) != nullptr;
}

bool parts_off(const ToolOfSpan& tool, const shop::Shop& shop) {
    const shop::Tool* held = tool.station > 0 ? shop.tool(tool.station) : nullptr;
    if (held) return held->kind == shop::ToolKind::parting;
    return tool.is(NamedTool::Kind::part_off);
}

/// What is drawn in the program, and the deepest place where a part is cut off.
struct BarWork {
    std::vector<Pull> pulls;
    std::optional<HeldPull> held;
    std::optional<PartedOff> off;
    std::optional<double> mm; ///< In a unit; nullopt: not known, or not the same throughout
    bool unsure = false;      ///< A way of the puller is not known
};

BarWork bar_work(std::span<const ToolOfSpan> tools, const std::vector<MachineCode>& codes,
                 const shop::Shop& shop, std::optional<double> of_file) {
    BarWork bar;
    bool open = false, gripped = false;
    std::optional<Pull> pull;
    for (const ToolOfSpan& tool : tools) {
        const Act* drawn = nullptr; // Of the puller, with the clamp closed
        const bool pulls = is_puller(tool, shop), off = parts_off(tool, shop);
        for (const Act& act : tool.work->acts) {
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code) continue;
                bar.unsure = bar.unsure || (act.deleted && pulls);
                if (code->does == Does::puller_closed) gripped = true;
                if (code->does == Does::puller_open) gripped = false;
                if (code->does == Does::clamp_open) open = true;
                if (code->does == Does::clamp_close && !open && drawn && !bar.held)
                    bar.held = HeldPull{&tool, drawn, code};
                if (code->does == Does::clamp_open && (pulls || gripped)) pull = Pull{&tool, nullptr, 0};
                if (code->does != Does::clamp_close) continue;
                if (open && pull && pull->last) bar.pulls.push_back(*pull);
                open = false;
                pull.reset();
            }
            if (pulls && !open && act.motion == machine::MotionKind::feed && act.moves_z && !act.moves_x &&
                known(act.from_z) && known(act.to_z) && act.from_z < 0 && act.to_z > act.from_z)
                drawn = &act;
            const std::optional<double> mm = mm_of(act, of_file);
            if (pull && act.moves_z && !act.moves_x) {
                if (!known(act.from_z) || !known(act.to_z) || !mm) {
                    bar.unsure = true;
                    continue;
                }
                pull->length += act.to_z - act.from_z;
                pull->last = &act;
                bar.mm = mm;
            }
            if (off && act.cuts() && act.moves_x && !act.moves_z && known(act.to_x) && known(act.to_z) &&
                mm && act.to_x * *mm < on_centre_mm && act.to_z < 0 && (!bar.off || act.to_z < bar.off->z))
                bar.off = PartedOff{&tool, act.to_z};
        }
    }
    return bar;
}

std::optional<double> width_mm(const PartedOff& off, const shop::Shop& shop) {
    const shop::Tool* held = off.tool->station > 0 ? shop.tool(off.tool->station) : nullptr;
    return held ? held->width_mm : std::nullopt;
}

/// "PULL 48.5", "ZUG 48.5": how far the bar is drawn, as the notes have it; nullopt: none says it, or
/// several. Words of five languages: common practice, no source.
std::optional<double> noted_pull(const FileContext& context, const Span& program_head) {
    std::optional<double> found;
    bool several = false;
    const std::size_t end = std::min(program_head.last.run, program_head.first.run + most_runs_of_works - 1);
    for (std::size_t run = program_head.first.run; run <= end; ++run)
        for (BlockPlace place{run, 0}; place <= context.reader().end_of(run); ++place.block) {
            if (place < program_head.first || program_head.last < place) continue;
            const syntax::Run& line = context.reader().line(place);
            for (const syntax::Item& item : context.reader().items(place)) {
                if (item.kind != syntax::ItemKind::note) continue;
                const NotedWords words = noted_words(syntax::note_text(line.text_of(item)));
                for (std::size_t i = 0; i + 1 < words.size(); ++i) {
                    const std::string_view word = words.at(i);
                    if (word != "PULL" && word != "ZUG" && word != "TIRAGE" && word != "TIRO" &&
                        word != "TRAINO")
                        continue;
                    const auto number = plain_number(words.at(i + 1));
                    if (!number) continue;
                    several = several || found;
                    found = number;
                }
            }
        }
    return several ? std::nullopt : found;
}

/// The second spindle's slide draws the bar with its own chuck closed and the clamp open.
struct SlidePull {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    char letter = 0;
    double from = 0, to = 0;
};
std::vector<SlidePull> slide_pulls(std::span<const ToolOfSpan> program,
                                   const std::vector<MachineCode>& codes) {
    std::vector<SlidePull> pulls;
    bool open = false, held = false;
    std::optional<double> stands;
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
            if (open && held && stands && !act.deleted)
                pulls.push_back({&tool, &act, slide->letter, *stands, slide->number});
            stands = slide->number;
        }
    return pulls;
}

void look_at_slide(const FileContext& context, std::span<const ToolOfSpan> program,
                   const std::vector<MachineCode>& codes, Report& report) {
    const std::vector<SlidePull> pulls = slide_pulls(program, codes);
    if (pulls.size() != 1) return;
    const SlidePull& pull = pulls.front();
    const std::optional<double> noted = noted_pull(context, *program.front().span);
    const double drawn = std::abs(pull.to - pull.from);
    if (!noted || std::abs(drawn - *noted) < 0.001 * *noted) return;
    report.at_letter(pull.tool->place(*pull.act), pull.letter)
        .message(said(
            "The slide draws the bar from {0}{1} to {0}{2}, which is {3}, and the notes say {4}: the part "
            "comes out by the difference too short or too long, and the part-off cuts beside its place. "
            "Is a digit of {0} wrong, or the note an old one?",
            pull.letter, written(static_cast<float>(pull.from)), written(static_cast<float>(pull.to)),
            spoken(std::round(drawn * 1e4) / 1e4), spoken(*noted)));
}

/// "(PULLS 1.635)", "(PULL 150)" in the block itself.
std::optional<double> pull_noted_in(const FileContext& context, BlockPlace place) {
    for (const syntax::Item& item : context.reader().items(place)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const NotedWords words = noted_words(syntax::note_text(context.reader().line(place).text_of(item)));
        for (std::size_t i = 0; i + 1 < words.size(); ++i)
            for (std::string_view word : {"PULL", "PULLS", "PULLED", "DRAWS", "ZUG", "ZIEHT", "TIRE", "TIRA"})
                if (words.at(i) == word)
                    if (const auto number = plain_number(words.at(i + 1)); number && *number > 0)
                        return number;
    }
    return std::nullopt;
}

/// "O1213 (PULL 20.8, NEW FACE AT Z0.3)": the title of a program that does nothing else; the one move that it
/// makes with the collet open. True: told.
bool look_at_title(const FileContext& context, std::span<const ToolOfSpan> program,
                   const std::vector<MachineCode>& codes, Report& report) {
    if (!program.front().span->program->is_subprogram) return false;
    const auto noted = pull_noted_in(context, program.front().span->first);
    if (!noted) return false;
    struct Drawn {
        const ToolOfSpan* tool;
        const Act* act;
    };
    std::vector<Drawn> drawn;
    bool open = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            for (const ActWord& word : tool.work->words_of(act))
                if (const MachineCode* code = told_code(word, codes))
                    if (code->does == Does::clamp_open || code->does == Does::clamp_close)
                        open = code->does == Does::clamp_open;
            if (act.deleted || act.calls_program) return false;
            if (open && act.moves_z && !act.moves_x) drawn.push_back({&tool, &act});
        }
    if (drawn.size() != 1) return false;
    const Act& act = *drawn.front().act;
    if (!known(act.from_z) || !known(act.to_z)) return false;
    const double goes = std::abs(act.to_z - act.from_z), hardly = act.inch() ? 0.002 : 0.05;
    if (std::abs(goes - *noted) <= hardly) return false;
    const char letter = act.by_w ? 'W' : 'Z';
    report.at_letter(drawn.front().tool->place(act), letter)
        .message(
            said("This move draws the bar by {0}, from Z{1} to Z{2}, and the note of its program says {3}: "
                 "the bar stands {4} beside its place, where the next tool comes at rapid. Is a digit or the "
                 "point of {5} wrong?",
                 spoken(std::round(goes * 1e4) / 1e4), written(act.from_z), written(act.to_z), spoken(*noted),
                 spoken(std::round(std::abs(goes - *noted) * 1e4) / 1e4), letter));
    return true;
}

/// A move of Z or of the slide alone, of which its own note says how far it draws. True: told.
bool look_at_notes(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    std::optional<double> stands; // The slide
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            const ActWord* slide = slide_word(*tool.work, act);
            const std::optional<double> from = slide               ? stands
                                               : known(act.from_z) ? std::optional<double>(act.from_z)
                                                                   : std::nullopt;
            if (slide) stands = act.incremental ? std::nullopt : std::optional(slide->number);
            const bool along_z = !slide && act.moves_z && !act.moves_x && known(act.to_z);
            if (!from || (!along_z && !slide) || act.incremental || act.motion == MotionKind::rapid) continue;
            const double to = slide ? slide->number : act.to_z, goes = std::abs(to - *from);
            const auto noted = pull_noted_in(context, tool.place(act));
            const double hardly = act.inch() ? 0.002 : 0.05;
            if (!noted || std::abs(goes - *noted) <= hardly) continue;
            const char letter = slide ? slide->letter : 'Z';
            report.at_letter(tool.place(act), letter)
                .message(
                    said("This move draws the bar from {0}{1} to {0}{2}, which is {3}, and its note says "
                         "{4}: the bar stands by the difference too far out or too far in, where the "
                         "next tool comes at rapid. Is a digit, the point or the sign of {0} wrong, here "
                         "or before?",
                         letter, written(*from), written(to), spoken(std::round(goes * 1e4) / 1e4),
                         spoken(*noted)));
            return true;
        }
    return false;
}

/// How far the puller has drawn, against the note of its own sequence, "PULL 33.2". True: told.
bool look_at_tool_note(const FileContext& context, const BarWork& bar, Report& report) {
    if (bar.unsure || !bar.mm) return false;
    for (const Pull& pull : bar.pulls) {
        std::optional<double> noted;
        std::size_t count = 0;
        for (const NoteAt& note :
             notes_between(context.reader(), pull.tool->span->first, pull.tool->span->last)) {
            const NotedWords words = noted_words(note.text);
            for (std::size_t i = 0; i + 1 < words.size(); ++i)
                if (words.at(i) == "PULL" || words.at(i) == "PULLS" || words.at(i) == "ZUG")
                    if (const auto number = plain_number(words.at(i + 1))) noted = number, ++count;
        }
        const auto pulls_of_tool = std::count_if(bar.pulls.begin(), bar.pulls.end(),
                                                 [&](const Pull& other) { return other.tool == pull.tool; });
        if (count != 1 || pulls_of_tool != 1 || !pull.last) continue;
        if (std::abs(pull.length - *noted) * *bar.mm <= hardly_mm) continue;
        report.at_letter(pull.tool->place(*pull.last), 'Z')
            .message(said("With the clamp open the bar is drawn by {}, to Z{}, and the note of this sequence "
                          "says {}: it stands by the difference too far out or too far in, where the next "
                          "tool comes at rapid. Is a digit, the sign or G91 lost?",
                          spoken(std::round(pull.length * 1e4) / 1e4), written(pull.last->to_z),
                          spoken(*noted)));
        return true;
    }
    return false;
}

/// The puller goes to where a note has the face of the jaws, or behind it.
void look_at_jaws(std::span<const ToolOfSpan> tools, std::span<const ToolOfSpan> program,
                  const shop::Shop& shop, std::optional<double> of_file, Report& report) {
    constexpr double slack_mm = 0.2;
    std::optional<NotedJaws> jaws;
    for (const ToolOfSpan& tool : tools)
        for (const NotedJaws& noted : tool.work->jaws) {
            if (noted.of_later_side || noted.sticks_out) continue;
            if (jaws && !(*jaws == noted)) return;
            jaws = noted;
        }
    if (!jaws) return;
    for (const ToolOfSpan& tool : program) {
        if (!is_puller(tool, shop)) continue;
        for (const Act& act : tool.work->acts) {
            const auto mm = mm_of(act, of_file);
            if (!act.moves_z || !known(act.to_z) || !mm || is_return(act.motion) || act.deleted) continue;
            const double z = jaws->z(*mm);
            if ((act.to_z - z) * *mm > -slack_mm) continue;
            report.at_letter(tool.place(act), act.by_w ? 'W' : 'Z')
                .message(
                    said("The puller goes to Z{}, and by the note the jaws begin at Z{}: it runs into them. "
                         "Is a digit of Z wrong?",
                         written(act.to_z), written(static_cast<float>(z))));
            return;
        }
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const bool told = std::any_of(codes.begin(), codes.end(),
                                  [](const MachineCode& code) { return code.does == Does::clamp_open; });
    if (!told) return;
    const std::vector<ToolOfSpan> tools = tools_of(context);
    const std::optional<double> of_file = unit_of_file(context, tools);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        if (look_at_notes(context, program, report)) return;
        if (look_at_title(context, program, codes, report)) return;
        look_at_slide(context, program, codes, report);
        const BarWork bar = bar_work(program, codes, context.shop, of_file);
        if (bar.held && !bar.unsure) {
            const MachineCode* opens = code_that(codes, Does::clamp_open);
            report.at_letter(bar.held->tool->place(*bar.held->act), 'Z')
                .message(said("The puller draws at a bar that is clamped: no code opens the clamp before "
                              "{}. The puller slips off or bends, and the next part has no bar. Write M{:02} "
                              "before this move.",
                              with_words(*bar.held->closes), opens->number));
            return;
        }
        look_at_jaws(tools, program, context.shop, of_file, report);
        if (look_at_tool_note(context, bar, report)) return;
        if (bar.unsure || bar.pulls.empty() || !bar.off || !bar.mm) return;
        double pulled = 0;
        for (const Pull& pull : bar.pulls) pulled += pull.length;
        const double mm = *bar.mm, depth = -bar.off->z;
        const Pull& last = bar.pulls.back();
        if (pulled * mm < -hardly_mm)
            report.at_letter(last.tool->place(*last.last), 'Z')
                .message(
                    said("With the clamp open the puller goes from Z{} to Z{}, toward the chuck: it draws "
                         "no bar, or pushes it back. Does it grip at the right Z?",
                         written(last.last->from_z), written(last.last->to_z)));
        if (pulled <= 0) return;
        const std::optional<double> width = width_mm(*bar.off, context.shop);
        const auto length = [&](double units) {
            return fmt::format("{} {}", spoken(std::round(units * 1e4) / 1e4), mm > 2 ? "in" : "mm");
        };
        const auto at = [&] { return report.at_letter(last.tool->place(*last.last), 'Z'); };
        // With the corner at the chuck set, the blade takes the bar off at its Z; with the other one a width
        // deeper.
        if (pulled * mm < depth * mm - hardly_mm)
            at().message(
                said("The bar is drawn {} and a part takes {} of it at least, from Z0 to the part-off "
                     "at Z{}{}: the "
                     "next part stands {} behind Z0, its face is not cleaned up and it comes out too "
                     "short. Draw the "
                     "length of the part, the width of the blade and what is faced off.",
                     length(pulled), length(depth), written(bar.off->z),
                     width ? said(" (blade {} wide)", length(*width / mm)) : std::string(),
                     length(depth - pulled)));
        const auto& front = context.shop.stock.front_z_mm;
        const double faced_mm = std::max(front.value_or(0), most_faced_mm);
        // Of a width that nobody tells no blade is wider.
        if (!width) {
            if ((pulled - depth) * mm > faced_mm + widest_blade_mm)
                at().message(
                    said("The bar is drawn {} and a part takes {} of it and the blade's width, to the "
                         "part-off at Z{}: it stands far out in front of Z0, where the next tool comes "
                         "at rapid, or the puller runs on without it. Is a digit or the point wrong?",
                         length(pulled), length(depth), written(bar.off->z)));
            return;
        }
        const double most = depth + *width / mm;
        if ((pulled - most) * mm > faced_mm)
            at().message(said("The bar is drawn {} and a part takes {} of it (to the part-off at Z{}, "
                              "with a blade {} wide): it "
                              "stands {} out in front of Z0, where the next tool comes at rapid. Draw "
                              "the length of the part, "
                              "the width of the blade and what is faced off.",
                              length(pulled), length(most), written(bar.off->z), length(*width / mm),
                              length(pulled - most)));
    });
}

constexpr const char* shop_with_puller = R"(
units = "mm"
[[machine]]
[machine.m_codes]
M69 = { name = "collet opens", does = "unclamp" }
M68 = { name = "collet closes", does = "clamp" }
[[tool]]
station = 6
kind = "parting"
width = 3
[[tool]]
station = 10
kind = "bar puller"
)";

} // namespace

extern const Check check{
    .id = "bar_pull_unlike_part",
    .family = Family::stock,
    .severity = Severity::warning,
    .title = "Bar drawn by another length than a part takes",
    .documentation =
        "Between the code that opens the collet and the one that closes it, the puller draws "
        "the bar along Z. A "
        "part takes its length, the width of the parting blade and what is faced off. A pull "
        "that ends short of "
        "the part-off's Z leaves the next part too short; one that goes much farther leaves bar "
        "standing where "
        "the next tool comes at rapid (told where the shop file gives the width of the blade). "
        "What the codes do "
        "is read from `m_codes` in the shop file (`does = \"unclamp\"`, `\"clamp\"`, `\"puller "
        "close\"`), else "
        "from notes; which tool is the puller from its `kind` or its note. Several pulls for "
        "one part are added "
        "up, and where a called program tells it in its title (PULL 48.5) its one move is held against that. "
        "A puller that draws with the clamp closed, goes toward the chuck, or goes behind the face of the "
        "jaws as "
        "a note tells it, is told, too. Where "
        "the slide of the second spindle draws the bar, its way is held against what the notes say "
        "of it (PULL 48.5); and of a move with a note of its own (PULLS 48.5) its own way is.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M68 COLLET CLOSED, M69 COLLET OPEN)
G21 G99
T0101
G97 S1000 M03
G00 X29. Z0.
G01 X-.8 F.15
M05
M98 P1213
M30
O1213 (PULL 20.8, NEW FACE AT Z0.3)
T0808
G00 X0 Z-15.
G98 G01 Z-30. F1500
M69
G01 W28.0 F3000
;   ^^^^^ warning: bar_pull_unlike_part
M68
G01 Z5.
G99
M99
)"},
            {System::C, R"(
(M68 COLLET CLOSED, M69 COLLET OPEN)
G70 G90 G95
T0101
G97 S1000 M03
G00 X1.1 Z0.
G01 X-.03 F.006
M05
M98 P1213
M30
O1213 (PULL .82, NEW FACE AT Z.01)
T0808
G00 X0 Z-.6
G94 G01 Z-1.2 F60.
M69
G01 Z-.38 F100.
M68
G01 Z.2
G95
M99
)"},
            {System::A, R"(
(M20/M21 MAIN COLLET OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE)
(PULL 48.5 = 44.5 + 1. + 3. PART OFF)
G21 G99
T0101
G97 S1000 M03
G00 X29. Z0.
G01 X-.8 F.15
M05
M22
G00 B-430.
G98 G01 B-450. F300.
M23
M20
G01 B-410.5 F1000.
;   ^^^^^^^ warning: bar_pull_unlike_part
M21
M30
)"},
            {System::A, R"(
(M20/M21 MAIN COLLET OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE)
(PULL 48.5 = 44.5 + 1. + 3. PART OFF)
G21 G99
T0101
G97 S1000 M03
G00 X29. Z0.
G01 X-.8 F.15
M05
M22
G00 B-430.
G98 G01 B-450. F300.
M23
M20
G01 B-401.5 F1000.
M21
M30
)"},
            {System::A, R"(
(M68 CHUCK CLOSE, M69 CHUCK OPEN)
G20 G98
T1010 (FINGERS)
G00 X0 Z.5
G01 Z-1.875 F30.
M69
G04 U1.
G01 Z.24 F60. (PULLS 1.635)
;   ^^^^ warning: bar_pull_unlike_part
M68
G00 Z2.
M30
)"},
            {System::B, R"(
(M21/M20 MAIN CLOSE/OPEN  M23/M22 SUB CLOSE/OPEN)
G21 G90 G94
T0303
M22
G00 B-500.
G01 B-545. F400.
M23
M20
G01 B-359. F1500. (PULL 150)
;   ^^^^^ warning: bar_pull_unlike_part
M21
M30
)"},
            {System::C, R"(
(M68 CHUCK CLOSE, M69 CHUCK OPEN)
G71 G90 G94
T1010 (FINGERS)
G00 X0 Z5.
G01 Z-45. F600.
M69
G01 Z1.5 F900. (PULLS 46.5)
M68
G00 Z20.
M30
)"},
            {System::A, R"(
(M69 CHUCK OPEN, M68 CHUCK CLOSE)
G21 G40 G99
N1 T1010 (PULLER)
M05
G98
G00 X0 Z10.
G01 Z-25. F1000
M69
G04 U1.
G01 Z-13.7 F600
;   ^^^^^^ warning: bar_pull_unlike_part
M68
G04 U1.
G00 Z60.
N6 T0606 (PART OFF)
G99 G97 S1100 M03
G00 X25. Z-15.
G01 X-0.6 F0.06
G00 X25.
M30
)"},
            {System::C, R"(
G71 G90 G94
T1010
M05
G00 X0 Z10.
G01 Z-65. F1000
M69
G04 X1.
G01 Z-7. F600
;   ^^^ warning: bar_pull_unlike_part
M68
G04 X1.
G00 Z60.
T0606
G95 G97 S1100 M03
G00 X25. Z-45.
G01 X-0.6 F0.06
G00 X25.
M99
)",
             shop_with_puller},
            {System::B, R"(
(M69 COLLET OPEN, M68 COLLET CLOSED)
G20 G90 G94
T1010 (BAR PULLER)
M05
G00 X0 Z.5
G01 Z-1.2 F40.
M69
G04 X1.
G91 G01 Z.72 F20.
;       ^^^^ warning: bar_pull_unlike_part
M68
G90 G00 Z2.
T0606 (PART OFF)
G95 G97 S1100 M03
G00 X1.1 Z-.75
G01 X-.03 F.002
G00 X1.1
M30
)"},
            {System::C, R"(
(M69 CHUCK OPEN, M68 CHUCK CLOSE)
G71 G90 G94
T1010 (PULLER)
M05
G00 X0 Z10.
G01 Z-25. F1000
G04 X1.
G01 Z-9.7 F600
;   ^^^^^ warning: bar_pull_unlike_part
M68
G00 Z60.
T0606 (PART OFF)
G95 G97 S1100 M03
G00 X25. Z-15.
G01 X-0.6 F0.06
G00 X25.
M69
M30
)"},
            {System::A, R"(
(M69 CHUCK OPEN, M68 CHUCK CLOSE)
G21 G98
T1010 (PULLER)
M05
G00 X0 Z10.
G01 Z25. F1000
M69
G04 U1.
G01 Z0.3 F600
;   ^^^^ warning: bar_pull_unlike_part
M68
G00 Z60.
T0606 (PART OFF)
G99 G97 S1100 M03
G00 X25. Z-15.
G01 X-0.6 F0.06
G00 X25.
M30
)"},
            {System::A, R"(
(M69 CHUCK OPEN, M68 CHUCK CLOSE)
G21 G40 G99
N1 T1010 (PULLER)
M05
G98
G00 X0 Z10.
G01 Z-25. F1000
M69
G04 U1.
G01 Z-9.7 F600
M68
G04 U1.
G00 Z60.
N6 T0606 (PART OFF)
G99 G97 S1100 M03
G00 X25. Z-15.
G01 X-0.6 F0.06
G00 X25.
M30
)"},
            {System::B, R"(
(M69 COLLET OPEN, M68 COLLET CLOSED)
G20 G90 G94
T1010 (BAR STOP)
M05
G00 X0 Z-.3
M69
G01 Z.02 F20.
M68
G00 Z2.
T0606 (PART OFF)
G95 G97 S1100 M03
G00 X1.1 Z-.75
G01 X-.03 F.002
G00 X1.1
M30
)"},
            {System::C, R"(
G71 G90 G94
T1010
M05
G00 X0 Z10.
G01 Z-65. F1000
M69
G01 Z-40. F600
M68
G01 Z-65. F1000
M69
G01 Z-41.5 F600
M68
G00 Z60.
T0606
G95 G97 S1100 M03
G00 X25. Z-45.
G01 X-0.6 F0.06
G00 X25.
M99
)",
             shop_with_puller},
            {System::C, R"(
(M68 = CHUCK SHUT, M69 = CHUCK OPEN)
G71 G90 G94
N5 T0808 (PULLER, PULL 33.2)
M05
G00 Z-20.
X0
G01 Z-45. F2000
M69
G01 Z33.2 F3000
;   ^^^^^ warning: bar_pull_unlike_part
M68
G90 G01 Z50. F2000
M30
)"},
            {System::B, R"(
(M68 = CHUCK SHUT, M69 = CHUCK OPEN)
G20 G90 G94
N5 T0808 (PULLER, PULL 1.3)
M05
G00 Z-1.
X0
G01 Z-2. F80.
M69
G91 G01 Z1.3 F100.
M68
G90 G01 Z2. F80.
M30
)"},
            {System::C, R"(
(START: BAR CUT OFF AT Z-27., CHUCK FACE AT Z-45.)
(M10/M11 = COLLET SHUT/OPEN)
(T10 GRIPPER, FINGERS SPRING OVER THE BAR)
G71 G90 G95
M05
T1010
G00 X0 Z20.
Z-20.
G94 G01 Z-47. F800
;       ^^^^ warning: bar_pull_unlike_part
M11
G04 P800
G91 G01 Z27.5 F3000
G90
M10
G01 Z20. F3000
G95
T0909 (PART-OFF)
G97 S2400 M03
G00 X14. Z-27.
G01 X-0.4 F0.05
G00 X120. Z60.
M30
)"},
            {System::C, R"(
(START: BAR CUT OFF AT Z-27., CHUCK FACE AT Z-45.)
(M10/M11 = COLLET SHUT/OPEN)
(T10 GRIPPER, FINGERS SPRING OVER THE BAR)
G71 G90 G95
M05
T1010
G00 X0 Z20.
Z-20.
G94 G01 Z-37. F800
M11
G04 P800
G91 G01 Z25.7 F3000
;       ^^^^^ warning: bar_pull_unlike_part
G90
M10
G01 Z20. F3000
G95
T0909 (PART-OFF)
G97 S2400 M03
G00 X14. Z-27.
G01 X-0.4 F0.05
G00 X120. Z60.
M30
)"},
            {System::C, R"(
(START: BAR CUT OFF AT Z-27., CHUCK FACE AT Z-45.)
(M10/M11 = COLLET SHUT/OPEN)
(T10 GRIPPER, FINGERS SPRING OVER THE BAR)
G71 G90 G95
M05
T1010
G00 X0 Z20.
Z-20.
G94 G01 Z-37. F800
M11
G04 P800
G91 G01 Z27.5 F3000
G90
M10
G01 Z20. F3000
G95
T0909 (PART-OFF)
G97 S2400 M03
G00 X14. Z-27.
G01 X-0.4 F0.05
G00 X120. Z60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::bar_pull_unlike_part

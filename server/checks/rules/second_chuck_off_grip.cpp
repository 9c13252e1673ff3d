// The second chuck closes elsewhere than where the notes say that it grips.
#include "checks/more_axes.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>

namespace turnwright::checks::rules::second_chuck_off_grip {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

/// "GRIP B-528", "B GRIP -515", "GRIP AT B-450.5": the place of the slide.
std::optional<double> grip_in(std::string_view note) {
    const std::size_t at = note.find("GRIP");
    if (at == std::string_view::npos) return std::nullopt;
    std::size_t i = at + 4;
    const auto skip = [&](std::string_view some) {
        while (i < note.size() && some.find(note[i]) != std::string_view::npos) ++i;
    };
    skip(" =:");
    if (note.substr(i).starts_with("AT")) i += 2, skip(" ");
    const bool named = i < note.size() && note[i] == 'B';
    if (named) ++i, skip(" =");
    const std::size_t before = note.find_last_not_of(' ', at == 0 ? 0 : at - 1);
    const bool named_before = at > 0 && before != std::string_view::npos && note[before] == 'B' &&
                              (before == 0 || note[before - 1] == ' ' || note[before - 1] == '(');
    if (!named && !named_before) return std::nullopt;
    const std::size_t end = note.find_first_not_of("+-.0123456789", i);
    const std::string number(note.substr(i, end == std::string_view::npos ? end : end - i));
    if (number.find_first_of("0123456789") == std::string::npos) return std::nullopt;
    return std::strtod(number.c_str(), nullptr);
}

/// nullopt: no note tells it, or several places are told.
std::optional<double> noted_grip(const FileContext& context, const std::vector<ToolOfSpan>& tools) {
    std::set<double> told;
    for (const ToolOfSpan& tool : tools) {
        const ToolNotes notes = notes_about(context, tools, tool);
        for (const auto* list : {&notes.own, &notes.head})
            for (const std::string& note : *list)
                if (const auto grip = grip_in(note)) told.insert(*grip);
    }
    if (told.size() != 1) return std::nullopt;
    return *told.begin();
}

/// "(20 BEFORE THE FACE)" beside the approach.
std::optional<double> noted_way_to_face(const FileContext& context, const ClampAct& at) {
    const BlockPlace place = at.tool->place(*at.act);
    for (const syntax::Item& item : context.reader().items(place)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const NotedWords words = noted_words(syntax::note_text(context.reader().line(place).text_of(item)));
        for (std::size_t i = 0; i + 2 < words.size(); ++i) {
            const auto number = plain_number(words.at(i));
            if (!number || *number <= 0) continue;
            std::size_t next = i + 1;
            if (words.at(next) == "MM" || words.at(next) == "IN") ++next;
            if (words.at(next) != "BEFORE" && words.at(next) != "FROM" && words.at(next) != "OFF") continue;
            if (words.at(++next) == "THE") ++next;
            if (words.at(next) == "FACE" || words.at(next) == "PART") return number;
        }
    }
    return std::nullopt;
}

/// The slide stops before the face that the note beside its approach tells. False: nothing is told.
bool closes_before_face(const FileContext& context, const ClampEvent& approach, const ClampEvent& slide,
                        const ClampEvent& closes, Report& report) {
    const ActWord* from = slide_word(*approach.at.tool->work, *approach.at.act);
    const ActWord* to = slide_word(*slide.at.tool->work, *slide.at.act);
    if (!from || !to || from->letter != to->letter || approach.at.act->incremental ||
        slide.at.act->incremental || to->number == 0)
        return false;
    const auto way = noted_way_to_face(context, approach.at);
    const double goes = std::abs(to->number - from->number);
    if (!way || goes > *way) return false;
    report.at_letter(slide.at.tool->place(*slide.at.act), to->letter)
        .message(said("{0} closes at {1}{2}, {3} in front of the face: the note beside {1}{4} has the face "
                      "{5} farther on, and the slide goes {6} from there. The jaws close on nothing, and "
                      "the part is loose when the main chuck opens or it is cut off.",
                      with_words(*closes.at.code), to->letter, written(to->number),
                      spoken(std::round((*way - goes) * 1e4) / 1e4), written(from->number), spoken(*way),
                      spoken(std::round(goes * 1e4) / 1e4)))
        .related(approach.at.tool->place(*approach.at.act), said("the approach"));
    return true;
}

void file(const FileContext& context, Report& report) {
    std::optional<std::optional<double>> grip;
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto&) {
        const ClampEvent *slide = nullptr, *before = nullptr;
        for (const ClampEvent& event : events) {
            if (event.kind == Kind::moves_slide) before = slide, slide = &event;
            if (event.kind != Kind::code || event.at.code->does != Does::second_close || !slide) continue;
            if (before && closes_before_face(context, *before, *slide, event, report)) return;
            const ActWord* to = slide->at.tool->work->word(*slide->at.act, 'B');
            if (!to || slide->at.act->incremental || to->number == 0) continue;
            if (!grip) grip = noted_grip(context, tools_of(context));
            const double tolerance = event.at.act->inch() ? 0.005 : 0.1;
            if (!*grip || std::abs(to->number - **grip) <= tolerance) continue;
            report.at_letter(slide->at.tool->place(*slide->at.act), 'B')
                .message(said("{} closes at B{}, and the notes have the grip at B{}: the jaws close "
                              "on nothing, or where the part is not meant to be held.",
                              with_words(*event.at.code), written(to->number), written(**grip)))
                .related(event.at.tool->place(*event.at.act), said("closed here"));
            return;
        }
    });
}

} // namespace

extern const Check check{
    .id = "second_chuck_off_grip",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Second chuck closes away from its noted grip",
    .documentation = "The note beside the approach tells how far the face still is (20 BEFORE THE FACE), and "
                     "the slide is fed no farther than that before its chuck closes; or a note tells where the slide of the second spindle stands when its chuck grips the "
                     "part (GRIP B-515), and the chuck is closed with the slide elsewhere: the jaws close on "
                     "nothing or on the end of the part, and it falls when the main chuck opens. What the "
                     "codes mean is read from `m_codes` in the shop file (`does = \"second clamp\"`), else "
                     "from notes (M23 SUB CLOSE); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::B, R"(
(M62/M63 SUB OPEN/CLOSE  B GRIP -515)
G21 G90 G94
T0101
M05
M62
G00 B-490.
;   ^^^^^ warning: second_chuck_off_grip
M63
G04 X1.
G00 B0.
M30
)"},
            {System::B, R"(
(M62/M63 SUB OPEN/CLOSE)
G21 G90 G94
T0101
M05
M62
G00 B-500. (20 BEFORE THE FACE)
G01 B-505. F300.
;   ^^^^^ warning: second_chuck_off_grip
M63
G04 X1.
G00 B0.
M30
)"},
            {System::C, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
G70 G90 G94
T0101
M05
M22
G00 B-15.2 (.8 OFF THE FACE)
G01 B-15.6 F10.
;   ^^^^^^ warning: second_chuck_off_grip
M23
G00 B0.
M30
)"},
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
G20 G98
T0101
M05
M22
G00 B-15.2 (.8 OFF THE FACE)
G01 B-16.6 F10.
M23
G00 B0.
M30
)"},
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
(SUB GRIP AT B-450.)
G21 G98
T0101
M05
M22
G00 B-430.
G01 B-405. F300
;   ^^^^^^ warning: second_chuck_off_grip
M23
G00 B0.
M30
)"},
            {System::B, R"(
(M62/M63 SUB OPEN/CLOSE  B GRIP -515)
G21 G90 G94
T0101
M05
M62
G00 B-490.
G01 B-515. F300
M63
G04 X1.
G01 B-440. F1500
G00 B0.
M30
)"},
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
G21 G98
T0101
M05
M22
G01 B-405. F300
M23
G00 B0.
M30
)"},
            {System::C, R"(
(M22 SUB OPEN  M23 SUB CLOSE, SOFT JAWS GRIP 12 LONG)
G71 G90 G94
T0101
M05
M22
G01 B-405. F300
M23
G00 B0.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_chuck_off_grip

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

/// Where the slide stands with its jaws, or the stop in its chuck, at the face of the part.
struct NotedFace {
    double place = 0;
    bool stop = false; ///< Or something else than the jaws: these reach over the part then
};
/// "B-620. SUB COLLET FACE STANDS AT Z0 OF G54", "E0 = ITS JAW FACE ON Z0", "B-410. = FACES TOUCH", "A-18.
/// FACE TO FACE", "B-400. = STOP OF CHUCK 2 ON THE FACE", "B-350. ON THE FRONT FACE"; nullopt: no note of the
/// head tells it, or several.
std::optional<NotedFace> noted_face(const FileContext& context, const Span& head, char letter) {
    std::optional<NotedFace> found;
    for (const NoteAt& note : notes_between(context.reader(), head.first, head.last)) {
        const NotedWords words = noted_words(note.text);
        std::optional<double> place; // The last one told before the face
        bool face = false, stop = false, on = false, away = false, jaws = false;
        for (std::size_t i = 0; i <= words.size(); ++i) {
            const std::string_view word = i < words.size() ? std::string_view(words.at(i)) : ",";
            if (word == ",") {
                if (place && !away && ((face && on) || (stop && on))) {
                    if (found && found->place != *place) return std::nullopt;
                    found = NotedFace{*place, stop || !jaws};
                }
                place.reset(), face = stop = on = away = jaws = false;
            }
            const bool minus = word.size() > 2 && word[1] == '-';
            if (word.size() > 1 && word[0] == letter)
                if (const auto number = plain_number(word.substr(minus ? 2 : 1)))
                    place = minus ? -*number : *number;
            const std::string_view last = i > 0 ? words.at(i - 1) : std::string_view();
            const bool behind_to = last == "TO" && face;
            jaws =
                jaws || (word == "TOUCH" && last == "FACES") ||
                (word == "FACE" && (last == "JAW" || last == "JAWS" || last == "COLLET" || last == "CHUCK"));
            face = face || word == "FACE" || word == "FACES";
            stop = stop || word == "STOP" || word == "ANSCHLAG" || word == "TOPE" || word == "BUTEE";
            on = on || word == "Z0" || word == "TOUCH" || word == "FRONT" || word == "ON" ||
                 (word == "FACE" && behind_to);
            // "40 BEFORE THE FACE" is an approach, "B0 = SLIDE HOME" no place at the part.
            for (std::string_view other : {"BEFORE", "FROM", "OFF", "CLEAR", "HOME", "PARKED", "VOR", "AWAY"})
                away = away || word == other;
        }
    }
    return found;
}

/// How far the jaws reach over the part, as the notes have it, "JAWS 25 DEEP", "JAWS 2 HOLD 11"; nullopt:
/// none says it. Of several the most.
std::optional<double> noted_grip_depth(const FileContext& context, const Span& head) {
    std::optional<double> depth;
    const auto take = [&](std::string_view word) {
        if (const auto number = plain_number(word); number && *number > 0)
            depth = std::max(depth.value_or(0), *number);
    };
    for (const NoteAt& note : notes_between(context.reader(), head.first, head.last)) {
        const NotedWords words = noted_words(note.text);
        for (std::size_t i = 0; i < words.size(); ++i) {
            if (i > 0 && words.at(i) == "DEEP") take(words.at(i - 1));
            if (words.at(i) == "HOLD" || words.at(i) == "HOLDS" || words.at(i) == "GRIPS")
                take(words.at(i + 1));
        }
    }
    return depth;
}

/// Where the blade cuts the part off, as a length from Z0; 0: not known.
double part_off_length(std::span<const ToolOfSpan> tools) {
    double length = 0;
    for (const ToolOfSpan& tool : tools)
        if (tool.is(NamedTool::Kind::part_off))
            for (const Act& act : tool.work->acts)
                if (act.cuts() && act.moves_x && !act.moves_z && known(act.to_z))
                    length = std::max(length, -double(act.to_z));
    return length;
}

/// The jaws close in front of the face that the head tells, or as far behind it as the blade cuts. True:
/// told.
bool closes_off_face(const FileContext& context, const ClampEvent* before, const ClampEvent& slide,
                     const ClampEvent& closes, const std::vector<ToolOfSpan>& tools, Report& report) {
    const ActWord* from = before ? slide_word(*before->at.tool->work, *before->at.act) : nullptr;
    const ActWord* to = slide_word(*slide.at.tool->work, *slide.at.act);
    if (!from || !to || from->letter != to->letter || before->at.act->incremental ||
        slide.at.act->incremental || !slide.at.act->gives_feed || slide.at.act->deleted)
        return false;
    const auto head = std::find_if(tools.begin(), tools.end(), [&](const ToolOfSpan& tool) {
        return tool.span->program == slide.at.tool->span->program;
    });
    const auto noted = noted_face(context, *head->span, to->letter);
    if (!noted || noted->place == from->number) return false;
    const std::optional<double> face = noted->place;
    const double way = *face > from->number ? 1 : -1, depth = (to->number - *face) * way,
                 length = part_off_length(tools);
    const char letter = to->letter;
    if (noted->stop) {
        constexpr double deep_mm = 15, mm_per_inch = 25.4;
        const auto mm = mm_of(*closes.at.act, unit_of_file(context, tools));
        if (!mm) return false;
        const bool inch = *mm > 1;
        const double unsure = inch ? deep_mm / mm_per_inch : deep_mm;
        const auto jaws = noted_grip_depth(context, *head->span);
        if (depth > (inch ? 0.01 : 0.3)) {
            report.at_letter(slide.at.tool->place(*slide.at.act), letter)
                .message(
                    said("{0}{1} goes {3} beyond {0}{2}, where by the notes the stop of the second chuck "
                         "stands on the face of the part: the slide runs the stop into the part. Is a "
                         "digit of {0} wrong?",
                         letter, written(to->number), written(static_cast<float>(*face)),
                         spoken(std::round(depth * 1e4) / 1e4)));
            return true;
        }
        if (-depth < jaws.value_or(unsure)) return false;
        report.at_letter(slide.at.tool->place(*slide.at.act), letter)
            .message(said("{0} closes at {1}{2}, and by the notes its stop stands on the face of the part at "
                          "{1}{3}, {4} farther on: the jaws do not reach the part, and it is loose when the "
                          "main chuck opens or it is cut off. Is a digit of {1} wrong?",
                          with_words(*closes.at.code), letter, written(to->number),
                          written(static_cast<float>(*face)), spoken(std::round(-depth * 1e4) / 1e4)));
        return true;
    }
    if (depth <= 0)
        report.at_letter(slide.at.tool->place(*slide.at.act), letter)
            .message(said(
                "{0} closes at {1}{2}, and by the notes the jaws stand at the face of the part at {1}{3}: "
                "they close {4} in front of it, on nothing, and the part is loose when it is cut off or "
                "the main chuck opens. Is the sign or a digit of {1} wrong?",
                with_words(*closes.at.code), letter, written(to->number), written(static_cast<float>(*face)),
                spoken(std::round(-depth * 1e4) / 1e4)));
    else if (length > 0 && depth > length)
        report.at_letter(slide.at.tool->place(*slide.at.act), letter)
            .message(said(
                "{0}{1} brings the jaws of the second spindle {3} behind the face of the part, which the "
                "notes have at {0}{2}, and the part is cut off {4} behind it: the jaws run over the "
                "place of the blade and into the main chuck. Is a digit of {0} wrong?",
                letter, written(to->number), written(static_cast<float>(*face)),
                spoken(std::round(depth * 1e4) / 1e4), spoken(std::round(length * 1e4) / 1e4)));
    else
        return false;
    return true;
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

/// It closes where the rapid of the approach ends, and the slide is fed on to the part behind that: two
/// blocks in the wrong order.
bool closes_before_fed(const ClampEvent& before, const ClampEvent& near, const ClampEvent& closes,
                       const ClampEvent& fed, Report& report) {
    const auto word = [](const ClampEvent& event) { return slide_word(*event.at.tool->work, *event.at.act); };
    const ActWord *home = word(before), *rapid = word(near), *on = word(fed);
    if (!home || !rapid || !on || home->letter != rapid->letter || rapid->letter != on->letter) return false;
    if (near.at.act->gives_feed || !fed.at.act->gives_feed || near.at.act->incremental ||
        fed.at.act->incremental || near.at.act->deleted || on->number == 0)
        return false;
    const double came = rapid->number - home->number, goes = on->number - rapid->number;
    if (came * goes <= 0 || std::abs(goes) > std::abs(came)) return false;
    report.at(closes.at.tool->place(*closes.at.act))
        .message(
            said("{0} closes at {1}{2}, where the rapid ends, and the slide is fed on to {1}{3} behind it: "
                 "the jaws close on nothing {4} in front of their grip, and run shut against the part. "
                 "Write {0} behind the feed.",
                 with_words(*closes.at.code), rapid->letter, written(rapid->number), written(on->number),
                 spoken(std::round(std::abs(goes) * 1e4) / 1e4)))
        .related(fed.at.tool->place(*fed.at.act), said("fed on here"));
    return true;
}

/// The rapid of the approach goes past the place where the slide is fed to.
bool passes_grip(const ClampEvent* home, const ClampEvent& approach, const ClampEvent& slide,
                 Report& report) {
    const auto word = [](const ClampEvent& event) { return slide_word(*event.at.tool->work, *event.at.act); };
    const ActWord *rapid = word(approach), *to = word(slide), *from = home ? word(*home) : nullptr;
    if (!rapid || !to || !from || rapid->letter != to->letter || from->letter != to->letter) return false;
    if (approach.at.act->gives_feed || !slide.at.act->gives_feed || approach.at.act->incremental ||
        slide.at.act->incremental || approach.at.act->deleted || to->number == 0 || rapid->number == 0)
        return false;
    const double start = from->number, goes = to->number - start, came = rapid->number - start;
    if (goes * came <= 0 || std::abs(came) <= std::abs(goes)) return false;
    report.at_letter(approach.at.tool->place(*approach.at.act), rapid->letter)
        .message(
            said("The slide of the second spindle goes to {0}{1} at rapid, {3} past {0}{2}, where it is "
                 "fed to and its chuck closes: it runs into the part or the main chuck. Is a digit of {0} "
                 "wrong?",
                 rapid->letter, written(rapid->number), written(to->number),
                 spoken(std::round((std::abs(came) - std::abs(goes)) * 1e4) / 1e4)))
        .related(slide.at.tool->place(*slide.at.act), said("fed to here"));
    return true;
}

void file(const FileContext& context, Report& report) {
    std::optional<std::optional<double>> grip;
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto&) {
        const ClampEvent *slide = nullptr, *before = nullptr, *earlier = nullptr;
        const ClampEvent *closed = nullptr, *closed_at = nullptr, *closed_from = nullptr;
        for (const ClampEvent& event : events) {
            if (event.kind == Kind::moves_slide && closed &&
                closes_before_fed(*closed_from, *closed_at, *closed, event, report))
                return;
            // Only the next thing that happens to chuck, slide or part is of it.
            if (event.kind != Kind::starts_spindle) closed = nullptr;
            if (event.kind == Kind::code && event.at.code->does == Does::second_close && slide && before)
                closed = &event, closed_at = slide, closed_from = before;
            if (event.kind == Kind::moves_slide) earlier = before, before = slide, slide = &event;
            if (event.kind != Kind::code || event.at.code->does != Does::second_close || !slide) continue;
            if (before && closes_before_face(context, *before, *slide, event, report)) return;
            if (closes_off_face(context, before, *slide, event, tools_of(context), report)) return;
            const ActWord* to = slide_word(*slide->at.tool->work, *slide->at.act);
            if (!grip) grip = noted_grip(context, tools_of(context));
            const double tolerance = event.at.act->inch() ? 0.005 : 0.1;
            if (!*grip || !to || to->letter != 'B' || slide->at.act->incremental || to->number == 0 ||
                std::abs(to->number - **grip) <= tolerance) {
                // Home is where it came from, or goes to behind the take-over.
                const ClampEvent* home = earlier;
                for (const ClampEvent* later = &event; later < events.data() + events.size() && !home;
                     ++later)
                    if (later->kind == Kind::moves_slide && !later->at.act->gives_feed &&
                        !later->at.act->incremental)
                        home = later;
                if (before && passes_grip(home, *before, *slide, report)) return;
                continue;
            }
            report.at_letter(slide->at.tool->place(*slide->at.act), to->letter)
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
    .documentation =
        "The chuck closes where the rapid of the slide ends and the slide is fed on behind that; or the note "
        "beside the approach tells how far the face still is (20 BEFORE THE FACE), and "
        "the slide is fed no farther than that before its chuck closes; or the rapid of the approach goes "
        "past the "
        "place that the slide is fed to; or a note of the head tells where its jaws or the stop in its chuck "
        "stand at the face (B-400. = STOP ON THE FACE); or a note tells where the slide of "
        "the second spindle stands when its chuck grips the "
        "part (GRIP B-515), and the chuck is closed with the slide elsewhere: the jaws close on "
        "nothing or on the end of the part, and it falls when the main chuck opens. What the "
        "codes mean is read from `m_codes` in the shop file (`does = \"second clamp\"`), else "
        "from notes (M23 SUB CLOSE); without either nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(B0 = HOME, B-410. = FACES TOUCH)
(M15 SUB COLLET OPEN, M16 SUB COLLET SHUT)
G21 G99
T0404 (CUT OFF 3.0)
G97 S1000 M03
M15
G00 B-395.
G98 G01 B-481. F500
;       ^^^^^ warning: second_chuck_off_grip
M16
G99
G00 X32. Z-47.3
G01 X-0.6 F0.04
G00 X60.
M05
G00 B0
M30
)"},
            {System::C, R"(
(A0 HOME, A-15.000 ITS COLLET FACE AT FRONT FACE OF THE NEW PART)
(M20/M21 SUB COLLET OPEN/CLOSED)
G70 G90 G95
T0404 (PART-OFF .100)
G97 S1400 M03
M20
G53 G00 A-14.5
G94 G01 A-15.55 F30.
M21
G95
G00 X.85 Z-2.01
G01 X.15 F.002
G00 X.9
M05
G53 G00 A0
M30
)"},
            {System::B, R"(
(M20/M21 SUB COLLET OPEN/CLOSED)
(M26 SUB RUNS AT MAIN SPEED, M27 FREE AGAIN)
G20 G90 G95
G53 G0 A0
M20
G97 S1400 M3
G53 G0 A-14.5
M21
;^^ warning: second_chuck_off_grip
G94 G1 A-15.55 F30.
G4 X1.
G95
M30
)"},
            {System::A, R"(
(M22 SUB OPEN  M23 SUB CLOSE)
G21 G99
G53 G00 B0
M22
G00 B-490.
G98 G01 B-515. F300
M23
G04 U1.
G01 B-400. F1500
G53 G00 B0
G99
M30
)"},
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
            {System::A, R"(
(M110/M111 CHUCK 2 CLOSE/OPEN, JAWS 12 DEEP)
(B0 HOME, B-400. = STOP OF CHUCK 2 ON THE FACE)
G21 G99
T0101
G97 S800 M03
G00 X44. Z2.
G01 X-1.6 F0.2
M05
M111
G00 B-340.
G98 G01 B-369.5 F300
;       ^^^^^^^ warning: second_chuck_off_grip
M110
G99
M30
)"},
            {System::B, R"(
(M141 CHUCK TWO GRIP, M142 CHUCK TWO RELEASE)
G20 G90 G95
T0101
G97 S800 M03
G00 X1.6 Z.1
G01 X-.06 F.008
M05
M142
G00 E-19.
;   ^^^^ warning: second_chuck_off_grip
G94 G01 E-17.98 F30.
M141
G95
G00 E0
M30
)"},
            {System::A, R"(
(M110/M111 CHUCK 2 CLOSE/OPEN, JAWS 12 DEEP)
(B0 HOME, B-400. = STOP OF CHUCK 2 ON THE FACE)
G21 G99
T0101
G97 S800 M03
G00 X44. Z2.
G01 X-1.6 F0.2
M05
M111
G00 B-340.
G98 G01 B-399.5 F300
M110
G99
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // Inches are assumed: a tenth beyond the stop is no rounding.
            {System::A, R"(
(M110/M111 CHUCK 2 CLOSE/OPEN)
(B0 HOME, B-15.75 = STOP OF CHUCK 2 ON THE FACE)
T0101
G97 S800 M03
G00 X1.75 Z.1
G01 X-.06 F.008
M05
M111
G00 B-13.5
G98 G01 B-15.85 F12.
;       ^^^^^^^ warning: second_chuck_off_grip
M110
G99
M30
)"},
            {System::A, R"(
(M110/M111 CHUCK 2 CLOSE/OPEN)
(B0 HOME, B-15.75 = STOP OF CHUCK 2 ON THE FACE)
T0101
G97 S800 M03
G00 X1.75 Z.1
G01 X-.06 F.008
M05
M111
G00 B-13.5
G98 G01 B-15.73 F12.
M110
G99
M30
)"},
        },
};

} // namespace turnwright::checks::rules::second_chuck_off_grip

// On the second spindle a move to the wrong side of the face: a sign of Z.
#include "checks/more_axes.h"
#include "checks/read_path.h"
#include "checks/rule.h"
#include "language/said.h"
#include "text/capitals.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace turnwright::checks::rules::second_side_wrong_sign {

namespace {

/// A face that was turned on the second spindle: where it is, and on which side nothing stands.
struct Face {
    const ToolOfSpan* tool = nullptr;
    const Act* act = nullptr;
    float z = 0;
    float free = 0; ///< 1: towards plus, -1: towards minus
    bool is_in_other_datum(const Act& other) const { return other.datum != act->datum; }
};

/// Less is no sign but an allowance.
float least_of(const Act& act) {
    return act.inch() ? .008F : .2F;
}

void tell_air(const ToolOfSpan& tool, const Act& act, const Face& face, Report& report) {
    report.at_letter(tool.place(act), 'Z')
        .message(said("This cut stays in front of the face: it goes from Z{} to Z{}, the face of the "
                      "second side is at Z{} and the tool came to it from Z {} as the free side. It cuts "
                      "air. Is the sign of Z wrong?",
                      written(act.from_z), written(act.to_z), written(face.z),
                      face.free < 0 ? said("minus") : said("plus")))
        .related(face.tool->place(*face.act), said("the face"));
}

void tell_metal(const ToolOfSpan& tool, const Act& act, const Face& face, Report& report) {
    report.at_letter(tool.place(act), 'Z')
        .message(said("This rapid goes from the face at Z{} to Z{}: the part stands there, the tool came "
                      "from Z {} as the free side. It is driven into the metal at full rate. Is the sign of "
                      "Z wrong?",
                      written(face.z), written(act.to_z), face.free < 0 ? said("minus") : said("plus")))
        .related(face.tool->place(*face.act), said("the face"));
}

/// A hole from the free side into the free side.
bool drills_air(const Act& act, const Face& face) {
    if (act.in_contour || !act.moves_z || !known(act.to_z)) return false;
    const bool by_cycle = act.motion == MotionKind::drill_cycle &&
                          (act.meaning == Meaning::drill_face || act.meaning == Meaning::tap_face);
    const bool by_pecks = act.motion == MotionKind::peck_cycle && act.meaning == Meaning::peck_face &&
                          !act.moves_x && act.from_x == 0;
    // By feed on the centre: away from the face is no way into it.
    const bool by_feed = act.motion == MotionKind::feed && !act.moves_x && act.from_x == 0 &&
                         known(act.from_z) && act.gives_feed &&
                         (act.to_z - act.from_z) * face.free > least_of(act);
    if (!by_cycle && !by_pecks && !by_feed) return false;
    return (act.to_z - face.z) * face.free > least_of(act) &&
           (!known(act.from_z) || (act.from_z - face.z) * face.free > 0);
}

/// "M03 M05 S OF THIS FILE: SPINDLE 2": of a path of its own.
bool is_all_of_second(const FileContext& context, const Span& head) {
    for (std::optional<BlockPlace> at = head.first; at && *at <= head.last;
         at = context.reader().neighbour(*at, true))
        for (const syntax::Item& item : context.reader().items(*at))
            if (item.kind == syntax::ItemKind::note &&
                gives_start_to_second(syntax::note_text(context.reader().line(*at).text_of(item))))
                return true;
    return false;
}

/// In along X at three places of Z or more: a row of plunges.
bool plunges_in_a_row(const ToolOfSpan& tool) {
    std::vector<float> places;
    for (const Act& act : tool.work->acts) {
        if (act.motion != MotionKind::feed || !act.moves_x || act.moves_z || !known(act.from_x) ||
            !known(act.to_x) || act.to_x >= act.from_x || !known(act.to_z) || act.in_contour)
            continue;
        if (std::find(places.begin(), places.end(), act.to_z) == places.end()) places.push_back(act.to_z);
    }
    return places.size() >= 3;
}

bool is_blade_by_note(const ToolOfSpan& tool) {
    return tool.is(NamedTool::Kind::groove) || tool.is(NamedTool::Kind::part_off);
}

/// The approach of a tool ends behind the face, between the hole and the outside, where no tool has cut: the
/// next move goes on into the part.
bool comes_into_metal(const Acts& work, const Act& act, const Face& face, float deepest) {
    if (act.motion != MotionKind::rapid || !act.moves_z || !known(act.to_z) || !known(act.to_x)) return false;
    const float depth = (act.to_z - face.z) * face.free;
    constexpr float clear = .95F; // The face begins in front of the outside
    const bool in_ring = act.to_x < clear * face.act->from_x && act.to_x > face.act->to_x;
    if (depth > -least_of(act) || depth >= deepest || !in_ring) return false;
    for (const Act* next = &act + 1; next < work.acts.data() + work.acts.size(); ++next)
        if (next->moves() || next->calls_tool)
            return next->motion == MotionKind::feed && next->moves_z && !next->moves_x;
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    const bool all_second = is_all_of_second(context, *program.front().span);
    const auto is_second = [&](const Act& act) {
        return act.spindle == machine::Spindle::second ||
               (all_second && act.spindle == machine::Spindle::main);
    };
    std::optional<Face> face, of_side; // The second one holds on to the live tools behind it
    const Act* to_face = nullptr;      // The rapid along Z that has just come
    float deepest = 0;                 // Of all cuts behind the face, below zero
    bool comes = false;                // Nothing has moved since the tool call or the way home
    bool cut_in = false;               // The tool has been behind the face
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_tool || is_return(act.motion)) to_face = nullptr, comes = true, cut_in = false;
            if (face) of_side = face;
            const bool of_main = act.spindle == machine::Spindle::main && !all_second;
            if (of_main || (of_side && of_side->is_in_other_datum(act))) of_side.reset();
            if (!is_second(act) || (face && face->is_in_other_datum(act))) face.reset();
            if (of_side && !act.deleted && drills_air(act, *of_side)) {
                report.at_letter(tool.place(act), 'Z')
                    .message(
                        said("This hole ends at Z{}, in front of the face: the face of the second side is "
                             "at Z{} and the tool came to it from Z {} as the free side. It drills air, or "
                             "the control alarms. Is the sign of Z wrong?",
                             written(act.to_z), written(of_side->z),
                             of_side->free < 0 ? said("minus") : said("plus")))
                    .related(of_side->tool->place(*of_side->act), said("the face"));
                return;
            }
            if (of_side && act.cuts() && known(act.to_z))
                deepest = std::min(deepest, (act.to_z - of_side->z) * of_side->free);
            if (!of_side) deepest = 0;
            if (!is_second(act) || act.in_contour || act.deleted || !act.moves()) continue;
            const bool approaches = comes && !is_return(act.motion);
            if (approaches) comes = false;
            if (approaches && face && comes_into_metal(*tool.work, act, *face, deepest))
                return tell_metal(tool, act, *face, report);
            if (!known(act.from_z) || !known(act.to_z)) {
                if (act.motion == MotionKind::rapid)
                    to_face = act.moves_z && known(act.to_z) ? &act : nullptr;
                continue;
            }
            const float least = least_of(act);
            const bool feeds = act.motion == MotionKind::feed;
            const bool faces = feeds && !is_blade_by_note(tool) && !plunges_in_a_row(tool) && act.moves_x &&
                               !act.moves_z && known(act.from_x) && known(act.to_x) && act.to_x < act.from_x;
            // Deeper than a face that is known a plunge is none: a neck or a groove.
            const bool deeper = face && (act.to_z - face->z) * face->free < -least;
            if (faces && !deeper && to_face && known(to_face->from_z) &&
                std::abs(to_face->from_z - act.to_z) > least && to_face->to_z == act.to_z)
                face = Face{&tool, &act, act.to_z, to_face->from_z < act.to_z ? -1.F : 1.F};
            if (act.motion == MotionKind::rapid) {
                const bool into = face && act.moves_z && !act.moves_x && act.from_z == face->z &&
                                  (act.to_z - face->z) * face->free < -least && to_face == nullptr &&
                                  known(act.from_x) && act.from_x < face->act->from_x;
                if (into) return tell_metal(tool, act, *face, report);
                if (act.moves_z) to_face = &act;
                continue;
            }
            const bool in_air = face && feeds && act.moves_x && act.moves_z &&
                                (act.from_z - face->z) * face->free > least &&
                                (act.to_z - face->z) * face->free > least;
            // A chamfer from the face outward, and it goes off the part.
            const bool chamfer = face && feeds && act.moves_x && act.moves_z && known(act.from_x) &&
                                 known(act.to_x) && act.from_z == face->z && act.to_x > act.from_x &&
                                 (act.to_z - face->z) * face->free > least &&
                                 std::abs(act.to_x - act.from_x - std::abs(act.to_z - act.from_z)) < 1e-3F;
            // Along Z from in front of the face farther off it, before the tool has been in the part.
            const bool off_it = face && feeds && act.moves_z && !act.moves_x && !cut_in &&
                                (act.from_z - face->z) * face->free > 0 &&
                                (act.to_z - act.from_z) * face->free > least && act.gives_feed;
            if (feeds && face && (act.to_z - face->z) * face->free < -least) cut_in = true;
            if (in_air || chamfer || off_it) return tell_air(tool, act, *face, report);
            to_face = nullptr;
        }
}

/// Which way the metal lies on the second side, by a note: "G55 BACK FACE, Z PLUS GOES INTO THE PART"; 0:
/// none tells, or they tell both.
float way_by_notes(const FileContext& context, const machine::ProgramPart& program, BlockPlace last) {
    float way = 0;
    for (const NoteAt& at : notes_between(context.reader(), program.first, last)) {
        const std::string note = text::in_capitals(at.text);
        const auto has = [&](std::initializer_list<std::string_view> words) {
            return std::any_of(words.begin(), words.end(),
                               [&](std::string_view word) { return note.find(word) != std::string::npos; });
        };
        const bool plus = has({"Z PLUS", "PLUS Z", "Z+", "PLUS INTO", "PLUS IST"});
        const bool minus = has({"Z MINUS", "MINUS Z", "Z-", "MINUS INTO", "Z MENO", "MINUS IST"});
        const bool into = has({"INTO", "METAL ", "MATERIAL", "MATIERE", "VERSO IL PEZZO", "MEAT"});
        const bool free = has({" FREE", " FREI", "AIR"});
        if (plus == minus || into == free) continue;
        const float told = plus == into ? 1.F : -1.F;
        if (way != 0 && way != told) return 0;
        way = told;
    }
    return way;
}

/// A tool of the second side as a whole: where it comes from and how far it cuts.
struct Way {
    const ToolOfSpan* tool = nullptr;
    const Act* comes = nullptr; ///< The first rapid along Z that is not to the face
    float from = 0, to = 0;     ///< To there; the cut farthest from nought
    std::uint16_t datum = 0;
    float sign() const { return to > 0 ? 1.F : -1.F; }
};

/// One tool is written with the signs of the first side: it comes from the side where the others, or a note,
/// have the metal, and cuts towards the free one.
void look_at_whole_tools(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    const bool all_second = is_all_of_second(context, *program.front().span);
    std::vector<Way> ways;
    bool on_second = all_second;
    for (const ToolOfSpan& tool : program) {
        Way way;
        bool plain = tool.work->whole, cuts = false;
        float least = 0;
        for (const Act& act : tool.work->acts) {
            if (is_return(act.motion)) continue;
            plain = plain && !act.calls_program && !act.deleted && !act.incremental && !act.by_w &&
                    !act.in_contour;
            if (slide_word(*tool.work, act)) plain = false; // It takes over
            if (act.spindle && *act.spindle != machine::Spindle::live)
                on_second = *act.spindle == machine::Spindle::second ||
                            (all_second && *act.spindle == machine::Spindle::main);
            if (!act.moves_z || !known(act.to_z)) continue;
            least = 2 * least_of(act);
            if (act.motion == MotionKind::rapid && !way.comes && std::abs(act.to_z) > least && !cuts)
                way.comes = &act, way.from = act.to_z, way.tool = &tool;
            if (act.motion == MotionKind::rapid) continue;
            if (act.cuts() || act.drills() || act.taps() || act.threads()) {
                cuts = true;
                plain = plain && on_second;
                if (std::abs(act.to_z) > std::abs(way.to)) way.to = act.to_z;
            }
        }
        if (!plain || !way.comes || std::abs(way.to) <= least / 2 || way.from * way.to >= 0) continue;
        way.datum = context.reader().after(tool.place(*way.comes)).of(Group::datum).possible;
        ways.push_back(way);
    }
    if (ways.empty()) return;
    float noted = 0;
    for (const ToolOfSpan& tool : program) {
        const auto call = std::find_if(tool.work->acts.begin(), tool.work->acts.end(),
                                       [](const Act& act) { return act.calls_tool; });
        if (call == tool.work->acts.end()) continue;
        noted = way_by_notes(context, *tool.span->program, tool.place(*call));
        break;
    }
    for (const Way& way : ways) {
        std::size_t other_way = 0, same_way = 0;
        const Way* there = nullptr;
        for (const Way& other : ways) {
            if (&other == &way || other.datum != way.datum) continue;
            ++(other.sign() == way.sign() ? same_way : other_way);
            if (other.sign() != way.sign()) there = &other;
        }
        const bool by_note =
            noted != 0 && noted != way.sign() && same_way == 0 && (other_way > 0 || ways.size() == 1);
        const bool by_others = noted != way.sign() && same_way == 0 && other_way >= 2;
        if (!by_note && !by_others) continue;
        auto entry = report.at_letter(way.tool->place(*way.comes), 'Z');
        if (there)
            entry
                .message(said(
                    "On the second side this tool comes to Z{} and cuts to Z{}, and another one of that side "
                    "comes to Z{} and cuts to Z{}: the signs of the first side stand here. It comes into the "
                    "part at rapid and cuts on the free side.",
                    written(way.from), written(way.to), written(there->from), written(there->to)))
                .related(there->tool->place(*there->comes), said("another tool of that side"));
        else
            entry.message(
                said("On the second side this tool comes to Z{} and cuts to Z{}, and by the note the metal "
                     "lies the other way there: the signs of the first side stand here. It comes into the "
                     "part at rapid and cuts on the free side.",
                     written(way.from), written(way.to)));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        const std::size_t before = report.found.size();
        look_at(context, program, report);
        if (report.found.size() == before) look_at_whole_tools(context, program, report);
    });
}

} // namespace

extern const Check check{
    .id = "second_side_wrong_sign",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Sign of Z on the second side",
    .documentation =
        "On the second spindle the part may stand towards plus or towards minus, as the lathe has it: which "
        "of "
        "the two is seen from the side that the tool comes to the face from. A rapid that leaves the face to "
        "the "
        "other side goes into the part, and a slanting cut that stays in front of the face, as a chamfer "
        "would "
        "with the sign of Z turned round, cuts air, and so does a hole that ends there. Looked at only while "
        "S speaks to the second spindle: by "
        "`m_codes` in the shop file (`does = \"second forward\"`), notes, or where its code stands beside an "
        "S.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G50 S2800
G96 S200 M203
G00 X34. Z-5.
Z0.
G01 X14. F.15
G00 Z-2.
X24.
G01 X31. Z-1.5 F.1
;        ^^^^^ warning: second_side_wrong_sign
G00 X36. Z-5.
M205
M30
)"},
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
(M226 SUB C AXIS ON, M227 SUB C AXIS OFF, M31 LIVE TOOL ON, M32 LIVE TOOL OFF)
G71 G90 G95
G55
T0202
G96 S200 M203
G00 X34. Z-5.
Z0.
G01 X6. F.15
G00 Z-5.
M205
M226
T0404
G94 G97 S3000 M31
G00 X18. C0
G98 G83 Z-9. R3. Q2500 F210
;       ^^^ warning: second_side_wrong_sign
C120.
G80
M32
M30
)"},
            {System::B, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
(M226 SUB C AXIS ON, M227 SUB C AXIS OFF, M31 LIVE TOOL ON, M32 LIVE TOOL OFF)
G20 G90 G95
G55
T0202
G96 S600 M203
G00 X1.4 Z-.2
Z0.
G01 X.2 F.006
G00 Z-.2
M205
M226
T0404
G94 G97 S3000 M31
G00 X.7 C0
G98 G83 Z.4 R.1 Q1000 F8.
C120.
G80
M32
M30
)"},
            {System::B, R"(
(M303 SUB CW  M305 SUB STOP)
G20 G90 G95
G56
T0808
G96 S600 M303
G00 X2. Z-.2
Z0
G01 X1. F.006
G00 Z.1
;   ^^^ warning: second_side_wrong_sign
X1.7
G01 X1.9 Z.06 F.004
M305
M30
)"},
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G50 S2800
G96 S200 M203
G00 X34. Z-5.
Z0.
G01 X14. F.15
G00 Z-2.
X24.
G01 X31. Z1.5 F.1
G00 X36. Z-5.
M205
M30
)"},
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G71 G90 G95
G55
T0202
G96 S200 M203
G00 X42. Z3.
Z0.
G01 X14. F.15
G00 Z2.
X32.
G01 X38.6 Z-1.3 F.1
G00 X46. Z5.
M205
M30
)"},
            {System::B, R"(
G21 G90 G95
T0202
G96 S200 M03
G00 X34. Z-5.
Z0.
G01 X14. F.15
G00 Z-2.
X24.
G01 X31. Z-1.5 F.1
M30
)"},
            // A face groove behind the face: the sign of its approach.
            {System::C, R"(
(SECOND SPINDLE: M203 RUN, M205 STOP, JAWS M210 OPEN M211 CLOSED)
G71 G90 G95
G55
T0808
G96 S170 M203
G00 X84. Z5.
Z0
G01 X48. F0.16
G00 Z20.
G53 G00 X0
G53 G00 Z0
T1212
G96 S110 M203
G00 X70. Z-3.
;       ^^^^ warning: second_side_wrong_sign
G01 Z-4. F0.06
G00 Z20.
M205
M30
)"},
            {System::A, R"(
(SECOND SPINDLE: M203 RUN, M205 STOP, JAWS M210 OPEN M211 CLOSED)
G20 G99
G55
T0808
G96 S500 M203
G00 X3.3 Z-.2
Z0
G01 X2. F.006
G00 Z-1.
G28 U0
G28 W0
T1212
G96 S400 M203
G00 X2.7 Z-.1
G01 Z.1 F.002
G00 Z-1.
M205
M30
)"},
            // Both chucks hold a bar that a blade opens between them.
            {System::B, R"(
(M53/M55 SUB FORWARD/STOP)
G21 G90 G95
G55
T0707 (GROOVER 4.0)
G97 S1100 M53
G00 X36. Z-26.
G01 X20.6 F.1
G00 X36.
Z-36.
G01 X20.6
G00 X36.
Z-26.
G01 X20. F.08
Z-35. F.12
G00 X38.
G53 G00 X0
T0808
G00 X22. Z-30.
G01 X20. Z-34. F.12
X35.
M30
)"},
            {System::A, R"(
(M33/M35 SECOND SPINDLE RUN/STOP)
G20 G99
G55
T0505
G97 S900 M33
G00 X1.6 Z-.1
Z0
G01 X.45 F.006
G00 X6. Z-4.
T0606
G00 X.6 Z-.1
G01 Z-.5 F.006
;   ^^^^ warning: second_side_wrong_sign
G00 X.48
Z-4.
M35
M30
)"},
            {System::B, R"(
(M63 SECOND SPINDLE RUNS, M65 SECOND SPINDLE STOP)
G21 G90 G95
G55
T0808
G97 S900 M63
G00 X42. Z-3.
Z0
G01 X-1.6 F0.12
G00 Z-2.
X34.
G01 Z0 F0.2
X38. Z-2. F0.1
;    ^^^ warning: second_side_wrong_sign
G00 X44.
M65
M30
)"},
            // A row of plunges is no face; the finish comes from in front of it.
            {System::B, R"(
(M63 SECOND SPINDLE RUNS, M65 SECOND SPINDLE STOP)
G20 G90 G95
G55
T0909
G97 S900 M63
G00 Z.75
X1.2
G01 X.9 F.004
G00 X1.2
Z.85
G01 X.76
G00 X1.2
Z.95
G01 X.54
G00 X2.
T1111
G00 Z-.1
X-.06
G01 X0 Z0 F.01
X.5 Z.25 F.004
G01 Z1.2
G00 X2.
M65
M30
)"},
            // Plunges behind the face, and a finish that comes back to it.
            {System::B, R"(
(M63 SECOND SPINDLE RUNS, M65 SECOND SPINDLE STOP)
G21 G90 G95
G55
T0808
G97 S900 M63
G00 X42. Z-3.
Z0
G01 X-1.6 F0.12
G00 X42.
Z24.
G01 X20. F0.08
G00 X42.
Z29.
G01 X20.
G00 X44.
T1111
G00 Z-3.
X-1.6
G01 Z0 F0.2
X18. F0.1
Z29.
G00 X44.
M65
M30
)"},
            // A whole tool by the signs of the first side, against the note.
            {System::A, R"(
(G55 BACK FACE, MATERIAL AT Z PLUS)
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G50 S2800
G96 S200 M203
G00 X34. Z5.
;        ^^^ warning: second_side_wrong_sign
Z0.
G01 X14. F.15
G00 Z2.
X24.
G01 X31. Z-1.5 F.1
G00 X36. Z5.
M205
G28 U0 W0
M30
)"},
            {System::A, R"(
(G55 BACK FACE, MATERIAL AT Z PLUS)
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
G55
T0202
G50 S2800
G96 S200 M203
G00 X34. Z-5.
Z0.
G01 X14. F.15
G00 Z-2.
X24.
G01 X31. Z1.5 F.1
G00 X36. Z-5.
M205
G28 U0 W0
M30
)"},
            // The same datum stated again; holes by pecks and by feed.
            {System::A, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G99
N8
G55
T0808
G50 S2800
G96 S200 M203
G00 X34. Z-2.
Z0.
G01 X-.8 F.15
G00 Z-5.
G28 U0
M01
N9
G55
T0909
G97 S1100 M203
G00 X0 Z-3.
G74 R1.
G74 Z-29. Q6000 F.14
;   ^^^^^ warning: second_side_wrong_sign
G00 Z-3.
M205
M30
)"},
            {System::C, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G70 G90 G95
N8
G55
T0808
G96 S600 M203
G00 X1.4 Z.1
Z0.
G01 X-.03 F.006
G00 Z.2
X6. Z4.
M01
N9
G55
T0909
G97 S1100 M203
G00 X0 Z.1
G01 Z.8 F.005
;   ^^^ warning: second_side_wrong_sign
G00 Z.1
X6. Z4.
M205
M30
)"},
            // Into the part, out of it by feed.
            {System::B, R"(
(M203 SUB SPINDLE CW  M205 SUB SPINDLE STOP)
G21 G90 G95
N8
G55
T0808
G96 S200 M203
G00 X34. Z-2.
Z0.
G01 X-.8 F.15
G00 Z-5.
X150. Z-100.
M01
N9
G55
T0909
G97 S1100 M203
G00 X0 Z-3.
G01 Z20. F.14
G01 Z-3. F1.
G00 X150. Z-100.
M205
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::second_side_wrong_sign

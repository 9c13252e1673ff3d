// A clamp opened and not closed, closed and never opened, or a quill that never comes.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <map>

namespace turnwright::checks::rules::clamp_not_in_pair {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

void look_at(const std::vector<ClampEvent>& events, const std::vector<MachineCode>& codes,
             const FileContext& context, Report& report) {
    const MachineCode *close = code_that(codes, Does::clamp_close),
                      *open = code_that(codes, Does::clamp_open), *out = code_that(codes, Does::quill_out);
    bool opens = false, comes_out = false, told = false;
    for (const ClampEvent& event : events) {
        opens = opens || (event.kind == Kind::code && event.at.code->does == Does::clamp_open);
        comes_out = comes_out || (event.kind == Kind::code && event.at.code->does == Does::quill_out);
    }
    const ClampEvent *opened = nullptr, *closed = nullptr, *back = nullptr, *event_before = nullptr;
    bool pulled = false, cut = false;
    bool pulled_open = false;          ///< Since it was opened the tool has gone on at feed: bar has come
    const ClampEvent* drawn = nullptr; ///< The slide of the second spindle has gone on since
    const bool any_second = std::any_of(events.begin(), events.end(), [](const ClampEvent& event) {
        return event.at.act->spindle == machine::Spindle::second;
    });
    for (const ClampEvent& event : events) {
        if (told) return;
        const ClampAct& at = event.at;
        const Does does = event.kind == Kind::code ? at.code->does : Does::other;
        // Nothing but a dwell between: the second one was to close.
        if (does == Does::clamp_open && opened && event_before && event_before == opened && close &&
            opened->at.tool == at.tool && opened->at.act != at.act) {
            told = true;
            report_at_code(report, context, at)
                .message(
                    said("{} opens what is open already, and {} does not come: the bar is loose when the "
                         "spindle turns. Write M{:02} here.",
                         with_words(*at.code), with_words(*close), close->number))
                .related(opened->at.tool->place(*opened->at.act), said("opened here"));
            return;
        }
        // The same of one that was to open.
        if (does == Does::clamp_close && closed && event_before == closed && open && !opens &&
            closed->at.tool == at.tool && closed->at.act != at.act) {
            told = true;
            report_at_code(report, context, closed->at)
                .message(said("{} closes what is closed already, and {} does not come: the bar is never let "
                              "go, and stays where it is. Write M{:02} here.",
                              with_words(*closed->at.code), with_words(*open), open->number))
                .related(at.tool->place(*at.act), said("closed again"));
            return;
        }
        event_before = &event;
        if (does == Does::clamp_open && !opened) {
            opened = &event;
            pulled_open = false;
            drawn = nullptr;
        }
        if (does == Does::clamp_close) {
            // Closed again, and the bar was fed between: it was to be open.
            if (closed && closed->at.act != at.act && pulled && !opens && open) {
                told = true;
                report_at_code(report, context, closed->at)
                    .message(said("{} closes what is closed, and {} never comes: the bar is pulled or fed "
                                  "through a closed clamp. Write M{:02} before the pull.",
                                  with_words(*closed->at.code), with_words(*open), open->number))
                    .related(at.tool->place(*at.act), said("closed again"));
            }
            opened = nullptr;
            closed = &event;
            pulled = false;
        }
        if (event.kind == Kind::feeds_stopped) pulled = pulled_open = true;
        if (event.kind == Kind::moves_slide && opened && at.act->motion == MotionKind::reference)
            opened = nullptr;
        if (event.kind == Kind::moves_slide && opened && comes_to_part(at)) drawn = &event;
        const bool parts =
            event.kind == Kind::cuts &&
            ((at.act->moves_x && !at.act->moves_z && at.of(HeldBy::joined_spindles).surely()) ||
             (any_second && at.act->spindle == machine::Spindle::main && at.turning));
        if (parts && opened && drawn && close && !opened->at.act->deleted) {
            told = true;
            report.at(drawn->at.tool->place(*drawn->at.act))
                .message(said(
                    "{} opened the main chuck, the slide draws the bar here, and {} does not come before "
                    "the bar is cut: nothing holds what is behind the blade, and it whips. Write M{:02} "
                    "behind this move.",
                    with_words(*opened->at.code), with_words(*close), close->number))
                .related(at.tool->place(*at.act), said("cut here"));
            return;
        }
        const bool bar_comes = pulled_open || (opened && opened->at.tool->is(NamedTool::Kind::stop));
        if (event.kind == Kind::ends && (at.act->returns || !at.act->deleted) && opened && bar_comes &&
            close) {
            told = true;
            report_at_code(report, context, opened->at)
                .message(said("{} opens, the tool brings the bar, and {} does not come before the program "
                              "ends: the bar is loose at the next start. Write it when the bar has come.",
                              with_words(*opened->at.code), with_words(*close)));
        }
        if (event.kind == Kind::starts_spindle || event.kind == Kind::cuts) {
            closed = nullptr;
            cut = true;
            // Taken over: the second chuck holds the part.
            const Held& second = at.of(HeldBy::second_chuck_open);
            const ActWord* spindle = at.tool->work->word(*at.act, 'P');
            const bool is_main = event.kind == Kind::starts_spindle && spindle && spindle->number == 1 &&
                                 at.act->spindle == machine::Spindle::main;
            // Drawn a piece out of it, and the main spindle turns on: the bar is in both.
            const bool in_both = drawn && any_second && at.act->spindle == machine::Spindle::main;
            if (in_both && event.kind == Kind::starts_spindle) continue;
            if (second.code && !second.is_set && !is_main) opened = nullptr;
            if (opened && close) {
                told = true;
                report_at_code(report, context, opened->at)
                    .message(said("{} opens and {} does not come before the spindle turns again: the bar is "
                                  "loose. Write it when the bar has come.",
                                  with_words(*opened->at.code), with_words(*close)))
                    .related(at.tool->place(*at.act), said("turns with the clamp open"));
            }
            if (back && !comes_out && out) {
                told = true;
                report_at_code(report, context, back->at)
                    .message(said("{} comes before the cuts, and {} never does: the part is turned with no "
                                  "centre after it. Write M{:02} here.",
                                  with_words(*back->at.code), with_words(*out), out->number));
            }
        }
        if (does == Does::quill_back && !cut && !back) back = &event;
    }
}

/// Moved by hand, as a note says.
bool by_hand(const MachineCode& code) {
    const auto& words = code.words;
    return words.find("HAND") != std::string::npos || words.find("MANUAL") != std::string::npos ||
           words.find("MANO") != std::string::npos;
}

/// The quill goes back behind the cuts, and never came: a note names the code that brings it.
void look_for_quill(const std::vector<ClampEvent>& events, const std::vector<MachineCode>& codes,
                    Report& report) {
    const MachineCode* out = code_that(codes, Does::quill_out);
    const ClampEvent *start = nullptr, *back = nullptr;
    bool cut = false;
    for (const ClampEvent& event : events) {
        const Does does = event.kind == Kind::code ? event.at.code->does : Does::other;
        if (does == Does::quill_out) return;
        if (!start && event.kind == Kind::starts_spindle) start = &event;
        cut = cut || event.kind == Kind::cuts;
        if (does == Does::quill_back && !cut) return; // Told above
        if (does == Does::quill_back && !back) back = &event;
    }
    if (!out || !start || out->by_shop_file) return;
    if (!back) {
        const MachineCode* returns = code_that(codes, Does::quill_back);
        if (!cut || !returns || by_hand(*out)) return;
        report.at(start->at.tool->place(*start->at.act))
            .severity(Severity::information)
            .message(said("The spindle starts here, and {}, which the note tells, comes nowhere: unless "
                          "somebody brings the quill forward by hand, the part turns with no centre in it. "
                          "Write M{:02} in front of the first cut.",
                          with_words(*out), out->number));
        return;
    }
    report.at(start->at.tool->place(*start->at.act))
        .severity(Severity::information)
        .message(said("The spindle starts here, {} takes the quill back behind the cuts, and {} comes "
                      "nowhere: unless somebody brings it forward by hand, the part turns with no centre "
                      "in it. Write M{:02} in front of the first cut.",
                      with_words(*back->at.code), with_words(*out), out->number))
        .related(back->at.tool->place(*back->at.act), said("taken back here"));
}

/// The note beside a code says that it opens, and beside the same code elsewhere that it closes.
void look_at_notes(const FileContext& context, Report& report) {
    struct Told {
        BlockPlace place;
        Does does;
    };
    std::map<int, std::vector<Told>> by_number;
    for (const ToolOfSpan& tool : tools_of(context))
        for (const Act& act : tool.work->acts) {
            const ActWord* word = tool.work->word(act, 'M');
            if (!word) continue;
            const int number = machine::whole_number(word->number);
            const BlockPlace place = tool.place(act);
            for (const syntax::Item& item : context.reader().items(place)) {
                if (item.kind != syntax::ItemKind::note) continue;
                for (const MachineCode& code :
                     codes_named(syntax::note_text(context.reader().line(place).text_of(item)), number))
                    if (code.number == number &&
                        (code.does == Does::clamp_open || code.does == Does::clamp_close))
                        by_number[number].push_back({place, code.does});
            }
        }
    for (const auto& [number, told] : by_number) {
        std::size_t opens = 0;
        for (const Told& one : told) opens += one.does == Does::clamp_open;
        if (opens == 0 || opens == told.size()) continue;
        // The bar is let go first: of one of each that is the one that is out of place.
        const Does odd = 2 * opens <= told.size() ? Does::clamp_open : Does::clamp_close;
        const auto at =
            std::find_if(told.begin(), told.end(), [&](const Told& one) { return one.does == odd; });
        const auto other =
            std::find_if(told.begin(), told.end(), [&](const Told& one) { return one.does != odd; });
        report.at_letter(at->place, 'M')
            .message(said("The note says that M{0:02} {1} here, and elsewhere that M{0:02} {2}: one of "
                          "the two codes is wrong, and the bar or the part is let go or held against "
                          "the note.",
                          number, odd == Does::clamp_open ? said("opens") : said("closes"),
                          odd == Does::clamp_open ? said("closes") : said("opens")))
            .related(other->place, said("the other note"));
    }
}

/// A code of the machine's builder by its number, and none that most builders give one meaning.
bool is_seldom_code(const ActWord& word) {
    constexpr double common[] = {13, 14, 19, 29, 30, 98, 99};
    return word.letter == 'M' && word.number >= 10 &&
           std::find(std::begin(common), std::end(common), word.number) == std::end(common);
}

/// A code that a dwell waits for while a bar stop or a puller is in and the spindle stands, and no other of
/// the builder in the program: clamps have two.
void look_for_lone_code(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                        Report& report) {
    const ToolOfSpan* in = nullptr;
    const Act* waited_for = nullptr;
    const ActWord* lone = nullptr;
    bool starts = false;
    for (const ToolOfSpan& tool : program) {
        bool feeds_standing = false;
        const Act* before = nullptr;
        for (const Act& act : tool.work->acts) {
            feeds_standing = feeds_standing || (act.stopped() && act.cuts());
            starts = starts || (lone && act.turns() && act.states(Group::spindle_direction));
            for (const ActWord& word : tool.work->words_of(act)) {
                if (!is_seldom_code(word)) continue;
                if (lone && word.number != lone->number) return;
                lone = &word;
            }
            const ActWord* waits = before ? tool.work->word(*before, 'M') : nullptr;
            if (act.dwells && waits && is_seldom_code(*waits) && before->stopped() &&
                (feeds_standing || tool.is(NamedTool::Kind::stop))) {
                in = &tool;
                waited_for = before;
            }
            before = &act;
        }
    }
    if (!waited_for || !starts || told_code(*lone, codes)) return;
    report.at_letter(in->place(*waited_for), 'M')
        .severity(Severity::information)
        .message(said("M{:02} and a dwell come while the bar is brought with the spindle standing, and no "
                      "other such code comes: a clamp has one code that opens it and one that closes it. "
                      "Then the spindle starts. Is the other one lost?",
                      machine::whole_number(lone->number)));
}

void file(const FileContext& context, Report& report) {
    look_at_notes(context, report);
    if (const auto tools = tools_of(context); !tools.empty()) {
        const auto codes = codes_told(context);
        for_each_program(std::span(tools), [&](std::span<const ToolOfSpan> program) {
            if (!program[0].span->program->is_subprogram) look_for_lone_code(program, codes, report);
        });
    }
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        look_at(events, codes, context, report);
        look_for_quill(events, codes, report);
    });
}

} // namespace

extern const Check check{
    .id = "clamp_not_in_pair",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Clamp left open, never opened, or a quill that never comes",
    .documentation =
        "Clamp codes come in pairs: the collet is opened and the spindle starts before anything "
        "closes it; it is "
        "closed twice with the bar pulled between and never opened; or the quill goes back "
        "before the cuts and "
        "never out, or only behind the cuts, while a note names the code that brings it. A bar loop is "
        "followed from its end to its top. What the codes mean is read "
        "from `m_codes` in the shop file (`does = \"unclamp\"`), else from the notes (M10 COLLET "
        "OPEN, M11 CLOSED).",
    .file = file,
    .examples =
        {
            // The second spindle draws it, and the blade comes.
            {System::B, R"(
(M10 MAIN OPEN M11 MAIN CLOSED, M110 SUB OPEN M111 SUB CLOSED)
(M96 TIE SUB TO MAIN, M97 UNTIE)
G21 G90 G95
T0909
G97 S300 M03
M110
M96
G00 B-490.
G94 G01 B-516. F400.
M111
M10
G01 B-439. F1200.
;^^^^^^^^^^^^^^^^ warning: clamp_not_in_pair
G95
G00 X36. Z-98.3
G01 X-.6 F.05
M97
M05
M30
)"},
            {System::A, R"(
(M10 MAIN OPEN M11 MAIN CLOSED, M110 SUB OPEN M111 SUB CLOSED)
(M96 TIE SUB TO MAIN, M97 UNTIE)
G20 G99
T0909
G97 S300 M03
M110
M96
G00 B-19.
G98 G01 B-20. F20.
M111
M10
G01 B-17. F50.
M11
G99
G00 X1.5 Z-4.
G01 X-.02 F.002
M97
M05
M30
)"},
            // The bar is pulled, and the program ends with it loose.
            {System::A, R"(
(M69 OPEN M68 CLOSE)
G21 G99
T0101
G97 S900 M03
G00 X18. Z1.
G01 Z-33. F0.2
G28 U0 W0
M05
T0808
G00 X0 Z-23.
G98 G01 Z-43. F1500
M69
;^^ warning: clamp_not_in_pair
G04 X1.
G01 Z-9.5 F2000
G01 Z20. F3000
G99
G28 U0 W0
M30
)"},
            // In a program that is called, with a dwell between.
            {System::A, R"(
O0019 (BUSH)
(M10 CLOSES COLLET, M11 OPENS COLLET)
G21 G97 G99
M98 P1950
T0202
G97 S2800 M03
G00 X22. Z2.
G01 Z-16. F.2
G00 X150. Z100.
M30
O1950 (BAR FEED)
M05
T1010
G00 X0 Z10.
G98 G01 Z.5 F2000
M11
G04 X1.5
M11
;^^ warning: clamp_not_in_pair
G04 X1.
G99
G00 Z50.
X150. Z100.
M99
)"},
            {System::A, R"(
O0019 (BUSH)
(M10 CLOSES COLLET, M11 OPENS COLLET)
G21 G97 G99
M98 P1950
T0202
G97 S2800 M03
G00 X22. Z2.
G01 Z-16. F.2
G00 X150. Z100.
M30
O1950 (BAR FEED)
M05
T1010
G00 X0 Z10.
G98 G01 Z.5 F2000
M11
G04 X1.5
M10
G04 X1.
G99
G00 Z50.
X150. Z100.
M99
)"},
            // Nothing tells what the code does; it is alone.
            {System::B, R"(
G21 G90 G95
(BAR STOP)
T1212 M05
G00 X0 Z5.
G94 G01 Z0.5 F1000
M69
;^^ information: clamp_not_in_pair
G04 X1.
G00 Z50.
G28 X0 Z0
(ROUGH)
T0101
G95 G96 S130 M03
G00 X36. Z0
G01 X-1.6 F0.15
G28 X0 Z0
M05
M30
)"},
            {System::B, R"(
G21 G90 G95
(BAR STOP)
T1212 M05
G00 X0 Z5.
G94 G01 Z0.5 F1000
M69
G04 X1.
M68
G04 X1.
G00 Z50.
G28 X0 Z0
(ROUGH)
T0101
G95 G96 S130 M03
G00 X36. Z0
G01 X-1.6 F0.15
G28 X0 Z0
M05
M30
)"},
            // What is moved is told once, in front of both codes.
            {System::B, R"(
(CHUCK HOLDS 50, TAILSTOCK M25 OUT / M26 BACK)
G21 G90 G95
T0101
G97 S900 M03
;^^^^^^^^^^^ information: clamp_not_in_pair
G00 X54. Z2.
G01 Z-50. F0.2
G00 X60.
M05
M26
M30
)"},
            {System::A, R"(
(TAILSTOCK M25 QUILL OUT, M26 QUILL BACK)
G21 G99
T0101
G96 S180 M03
;^^^^^^^^^^^ information: clamp_not_in_pair
G00 X54. Z2.
G01 Z-50. F0.2
G00 X60.
M05
M26
M30
)"},
            // By hand, for all that the program knows.
            {System::A, R"(
(M26 QUILL BACK)
G21 G99
T0101
G96 S180 M03
G00 X54. Z2.
G01 Z-50. F0.2
G00 X60.
M05
M26
M30
)"},
            {System::B, R"(
(M10 COLLET OPEN, M11 CLOSED)
G20 G90 G95
T0101
G97 S1500 M03
G00 X.6 Z0
G01 X-.03 F.004
M05
T0808
G94
G01 X0 F80.
M10
;^^ warning: clamp_not_in_pair
G04 X1.
G01 Z.02 F60.
G95
M99
)"},
            {System::A, R"(
(M10 CLAMP, M11 OPEN)
G21 G99
T0909
G97 S2000 M03
G01 X8. F.04
M05
T1010
G98 G01 Z-28. F800.
M10
;^^ warning: clamp_not_in_pair
G04 U1.
G01 W21.5 F2000.
M10
G99
M99
)"},
            {System::C, R"(
(M21 QUILL OUT, M22 QUILL BACK)
G71 G90 G95
M22
;^^ warning: clamp_not_in_pair
G04 X2.
T0101
G96 S200 M03
G00 Z1.
X52.
G01 Z-200. F.3
M05
M22
M30
)"},
            {System::A, R"(
(M68 COLLET CLOSE, M69 OPEN)
G20 G99
M05
T0808
G00 X0 Z.5
G98 G01 Z.03 F40.
M69
G04 U2.
M68
G99
T0101
G96 S500 M03
G01 X-.06 F.006
M05
M30
)"},
            {System::B, R"(
(M68 CHUCK CLOSE, M69 OPEN)
G21 G90 G95
M68
T0101
G96 S200 M03
G01 X-1.6 F.2
M05
M69
M30
)"},
            {System::C, R"(
G71 G90 G95
M69
;^^ warning: clamp_not_in_pair
T0101
G97 S700 M13
G00 X33. Z1.
G01 Z-23. F.3
M05
M30
)",
             shop_with_clamps},
            {System::A, R"(
G21 G99
M69
M68
T0101
G97 S700 M13
G00 X33. Z1.
G01 Z-23. F.3
M05
M30
)",
             shop_with_clamps},
            {System::A, R"(
G21 G98
T0808
M05
G00 X0 Z5.
G01 Z-26. F1000
M68 (CHUCK OPEN)
;^^ warning: clamp_not_in_pair
G01 Z-8. F2000
M68 (CHUCK CLOSED)
G00 Z50.
M30
)"},
            // Closed twice around a dwell, where the first was to open.
            {System::A, R"(
(M10 COLLET OPEN  M11 COLLET CLOSE)
G21 G99
T0101
M05
G98
G00 X0 Z20.
G01 Z1. F2000.
M11
;^^ warning: clamp_not_in_pair
G04 U1.5
M11
G04 U1.
G00 Z100.
G99
T0202
G97 S900 M03
G00 X46. Z0
G01 X-0.8 F0.15
G00 X100. Z100.
M30
)"},
            // Drawn out by the second chuck and turned on there.
            {System::A, R"(
(M210 CHUCK 1 CLOSES, M211 OPENS, M220 CHUCK 2 CLOSES, M221 OPENS)
(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)
G21 G99
M221
G00 B-200.
G98 G01 B-250. F400
M220
M211
G01 B-100. F1500
;^^^^^^^^^^^^^^^ warning: clamp_not_in_pair
G99
T0101
G97 S600 M03
G00 X30. Z-58.
G01 Z-90. F.2
G00 X40.
M05
G00 B0
G97 S600 M103
M105
M221
M30
)"},
            {System::A, R"(
(M210 CHUCK 1 CLOSES, M211 OPENS, M220 CHUCK 2 CLOSES, M221 OPENS)
(M03 M05 MAIN SPINDLE, M103 M105 SECOND SPINDLE)
G21 G99
M221
G00 B-200.
G98 G01 B-250. F400
M220
M211
G01 B-100. F1500
M210
G99
T0101
G97 S600 M03
G00 X30. Z-58.
G01 Z-90. F.2
G00 X40.
M05
G00 B0
G97 S600 M103
M105
M221
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // A note beside a wait tells how things stand.
            {System::B, R"(
(M201 TO M207 WAIT CODES, M31 COLLET CLOSE, M32 COLLET OPEN)
G20 G90 G95
M201
M31
G04 X1.
M202 (COLLET IS EMPTY AND OPEN)
G97 S900 M03
T0202
G00 X2. Z.1
G01 Z-1. F.006
G00 X2.2
M05
M30
)"},
        },
};

} // namespace turnwright::checks::rules::clamp_not_in_pair

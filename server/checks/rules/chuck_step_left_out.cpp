// A step of a take-over or of the bar feed is missing: a chuck that is not opened, not closed or never let
// go.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <string_view>
#include <utility>

namespace turnwright::checks::rules::chuck_step_left_out {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

bool is_before(const ClampAct& one, const ClampAct& other) {
    return one.tool < other.tool || (one.tool == other.tool && one.act < other.act);
}

/// Behind `from` and up to `to` a code stands that nothing tells, or a call: it may open or close a chuck.
bool untold_between(const ClampAct& from, const ClampAct& to, const std::vector<MachineCode>& codes) {
    if (is_before(to, from)) return true; // Over the end of a loop
    for (const ToolOfSpan* tool = from.tool; tool <= to.tool; ++tool)
        for (const Act& act : tool->work->acts) {
            if (tool == from.tool && &act <= from.act) continue;
            if (tool == to.tool && &act > to.act) break;
            if (act.calls_program || act.deleted) return true;
            for (const ActWord& word : tool->work->words_of(act))
                if (is_of_builder(word) && !told_code(word, codes)) return true;
        }
    return false;
}

/// What a program's codes of both chucks are, and which of them it gives anywhere.
struct Chucks {
    const MachineCode *open = nullptr, *close = nullptr, *second_open = nullptr, *second_close = nullptr;
    bool opens = false, second_opens = false, second_closes = false;

    Chucks(const std::vector<ClampEvent>& events, const std::vector<MachineCode>& codes)
        : open(code_that(codes, Does::clamp_open)), close(code_that(codes, Does::clamp_close)),
          second_open(code_that(codes, Does::second_open)),
          second_close(code_that(codes, Does::second_close)) {
        for (const ClampEvent& event : events) {
            if (event.kind != Kind::code) continue;
            opens = opens || event.at.code->does == Does::clamp_open;
            second_opens = second_opens || event.at.code->does == Does::second_open;
            second_closes = second_closes || event.at.code->does == Does::second_close;
        }
    }
};

/// Both chucks hold the part and the slide goes back: the main one was to be opened. Or it was, and is closed
/// again with the slide where it was.
bool look_at_draw(const std::vector<ClampEvent>& events, const Chucks& chucks,
                  const std::vector<MachineCode>& codes, const FileContext& context, Report& report) {
    const ClampEvent *came = nullptr, *gripped = nullptr, *opened = nullptr, *pulled = nullptr;
    bool main_open = false;
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        const Does does = event.kind == Kind::code ? at.code->does : Does::other;
        if (does == Does::clamp_close && opened && !untold_between(opened->at, at, codes)) {
            report_at_code(report, context, at)
                .message(
                    said("{} closes the main chuck again and the slide has not moved since {}: the bar is "
                         "not drawn, and the next cut stands at the old place. Write the move of the "
                         "slide before it.",
                         with_words(*at.code), with_words(*opened->at.code)))
                .related(opened->at.tool->place(*opened->at.act), said("opened here"));
            return true;
        }
        // The code that opens it is nowhere told: the one that closes it shows that it was to be open.
        if (does == Does::clamp_close && pulled && !chucks.opens && !untold_between(pulled->at, at, codes)) {
            report.at(pulled->at.tool->place(*pulled->at.act))
                .message(
                    said("The slide moves here with the part in both chucks, and {} closes the main one "
                         "behind it: nothing has opened it. The slide pulls against it, and jaws or part "
                         "give way. Write the code that opens it before this move.",
                         with_words(*at.code)))
                .related(at.tool->place(*at.act), said("closed again"));
            return true;
        }
        if (does == Does::clamp_open) {
            main_open = true;
            opened = gripped;
            if (opened) opened = &event;
        }
        if (does == Does::clamp_close) main_open = false;
        if (does == Does::clamp_open || does == Does::clamp_close || does == Does::second_open ||
            event.kind == Kind::cuts)
            gripped = pulled = nullptr;
        if (does == Does::clamp_close || does == Does::second_open || event.kind == Kind::cuts ||
            event.kind == Kind::moves_slide)
            opened = nullptr;
        if (does == Does::second_close && came && !main_open) gripped = &event;
        if (event.kind != Kind::moves_slide) continue;
        if (gripped && chucks.open && !untold_between(gripped->at, at, codes)) {
            report.at(at.tool->place(*at.act))
                .message(said("The slide moves here with the part in both chucks: {} closed the second one "
                              "and {} has not come. It pulls against the closed main chuck, and jaws or "
                              "part give way. Write M{:02} before it.",
                              with_words(*gripped->at.code), with_words(*chucks.open), chucks.open->number))
                .related(gripped->at.tool->place(*gripped->at.act), said("closed here"));
            return true;
        }
        pulled = gripped ? &event : nullptr;
        gripped = nullptr;
        came = comes_to_part(at) ? &event : nullptr;
    }
    return false;
}

/// A bar stop or a puller is in, and the chuck closes that nothing has opened.
bool look_at_stop(const std::vector<ClampEvent>& events, const Chucks& chucks,
                  const std::vector<MachineCode>& codes, const FileContext& context, Report& report) {
    if (!chucks.open || chucks.opens) return false;
    const ClampEvent* fed = nullptr; ///< With the spindle standing, since the last cut of this tool
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        if (event.kind == Kind::feeds_stopped && at.act->spindle != machine::Spindle::live) fed = &event;
        if (event.kind == Kind::cuts || event.kind == Kind::moves_slide) fed = nullptr;
        if (event.kind != Kind::code || at.code->does != Does::clamp_close) continue;
        const bool feeds = fed && fed->at.tool == at.tool;
        if (!feeds && !at.tool->is(NamedTool::Kind::stop)) continue;
        ClampAct top = feeds ? fed->at : at;
        if (!feeds) top.act = at.tool->work->acts.data();
        if (untold_between(top, at, codes)) return false;
        report_at_code(report, context, at)
            .message(said("{} closes here, and {} comes nowhere: the chuck is never opened, the bar does not "
                          "come, and the next part is cut from nothing. Write M{:02} when the tool stands at "
                          "the bar.",
                          with_words(*at.code), with_words(*chucks.open), chucks.open->number));
        return true;
    }
    return false;
}

/// The slide comes to the part and goes home, and its chuck is not closed between.
bool look_at_take(const std::vector<ClampEvent>& events, const Chucks& chucks,
                  const std::vector<MachineCode>& codes, Report& report) {
    if (!chucks.second_close) return false;
    const ClampEvent* came = nullptr;
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        const Does does = event.kind == Kind::code ? at.code->does : Does::other;
        if (does == Does::second_close || does == Does::clamp_open) came = nullptr;
        // Told where it is cut with open jaws round it.
        const bool cut = event.kind == Kind::cuts && (at.act->spindle == machine::Spindle::main ||
                                                      at.of(HeldBy::joined_spindles).surely());
        if (cut && at.of(HeldBy::second_chuck_open).surely()) came = nullptr;
        if (event.kind != Kind::moves_slide) continue;
        if (comes_to_part(at)) {
            if (!came) came = &event;
            continue;
        }
        if (!came) continue;
        const ClampEvent& from = *std::exchange(came, nullptr);
        // One that the program gives elsewhere may be another's work here.
        if (chucks.second_closes && !(chucks.second_opens && at.of(HeldBy::second_chuck_open).surely()))
            continue;
        if (chucks.second_closes && untold_between(from.at, at, codes)) continue;
        report.at(from.at.tool->place(*from.at.act))
            .message(
                said("The slide of the second spindle comes to the part here and goes home again, and {} "
                     "does not come between: nothing takes the part, and it falls when it is cut off or "
                     "let go. Write M{:02} behind this move.",
                     with_words(*chucks.second_close), chucks.second_close->number))
            .related(at.tool->place(*at.act), said("goes home"));
        return true;
    }
    return false;
}

/// What throws the part out, or shows that it leaves: common practice, no source.
bool throws_out(const MachineCode& code) {
    if (code.does == Does::pushes_out || code.does == Does::catcher_out) return true;
    if (code.does != Does::other) return false;
    for (std::string_view word : {"EJECT", "BLAST", "BLOW", "CHUTE", "TRAY", "BASKET", "THROW", "AUSWERF",
                                  "AUSBLAS", "ESPUL", "EXPUL", "SOFFI"})
        if (code.words.find(word) != std::string::npos) return true;
    return false;
}

/// The part is still held by the second chuck where it is thrown out, or where the program ends.
bool look_at_end(const std::vector<ClampEvent>& events, const Chucks& chucks,
                 const std::vector<MachineCode>& codes, const FileContext& context, Report& report) {
    if (!chucks.second_open) return false;
    const ClampEvent *came = nullptr, *holds = nullptr, *thrown = nullptr, *end = nullptr, *from = nullptr;
    bool worked = false; ///< Its second side
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        const Does does = event.kind == Kind::code ? at.code->does : Does::other;
        if (event.kind == Kind::moves_slide) {
            if (comes_to_part(at))
                came = &event;
            else if (holds)
                from = &event;
        }
        if (does == Does::second_open) came = holds = from = thrown = nullptr;
        if (does == Does::second_close && came && !holds) holds = &event, worked = false;
        if (event.kind == Kind::code && holds && from && !thrown && throws_out(*at.code)) thrown = &event;
        if (event.kind == Kind::cuts) {
            thrown = nullptr;
            if (from) from = &event, worked = true;
        }
        if (event.kind == Kind::ends) end = &event;
    }
    if (!holds || !from || !end) return false;
    // Else a hand may open it and take the part.
    if (!thrown && (!worked || chucks.second_opens)) return false;
    if (untold_between(from->at, thrown ? thrown->at : end->at, codes)) return false;
    const ClampAct& at = (thrown ? thrown : end)->at;
    auto entry = thrown ? report_at_code(report, context, at) : report.at(at.tool->place(*at.act));
    entry
        .message(
            said("{} does not come before this block: the second chuck still holds the part since {}, and "
                 "the next one is brought against it. Write M{:02} in front of it.",
                 with_words(*chucks.second_open), with_words(*holds->at.code), chucks.second_open->number))
        .related(holds->at.tool->place(*holds->at.act), said("closed here"));
    return true;
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const Chucks chucks(events, codes);
        if (look_at_draw(events, chucks, codes, context, report) ||
            look_at_take(events, chucks, codes, report))
            return;
        look_at_stop(events, chucks, codes, context, report);
        look_at_end(events, chucks, codes, context, report);
    });
}

} // namespace

extern const Check check{
    .id = "chuck_step_left_out",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Step of a take-over or of the bar feed left out",
    .documentation =
        "One code of a chuck is missing among the steps that hand the part over or bring the bar: the slide "
        "pulls with the part in both chucks; it comes and goes home with its chuck never closed; a bar stop "
        "comes and the chuck is closed that nothing has opened; the part is thrown out, or the program ends, "
        "and the second chuck was never opened. What the codes mean is read from `m_codes` in the shop file, "
        "else from notes (M22 SUB OPEN, M23 SUB CLOSE); where one that nothing tells, a call or a block with "
        "block delete stands between, nothing is said.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE)
G21 G98
T0101
M05
M22
G00 B-500.
G01 B-528. F400
M23
G04 X1.
G01 B-450. F1500
;^^^^^^^^^^^^^^^^ warning: chuck_step_left_out
M21
G04 X1.
G99
M30
)"},
            {System::C, R"(
(M31 / M32 SECOND COLLET CLOSE / OPEN)
G70 G90 G94
T0101
M32
G00 B.2
G01 B-.8 F40.
;^^^^^^^^^^^^^ warning: chuck_step_left_out
G04 X1.5
G91 G28 B0
G90
M30
)"},
            {System::B, R"(
(M21 / M22 MAIN COLLET CLOSE / OPEN)
G21 G90 G95
T0909 (BAR STOP)
M05
G00 X0 Z5.
G94 G01 Z0.5 F500
G04 X2.
M21
;^^ warning: chuck_step_left_out
G04 X1.
G00 Z50.
G95
M30
)"},
            {System::A, R"(
(M22/M23 SUB OPEN/CLOSE  M70 CATCHER OUT  M71 CATCHER IN)
G20 G98
T0101
M05
M22
G01 B-21.4 F15.
M23
G04 U1.
G00 B0
M70
;^^ warning: chuck_step_left_out
G04 U1.
M71
M30
)"},
            // Opened in time each.
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE)
G21 G98
T0101
M05
M22
G00 B-500.
G01 B-528. F400
M23
G04 X1.
M20
G01 B-450. F1500
M21
G04 X1.
G99
M30
)"},
            // Parted off first.
            {System::A, R"(
(M20/M21 MAIN OPEN/CLOSE  M22/M23 SUB OPEN/CLOSE  M34/M35 SYNC ON/OFF)
G21 G99
T0909 (PART OFF 3)
G97 S900 M03
M34
M22
G00 B-500.
G98 G01 B-528. F400
M23
G04 X1.
G99
G00 X42. Z-33.
G01 X-0.6 F0.08
G00 X42.
M35
G00 B0
M05
M22
M30
)"},
            {System::C, R"(
(M31 / M32 SECOND COLLET CLOSE / OPEN)
G70 G90 G94
T0101
M32
G00 B.2
G01 B-.8 F40.
M31
G04 X1.5
G91 G28 B0
G90
M32
M30
)"},
            {System::B, R"(
(M21 / M22 MAIN COLLET CLOSE / OPEN)
G21 G90 G95
T0909 (BAR STOP)
M05
G00 X0 Z5.
G94 G01 Z0.5 F500
M22
G04 X2.
M21
G04 X1.
G00 Z50.
G95
M30
)"},
            {System::A, R"(
(M22/M23 SUB OPEN/CLOSE  M70 CATCHER OUT  M71 CATCHER IN)
G20 G98
T0101
M05
M22
G01 B-21.4 F15.
M23
G04 U1.
G00 B0
M70
M22
G04 U1.
M71
M30
)"},
            // Taken out by hand.
            {System::A, R"(
(M22/M23 SUB OPEN/CLOSE)
G20 G98
T0101
M05
M22
G01 B-21.4 F15.
M23
G04 U1.
G00 B0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::chuck_step_left_out

// Of catcher and joined spindles one code of the pair is missing.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <set>

namespace turnwright::checks::rules::code_of_pair_missing {

namespace {

using Does = MachineCode::Does;
using Kind = ClampEvent::Kind;

struct Pair {
    HeldBy which;
    Does sets, takes_back;
    TableText left_set, never_set; ///< What happens then
};
constexpr Pair pairs[] = {
    {HeldBy::catcher, Does::catcher_out, Does::catcher_back, "the next tool or the jaws meet it",
     "the part falls beside it"},
    {HeldBy::joined_spindles, Does::joined, Does::parted, "the next start turns both",
     "until then each turned by itself"},
};

/// "CATCHER IN" under the part, "CATCHER OUT" of the way: each time in this order. Which of the two is meant
/// by the words a shop alone knows.
bool is_named_other_way(const Pair& pair, const std::vector<ClampEvent>& events,
                        const std::vector<MachineCode>& codes) {
    bool is_in = false, any = false;
    if (const MachineCode* back = code_that(codes, pair.takes_back))
        for (std::string_view word : {"BACK", "AWAY", "RETRACT", "ZURUECK", "INDIETRO", "ATRAS"})
            if (back->words.find(word) != std::string::npos) return false;
    for (const ClampEvent& event : events) {
        if (event.kind != Kind::code) continue;
        const Does does = event.at.code->does;
        if (does != pair.sets && does != pair.takes_back) continue;
        if (is_in != (does == pair.sets)) return false;
        is_in = !is_in;
        any = true;
    }
    return any && !is_in;
}

bool goes_home(const ClampAct& at) {
    const ActWord* slide = slide_word(*at.tool->work, *at.act);
    return slide && (slide->number == 0 || is_return(at.act->motion));
}

void look_at(const Pair& pair, const std::vector<ClampEvent>& events, const std::vector<MachineCode>& codes,
             const FileContext& context, Report& report) {
    const MachineCode *sets = code_that(codes, pair.sets), *takes_back = code_that(codes, pair.takes_back);
    if (!sets || !takes_back) return;
    if (pair.which == HeldBy::catcher && is_named_other_way(pair, events, codes)) return;
    bool comes = false, told_at_chuck = false;
    for (const ClampEvent& event : events) {
        if (event.kind != Kind::code) continue;
        comes = comes || event.at.code->does == pair.sets;
        // A chuck that closes on a turning part has a warning of its own.
        told_at_chuck = told_at_chuck || (pair.which == HeldBy::joined_spindles && event.at.turning &&
                                          event.at.code->does == Does::second_close);
    }
    const ClampEvent* slide_home = nullptr; ///< Since both were joined: there they are to be parted
    for (const ClampEvent& event : events) {
        const ClampAct& at = event.at;
        if (event.kind == Kind::moves_slide && pair.which == HeldBy::joined_spindles)
            slide_home = goes_home(at) && at.of(pair.which).surely() ? &event : nullptr;
        if (event.kind == Kind::code && at.code->does == pair.takes_back && !comes && !told_at_chuck &&
            !at.act->deleted) {
            report_at_code(report, context, at)
                .message(said("{} comes and {} never does: {}. Write M{:02} before it.", with_words(*at.code),
                              with_words(*sets), pair.never_set, sets->number));
            return;
        }
        const Held& held = at.of(pair.which);
        if (event.kind != Kind::ends || !held.surely()) continue;
        ClampAct set = at;
        set.tool = held.tool;
        set.act = held.act;
        set.code = held.code;
        auto entry = slide_home ? report.at(slide_home->at.tool->place(*slide_home->at.act))
                                : report_at_code(report, context, set);
        if (slide_home) entry.related(set.tool->place(*set.act), said("joined here"));
        entry.message(
            said("{} is in force to the end of the program and {} does not come behind it: {}. Write M{:02}.",
                 with_words(*held.code), with_words(*takes_back), pair.left_set, takes_back->number));
        return;
    }
}

/// A pair that is none of those followed, as the notes have it: "M38 Z MIRRORED FOR THE SECOND SIDE, M39
/// MIRROR OFF". `on` stands before `off` in one program's notes.
struct NotedPair {
    const MachineCode *on = nullptr, *off = nullptr;
};
std::vector<NotedPair> noted_pairs(std::span<const ToolOfSpan> program) {
    std::vector<NotedPair> pairs;
    const auto has = [](const MachineCode& code, std::string_view word) {
        return code.words.find(word) != std::string::npos;
    };
    for (const ToolOfSpan& tool : program) {
        const std::vector<MachineCode>& codes = tool.work->codes;
        for (std::size_t i = 1; i < codes.size(); ++i) {
            const MachineCode &on = codes[i - 1], &off = codes[i];
            const bool mirrors = has(on, "MIRROR") || has(on, "SPIEGEL");
            const bool ends = has(off, "OFF") || has(off, "AUS") || has(off, "END");
            if (mirrors && ends && !has(on, "OFF") && on.number != off.number) pairs.push_back({&on, &off});
        }
    }
    return pairs;
}

/// A mirror for the second side that is switched off behind it and never on.
void look_at_noted(std::span<const ToolOfSpan> program, Report& report) {
    for (const NotedPair& pair : noted_pairs(program)) {
        bool cuts = false, off_behind_cut = false, comes = false;
        std::size_t datums = 0;
        std::optional<BlockPlace> second; // Its datum: the last one that is stated before the code
        for (const ToolOfSpan& tool : program)
            for (const Act& act : tool.work->acts) {
                if (act.calls_program) return;
                cuts = cuts || act.cuts();
                comes = comes || tool.work->has_code(act, 'M', pair.on->number);
                if (!off_behind_cut && act.states(Group::datum) && ++datums > 1) second = tool.place(act);
                off_behind_cut = off_behind_cut || (cuts && tool.work->has_code(act, 'M', pair.off->number));
            }
        if (comes || !off_behind_cut || !second) continue;
        report.at(*second).message(said("{} comes behind the second side and {} never does: from this datum "
                                        "on every Z goes to the other side "
                                        "of the face, into the part or away from it. Write M{:02} here.",
                                        with_words(*pair.off), with_words(*pair.on), pair.on->number));
        return;
    }
}

bool mirrors(const MachineCode& code) {
    return code.words.find("MIRROR") != std::string::npos || code.words.find("SPIEGEL") != std::string::npos;
}
bool ends(const MachineCode& code) {
    for (std::string_view word : {"OFF", "AUS", "END", "CANCEL"})
        if (code.words.find(word) != std::string::npos) return true;
    return false;
}

/// A mirror that is still on where the first datum is stated again.
void look_at_mirror_left(std::span<const ToolOfSpan> program, const FileContext& context, Report& report) {
    std::vector<const MachineCode*> noted;
    const MachineCode *on = nullptr, *off = nullptr;
    for (const ToolOfSpan& tool : program)
        for (const MachineCode& code : tool.work->codes) {
            if (code.number < 10) continue;
            // "M64 MIRROR Z / M65 OFF"
            const bool behind_on = !noted.empty() && noted.back() == on && on && ends(code);
            if (mirrors(code) || behind_on) (ends(code) ? off : on) = &code;
            noted.push_back(&code);
        }
    if (!on) return;
    const auto is_noted = [&](const ActWord& word) {
        return std::any_of(noted.begin(), noted.end(),
                           [&](const MachineCode* code) { return code->number == word.number; });
    };
    const auto datum_at = [&](const ToolOfSpan& tool, const Act& act) {
        return context.reader().after(tool.place(act)).of(Group::datum).possible;
    };
    std::uint32_t first_datum = 0;
    bool is_on = false, cuts = false, unknown = false;
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.deleted) return;
            for (const ActWord& word : tool.work->words_of(act)) {
                if (is_of_builder(word) && !is_noted(word)) unknown = true;
                if (word.letter != 'M' || (word.number != on->number && (!off || word.number != off->number)))
                    continue;
                is_on = word.number == on->number;
                cuts = unknown = false;
            }
            if (act.cuts()) {
                if (first_datum == 0) first_datum = datum_at(tool, act);
                cuts = cuts || is_on;
                unknown = false;
            }
            const bool first_again = act.states(Group::datum) && first_datum != 0 && is_on && cuts &&
                                     datum_at(tool, act) == first_datum;
            if (!first_again || unknown) continue;
            report.at_letter(tool.place(act), 'G')
                .message(said("{} is still in force where the datum of the first side is stated again: Z of "
                              "the next part goes and counts the other way. Write the code that ends it "
                              "before.",
                              with_words(*on)));
            return;
        }
}

/// A tool that worked driven, and whether it was stopped before the next one was called.
struct Driven {
    const ToolOfSpan* tool = nullptr;
    const ToolOfSpan* next = nullptr; ///< nullptr: none is called behind it
    bool stopped = false;
};

bool gives(const ToolOfSpan& tool, Does does, const std::vector<MachineCode>& codes) {
    for (const Act& act : tool.work->acts)
        for (const ActWord& word : tool.work->words_of(act))
            if (const MachineCode* code = told_code(word, codes); code && code->does == does) return true;
    return false;
}

std::vector<Driven> driven_tools(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes) {
    std::vector<Driven> found;
    bool on = false, cut = false;
    const ToolOfSpan* of = nullptr;
    const auto end = [&](const ToolOfSpan* next) {
        if (of && cut) found.push_back({of, next, !on});
        of = nullptr;
        cut = false;
    };
    for (const ToolOfSpan& tool : program)
        for (const Act& act : tool.work->acts) {
            if (act.calls_program || act.deleted) return {}; // What is done there may stop it
            if (act.calls_tool) end(&tool);
            for (const ActWord& word : tool.work->words_of(act)) {
                const MachineCode* code = told_code(word, codes);
                if (!code || (code->does != Does::live_on && code->does != Does::live_off)) continue;
                on = code->does == Does::live_on;
                if (on) of = &tool;
            }
            cut = cut || (of && (act.cuts() || act.taps()));
        }
    end(nullptr);
    return found;
}

/// Where it was to be stopped: at the way home behind the last cut.
const Act* way_home(const ToolOfSpan& tool) {
    const Act* home = nullptr;
    for (const Act& act : tool.work->acts) {
        if (act.cuts() || act.taps()) home = nullptr;
        if (!home && is_return(act.motion)) home = &act;
    }
    return home ? home : &tool.work->acts.back();
}

void look_at_driven(std::span<const ToolOfSpan> program, const std::vector<MachineCode>& codes,
                    Report& report) {
    const MachineCode* off = code_that(codes, Does::live_off);
    if (!off) return;
    const std::vector<Driven> driven = driven_tools(program, codes);
    const Driven* left = nullptr;
    std::size_t stopped = 0;
    for (const Driven& one : driven) {
        if (one.stopped) ++stopped;
        if (one.stopped) continue;
        if (left) return; // The lathe stops it by itself
        left = &one;
    }
    if (!left || stopped == 0) return;
    if (!left->next) {
        report.at(left->tool->place(*way_home(*left->tool)))
            .message(said("The live tool is not stopped behind this work: {} does not come to the end of the "
                          "program, and it comes behind the other driven tools. It turns on beside whoever "
                          "reaches in, or the control alarms. Write M{:02} in the retract.",
                          with_words(*off), off->number));
        return;
    }
    const bool goes_on = gives(*left->next, Does::live_on, codes);
    if (goes_on && stopped < 2) return;
    report.at(left->tool->place(*way_home(*left->tool)))
        .message(said(
            "The live tool still turns when the next tool is called: {} does not come behind this work, and "
            "it comes behind the other driven tools. The turret turns with it, or the control alarms. "
            "Write M{:02} in the retract.",
            with_words(*off), off->number));
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const auto tools = tools_of(context);
    const std::vector<MachineCode> told = codes_told(context);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at_noted(program, report);
        look_at_mirror_left(program, context, report);
        look_at_driven(program, told, report);
    });
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        for (const Pair& pair : pairs) look_at(pair, events, codes, context, report);
    });
}

} // namespace

extern const Check check{
    .id = "code_of_pair_missing",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "One code of a pair never comes",
    .documentation =
        "Codes that come in pairs, and one of them is missing: the catcher goes out and never back, or back "
        "and never came out; the spindles are joined to turn together and never parted, or parted and were "
        "never joined; a mirror of Z for the second side goes off and never came on; a live tool is still on "
        "when the next tool is called, where the others are stopped. What the codes mean is "
        "read from `m_codes` in the shop file (`does = \"catcher "
        "out\"`, `\"catcher in\"`, `\"spindles together\"`, `\"spindles apart\"`), else from notes (M44 "
        "CATCHER OUT, M45 CATCHER IN); without either nothing is said.",
    .file = file,
    .examples =
        {
            // In under the part, and out of the way.
            {System::B, R"(
(M46 CATCHER IN, M47 CATCHER OUT)
G21 G90 G95
T1212
G97 S900 M03
G00 X54. Z-62.
G01 X12. F.09
M46
X-.6 F.04
G00 X56.
M47
G53 X0
G53 Z0 M05
M30
)"},
            {System::A, R"(
(M64 CATCHER OUT  M65 CATCHER IN)
G21 G99
T0909
G97 S2000 M03
G00 X16. Z-27.
M64
;^^ warning: code_of_pair_missing
G01 X-0.4 F0.04
G00 X16.
M05
M30
)"},
            {System::C, R"(
(M44/M45 CATCHER OUT/IN)
G70 G90 G95
T0909
G97 S2000 M03
G00 X.6 Z-1.
G01 X-.02 F.002
G00 X.6
M45
;^^ warning: code_of_pair_missing
M05
M30
)"},
            {System::B, R"(
(M34 SYNC ON  M35 SYNC OFF)
G21 G90 G95
G97 S900 M03
M34
;^^ warning: code_of_pair_missing
G00 B-100.
M05
M30
)"},
            {System::A, R"(
(M38 Z MIRRORED FOR THE SECOND SIDE, M39 MIRROR OFF)
G20 G99
M39
G54
T0101
G97 S1200 M03
G00 X1.35 Z0
G01 X-.06 F.006
G28 U0 W0
G55
;^^ warning: code_of_pair_missing
T0606
G00 X1.35 Z.1
Z0
G01 X.25 F.005
G00 Z.1
G28 U0 W0
M39
M30
)"},
            {System::B, R"(
(M38 Z MIRRORED FOR THE SECOND SIDE, M39 MIRROR OFF)
G21 G90 G95
M39
G54
T0101
G97 S1200 M03
G00 X34. Z0
G01 X-1.6 F.2
G28 X100.
G55
M38
T0606
G00 X34. Z2.
Z0
G01 X6. F.2
G28 X100.
M39
M30
)"},
            {System::A, R"(
(M64 CATCHER OUT  M65 CATCHER IN)
G21 G99
T0909
G97 S2000 M03
G00 X16. Z-27.
M64
G01 X-0.4 F0.04
G00 X16.
M65
M05
M30
)"},
            {System::B, R"(
(M64 CATCHER OUT, BACK BY ITSELF)
G21 G90 G95
G97 S2000 M03
M64
G01 X-0.4 F0.04
M05
M30
)"},
            {System::C, R"(
(M34/M35 SYNC ON/OFF)
G71 G90 G95
G97 S900 M03
M34
G00 B-100.
M35
M05
M30
)"},
            {System::A, R"(
(M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0505
S2000 M13
G00 X40. Z3. C0
G83 Z-10. F160.
G80
M15
G28 U0 W0
T0606
S1800 M13
G00 X40. Z3. C0
G83 Z-20. F160.
G80
G28 U0 W0
;^^^^^^^^ warning: code_of_pair_missing
T0707
G97 S900 M03
G00 X0 Z3.
G01 Z-9. F90.
G28 U0 W0
M30
)"},
            {System::C, R"(
(M303 MILL ON, M305 MILL OFF)
G70 G90 G94 G97
T0505
S2000 M303
G00 X1.5 Z.1 C0
G83 Z-.4 R.1 F6.
G80
M305
T0606
S1800 M303
G00 X1.5 Z.1 C0
G83 Z-.8 R.1 F6.
G80
G00 X5.
;^^^^^^ warning: code_of_pair_missing
T0808
S1700 M303
G00 X1.5 Z.1 C0
G83 Z-.2 R.1 F6.
G80
M305
M30
)"},
            {System::B, R"(
(M303 MILL ON, M305 MILL OFF)
G21 G90 G94 G97
T0505
S2000 M303
G00 X40. Z3. C0
G83 Z-10. R2. F160.
G80
M305
T0606
S1800 M303
G00 X40. Z3. C0
G83 Z-20. R2. F160.
G80
M305
T0707
G97 S900 M03
G00 X0 Z3.
G01 Z-9. F90.
M30
)"},
            {System::B, R"(
G21 G90 G95
G54
T0101
G97 S1200 M03
G00 X34. Z0
G01 X-1.6 F.2
G28 X100.
M81 (MIRROR Z ON)
G57
T0606
G00 X34. Z2.
Z0
G01 X6. F.2
G28 X100.
G54
;^^ warning: code_of_pair_missing
M30
)"},
            {System::C, R"(
(M303 MILL ON, M305 MILL OFF)
G71 G90 G94 G97
T0505
S2000 M303
G00 X40. Z3. C0
G83 Z-10. R2. F160.
G80
M305
T0606
S1800 M303
G00 X40. Z3. C0
G83 Z-20. R2. F160.
G80
M305
T0808
S1700 M303
G00 X40. Z3. C0
G83 Z-5. R2. F160.
G80
G53 X0
;^^^^^^ warning: code_of_pair_missing
M30
)"},
            // Stopped by the lathe itself.
            {System::A, R"(
(M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0505
S2000 M13
G00 X40. Z3. C0
G83 Z-10. F160.
G80
T0606
S1800 M13
G00 X40. Z3. C0
G83 Z-20. F160.
G80
T0707
S1800 M13
G00 X40. Z3. C0
G83 Z-25. F160.
G80
M15
M30
)"},
            // Back in the head, out at the part-off, and not back.
            {System::B, R"(
(M72 / M73 = PART CATCHER OUT / BACK)
G21 G90 G95
M73
T0909
G97 S2000 M03
G00 X16. Z-27.
M72
;^^ warning: code_of_pair_missing
G01 X-.4 F.04
G00 X16.
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::code_of_pair_missing

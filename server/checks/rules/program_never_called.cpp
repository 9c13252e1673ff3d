// A subprogram of the file that nothing calls, where another one is called too often.
#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "language/said.h"
#include "machine/note_words.h"
#include "text/letters.h"

#include <algorithm>
#include <map>
#include <set>

namespace turnwright::checks::rules::program_never_called {

namespace {

struct Call {
    BlockPlace place;
    std::int32_t number = -1;
};

/// All calls of the file; nullopt: one of them is computed, and may call any.
std::optional<std::vector<Call>> calls_of(const FileContext& context) {
    std::vector<Call> calls;
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::FlowMark& mark : context.shape(run).flow) {
            if (!machine::calls_program(mark.kind)) continue;
            if (mark.number < 0) return std::nullopt;
            calls.push_back({{run, mark.block}, mark.number});
        }
    return calls;
}

/// The programs that move home, or give codes, and cut nothing.
std::set<std::int32_t> cutting_nothing(const std::vector<ToolOfSpan>& tools) {
    std::set<std::int32_t> all, cutting;
    for (const ToolOfSpan& tool : tools) {
        const std::int32_t number = tool.span->program->number;
        all.insert(number);
        for (const Act& act : tool.work->acts)
            if (act.cuts() || act.threads() || act.taps() ||
                (!is_return(act.motion) && (act.by_u || act.by_w || act.incremental))) {
                cutting.insert(number);
                break;
            }
    }
    for (const std::int32_t number : cutting) all.erase(number);
    return all;
}

/// The only call that repeats a program in which nothing is to be repeated.
std::optional<Call> odd_repeat(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                               const std::vector<Call>& calls) {
    const std::set<std::int32_t> nothing_cut = cutting_nothing(tools);
    std::optional<Call> odd;
    for (const Call& call : calls) {
        if (!nothing_cut.contains(call.number)) continue;
        double repeats = 1;
        context.reader().visit_span(call.place, call.place, [&](const BlockView& view) {
            if (view.reading.repeats.known()) repeats = view.reading.repeats.number;
        });
        if (repeats < 2) continue;
        if (odd) return std::nullopt;
        odd = call;
    }
    return odd;
}

bool gives_m99(const machine::Reader& reader, BlockPlace place) {
    const auto items = reader.items(place);
    return std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
        return item.is_word() && item.letter == 'M' && item.value == 99;
    });
}
std::string first_note(const machine::Reader& reader, BlockPlace place) {
    for (const syntax::Item& item : reader.items(place))
        if (item.kind == syntax::ItemKind::note) return std::string(reader.line(place).text_of(item));
    return {};
}
/// A call of another program with the title of the one that is never called as its note.
std::optional<Call> call_by_title(const FileContext& context, const std::vector<Call>& calls,
                                  const machine::ProgramPart& never) {
    const std::string title = first_note(context.reader(), never.first);
    if (title.empty()) return std::nullopt;
    for (const Call& call : calls)
        if (first_note(context.reader(), call.place) == title) return call;
    return std::nullopt;
}

std::set<std::string> words_in(std::string_view note) {
    std::set<std::string> found;
    machine::each_word(note, [&](std::string_view word) {
        if (word.size() > 2 && std::all_of(word.begin(), word.end(), text::is_letter)) found.emplace(word);
    });
    return found;
}

/// A call one digit off, of a program that another call calls, too: its note has a word of the title of the
/// one that is never called, and none of the called one's.
std::optional<Call> call_a_digit_off(const FileContext& context, const std::vector<Call>& calls,
                                     const machine::ProgramPart& never) {
    const auto shared = [](const std::set<std::string>& a, const std::set<std::string>& b) {
        return std::any_of(a.begin(), a.end(), [&](const std::string& word) { return b.count(word) > 0; });
    };
    const auto title_of = [&](std::int32_t number) {
        for (const machine::ProgramPart& program : context.outline().programs)
            if (program.number == number) return words_in(first_note(context.reader(), program.first));
        return std::set<std::string>();
    };
    std::map<std::int32_t, std::size_t> times;
    for (const Call& call : calls) ++times[call.number];
    for (const Call& call : calls) {
        const bool again = times[call.number] > 1;
        const Slip slip = slip_between(std::to_string(call.number), std::to_string(never.number));
        if (!again || slip == Slip::none) continue;
        const auto note = words_in(first_note(context.reader(), call.place));
        if (shared(note, title_of(never.number)) && !shared(note, title_of(call.number))) return call;
    }
    return std::nullopt;
}

void file(const FileContext& context, Report& report) {
    const auto& programs = context.outline().programs;
    if (programs.size() < 3 || programs.front().is_subprogram) return;
    const auto calls = calls_of(context);
    if (!calls) return;
    std::set<std::int32_t> called;
    for (const Call& call : *calls) called.insert(call.number);
    std::set<std::int32_t> written;
    for (const machine::ProgramPart& program : programs) written.insert(program.number);
    if (!std::includes(written.begin(), written.end(), called.begin(), called.end()))
        return; // One that is not there: that is told, and may be a wrong number for this one
    const machine::ProgramPart* never = nullptr;
    std::size_t found = 0, used = 0;
    for (std::size_t i = 1; i < programs.size(); ++i) {
        if (called.contains(programs[i].number)) {
            ++used;
            continue;
        }
        const bool comes_back = programs[i].end && gives_m99(context.reader(), *programs[i].end);
        if (!comes_back || programs[i].number <= 0) return; // Another main program
        never = &programs[i];
        ++found;
    }
    if (found != 1 || used == 0) return; // A file of many is a library
    const auto tools = tools_of(context);
    if (const auto odd = never->is_subprogram ? odd_repeat(context, tools, *calls) : std::nullopt) {
        report.at_letter(odd->place, 'P')
            .severity(Severity::warning)
            .message(said("O{0:04} is called several times in a row, and it cuts nothing and moves "
                          "nothing on; O{1:04} in this file is called by nothing. P{1:04} is meant, "
                          "perhaps.",
                          odd->number, never->number))
            .related(never->first, fmt::format("O{:04}", never->number));
        return;
    }
    if (const auto named = call_by_title(context, *calls, *never)) {
        report.at_letter(named->place, 'P')
            .severity(Severity::warning)
            .message(said("The note of this call is the title of O{0:04}, and O{1:04} is called: that runs "
                          "instead, and nothing calls O{0:04}. Write P{0:04}.",
                          never->number, named->number))
            .related(never->first, fmt::format("O{:04}", never->number));
        return;
    }
    if (const auto off = call_a_digit_off(context, *calls, *never)) {
        report.at_letter(off->place, 'P')
            .severity(Severity::warning)
            .message(said(
                "O{0:04} is called here a second time, and nothing calls O{1:04}, whose title the note of "
                "this call goes with: that runs instead. Write P{1:04}.",
                off->number, never->number))
            .related(never->first, fmt::format("O{:04}", never->number));
        return;
    }
    if (!never->is_subprogram) return; // It calls tools, and may run bar after bar by itself
    report.at(never->first)
        .message(said("Nothing in this file calls O{:04}: what it cuts is not made. Is the number of a "
                      "call wrong, or is a call lost?",
                      never->number));
}

} // namespace

extern const Check check{
    .id = "program_never_called",
    .family = Family::flow,
    .severity = Severity::information,
    .title = "Subprogram that nothing calls",
    .documentation =
        "Of the subprograms that stand behind a main program in its file one is called by nothing: a call is "
        "lost, or its number is wrong. Where another call repeats a program that cuts nothing, or carries "
        "the title of this one as its note (or a word of it, one digit of the number off), that call is "
        "told. A file with several programs that nothing "
        "calls is a library, and one with a computed call "
        "may call any; nothing is said of them.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O1600
G21 G99
M98 P1601
T0505
G97 S800 M03
G00 X24. Z-2.
M98 P1601 L4
;   ^^^^^ warning: program_never_called
M98 P1601
M30
O1601
G28 U0 W0
M99
O1602
G00 W-8.
G01 X18. F.06
G00 X24.
M99
)"},
            {System::A, R"(
O1812
G20 G99
M98 P1822 (ONE STUD)
M98 P1822 (PULL)
;   ^^^^^ warning: program_never_called
M30
O1822 (STUD 1/2-13)
T0505
G00 X.8 Z-.5
G01 X.4 F.003
G00 X3.
Z3.
M99
O1832 (BAR PULL)
T0606
G00 X0 Z.1
M99
)"},
            {System::C, R"(
O1812
G71 G90 G95
M98 P1822 (FRONT)
M98 P1822 (FRONT AGAIN)
M30
O1822 (FRONT)
T0505
G00 X24. Z-2.
G01 X18. F.06
G00 X60.
Z60.
M99
O1832 (PULL)
T0606
G00 X0 Z1.
M99
)"},
            {System::B, R"(
O1600
G21 G90 G95
M98 P1602 (ONE PART)
;   ^^^^^ warning: program_never_called
M98 P1602 (PULL BAR)
M30
O1601 (ONE PART)
T0505
G00 X24. Z-2.
G01 X18. F.06
G00 X60.
Z20.
M99
O1602 (PULL BAR)
T0606
G00 X0 Z1.
M99
)"},
            {System::A, R"(
O1600
G21 G99
M98 P1601 (ONE PART)
M98 P1602 (PULL BAR)
M30
O1601 (ONE PART)
T0505
G00 X24. Z-2.
G01 X18. F.06
G00 X60.
Z20.
M99
O1602 (PULL BAR)
T0606
G00 X0 Z1.
M99
)"},
            {System::B, R"(
O1600
G21 G90 G95
T0505
G97 S800 M03
G00 X24. Z-2.
M98 P1601
M30
O1601
G00 X18.
M99
O1602
;^^^^ information: program_never_called
G01 X18. F.06
G00 X24.
M99
)"},
            {System::A, R"(
O1600
G21 G99
M98 P1601
M98 P1602 L4
M30
O1601
G28 U0 W0
M99
O1602
G00 W-8.
M99
)"},
            {System::C, R"(
O1600
G71 G90 G95
M98 P1601
M30
O1601
G28 U0 W0
M99
O1602
M99
O1603
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::program_never_called

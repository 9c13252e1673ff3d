// A code of the builder's that stands once, is told nowhere and is a digit away from one that belongs there.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <fmt/format.h>
#include <map>

namespace turnwright::checks::rules::machine_code_slipped {

namespace {

struct Use {
    const ToolOfSpan* tool;
    const Act* act;
};
using Uses = std::map<int, std::vector<Use>>;

Uses uses_of(std::span<const ToolOfSpan> tools) {
    Uses uses;
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            for (const ActWord& word : tool.work->words_of(act))
                if (is_of_builder(word) && word.number >= 10)
                    uses[machine::whole_number(word.number)].push_back({&tool, &act});
    return uses;
}

/// By one digit that is another, lost or doubled, by two that changed places, or by one.
bool is_slip(int written, int meant) {
    if (std::abs(written - meant) == 1) return true;
    const std::string a = fmt::format("{}", written), b = fmt::format("{}", meant);
    if (a.size() == b.size()) {
        const auto [at_a, at_b] = std::mismatch(a.begin(), a.end(), b.begin());
        if (std::equal(at_a + 1, a.end(), at_b + 1)) return true;
        return at_a + 1 < a.end() && at_a[0] == at_b[1] && at_a[1] == at_b[0] &&
               std::equal(at_a + 2, a.end(), at_b + 2);
    }
    const std::string &longer = a.size() > b.size() ? a : b, &shorter = a.size() > b.size() ? b : a;
    if (longer.size() != shorter.size() + 1) return false;
    const auto [at, other] = std::mismatch(shorter.begin(), shorter.end(), longer.begin());
    return std::equal(at, shorter.end(), other + 1);
}

/// Starts with a speed, or cycles: what stands beside them does one thing in all of them.
bool is_alike(const Use& a, const Use& b) {
    if (a.act->states(Group::spindle_mode) || b.act->states(Group::spindle_mode))
        return a.act->states(Group::spindle_mode) && b.act->states(Group::spindle_mode) &&
               a.act->gives_speed && b.act->gives_speed && a.act->spindle_mode == b.act->spindle_mode;
    return a.act->motion == MotionKind::drill_cycle && b.act->motion == MotionKind::drill_cycle &&
           a.act->meaning == b.act->meaning && a.act->states(Group::drill_cycle) &&
           b.act->states(Group::drill_cycle);
}

void tell(const Use& use, int written, const std::string& reason, int meant, Report& report) {
    report.at_letter(use.tool->place(*use.act), 'M')
        .message(
            said("M{:02} stands here alone in the program and nothing tells what it does; {}. The control "
                 "alarms, or does what another machine function is: what this block needs does not come. "
                 "Write M{:02}, if that is meant.",
                 written, reason, meant));
}

/// "M800 TO M806 = BOTH WAIT": all of the row are told.
bool is_in_told_row(int number, const std::vector<MachineCode>& codes) {
    for (std::size_t i = 0; i + 1 < codes.size(); ++i)
        if (codes[i].words == "TO" && codes[i].number < number && number < codes[i + 1].number) return true;
    return false;
}

/// All are told but this one, and one that is told never comes.
bool look_at_told(int written, const Use& use, const Uses& uses, const std::vector<MachineCode>& codes,
                  Report& report) {
    std::size_t told = 0;
    if (is_in_told_row(written, codes)) return false;
    for (const auto& [number, places] : uses) {
        const bool is_told = std::any_of(codes.begin(), codes.end(),
                                         [n = number](const MachineCode& code) { return code.number == n; });
        if (!is_told && number != written) return false;
        told += is_told;
    }
    const MachineCode* meant = nullptr;
    for (const MachineCode& code : codes) {
        if (uses.count(code.number) > 0 || !is_slip(written, code.number)) continue;
        if (meant && meant->number != code.number) return false;
        meant = &code;
    }
    if (!meant || told < 2) return false;
    tell(use, written, said("{} is told and never comes", with_words(*meant)), meant->number, report);
    return true;
}

/// In all other blocks like this one stands one code.
void look_at_alike(int written, const Use& use, const Uses& uses, Report& report) {
    int meant = 0;
    std::size_t times = 0;
    for (const auto& [number, places] : uses) {
        const auto alike = std::count_if(places.begin(), places.end(), [&](const Use& other) {
            return other.act != use.act && is_alike(use, other);
        });
        if (alike == 0) continue;
        if (times > 0) return;
        meant = number;
        times = static_cast<std::size_t>(alike);
    }
    if (times < 2 || !is_slip(written, meant)) return;
    tell(use, written, said("the {} other blocks like this have M{:02}", times, meant), meant, report);
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const Uses uses = uses_of(tools);
    if (uses.size() < 2) return;
    const std::vector<MachineCode> codes = codes_told(context);
    for (const auto& [number, places] : uses) {
        const bool is_told = std::any_of(codes.begin(), codes.end(),
                                         [n = number](const MachineCode& code) { return code.number == n; });
        if (is_told || places.size() != 1 || places.front().act->deleted) continue;
        if (!look_at_told(number, places.front(), uses, codes, report))
            look_at_alike(number, places.front(), uses, report);
    }
}

} // namespace

extern const Check check{
    .id = "machine_code_slipped",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Digit of an M code of the builder's",
    .documentation =
        "An M code of the machine's builder stands once in the program, neither the shop file nor a note "
        "tells "
        "what it does, and it is a digit away from one that belongs there: either all other codes of the "
        "program are told and one of those that are told never comes, or two or more other blocks of the "
        "same "
        "kind (a start with its speed, a drilling cycle) all have the other code. What the machine does with "
        "the code is not known; what the block needs does not come.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0808
M51
G28 H0
S2600 M13
G00 X30. Z3. C0.
G83 Z-12. R-1. F120.
G80
M25
;^^ warning: machine_code_slipped
M50
M30
)"},
            {System::C, R"(
G70 G90 G94
T0707
M52
G28 C0
G97 S2000 M317
G00 X1. Z.2 C0.
G83 Z-.5 R.1 F8.
G80
M319
T0808
G97 S2200 M327
;        ^^^^ warning: machine_code_slipped
G00 X1. Z.2 C0.
G83 Z-.5 R.1 F8.
G80
M319
T0909
G97 S1300 M317
G00 X1. Z.2 C0.
G83 Z-.5 R.1 F8.
G80
M319
M53
M30
)"},
            // Nothing tells it, and nothing that is told is left out.
            {System::A, R"(
(M51 C ON  M50 C OFF  M13 LIVE ON  M15 LIVE OFF)
G21 G98 G97
T0808
M51
G28 H0
S2600 M13
G00 X30. Z3. C0.
G83 Z-12. R-1. F120.
G80
M15
M25
M50
M30
)"},
            // Live tools and the second spindle have codes a digit apart.
            {System::B, R"(
G21 G90 G94
T0707
G97 S2000 M317
G00 X30. Z3. C0.
G83 Z-12. R1. F120.
G80
M319
T0808
G97 S2200 M317
G00 X30. Z3. C0.
G83 Z-12. R1. F120.
G80
M319
T0909
M327
G00 X40. Z3.
G01 Z-10. F100.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::machine_code_slipped

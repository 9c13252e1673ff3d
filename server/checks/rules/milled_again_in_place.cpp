// A flat or slot is milled a second time in the same place: the turn of C between the two is lost.
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::milled_again_in_place {

namespace {

using Does = MachineCode::Does;

/// What a driven tool cuts from the code that closes the brake of C to the one that opens it.
struct Held {
    const Act* begins = nullptr; ///< The code that closes it
    std::vector<const Act*> cuts;
    float c = not_known;
};

bool same_cut(const Act& a, const Act& b) {
    return a.motion == b.motion && a.from_x == b.from_x && a.from_z == b.from_z && a.to_x == b.to_x &&
           a.to_z == b.to_z && a.to_y == b.to_y && known(a.to_x) && known(a.to_z) && known(a.from_x) &&
           known(a.from_z);
}

void look_at(const ToolOfSpan& tool, const std::vector<MachineCode>& codes, Report& report) {
    std::vector<Held> all;
    std::optional<Held> open;
    bool turned = true; ///< Since the last one
    for (const Act& act : tool.work->acts) {
        if (act.calls_program || act.deleted || act.drills() || act.taps()) return;
        if (act.turns_part || tool.work->has_letter(act, "CH")) {
            turned = true;
            if (open) return; // Held, it is not to be turned: another rule's
        }
        for (const ActWord& word : tool.work->words_of(act)) {
            const MachineCode* code = told_code(word, codes);
            if (!code) continue;
            if (code->does == Does::brake_on) {
                open = Held{&act, {}, act.to_c};
            } else if (code->does == Does::brake_off && open) {
                const Held now = *std::exchange(open, std::nullopt);
                if (!turned && !all.empty() && !now.cuts.empty()) {
                    const Held& before = all.back();
                    const bool same = now.cuts.size() == before.cuts.size() &&
                                      std::equal(now.cuts.begin(), now.cuts.end(), before.cuts.begin(),
                                                 [](const Act* a, const Act* b) { return same_cut(*a, *b); });
                    if (same) {
                        report.at(tool.place(*now.begins))
                            .message(
                                said("What is milled from here on is what the tool has milled just before, "
                                     "at the same C: the brake was opened and C was not turned. One flat "
                                     "is milled twice and another one is missing. Write C or H in front "
                                     "of it."))
                            .related(tool.place(*before.begins), said("milled here"));
                        return;
                    }
                }
                all.push_back(now);
                turned = false;
            }
        }
        if (open && (act.motion == MotionKind::feed || act.motion == MotionKind::arc))
            open->cuts.push_back(&act);
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    if (!code_that(codes, Does::brake_on) || !code_that(codes, Does::brake_off)) return;
    for (const ToolOfSpan& tool : tools_of(context)) look_at(tool, codes, report);
}

} // namespace

extern const Check check{
    .id = "milled_again_in_place",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "The same flat is milled twice",
    .documentation =
        "With the brake of C closed a tool mills a flat or a slot, the brake opens and closes again, and the "
        "very same cuts come a second time while C was not turned in between: a block with C or H is lost, "
        "one flat is milled twice and another one is missing. What the codes mean is read from `m_codes` in "
        "the shop file (`does = \"C brake on\"`, `\"C brake off\"`), else from notes.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M88 C BRAKE ON, M89 C BRAKE OFF)
G20 G98 G97
T0303
S900 M33
G00 Z.55 C0
X1.6
M88
X1.
G01 Z-.3125 F5.
G00 X1.6
M89
Z.55
M88
;^^ warning: milled_again_in_place
X1.
G01 Z-.3125 F5.
G00 X1.6
M89
M30
)"},
            {System::B, R"(
(M88 C BRAKE ON, M89 C BRAKE OFF)
G21 G90 G94 G97
T0303
S900 M33
G00 Z15. C0
X40.
M88
X26.
G01 Z-8. F120.
G00 X40.
M89
Z15.
M88
;^^ warning: milled_again_in_place
X26.
G01 Z-8. F120.
G00 X40.
M89
M30
)"},
            {System::C, R"(
(M88 C BRAKE ON, M89 C BRAKE OFF)
G71 G90 G94 G97
T0303
S900 M33
G00 Z15. C0
X40.
M88
X26.
G01 Z-8. F120.
G00 X40.
M89
Z15.
C180.
M88
X26.
G01 Z-8. F120.
G00 X40.
M89
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::milled_again_in_place

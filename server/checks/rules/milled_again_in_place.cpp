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

/// From one C to the next: the same cuts, and the C written for the second of them is the one before.
void look_at_turns(const ToolOfSpan& tool, Report& report) {
    std::vector<Held> all;
    for (const Act& act : tool.work->acts) {
        if (act.calls_program || act.deleted || act.drills() || act.taps() || act.polar || act.cylinder ||
            act.incremental)
            return;
        const ActWord* c = tool.work->word(act, 'C');
        if (tool.work->word(act, 'H')) return;
        const bool feeds = act.motion == MotionKind::feed || act.motion == MotionKind::arc;
        if (c && !is_return(act.motion)) {
            if (feeds && act.moves()) return; // C turns in the cut
            all.push_back({&act, {}, static_cast<float>(c->number)});
        } else if (feeds && act.moves() && !all.empty()) {
            if (!act.part_stands && act.spindle != machine::Spindle::live) return;
            all.back().cuts.push_back(&act);
        }
    }
    for (std::size_t i = 1; i < all.size(); ++i) {
        const Held &before = all[i - 1], &now = all[i];
        constexpr std::size_t enough = 2;
        const bool same = before.c == now.c && now.cuts.size() >= enough &&
                          now.cuts.size() == before.cuts.size() &&
                          std::equal(now.cuts.begin(), now.cuts.end(), before.cuts.begin(),
                                     [](const Act* a, const Act* b) { return same_cut(*a, *b); });
        if (!same) continue;
        report.at_letter(tool.place(*now.begins), 'C')
            .message(said(
                "C{} stands here as before, and what is milled behind it is what the tool has milled there "
                "just now: one flat or slot is milled twice and another one is missing. Which angle is "
                "meant?",
                written(now.c)))
            .related(tool.place(*before.begins), said("milled here"));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    if (!reads_acts(context)) return;
    const std::vector<MachineCode> codes = codes_told(context);
    const bool has_brake = code_that(codes, Does::brake_on) && code_that(codes, Does::brake_off);
    for (const ToolOfSpan& tool : tools_of(context)) {
        if (has_brake) look_at(tool, codes, report);
        look_at_turns(tool, report);
    }
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
            // The second flat at the angle of the first.
            {System::C, R"(
(M14 C AXIS IN, M15 C AXIS OUT)
(M33 LIVE TOOL ON, M34 LIVE TOOL OFF)
G70 G90 G94 G97
G53 G00 X0
G53 G00 Z0
M14
G28 C0
T0606 (END MILL .625, FLATS 1.125 ACROSS)
S1500 M33
G00 X1.6 Z-.3 C0
G01 X1.125 F20.
Z-1.2 F7.
X1.6 F40.
G00 Z-.3
C0
;^ warning: milled_again_in_place
G01 X1.125 F20.
Z-1.2 F7.
X1.6 F40.
G00 X2.
M34
M30
)"},
            {System::C, R"(
(M33 LIVE TOOL ON, M34 LIVE TOOL OFF)
G70 G90 G94 G97
T0606
S1500 M33
G00 X1.6 Z-.3 C0
G01 X1.125 F20.
Z-1.2 F7.
X1.6 F40.
G00 Z-.3
C180.
G01 X1.125 F20.
Z-1.2 F7.
X1.6 F40.
G00 X2.
M34
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::milled_again_in_place

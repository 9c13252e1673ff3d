// A tool that works on the centre while the quill stands there.
#include "checks/clamping.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules::quill_out_at_centre_work {

namespace {

using Does = MachineCode::Does;

/// Drills, taps and the like: they go where the centre stands. A shaft turned on the centre is right
/// practice, through any number of tool changes.
bool works_on_centre(const Act& act) {
    if (act.in_contour || !act.moves_z) return false;
    const bool on_centre = act.from_x == 0 && (act.to_x == 0 || !act.moves_x);
    return act.drills() || act.taps() || (act.cuts() && on_centre);
}

BlockPlace tool_call_of(const ToolOfSpan& tool) {
    for (const Act& act : tool.work->acts)
        if (act.calls_tool) return tool.place(act);
    return tool.place(tool.work->acts.front());
}

bool calls_tool(const ToolOfSpan& tool) {
    return std::any_of(tool.work->acts.begin(), tool.work->acts.end(),
                       [](const Act& act) { return act.calls_tool; });
}

void file(const FileContext& context, Report& report) {
    for_each_clamping_program(context, [&](const std::vector<ClampEvent>& events, const auto& codes) {
        const MachineCode* back = code_that(codes, Does::quill_back, true);
        const ClampAct* out = nullptr;
        const ToolOfSpan* holder = nullptr; ///< What was there when the quill came out, or changed since
        bool change_told = false;
        std::set<const ToolOfSpan*> told;
        for (const ClampEvent& event : events) {
            const ClampAct& at = event.at;
            if (event.kind == ClampEvent::Kind::code && at.code->by_shop_file) {
                if (at.code->does == Does::quill_out) {
                    out = &at;
                    holder = at.tool;
                    change_told = false;
                }
                if (at.code->does == Does::quill_back) out = nullptr;
            }
            const bool cuts =
                event.kind == ClampEvent::Kind::cuts || event.kind == ClampEvent::Kind::feeds_stopped;
            if (!cuts || !out) continue;
            const bool changed = at.tool != holder && calls_tool(*at.tool);
            if (changed && !change_told && !works_on_centre(*at.act)) {
                // Once: a shaft turned on the centre is right through any number of changes.
                change_told = true;
                const BlockPlace quill = out->tool->place(*out->act);
                report.at(tool_call_of(*at.tool))
                    .severity(Severity::information)
                    .message(
                        said("The turret turns here with the quill out by {}: the way to this place has to "
                             "be clear of quill and centre for the longest tool. A shaft that is turned on "
                             "the centre needs it so.",
                             with_words(*out->code)))
                    .related(quill, said("quill out"));
            }
            if (!works_on_centre(*at.act) || !told.insert(at.tool).second) continue;
            // Of the tool that was there when the quill came out the cut is told, of one that came behind it
            // its change.
            const BlockPlace change = tool_call_of(*at.tool), quill = out->tool->place(*out->act);
            const BlockPlace place = quill < change ? change : at.tool->place(*at.act);
            report.at(place)
                .message(
                    said("The quill is out by {} while this tool works on the centre, where it "
                         "stands.{}",
                         with_words(*out->code),
                         back ? said(" Write M{:02} before the tool change.", back->number) : std::string()))
                .related(quill, said("quill out"))
                .related(at.tool->place(*at.act), said("goes along the centre"));
        }
    });
}

constexpr const char* shop = R"(
[[machine]]
[machine.m_codes]
M78 = { name = "centre in", does = "quill out" }
M79 = { name = "centre away", does = "quill in" }
)";

} // namespace

extern const Check check{
    .id = "quill_out_at_centre_work",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Tool changed to work on the centre with the quill out",
    .documentation =
        "A tool comes that drills, taps or bores along the centre line, and the quill is still out: the tool "
        "runs into the centre. A shaft that is turned on the centre with many tools is right: there the "
        "first "
        "tool change with the quill out is told as information. What the codes mean is read from `m_codes` "
        "in the shop file (`does = \"quill out\"`, `\"quill "
        "in\"`).",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S700 M03
M78
G00 X33. Z1.
G01 Z-23. F.3
G28 U0 W0
T0202
;^^^^^ warning: quill_out_at_centre_work
G00 X0 Z5.
G01 Z-20. F.1
G28 W0
M79
M30
)",
             shop},
            {System::B, R"(
G20 G90 G95
T0303
M78
G97 S700 M03
G00 X0 Z.2
G83 Z-1.5 R.1 F.005
;^^^^^^^^^^^^^^^^^^^ warning: quill_out_at_centre_work
G80
M79
M30
)",
             shop},
            {System::C, R"(
G71 G90 G95
T0101
M78
G97 S700 M03
G00 X33. Z1.
G01 Z-23. F.3
G28 X60.
T0202
;^^^^^ information: quill_out_at_centre_work
G00 X31. Z1.
G01 Z-20. F.1
G28 X60.
T0404
G00 X31. Z1.
G01 Z-10. F.1
G28 X60.
M79
T0303
G00 X0 Z5.
G01 Z-20. F.1
M30
)",
             shop},
            {System::A, R"(
G21 G99
T0101
M78
G97 S700 M03
G00 X0 Z5.
G01 Z-20. F.1
M30
)"},
            {System::B, R"(
(M78 QUILL OUT)
G21 G90 G95
T0101
M78
G97 S700 M03
G00 X0 Z5.
G01 Z-20. F.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::quill_out_at_centre_work

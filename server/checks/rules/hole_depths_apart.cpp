// Tools of one hole that go to depths which do not belong together: a drill no deeper than its centre drill,
// a hole many times as deep as its thread.
//
// The shares: common practice, no source.
#include "checks/holes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::hole_depths_apart {

namespace {

bool same_hole(const Hole& a, const Hole& b) {
    if (a.side != b.side || !known(a.place) || a.place != b.place || a.place == 0) return false;
    if (known(a.c) != known(b.c) || (known(a.c) && a.c != b.c)) return false;
    return known(a.y) == known(b.y) && (!known(a.y) || a.y == b.y);
}

bool is_read(const Hole& hole) {
    return known(hole.bottom) && known(hole.start) && !hole.act->incremental && !hole.act->deleted;
}

/// How deep two holes go below the nearer of both starts.
struct Depths {
    float one = 0, other = 0;
};
Depths depths_of(const Hole& one, const Hole& other) {
    const bool down = one.bottom < one.start;
    const auto level = [](const Hole& hole) { return known(hole.level) ? hole.level : hole.start; };
    const float from = down ? std::min(level(one), level(other)) : std::max(level(one), level(other));
    return {down ? from - one.bottom : one.bottom - from, down ? from - other.bottom : other.bottom - from};
}

std::string spoken_bottom(const Hole& hole, const FileContext& context) {
    return hole.side ? spoken_x(hole.bottom, context.settings()) : "Z" + written(hole.bottom);
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    constexpr float times = 2.4F;
    const std::vector<Hole> holes = holes_of(program, context.settings());
    const ToolOfSpan* told = nullptr;
    for (std::size_t i = 1; i < holes.size(); ++i) {
        const Hole& hole = holes[i];
        if (!is_read(hole) || hole.tool == told) continue;
        for (std::size_t j = 0; j < i; ++j) {
            const Hole& before = holes[j];
            if (before.tool == hole.tool || !is_read(before) || !same_hole(before, hole)) continue;
            const Depths depth = depths_of(before, hole);
            if (depth.one <= 0 || depth.other <= 0) continue;
            const bool centres = before.tool->is(NamedTool::Kind::centre);
            if (centres && !hole.tool->is(NamedTool::Kind::centre) && depth.one >= depth.other) {
                told = hole.tool;
                const bool bore = depth.one > times * depth.other;
                const Hole& odd = bore ? before : hole;
                report.at_letter(odd.tool->place(*odd.act), odd.side ? 'X' : 'Z')
                    .message(
                        said("The centre drill goes to {} here and the tool of the hole behind it to {}, no "
                             "deeper: the one is too deep, or the other makes no hole. Is a digit wrong, "
                             "or one left from the tool before?",
                             spoken_bottom(before, context), spoken_bottom(hole, context)))
                    .related((bore ? hole : before).tool->place(*(bore ? hole : before).act),
                             bore ? said("the hole") : said("the centre drill"));
                break;
            }
            if (!hole.act->taps() || before.act->taps() || centres || before.tool->own->through ||
                before.tool->listed->through || depth.one < times * depth.other)
                continue;
            told = hole.tool;
            report.at_letter(before.tool->place(*before.act), before.side ? 'X' : 'Z')
                .severity(Severity::information)
                .message(said(
                    "The hole goes to {} here and its tap to {}: {:.1f} times as deep as the thread. "
                    "Does X or Z stand for another hole, or a radius for a diameter?",
                    spoken_bottom(before, context), spoken_bottom(hole, context), depth.one / depth.other))
                .related(hole.tool->place(*hole.act), said("the tap"));
            break;
        }
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "hole_depths_apart",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "Depths of one hole's tools do not belong together",
    .documentation =
        "Two tools work in one place, at the same C or one after the other: the drill goes no deeper than "
        "the "
        "centre drill before it, so that one of the two numbers was left from another tool; or the hole is "
        "more than twice as deep as the thread that is tapped into it, as where X is written as a radius. A "
        "note that calls the hole a through hole keeps the second quiet. Holes on the centre line are left "
        "alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0303 (SPOT DRILL)
S1500 M13
G00 X90. Z10. C0
G83 Z-4.2 R-8. F120
C120.
C240.
G80
G28 U0 W0
T0404 (DRILL 6.8)
S1200 M13
G00 X90. Z10. C0
G83 Z-4.2 R-8. Q5000 F120
;   ^^^^^ warning: hole_depths_apart
C120.
C240.
G80
G28 U0 W0
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T0707 (DRILL .201)
S3500 M43
G00 X2.3 Z-.375 C0
G87 X.1 R2.2 Q1500 F14.
;   ^^^ information: hole_depths_apart
C180.
G80
G00 X4.
T0808 (TAP 1/4-20)
S500 M43
G00 X2.3 Z-.375 C0
G88 X1.7 R2.2 F25.
C180.
G80
G00 X4.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0303 (SPOT DRILL)
S1500 M13
G00 X90. Z10. C0
G83 Z-4.2 R-8. F120
C120.
C240.
G80
G28 U0 W0
T0404 (DRILL 6.8)
S1200 M13
G00 X90. Z10. C0
G83 Z-21. R-8. Q5000 F120
C120.
C240.
G80
G28 U0 W0
M30
)"},
            {System::C, R"(
G70 G90 G94 G97
T0707 (DRILL .201)
S3500 M43
G00 X2.3 Z-.375 C0
G87 X1.3 R2.2 Q1500 F14.
C180.
G80
G00 X4.
T0808 (TAP 1/4-20)
S500 M43
G00 X2.3 Z-.375 C0
G88 X1.5 R2.2 F25.
C180.
G80
G00 X4.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::hole_depths_apart

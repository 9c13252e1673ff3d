// The same hole twice by one tool: a distance or a sign is lost.
#include "checks/holes.h"
#include "checks/more_axes.h"
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::hole_drilled_again {

namespace {

bool moves_on(const Hole& hole) {
    if (hole.act->incremental) return true;
    const Acts& work = *hole.tool->work;
    return work.word(*hole.act, 'H') || work.word(*hole.act, 'U') || work.word(*hole.act, 'W') ||
           work.word(*hole.act, 'V');
}

bool same(float a, float b, bool unless_turned) {
    return known(a) && known(b) ? a == b : !known(a) && !known(b) && unless_turned;
}

bool same_place(const Hole& a, const Hole& b) {
    return a.side == b.side && a.act->meaning == b.act->meaning && known(a.place) && a.place == b.place &&
           known(a.bottom) && a.bottom == b.bottom && same(a.c, b.c, a.turn == b.turn) &&
           same(a.y, b.y, true);
}

/// Where C is not known, and a code of the machine stands between in a block of its own: a wait, behind which
/// the other turret's program has turned the part, or nobody knows what.
bool may_be_turned(const Hole& a, const Hole& b) {
    if (known(a.c) || known(b.c)) return false;
    for (const Act* act = a.act + 1; act < b.act; ++act)
        for (const ActWord& word : a.tool->work->words_of(*act))
            if (is_of_builder(word)) return true;
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    if (program[0].span->program->is_subprogram) return;
    const std::vector<Hole> holes = holes_of(program, context.settings());
    const ToolOfSpan* told = nullptr;
    for (std::size_t i = 0; i < holes.size(); ++i) {
        const Hole& hole = holes[i];
        if (hole.tool == told || hole.place == 0 || moves_on(hole)) continue;
        const BlockPlace place = hole.tool->place(*hole.act);
        if (hole.count >= 2) {
            told = hole.tool;
            report.at_letter(place, 'K')
                .message(said(
                    "K{0} drills {0} holes, and nothing in the block goes on from one to the next: all of "
                    "them come in one place. A turn from hole to hole is written with H (with C behind G91).",
                    spoken(hole.count)));
            continue;
        }
        for (std::size_t j = i; j-- > 0 && holes[j].tool == hole.tool;) {
            if (!same_place(holes[j], hole) || may_be_turned(holes[j], hole)) continue;
            told = hole.tool;
            report.at(place)
                .message(
                    said("The cycle runs where the same tool has drilled already, to the same depth: a hole "
                         "is drilled twice and another one is missing. Look at the sign and the digits of "
                         "its place."))
                .related(hole.tool->place(*holes[j].act), said("drilled here"));
            break;
        }
    }
}

/// Two of them lie on one line through the centre.
bool any_opposite(std::span<const Hole> row) {
    constexpr double half_turn = 180, turn = 360, little = 0.01;
    for (const Hole& one : row)
        for (const Hole& other : row)
            if (std::abs(std::remainder(one.c - other.c - half_turn, turn)) < little) return true;
    return false;
}

/// Holes in the side at several angles that go on past the centre: into the one on the other side, or blind
/// into the metal between the others.
void look_past_centre(const FileContext& context, std::span<const ToolOfSpan> program, Report& report) {
    constexpr float point = 0.12F, out = 0.8F; ///< Of the start's radius: a drill's point; nearly through
    const std::vector<Hole> holes = holes_of(program, context.settings());
    for (std::size_t first = 0, end = 0; first < holes.size(); first = end) {
        end = first + 1;
        const Hole& hole = holes[first];
        while (end < holes.size() && holes[end].tool == hole.tool && holes[end].side == hole.side &&
               holes[end].place == hole.place && holes[end].bottom == hole.bottom)
            ++end;
        const std::span<const Hole> row = std::span(holes).subspan(first, end - first);
        if (!hole.side || !known(hole.bottom) || !known(hole.start) || hole.start <= 0 ||
            hole.bottom > -point * hole.start || hole.act->incremental || row.size() < 2 ||
            std::any_of(row.begin(), row.end(), [](const Hole& one) {
                return !known(one.c) || (known(one.y) && one.y != 0) || one.count > 1;
            }))
            continue;
        const bool opposite = any_opposite(row);
        if (!opposite && (row.size() < 3 || hole.bottom < -out * hole.start)) continue; // Right through
        report.at_letter(hole.tool->place(*hole.act), 'X')
            .message(
                opposite
                    ? said("These holes go to {}, past the centre, and the next ones come from the other "
                           "side: each is drilled into the wall across it. Is a sign or a digit of X "
                           "wrong?",
                           spoken_x(hole.bottom, context.settings()))
                    : said("These holes go to {}, past the centre, and end blind in the metal between the "
                           "others. Is a sign or a digit of X wrong?",
                           spoken_x(hole.bottom, context.settings())));
        return;
    }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at(context, program, report);
        look_past_centre(context, program, report);
    });
}

} // namespace

extern const Check check{
    .id = "hole_drilled_again",
    .family = Family::cycles,
    .severity = Severity::warning,
    .title = "The same hole is drilled twice",
    .documentation =
        "A drilling cycle runs where the same tool has drilled to the same depth before, with X, Z, C and Y "
        "as they were; or it is told to drill several holes (K) and nothing goes on from one to the next: "
        "holes are missing on the part. A sign, a digit, or an H written as C is lost, as a rule. Holes on "
        "the centre line are left alone. Or holes in the side go on past the centre, and others of the same "
        "row come from across: each is drilled into the wall on the other side.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G98 G97
T0606
S1400 M03
G00 X3.5 Z.5 C0.
G83 X3.5 C0. Z-.75 R-.4 Q2000 F7.
C45. K7
;    ^^ warning: hole_drilled_again
G80
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0808
S1300 M03
G00 Y10. Z-12. X56.
G87 X-56. R54. Q6000 F150
G80
G00 Y10.
G87 X-56. R54. Q6000 F150
;^^^^^^^^^^^^^^^^^^^^^^^^ warning: hole_drilled_again
G80
M30
)"},
            {System::A, R"(
G20 G98 G97
T0606
S1400 M03
G00 X3.5 Z.5 C0.
G83 X3.5 C0. Z-.75 R-.4 Q2000 F7.
H45. K7
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0707
S1900 M03
G00 X70. Z-14. C0.
G87 Z-14. C0. X24. R64. Q3000 F170
C180.
G80
G00 C180.
G87 Z-14. C180. X20. R64. Q3000 F170
G80
M30
)"},
            {System::A, R"(
G21 G99 G97
T0404
S900 M03
G00 X0. Z3.
G83 Z-20. R-1. Q5000 F.2
G80
G00 Z3.
G83 Z-20. R-1. Q5000 F.2
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0808
S1600 M03
G00 Z-15. X60.
G87 X18. R-3. F160
G80
G00 H90.
G87 X18. R-3. F160
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0808
S1600 M03
G00 Z-15. X60. C0
G87 X-18. C0 R-3. F160
;   ^^^^ warning: hole_drilled_again
C180.
G80
M30
)"},
            // Meeting in the middle; right through at C0 and C90.
            {System::A, R"(
G21 G98 G97
T0808
S1600 M03
G00 Z-15. X60. C0
G87 X-1. C0 R-3. F160
C180.
G80
G00 Z-25. C0
G87 X-58. C0 R-3. F160
C90.
G80
M30
)"},
            // The program of the other turret turns the part at each wait.
            {System::A, R"(
G21 G98
T0404
S3200 M73
G00 X100. Z12.
Z3.
M231
G83 Z-21. Q2000 F200.
G80
M232
M231
G83 Z-21. Q2000 F200.
G80
M232
G28 U0 W0
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::hole_drilled_again

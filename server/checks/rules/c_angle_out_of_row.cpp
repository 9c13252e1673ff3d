// One angle of C that falls out of the row of angles it stands in.
#include "checks/acts.h"
#include "checks/rule.h"
#include "language/said.h"

#include <cmath>

namespace turnwright::checks::rules::c_angle_out_of_row {

namespace {

struct Angle {
    const ToolOfSpan* tool;
    const Act* act;
    char letter;
    double value;
};
/// Angles that stand in a row: the holes of one cycle, the turns on one cylinder.
using Row = std::vector<Angle>;

bool belongs(const Act& act) {
    return act.motion == MotionKind::drill_cycle || act.cylinder;
}

std::vector<Row> rows_of(std::span<const ToolOfSpan> program) {
    std::vector<Row> rows;
    for (const ToolOfSpan& tool : program) {
        bool open = false;
        for (const Act& act : tool.work->acts) {
            if (!belongs(act)) {
                // A note, M code or G80 between holes ends nothing; another move does.
                if (act.motion != MotionKind::none || act.states(Group::drill_cycle)) open = false;
                continue;
            }
            // The first hole where the part stands already.
            const bool names_angle = tool.work->word(act, 'C') || tool.work->word(act, 'H');
            if (!open && !names_angle && act.motion == MotionKind::drill_cycle && known(act.to_c)) {
                rows.push_back({{&tool, &act, 'C', act.to_c}});
                open = true;
            }
            for (const char letter : {'C', 'H'}) {
                const ActWord* word = tool.work->word(act, letter);
                if (!word || act.motion == MotionKind::none) continue;
                if (!open) rows.emplace_back();
                open = true;
                rows.back().push_back({&tool, &act, letter, word->number});
            }
        }
    }
    return rows;
}

/// The only place where two rows of equal length differ; nullopt: none, or several.
std::optional<std::size_t> only_difference(const Row& a, const Row& b) {
    if (a.size() != b.size()) return std::nullopt;
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < a.size(); ++i) {
        if (a[i].letter == b[i].letter && a[i].value == b[i].value) continue;
        if (found) return std::nullopt;
        found = i;
    }
    return found;
}

/// What the row would have at its only angle that is out of equal steps; nullopt: none is, or several.
struct OutOfStep {
    std::size_t at;
    double expected;
};
std::optional<OutOfStep> out_of_step(const Row& row) {
    for (const Angle& angle : row)
        if (angle.letter != 'C') return std::nullopt;
    const std::size_t count = row.size();
    if (count < 3) return std::nullopt;
    const auto fits = [](double a, double b) { return std::abs(a - b) < 1e-6; };
    // Three round the part: 0, 120 and something else.
    if (count == 3) {
        const double step = row[1].value - row[0].value;
        if (fits(step, 120) && !fits(row[2].value, row[0].value + 240))
            return OutOfStep{2, row[0].value + 240};
        return std::nullopt;
    }
    for (std::size_t out = 0; out < count; ++out) {
        const std::size_t a = out == 0 ? 1 : 0, b = out == count - 1 ? count - 2 : count - 1;
        const double step = (row[b].value - row[a].value) / static_cast<double>(b - a);
        if (fits(step, 0)) continue;
        bool rest_fits = true;
        for (std::size_t i = 0; i < count; ++i) {
            const double expected = row[a].value + step * (static_cast<double>(i) - static_cast<double>(a));
            if (i != out && !fits(row[i].value, expected)) rest_fits = false;
        }
        const double expected = row[a].value + step * (static_cast<double>(out) - static_cast<double>(a));
        if (!rest_fits || fits(row[out].value, expected)) continue;
        // Of four the ends may belong to another row; of five no more.
        if (count == 4 && (out == 0 || out == 3)) continue;
        return OutOfStep{out, expected};
    }
    return std::nullopt;
}

void look_at(const FileContext&, std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<Row> rows = rows_of(program);
    std::vector<bool> told(rows.size());
    const auto tell = [&](std::size_t row, std::size_t at, std::string text) {
        told[row] = true;
        const Angle& angle = rows[row][at];
        report.at_letter(angle.tool->place(*angle.act), angle.letter).message(std::move(text));
    };
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (const auto out = out_of_step(rows[i])) {
            // Another tool that goes there too means it.
            bool again = false;
            for (std::size_t j = 0; j < rows.size(); ++j)
                for (const Angle& angle : rows[j])
                    again = again || (j != i && angle.value == rows[i][out->at].value);
            if (again) continue;
            tell(i, out->at,
                 said("C{} falls out of the row: the others here stand in equal steps, with C{} at "
                      "this place.",
                      written(rows[i][out->at].value), written(out->expected)));
        }
    for (std::size_t i = 0; i < rows.size(); ++i)
        for (std::size_t j = 0; j < rows.size(); ++j) {
            if (i == j || told[i] || told[j] || rows[i].size() < 3) continue;
            const auto at = only_difference(rows[i], rows[j]);
            if (!at) continue;
            // The one that no other row has.
            std::size_t like_this = 0, like_other = 0;
            for (const Row& row : rows)
                if (row.size() == rows[i].size()) {
                    like_this +=
                        row[*at].letter == rows[i][*at].letter && row[*at].value == rows[i][*at].value;
                    like_other +=
                        row[*at].letter == rows[j][*at].letter && row[*at].value == rows[j][*at].value;
                }
            if (like_this > like_other || (like_this == like_other && i < j)) continue;
            const Angle &here = rows[i][*at], &there = rows[j][*at];
            tell(i, *at,
                 said("{}{} stands where the same row of angles elsewhere has {}{}: one of them is a "
                      "slip.",
                      here.letter, written(here.value), there.letter, written(there.value)));
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) { look_at(context, program, report); });
}

} // namespace

extern const Check check{
    .id = "c_angle_out_of_row",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One angle out of a row",
    .documentation =
        "The holes of one cycle stand in equal steps of C and one does not, or three holes begin as a third "
        "of a turn each and do not go on so; or two tools, or two cuts on a cylinder, go to the same angles "
        "but for one. A digit is lost or swapped, as a rule, or H stands for C. An angle that another tool "
        "goes to as well is left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G98 G97
T0606
S1900 M03
G00 X80. Z5. C0.
G83 X80. C0. Z-28. R-10. Q5000 F190
C60.
C120.
C160.
;^^^^ warning: c_angle_out_of_row
C240.
C300.
G80
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T3535
S2800 M03
G00 Z-.6 X1.35 C0.
G87 C0. X.15 R1.25 F9.
C120.
C24.
;^^^ warning: c_angle_out_of_row
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0909
S2400 M03
G00 Z-20. X84. C0.
G01 X76. F60
G07.1 C38.
G01 C60. F200
Z-35. C150.
C240.
Z-20. C330.
G07.1 C0.
G00 X84. C0.
G01 X72. F60
G07.1 C36.
G01 C60. F160
Z-35. C150.
C204.
;^^^^ warning: c_angle_out_of_row
Z-20. C330.
G07.1 C0.
G00 X84.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0606
S1900 M03
G00 X80. Z5. C0.
G83 X80. C0. Z-28. R-10. Q5000 F190
C60.
C120.
C180.
C240.
C300.
G80
T0707
S400
G84 X80. C0. Z-22. R-9. F500
C60.
C120.
C180.
C240.
C300.
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C0.
G83 X44. C0. Z-18. R3. F190
C120.
C150.
G80
T0606
S600
G84 X44. C0. Z-13. R4. F480
C120.
C150.
G80
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C0.
G83 X44. C0. Z-18. R3. F190
C30.
C90.
C200.
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_angle_out_of_row

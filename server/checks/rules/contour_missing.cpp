// The blocks that P and Q name are not in the program.
#include "checks/trouble_rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::contour_missing {

namespace {

std::string missing(double first, double last) {
    return said("There is no contour from N{:.0f} to N{:.0f}: the control alarms here. Check P and Q "
                "against the N numbers of its first and last block.",
                first, last);
}
std::string text(const motion::TroubleAt& trouble, const BlockView&) {
    return missing(trouble.found, trouble.wanted);
}

bool has_word(std::span<const syntax::Item> items, char letter, double value) {
    return std::any_of(items.begin(), items.end(), [&](const syntax::Item& item) {
        return item.kind == syntax::ItemKind::word && item.letter == letter && item.value == value;
    });
}

/// The finishing of a contour whose roughing above, in the same program, has told already.
bool is_told_above(const BlockView& view, const machine::Reader& reader) {
    const machine::Value p = view.reading.value('P'), q = view.reading.value('Q');
    auto at = reader.neighbour({view.run_index, view.block}, false);
    for (; at; at = reader.neighbour(*at, false)) {
        const std::span<const syntax::Item> items = reader.items(*at);
        if (has_word(items, 'P', p.number) && has_word(items, 'Q', q.number)) return true;
        if (!items.empty() && items.front().kind == syntax::ItemKind::word && items.front().letter == 'O')
            return false;
    }
    return false;
}

bool is_missing(const motion::BlockPath& path) {
    return std::any_of(path.troubles.begin(), path.troubles.end(), [](const motion::TroubleAt& trouble) {
        return trouble.trouble == motion::Trouble::contour_missing;
    });
}

void block(const BlockView& view, Report& report) {
    const bool finishes = view.reading.motion == MotionKind::contour_cycle &&
                          view.reading.motion_meaning == Meaning::finish_cycle;
    if (finishes && is_missing(report.path(view)) && is_told_above(view, report.reader())) return;
    report_troubles<motion::Trouble::contour_missing, text>(view, report);
    // With no units known there is no path, and the blocks are missing all the same.
    if (view.reading.motion != MotionKind::contour_cycle || view.after.of(Group::units).known()) return;
    const auto stands = contour_named_in(view, report.reader());
    if (!stands || stands->blocks || (finishes && is_told_above(view, report.reader()))) return;
    const machine::Word *p = view.reading.word('P'), *q = view.reading.word('Q');
    report.at(view, *(stands->has_first ? q : p)->item).message(missing(p->value.number, q->value.number));
}

} // namespace

extern const Check check{
    .id = "contour_missing",
    .family = Family::cycles,
    .severity = Severity::error,
    .title = "Contour of a cycle is not there",
    .documentation =
        "P and Q of a roughing or finishing cycle name the first and the last block of the contour by "
        "their N numbers. One of them stands nowhere, or the last one comes before the first. The "
        "control alarms at the cycle. Mostly the program was renumbered, or a letter was mistyped.",
    .block = block,
    .examples =
        {
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q30 U0.4 W0.1 F0.28
;       ^^^ error: contour_missing
N10 G00 X18.
G01 Z-25.
N20 X52.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0303
G97 S800 M03
G00 X2. Z.1
G70 P100 Q200
;   ^^^^ error: contour_missing
M30
)"},
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G73 U.1 R.02
G73 P20 Q10 U.02 W.004 F.01
;       ^^^ error: contour_missing
N10 G00 X1.
G01 Z-.5
N20 X2.
M30
)"},
            {System::A, R"(
G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 P20 Q10 U0.4 W0.1 D2000 F0.28
;       ^^^ error: contour_missing
N10 G00 X18.
G01 Z-25.
N20 X52.
M30
)"},
            // The last block was lost: told once, at the roughing.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
;       ^^^ error: contour_missing
N10 G00 X18.
G01 Z-25.
X52.
G70 P10 Q20
G28 U0 W0
T0202
G70 P10 Q20
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X52. Z1.
G71 U2. R0.5
G71 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X18.
G01 X24. Z-2. F0.12
Z-25.
X30.
G02 X34. Z-27. R2.
N20 G01 X52.
G70 P10 Q20
G00 X60. Z10.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0606
G97 S800 M03
G00 X.9 Z.04
G72 W.05 R.02
G72 P10 Q20 U-.02 W.004 F.01
N10 G00 Z-.4
G01 X1. F.006
Z-.2
N20 X1.5 Z.04
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X52. Z1.
G73 U2. R0.5
G73 P10 Q20 U0.4 W0.1 F0.28
N10 G00 X20.
G01 Z-25.
N20 X52.
M30
)"},
            {System::A, R"(
G21 G99
T0606
G97 S800 M03
G00 X18. Z1.
G71 U1.5 R0.5
G71 P10 Q20 U-0.4 W0.1 F0.2
N10 G00 X30.
G01 Z-10. F0.1
X24. Z-14.
Z-30.
N20 X18.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::contour_missing

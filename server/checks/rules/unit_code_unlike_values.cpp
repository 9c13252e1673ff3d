// G20 over a program whose feeds are millimetres.
#include "checks/rule.h"
#include "checks/unit_evidence.h"

namespace turnwright::checks::rules::unit_code_unlike_values {

namespace {

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context, true);
    const FeedsAsInch feeds = feeds_as_inch(context, tools);
    if (!feeds.say_millimetres()) return;
    const BlockPlace place = feeds.code_tool->place(*feeds.code);
    const syntax::Item* item = find_code(context.reader(), place, Meaning::inch);
    const std::string code_now = code(context.settings(), Meaning::inch),
                      code_meant = code(context.settings(), Meaning::millimetre);
    (item ? report.at(place, *item) : report.at(place))
        .message(fmt::format(
            "{} makes inches of millimetres: {} of {} feeds, such as F{}, are no feeds in inches a "
            "turn, and every length is 25.4 times too long. Write {}.",
            code_now, feeds.too_large, feeds.all, written(feeds.example), code_meant));
}

} // namespace

extern const Check check{
    .id = "unit_code_unlike_values",
    .family = Family::modal_state,
    .severity = Severity::error,
    .title = "Unit code that the program's own feeds contradict",
    .documentation =
        "The program states inches, and most of its feeds by the revolution are more than 0.06 in (1.5 mm): "
        "no tool "
        "cuts at that, and as millimetres all of them are usual. Every coordinate is read 25.4 times too "
        "long: the "
        "axes alarm at their limits, or the tool is driven into the chuck. The feeds themselves are then not "
        "told one by one.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G20 G40 G99
;^^ error: unit_code_unlike_values
T0101
G96 S140 M03
G00 X172. Z5.
G01 X30. F0.3
Z-8. F0.15
M30
)"},
            {System::C, R"(
G70 G90 G95
;^^ error: unit_code_unlike_values
T0101
G96 S140 M03
G00 X72. Z.1
G01 X-1.6 F.2
G00 Z2.
G73 U2. R.5
G73 P100 Q200 U.5 W.1 F.3
N100 G00 X28.
G01 Z-10. F.15
N200 X70.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G97 S800 M03
G00 X0 Z.5
G01 Z.05 F.1
Z-.14 F.004
Z-.2 F.003
Z-.3 F.006
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z.5
G01 X1. F.2
X2. F.008
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::unit_code_unlike_values

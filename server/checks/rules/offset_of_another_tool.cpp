// A tool call with the offset number of another tool of the program.
#include "checks/rule.h"

#include <algorithm>
#include <set>

namespace turnwright::checks::rules {

namespace {

void landmarks(const LandmarkContext& context, Report& report) {
    std::set<std::int32_t> own;
    for (const Span& span : context.spans())
        if (span.sequence && span.sequence->tool > 0 && span.sequence->offset == span.sequence->tool)
            own.insert(span.sequence->tool);
    for (const Span& span : context.spans()) {
        if (!span.sequence || !span.sequence->calls_tool || span.sequence->tool <= 0 ||
            span.sequence->offset <= 0)
            continue;
        std::int32_t tool = span.sequence->tool, offset = span.sequence->offset;
        if (tool == offset) continue;
        const shop::Tool* known = context.shop.tool(tool);
        bool listed = known && std::count(known->offsets.begin(), known->offsets.end(), offset) > 0;
        bool others = own.count(offset) > 0 || (known && !known->offsets.empty());
        if (listed || !others) continue;
        report.at_letter(span.sequence->tool_call, 'T')
            .message(
                fmt::format("T{:02} is called with offset {:02}, which belongs to {}: it would move by that "
                            "tool's length. Write T{:02}{:02}.",
                            tool, offset,
                            own.count(offset) ? fmt::format("T{:02}", offset)
                                              : std::string("no tool the shop file gives it"),
                            tool, tool));
    }
}

} // namespace

extern const Check offset_of_another_tool{
    .id = "offset_of_another_tool",
    .family = Family::tools,
    .severity = Severity::warning,
    .title = "Tool called with another tool's offset",
    .documentation =
        "The offset in the tool call is the one another station of this program uses as its own. The "
        "tool then moves by the length of the other one, into the part or beside it. A second offset "
        "of the same tool mostly has a number that is no station, such as T0111; the shop file may "
        "list the offsets of a tool.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21
N1 T0101
G00 X50. Z2.
M01
N2 T0202
G00 X50. Z2.
M01
N3 T0302
;  ^^^^^ warning: offset_of_another_tool
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20
N1 T0101
G00 X2. Z.1
M01
N5 T0501
;  ^^^^^ warning: offset_of_another_tool
G00 X2. Z.1
M30
)"},
            {System::C, R"(
G71
N5 T0507
;  ^^^^^ warning: offset_of_another_tool
G00 X20. Z1.
M30
)",
             "units = \"mm\"\n[[tool]]\nstation = 5\noffsets = [5, 15]\n"},
            {System::A, R"(
G21
N1 T0101
G00 X50. Z2.
M01
N5 T0505
G00 X50. Z2.
T0515
G00 X40.
M01
N6 T0111
G00 X50. Z2.
M30
)"},
            {System::B, R"(
G20
N1 T0121
G00 X2. Z.1
M01
N2 T0222
G00 X2. Z.1
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules

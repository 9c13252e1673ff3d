// A sequence number that is not its tool's, where the rest of the program keeps that habit.
#include "checks/rule.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::sequence_number_not_tool {

namespace {

bool comparable(const Span& span) {
    return span.sequence && span.sequence->calls_tool && span.sequence->number >= 0 &&
           span.sequence->tool > 0;
}

bool numbers_run_on(const std::vector<std::int32_t>& sorted) {
    for (std::size_t i = 1; i < sorted.size(); ++i)
        if (sorted[i] != sorted[i - 1] + 1) return false;
    return true;
}

std::size_t calls_of(const std::vector<Span>& spans, std::int32_t tool) {
    return static_cast<std::size_t>(std::count_if(spans.begin(), spans.end(), [&](const Span& span) {
        return comparable(span) && span.sequence->tool == tool;
    }));
}

/// A sequence with the tool's own number calls it: where it comes again any number is free.
bool has_own(const std::vector<Span>& spans, std::int32_t tool) {
    return std::any_of(spans.begin(), spans.end(), [&](const Span& span) {
        return comparable(span) && span.sequence->tool == tool && span.sequence->number == tool;
    });
}

void landmarks(const LandmarkContext& context, Report& report) {
    if (context.outline().numbers_every_block) return;
    std::size_t kept = 0, total = 0;
    std::vector<std::int32_t> taken;
    for (const Span& span : context.spans()) {
        if (!comparable(span)) continue;
        ++total;
        taken.push_back(span.sequence->number);
        if (span.sequence->number == span.sequence->tool) ++kept;
    }
    if (!keeps_habit(context.shop.house.number_is_tool, kept, total)) return;
    std::sort(taken.begin(), taken.end());
    const bool from_shop = context.shop.house.number_is_tool == shop::Rule::yes;
    const bool by_order = !from_shop && numbers_run_on(taken);
    for (const Span& span : context.spans()) {
        if (!comparable(span) || span.sequence->number == span.sequence->tool) continue;
        std::int32_t number = span.sequence->number, tool = span.sequence->tool;
        // Numbered one after the other, and no other sequence calls the tool: the tools just come in order.
        if (by_order && calls_of(context.spans(), tool) == 1) continue;
        // A tool's second sequence cannot have its number too: N101 or N11 for T01 is right.
        bool again = std::binary_search(taken.begin(), taken.end(), tool);
        if (again && (number % 100 == tool || number % 10 == tool)) continue;
        if (again && !from_shop && has_own(context.spans(), tool)) continue;
        std::string why = from_shop ? std::string(said("the shop file asks for the tool's number"))
                                    : said("{} of {} sequences carry their tool's number", kept, total);
        auto entry = report.at_letter(span.sequence->first, 'N');
        entry
            .message(said("N{} calls T{:02}: {}. Whoever searches for N{} lands on another tool.{}", number,
                          tool, why, number, again ? "" : said(" Write N{}.", tool)))
            .related(span.sequence->tool_call, said("T{:02} is called here", tool));
        if (!again)
            entry.fix([&](const machine::Reader& reader) -> std::optional<Fix> {
                const syntax::Item* item = find_letter(reader, span.sequence->first, 'N');
                if (!item || context.labels(number).size() != 1) return std::nullopt;
                return Fix{said("Write N{}", tool),
                           {replace(reader, span.sequence->first, *item, fmt::format("N{}", tool))},
                           true,
                           true};
            });
    }
}

} // namespace

extern const Check check{
    .id = "sequence_number_not_tool",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Sequence number is not the tool number",
    .documentation = "Most sequences of this program carry the number of their tool, so that N3 finds tool "
                     "3; this one does "
                     "not. A search for the tool's number then starts the wrong work. The habit is learned "
                     "when two of three "
                     "sequences keep it (`number_is_tool` under `[house]` in the shop file fixes it or turns "
                     "it off). A tool "
                     "that comes a second time needs another number: N11 or N101 for T01 is taken as right.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21
N1 (FACE)
T0101
G00 X50. Z2.
M01
N2 (DRILL)
T0202
G00 X0. Z2.
M01
N8 (PART OFF)
;^ information: sequence_number_not_tool
T0909
G00 X52. Z-20.
M30
)"},
            {System::B, R"(
G20
N1 T0101
M01
N2 T0202
M01
N3 T0303
M01
N5 T0606
;^ information: sequence_number_not_tool
M30
)"},
            {System::C, R"(
G71
N1 (FACE)
T0101
M01
N5 (BORE)
;^ information: sequence_number_not_tool
T0404
M30
)",
             "[house]\nnumber_is_tool = true\n"},
            // No such habit.
            {System::A, R"(
G21
N10 (FACE)
T0101
M01
N20 (DRILL)
T0202
M01
N30 (BORE)
T0303
M30
)"},
            // A tool's second sequence.
            {System::A, R"(
G20
N1 (FACE)
T0101
M01
N2 (DRILL)
T0202
M01
N3 (FINISH)
T0303
M01
N101 (SECOND FACE)
T0101
M30
)"},
            {System::B, R"(
N5 G20
N10 T0101
N15 M01
N20 T0202
N25 M01
N30 T0303
N35 M30
)"},
            {System::C, R"(
G71
T0101
M01
T0202
M01
T0303
M30
)"},
        },
};

} // namespace turnwright::checks::rules::sequence_number_not_tool

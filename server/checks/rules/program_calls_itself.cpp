// A program that calls itself, directly or through others.
#include "checks/rule.h"

#include <map>
#include <set>

namespace turnwright::checks::rules {

namespace {

struct Call {
    BlockPlace place;
    std::int32_t from, to;
};

std::vector<Call> calls_in(const FileContext& context) {
    std::vector<Call> calls;
    auto part = context.outline.programs.begin();
    for (std::size_t run = 0; run < context.analysis.size(); ++run)
        for (const machine::Landmark& mark : context.analysis.result(run)->shape->landmarks) {
            if (mark.kind != machine::Landmark::Kind::call || mark.number <= 0) continue;
            BlockPlace place{run, mark.block};
            while (part != context.outline.programs.end() && part->last < place) ++part;
            if (part != context.outline.programs.end()) calls.push_back({place, part->number, mark.number});
        }
    return calls;
}

bool leads_to(const std::multimap<std::int32_t, std::int32_t>& graph, std::int32_t from, std::int32_t to) {
    std::vector<std::int32_t> open{from};
    std::set<std::int32_t> seen;
    while (!open.empty()) {
        std::int32_t at = open.back();
        open.pop_back();
        if (at == to) return true;
        if (!seen.insert(at).second) continue;
        auto [first, last] = graph.equal_range(at);
        for (auto next = first; next != last; ++next) open.push_back(next->second);
    }
    return false;
}

void file(const FileContext& context, Report& report) {
    std::vector<Call> calls = calls_in(context);
    if (calls.empty()) return;
    std::multimap<std::int32_t, std::int32_t> graph;
    std::set<std::pair<std::int32_t, std::int32_t>> known;
    for (const Call& call : calls)
        if (known.insert({call.from, call.to}).second) graph.emplace(call.from, call.to);
    std::map<std::pair<std::int32_t, std::int32_t>, bool> circles;
    for (const Call& call : calls) {
        if (call.from <= 0) continue;
        auto [at, fresh] = circles.try_emplace({call.to, call.from}, false);
        if (fresh) at->second = leads_to(graph, call.to, call.from);
        if (!at->second) continue;
        report.at(call.place)
            .message(fmt::format("O{:04} leads back to O{:04}: the calls go round until the control "
                                 "alarms. Come back by M99.",
                                 call.to, call.from));
    }
}

} // namespace

extern const Check program_calls_itself{
    .id = "program_calls_itself",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Programs that call each other in a circle",
    .documentation =
        "The program called here calls this one again, directly or through others. Controls hold a "
        "few levels of calls only (four to ten, common practice) and alarm in the middle of the work. "
        "Come back by M99 instead.",
    .file = file,
    .examples =
        {
            {System::A, R"(
O0001
G21
M98 P0002
M30
O0002
G00 U1.
M98 P0002
;^^ error: program_calls_itself
M99
)"},
            {System::B, R"(
O0001
M98 P0010
M30
O0010
M98 P0011
;^^ error: program_calls_itself
M99
O0011
M98 P0010
;^^ error: program_calls_itself
M99
)"},
            {System::A, R"(
O0001
M98 P0002
M98 P0002
M30
O0002
M98 P0003
M99
O0003
G00 U1.
M99
)"},
            {System::B, R"(
O0001
M98 P0002 L99
M30
O0002
G00 U1.
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules

// A program that calls itself, directly or through others.
#include "checks/rule.h"
#include "language/said.h"

#include <map>
#include <set>

namespace turnwright::checks::rules::program_calls_itself {

namespace {

struct Call {
    BlockPlace place;
    std::int32_t from, to;
};

std::vector<Call> calls_in(const LandmarkContext& context) {
    std::vector<Call> calls;
    auto part = context.outline().programs.begin();
    for (std::size_t run = 0; run < context.runs(); ++run)
        for (const machine::Landmark& mark : context.shape(run).landmarks) {
            if (mark.kind != machine::Landmark::Kind::call || mark.number <= 0) continue;
            BlockPlace place{run, mark.block};
            while (part != context.outline().programs.end() && part->last < place) ++part;
            if (part != context.outline().programs.end()) calls.push_back({place, part->number, mark.number});
        }
    return calls;
}

using Graph = std::map<std::int32_t, std::set<std::int32_t>>;

/// Every program that `from` leads to and that was not seen before, each behind those that it leads to
/// itself.
void follow(const Graph& graph, std::int32_t from, std::set<std::int32_t>& seen,
            std::vector<std::int32_t>& order) {
    using Next = std::set<std::int32_t>::const_iterator;
    static const std::set<std::int32_t> none;
    const auto called_by = [&](std::int32_t number) -> const std::set<std::int32_t>& {
        auto at = graph.find(number);
        return at == graph.end() ? none : at->second;
    };
    if (!seen.insert(from).second) return;
    std::vector<std::pair<std::int32_t, Next>> open{{from, called_by(from).begin()}};
    while (!open.empty()) {
        auto& [number, next] = open.back();
        if (next == called_by(number).end()) {
            order.push_back(number);
            open.pop_back();
            continue;
        }
        const std::int32_t to = *next++;
        if (seen.insert(to).second) open.emplace_back(to, called_by(to).begin());
    }
}

/// The circle each program is in, by a number: two programs lead to each other when theirs is the same. Time
/// grows with the calls only, also where thousands of programs stand in a chain.
std::map<std::int32_t, std::size_t> circles_of(const Graph& graph) {
    Graph back;
    for (const auto& [from, all] : graph)
        for (std::int32_t to : all) back[to].insert(from);
    std::set<std::int32_t> seen;
    std::vector<std::int32_t> order;
    for (const auto& entry : graph) follow(graph, entry.first, seen, order);
    std::map<std::int32_t, std::size_t> circles;
    seen.clear();
    for (std::size_t i = order.size(); i-- > 0;) {
        std::vector<std::int32_t> members;
        follow(back, order[i], seen, members);
        for (std::int32_t member : members) circles.emplace(member, i);
    }
    return circles;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::vector<Call> calls = calls_in(context);
    if (calls.empty()) return;
    Graph graph;
    for (const Call& call : calls) graph[call.from].insert(call.to);
    const auto circles = circles_of(graph);
    for (const Call& call : calls) {
        if (call.from <= 0 || circles.at(call.from) != circles.at(call.to)) continue;
        report.at(call.place)
            .message(said("O{:04} leads back to O{:04}: the calls go round until the control "
                          "alarms. Come back by M99.",
                          call.to, call.from));
    }
}

} // namespace

extern const Check check{
    .id = "program_calls_itself",
    .family = Family::flow,
    .severity = Severity::error,
    .title = "Programs that call each other in a circle",
    .documentation =
        "The program called here calls this one again, directly or through others. Controls hold a "
        "few levels of calls only (four to ten, common practice) and alarm in the middle of the work. "
        "Come back by M99 instead.",
    .landmarks = landmarks,
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

} // namespace turnwright::checks::rules::program_calls_itself

#include "features/shop_gain.h"
#include "language/said.h"

#include "checks/acts.h"

#include <fmt/format.h>
#include <set>

namespace turnwright::features {

using codes::Meaning;

namespace {

std::string counted(std::size_t count, std::string_view one, std::string_view many) {
    return count == 1 ? fmt::format("1 {}", one) : fmt::format("{} {}", count, many);
}

/// M codes of the machine's builder that stand in the program.
std::size_t own_codes(const Document& document) {
    std::set<double> numbers;
    const codes::System system = document.settings().system;
    for (const syntax::RunPointer& run : document.forest().runs())
        for (const syntax::Item& item : run->items) {
            if (item.kind != syntax::ItemKind::word || item.letter != 'M') continue;
            const codes::Code* code = codes::find(system, 'M', item.value);
            if (!code || code->meaning == Meaning::machine_specific) numbers.insert(item.value);
        }
    return numbers.size();
}

} // namespace

std::vector<std::string> gains_of_a_shop_file(const Document& document) {
    if (!document.shop().path.empty()) return {};
    std::uint32_t times = 0;
    std::set<std::int32_t> stations;
    bool units_open = false, feed_open = false, surface_speed = false, cuts = false;
    for (const checks::Span& span : document.results().spans()) {
        if (!span.facts || span.program->is_subprogram) continue;
        const motion::Totals totals = document.times().between(span.first, span.last);
        times += totals.blocks_without_time + totals.blocks_by_assumed;
        units_open = units_open || span.facts->move_without_units;
        surface_speed = surface_speed || span.facts->surface_speed;
        if (span.sequence && span.sequence->tool > 0) stations.insert(span.sequence->tool);
        const checks::Acts* acts = span.facts->acts.held.get();
        if (!acts) continue;
        for (const checks::Act& act : acts->acts) {
            cuts = cuts || act.cuts();
            feed_open = feed_open || (act.cuts() && !act.per_rev() && !act.per_minute());
        }
    }
    std::vector<std::string> gains;
    if (units_open) gains.emplace_back(said("the unit of every length"));
    if (feed_open) gains.emplace_back(said("feed by the turn or by the minute"));
    if (times > 0) gains.push_back(counted(times, said("time becomes exact"), said("times become exact")));
    if (!stations.empty()) gains.push_back(counted(stations.size(), said("tool"), said("tools")));
    if (surface_speed) gains.emplace_back(said("the chuck's speed limit"));
    if (cuts) gains.emplace_back(said("jaws"));
    if (const std::size_t own = own_codes(document))
        gains.push_back(counted(own, said("M code's name"), said("M codes' names")));
    return gains;
}

bool is_at_head(const Document& document, std::size_t line) {
    for (const machine::ProgramPart& program : document.outline().programs)
        if (!program.sequences.empty()) return line <= document.line_of(program.sequences.front().first);
    return true;
}

} // namespace turnwright::features

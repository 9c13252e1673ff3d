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
    bool units_open = false, feed_open = false, surface_speed = false;
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
            feed_open = feed_open || (act.cuts() && !act.per_rev() && !act.per_minute());
        }
    }
    // Learnt from the program: what its own signs tell.
    const machine::Assumptions& assumed = document.settings().assumed;
    using machine::Sign;
    const auto by_signs = [](const machine::Assumption& one) {
        return !one.conflict && one.by != Sign::none && one.by != Sign::practice && one.by != Sign::code;
    };
    const bool units_learnt = units_open && by_signs(assumed.units);
    const bool feed_learnt = feed_open && by_signs(assumed.feed_mode);
    std::vector<std::string> gains;
    const auto add = [&](std::string gain) { gains.push_back(std::move(gain)); };
    if (units_learnt) add(std::string(said("the unit of every length")));
    if (feed_learnt) add(std::string(said("feed by the turn or by the minute")));
    if (!stations.empty()) add(counted(stations.size(), said("tool"), said("tools")));
    // Nothing in a program tells these: they stand there to be filled in.
    const std::size_t learnt = gains.size();
    if (units_open && !units_learnt) add(std::string(said("the unit of every length")));
    if (feed_open && !feed_learnt) add(std::string(said("feed by the turn or by the minute")));
    if (times > 0)
        add(said("rapid rates and tool change ({})",
                 counted(times, said("time becomes exact"), said("times become exact"))));
    if (surface_speed) add(std::string(said("the chuck's speed limit")));
    if (const std::size_t own = own_codes(document))
        add(counted(own, said("M code's name"), said("M codes' names")));
    if (learnt < gains.size()) gains[learnt] = said("to be filled in: {}", gains[learnt]);
    return gains;
}

bool is_at_head(const Document& document, std::size_t line) {
    for (const machine::ProgramPart& program : document.outline().programs)
        if (!program.sequences.empty()) return line <= document.line_of(program.sequences.front().first);
    return true;
}

} // namespace turnwright::features

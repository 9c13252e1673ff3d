// A sequence that needs what only the head of the program states.
#include "checks/restart.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::restart_relies_on_head {

namespace {

/// One program's sequences that rely on what is stated once.
struct Reliance {
    const Span* stating = nullptr;   ///< Where a finding stands: the first span that sets one of the parts
    std::vector<std::string> stated; ///< "G21", "G50 S2500"
    machine::Parts parts = 0;
    std::vector<std::pair<const Span*, std::vector<Inherited>>> each;
};

void add(Reliance& reliance, const Span& span, std::vector<Inherited> parts) {
    for (const Inherited& part : parts) {
        reliance.parts |= machine::Parts{1} << part.bit;
        std::string name = part.now.empty() ? std::string(machine::part_title(part.bit)) : part.now;
        if (std::find(reliance.stated.begin(), reliance.stated.end(), name) == reliance.stated.end())
            reliance.stated.push_back(std::move(name));
    }
    reliance.each.emplace_back(&span, std::move(parts));
}

std::vector<const Span*> spans_of(const Reliance& reliance) {
    std::vector<const Span*> spans;
    for (const auto& [span, parts] : reliance.each) spans.push_back(span);
    return spans;
}

std::optional<Fix> write_into_each(const FileContext& context, const Reliance& reliance) {
    Fix fix{said("Write it into each of these sequences"), {}, true, true};
    for (const auto& [span, parts] : reliance.each) {
        std::vector<Inherited> known = parts;
        std::erase_if(known, [](const Inherited& part) { return part.now.empty(); });
        auto edits =
            edits_for(context.reader(),
                      {context.settings(), context.shop, *span, entry_facts(*span), context.across()}, known);
        fix.edits.insert(fix.edits.end(), edits.begin(), edits.end());
    }
    if (fix.edits.empty()) return std::nullopt;
    return fix;
}

void tell(const FileContext& context, const Reliance& reliance, Report& report) {
    const FileFacts& facts = *reliance.stating->facts;
    BlockPlace place = reliance.stating->first;
    if (facts.safety_block && (facts.safety_set & reliance.parts))
        place = reliance.stating->place(*facts.safety_block);
    else if (facts.last_code && !reliance.stating->sequence)
        place = reliance.stating->place(*facts.last_code);
    const bool one = reliance.each.size() == 1;
    const std::string_view them = reliance.stated.size() == 1 ? said("it") : said("them");
    auto entry = report.at(place);
    entry.message(said("Only here {} {} stated, and {} {} {} over: entered there on its own, after another "
                       "program, {} would run with what that left.",
                       reliance.stated.size() == 1 ? said("is") : said("are"), list_of(reliance.stated),
                       names_of(spans_of(reliance)), one ? said("takes") : said("take"), them,
                       one ? said("it") : said("they")));
    // In one shop every program leaves these as they are.
    constexpr machine::Parts everywhere =
        machine::part(Group::units) | machine::part(Group::feed_mode) | machine::part(Group::distance);
    if ((reliance.parts & ~everywhere) == 0) entry.severity(Severity::hint);
    entry.fix([&] { return write_into_each(context, reliance); });
}

void file(const FileContext& context, Report& report) {
    const std::vector<Span>& spans = context.spans();
    for (auto at = spans.begin(); at != spans.end();) {
        const auto end = std::find_if(at, spans.end(),
                                      [&](const Span& span) { return span.program_at != at->program_at; });
        Reliance reliance;
        for (auto span = at; span != end; ++span) {
            if (is_first_of_program(*span)) continue;
            auto parts = inherited_by(*span->facts, *span, context.across(), context.settings());
            std::erase_if(parts, [](const Inherited& part) { return part.differs; });
            if (!parts.empty()) add(reliance, *span, std::move(parts));
        }
        auto stating =
            std::find_if(at, end, [&](const Span& span) { return (span.facts->sets & reliance.parts) != 0; });
        if (!reliance.each.empty() && stating != end) {
            reliance.stating = &*stating;
            tell(context, reliance, report);
        }
        at = end;
    }
}

} // namespace

extern const Check check{
    .id = "restart_relies_on_head",
    .family = Family::restart,
    .severity = Severity::information,
    .title = "Sequence relies on the head of the program",
    .documentation =
        "Sequences read something that is stated once above and never otherwise in this program, such as "
        "inch or millimetre at the head. Started in the middle the machine has it only if the head has "
        "run since it was switched on, or since another program ran. It is told once for the program; the "
        "fix writes it into the safety line of each sequence that relies on it. Of units, feed mode and "
        "absolute "
        "alone, which hardly a program of a shop leaves otherwise, it is a hint. What every control starts "
        "in (the turning plane, no compensation, the first datum) is not asked for.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G40 G99 G50 S2500
;^^^ information: restart_relies_on_head
N1 T0101
G96 S180 M03
G00 X50. Z2.
G01 Z-10. F0.2
M05
N2 T0202
G96 S180 M03
G00 X50. Z2.
G01 Z-10. F0.1
M05
N3 T0303
G96 S180 M03
G00 X50. Z2.
G01 Z-10. F0.1
M30
)"},
            {System::B, R"(
G20 G90
;^^^ hint: restart_relies_on_head
N1 G20 G95 G97 T0101
S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M05
N2 G20 G95 G97 T0202
S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
#101=24. (OUTSIDE)
;^^^ information: restart_relies_on_head
N1 G71 G90 G95 G97 T0101
S800 M03
G00 X20. Z1.
G01 Z-1. F0.1
M05
N2 G71 G90 G95 G97 T0202
S800 M03
G00 X[#101+2.] Z1.
G01 Z-1. F0.1
M30
)"},
            {System::A, R"(
N1 G21 G99 G97 T0101
S800 M03
G00 X50. Z2.
G01 Z-10. F0.2
M05
N2 G21 G99 G97 T0202
S800 M03
G00 X50. Z2.
G02 X54. Z-10. R20. F0.1
M30
)"},
            {System::B, R"(
G18 G54 G40 G80
N1 G20 G90 G95 G97 T0101
S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M05
N2 G20 G90 G95 G97 T0202
S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
G71 G90
N1 G95 G97 T0101
S800 M03
G00 X20. Z1.
G01 Z-1. F0.1
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-10. F0.2
M1
(FINISH)
G28 U0 W0
G21 G40 G99 G97
G50 S2500
T0202
G96 S200 M03
G00 X50. Z2.
G01 Z-10. F0.1
M30
)"},
        },
};

} // namespace turnwright::checks::rules::restart_relies_on_head

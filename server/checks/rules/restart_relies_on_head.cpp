// A sequence that needs what only the head of the program states.
#include "checks/restart.h"

namespace turnwright::checks::rules {

namespace {

std::string names_of(const std::vector<Inherited>& parts) {
    std::string out;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        if (i > 0) out += i + 1 == parts.size() ? " and " : ", ";
        out +=
            std::string(machine::part_title(parts[i].bit)) + (parts[i].now.empty() ? "" : " " + parts[i].now);
    }
    return out;
}

void entry(const EntryContext& context, Report& report) {
    auto parts = inherited_by(context.facts, context.span, context.across, context.settings);
    std::erase_if(parts, [](const Inherited& part) { return part.differs; });
    if (parts.empty()) return;
    std::string list;
    machine::Parts bits = 0;
    for (const Inherited& part : parts) {
        if (list.find(part.outcome) == std::string::npos) list += (list.empty() ? "" : ", ") + part.outcome;
        bits |= machine::Parts{1} << part.bit;
    }
    std::string name = name_of(*context.span.sequence);
    report.at(context.span.place(parts.front().block))
        .message(fmt::format("Started at {} this needs the head of the program to have run, which states {}. "
                             "Without it {}",
                             name, names_of(parts), list + "."))
        .origin(bits)
        .fix([&](const machine::Reader& reader) -> std::optional<Fix> {
            auto edits = edits_for(reader, context, parts);
            if (edits.empty()) return std::nullopt;
            return Fix{"Write in " + name + " what only the head states", std::move(edits), true, true};
        });
}

} // namespace

extern const Check restart_relies_on_head{
    .id = "restart_relies_on_head",
    .family = Family::restart,
    .severity = Severity::information,
    .title = "Sequence relies on the head of the program",
    .documentation =
        "The sequence reads something that is stated once above and never otherwise in this program, "
        "such as inch or millimetre at the head. Started in the middle the machine has it only if the "
        "head has run since it was switched on, or since another program ran. Writing it in each "
        "safety line makes the sequence safe to enter. What every control starts in (the turning "
        "plane, no compensation, the first datum) is not asked for.",
    .entry = entry,
    .examples =
        {
            {System::A, R"(
G21 G40 G99
N1 T0101
G97 S800 M03
G00 X50. Z2.
;^^^ information: restart_relies_on_head
G01 Z-10. F0.2
M05
N2 T0202
G97 S800 M03
G00 X50. Z2.
;^^^ information: restart_relies_on_head
G01 Z-10. F0.1
M30
)"},
            {System::B, R"(
G20 G90
N1 G95 G97 T0101
S800 M03
G00 X2. Z.1
;^^^ information: restart_relies_on_head
G01 Z-1. F.01
M05
N2 G20 G90 G95 G97 T0202
S800 M03
G00 X2. Z.1
G01 Z-1. F.01
M30
)"},
            {System::C, R"(
#101=24. (OUTSIDE)
N1 G71 G90 G95 G97 T0101
S800 M03
G00 X[#101+2.] Z1.
;^^^ information: restart_relies_on_head
G01 Z-1. F0.1
M05
N2 G71 G90 G95 G97 T0202
S800 M03
G00 X20. Z1.
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
        },
};

} // namespace turnwright::checks::rules

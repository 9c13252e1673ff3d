// A sequence without its optional stop, where the rest of the program has one.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::optional_stop_missing {

namespace {

/// Sequences that a stop is expected behind: not the last of a program, which ends it.
bool counts(const Span& span) {
    if (!span.sequence || span.program->is_subprogram || !span.facts->cuts_turning)
        return false; // A bar stop or a puller goes on into the first tool
    return &span.program->sequences.back() != span.sequence && !span.facts->ends_program;
}

bool stops(const Span& span) {
    return span.sequence->optional_stop || span.facts->optional_stop || span.facts->program_stop;
}

void landmarks(const LandmarkContext& context, Report& report) {
    std::size_t kept = 0, total = 0;
    for (const Span& span : context.spans()) {
        if (!counts(span)) continue;
        ++total;
        if (stops(span)) ++kept;
    }
    if (!keeps_style(context.shop.house.optional_stop, kept, total)) return;
    for (const Span& span : context.spans()) {
        if (!counts(span) || stops(span) || !span.facts->last_code) continue;
        BlockPlace last = span.place(*span.facts->last_code);
        bool from_shop = context.shop.house.optional_stop == shop::Rule::yes;
        std::string why = from_shop ? std::string(said("the shop file asks for one after every sequence"))
                                    : said("{} of {} sequences have one", kept, total);
        report.at(last)
            .message(said("No optional stop after {}: {}. With the switch on, the machine runs on here "
                          "into the next tool. Write M01.",
                          name_of(*span.sequence), why))
            .fix([&](const machine::Reader& reader) {
                return Fix{said("Write M01 below"), {insert_block_after(reader, last, "M01")}, true, true};
            });
    }
}

} // namespace

extern const Check check{
    .id = "optional_stop_missing",
    .family = Family::house,
    .severity = Severity::information,
    .title = "Optional stop missing",
    .documentation =
        "Most sequences of this program end with M01, this one does not. Whoever proves the program out with "
        "the "
        "optional stop on expects the machine to wait there before the next tool comes. The habit is learned "
        "when four or more sequences keep it and one alone does not (`optional_stop` under `[house]` in the "
        "shop file fixes it or "
        "turns "
        "it off). M00 counts as a stop; the last sequence, which ends the program, needs none.",
    .landmarks = landmarks,
    .examples =
        {
            {System::A, R"(
G21 G99 G97 S500 M03
N1 T0101
G00 X50. Z2.
G01 Z-5. F0.2
M01
N2 T0202
G00 X0. Z2.
G01 Z-5. F0.1
M01
N5 T0505
G00 X0. Z2.
G01 Z-5. F0.1
M01
N6 T0606
G00 X0. Z2.
G01 Z-5. F0.1
M01
N3 T0303
G00 X50. Z2.
G01 Z-5. F0.1
M05
;^^ information: optional_stop_missing

N4 T0404
G00 X50. Z2.
G01 Z-5. F0.1
M30
)"},
            {System::B, R"(
G20 G90 G95 G97 S500 M03
N1 T0101
G00 X2. Z.1
G01 Z-.5 F.01
M09
;^^ information: optional_stop_missing
N2 T0202
G00 X0 Z.1
G01 Z-.5 F.01
M30
)",
             "[house]\noptional_stop = true\n"},
            {System::C, R"(
G70 G90 G95 G97 S500 M03
N1 T0101
G00 X2. Z.1
G01 Z-.5 F.01
M01
N2 T0202
G00 X0 Z.1
G01 Z-.5 F.01
M00 (TURN THE PART)
N5 T0505
G00 X0 Z.1
G01 Z-.5 F.01
M01
N6 T0606
G00 X0 Z.1
G01 Z-.5 F.01
M01
N3 T0303
G00 X0 Z.1
G01 Z-.5 F.01
G28 U0 W0
;^^ information: optional_stop_missing
N4 T0404
G00 X0 Z.1
G01 Z-.5 F.01
M30
)"},
            // No habit, or a habit of none.
            {System::A, R"(
G21 G99 G97 S500 M03
N1 T0101
G00 X50. Z2.
G01 Z-5. F0.2
N2 T0202
G00 X0. Z2.
G01 Z-5. F0.1
M01
N3 T0303
G00 X50. Z2.
G01 Z-5. F0.1
N4 T0404
M30
)"},
            // The last ends the program; a bar stop cuts nothing.
            {System::B, R"(
G21 G90 G95 G97 S500 M03
N10 T1010
G00 X0. Z1.
N1 T0101
G00 X50. Z2.
G01 Z-5. F0.2
M01
N2 T0202
G00 X0. Z2.
G01 Z-5. F0.1
M01
N3 T0303
G00 X50. Z2.
G01 Z-5. F0.1
M99
)"},
            {System::C, R"(
G71 G90 G95 G97 S500 M03
N1 T0101
G00 X50. Z2.
G01 Z-5. F0.2
M09 M01
N2 T0202
G00 X0. Z2.
G01 Z-5. F0.1
M01
N3 T0303
M30
)"},
        },
};

} // namespace turnwright::checks::rules::optional_stop_missing

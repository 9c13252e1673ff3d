// A sequence that takes over what another one may have left otherwise.
#include "checks/acts.h"
#include "checks/restart.h"
#include "language/said.h"

#include <algorithm>

namespace turnwright::checks::rules::restart_inherits {

namespace {

/// Sequences that take over the same, or some of it: one habit.
struct Taken {
    std::vector<Inherited> parts; ///< Of the first of them
    std::vector<const Span*> spans;
    bool alike = true; ///< The others take over the very same
    bool mild = false; ///< All of them
};
bool is_same(const std::vector<Inherited>& one, const std::vector<Inherited>& other) {
    return std::equal(one.begin(), one.end(), other.begin(), other.end(),
                      [](const Inherited& a, const Inherited& b) {
                          return a.bit == b.bit && a.now == b.now && a.elsewhere == b.elsewhere;
                      });
}
bool is_mild(const std::vector<Inherited>& parts) {
    return std::all_of(parts.begin(), parts.end(), [](const Inherited& part) { return part.milder; });
}
/// Of one habit with those that a reset helps: another datum than the first one, as on the second side.
bool only_datum_counts(const std::vector<Inherited>& parts) {
    return std::all_of(parts.begin(), parts.end(), [](const Inherited& part) {
        return part.milder || part.bit == static_cast<int>(Group::datum);
    });
}
bool is_part_of(const std::vector<Inherited>& some, const std::vector<Inherited>& all) {
    return (is_mild(some) || !is_mild(all) || only_datum_counts(some)) &&
           std::all_of(some.begin(), some.end(), [&](const Inherited& part) {
               return std::any_of(all.begin(), all.end(),
                                  [&](const Inherited& other) { return other.bit == part.bit; });
           });
}

/// F by the minute, and meant by the turn: to write that mode once more would make the slip last.
/// feed_too_small_by_minute tells where the other is missing.
bool is_feed_mode_left_on(const FileContext& context, const Span& span, const Inherited& part) {
    constexpr double least_mm_per_minute = 3.0;
    if (part.bit != static_cast<int>(Group::feed_mode)) return false;
    if (!span.facts->at_entry[static_cast<std::size_t>(Group::feed_mode)].is(Meaning::feed_per_minute))
        return false;
    context.reader().whole(machine::Whole::text);
    for (const Act& act : span.facts->acts.held->acts) {
        if (act.states(Group::feed_mode)) return false;
        if (act.gives_feed && act.cuts() && act.feed > 0)
            return act.feed * (act.inch() ? motion::mm_per_inch : 1) < least_mm_per_minute;
    }
    return false;
}

std::vector<Inherited> differing(const FileContext& context, const Span& span) {
    auto parts = inherited_by(*span.facts, span, context.across(), context.settings());
    std::erase_if(parts, [&](const Inherited& part) {
        return !part.differs || is_feed_mode_left_on(context, span, part);
    });
    return parts;
}

std::optional<Fix> write_into_each(const FileContext& context, const Taken& taken) {
    const std::string names = taken.spans.size() == 1 ? name_of(*taken.spans[0]->sequence) : said("each");
    Fix fix{said("Write in ") + names + said(" what it takes over"), {}, true, true};
    for (const Span* span : taken.spans) {
        const EntryContext entry{context.settings(), context.shop, *span, entry_facts(*span),
                                 context.across()};
        auto edits = edits_for(context.reader(), entry, differing(context, *span));
        if (edits.empty()) return std::nullopt;
        fix.edits.insert(fix.edits.end(), edits.begin(), edits.end());
    }
    return fix;
}

void tell(const FileContext& context, const Taken& taken, Report& report) {
    machine::Parts bits = 0;
    for (const Inherited& part : taken.parts) bits |= machine::Parts{1} << part.bit;
    const Span& first = *taken.spans[0];
    const std::span others = std::span(taken.spans).subspan(1);
    auto entry = report.at(first.place(taken.parts.front().block));
    entry
        .message(
            said("Started at {} after a stop elsewhere, this would not be the same. It takes over {}. {}{}",
                 name_of(*first.sequence), describe(taken.parts), what_to_write(first, taken.parts),
                 others.empty() ? ""
                                : (taken.alike ? said(" The same holds for ")
                                               : said(" In part, or with values of their own, the same "
                                                      "holds for ")) +
                                      names_of(others) + "."))
        .origin(bits)
        .fix([&] { return write_into_each(context, taken); });
    if (taken.mild) entry.severity(Severity::information);
}

void file(const FileContext& context, Report& report) {
    std::vector<Taken> all;
    std::size_t program = 0;
    const auto tell_all = [&] {
        for (const Taken& taken : all) tell(context, taken, report);
        all.clear();
    };
    for (const Span& span : context.spans()) {
        if (span.program_at != program) tell_all();
        program = span.program_at;
        if (is_first_of_program(span)) continue; // Its head runs when it is entered
        auto parts = differing(context, span);
        if (parts.empty()) continue;
        // Takes over its own tool: block delete may leave the call out, and nobody enters there.
        if (span.sequence->calls_tool && std::any_of(parts.begin(), parts.end(), [](const Inherited& part) {
                return part.bit == static_cast<int>(Part::tool);
            }))
            continue;
        const auto same = std::find_if(all.begin(), all.end(),
                                       [&](const Taken& taken) { return is_part_of(parts, taken.parts); });
        if (same == all.end()) {
            const bool mild = is_mild(parts);
            all.push_back({std::move(parts), {&span}, true, mild});
            continue;
        }
        same->spans.push_back(&span);
        same->mild = same->mild && is_mild(parts);
        same->alike = same->alike && is_same(same->parts, parts);
    }
    tell_all();
}

} // namespace

extern const Check check{
    .id = "restart_inherits",
    .family = Family::restart,
    .severity = Severity::warning,
    .title = "Sequence cannot be entered on its own",
    .documentation =
        "The sequence reads something before it sets it, and another part of this program leaves "
        "another value of it in force. Run from the top all is well; started in the middle, after a "
        "stop in another sequence, the machine does something else: feed by the minute for feed by "
        "the revolution, another tool's speed, no speed limit. Give each sequence all it needs in its "
        "own safety line. The fix writes what is in force today, in the order of the other safety "
        "lines. Sequences of a program that take over the same are told once, at the first of them. Where "
        "all that would be another breaks nothing (a lower speed limit or one that is never reached, F by "
        "the "
        "minute, S as rpm, the first datum, which a reset brings back on most controls, the coolant, a "
        "spindle that hardly a sequence starts by itself and that holds a "
        "feed "
        "by its turns), or the same tool goes on behind a stop, it is told as information. Nothing is said "
        "inside a stretch that can only be entered at its head: with C "
        "engaged, "
        "with S at the second spindle, with both spindles joined or the part in the second chuck.",
    .file = file,
    .examples =
        {
            {System::A, R"(
G21 G99 G50 S2500
N1 (FACE)
G97 S800 M03
T0101
G00 X50. Z2. M08
G01 Z0. F0.2
M09
M01
N2 (DRILL)
T0202
G00 X0. Z2.
G01 Z-20. F0.1
;^^^ information: restart_inherits
M30
)"},
            // One habit is told once: S and M03 stand at the first tool, and each has but its own S, or none.
            {System::A, R"(
G20 G99 G97 G40
T0101
S800 M03
G00 X2. Z.1
G01 Z-.5 F.01
G00 X5. Z4.
T0202
G00 X1.6 Z.1
G01 Z-.5 F.01
;^^^ warning: restart_inherits
G00 X5. Z4.
T0303
S1200
G00 X0 Z.1
G01 Z-.5 F.006
G00 Z.1
X5. Z4.
M30
)"},
            // A called program that is run under compensation leaves it to its caller.
            {System::A, R"(
G21 G40 G99
N1 T0101
G97 S800 M03
G00 X60. Z2. M08
G01 Z-20. F0.2
G00 X70. Z10. M09
M01
N2 T0202
G97 G99 S900 M03
G00 X60. Z2. M08
G42 G01 Z0 F0.1
M98 P0215 L4
G40 G00 X70. Z10. M09
M01
N3 T0303
G97 G99 S900 M03
G00 X60. Z2. M08
G01 Z-5. F0.1
G00 X70. Z10. M09
M30
O0215
G01 U-1. W-2.
U.5 W-1.
M99
)"},
            // A rigid tap is turned by its cycle.
            {System::A, R"(
G21 G97 G99
T0303
G97 S2600 M03
G00 X0 Z3.
G01 Z-27. F.14
G00 Z5.
X150. Z100.
T0505
G97 G99
G00 X0 Z6.
M29 S600
G84 Z-18. F1.25
G80
X150. Z100.
M30
)"},
            {System::A, R"(
G21 G40 G99
T1212
M05
G00 X0 Z5.
G98 G01 Z.5 F500.
G28 U0 W0
M01
G99 T0101
G97 S800 M03
G00 X50. Z2.
G01 X0 F.2
G28 U0 W0
M01
T0202
G97 S800 M03
G00 X48. Z2.
G01 Z-20. F.2
;^^^ information: restart_inherits
G28 U0 W0
M01
T0303
G97 S800 M03
G00 X44. Z2.
G01 Z-20. F.2
M30
)"},
            {System::A, R"(
G21 G99
N1 (TURN)
T0303
G97 S800 M03
G00 X52. Z2.
G01 Z-20. F0.2
M01
N2 (FACE)
T0101
G97 S800 M03
G00 X50. Z2.
G01 X0. F0.2
;^^^ information: restart_inherits
M01
N3 (BAR STOP)
M05
G98 T1010
G00 X0. Z5.
G01 Z1. F500.
M30
)"},
            {System::A, R"(
N1 (TURN)
G21 G18 G40 G99
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-20. F0.2
G00 X80. Z50.
M05
M01
N2 (TURN AGAIN)
G21 G18 G40 G99
G97 S900 M03
G00 X46. Z2.
;^^^ warning: restart_inherits
G01 Z-20. F0.2
G00 X80. Z50.
M05
M01
N3 (BORE)
G21 G18 G40 G99
T0202
G97 S900 M03
G00 X20. Z2.
G01 Z-20. F0.1
G00 Z50.
M05
M30
)"},
            {System::B, R"(
G20 G90 G95
G92 S2400
N1 (FACE)
T0101
G96 S400 M03
G00 X2. Z.1
G01 X0 F.008
M01
N2 (FINISH)
G92 S1600
T0202
G96 S500 M03
G00 X2. Z.1
G01 Z-1. F.004
M01
N3 (PART OFF)
T0303
G96 S300 M03
G00 X2. Z-1.
G01 X0 F.004
;^^^ warning: restart_inherits
M30
)"},
            // The first tool has the highest limit of the program.
            {System::A, R"(
G21 G40 G99
N1 T0101
G50 S3000
G96 S200 M03
G00 X50. Z2.
G01 X0 F0.2
G28 U0 W0
N2 T0202
G96 S250 M03
G00 X40. Z2.
G01 Z-20. F0.1
;^^^ information: restart_inherits
G28 U0 W0
N3 T0303
G50 S2500
G96 S150 M03
G00 X50. Z-10.
G01 X30. F0.1
G28 U0 W0
N4 T0404
G50 S2000
G96 S120 M03
G00 X50. Z-15.
G01 X40. F0.1
G28 U0 W0
N5 T0505
G50 S2000
G96 S120 M03
G00 X50. Z-20.
G01 X0 F0.1
M30
)"},
            {System::C, R"(
N1 (TURN)
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-10. F0.2
M01
N2 (CHAIN OF GROOVES)
G71 G91 G95
T0202
G97 S800 M03
G00 X-5. Z-5.
G01 X-5. F0.1
M01
N3 (FINISH)
T0303
G71 G95 G97 S900 M03
G00 X50. Z2.
G01 Z-10. F0.2
M30
)"},
            {System::A, R"(
N1 (FACE)
G54 G18 G97 G21 G80 G40 G99
T0101
G50 S2500
G97 S1150 M03
G00 X75. Z12.
M08
G96 S180
G01 Z0. F0.2
G28 U0 W0
M09
M05
M01
N2 (DRILL)
G54 G18 G97 G21 G80 G40 G99
T0202
G97 S1100 M03
G00 X0. Z12.
M08
G83 Z-32.5 Q6000 F0.14
G80
G28 U0 W0
M09
M05
M01
N3 (FINISH)
G54 G18 G97 G21 G80 G40 G99
T0303
G50 S2000
G96 S200 M03
G00 X40. Z2.
G01 Z-5. F0.1
M30
)"},
            {System::B, R"(
N1 (FACE)
G54 G90 G97 G20 G80 G40 G95
T0101
G97 S800 M03
G00 X2. Z.1
F.008
G01 X0
M05
M01
N2 (DRY FINISH)
G54 G90 G97 G20 G80 G40 G95
T0202
G97 S900 M03
G00 X2. Z.1
F.004
G01 Z-1.
M05
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-10. F0.2
M30
)"},
            {System::A, R"(
G21 G40 G99
N1 T0101
G97 S800 M03
G00 X50. Z2.
G01 Z-10. F0.2
M05
N2 T0202
G97 S800 M03
G00 X50. Z2.
G01 Z-10. F0.1
M30
)"},
            // By the minute behind a bar stop: what is missing is told there, and not to write it once more.
            {System::B, R"(
G21 G90 G95
N1 (BAR STOP)
T0202
G00 X0 Z5.
G01 G94 Z0.3 F500
G00 Z20.
M01
N2 (TURN)
T0101
G92 S3000
G96 S200 M03
G00 X32. Z2.
G01 X-1.6 F0.15
G00 Z20.
M01
N3 (DRILL)
G95
T0303
G97 S900 M03
G00 X0 Z3.
G01 Z-20. F0.15
M30
)"},
        },
};

} // namespace turnwright::checks::rules::restart_inherits

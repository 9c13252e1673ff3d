// A blade cuts another number of grooves than a note counts.
//
// The words that notes count by: common practice, no source.
#include "checks/noted_blade.h"
#include "checks/noted_counts.h"
#include "checks/works.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace turnwright::checks::rules::groove_count_unlike_note {

namespace {

constexpr double same_mm = 0.02, wall_mm = 0.2;

/// Plunges to one diameter, in the order of Z.
struct Grooves {
    const Work* work = nullptr;
    const Leg* last = nullptr; ///< As the program cuts them
    std::size_t count = 0;     ///< With a wall between each and the next
    bool by_cycle = false;     ///< One cycle makes them all
};

/// nullopt: how wide the blade is is not told, or where it cuts not known.
std::optional<std::vector<Grooves>> grooves_of(const WorksContext& context, const Work& work) {
    const auto width = noted_blade(context, work).width;
    if (!width) return std::nullopt;
    const double mm = work.unit_mm;
    struct Cut {
        double low, high;
    };
    struct Bottom {
        std::vector<Cut> cuts;
        const Leg *first = nullptr, *last = nullptr;
        bool plunged = false, by_cycle = true;
    };
    std::map<long, Bottom> bottoms;
    for (const Leg& leg : work.legs) {
        if (!leg.cuts()) continue;
        if (!leg.known || leg.run_at || leg.in_contour || leg.kind == Leg::Kind::thread) return std::nullopt;
        const bool plunge = is_plunge(leg), along = leg.dx() == 0 && leg.dz() != 0;
        if (!plunge && !along) continue;
        Bottom& bottom = bottoms[std::lround(leg.to.x_radius_mm * mm / same_mm)];
        bottom.cuts.push_back({std::min(leg.from.z_mm, leg.to.z_mm), std::max(leg.from.z_mm, leg.to.z_mm)});
        bottom.plunged = bottom.plunged || plunge;
        bottom.by_cycle =
            bottom.by_cycle && leg.of_cycle && (!bottom.first || bottom.first->block == leg.block);
        if (!bottom.first) bottom.first = &leg;
        bottom.last = &leg;
    }
    std::vector<Grooves> all;
    for (auto& [x, bottom] : bottoms) {
        if (!bottom.plunged) continue;
        std::sort(bottom.cuts.begin(), bottom.cuts.end(),
                  [](const Cut& a, const Cut& b) { return a.low < b.low; });
        Grooves grooves{&work, bottom.last, 1, bottom.by_cycle};
        double high = bottom.cuts.front().high;
        for (const Cut& cut : bottom.cuts) {
            if (cut.low - high > *width + wall_mm / mm) ++grooves.count;
            high = std::max(high, cut.high);
        }
        all.push_back(grooves);
    }
    return all;
}

/// What the notes of the tool's sequence count, else those of the head; nullopt: nothing, or two numbers.
std::optional<NotedCount> noted_grooves(const WorksContext& context, const Work& work) {
    const Span& own = context.spans[work.span];
    const auto counted = [&](const Span& span) {
        std::vector<NotedCount> counts = noted_counts(context.reader, span.first, span.last);
        std::erase_if(counts, [](const NotedCount& count) { return !count.of_grooves; });
        return counts;
    };
    std::vector<NotedCount> counts = counted(own);
    if (counts.empty())
        for (const Span& span : context.spans)
            if (!span.sequence && span.program == own.program)
                for (const NotedCount& count : counted(span)) counts.push_back(count);
    for (const NotedCount& count : counts)
        if (count.number != counts.front().number) return std::nullopt;
    return counts.empty() ? std::nullopt : std::optional(counts.front());
}

void works(const WorksContext& context, Report& report) {
    // Grooves on two sides of a part, or of several parts, are counted together by nobody.
    for (const Workpiece& part : context.parts) {
        std::vector<Grooves> all;
        for (const Work* work : part.works) {
            if (work->driven_tool || !is_blade(*work) || is_part_off(context, *work)) continue;
            const auto found = grooves_of(context, *work);
            if (!found) return;
            all.insert(all.end(), found->begin(), found->end());
        }
        std::size_t sum = 0;
        for (const Grooves& grooves : all) sum += grooves.count;
        for (const Grooves& grooves : all) {
            if (grooves.count < 2) continue;
            const auto noted = noted_grooves(context, *grooves.work);
            if (!noted) continue;
            const auto number = static_cast<std::size_t>(noted->number);
            const bool as_noted = std::any_of(all.begin(), all.end(), [&](const Grooves& one) {
                return one.count == number || one.count == 2 * number;
            });
            if (as_noted || sum == number) continue;
            const Leg* giver = grooves.last;
            while (!grooves.by_cycle && giver != grooves.work->legs.data() && !giver->moves_z) --giver;
            context.at(report, *grooves.work, *giver, grooves.by_cycle ? "QKZW" : "ZW")
                .message(said(
                    "{} grooves are cut to {} here, and the note says \"{}\": {}. Is a step or a Z wrong, or "
                    "is a block lost or written twice?",
                    grooves.count, context.x(grooves.last->to.x_radius_mm), noted->text,
                    grooves.count > number ? said("one goes where the part is to stand")
                                           : said("the others are not made")))
                .related(noted->note, said("counted here"));
            return;
        }
    }
}

} // namespace

extern const Check check{
    .id = "groove_count_unlike_note",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "Another number of grooves than the note counts",
    .documentation = "A note of the sequence or the head counts grooves (3 GROOVES, DREI RINGNUTEN), and the "
                     "blade, by its width, "
                     "cuts another number of them to one diameter, with a wall between each and the next: "
                     "the step of the cycle, a "
                     "Z or a lost block is the reason. What loops and called programs make is told there. "
                     "Where no note gives the "
                     "width of the blade nothing is said.",
    .works = works,
    .examples =
        {
            {System::C, R"(
(ANSATZ D16 MIT DREI RINGNUTEN)
(T06 NUTSTAHL 1.5 LINKE KANTE)
G71 G90 G95
T0606
G97 S1400 M3
G0 X20. Z-7.5
G77 R0.2
G77 X13. Z-15.5 P750 Q2000 F0.04
;                    ^^^^^ warning: groove_count_unlike_note
G0 X60. Z40.
M30
)"},
            {System::A, R"(
G20 G99
T0404 (GROOVE TOOL .125 WIDE, LEFT EDGE)
(3 GROOVES)
G97 S900 M03
G00 X2.1 Z-.5
G01 X1.8 F.004
G00 X2.1
Z-1.5
;^^^^ warning: groove_count_unlike_note
G01 X1.8
G00 X2.1
G00 X6. Z4.
M30
)"},
            {System::C, R"(
(ANSATZ D16 MIT DREI RINGNUTEN)
(T06 NUTSTAHL 1.5 LINKE KANTE)
G71 G90 G95
T0606
G97 S1400 M3
G0 X20. Z-7.5
G77 R0.2
G77 X13. Z-15.5 P750 Q4000 F0.04
G0 X60. Z40.
M30
)"},
            // Two plunges for each; another depth for the third.
            {System::B, R"(
(2 GROOVES 5 WIDE)
(T04 GROOVE 3 WIDE LEFT EDGE)
G21 G90 G95
T0404
G97 S900 M03
G00 X52. Z-10.
G01 X44. F.08
G00 X52.
Z-12.
G01 X44.
G00 X52.
Z-30.
G01 X44.
G00 X52.
Z-32.
G01 X44.
G00 X80.
M30
)"},
            {System::A, R"(
(3 GROOVES)
(T04 GROOVE 3 WIDE LEFT EDGE)
G21 G99
T0404
G97 S900 M03
G00 X52. Z-10.
G01 X44. F.08
G00 X52.
Z-20.
G01 X44.
G00 X52.
Z-30.
G01 X41.
G00 X80.
M30
)"},
            right_turning_a,
        },
};

} // namespace turnwright::checks::rules::groove_count_unlike_note

// A live tool that is stopped and never started: the chuck spindle was started in its place.
//
// That M13 and M14 start a live tool and M15 stops it, as M03 to M05 do the spindle: common practice, no
// source.
#include "checks/works.h"
#include "language/said.h"
#include "machine/whole_number.h"

#include <set>

namespace turnwright::checks::rules::live_tool_not_started {

namespace {

/// What one span says of the spindle and of the live tool.
struct Told {
    std::optional<BlockPlace> turns;      ///< Where the spindle was started that turns still
    std::optional<BlockPlace> positioned; ///< The first C while it turns
    std::optional<BlockPlace> stops;      ///< M15 behind that
    bool starts_live = false;
    bool forward = true;
};

Told told_by(const machine::Reader& reader, const Span& span) {
    Told told;
    reader.visit_span(span.first, span.last, [&](const BlockView& at) {
        if (!at.reading.is_read || told.stops) return;
        const BlockPlace here{at.run_index, at.block};
        for (const machine::Word& word : at.reading.words) {
            if (word.letter != 'M' || !word.value.known()) continue;
            if (word.value.number == 13 || word.value.number == 14) told.starts_live = true;
            // With an effect of its own it is something else.
            if (word.value.number == 15 && told.positioned && !word.own && !word.code) told.stops = here;
        }
        if (at.reading.code(Meaning::spindle_stop)) told.turns.reset(), told.positioned.reset();
        for (Meaning way : {Meaning::spindle_forward, Meaning::spindle_reverse})
            if (at.reading.code(way)) {
                told.turns = here;
                told.forward = way == Meaning::spindle_forward;
                told.positioned.reset();
            }
        const bool homes = at.reading.motion == MotionKind::reference;
        if (told.turns && !told.positioned && !homes && at.reading.moves_other && at.reading.has('C'))
            told.positioned = here;
    });
    return told;
}

/// C is positioned, a drilling cycle cuts with S given and nothing turning, and M15 comes behind it.
struct Still {
    std::optional<BlockPlace> speed, cut, stops;
};
Still still_in(const machine::Reader& reader, const Span& span) {
    Still still;
    bool may_start = false, positioned = false;
    reader.visit_span(span.first, span.last, [&](const BlockView& at) {
        if (!at.reading.is_read || may_start || still.stops) return;
        const BlockPlace here{at.run_index, at.block};
        if (at.reading.code(Meaning::spindle_forward) || at.reading.code(Meaning::spindle_reverse))
            may_start = true;
        for (const machine::Word& word : at.reading.words) {
            if (word.letter == 'S') still.speed = here;
            if (word.letter == 'C' && at.reading.motion != MotionKind::reference) positioned = true;
            if (word.letter != 'M' || !word.value.known()) continue;
            const int number = machine::whole_number(word.value.number);
            if (number == 15 && still.cut && !word.own && !word.code) still.stops = here;
            // What a builder's code does behind S nobody can say.
            if (number == 13 || number == 14 || (!still.cut && still.speed && !word.code)) may_start = true;
        }
        if (still.cut || !positioned || at.reading.motion != MotionKind::drill_cycle) return;
        if (!at.before.of(Group::spindle_direction).is(Meaning::spindle_stop))
            may_start = true;
        else
            still.cut = here;
    });
    if (may_start || !still.speed || !still.stops) return {};
    return still;
}

void works(const WorksContext& context, Report& report) {
    std::set<std::size_t> seen;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (!work->driven_tool || !seen.insert(work->span).second) continue;
            if (const Still still = still_in(context.reader, context.spans[work->span]); still.cut) {
                report.at_letter(*still.speed, 'S')
                    .message(said("S is given here, C is positioned and the cycle below drills, and nothing "
                                  "has started the live tool that M15 stops behind it: the drill is pushed "
                                  "into the part and breaks. Is M13 lost?"))
                    .related(*still.cut, said("drills"))
                    .related(*still.stops, said("stops the live tool"));
                continue;
            }
            const Told told = told_by(context.reader, context.spans[work->span]);
            if (!told.stops || told.starts_live) continue;
            const Meaning way = told.forward ? Meaning::spindle_forward : Meaning::spindle_reverse;
            auto entry = report_at_code(report, context.reader, *told.turns, way);
            entry
                .message(said("{} turns the chuck spindle, then C is positioned, and M15 stops a live "
                              "tool that nothing has started: the part turns against a standing tool, "
                              "or the control alarms. Is {} meant?",
                              code(context.reader.settings(), way), told.forward ? "M13" : "M14"))
                .related(*told.positioned, said("C is positioned"))
                .related(*told.stops, said("stops the live tool"));
        }
}

} // namespace

extern const Check check{
    .id = "live_tool_not_started",
    .family = Family::spindle,
    .severity = Severity::warning,
    .title = "Live tool that is stopped and was never started",
    .documentation =
        "A sequence starts the chuck spindle by M03 or M04, positions C while it turns and ends with M15, "
        "and "
        "neither M13 nor M14 stands in it: the spindle was started in place of the live tool. The tool "
        "stands "
        "and the part turns against it, or the control alarms. Or S is given with no code that starts "
        "anything, and a cycle drills with C positioned. Write M13 (M14 for the other way). Told only "
        "where the program itself writes M15; machines whose live tool starts by other codes stay quiet.",
    .works = works,
    .examples =
        {
            // Nothing is started at all.
            {System::C, R"(
G70 G90 G95
M05
T1111
M45
G28 C0
G94
G97 S2400
;   ^^^^^ warning: live_tool_not_started
G00 X1.8 Z-1.2 C0
G87 X1. Q1000 F5.
C120.
G80
G00 X2.5
M15
M46
M30
)"},
            {System::C, R"(
G70 G90 G95
M05
T1111
M45
G28 C0
G94
G97 S2400 M33
G00 X1.8 Z-1.2 C0
G87 X1. Q1000 F5.
C120.
G80
G00 X2.5
M15
M46
M30
)"},
            {System::A, R"(
G21 G99
T0909
M45
G28 H0
G98
G97 S1800 M03
;         ^^^ warning: live_tool_not_started
G00 X44. Z-20. C0.
G87 X20. Q4000 F120.
C90.
G80
G00 X60.
M15
M46
M30
)"},
            {System::B, R"(
G20 G90 G94
T0707
M19
G97 S1200 M04
;         ^^^ warning: live_tool_not_started
G00 X1.5 Z.1 C0
G01 Z-.5 F4.
G00 Z.1
C180.
G01 Z-.5 F4.
G00 Z.1
M15
M30
)"},
            {System::A, R"(
G21 G98
T0909
G97 S1800 M13
G00 X44. Z-20. C0.
G01 X20. F120.
G00 X60.
M15
M05
M30
)"},
            {System::B, R"(
G21 G90 G94
T0909
G97 S1800 M03
G00 X44. Z-20. C0.
G01 X20. F120.
G00 X60.
M05
M15
M30
)"},
            {System::C, R"(
G71 G90 G94
T0909
G97 S1800 M03
G00 X44. Z-20. C0.
G01 X20. F120.
G00 X60.
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::live_tool_not_started

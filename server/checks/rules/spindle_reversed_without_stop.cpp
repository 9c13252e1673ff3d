// M03 straight to M04, or back, with no M05 between.
#include "checks/rule.h"
#include "language/said.h"

namespace turnwright::checks::rules::spindle_reversed_without_stop {

namespace {

struct Reversal {
    BlockPlace place;
    Meaning now = Meaning::spindle_forward;
};

std::optional<Meaning> reversed_in(const BlockView& view) {
    auto reverses = [&](Meaning before, Meaning now) {
        return view.before.spoken_to() == view.after.spoken_to() && view.before.is(before) &&
               view.reading.code(now) && view.after.is(now);
    };
    const bool forward = reverses(Meaning::spindle_reverse, Meaning::spindle_forward);
    const bool backward = reverses(Meaning::spindle_forward, Meaning::spindle_reverse);
    if (!forward && !backward) return std::nullopt;
    // On the way round in a tapped hole it is what is wanted.
    const bool on_centre = view.before.x_radius.is(0) && view.before.z.known() && view.before.z.number < 0;
    if (on_centre && view.before.is(Meaning::thread)) return std::nullopt;
    return forward ? Meaning::spindle_forward : Meaning::spindle_reverse;
}

/// Both ways round are in force somewhere in it, or one where it is entered. Where nothing is known at its entry, no
/// reversal is certain there either: asking for the states of tens of thousands of such programs took half of a check.
bool may_reverse(const Span& span) {
    constexpr auto group = static_cast<std::size_t>(Group::spindle_direction);
    const std::uint16_t met = span.facts->seen[group] | span.facts->at_entry[group].possible;
    const auto has = [&](Meaning way) { return (met >> codes::member_of(way) & 1u) != 0; };
    return has(Meaning::spindle_forward) && has(Meaning::spindle_reverse);
}

/// Once for a program: it is one habit, as often as it is kept.
void file(const FileContext& context, Report& report) {
    const machine::ProgramPart* program = nullptr;
    std::vector<Reversal> found;
    const auto tell = [&] {
        if (found.empty()) return;
        const BlockPlace first = found.front().place;
        const Meaning now = found.front().now;
        const std::string stop = code(context.settings(), Meaning::spindle_stop);
        report_at_code(report, context.reader(), first, now)
            .message(
                found.size() == 1
                    ? said("The spindle turns the other way when {} comes: the drive has to brake it first. "
                           "Write {} before it.",
                           code(context.settings(), now), stop)
                    : said("The spindle turns the other way when {0} comes, here and at {1} more places of "
                           "this program: the drive has to brake it first. Write {2} before each.",
                           code(context.settings(), now), found.size() - 1, stop))
            .origin(part(Group::spindle_direction))
            .fix([&](const machine::Reader& reader) {
                Fix fix{found.size() == 1 ? said("Write M05 above") : said("Write M05 above each"),
                        {},
                        true,
                        true};
                for (const Reversal& one : found)
                    reader.visit_span(one.place, one.place, [&](const BlockView& view) {
                        fix.edits.push_back(insert_block_before(view, "M05"));
                    });
                return fix;
            });
        found.clear();
    };
    for (const Span& span : context.spans()) {
        if (span.program != program) tell();
        program = span.program;
        if (!may_reverse(span)) continue;
        context.reader().visit_span(span.first, span.last, [&](const BlockView& view) {
            if (const auto now = reversed_in(view)) found.push_back({{view.run_index, view.block}, *now});
        });
    }
    tell();
}

} // namespace

extern const Check check{
    .id = "spindle_reversed_without_stop",
    .family = Family::spindle,
    .severity = Severity::information,
    .title = "Spindle reversed while it turns",
    .documentation =
        "The spindle is told to turn the other way while it turns. The drive brakes it as hard as it "
        "can, a heavy chuck loads gears and belts, and the tool may still be in the cut. Write M05 "
        "first, and let it stop.",
    .file = file,
    .examples =
        {
            // One habit.
            {System::C, R"(
G71 G97 S500 M03
T0101
M04
;^^ information: spindle_reversed_without_stop
S800
M03
M04
M30
)"},
            {System::A, R"(
G21 G97 S500 M03
T0101
M04
;^^ information: spindle_reversed_without_stop
M30
)"},
            {System::B, R"(
G20 G97 S500 M04
T0101 S600 M03
;          ^^^ information: spindle_reversed_without_stop
M30
)"},
            {System::C, R"(
G71 G97 S500 M03
M05
M04
M30
)"},
            {System::A, R"(
G97 S500 M03
S600 M03
M30
)"},
            {System::B, R"(
G21 G90 G95
T0707
G97 S300 M03
G00 X0 Z6.
G33 Z-13. F1.25
M04
G33 Z6. F1.25
M05
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::spindle_reversed_without_stop

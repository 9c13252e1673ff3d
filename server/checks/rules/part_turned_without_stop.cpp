// The second side begins at another datum, and no stop stands before it.
//
// What a part is turned round for, and that a person does it: common practice, no source.
#include "checks/head_stock.h"
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace turnwright::checks::rules::part_turned_without_stop {

namespace {

/// Codes of the builder from here on may turn, feed or take over the part.
constexpr double first_code_of_builder = 10;
constexpr double near_face_mm = 3, centre_mm = 1;
/// A face of a ring goes in by so much of the radius that it begins at, and by so much at least.
constexpr double most_left = 0.85, least_face_mm = 5;

/// A cut across the face to the centre, at the front, or of a ring from outside far in.
bool faces(const Work& work) {
    return std::any_of(work.legs.begin(), work.legs.end(), [&](const Leg& leg) {
        return leg.cuts() && leg.known && leg.dz() == 0 && leg.dx() < 0 &&
               (leg.to.x_radius_mm * work.unit_mm < centre_mm ||
                (leg.to.x_radius_mm < most_left * leg.from.x_radius_mm &&
                 -leg.dx() * work.unit_mm > least_face_mm)) &&
               std::abs(leg.to.z_mm) * work.unit_mm < near_face_mm;
    });
}
bool faces(const Workpiece& part) {
    return std::any_of(part.works.begin(), part.works.end(), [](const Work* work) { return faces(*work); });
}
bool cuts_off(const Workpiece& part) {
    return std::any_of(part.works.begin(), part.works.end(), [](const Work* work) {
        return is_blade(*work) && std::any_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
                   return is_plunge(leg) && leg.to.x_radius_mm < leg.from.x_radius_mm / 3;
               });
    });
}
bool has_code_to_turn(const Acts& acts, const Act& act, double first_common) {
    const auto words = acts.words_of(act);
    return std::any_of(words.begin(), words.end(), [&](const ActWord& word) {
        const bool is_common =
            word.number >= first_common && (word.number < first_code_of_builder || word.number == 13 ||
                                            word.number == 14 || word.number == 98 || word.number == 99);
        return word.letter == 'M' && !is_common;
    });
}

/// A way home that the program calls behind more tools than these, and that stops only for whoever wants it:
/// nobody turns the part at each.
bool is_way_home(const WorksContext& context, int number) {
    constexpr std::size_t least_calls = 3;
    std::size_t calls = 0;
    bool found = false;
    for (const Span& span : context.spans) {
        const Acts& acts = *span.facts->acts.held;
        const bool its_own = span.program->number == number;
        found = found || its_own;
        for (const Act& act : acts.acts) {
            calls += act.calls_program && number_called(acts, act) == number;
            if (its_own && (act.calls_program || has_code_to_turn(acts, act, 1))) return false;
        }
    }
    return found && calls >= least_calls;
}

/// A stop, a code of the builder or a call: somebody or something may turn the part there.
bool may_turn_part(const WorksContext& context, const Acts& acts, const Act& act) {
    if (act.calls_program) {
        const auto number = number_called(acts, act);
        return !number || !is_way_home(context, *number);
    }
    return has_code_to_turn(acts, act, 2);
}

/// Between two works nothing can have turned the part; the block there that states the datum, if one does.
struct Between {
    bool not_turned = false;
    BlockPlace from, to;
    const Span* span = nullptr;
    const Act* datum = nullptr;
};
Between between(const WorksContext& context, const Work& last, const Work& first) {
    // What is called stands elsewhere.
    const auto own = [](const Leg& leg) { return !leg.run_at; };
    const auto end = std::find_if(last.legs.rbegin(), last.legs.rend(), own);
    const auto begin = std::find_if(first.legs.begin(), first.legs.end(), own);
    if (end == last.legs.rend() || begin == first.legs.end()) return {};
    const BlockPlace from = context.place(last, *end), to = context.place(first, *begin);
    Between found{true, from, to};
    for (std::size_t i = last.span; i <= first.span; ++i) {
        const Span& span = context.spans[i];
        const Acts& acts = *span.facts->acts.held;
        if (!acts.whole) return {};
        for (const Act& act : acts.acts) {
            const BlockPlace place = span.place(act.place);
            if (place < from || to < place) continue;
            if (may_turn_part(context, acts, act)) return {};
            if (act.states(Group::datum)) {
                found.span = &span;
                found.datum = &act;
            }
        }
    }
    return found;
}

/// A note says that the other side comes, and the tool that follows faces again.
void look_for_noted(const WorksContext& context, Report& report) {
    const Work* before = nullptr;
    bool faced = false;
    for (const Workpiece& part : context.parts)
        for (const Work* work : part.works) {
            if (work->legs.empty()) continue;
            const Work* last = std::exchange(before, work);
            const bool goes_on =
                last && context.spans[work->span].program == context.spans[last->span].program;
            if (!goes_on) faced = false;
            const bool may_be_second = goes_on && faced && !work->behind_stop && work->tool >= 0 &&
                                       !work->called_at && !last->called_at && faces(*work);
            faced = faced || faces(*work);
            if (!may_be_second) continue;
            const Between gap = between(context, *last, *work);
            if (!gap.not_turned || gap.datum) continue; // Told by the datum
            const auto note = other_side_noted(context.reader, gap.from, gap.to);
            if (!note) continue;
            report.at(*note).message(
                said("The note speaks of the other side, and T{:02} faces again, with no stop before it: the "
                     "tools run at once over the side that is done, or somebody reaches in as they come. "
                     "Write M00 where the part is turned round.",
                     work->tool));
            return;
        }
}

/// A subprogram that calls tools and cuts at known places, and in which nothing turns or feeds the part.
bool works_one_side(const WorksContext& context, int number) {
    bool calls_tool = false, cuts_any = false;
    for (const Span& span : context.spans) {
        const Acts& acts = *span.facts->acts.held;
        if (!span.program->is_subprogram || span.program->number != number) continue;
        if (!acts.whole) return false;
        for (const Act& act : acts.acts) {
            const bool cuts = act.cuts() || act.threads() || act.taps();
            const bool known_place = !act.incremental && !act.by_u && !act.by_w &&
                                     (!act.moves_x || known(act.to_x)) && (!act.moves_z || known(act.to_z));
            if (act.calls_program || act.states(Group::datum) || has_code_to_turn(acts, act, 2) ||
                (cuts && !known_place))
                return false;
            calls_tool = calls_tool || act.calls_tool;
            cuts_any = cuts_any || cuts;
        }
    }
    return calls_tool && cuts_any;
}

/// The same side of the part is worked on twice, one call behind the other, where nothing turns it.
void look_for_called_twice(const WorksContext& context, Report& report) {
    const machine::ProgramPart* program = nullptr;
    std::optional<int> called; ///< Last, and nothing has moved or turned since
    for (const Span& span : context.spans) {
        if (std::exchange(program, span.program) != span.program) called.reset();
        const Acts& acts = *span.facts->acts.held;
        if (program->is_subprogram || (!called && !acts.calls_programs)) continue;
        for (const Act& act : acts.acts) {
            if (!act.calls_program) {
                if (called && (act.moves() || act.calls_tool || act.states(Group::datum) ||
                               has_code_to_turn(acts, act, 2)))
                    called.reset();
                continue;
            }
            const auto number = number_called(acts, act);
            if (number && called == number && works_one_side(context, *number)) {
                report.at(span.place(act.place))
                    .message(said(
                        "O{} is called once more with nothing in between, in the same datum: its tools cut "
                        "what they have just cut. If the part is to be turned round here, it is not, and the "
                        "other end is not made. Write M00 in front of this call.",
                        *number));
                return;
            }
            called = number;
        }
    }
}

void works(const WorksContext& context, Report& report) {
    look_for_noted(context, report);
    look_for_called_twice(context, report);
    for (std::size_t p = 1; p < context.parts.size(); ++p) {
        const Workpiece &before = context.parts[p - 1], &now = context.parts[p];
        if (before.works.empty() || now.works.empty()) continue;
        const Work &last = *before.works.back(), &first = *now.works.front();
        if (first.behind_stop || first.tool < 0 || first.called_at || last.called_at) continue;
        if (last.legs.empty() || first.legs.empty()) continue;
        if (context.spans[first.span].program != context.spans[last.span].program) continue;
        if (!faces(before) || !faces(now) || cuts_off(before)) continue;
        const Between gap = between(context, last, first);
        if (!gap.datum) continue;
        const BlockPlace place = gap.span->place(gap.datum->place);
        report.at(place).message(said(
            "Another datum from here on, and T{:02} begins with a face again, with no stop before "
            "it: if the part is to be turned round here, the second side would run at once over the first. "
            "Write M00 where it is turned.",
            first.tool));
    }
}

} // namespace

extern const Check check{
    .id = "part_turned_without_stop",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "Second side begins without a stop",
    .documentation =
        "Both sides of a part in one program: the tools before have faced it and worked on it, "
        "here another datum (G54 to G59), or a note that speaks of the other side, comes and a tool faces "
        "again; or a subprogram with its own tools is called twice with nothing in between. Somebody has to "
        "turn "
        "the "
        "part round between the two, and no stop (M00 or M01) stands there: the second side would run at "
        "once "
        "over the first. Programs that cut the part off in between, or have codes of the machine's builder "
        "there that may feed or hand over the part, are left out.",
    .works = works,
    .examples =
        {
            {System::A, R"(
G21 G99 G54
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X44. Z2.
G01 Z-30.
G28 U0 W0
M05
G55
;^^ warning: part_turned_without_stop
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X40. Z2.
G01 Z-20.
M30
)"},
            {System::B, R"(
G20 G90 G95 G54
T0101
G97 S800 M03
G00 X2. Z0
G01 X-.06 F.008
G00 X1.8 Z.1
G01 Z-1.
G00 X4. Z4.
T0101 G56
;^^^^^^^^ warning: part_turned_without_stop
G97 S800 M03
G00 X2. Z0
G01 X-.06 F.008
G00 X1.7 Z.1
G01 Z-.5
M30
)"},
            // A ring.
            {System::B, R"(
G21 G90 G95 G54
T0101
G97 S800 M03
G00 X134. Z0
G01 X46. F0.2
G00 X125. Z2.
G01 Z-30.
G00 X200. Z100. M05
G55
;^^ warning: part_turned_without_stop
T0101
G97 S800 M03
G00 X134. Z0
G01 X56. F0.2
G00 X120. Z2.
G01 Z-20.
M30
)"},
            {System::C, R"(
G71 G90 G95 G54
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X44. Z2.
G01 Z-30.
G28 X60. Z20.
M00 (TURN ROUND)
G55
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X40. Z2.
G01 Z-20.
M30
)"},
            // Handed over by codes of the builder, and a next part behind a part-off.
            {System::A, R"(
G21 G99 G54
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X44. Z2.
G01 Z-30.
G28 U0 W0
M68
M69
G55
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X40. Z2.
G01 Z-20.
M30
)"},
            // The way home that is called behind each tool waits only for whoever wants it.
            {System::A, R"(
G21 G99
N1 G54 T0101
G97 S800 M03
G00 X53. Z0.
G01 X-1.6 F0.15
G00 Z2.
X46.
G01 Z-30. F0.2
X53.
M98 P1010
N2 T0202
G97 S800 M03
G00 X44. Z2.
G01 Z-20. F0.2
X50.
M98 P1010
N4 T0404
G97 S800 M03
G00 X40. Z2.
G01 Z-20. F0.2
X50.
M98 P1010
M05
(SECOND SIDE)
N5 G55 T0101
;  ^^^ warning: part_turned_without_stop
G97 S800 M03
G00 X53. Z0.2
G01 X24. F0.18
G00 Z2.
M98 P1010
M30
O1010 (HOME)
M09
G28 U0
G28 W0
M01
M99
)"},
            // A note speaks of it, and no datum.
            {System::B, R"(
G21 G90 G95
(--- COTE 1 ---)
T0101
G97 S800 M03
G00 X130. Z0.
G01 X36. F0.25
G00 X122. Z2.
G01 Z-20. F0.3
G00 X130. Z5.
G28 X130. Z5. M09
(--- COTE 2 ---)
;^^^^^^^^^^^^^^ warning: part_turned_without_stop
T0101
G97 S800 M03
G00 X130. Z0.
G01 X43. F0.25
G00 X130. Z2.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X2. Z0
G01 X-.06 F.008
G00 X1.8 Z.1
G01 Z-1.
G28 U0 W0
M05
(SECOND SIDE)
;^^^^^^^^^^^^ warning: part_turned_without_stop
T0101
G97 S800 M03
G00 X2. Z0
G01 X-.06 F.008
G00 X1.7 Z.1
G01 Z-.5
M30
)"},
            // Of a groove and of an edge nobody turns the part for; and with a stop.
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X44. Z2.
G01 Z-30.
G00 X100. Z100.
(GROOVE, OTHER SIDE)
T0404
G97 S600 M03
G00 X46. Z-20.
G01 X40. F0.05
G00 X100.
Z100.
M30
)"},
            {System::B, R"(
G21 G90 G95
(SEITE 1)
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X44. Z2.
G01 Z-30.
G28 X130. Z5. M09
M00 (UMSPANNEN)
(SEITE 2)
T0101
G97 S800 M03
G00 X48. Z0
G01 X-1.6 F0.2
G00 X44. Z2.
G01 Z-20.
M30
)"},
            // Both ends by one subprogram.
            {System::B, R"(
G20 G90 G95
M98 P1402
M05
M98 P1402
;^^^^^^^^ warning: part_turned_without_stop
M05
M30
O1402
T0101
G96 S450 M03
G00 X1.2 Z0
G01 X.4 F.006
G00 Z.1
X.94
G01 Z-.775 F.01
X1.1
G00 X2.
G28 X2. Z1.
M99
)"},
            {System::A, R"(
G21 G99
M98 P1402
M05
M00 (TURN ROUND)
M98 P1402
G55
M98 P1402
M05
M30
O1402
T0101
G96 S150 M03
G00 X32. Z0
G01 X-1.6 F.2
G00 Z2.
X28.
G01 Z-20. F.2
X32.
G28 U0 W0
M99
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::part_turned_without_stop

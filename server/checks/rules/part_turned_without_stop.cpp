// The second side begins at another datum, and no stop stands before it.
//
// What a part is turned round for, and that a person does it: common practice, no source.
#include "checks/tool_of_work.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::part_turned_without_stop {

namespace {

/// Codes of the builder from here on may turn, feed or take over the part.
constexpr double first_code_of_builder = 10;
constexpr double near_face_mm = 3, centre_mm = 1;
/// A face of a ring goes in by so much of the radius that it begins at, and by so much at least.
constexpr double most_left = 0.85, least_face_mm = 5;

/// A cut across the face to the centre, at the front, or of a ring from outside far in.
bool faces(const Workpiece& part) {
    return std::any_of(part.works.begin(), part.works.end(), [](const Work* work) {
        return std::any_of(work->legs.begin(), work->legs.end(), [&](const Leg& leg) {
            return leg.cuts() && leg.known && leg.dz() == 0 && leg.dx() < 0 &&
                   (leg.to.x_radius_mm * work->unit_mm < centre_mm ||
                    (leg.to.x_radius_mm < most_left * leg.from.x_radius_mm &&
                     -leg.dx() * work->unit_mm > least_face_mm)) &&
                   std::abs(leg.to.z_mm) * work->unit_mm < near_face_mm;
        });
    });
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

/// The block that states the datum between two works; nullptr: none does, or the part may have been turned.
struct Stated {
    const Span* span = nullptr;
    const Act* act = nullptr;
};
Stated datum_between(const WorksContext& context, const Work& last, const Work& first) {
    // What is called stands elsewhere.
    const auto own = [](const Leg& leg) { return !leg.run_at; };
    const auto end = std::find_if(last.legs.rbegin(), last.legs.rend(), own);
    const auto begin = std::find_if(first.legs.begin(), first.legs.end(), own);
    if (end == last.legs.rend() || begin == first.legs.end()) return {};
    const BlockPlace from = context.place(last, *end), to = context.place(first, *begin);
    Stated stated;
    for (std::size_t i = last.span; i <= first.span; ++i) {
        const Span& span = context.spans[i];
        const Acts& acts = *span.facts->acts.held;
        if (!acts.whole) return {};
        for (const Act& act : acts.acts) {
            const BlockPlace place = span.place(act.place);
            if (place < from || to < place) continue;
            if (may_turn_part(context, acts, act)) return {};
            if (act.states(Group::datum)) stated = {&span, &act};
        }
    }
    return stated;
}

void works(const WorksContext& context, Report& report) {
    for (std::size_t p = 1; p < context.parts.size(); ++p) {
        const Workpiece &before = context.parts[p - 1], &now = context.parts[p];
        if (before.works.empty() || now.works.empty()) continue;
        const Work &last = *before.works.back(), &first = *now.works.front();
        if (first.behind_stop || first.tool < 0 || first.called_at || last.called_at) continue;
        if (last.legs.empty() || first.legs.empty()) continue;
        if (context.spans[first.span].program != context.spans[last.span].program) continue;
        if (!faces(before) || !faces(now) || cuts_off(before)) continue;
        const Stated stated = datum_between(context, last, first);
        if (!stated.act) continue;
        const BlockPlace place = stated.span->place(stated.act->place);
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
        "here another datum (G54 to G59) comes and a tool faces again. Somebody has to turn "
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
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::part_turned_without_stop

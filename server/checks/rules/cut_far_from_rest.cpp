// One place of a cut far outside everything else of the program: a digit doubled or the point moved.
#include "checks/acts.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "language/said.h"
#include "text/letters.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <map>
#include <set>

namespace turnwright::checks::rules::cut_far_from_rest {

namespace {

/// So far outside all others a place counts as odd; and by at least so much, since small parts vary.
constexpr double times_outward = 1.8, times_deeper = 2.2, times_in_air = 3, least_mm = 12;
/// The same where parts are cut off.
constexpr double times_behind_all = 4.5;
/// The same of a hole on the centre.
constexpr double times_as_deep = 8, least_hole_mm = 100;
/// Fewer places tell no range.
constexpr std::size_t enough = 6, enough_sizes = 4;

bool cuts(const Act& act) {
    if (act.stopped()) return false;                         // A stop or a puller goes to the bar by feed
    if (act.spindle == machine::Spindle::live) return false; // Its holes have a depth of their own
    switch (act.motion) {
    case MotionKind::feed:
    case MotionKind::arc:
    case MotionKind::single_cycle:
    case MotionKind::thread:
    case MotionKind::thread_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::drill_cycle:
        return act.moves();
    default:
        return false;
    }
}
/// On the centre depths have nothing to do with what is turned.
bool on_centre(const Act& act) {
    return (known(act.from_x) && act.from_x == 0) || (!act.moves_x && !known(act.from_x));
}

/// Where cuts begin and end along one axis, in program units: all X as sizes, Z below 0 as depths.
struct Range {
    float most = 0, before = 0;         ///< The largest; the largest of another place
    std::size_t count = 0, targets = 0; ///< Of all; moves that go to the largest
    void add(float value, bool target) {
        ++count;
        if (value > most) targets = 0;
        if (target && value >= most) ++targets;
        if (value > most) {
            before = most;
            most = value;
        } else if (value < most) {
            before = std::max(before, value);
        }
    }
};

/// On the side of a second spindle, in a datum whose Z grows into the part: toward minus it goes away.
bool cuts_toward_plus(const Acts& work) {
    bool any = false;
    for (const Act& act : work.acts) {
        if (!cuts(act) || !act.moves_z || !known(act.from_z) || !known(act.to_z)) continue;
        if (act.to_z < act.from_z) return false;
        any = any || (act.to_z > act.from_z && act.to_z > 0);
    }
    return any;
}

/// Between cuts of a tool, and back in X without having cut there: no way to the change position, and no
/// start of a cut.
bool comes_back(const Acts& work, const Act& act) {
    bool cut_before = false;
    for (const Act& other : work.acts) {
        if (&other == &act) break;
        if (other.calls_tool) cut_before = false;
        cut_before = cut_before || cuts(other);
    }
    // Out of the way in both axes: a stop to measure, perhaps.
    if (!cut_before || (act.moves_z && act.to_z > 0)) return false;
    bool back = false;
    for (const Act* next = &act + 1; next < work.acts.data() + work.acts.size(); ++next) {
        if (next->calls_tool || next->ends_program || work.has_code(*next, 'M', 0) ||
            work.has_code(*next, 'M', 1))
            return false;
        if (!next->moves()) continue;
        if (cuts(*next) || next->motion == MotionKind::contour_cycle) return back;
        back = back || next->moves_x;
    }
    return false;
}

/// The next move is a cut, from here.
bool begins_cut(const Acts& work, const Act& act) {
    for (const Act* next = &act + 1; next < work.acts.data() + work.acts.size(); ++next) {
        if (next->calls_tool || next->ends_program) return false;
        if (cuts(*next)) return !next->moves_x || !next->moves_z;
        if (next->motion == MotionKind::contour_cycle) return true;
        if (next->moves_x || is_return(next->motion)) return false;
    }
    return false;
}

std::vector<double> meant(double value, double most, bool or_swapped = false);

/// With a digit doubled or the point a place off: what is meant lies where cuts begin outside of all others.
/// Large faces begin far outside of what is turned.
bool would_begin_there(double value, double rest) {
    const std::vector<double> values = meant(value, rest);
    return std::any_of(values.begin(), values.end(),
                       [&](double one) { return one > 0.95 * rest && one < 1.3 * rest; });
}

/// By rapid to where its next way along Z begins, toward the front: the far end of what it turns.
bool turns_toward_front(const Acts& work, const Act& act) {
    for (const Act* next = &act + 1; next < work.acts.data() + work.acts.size(); ++next) {
        if (next->calls_tool || next->ends_program || is_return(next->motion)) return false;
        if (!next->moves_z) continue;
        return cuts(*next) && known(next->to_z) && next->to_z > act.to_z;
    }
    return false;
}

/// The tool came by rapid to this very X before: the cut goes back to where it started.
bool stood_there(const Acts& work, const Act& act) {
    for (const Act& before : work.acts) {
        if (&before == &act) break;
        if (before.motion == MotionKind::rapid && before.moves_x && known(before.to_x) &&
            std::abs(before.to_x) == std::abs(act.to_x))
            return true;
    }
    return false;
}

/// The way to a last plunge toward the centre: parts are cut off behind all that is turned.
bool leads_to_part_off(const ToolOfSpan& tool, const Act& act, const ToolOfSpan& last, bool drilled) {
    const Act* end = tool.work->acts.data() + tool.work->acts.size();
    const auto plunges = [](const Act& cut) {
        return cuts(cut) && cut.moves_x && !cut.moves_z && known(cut.from_x) && known(cut.to_x);
    };
    const Act* first = std::find_if(&act, end, cuts);
    if (first == end || !plunges(*first)) return false;
    const Act* deepest = first; // In steps, perhaps, each with a feed of its own
    for (const Act* next = first + 1; next != end && (!next->moves() || plunges(*next)); ++next)
        if (next->moves()) deepest = next;
    // The last tool of all, or one before the part is taken over or turned round: a note calls it so, it goes
    // through the centre, or a hole has been drilled as far.
    const bool parts = drilled || &tool == &last || tool.is(NamedTool::Kind::part_off) || deepest->to_x < 0;
    return parts && std::abs(deepest->to_x) < std::abs(first->from_x) / 2;
}

/// What the hand meant where a digit is doubled or the point is a place off; not known: neither fits.
std::vector<double> meant(double value, double most, bool or_swapped) {
    std::vector<double> out;
    most *= 1.6; // It may itself be the deepest
    const std::string text = written(std::abs(value));
    if (text.size() > 2 && text[0] == text[1]) {
        const double one = std::stod(text.substr(1));
        if (one > 0 && one <= most) out.push_back(one);
    }
    if (std::abs(value) / 10 <= most) out.push_back(std::abs(value) / 10);
    if (or_swapped && text.size() > 1 && text::is_digit(text[0]) && text::is_digit(text[1]) &&
        text[0] != text[1]) {
        const double swapped = std::stod(std::string{text[1], text[0]} + text.substr(2));
        if (swapped > 0 && swapped <= most) out.push_back(swapped);
    }
    return out;
}

/// The same place is written otherwise behind it.
bool shifts_datum(const FileContext& context, std::span<const ToolOfSpan> tools) {
    return std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& tool) {
        return std::any_of(tool.work->acts.begin(), tool.work->acts.end(), [&](const Act& act) {
            return !cuts(act) && act.motion != MotionKind::rapid &&
                   find_code(context.reader(), tool.place(act), Meaning::local_datum);
        });
    });
}

/// A note of the head has a length that goes with it: "WELLE D65 X 820".
bool is_noted(const FileContext& context, const ToolOfSpan& tool, double depth) {
    constexpr std::size_t longest_head = 60;
    constexpr double most_longer = 1.25;
    const machine::ProgramPart& program = *tool.span->program;
    const BlockPlace end = program.sequences.empty() ? program.last : program.sequences.front().tool_call;
    std::size_t looked_at = 0;
    for (std::optional<BlockPlace> at = program.first; at && *at <= end && looked_at < longest_head;
         at = context.reader().neighbour(*at, true), ++looked_at)
        for (const syntax::Item& item : context.reader().items(*at)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const NotedWords note = noted_words(syntax::note_text(context.reader().line(*at).text_of(item)));
            for (std::size_t i = 0; i < note.size(); ++i)
                if (const auto length = plain_number(note.at(i));
                    length && *length >= depth && *length <= most_longer * depth)
                    return true;
        }
    return false;
}

void look_at(const FileContext& context, std::span<const ToolOfSpan> tools, std::optional<double> of_file,
             Report& report) {
    if (shifts_datum(context, tools)) return;
    Range x, z, anywhere;
    std::set<float> sizes; ///< That cuts go to in X
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) continue;
        const Act* before = nullptr; // Passes of one cycle go to one place, by one word
        for (const Act& act : tool.work->acts) {
            const bool repeats = before && before->motion == MotionKind::single_cycle &&
                                 act.motion == before->motion && act.to_z == before->to_z;
            before = &act;
            if (known(act.to_x)) anywhere.add(std::abs(act.to_x), act.moves_x);
            if (act.motion == MotionKind::contour_cycle) { // Its passes begin there
                if (known(act.from_x)) x.add(std::abs(act.from_x), false);
                if (known(act.from_z) && act.from_z < 0 && !on_centre(act)) z.add(-act.from_z, false);
            }
            if (!cuts(act)) continue;
            if (known(act.from_x)) x.add(std::abs(act.from_x), false);
            if (known(act.to_x)) x.add(std::abs(act.to_x), act.moves_x);
            if (known(act.to_x) && act.moves_x) sizes.insert(std::abs(act.to_x));
            if (on_centre(act)) continue;
            if (known(act.from_z) && act.from_z < 0) z.add(-act.from_z, false);
            if (known(act.to_z) && act.to_z < 0) z.add(-act.to_z, act.moves_z && !repeats);
        }
    }
    Range holes; ///< On the centre, one for each tool
    for (const ToolOfSpan& tool : tools) {
        float deepest = 0;
        for (const Act& act : tool.work->acts)
            if (cuts(act) && on_centre(act) && act.moves_z && known(act.to_z))
                deepest = std::max(deepest, -act.to_z);
        if (deepest > 0) holes.add(deepest, true);
    }
    const auto tell_x = [&](const ToolOfSpan& tool, const Act& act, float rest) {
        // Out in both axes, in front of the part: the way to the tool change.
        const bool way_out = act.motion == MotionKind::feed && act.moves_x && act.moves_z &&
                             known(act.to_z) && known(act.from_z) && act.to_z > 0 && act.to_z > act.from_z;
        if (way_out) {
            report.at_letter(tool.place(act), 'X')
                .message(said("{} is far outside, and the tool goes there at feed: no other cut of the "
                              "program begins or ends beyond {}. Is it the way out? Then write {}.",
                              spoken_x(act.to_x, context.settings()), spoken_x(rest, context.settings()),
                              code(context.settings(), Meaning::rapid)));
            return;
        }
        std::string hint;
        for (double one : meant(x_as_written(std::abs(act.to_x), context.settings()),
                                x_as_written(rest, context.settings())))
            hint += (hint.empty() ? " " : said(" or ")) + ("X" + written(one));
        report.at_letter(tool.place(act), 'X')
            .message(said("{} is far outside: no other {} of the program begins or ends beyond {}.{}",
                          spoken_x(act.to_x, context.settings()),
                          act.motion == MotionKind::rapid ? said("move") : said("cut"),
                          spoken_x(rest, context.settings()),
                          hint.empty() ? "" : hint + said(" is meant, perhaps.")));
    };
    for (const ToolOfSpan& tool : tools) {
        if (!tool.work->whole) continue;
        for (const Act& act : tool.work->acts) {
            const auto per_unit = mm_of(act, of_file);
            if (!per_unit || act.incremental || !(cuts(act) || act.motion == MotionKind::rapid)) continue;
            // A unit that nothing states may be the smaller one.
            const double least = act.inch() || act.millimetre() ? least_mm / *per_unit : least_mm;
            if (cuts(act) && act.moves_x && !act.by_u && x.count >= enough && known(act.to_x)) {
                const double size = std::abs(act.to_x);
                // The largest is this one, and the next a good deal smaller.
                if (static_cast<float>(size) == x.most && x.targets == 1 && x.before > 0 &&
                    size > times_outward * x.before && 2 * (size - x.before) > least &&
                    !stood_there(*tool.work, act)) {
                    tell_x(tool, act, x.before);
                    return;
                }
            }
            if (act.motion == MotionKind::rapid && act.moves_x && !act.by_u && anywhere.count >= enough &&
                known(act.to_x)) {
                const double size = std::abs(act.to_x);
                if (static_cast<float>(size) == anywhere.most && anywhere.targets == 1 &&
                    anywhere.before > 0 && size > times_in_air * anywhere.before &&
                    2 * (size - anywhere.before) > least &&
                    (comes_back(*tool.work, act) ||
                     (sizes.size() >= enough_sizes && begins_cut(*tool.work, act) &&
                      would_begin_there(x_as_written(size, context.settings()),
                                        x_as_written(anywhere.before, context.settings()))))) {
                    tell_x(tool, act, anywhere.before);
                    return;
                }
            }
            // A hole is a point off where it is many times as deep as all that is turned and drilled.
            if (cuts(act) && on_centre(act) && act.moves_z && !act.by_w && z.count >= enough &&
                known(act.to_z) && act.to_z < 0) {
                const double hole = -act.to_z, rest = std::max(z.most, holes.before);
                const std::vector<double> fitting = meant(hole, rest);
                const bool by_point = hole > times_as_deep * rest && hole / 10 > rest / 4;
                // The first digit doubled, of a hole as deep as the part is worked.
                const bool doubled = hole > times_as_deep / 2 * rest && fitting.size() == 1 &&
                                     fitting[0] > 0.7 * rest && fitting[0] != hole / 10;
                if (static_cast<float>(hole) == holes.most && (by_point || doubled) &&
                    (hole - rest) * *per_unit > least_hole_mm) {
                    report.at_letter(tool.place(act), 'Z')
                        .message(
                            said("Z{} is far beyond: nothing else of the program goes deeper than Z-{}, and "
                                 "drill, holder or turret may meet the part or the chuck. Z-{} is meant, "
                                 "perhaps.",
                                 written(act.to_z), written(rest),
                                 written(by_point ? std::round(hole * 1e3) / 1e4 : fitting[0])));
                    return;
                }
            }
            if (!act.moves_z || act.by_w || z.count < enough || !known(act.to_z) || act.to_z >= 0) continue;
            if (act.motion == MotionKind::rapid &&
                (cuts_toward_plus(*tool.work) || turns_toward_front(*tool.work, act)))
                continue;
            const double depth = -act.to_z;
            const bool only =
                static_cast<float>(depth) == z.most ? z.targets <= 1 : act.motion == MotionKind::rapid;
            const double rest = static_cast<float>(depth) == z.most ? z.before : z.most;
            if (leads_to_part_off(tool, act, tools.back(), holes.most >= depth) &&
                depth < times_behind_all * std::max<double>(rest, holes.most))
                continue;
            if (holes.most >= depth) continue; // As deep as that the part is worked
            if (!only || (cuts(act) && on_centre(act)) || rest <= 0 || depth < times_deeper * rest ||
                depth - rest < least)
                continue;
            // Long parts have one deep place, too: what is meant has to follow the place before.
            std::string hint;
            const bool far = depth > 4 * rest; // Two digits swapped may make it of much
            for (double one : meant(depth, rest, far))
                if (!known(act.from_z) || act.from_z > 0 || one >= -act.from_z)
                    hint += (hint.empty() ? "" : said(" or ")) + ("Z-" + written(one));
            if (hint.empty() || is_noted(context, tool, depth)) continue;
            report.at_letter(tool.place(act), 'Z')
                .message(
                    said("Z{} is far beyond: no other cut of the program goes deeper than Z-{}, and the tool "
                         "may meet the jaws. {} is meant, perhaps.",
                         written(act.to_z), written(rest), hint));
            return;
        }
    }
}

/// Lengths of one side say nothing of the other's: by the datum and the spindle that the tool works at.
std::vector<std::vector<ToolOfSpan>> by_sides(std::span<const ToolOfSpan> tools) {
    using Side = std::pair<std::uint16_t, std::optional<machine::Spindle>>;
    std::map<Side, std::vector<ToolOfSpan>> sides;
    for (const ToolOfSpan& tool : tools) {
        Side side{0, std::nullopt};
        std::uint16_t seen = 0;
        if (tool.span->facts) {
            side.first = tool.span->facts->at_exit[static_cast<std::size_t>(codes::Group::datum)].possible;
            seen = tool.span->facts->seen[static_cast<std::size_t>(codes::Group::datum)];
        }
        bool on_both = std::popcount(seen) > 1;
        for (const Act& act : tool.work->acts) {
            if (!cuts(act) || !act.spindle || *act.spindle == machine::Spindle::live) continue;
            on_both = on_both || (side.second && side.second != act.spindle);
            side.second = act.spindle;
        }
        if (on_both) continue;
        // Nothing stated is the datum that the lathe begins with.
        if (side.first == 0) side.first = machine::Modal::of(codes::Meaning::datum_1).possible;
        sides[side].push_back(tool);
    }
    std::vector<std::vector<ToolOfSpan>> out;
    for (auto& [side, own] : sides) out.push_back(std::move(own));
    return out;
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    const auto of_file = unit_of_file(context, tools);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        for (const std::vector<ToolOfSpan>& side : by_sides(program)) look_at(context, side, of_file, report);
    });
}

} // namespace

extern const Check check{
    .id = "cut_far_from_rest",
    .family = Family::approach,
    .severity = Severity::warning,
    .title = "One cut far outside all others",
    .documentation = "A feed goes to an X nearly twice as large as any other cut of the program begins or "
                     "ends at, or a feed "
                     "or a rapid to a Z more than twice as deep as all other turning, or a rapid between "
                     "cuts to an X three times as large as any other, and the same value "
                     "with a digit less "
                     "or the point one place on would fit: a digit was doubled, or the point slipped. Work "
                     "on the centre, U "
                     "and W are not looked at, nor programs with few places. Told once a program.",
    .file = file,
    .examples =
        {
            // A bore of two steps in a hole that is drilled deeper.
            {System::A, R"(
G21 G99
T0202
G97 S400 M03
G00 X0 Z5.
G01 Z-40. F.15
G00 Z5.
X80. Z80.
T0404
G97 S900 M03
G00 X28. Z2.
G01 Z-30. F.12
U-1.
G00 Z2.
X30.
G01 Z-10.
U-2.
G00 Z80.
M30
)"},
            // The same tool at both sides, each with a datum and a spindle of its own.
            {System::B, R"(
(M03 P1 MAIN, M03 P2 SUB, M05 P1, M05 P2)
G21 G90 G95 G40 G97
N1 T0101
G92 S3000
G96 S200 M03 P1
G00 X42. Z0
G01 X-1.6 F.2
G00 X36. Z2.
G01 Z-25. F.25
X42.
G00 X100. Z50.
M05 P1
N2 T0101
G55
G97 S1200 M03 P2
G00 X42. Z0
G01 X-1.6 F.2
G00 X36. Z2.
G01 Z-10. F.25
X42.
G00 X100. Z50.
M05 P2
M30
)"},
            // A hole.
            {System::B, R"(
G20 G90 G95
T0101
G97 S1000 M03
G00 X1.6 Z.1
X1.3
G01 Z-1.15 F.01
X1.44
X1.54 Z-1.2
X1.6
G00 X4. Z3.
T0202
G00 X0 Z.2
G01 Z-.2 F.004
G00 Z2.
T0303
G00 X0 Z.2
G74 R.05
G74 Z-22.5 Q2500 F.007
;   ^^^^^^ warning: cut_far_from_rest
G00 Z2.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G97 S1000 M03
G00 X42. Z2.
X38.
G01 Z-30. F.2
X40. Z-31.
X42.
G00 X100. Z50.
T0303
G00 X0 Z5.
G74 R.5
G74 Z-160. Q8000 F.1
G00 Z50.
M30
)"},
            // Where the first cut begins.
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X444. Z0
;   ^^^^^ warning: cut_far_from_rest
G01 X-1.6 F0.2
G00 X28. Z1.
G01 Z0
X30. Z-1.
Z-26.
X38.
Z-40.
X42.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X42. Z1.
G01 X28. Z0 F0.2
X30. Z-1.
Z-226.
;^^^^^ warning: cut_far_from_rest
X38.
Z-40.
X42.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X1.6 Z.1
G01 X1.1 F.01
Z-.5
X11.3
;^^^^ warning: cut_far_from_rest
Z-1.
X1.6
M01
T0303
G00 X1.6 Z-.5
G01 X1. F.004
G00 X1.6
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X42. Z1.
G01 X30. F0.2
Z-20.
X38.
Z-30.
X42.
M01
T0303
G00 X44. Z-115.
;       ^^^^^ warning: cut_far_from_rest
G01 X30. F0.06
G00 X44.
M30
)"},
            {System::A, R"(
G20 G99
T0101
G97 S800 M03
G00 X1.2 Z.2
X1.05
G32 Z-.8 F.0625
G00 X11.2
;   ^^^^^ warning: cut_far_from_rest
Z.2
X1.03
G32 Z-.8
G00 X1.2
Z.2
X1.02
G32 Z-.8
G00 X1.2
Z.2
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S200 M03
G00 X62. Z1.
G01 X28. Z0 F0.2
X30. Z-1.
Z-26.
X38.
Z-64.
X50.
Z-226.
X62.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X1.6 Z.1
G01 X1.1 F.01
Z-.5
X1.3
Z-1.
X1.6
G00 X20. Z20.
M01
T0202
G97 S900 M03
G00 X0 Z.2
G83 Z-5.5 R.1 F.006
G80
G00 X20. Z20.
M30
)"},
            // Parted off in two steps, far behind what is turned.
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X1.6 Z.1
G01 X.7 F.005
X1. Z-.06
Z-.8
X1.2
X1.4 Z-.9
X1.6
G00 X4. Z4.
M01
T0505 (CUTOFF .125)
G96 S250 M03
G00 Z-2.1
X1.6
G01 X.9 F.003
X.5 F.002
G00 X1.6
M30
)"},
            {System::B, R"(
(BAR PULLER)
G20 G90 G95
T0101
G97 S900 M03
G00 X.7 Z0
G01 X-.03 F.004
G00 X.45 Z.1
G01 Z-.5 F.006
X.6
G00 X3. Z3.
M05
T0808
G00 X1.5 Z-.6
G94
G01 X0 F80.
M10
Z.02 F60.
M11
X1.5 F80.
G95
G00 X3. Z3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G96 S200 M03
G00 X212. Z0
G01 X60. F0.2
G00 X62. Z1.
G01 X28. Z0 F0.2
X30. Z-1.
Z-26.
X38.
Z-44.
X62.
M30
)"},
            // A short contour that ends where the tool stood before the cycle.
            {System::C, R"(
G70 G90 G95
T0101
G97 S800 M03
G00 X2. Z.1
G73 U.1 R.02
G73 P10 Q20 U.02 W.004 F.01
N10 G00 X1.
G01 Z-.5
N20 X2.
M30
)"},
            // Cut off far behind what is turned: the bar is hexagonal.
            {System::A, R"(
G20 G99
T0101
G97 S1400 M03
G00 X1.3 Z.1
G01 X.9 F.008
Z-.6
X.94 Z-.65
X1.1
G00 X3. Z3.
M01
T0808
G97 S1200 M03
G00 X1.3 Z-1.718
G01 X.45 F.003
G00 X1.5
X3. Z3.
M30
)"},
            {System::C, R"(
G71 G90 G95
T0101
G97 S800 M03
G00 X92. Z2.
G01 X75.8 F.15
Z-30.
X88.
Z-45.
G00 X100. Z2.
T0505
G00 X39. Z2.
G20 X43. Z-620. F.2
;        ^^^^^^ warning: cut_far_from_rest
X46.
X49.
G00 Z10.
T0707
G00 X51. Z2.
G01 Z-61.
X48.
G00 Z5.
M30
)"},
            // What is meant is itself the deepest.
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X52. Z2.
G73 U2. R1.
G73 P110 Q210 U.6 W.1 F.3
N110 G00 X20.
G01 Z-30. F.12
X32. Z-33.
Z-55.
X46. Z-60.
Z-775.
;^^^^^ warning: cut_far_from_rest
N210 X52.
G00 X60. Z50.
M30
)"},
            {System::B, R"(
G20 G90 G95
T0101
G96 S400 M03
G00 X1.6 Z.1
G01 X1.1 F.01
Z-.5
X1.3
Z-1.55
X1.6
G00 X3. Z3.
M01
T0707
G00 X1.6 Z-16.25
;        ^^^^^^^ warning: cut_far_from_rest
G01 X-.03 F.003
G00 X3.
Z3.
M30
)"},
            // A blade that no note names parts off behind a short turned length, and the second side follows.
            {System::A, R"(
G21 G40 G99
T0101
G50 S2500
G96 S180 M03
G00 X32. Z0.
G01 X-1.6 F.15
G00 Z2.
X20.
G01 Z-15. F.2
X23.
X28. Z-16.45
X30.
T0909
G97 S800 M03
G00 Z-43.5
X30.
G01 X-.4 F.05
G00 X34.
T0202
G00 X32. Z-4.
Z0.
G01 X-1.6 F.15
G00 Z-2.
M30
)"},
            // Two digits swapped.
            {System::A, R"(
G21 G99
T0101
G97 S800 M03
G00 X46. Z2.
X24.
G01 Z-30. F0.2
X31.8
Z-162.
X40.
Z-812.
;^^^^^ warning: cut_far_from_rest
X44.
G00 X100. Z50.
M30
)"},
            {System::A, R"(
G21 G99
T0101
G96 S180 M03
G00 X54. Z2.
G71 U2.5 R0.5
G71 P100 Q200 U0.5 W0.1 F0.3
N100 G00 X22.85
G01 X29.85 Z-1.5 F0.15
Z-30.
X35. Z-31.
Z-90.
X48. Z-91.
Z-412.
;^^^^^ warning: cut_far_from_rest
N200 X54.
G28 U0
G28 W0
M30
)"},
            {System::B, R"(
G21 G90 G95
T0101
G96 S180 M03
G00 X54. Z2.
G71 U2.5 R0.5
G71 P100 Q200 U0.5 W0.1 F0.3
N100 G00 X22.85
G01 X29.85 Z-1.5 F0.15
Z-30.
X35. Z-31.
Z-90.
X48. Z-91.
Z-152.
N200 X54.
G00 X100. Z100.
M30
)"},
            // A hub that deep.
            {System::C, R"(
G71 G90 G95
T0101
G96 S180 M03
G00 X154. Z2.
G01 Z-20. F0.2
X156.
G00 Z2.
X150.
G01 Z-30.
X156.
G00 Z2.
X90.
G01 Z-10.
X92. Z-11.
Z-72.
X94.
G00 X200. Z100.
M30
)"},
            {System::B, R"(
(WELLE D65 X 820)
G21 G90 G95
T0202
G97 S800 M03
G00 X70. Z2.
X61.
G01 Z-760. F.3
X68.
G00 Z2.
X57.5
G01 Z-320.
X62.
G00 Z2.
X57.
G01 Z0 F.2
Z-319.9
X60.
X61. Z-320.4
G00 X100. Z50.
M30
)"},
            {System::A, R"(
(DRILLED AS FAR AS IT IS CUT OFF, AND TURNED ROUND BEHIND IT)
G21 G99
T0101
G97 S800 M03
G00 X33. Z0
G01 X-1. F.15
G00 X31. Z1.
X25.
G01 Z-18. F.2
X31.
G00 Z1.
X21.8
G01 Z-17.
X26. Z-19.
X32.
G00 X120. Z60.
T0303
S1000
G00 X0 Z3.
G01 Z-52. F.12
G00 Z3.
X120. Z60.
T0909
S600
G00 X33. Z-49.
G01 X11. F.08
G00 X33.
X120. Z60.
M05
M00
T0111
G97 S800 M03
G00 X33. Z0
G01 X10. F.12
G00 X120. Z60.
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
            // Four washers in a row, each in a shift of its own: turned for all of them first.
            {System::C, R"(
G71 G90 G95 G97 S1300 M03
T0101
G00 X44. Z2.
G20 X38.4 Z-30.5 F0.25
X38. F0.12
G00 X60. Z20.
#1=0
WHILE[#1LT4]DO1
G52 Z[-7.5*#1]
T0101
G00 X46. Z0.4
G01 Z0. F0.3
X18. F0.12
G00 Z1.
X36.
G01 Z0.5 F0.3
X38.6 Z-0.8 F0.08
G00 X60. Z20.
T0505
G00 X46. Z-7.
G01 X20. F0.08
G00 X60.
Z20.
#1=#1+1
END1
G52 Z0.
M30
)"},
            // At a second spindle Z grows into the part, and the way off goes to minus.
            {System::A, R"(
G21 G99
G54
T0101
G97 S1600 M03
G00 X36. Z3.
G01 X34. Z1. F0.2
Z-20.
X33.
Z-30.
X32.
Z-34.5
X40.
G00 X160. Z100.
T0909
G55
G00 X34. Z-3.
Z0
G01 X6. F0.1
G00 Z-2.
X24.
G01 X32. Z2.
G00 X160.
Z-80.
M30
)"},
        },
};

} // namespace turnwright::checks::rules::cut_far_from_rest

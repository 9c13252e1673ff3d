// One angle of C that falls out of the row of angles it stands in.
#include "checks/holes.h"
#include "checks/noted_words.h"
#include "checks/rule.h"
#include "checks/slips.h"
#include "checks/tool_notes.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks::rules::c_angle_out_of_row {

namespace {

struct Angle {
    const ToolOfSpan* tool;
    const Act* act;
    char letter;
    double value;
};
/// Angles that stand in a row: the holes of one cycle, the turns on one cylinder.
using Row = std::vector<Angle>;

bool belongs(const Act& act) {
    return act.motion == MotionKind::drill_cycle || act.cylinder;
}

std::vector<Row> rows_of(std::span<const ToolOfSpan> program) {
    std::vector<Row> rows;
    for (const ToolOfSpan& tool : program) {
        bool open = false;
        for (const Act& act : tool.work->acts) {
            if (!belongs(act)) {
                // A note, M code or G80 between holes ends nothing; another move does.
                if (act.motion != MotionKind::none || act.states(Group::drill_cycle)) open = false;
                continue;
            }
            // The first hole where the part stands already.
            const bool names_angle = tool.work->word(act, 'C') || tool.work->word(act, 'H');
            if (!open && !names_angle && act.motion == MotionKind::drill_cycle && known(act.to_c)) {
                rows.push_back({{&tool, &act, 'C', act.to_c}});
                open = true;
            }
            for (const char letter : {'C', 'H'}) {
                const ActWord* word = tool.work->word(act, letter);
                if (!word || act.motion == MotionKind::none) continue;
                if (!open) rows.emplace_back();
                open = true;
                rows.back().push_back({&tool, &act, letter, word->number});
            }
        }
    }
    return rows;
}

/// The only place where two rows of equal length differ; nullopt: none, or several.
std::optional<std::size_t> only_difference(const Row& a, const Row& b) {
    if (a.size() != b.size()) return std::nullopt;
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < a.size(); ++i) {
        if (a[i].letter == b[i].letter && a[i].value == b[i].value) continue;
        if (found) return std::nullopt;
        found = i;
    }
    return found;
}

/// What the row would have at its only angle that is out of equal steps; nullopt: none is, or several.
struct OutOfStep {
    std::size_t at;
    double expected;
};
std::optional<OutOfStep> out_of_step(const Row& row) {
    for (const Angle& angle : row)
        if (angle.letter != 'C') return std::nullopt;
    const std::size_t count = row.size();
    if (count < 3) return std::nullopt;
    const auto fits = [](double a, double b) { return std::abs(a - b) < 1e-6; };
    // Three round the part: 0, 120 and something else.
    if (count == 3) {
        const double step = row[1].value - row[0].value;
        if (fits(step, 120) && !fits(row[2].value, row[0].value + 240))
            return OutOfStep{2, row[0].value + 240};
        return std::nullopt;
    }
    for (std::size_t out = 0; out < count; ++out) {
        const std::size_t a = out == 0 ? 1 : 0, b = out == count - 1 ? count - 2 : count - 1;
        const double step = (row[b].value - row[a].value) / static_cast<double>(b - a);
        if (fits(step, 0)) continue;
        bool rest_fits = true;
        for (std::size_t i = 0; i < count; ++i) {
            const double expected = row[a].value + step * (static_cast<double>(i) - static_cast<double>(a));
            if (i != out && !fits(row[i].value, expected)) rest_fits = false;
        }
        const double expected = row[a].value + step * (static_cast<double>(out) - static_cast<double>(a));
        if (!rest_fits || fits(row[out].value, expected)) continue;
        // Of four the ends may belong to another row; of five no more.
        if (count == 4 && (out == 0 || out == 3) && !fits(std::abs(step), 90)) continue;
        return OutOfStep{out, expected};
    }
    return std::nullopt;
}

/// Angles that a tool is turned to by a block of their own, with a cut by the side or the end of the mill
/// behind each: flats, slots.
std::vector<Row> milled_rows(std::span<const ToolOfSpan> program) {
    std::vector<Row> rows;
    for (const ToolOfSpan& tool : program) {
        Row row;
        bool cut = true, plain = true;
        for (const Act& act : tool.work->acts) {
            plain = plain && act.motion != MotionKind::drill_cycle && !act.polar && !act.cylinder &&
                    !act.calls_program && !(tool.work->word(act, 'H') && !is_return(act.motion));
            if (act.cuts() && (act.part_stands || act.spindle == machine::Spindle::live)) cut = true;
            const ActWord* c = tool.work->word(act, 'C');
            if (!c || act.cuts() || is_return(act.motion)) continue;
            if (!std::exchange(cut, false)) {
                if (!row.empty()) row.back() = {&tool, &act, 'C', c->number};
                continue;
            }
            row.push_back({&tool, &act, 'C', c->number});
        }
        if (plain && row.size() >= 4) rows.push_back(std::move(row));
    }
    return rows;
}

/// The holes of one tool on one circle of the face, or round the side at one Z.
struct Circle {
    const ToolOfSpan* tool = nullptr;
    bool side = false;
    float place = 0;
    std::vector<Angle> angles;
    bool has(double angle) const {
        return std::any_of(angles.begin(), angles.end(), [&](const Angle& some) {
            return std::abs(std::remainder(some.value - angle, 360)) < 1e-3;
        });
    }
};
std::vector<Circle> circles_of(std::span<const ToolOfSpan> program, const machine::Settings& settings) {
    std::vector<Circle> circles;
    for (const Hole& hole : holes_of(program, settings)) {
        if (!known(hole.c) || !known(hole.place) || hole.count != 1 || (known(hole.y) && hole.y != 0))
            continue;
        const auto same = std::find_if(circles.begin(), circles.end(), [&](const Circle& circle) {
            return circle.tool == hole.tool && circle.side == hole.side &&
                   std::abs(circle.place - hole.place) < 1e-3F;
        });
        Circle& circle = same == circles.end()
                             ? circles.emplace_back(Circle{hole.tool, hole.side, hole.place, {}})
                             : *same;
        if (!circle.has(hole.c)) circle.angles.push_back({hole.tool, hole.act, 'C', hole.c});
    }
    return circles;
}
bool on_one(const Circle& a, const Circle& b) {
    return a.tool != b.tool && a.side == b.side && std::abs(a.place - b.place) < 1e-3F;
}
/// The angles and one more stand in equal steps all round.
bool closes_with(const Circle& circle, double angle) {
    const auto in_turn = [](double value) { return std::fmod(std::fmod(value, 360) + 360, 360); };
    std::vector<double> all;
    if (!circle.has(angle)) all.push_back(in_turn(angle));
    for (const Angle& some : circle.angles) all.push_back(in_turn(some.value));
    std::sort(all.begin(), all.end());
    const double step = 360.0 / static_cast<double>(all.size());
    for (std::size_t i = 1; i < all.size(); ++i)
        if (std::abs(all[i] - all[i - 1] - step) > 0.02) return false;
    return all.size() >= 3;
}

/// One tool leaves out one hole of the circle that another one has, which closes the row all round.
void look_for_lost(const std::vector<Circle>& circles, Report& report) {
    for (const Circle& circle : circles)
        for (const Circle& other : circles) {
            if (!on_one(circle, other) || circle.angles.size() < 2) continue;
            const bool has_all = std::all_of(circle.angles.begin(), circle.angles.end(),
                                             [&](const Angle& some) { return other.has(some.value); });
            const auto missing = static_cast<std::size_t>(
                std::count_if(other.angles.begin(), other.angles.end(),
                              [&](const Angle& some) { return !circle.has(some.value); }));
            // All but one of a circle that is whole in itself, and others beside them.
            const bool all_but_one = !has_all && missing == 1 && other.angles.size() >= 4 &&
                                     closes_with(other, other.angles.front().value);
            if (!has_all && !all_but_one) continue;
            const auto lost = std::find_if(other.angles.begin(), other.angles.end(), [&](const Angle& some) {
                return !circle.has(some.value) && (all_but_one || closes_with(circle, some.value));
            });
            if (lost == other.angles.end()) continue;
            // A tool of its own makes that one.
            const bool by_another = std::any_of(circles.begin(), circles.end(), [&](const Circle& third) {
                return on_one(circle, third) && third.tool != other.tool && third.has(lost->value) &&
                       !third.has(circle.angles.front().value);
            });
            if (by_another) continue;
            // Behind the hole that stands before it in the other tool's row.
            const Angle* behind = &circle.angles.back();
            for (auto at = lost; at != other.angles.begin();) {
                --at;
                const auto own =
                    std::find_if(circle.angles.begin(), circle.angles.end(), [&](const Angle& some) {
                        return std::abs(std::remainder(some.value - at->value, 360)) < 1e-3;
                    });
                if (own == circle.angles.end()) continue;
                behind = &*own;
                break;
            }
            report.at(behind->tool->place(*behind->act))
                .message(
                    said("This tool works at {0} places of the circle and leaves out C{1}, which would close "
                         "the row in equal steps all round, and where another tool works: that hole stays "
                         "without this one. Is the block with C{1} lost?",
                         circle.angles.size(), written(lost->value)))
                .related(lost->tool->place(*lost->act), said("the other tool there"));
            return;
        }
}

/// Two tools with two holes each on one circle, one shared; of one pair the holes lie across from each other.
void look_at_pairs(const std::vector<Circle>& circles, Report& report) {
    const auto across = [](const Circle& circle) {
        return std::abs(std::remainder(circle.angles[0].value - circle.angles[1].value + 180, 360)) < 0.02;
    };
    for (const Circle& circle : circles)
        for (const Circle& other : circles) {
            if (!on_one(circle, other) || circle.angles.size() != 2 || other.angles.size() != 2) continue;
            if (across(circle) || !across(other)) continue;
            const bool first = other.has(circle.angles[0].value), second = other.has(circle.angles[1].value);
            if (first == second) continue;
            const Angle &odd = circle.angles[first ? 1 : 0], &kept = circle.angles[first ? 0 : 1];
            const Angle& meant = std::abs(std::remainder(other.angles[0].value - kept.value, 360)) < 1e-3
                                     ? other.angles[1]
                                     : other.angles[0];
            report.at(odd.tool->place(*odd.act))
                .message(
                    said("C{0} stands where another tool on this circle has C{1}, across from C{2}: one of "
                         "the two is a slip, and the hole gets only one of its tools.",
                         written(odd.value), written(meant.value), written(kept.value)))
                .related(meant.tool->place(*meant.act), said("the other tool"));
            return;
        }
}

/// Equal steps of a circle that one more would close, of a row that no other tool has: the last one is lost,
/// or the step is that of another count.
void look_for_open_circles(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                           const std::vector<Circle>& circles, Report& report) {
    for (const Circle& circle : circles) {
        const std::size_t count = circle.angles.size();
        if (count < 3) continue;
        const double step = circle.angles[1].value - circle.angles[0].value;
        bool equal = step > 0;
        for (std::size_t i = 2; i < count; ++i)
            equal = equal && std::abs(circle.angles[i].value - circle.angles[i - 1].value - step) < 0.02;
        if (!equal || std::abs(step * static_cast<double>(count + 1) - 360) > 0.1) continue;
        // Another tool leaves it out, too: it is meant.
        const bool again = std::any_of(circles.begin(), circles.end(),
                                       [&](const Circle& other) { return on_one(circle, other); });
        if (again) continue;
        const ToolNotes notes = notes_about(context, tools, *circle.tool);
        const auto counts = [&](const std::string& note, std::size_t number) {
            const NotedWords words = noted_words(note);
            for (std::size_t i = 0; i < words.size(); ++i)
                if (words.at(i) == std::to_string(number) || words.at(i) == std::to_string(number) + "X")
                    return true;
            return false;
        };
        bool meant = false;
        for (const auto* texts : {&notes.own, &notes.listed, &notes.head})
            for (const std::string& note : *texts) meant = meant || counts(note, count);
        if (meant) continue;
        const Angle& last = circle.angles.back();
        report.at(last.tool->place(*last.act))
            .severity(Severity::information)
            .message(said(
                "{0} holes stand {1} degrees apart, and one more at C{2} would close the circle: is the last "
                "one lost, or the step that of {3} holes?",
                count, spoken(step), written(std::fmod(last.value + step, 360)), count + 1));
        return;
    }
}

float depth_of(const Hole& hole) {
    return known(hole.bottom) && known(hole.start) ? std::abs(hole.bottom - hole.start) : not_known;
}

/// The first tool on a circle only spots, and at one angle or more nothing is drilled behind it, where others
/// of the circle are.
void look_for_idle_spots(std::span<const ToolOfSpan> program, const machine::Settings& settings,
                         Report& report) {
    const std::vector<Hole> holes = holes_of(program, settings);
    for (const Hole& hole : holes)
        if (!known(hole.c) || !known(hole.place) || hole.count != 1 || (known(hole.y) && hole.y != 0)) return;
    const auto same_circle = [](const Hole& a, const Hole& b) {
        return a.side == b.side && std::abs(a.place - b.place) < 1e-3F && a.place != 0;
    };
    const ToolOfSpan* done = nullptr;
    for (const Hole& spot : holes) {
        if (spot.tool == done || spot.act->taps()) continue;
        const auto is_first = std::none_of(holes.data(), &spot, [&](const Hole& before) {
            return before.tool != spot.tool && same_circle(before, spot);
        });
        bool shallow = spot.tool->is(NamedTool::Kind::centre), behind = false, met = false;
        if (!is_first || (!shallow && !known(depth_of(spot)))) continue;
        bool all_deeper = true;
        std::vector<std::string> angles;
        const Hole* there = nullptr;
        for (const Hole& later : holes) {
            if (&later <= &spot || later.tool == spot.tool || !same_circle(later, spot)) continue;
            behind = true;
            all_deeper = all_deeper && known(depth_of(later)) && depth_of(spot) < 0.6F * depth_of(later);
            met = met || std::abs(std::remainder(later.c - spot.c, 360)) < 0.02;
            there = there ? there : &later;
            const std::string angle = fmt::format("C{}", written(later.c));
            if (std::find(angles.begin(), angles.end(), angle) == angles.end()) angles.push_back(angle);
        }
        shallow = shallow || all_deeper;
        if (!behind || met || !shallow || angles.size() > 12) continue;
        done = spot.tool;
        report.at(spot.tool->place(*spot.act))
            .message(said(
                "The part is only spotted at C{} here, and no drill comes there behind: on this circle the "
                "next tools go in at {}. One of the two is copied from another pattern.",
                written(spot.c), list_of(angles)))
            .related(there->tool->place(*there->act), said("the next tool there"));
    }
}

/// On a cylinder steps may be unequal: the only angle without which the row turns one way; nullopt: none.
std::optional<std::size_t> against_the_way(const Row& row) {
    constexpr std::size_t enough = 5;
    if (row.size() < enough) return std::nullopt;
    const auto first_turn = [&](std::size_t without) {
        double way = 0;
        const Angle* last = nullptr;
        for (std::size_t i = 0; i < row.size(); ++i) {
            if (i == without) continue;
            const double step = last ? row[i].value - last->value : 0;
            if (last && (step == 0 || step * way < 0)) return i;
            if (last) way = step;
            last = &row[i];
        }
        return row.size();
    };
    const std::size_t turn = first_turn(row.size());
    if (turn == row.size()) return std::nullopt;
    std::optional<std::size_t> found;
    // Without any other angle it turns back at the same place.
    for (const std::size_t i : {turn - 1, turn}) {
        if (i == 0 || i + 1 == row.size() || first_turn(i) < row.size()) continue;
        if (found) return std::nullopt;
        found = i;
    }
    return found;
}

/// "TWO FLATS", "2 FLATS", "FLATS .750 AF", "FLATS 20 ACROSS".
bool speaks_of_two_flats(const std::string& note) {
    if (note.find("FLATS") == std::string::npos) return false;
    const auto has = [&](std::string_view word) { return note.find(word) != std::string::npos; };
    for (std::string_view other : {"THREE", "FOUR", "SIX", "3 ", "4 FLATS", "6 FLATS", "SQUARE", "HEX"})
        if (has(other)) return false;
    return has("TWO FLATS") || has("2 FLATS") || has(" AF") || has("ACROSS") || has("FLATS AT 180");
}

/// Flats across from each other, milled at two angles that are no half turn apart.
void look_at_flats(const FileContext& context, const std::vector<ToolOfSpan>& tools,
                   std::span<const ToolOfSpan> program, Report& report) {
    for (const ToolOfSpan& tool : program) {
        std::vector<Angle> angles;
        bool cuts = false, plain = true;
        for (const Act& act : tool.work->acts) {
            plain = plain && !act.polar && !act.cylinder && act.motion != MotionKind::drill_cycle;
            cuts = cuts || (act.cuts() && act.part_stands);
            const ActWord* c = tool.work->word(act, 'C');
            if (!c || act.motion == MotionKind::reference) continue;
            if (act.cuts()) plain = false;
            if (angles.empty() || angles.back().value != c->number)
                angles.push_back({&tool, &act, 'C', c->number});
        }
        if (!plain || !cuts || angles.size() != 2) continue;
        const double apart = std::abs(angles[1].value - angles[0].value);
        if (std::abs(apart - 180) < 1) continue;
        const ToolNotes notes = notes_about(context, tools, tool);
        bool told = false;
        for (const std::string& note : notes.own) told = told || speaks_of_two_flats(note);
        // "PUMP STUB, TWO FLATS 1.25": and this tool mills flats.
        const bool mills_flats = std::any_of(notes.own.begin(), notes.own.end(), [](const std::string& note) {
            return note.find("FLATS") != std::string::npos;
        });
        for (const std::string& note : notes.head) told = told || (mills_flats && speaks_of_two_flats(note));
        if (!told) continue;
        report.at_letter(tool.place(*angles[1].act), 'C')
            .message(
                said("The notes speak of two flats across from each other, and the second one is milled at "
                     "C{}, {} degrees from C{}: nothing is left to measure across. Is C{} meant?",
                     written(angles[1].value), spoken(apart), written(angles[0].value),
                     written(std::fmod(angles[0].value + 180, 360))));
    }
}

void look_at(const FileContext& context, const std::vector<ToolOfSpan>& tools,
             std::span<const ToolOfSpan> program, Report& report) {
    const std::vector<Row> rows = rows_of(program);
    const std::vector<Circle> circles = circles_of(program, context.settings());
    look_for_lost(circles, report);
    look_at_pairs(circles, report);
    look_for_idle_spots(program, context.settings(), report);
    look_for_open_circles(context, tools, circles, report);
    for (const Row& row : milled_rows(program)) {
        const auto out = out_of_step(row);
        if (!out) continue;
        // At the ends another place may be meant: a slip of the hand must make the one of the other.
        const bool at_end = out->at == 0 || out->at + 1 == row.size();
        if (at_end && slip_between(row[out->at].value, out->expected) == Slip::none) continue;
        const Angle& angle = row[out->at];
        report.at_letter(angle.tool->place(*angle.act), 'C')
            .message(said(
                "C{} falls out of the row: the other cuts of this tool stand in equal steps, with C{} at "
                "this place.",
                written(angle.value), written(out->expected)));
    }
    std::vector<bool> told(rows.size());
    const auto tell = [&](std::size_t row, std::size_t at, std::string text) {
        told[row] = true;
        const Angle& angle = rows[row][at];
        report.at_letter(angle.tool->place(*angle.act), angle.letter).message(std::move(text));
    };
    for (std::size_t i = 0; i < rows.size(); ++i)
        if (const auto out = out_of_step(rows[i])) {
            // Another tool that goes there too means it.
            bool again = false;
            for (std::size_t j = 0; j < rows.size(); ++j)
                for (const Angle& angle : rows[j])
                    again = again || (j != i && angle.value == rows[i][out->at].value);
            if (again) continue;
            tell(i, out->at,
                 said("C{} falls out of the row: the others here stand in equal steps, with C{} at "
                      "this place.",
                      written(rows[i][out->at].value), written(out->expected)));
        }
    for (std::size_t i = 0; i < rows.size(); ++i) {
        const bool on_cylinder = std::all_of(rows[i].begin(), rows[i].end(), [](const Angle& angle) {
            return angle.act->cylinder && angle.letter == 'C';
        });
        const auto at = on_cylinder && !told[i] ? against_the_way(rows[i]) : std::nullopt;
        if (at)
            tell(
                i, *at,
                said("C{} turns back: the angles around it go one way, from C{} to C{}. The groove is cut "
                     "back "
                     "over itself and then straight across to the next point. Is a digit or the point wrong?",
                     written(rows[i][*at].value), written(rows[i].front().value),
                     written(rows[i].back().value)));
    }
    for (std::size_t i = 0; i < rows.size(); ++i)
        for (std::size_t j = 0; j < rows.size(); ++j) {
            if (i == j || told[i] || told[j] || rows[i].size() < 3) continue;
            const auto at = only_difference(rows[i], rows[j]);
            if (!at) continue;
            // The one that no other row has.
            std::size_t like_this = 0, like_other = 0;
            for (const Row& row : rows)
                if (row.size() == rows[i].size()) {
                    like_this +=
                        row[*at].letter == rows[i][*at].letter && row[*at].value == rows[i][*at].value;
                    like_other +=
                        row[*at].letter == rows[j][*at].letter && row[*at].value == rows[j][*at].value;
                }
            if (like_this > like_other || (like_this == like_other && i < j)) continue;
            const Angle &here = rows[i][*at], &there = rows[j][*at];
            tell(i, *at,
                 said("{}{} stands where the same row of angles elsewhere has {}{}: one of them is a "
                      "slip.",
                      here.letter, written(here.value), there.letter, written(there.value)));
        }
}

void file(const FileContext& context, Report& report) {
    const auto tools = tools_of(context);
    for_each_program(tools, [&](std::span<const ToolOfSpan> program) {
        look_at(context, tools, program, report);
        look_at_flats(context, tools, program, report);
    });
}

} // namespace

extern const Check check{
    .id = "c_angle_out_of_row",
    .family = Family::words,
    .severity = Severity::warning,
    .title = "One angle out of a row",
    .documentation =
        "The holes of one cycle stand in equal steps of C and one does not, or three holes begin as a third "
        "of a turn each and do not go on so; or two tools, or two cuts on a cylinder, go to the same angles "
        "but for one; a tool leaves out one hole of a circle that another tool has; flats or slots milled at "
        "four "
        "angles or more stand in equal steps but for one; on a cylinder one angle turns back where all "
        "others go one way; or of two flats across "
        "from each other, by the note, the second is not half a turn behind. A digit is lost or swapped, as "
        "a rule, or H stands for C. An angle that another tool "
        "goes to as well is left alone.",
    .file = file,
    .examples =
        {
            {System::A, R"(
(M80 C AXIS ENGAGED, M81 RELEASED)
(M83 LIVE TOOL RUN, M85 LIVE TOOL STOP)
G20 G98 G97
M80
T0505
S3000 M83
G00 X2.1 Z-1.
C0
G01 G18 W0 H0 F20.
G07.1 C1.
G01 X1.8 F5.
C60. F12.
Z-1.5 C120.
C24.
;^^^ warning: c_angle_out_of_row
Z-1. C300.
C360.
G01 X2.2 F30.
G07.1 C0
M85
M30
)"},
            {System::B, R"(
(M80 C AXIS ENGAGED, M81 RELEASED)
(M83 LIVE TOOL RUN, M85 LIVE TOOL STOP)
G21 G94 G90 G97
M80
T0505
S3000 M83
G00 X52. Z-25.
C0.
G01 G18 F500.
G07.1 C25.
G01 X45. F100.
C60. F300.
Z-35. C120.
C240.
Z-25. C300.
C360.
G01 X52. F500.
G07.1 C0
M85
M30
)"},
            {System::C, R"(
(M14 C ON, M15 C OFF, M33 MILL ON, M35 MILL OFF)
G70 G90 G94
(TWO FLATS .750 AF)
M14
T0404
G97 S1800 M33
G00 X1.4 Z.5
C0
X.75
G01 Z-.8 F7.
G00 X1.4
Z.5
C90.
;^^^ warning: c_angle_out_of_row
X.75
G01 Z-.8
G00 X1.4
M35
M15
M30
)"},
            {System::B, R"(
(M14 C ON, M15 C OFF, M33 MILL ON, M35 MILL OFF)
G21 G90 G94
(TWO FLATS 19 AF)
M14
T0404
G97 S1800 M33
G00 X40. Z5.
C90.
X19.
G01 Z-20. F200.
G00 X40.
Z5.
C270.
X19.
G01 Z-20.
G00 X40.
M35
M15
M30
)"},
            {System::A, R"(
G21 G98 G97
T0606
S1900 M03
G00 X80. Z5. C0.
G83 X80. C0. Z-28. R-10. Q5000 F190
C60.
C120.
C160.
;^^^^ warning: c_angle_out_of_row
C240.
C300.
G80
M30
)"},
            {System::B, R"(
G20 G90 G94 G97
T3535
S2800 M03
G00 Z-.6 X1.35 C0.
G87 C0. X.15 R1.25 F9.
C120.
C24.
;^^^ warning: c_angle_out_of_row
G80
M30
)"},
            {System::A, R"(
G21 G98 G97
T0909
S2400 M03
G00 Z-20. X84. C0.
G01 X76. F60
G07.1 C38.
G01 C60. F200
Z-35. C150.
C240.
Z-20. C330.
G07.1 C0.
G00 X84. C0.
G01 X72. F60
G07.1 C36.
G01 C60. F160
Z-35. C150.
C204.
;^^^^ warning: c_angle_out_of_row
Z-20. C330.
G07.1 C0.
G00 X84.
M30
)"},
            {System::A, R"(
G21 G98 G97
T0606
S1900 M03
G00 X80. Z5. C0.
G83 X80. C0. Z-28. R-10. Q5000 F190
C60.
C120.
C180.
C240.
C300.
G80
T0707
S400
G84 X80. C0. Z-22. R-9. F500
C60.
C120.
C180.
C240.
C300.
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C0.
G83 X44. C0. Z-18. R3. F190
C120.
C150.
G80
T0606
S600
G84 X44. C0. Z-13. R4. F480
C120.
C150.
G80
M30
)"},
            {System::B, R"(
G21 G90 G94 G97
T0505
S2400 M03
G00 X44. Z10. C0.
G83 X44. C0. Z-18. R3. F190
C30.
C90.
C200.
G80
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 Z-20. Q5000 F180.
C60.
;^^^ warning: c_angle_out_of_row
C180.
C240.
C300.
G80
G00 Z100.
T0606
G00 X90. Z5. C0
G84 Z-16. F375.
C60.
C120.
C180.
C240.
C300.
G80
G00 Z100.
M75
M72
M30
)"},
            {System::B, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G20 G90 G94 G97
T0505
M71
S2000 M73
G00 X2.5 Z.2 C30.
G83 Z-.6 R.1 F8.
C210.
G80
G00 Z4.
T0606
S400 M73
G00 X2.5 Z.2 C30.
G85 Z-.5 R.1 F3.
C120.
;^^^ warning: c_angle_out_of_row
G80
G00 Z4.
M75
M72
M30
)"},
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0707
M71
S900 M73
G00 X90. Z20.
C0
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C90.
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C108.
;^^^^ warning: c_angle_out_of_row
G01 X50. F200.
Z-9. F150.
G00 X90.
Z20.
C270.
G01 X50. F200.
Z-9. F150.
G00 X90.
M75
M72
M30
)"},
            // Six drilled, four of them tapped; two more reamed by a tool of their own.
            {System::A, R"(
(M71 C ON, M72 C OFF, M73 LIVE TOOL ON, M75 LIVE TOOL OFF)
G21 G97 G98
T0505
M71
S2000 M73
G00 X90. Z5. C0
G83 Z-20. Q5000 F180.
C60.
C120.
C180.
C240.
C300.
G80
G00 Z100.
T0606
G00 X90. Z5. C60.
G84 Z-16. F375.
C120.
C240.
C300.
G80
G00 Z100.
T0707
G00 X90. Z5. C0.
G85 Z-16. F80.
C180.
G80
G00 Z100.
M75
M72
M30
)"},
            // Spotted by the angles of another pattern.
            {System::A, R"(
G21 G97 G98
T0505 (SPOT)
S2000 M73
G00 X90. Z5. C30.
G83 X90. C30. Z-3. R-3. F180.
;^^^^^^^^^^^^^^^^^^^^^^^^^^^^ warning: c_angle_out_of_row
C150.
C270.
G80
T0606 (DRILL 6.8)
G00 X90. Z5. C0
G83 X90. C0 Z-20. R-3. Q4000 F180.
C120.
C240.
G80
M30
)"},
            {System::A, R"(
G21 G97 G98
T0505 (SPOT)
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-3. R-3. F180.
C120.
C240.
G80
T0606 (DRILL 6.8)
G00 X90. Z5. C0
G83 X90. C0 Z-20. R-3. Q4000 F180.
C120.
C240.
G80
M30
)"},
            // One more would close the circle; by the note three are meant.
            {System::C, R"(
G71 G90 G94 G97
T0606 (DRILL 6)
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. R2. Q4000 F180.
C90.
C180.
;^^^^ information: c_angle_out_of_row
G80
M30
)"},
            {System::C, R"(
G71 G90 G94 G97
T0606 (DRILL 6, 3 HOLES)
S2000 M73
G00 X90. Z5. C0
G83 X90. C0 Z-20. R2. Q4000 F180.
C90.
C180.
G80
M30
)"},
            right_turning_a,
            right_drilling_b,
            right_threading_c,
        },
};

} // namespace turnwright::checks::rules::c_angle_out_of_row

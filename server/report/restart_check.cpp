// A restart head is tried in the program itself: what stands above its block ends, a program of its own
// begins with the head, and what follows the block is as it was. So labels, contours and calls are found as
// before, and nothing is in force that the head does not state.
#include "report/restart_check.h"
#include "checks/second_sides.h"
#include "language/said.h"

#include "report/restart_passes.h"

#include "features/block_at.h"
#include "features/equal_moves.h"
#include "features/hover_load.h"
#include "features/speech.h"
#include "machine/whole_number.h"
#include "report/compare.h"
#include "report/walk.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace turnwright::report {

using codes::Group;
using features::Document;
using machine::BlockPlace;
using machine::State;

namespace {

/// Ends what stands above; no label of the program.
constexpr std::string_view border = "M30\nO9998\n";
constexpr std::size_t border_lines = 2;

constexpr double usual_clear_mm = 10;

std::string text_between(const Document& document, std::size_t first, std::size_t end) {
    std::string text;
    for (std::size_t line = first; line < std::min(end, document.buffer().line_count()); ++line)
        text += std::string(document.buffer().line(line)) + '\n';
    return text;
}

/// What acts on the machine from a line of a program on, in the order that it runs.
std::vector<Action> actions_from(const Document& document, std::size_t first, std::size_t last) {
    std::vector<Action> actions;
    bool begun = false;
    for (ActionSpan& span : course_of(document).spans)
        for (Action& action : span.actions) {
            begun = begun || (action.line >= first && action.line <= last);
            // A setting stands where it first matters: the states are compared instead.
            if (begun && action.kind != Action::Kind::setting) actions.push_back(std::move(action));
        }
    return actions;
}

/// Groups that a stop leaves as they are: no head moves a chuck or a door.
bool is_left_alone(Group group) {
    return group == Group::one_shot || group == Group::motion || group == Group::opposed_turret ||
           group >= Group::chuck;
}

std::string state_difference(const State& wanted, const State& reached, double tolerance, bool with_place) {
    for (std::size_t g = 0; g < codes::group_count; ++g) {
        const Group group = static_cast<Group>(g);
        if (is_left_alone(group) || !wanted.of(group).known()) continue;
        // Off is off, stated or not.
        if (reached.of(group).possible != wanted.of(group).possible)
            return std::string(machine::part_title(static_cast<int>(g)));
    }
    using machine::Part;
    struct Row {
        Part part;
        const machine::Value &wanted, &reached;
        double tolerance;
    };
    const Row rows[] = {{Part::feed, wanted.feed, reached.feed, 1e-4},
                        {Part::speed, wanted.speed, reached.speed, 1e-4},
                        {Part::speed_limit, wanted.speed_limit, reached.speed_limit, 1e-4},
                        {Part::tool, wanted.tool, reached.tool, 0},
                        {Part::offset, wanted.offset, reached.offset, 0},
                        {Part::x, wanted.x_radius, reached.x_radius, tolerance},
                        {Part::z, wanted.z, reached.z, tolerance}};
    const auto counts = [&](Part part) { return with_place || (part != Part::x && part != Part::z); };
    for (const Row& row : rows)
        if (counts(row.part) && row.wanted.known() &&
            (!row.reached.known() || std::abs(row.wanted.number - row.reached.number) > row.tolerance))
            return std::string(machine::part_title(static_cast<int>(row.part)));
    return {};
}

std::string hit_text(const stock::Event& event) {
    switch (event.kind) {
    case stock::EventKind::jaws:
        return said("goes into the jaws");
    case stock::EventKind::tailstock:
    case stock::EventKind::steady:
        return said("goes into the {}", stock::title(event.body));
    case stock::EventKind::neighbour_hits:
    case stock::EventKind::index_hits:
        return said("brings what stands beside the tool into the {}", stock::title(event.body));
    case stock::EventKind::holder_hits:
        return said("brings the holder into the {}", stock::title(event.body));
    default:
        return said("goes through what is left of the stock");
    }
}

/// ": the shop file does not give nose_radius of T04"; empty where nothing is missing.
std::string what_is_missing(const stock::SequenceCourse& course) {
    if (course.missing.empty()) return {};
    return said(": the shop file does not give {} of T{:02}", fmt::join(course.missing, ", "),
                course.station);
}

/// Moves of the head against what may be left.
std::string hits_of(const Document& tried, std::size_t first_line, std::size_t last_line,
                    const StockAt& stock, const State& state, std::string_view what) {
    if (!stock.course || !stock.course->setup) return {};
    const stock::Followed followed = stock::follow_sequence(
        tried.analysis(), *stock.shop, *stock.course->setup,
        {stock.most, {state.of(Group::datum).known() ? state.of(Group::datum) : machine::Modal{}}},
        tried.place_of_line(first_line), tried.place_of_line(last_line), stock::most_moves);
    if (!followed.course.events.empty())
        return fmt::format("{} {}.", what, hit_text(followed.course.events.front()));
    if (followed.course.stop != stock::Stop::none)
        return said("{} cannot be run through the stock{}.", what,
                    followed.course.stop != stock::Stop::tool_unknown ? std::string()
                    : followed.course.missing.empty()
                        ? std::string(said(": what the tool is, is not in the shop file"))
                        : what_is_missing(followed.course));
    return {};
}

} // namespace

std::vector<Approach> approaches_to(const Document& document, const State& state, motion::Point end,
                                    const StockAt& stock) {
    std::vector<Approach> ways = approaches(end, *stock.most, *stock.course->setup,
                                            stock.shop->tool(machine::whole_number(state.tool.number)),
                                            document.shop().house.first_approach_mm.value_or(usual_clear_mm));
    if (!state.feed.known()) std::erase_if(ways, [](const Approach& way) { return way.feed_to.has_value(); });
    return ways;
}

namespace {

/// Whether the shop file tells the tool that stands there.
bool is_tool_told(const Document& document, BlockPlace place, const StockAt& at) {
    const machine::Value station = document.analysis().before(place).tool;
    return !station.known() || at.shop->tool(machine::whole_number(station.number));
}

/// Where shop file and notes do not tell the stock, or the tool, the program itself may: as the picture takes
/// them.
void assume_stock(const Document& document, BlockPlace place, StockAt& at) {
    const machine::ProgramPart* main = main_program(document);
    if (!main || place < main->first || main->last < place) return;
    DrawnStock drawn = drawn_stock(document, make_picture(document));
    if (drawn.assumed.empty() || !drawn.course || !drawn.course->setup) return;
    // For a picture more is taken for granted than a tool may be driven by.
    at.assumed = followed_with(document, *drawn.shop, false, drawn.turned_round);
    at.assumed.assumed = std::move(drawn.assumed);
    at.course = at.assumed.course;
    at.shop = at.assumed.shop;
}

/// What is assumed of stock and tools, in front of what else is told of it.
std::string with_assumed(const StockAt& at, const std::string& note) {
    if (at.assumed.assumed.empty()) return note;
    return said("assumed, see at the machine that it is so: {}{}{}", fmt::join(at.assumed.assumed, "; "),
                note.empty() ? "" : "; ", note);
}

} // namespace

StockAt stock_at(const Document& document, BlockPlace place, std::size_t moves) {
    StockAt at;
    at.course = features::stock_course_at(document, place);
    at.shop = &document.shop();
    if (!at.course || !at.course->setup || !is_tool_told(document, place, at))
        assume_stock(document, place, at);
    if (!at.course || !at.course->setup) {
        at.note = said("not known: ");
        if (!at.course || at.course->missing.empty())
            at.note += said("its diameter and length are neither in the shop file nor in a stock note");
        else
            at.note += said("the shop file lacks {}", fmt::join(at.course->missing, ", "));
        return at;
    }
    const std::string in_second =
        said("not known: the part has its other end in front, in the second spindle");
    const checks::SecondSpindle second =
        checks::second_spindle_of(document.results().spans(), document.shop(), document.settings().machine);
    if (second.holds(place)) {
        at.note = in_second;
        return at;
    }
    at.most = std::make_shared<const stock::Region>(stock::raw_stock(*at.course->setup));
    at.note = said("taken as raw: nothing of it was followed");
    for (const stock::SequenceCourse& sequence : at.course->sequences) {
        const bool turns =
            sequence.stop == stock::Stop::taken_over || sequence.stop == stock::Stop::turned_round;
        if (turns && !(place < sequence.first)) {
            at.most.reset();
            at.note = sequence.stop == stock::Stop::taken_over
                          ? in_second
                          : said("not known: the part has its other end in front");
            break;
        }
        if (place < sequence.first || !sequence.in) break;
        // What stands there at a wait of two turrets is what both have left; `in` is less than that.
        const stock::RegionPointer entering = sequence.in_by_both ? at.most : sequence.in;
        at.most = entering;
        const bool here = !(sequence.last < place);
        std::optional<stock::Followed> followed;
        // Behind some moves of the block itself: what the control ran before in it is looked on at.
        const std::size_t end = document.line_of(place) + (moves > 0 ? 1 : 0);
        stock::RegionPointer behind_moves;
        stock::Onlooker onlooker{[&](const stock::Passed& passed, const stock::Region& left) {
                                     if (passed.block.place == place && passed.move && *passed.move < moves)
                                         behind_moves = std::make_shared<const stock::Region>(left);
                                 },
                                 {}};
        if (here && end > document.line_of(sequence.first))
            followed = stock::follow_sequence(document.analysis(), *at.shop, *at.course->setup,
                                              {entering, {}}, sequence.first, document.place_of_line(end - 1),
                                              stock::most_moves, moves > 0 ? &onlooker : nullptr);
        if (behind_moves) followed->course.out = behind_moves;
        const stock::SequenceCourse& course = followed ? followed->course : sequence;
        if (course.stop == stock::Stop::bar_moved) {
            at.most.reset();
            at.note = said("not known: the bar was moved in the spindle above");
            break;
        }
        // What shapes given in part may have left is not known below: more may be there.
        const bool is_known = (here && !followed) || (course.stop == stock::Stop::none && course.exact);
        if (is_known && course.out && (followed || !here)) at.most = course.out;
        at.note = is_known ? ""
                           : said("known only to line {} and taken as it is there{}",
                                  document.line_of(sequence.first) + 1, what_is_missing(course));
        if (!is_known || here) break;
    }
    at.note = with_assumed(at, at.note);
    return at;
}

namespace {

/// The program with blocks in it that a program of its own begins with, so that nothing above is in force.
struct Tried {
    std::size_t line;  ///< Of the program as it is, that it goes on at behind the blocks
    std::size_t added; ///< Lines in front of it
    const Document& document;
};

/// What of the state at a line of the program tried is not as wanted.
std::string reaches_otherwise(const Document& document, const State& wanted, const Document& tried,
                              std::size_t line, bool with_place) {
    const shop::Machine& machine = document.settings().machine;
    const bool inch = wanted.is(codes::Meaning::inch);
    const double least = 1.001 * (inch ? machine.least_increment_inch : machine.least_increment_mm);
    const State reached = tried.analysis().before(tried.place_of_line(line));
    const std::string other = state_difference(wanted, reached, least, with_place);
    return other.empty() ? other : said("A head cannot give this for sure: ") + other + ".";
}

/// Why what follows moves otherwise than in the program.
std::string moves_otherwise(const Document& document, BlockPlace place, const Tried& tried) {
    const Document& then = tried.document;
    if (document.analysis().flow_problems().size() != then.analysis().flow_problems().size())
        return said("The block stands in a loop or after a jump.");
    const machine::ProgramPart* program = features::program_at(document, place);
    const std::size_t last = program ? document.line_of(program->last) : document.buffer().line_count();
    const std::vector<Action> as_it_was = actions_from(document, tried.line, last);
    const std::vector<Action> behind = actions_from(then, tried.line + tried.added, last + tried.added);
    const bool same = std::equal(as_it_was.begin(), as_it_was.end(), behind.begin(), behind.end(),
                                 [](const Action& a, const Action& b) { return same_action(a, b, {}); });
    return same ? "" : said("After the head the machine would move otherwise than in the program.");
}

/// Nothing is to be read otherwise because other blocks stand above.
Document read_as(const Document& document, const std::string& text) {
    const auto shop =
        features::shop_with(document, document.settings().system, document.settings().machine.x);
    return Document(text, shop, document.path(), document.library());
}

} // namespace

namespace {

/// The lines from one on, of a loop one turn that ends the program.
std::string one_turn(const Document& document, std::size_t first, std::size_t end,
                     const std::optional<RestartLoop>& loop) {
    if (!loop) return text_between(document, first, end);
    const std::size_t start_line = document.line_of(loop->start), end_line = document.line_of(loop->end);
    const auto items = document.items(loop->start);
    const bool is_written_so = std::any_of(items.begin(), items.end(), [](const syntax::Item& item) {
        return item.kind == syntax::ItemKind::while_do || item.kind == syntax::ItemKind::do_only;
    });
    std::string text;
    for (std::size_t line = first; line < end; ++line)
        text += line == end_line                      ? "M30\n"
                : line == start_line && is_written_so ? "\n"
                                                      : text_between(document, line, line + 1);
    return text;
}

} // namespace

std::string why_head_fails(const Document& document, const HeadTried& tried, const StockAt& stock) {
    const std::size_t line = document.line_of(tried.place), lines = document.buffer().line_count();
    std::string text = one_turn(document, 0, line, tried.loop) + std::string(border);
    text += as_lines(tried.head);
    text += tried.block + '\n' + one_turn(document, line + 1, lines, tried.loop);
    const Document then = read_as(document, text);
    const std::size_t head_line = line + border_lines, block_line = head_line + tried.head.size();
    const State wanted = document.analysis().before(tried.place);
    std::string other = reaches_otherwise(document, wanted, then, block_line, !tried.own_approach);
    const Tried rest{line, block_line - line, then};
    if (other.empty() && !tried.loop) other = moves_otherwise(document, tried.place, rest);
    if (other.empty() && tried.loop) {
        const Document once = read_as(document, one_turn(document, 0, lines, tried.loop));
        other = moves_otherwise(once, once.place_of_line(line), rest);
    }
    if (!other.empty()) return other;
    return hits_of(then, head_line, tried.own_approach ? block_line : block_line - 1, stock, wanted,
                   said("The way in"));
}

RemainingFault why_remaining_fails(const Document& document, const RemainingTried& tried,
                                   const StockAt& stock) {
    std::string text = text_between(document, 0, tried.behind) + std::string(border);
    text += as_lines(tried.head) + as_lines(tried.blocks);
    text += text_between(document, tried.behind, document.buffer().line_count());
    const Document then = read_as(document, text);
    const std::size_t head_line = tried.behind + border_lines, first = head_line + tried.head.size(),
                      behind = first + tried.blocks.size();
    std::vector<motion::Segment> made;
    machine::Analysis::Passed passed;
    then.analysis().visit_span(then.place_of_line(first), then.place_of_line(behind - 1), passed,
                               [&](const machine::BlockView& view) {
                                   const auto path = motion::path_of(view, then.analysis());
                                   made.insert(made.end(), path.segments.begin(), path.segments.end());
                               });
    if (!features::same_segments(tried.moves, made, features::tolerance_of(document, then)))
        return {said("Single blocks would not make the same moves as the cycle."), false};
    State wanted = document.analysis().before(document.place_of_line(tried.behind));
    // Whether a place behind it is one more hole is seen in what follows.
    wanted.of(Group::drill_cycle) = machine::Modal{};
    std::string other = reaches_otherwise(document, wanted, then, behind, true);
    if (other.empty())
        other = moves_otherwise(document, tried.cycle, {tried.behind, behind - tried.behind, then});
    if (!other.empty()) return {other, false};
    return {hits_of(then, head_line, behind - 1, stock, wanted, said("What remains")), true};
}

std::string why_start_fails(const Document& document, const StartTried& tried, const StockAt& stock) {
    const std::size_t line = document.line_of(tried.first), cycle_line = document.line_of(tried.cycle);
    std::string text = text_between(document, 0, line) + std::string(border);
    text += as_lines(tried.head);
    text += text_between(document, line, document.buffer().line_count());
    const Document then = read_as(document, text);
    const std::size_t head_line = line + border_lines, added = border_lines + tried.head.size();
    State wanted = document.analysis().before(tried.first);
    const auto in_program = [&](double mm) { return features::from_mm(mm, wanted); };
    wanted.x_radius = machine::Value::of(in_program(tried.start.x_radius_mm));
    wanted.z = machine::Value::of(in_program(tried.start.z_mm));
    std::vector<motion::Segment> made;
    machine::Analysis::Passed passed;
    const BlockPlace cycle = then.place_of_line(cycle_line + added);
    then.analysis().visit_span(cycle, cycle, passed, [&](const machine::BlockView& view) {
        for (const motion::Segment& move : motion::path_of(view, then.analysis()).segments)
            if (is_cut_of_pass(move)) made.push_back(move);
    });
    if (!features::same_segments(tried.cuts, made, features::tolerance_of(document, then)))
        return said("From there the cycle would not cut what remains.");
    std::string other = reaches_otherwise(document, wanted, then, line + added, true);
    if (other.empty()) other = moves_otherwise(document, tried.cycle, {tried.behind, added, then});
    if (!other.empty()) return other;
    return hits_of(then, head_line, cycle_line + added, stock, wanted, said("The cycle from there"));
}

} // namespace turnwright::report

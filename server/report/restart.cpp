#include "report/restart.h"
#include "language/said.h"
#include "motion/work.h"

#include "features/block_at.h"
#include "features/hints.h"
#include "features/speech.h"
#include "features/word_edits.h"
#include "report/restart_check.h"
#include "report/restart_passes.h"
#include "report/restart_target.h"
#include "report/restart_variables.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <functional>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::BlockAt;
using features::Document;
using machine::BlockPlace;
using machine::MotionKind;
using machine::State;

namespace {

constexpr std::size_t most_entries = 3;

std::vector<std::pair<std::string, std::string>> state_rows(const Document& document, BlockPlace place,
                                                            const State& state) {
    std::vector<std::pair<std::string, std::string>> rows;
    if (const machine::Sequence* sequence = features::sequence_at(document, place)) {
        std::string tool = features::tool_word_of(document, sequence->tool_call);
        const std::string note = features::tool_note(document, sequence->tool);
        rows.emplace_back(said("tool"), tool + (note.empty() ? "" : "  " + note));
    }
    rows.emplace_back(said("spindle"), spindle_text(state));
    rows.emplace_back(said("feed"), feed_text(state));
    const auto modal = [&](std::string_view name, Group group) {
        if (state.of(group).known())
            rows.emplace_back(name, features::modal_text(state.of(group), group, document.settings()));
    };
    modal(said("coolant"), Group::coolant);
    modal(said("datum"), Group::datum);
    modal(said("compensation"), Group::nose_compensation);
    modal(said("distance"), Group::distance);
    std::string stands = features::point_text(state.x_radius, state.z, document.settings());
    if (state.is_axis() && state.c.known()) stands += " C" + checks::written(state.c.number);
    if (state.y.known() && state.y.number != 0) stands += " Y" + checks::written(state.y.number);
    rows.emplace_back(said("stands at"), std::move(stands));
    return rows;
}

/// Its outside from the front or the step before to some Z, mm: a cylinder, or from one radius to another.
struct Step {
    double begins_mm, ends_mm, to_z_mm;
    bool is_cylinder() const { return std::abs(begins_mm - ends_mm) < 0.15; }
};

/// Its outside from the front on, without fillets and breaks of corners; empty where it has more steps than a
/// person reads.
std::vector<Step> outside_of(const stock::Region& left, const stock::Box& box) {
    constexpr std::size_t most_steps = 8, most_corners = 3000;
    constexpr double hair_mm = 0.002, least_long_mm = 1.5, same_step_mm = 0.3;
    std::vector<double> corners;
    for (const std::vector<motion::Point>& outline : left.outlines())
        for (const motion::Point& corner : outline) corners.push_back(corner.z_mm);
    std::sort(corners.begin(), corners.end(), std::greater<>());
    corners.erase(std::unique(corners.begin(), corners.end(),
                              [&](double a, double b) { return std::abs(a - b) < 5 * hair_mm; }),
                  corners.end());
    if (corners.size() > most_corners) return {};
    const auto outside_at = [&](double z) {
        const stock::Region slice =
            stock::intersect(left, stock::rectangle(z - hair_mm, z + hair_mm, 0, box.x_max + 1));
        return slice.empty() ? 0.0 : slice.box().x_max;
    };
    std::vector<Step> chords, steps;
    for (std::size_t i = 0; i + 1 < corners.size(); ++i) {
        const Step chord{outside_at(corners[i] - 2 * hair_mm), outside_at(corners[i + 1] + 2 * hair_mm),
                         corners[i + 1]};
        // An arc is many chords.
        const bool goes_on = !chords.empty() && std::abs(chords.back().ends_mm - chord.begins_mm) < 0.05 &&
                             chords.back().is_cylinder() == chord.is_cylinder();
        if (!goes_on) {
            chords.push_back(chord);
            continue;
        }
        // The first chords of a fillet hardly rise, and are none of the cylinder's size.
        if (!chord.is_cylinder()) chords.back().ends_mm = chord.ends_mm;
        chords.back().to_z_mm = chord.to_z_mm;
    }
    double from_z = box.z_max;
    for (const Step& chord : chords) {
        const bool is_short = from_z - chord.to_z_mm < least_long_mm;
        const bool is_same = !steps.empty() && chord.is_cylinder() && steps.back().is_cylinder() &&
                             std::abs(steps.back().ends_mm - chord.begins_mm) < same_step_mm;
        from_z = chord.to_z_mm;
        if (is_same)
            steps.back().to_z_mm = chord.to_z_mm;
        else if (!is_short)
            steps.push_back(chord);
    }
    return steps.size() > most_steps ? std::vector<Step>{} : steps;
}

std::string stock_words(const Document& document, const StockAt& at, const State& state) {
    if (!at.most || at.most->empty()) return at.note.empty() ? said("nothing is left") : at.note;
    const stock::Box box = at.most->box();
    const auto length = [&](double mm) { return checks::written(features::from_mm(mm, state)); };
    const auto diameter = [&](double mm) {
        return checks::written(checks::x_as_written(features::from_mm(mm, state), document.settings()));
    };
    std::string text = said("largest X{}, front at Z{}", diameter(box.x_max), length(box.z_max));
    if (box.x_min > stock::touch_mm) text += said(", through bore of X{}", diameter(box.x_min));
    if (features::length_unit(state).empty()) text += ", in mm";
    const auto length_about = [&](double mm, bool is_x) {
        const double number = features::from_mm(mm, state);
        return features::with_point(is_x ? checks::x_as_written(number, document.settings()) : number,
                                    features::length_unit(state) == "in" ? 2 : 1);
    };
    const std::vector<Step> steps = outside_of(*at.most, box);
    if (steps.size() > 1) {
        text += said("; from the front about");
        for (const Step& step : steps) {
            text += " X" + length_about(step.begins_mm, true);
            if (!step.is_cylinder()) text += said(" to X") + length_about(step.ends_mm, true);
            if (&step != &steps.back())
                text += fmt::format("{} Z{},", step.is_cylinder() ? said(" to") : said(" at"),
                                    length_about(step.to_z_mm, false));
        }
    }
    return text + (at.note.empty() ? "" : " (" + at.note + ")");
}

std::vector<RestartEntry> entries_before(const Document& document, BlockPlace place) {
    std::vector<RestartEntry> entries;
    const machine::ProgramPart* program = features::program_at(document, place);
    for (const checks::RestartRow& row :
         checks::restart_table(document.analysis(), document.results().spans(), document.shop())) {
        if (place < row.first || (program && row.first < program->first)) continue;
        RestartEntry entry{document.line_of(row.first), {}, row.safe, row.safe_behind_head, {}};
        for (const checks::Span& span : document.results().spans())
            if (span.sequence && span.first == row.first) entry.name = span_title(document, span);
        entry.reason = row.safe               ? said("states all that it needs")
                       : row.safe_behind_head ? said("takes over {}, stated once above and never changed",
                                                     features::list_parts(row.inherited))
                       : row.inherited        ? said("takes over ") + features::list_parts(row.inherited)
                                              : said("does not state all that it needs");
        entries.insert(entries.begin(), std::move(entry));
    }
    // The safe ones count; one that is not is told when it is the nearest.
    std::vector<RestartEntry> told;
    for (RestartEntry& entry : entries)
        if (told.size() < most_entries && (entry.safe || told.empty())) told.push_back(std::move(entry));
    return told;
}

/// A rapid to X and Z that is the first move of its sequence is the approach itself.
bool is_approach(const Document& document, const BlockAt& block) {
    const machine::Sequence* sequence = features::sequence_at(document, block.place);
    const bool begins = sequence && first_move(document, *sequence) == block.place;
    return begins && block.reading.motion == MotionKind::rapid && block.reading.has('X') &&
           block.reading.has('Z') && !block.before.is(Meaning::incremental);
}

void write_head(const Document& document, const BlockAt& at, const StockAt& stock,
                const std::optional<RestartLoop>& loop, Restart& restart) {
    const State& state = at.before;
    const bool own_approach = is_approach(document, at);
    restart.refused = why_no_head(document, state);
    if (!restart.refused.empty()) return;
    const RestartVariables variables =
        variables_from(document, at.place, loop ? std::optional(loop->end) : std::nullopt);
    restart.refused = variables.refused;
    if (!restart.refused.empty()) return;
    restart.sets_locals = variables.has_locals;
    if (!own_approach && (!state.x_radius.known() || !state.z.known())) {
        restart.refused = said("Where the tool stands is not known there: {}.",
                               machine::explain((state.x_radius.known() ? state.z : state.x_radius).why));
        return;
    }
    const CompleteBlock block = complete_block(document, at.place);
    restart.refused = block.refused;
    if (!restart.refused.empty()) return;
    std::vector<Approach> ways;
    if (own_approach) {
        ways.push_back({});
    } else if (!stock.most || stock.most->empty()) {
        restart.refused = said("No way in can be run through the stock: it is ") + stock.note + ".";
        return;
    } else {
        const motion::Point start{features::to_mm(state.x_radius.number, state),
                                  features::to_mm(state.z.number, state)};
        ways = approaches_to(document, state, start, stock);
    }
    restart.refused =
        said("The tool stands in what may be left of the stock there: no way in is surely clear.");
    for (const Approach& way : ways) {
        HeadTried tried{at.place, head_blocks(document, at.place, state, way, variables.blocks), block.text,
                        own_approach, loop};
        restart.refused = why_head_fails(document, tried, stock);
        if (!restart.refused.empty()) continue;
        restart.head = std::move(tried.head);
        restart.block = block.text;
        restart.completed = block.added;
        return;
    }
}

/// Reads "X42.5" or "Z-30" as the program writes lengths; nullopt for anything else.
std::optional<std::pair<bool, motion::Point>> place_reached(const Document& document, const State& state,
                                                            std::string_view text) {
    if (text.size() < 2) return std::nullopt;
    const bool in_x = text.front() == 'X' || text.front() == 'x';
    if (!in_x && text.front() != 'Z' && text.front() != 'z') return std::nullopt;
    double number = 0;
    text.remove_prefix(text[1] == '+' ? 2 : 1);
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (failed != std::errc{} || end != text.data() + text.size() || !std::isfinite(number))
        return std::nullopt;
    const double mm = features::to_mm(number, state);
    const double x_radius_mm = mm / checks::x_as_written(1, document.settings());
    return std::pair(in_x, in_x ? motion::Point{x_radius_mm, 0} : motion::Point{0, mm});
}

std::vector<RestartPass> pass_rows(const Document& document, const CyclePasses& cycle, const State& state) {
    const auto written = [&](double mm) { return checks::written(features::from_mm(mm, state)); };
    std::vector<RestartPass> rows;
    for (const CyclePass& pass : cycle.passes) {
        const double x = checks::x_as_written(pass.reach.x_radius_mm, document.settings());
        rows.push_back({document.line_of(pass.block), "X" + written(x) + " Z" + written(pass.reach.z_mm),
                        pass.depth_mm ? written(*pass.depth_mm) : "", true});
    }
    return rows;
}

/// How many passes are done as far as the question says it; nullopt when it does not, or says it wrongly.
std::optional<std::size_t> passes_done(const Document& document, const RestartQuestion& question,
                                       const CyclePasses& cycle, const State& state, std::string& refused) {
    if (!question.reached.empty()) {
        const auto reached = place_reached(document, state, question.reached);
        if (!reached) refused = said("The place reached is written as X42.5 or Z-30.");
        return reached ? passes_reached(cycle, reached->second, reached->first, refused) : std::nullopt;
    }
    if (question.done && *question.done > cycle.passes.size()) {
        refused = said("{} has {} passes.", cycle.code, cycle.passes.size());
        return std::nullopt;
    }
    // A thread that is cut once more takes its last pass.
    if (!question.done && question.repeat && cycle.is_thread) return cycle.passes.size() - 1;
    return question.done;
}

void add_cautions(const BlockAt& at, const StockAt& stock, Restart& restart) {
    const State& state = at.before;
    restart.before = {
        said("Bring the turret to the change position by hand, clear of part, jaws and tailstock."),
        said("See that edge and offset of the tool are right: after a change of the edge measure "
             "it anew."),
        said("Measure the part: what was cut last may be unfinished or marred.")};
    if (stock.course && stock.course->setup && !restart.head.empty())
        restart.before.emplace_back(
            said("The way in is run through the stock as the program left it, not as it is."));
    restart.cautions = {said("Guards shut, single block, rapids turned down, a hand on the stop."),
                        said("Look at the distance to go before each block.")};
    const MotionKind kind = at.reading.motion;
    const bool threads = kind == MotionKind::thread || kind == MotionKind::thread_cycle ||
                         at.reading.motion_meaning == Meaning::single_threading;
    if (threads && kind != MotionKind::none)
        restart.cautions.emplace_back(
            said("The thread is met again only at the same speed, from the same start, "
                 "with the part not moved in the chuck."));
    if (is_compensated(at.after))
        restart.cautions.emplace_back(
            said("Compensation needs the nose radius and tip direction in the offset."));
    if (restart.sets_locals)
        restart.cautions.emplace_back(
            said("A control may forget #1 to #33 when single blocks are keyed in: then run "
                 "them as a program of its own."));
    if (state.of(Group::coolant).surely_unset())
        restart.cautions.emplace_back(said("No coolant is on in the program there."));
    for (auto group = Group::chuck; group < Group::count_;
         group = static_cast<Group>(static_cast<int>(group) + 1))
        if (state.of(group).known())
            restart.cautions.push_back(said("The program has set the {}: see that it is so.",
                                            machine::part_title(static_cast<int>(group))));
}

void name_place(const Document& document, BlockPlace place, bool repeat, Restart& restart) {
    restart.line = document.line_of(place);
    restart.program = program_name(document);
    restart.last = document.buffer().line_count() - 1;
    if (const machine::ProgramPart* program = features::program_at(document, place)) {
        if (program->number > 0) restart.program = fmt::format("O{:04}", program->number);
        restart.last = document.line_of(program->end.value_or(program->last));
    }
    for (const checks::Span& span : document.results().spans())
        if (span.sequence && !(place < span.first) && !(span.last < place)) {
            restart.sequence = span_title(document, span);
            if (repeat) restart.last = document.line_of(span.last);
        }
}

/// Takes the passes that are done off. False: the question is answered.
bool leave_out_done(const Document& document, const RestartQuestion& question, RestartTarget& target,
                    Restart& restart) {
    const bool says_passes = question.done || !question.reached.empty();
    const std::optional<CyclePasses> cycle = passes_at(document, target.place);
    if (!cycle) {
        if (says_passes)
            restart.refused =
                target.moved.starts_with(translated("it is in ") + std::string("O"))
                    ? said("Passes of a cycle in a called program are not written: the call is run "
                           "as a whole.")
                    : said("No cycle with passes is at that line.");
        return !says_passes;
    }
    const auto at = features::block_at(document, cycle->block);
    if (!at) return true;
    restart.cycle = cycle->code;
    restart.passes = pass_rows(document, *cycle, at->before);
    const std::optional<std::size_t> done =
        passes_done(document, question, *cycle, at->before, restart.refused);
    if (!restart.refused.empty()) return false;
    for (std::size_t i = 0; i < cycle->passes.size(); ++i)
        restart.passes[i].remains = done ? i >= *done : !(cycle->passes[i].block < target.place);
    if (!done || (*done == 0 && cycle->is_one_block)) return true;
    if (*done == cycle->passes.size()) {
        target.place = document.place_of_line(std::min(cycle->behind, document.buffer().line_count() - 1));
        target.moved = said("all passes of ") + cycle->code + said(" are done");
        return true;
    }
    target.place = cycle->passes[*done].block;
    target.moved = said("{} of {} passes are done", *done, cycle->passes.size());
    if (!cycle->is_one_block) return true;
    restart.state = state_rows(document, target.place, at->before);
    const StockAt stock = stock_at(document, target.place, cycle->passes[*done].first_move);
    restart.stock = stock_words(document, stock, at->before);
    write_remaining(document, *cycle, *done, stock, restart);
    add_cautions(*at, stock, restart);
    restart.cautions.emplace_back(
        said("The passes are worked out here; a control may divide them otherwise."));
    if (cycle->is_peck)
        restart.cautions.emplace_back(
            said("See that no broken piece and no chips are left in the hole or groove. Another "
                 "tool may be longer: the first way in is written at feed."));
    return false;
}

} // namespace

Restart restart_at(const Document& document, const RestartQuestion& question) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    Restart restart;
    restart.repeat = question.repeat;
    RestartTarget target = restart_target(document, question.line);
    name_place(document, target.place, question.repeat, restart);
    restart.entries = entries_before(document, target.place);
    const bool goes_on = !target.refused.empty() || leave_out_done(document, question, target, restart);
    name_place(document, target.place, question.repeat, restart);
    restart.moved = restart.line == question.line ? "" : target.moved;
    if (target.loop) {
        restart.loop_line = document.line_of(target.loop->start);
        restart.last = document.line_of(target.loop->end) - 1;
    }
    if (!target.refused.empty()) restart.refused = target.refused;
    const std::optional<BlockAt> at = features::block_at(document, target.place);
    if (!goes_on || !at || !restart.refused.empty()) return restart;
    if (!at->before.reachable || at->before.ended) {
        restart.refused = said("The control does not get to that block.");
        return restart;
    }
    restart.state = state_rows(document, target.place, at->before);
    const StockAt stock = stock_at(document, target.place);
    restart.stock = stock_words(document, stock, at->before);
    write_head(document, *at, stock, target.loop, restart);
    add_cautions(*at, stock, restart);
    return restart;
}

} // namespace turnwright::report

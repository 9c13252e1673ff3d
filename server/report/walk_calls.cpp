// The walk through a program and the programs that it calls.
#include "language/said.h"
#include "machine/course.h"
#include "machine/execution.h"
#include "report/walk.h"

#include "host/interruption.h"
#include "machine/note_words.h"
#include "machine/picked_way.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <set>

namespace turnwright::report {

namespace {

using machine::Analysis;
using machine::BlockPlace;
using machine::BlockView;
using machine::Executed;
using machine::FlowKind;
using machine::Followed;

/// Blocks of called programs and loops in one walk; a program that asks for more is drawn as far as this.
constexpr std::size_t most_blocks = 200'000;

/// The way of the second spindle's slide: of a block that moves it alone, the time. Its rapid is that of Z,
/// about, and where the program sends it to 0 it begins there.
class Slide {
public:
    explicit Slide(const syntax::Forest& file) {
        for (const syntax::RunPointer& run : file.runs())
            for (const syntax::Block& text : run->blocks) look(run->items_of(text));
    }

    void add_time(motion::Totals& totals, const BlockView& view) {
        const machine::Word* word = nullptr;
        for (const machine::Word& one : view.reading.words)
            if (is_slide(one)) word = &one;
        if (!word || machine::gives_arguments(view.reading) || view.reading.flow != FlowKind::none) return;
        const auto at = static_cast<std::size_t>(word->letter - 'A');
        std::optional<double> from = stands_[at];
        if (!from && goes_home_[at]) from = 0;
        stands_[at] = target(*word, view, from);
        if (view.reading.moves_x || view.reading.moves_z || view.reading.moves_other) return;
        const auto seconds =
            from && stands_[at] ? seconds_of(view, std::abs(*stands_[at] - *from)) : std::nullopt;
        if (!seconds)
            ++totals.blocks_without_time;
        else
            totals.change_seconds += *seconds;
        totals.about = totals.about || is_rapid(view);
    }

private:
    static constexpr std::string_view letters = "ABE";

    /// Fed alone somewhere: no head that is indexed.
    void look(std::span<const syntax::Item> items) {
        constexpr std::string_view others = "XZUWYVCHPSKIJR";
        bool feeds = false, other = false;
        const syntax::Item* slide = nullptr;
        for (const syntax::Item& item : items) {
            if (!item.is_word()) continue;
            feeds = feeds || item.letter == 'F' || (item.letter == 'G' && item.value == 1);
            other = other || others.find(item.letter) != std::string_view::npos;
            if (letters.find(item.letter) != std::string_view::npos) slide = &item;
        }
        if (!slide || other) return;
        const auto at = static_cast<std::size_t>(slide->letter - 'A');
        feeds_[at] = feeds_[at] || feeds;
        goes_home_[at] = goes_home_[at] || (slide->kind == syntax::ItemKind::word && slide->value == 0);
    }
    bool is_slide(const machine::Word& word) const {
        if (word.after_comma || letters.find(word.letter) == std::string_view::npos) return false;
        if (word.letter == 'A' && word.quantity != codes::Quantity::length) return false; // Of a line
        return feeds_[static_cast<std::size_t>(word.letter - 'A')];
    }
    static std::optional<double> target(const machine::Word& word, const BlockView& view,
                                        std::optional<double> from) {
        const auto mm = motion::mm_per_unit(view.after);
        if (!word.value.known() || !mm) return std::nullopt;
        const bool increments = !word.item->has_point && word.value.number != 0 &&
                                view.settings.machine.no_point != shop::NoPoint::whole_units;
        const bool returns = view.reading.code(codes::Meaning::reference_return) != nullptr;
        if (returns) return 0;
        if (increments) return std::nullopt;
        const double there = word.value.number * *mm;
        if (!view.after.is(codes::Meaning::incremental)) return there;
        return from ? std::optional(*from + there) : std::nullopt;
    }
    static bool is_rapid(const BlockView& view) {
        return view.after.is(codes::Meaning::rapid) ||
               view.reading.code(codes::Meaning::reference_return) != nullptr;
    }
    static std::optional<double> seconds_of(const BlockView& view, double mm) {
        if (mm == 0) return 0;
        if (is_rapid(view)) {
            const auto rate = view.settings.rates().rapid_z_mm_per_min;
            return rate && *rate > 0 ? std::optional(mm / *rate * 60) : std::nullopt;
        }
        const machine::State& after = view.after;
        const auto unit = motion::mm_per_unit(after);
        if (!after.is(codes::Meaning::feed_line) || !unit || !after.feed.known() || after.feed.number <= 0)
            return std::nullopt;
        const double feed_mm = after.feed.number * *unit;
        if (after.is(codes::Meaning::feed_per_minute)) return mm / feed_mm * 60;
        if (!after.is(codes::Meaning::feed_per_rev)) return std::nullopt;
        const motion::Spindle spindle = motion::spindle_of(after, view.settings);
        if (spindle.surface_speed != false || !spindle.rpm || *spindle.rpm <= 0 || spindle.turning != true)
            return std::nullopt;
        return mm / (feed_mm * *spindle.rpm) * 60;
    }

    std::array<bool, 26> feeds_{}, goes_home_{};
    std::array<std::optional<double>, 26> stands_{};
};

class Walker {
public:
    Walker(const features::Document& document, const std::function<void(const WalkedBlock&)>& visit,
           bool all = true)
        : document_(document), visit_(visit), all_(all), spans_(document.results().spans()),
          execution_(document.analysis(), most_blocks), way_(*document.picked_way()),
          slide_(document.analysis().forest()), first_lines_(first_lines_in(document.analysis().forest())) {}

    /// The line in front of which it stops; nullopt: it went through all.
    std::optional<std::size_t> walk() {
        walk_file([&](std::size_t span) { return !stands_apart(span); });
        if (!stopped_at_)
            walk_file([&](std::size_t span) { return stands_apart(span) && !was_called(span); });
        return stopped_at_;
    }

private:
    static std::vector<std::size_t> first_lines_in(const syntax::Forest& file) {
        std::vector<std::size_t> lines;
        std::size_t line = 0;
        for (const syntax::RunPointer& run : file.runs()) {
            lines.push_back(line);
            line += run->blocks.size();
        }
        return lines;
    }

    bool stands_apart(std::size_t span) const {
        return span < spans_.size() && spans_[span].program && spans_[span].program->is_subprogram;
    }
    bool was_called(std::size_t span) const { return called_.contains(spans_[span].program->first); }

    template <class Wanted>
    void walk_file(Wanted&& wanted) {
        const Analysis& analysis = document_.analysis();
        std::size_t span = 0;
        BlockPlace go_on; ///< What stands above has been run by a loop
        for (std::size_t run = 0; run < analysis.size() && !stopped_at_; ++run) {
            if (!any_wanted(run, wanted)) continue;
            analysis.visit(run, [&](const BlockView& view) {
                const BlockPlace place{run, view.block};
                if (stopped_at_) return;
                while (span + 1 < spans_.size() && spans_[span + 1].first <= place) ++span;
                if (!all_ &&
                    (blocks_ > most_blocks_told || moves_ > most_moves_told || span >= most_sequences_told))
                    return void(stopped_at_ = first_lines_[run] + view.block);
                if (place < go_on || !view.reading.is_read || view.text.item_count == 0 || !wanted(span))
                    return;
                if (analysis.loop_end(place))
                    if (const auto behind = execution_.loop(place, [&](const Executed& block) {
                            show(block, first_lines_[place.run] + place.block, span);
                            return true;
                        })) {
                        go_on = *behind;
                        return;
                    }
                step(view, span);
            });
        }
    }

    /// Whether a block of this run stands in a span that is wanted.
    template <class Wanted>
    bool any_wanted(std::size_t run, Wanted&& wanted) const {
        const auto span_at = [&](BlockPlace place) {
            const auto behind =
                std::upper_bound(spans_.begin(), spans_.end(), place,
                                 [](BlockPlace at, const checks::Span& span) { return at < span.first; });
            return behind == spans_.begin() ? std::size_t{0}
                                            : static_cast<std::size_t>(behind - spans_.begin()) - 1;
        };
        const std::size_t last = span_at({run + 1, 0});
        for (std::size_t span = span_at({run, 0}); span <= last; ++span)
            if (wanted(span)) return true;
        return false;
    }

    /// The sequence of a block that a loop runs: the loop may hold several.
    std::size_t span_of(const Executed& executed, std::size_t otherwise) const {
        if (!executed.is_own || executed.depth > 0) return otherwise;
        const BlockPlace place{executed.view.run_index, executed.view.block};
        const auto behind =
            std::upper_bound(spans_.begin(), spans_.end(), place,
                             [](BlockPlace at, const checks::Span& span) { return at < span.first; });
        return behind == spans_.begin() ? otherwise : static_cast<std::size_t>(behind - spans_.begin()) - 1;
    }

    WalkedBlock walked(const BlockView& view, const Analysis& analysis, std::size_t line, std::size_t span,
                       bool turn_by_turn = false) {
        host::stop_here_if_asked();
        WalkedBlock block{view, analysis, line, line, span, {}, {}, {}, false, {}, turn_by_turn};
        ++blocks_;
        if (view.reading.in_contour) return block;
        go(block, view, analysis);
        slide_.add_time(block.totals, view);
        moves_ += block.path.segments.size();
        return block;
    }

    /// Where several ways meet, the one that is picked is drawn.
    void go(WalkedBlock& block, const BlockView& view, const Analysis& analysis) const {
        const BlockPlace place{view.run_index, view.block};
        const machine::State* before =
            &analysis == &document_.analysis() && !block.turn_by_turn ? way_.before(place) : nullptr;
        if (!before) {
            block.path = motion::path_of(view, analysis);
            block.totals = motion::totals_of(block.path, view);
            return;
        }
        machine::State after = *before;
        machine::Reading reading;
        machine::interpret(view.run, view.block, view.settings, after, reading);
        const BlockView as_picked{view.run,   view.run_index,
                                  view.block, view.text,
                                  *before,    machine::read_behind(view.run, view.block, after),
                                  reading,    view.settings};
        block.path = motion::path_of(as_picked, analysis);
        block.totals = motion::totals_of(block.path, as_picked);
    }

    /// Whether a jump surely leads to a label below, in the same program.
    bool leads_on(const BlockView& view, std::size_t span) const {
        const machine::Reading& reading = view.reading;
        if (reading.flow != FlowKind::jump || !reading.flow_target.known() || view.text.deleted) return false;
        if (span >= spans_.size() || !spans_[span].program) return false;
        const machine::ProgramPart& program = *spans_[span].program;
        const auto number = machine::whole_number(reading.flow_target.number);
        const auto label = document_.analysis().label_from(number, program.first);
        return label && *label <= program.last && *label > BlockPlace{view.run_index, view.block};
    }

    static bool works(const WalkedBlock& block) {
        return std::any_of(block.path.segments.begin(), block.path.segments.end(),
                           [](const motion::Segment& segment) {
                               return segment.kind == motion::SegmentKind::feed ||
                                      segment.kind == motion::SegmentKind::thread;
                           });
    }

    /// What the tool has done when a block calls: it has cut since it was called, and stands off the part.
    void look_at_work(const WalkedBlock& block) {
        const auto called = machine::station_called(block.view.reading, block.view.settings);
        if (called && *called != std::exchange(station_, *called)) has_cut_ = false;
        has_cut_ = has_cut_ || works(block);
        const machine::MotionKind motion = block.view.reading.motion;
        if (block.view.reading.in_contour) return;
        if (!block.path.segments.empty())
            is_off_ = block.path.segments.back().kind == motion::SegmentKind::rapid;
        else if (motion != machine::MotionKind::none)
            is_off_ = motion == machine::MotionKind::rapid || motion == machine::MotionKind::reference;
    }

    /// "M98 P9000 T0303", "G65 P9010 T3", or "M98 P8001" in front of what places a tool anew. A tool that has
    /// cut nothing yet may be called to cut, and a macro with the spindle turning cuts by its arguments.
    bool changes_tool(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        const bool macro = reading.flow == FlowKind::macro_call;
        if (!macro && reading.flow != FlowKind::subprogram_call) return false;
        if (has_cut_ && comes_between_tools(reading)) return true;
        // "G65 P9006 T0" at the end, where others of its calls have brought tools.
        if (reading.flow_target.known() && ends_behind(view) &&
            brought_tools_.contains(machine::whole_number(reading.flow_target.number)))
            return true;
        if (at_change_ && may_stand_aside(view) && (places_tool_behind(view) || ends_behind(view)))
            return true;
        const bool named = names_change(view);
        if (macro && touches(view)) return true;
        if (!(machine::is_kept_by_shop(reading) || named) || !has_cut_) return false;
        if (macro ? machine::station_called(reading, view.settings).has_value() : reading.has('T'))
            return true;
        const bool is_over = reading.has('T') && ends_behind(view); // "G65 P9010 T0"
        if (macro && !is_over && !view.before.is(codes::Meaning::spindle_stop)) return false;
        return is_off_ && (places_tool_behind(view) || ends_behind(view));
    }

    /// "G65 P9832 X2. Z-.5" of a tool that has cut nothing, with the spindle stopped and no speed or feed
    /// given: it measures, or sets the tool.
    bool touches(const BlockView& view) const {
        const machine::Reading& reading = view.reading;
        return machine::is_kept_by_shop(reading) && !has_cut_ && !reading.has('S') && !reading.has('F') &&
               view.before.is(codes::Meaning::spindle_stop) && view.before.speaks_to_main() &&
               places_tool_behind(view);
    }

    /// Kept by the shop, or called a loader or gauge: where the turret stands away from the part it cuts
    /// nothing.
    static bool may_stand_aside(const BlockView& view) {
        constexpr std::string_view words[] = {"BAR",   "LOAD",    "LOADER", "FEEDER", "PROBE", "MEASURE",
                                              "GAUGE", "CATCHER", "STANGE", "MESSEN", "LADER", "VORSCHUB",
                                              "BARRE", "BARRA",   "MEDIR",  "MISURA", "MESURE"};
        return machine::is_kept_by_shop(view.reading) || names(view, words);
    }

    /// A program that is called for several tools, and never but in front of a T word or the end.
    bool comes_between_tools(const machine::Reading& reading) {
        if (!reading.flow_target.known()) return false;
        const auto number = machine::whole_number(reading.flow_target.number);
        const auto [held, is_new] = between_tools_.try_emplace(number, false);
        if (is_new) held->second = is_called_between_tools(number);
        return held->second;
    }
    /// What a block tells of calls and of what comes behind them.
    struct Glance {
        std::int32_t calls = -1; ///< The program
        bool is_call = false, arguments = false, tool = false, ends = false, moves = false;
    };
    static Glance glance_at(std::span<const syntax::Item> items) {
        Glance block;
        double program = -1;
        bool macro = false;
        for (const syntax::Item& item : items) {
            if (syntax::holds_expression(item.kind)) block.arguments = true;
            if (!item.is_word()) continue;
            macro = macro || (item.letter == 'G' && item.value == 65);
            block.is_call = macro || block.is_call || (item.letter == 'M' && item.value == 98);
            if (item.letter == 'P' && item.kind == syntax::ItemKind::word) program = item.value;
            block.tool = block.tool || item.letter == 'T';
            block.ends = block.ends ||
                         (item.letter == 'M' && (item.value == 2 || item.value == 30 || item.value == 99));
            block.moves = block.moves || std::string_view("XZUW").find(item.letter) != std::string_view::npos;
            block.arguments =
                block.arguments || std::string_view("NGMPTL").find(item.letter) == std::string_view::npos;
        }
        if (!block.is_call) return block;
        block.moves = false; // Arguments
        block.calls = macro ? machine::whole_number(program) : machine::program_called(program);
        block.arguments = block.arguments && macro;
        return block;
    }
    /// A program that the shop keeps, or one that was found to come between tools; where the turret stands
    /// away already, any.
    bool is_sent_home_by(std::int32_t number) const {
        const auto between = between_tools_.find(number);
        return !is_in_file(number) && (at_change_ || number >= machine::first_kept_by_shop ||
                                       (between != between_tools_.end() && between->second));
    }
    bool is_in_file(std::int32_t number) const {
        return document_.analysis().course().body.plan->program(number) != nullptr;
    }
    bool is_called_between_tools(std::int32_t number) const {
        constexpr std::size_t enough = 3;
        const syntax::Forest& forest = document_.analysis().forest();
        std::size_t calls = 0;
        bool waits = false; // For a T word or the end
        for (std::size_t run = 0; run < forest.size(); ++run)
            for (const syntax::Block& text : forest.run(run)->blocks) {
                const Glance block = glance_at(forest.run(run)->items_of(text));
                if (block.is_call && block.calls == number) {
                    if (block.arguments) return false; // It is told what to work on
                    waits = !block.tool;
                    ++calls;
                    continue;
                }
                // What else is called there, measures or loads a bar, where it is not to be seen.
                if (block.is_call && block.calls >= 0 && !is_in_file(block.calls)) continue;
                if (block.tool || block.ends)
                    waits = false;
                else if (waits && (block.moves || block.is_call))
                    return false;
            }
        return calls >= enough && !waits;
    }

    /// "M98 P100 (TOOL CHANGE)".
    static bool names_change(const BlockView& view) {
        constexpr std::string_view words[] = {"HOME",          "CHANGE",          "TOOLCHANGE", "INDEX",
                                              "WECHSEL",       "WERKZEUGWECHSEL", "CAMBIO",     "CAMBIA",
                                              "GRUNDSTELLUNG", "CHANGEMENT",      "RETOUR",     "RITORNO"};
        return names(view, words);
    }
    /// A note in the block holds one of the words.
    static bool names(const BlockView& view, std::span<const std::string_view> words) {
        for (const syntax::Item& item : view.run.items_of(view.run.blocks[view.block])) {
            if (item.kind != syntax::ItemKind::note) continue;
            bool found = false;
            machine::each_word(syntax::note_text(view.run.text_of(item)), [&](std::string_view word) {
                found = found || std::find(words.begin(), words.end(), word) != words.end();
            });
            if (found) return true;
        }
        return false;
    }

    /// A T word, a datum of both axes, a return or a rapid to a place of both axes comes before any cut.
    bool places_tool_behind(const BlockView& view) const {
        constexpr int farthest = 12;
        const machine::Reader reader(document_.analysis());
        std::optional<BlockPlace> at = BlockPlace{view.run_index, view.block};
        bool x = false, z = false, rapid = false;
        for (int i = 0; i < farthest; ++i) {
            at = reader.neighbour(*at, true);
            if (!at) return false;
            bool datum = false, tool = false, returns = false, calls = false, kept = false, other = false;
            for (const syntax::Item& item : reader.items(*at)) {
                if (!item.is_word()) continue;
                if (item.letter == 'G') {
                    datum = datum || item.value == 50 || item.value == 92;
                    returns = returns || item.value == 28 || item.value == 30;
                    rapid = (rapid || item.value == 0) && !(item.value >= 1 && item.value <= 3);
                    other = other || item.value == 66 || item.value == 91 ||
                            (item.value >= 70 && item.value <= 89);
                    calls = calls || item.value == 65;
                }
                calls = calls || (item.letter == 'M' && item.value == 98);
                kept = kept || (item.letter == 'P' && item.value >= machine::first_kept_by_shop);
                tool = tool || item.letter == 'T';
            }
            if (calls && !kept && !is_sent_home_by(glance_at(reader.items(*at)).calls)) return false;
            if (calls) continue; // Looked at by itself
            for (const syntax::Item& item : reader.items(*at)) {
                if (!item.is_word()) continue;
                x = x || item.letter == 'X';
                z = z || item.letter == 'Z';
                other = other || std::string_view("UWO").find(item.letter) != std::string_view::npos;
            }
            if (tool || returns || (datum && x && z)) return true;
            if (other || ((x || z) && !rapid)) return false;
            if (x && z) return true;
        }
        return false;
    }

    /// A call where no tool works: none has been called yet, or they are all home and the program ends.
    bool stands_aside(const BlockView& view) {
        if (view.before.is(codes::Meaning::modal_call)) return false;
        if (!has_worked_ || changes_tool(view)) return true;
        const auto is_home = [](const machine::Value& place) {
            return !place.known() && place.why == machine::Why::at_reference;
        };
        return is_home(view.before.x_radius) && is_home(view.before.z) && ends_behind(view);
    }

    /// Nothing between here and the program's end moves, calls a tool or jumps.
    bool ends_behind(const BlockView& view) const {
        constexpr int farthest = 50;
        const machine::Reader reader(document_.analysis());
        std::optional<BlockPlace> at = BlockPlace{view.run_index, view.block};
        for (int i = 0; i < farthest; ++i) {
            at = reader.neighbour(*at, true);
            if (!at) return true;
            bool ends = false, works_on = false;
            for (const syntax::Item& item : reader.items(*at)) {
                const bool is_end =
                    item.letter == 'M' && (item.value == 2 || item.value == 30 || item.value == 99);
                ends = ends || (item.kind == syntax::ItemKind::word && is_end);
                works_on =
                    works_on || syntax::holds_expression(item.kind) ||
                    (item.is_word() && std::string_view("NMSGO").find(item.letter) == std::string_view::npos);
            }
            const Glance block = glance_at(reader.items(*at));
            if (block.is_call && is_sent_home_by(block.calls)) continue;
            if (works_on) return false;
            if (ends) return true;
        }
        return false;
    }

    /// A block as it stands in the file; what it calls follows it.
    void step(const BlockView& view, std::size_t span) {
        const std::size_t line = first_lines_[view.run_index] + view.block;
        WalkedBlock block = walked(view, document_.analysis(), line, span);
        // What a known way on leaves out is not reached, and takes no time.
        const BlockPlace place{view.run_index, view.block};
        if (const auto picked = way_.picked().find(place); picked != way_.picked().end()) {
            block.picked = PickedJump{line, picked->second};
            block.totals.blocks_without_time = 0;
            block.totals.about = true;
        }
        if (block.path.complete && leads_on(view, span)) block.totals.blocks_without_time = 0;
        if (way_.passes_over(place)) {
            block.totals = {};
            block.passed_over = true;
        }
        if (way_.ends_once(place)) block.totals.blocks_without_time = 0;
        bool told = false;
        const auto tell = [&](Followed followed) {
            if (told) return;
            told = true;
            tell_call(block, followed, view.reading);
            if (followed == Followed::not_found && stands_aside(view)) {
                block.aside = fmt::format("O{:04.0f}", view.reading.flow_target.number);
                block.totals.blocks_without_time = 0;
                block.totals.about = true;
                at_change_ = true;
                if (machine::station_called(view.reading, view.settings))
                    brought_tools_.insert(machine::whole_number(view.reading.flow_target.number));
            } else if (view.reading.motion != machine::MotionKind::none || view.reading.has('T')) {
                at_change_ = false;
            }
            has_worked_ = has_worked_ || view.reading.has('T') || works(block);
            look_at_work(block);
            visit_(block);
        };
        const bool may_call = view.reading.flow == FlowKind::subprogram_call ||
                              view.reading.flow == FlowKind::macro_call ||
                              view.before.is(codes::Meaning::modal_call);
        tell(!may_call ? Followed::no_call : execution_.call(view, [&](const Executed& inside) {
            tell(Followed::yes);
            show(inside, line, span);
            return true;
        }));
    }

    /// A block of a called program or of a loop.
    void show(const Executed& executed, std::size_t line, std::size_t span) {
        const bool own = executed.is_own;
        const bool called = executed.depth > 0;
        if (own && called) called_.insert(executed.program_start);
        const std::size_t own_line = line_in(executed);
        WalkedBlock block = walked(executed.view, analysis_of(executed), own ? own_line : line,
                                   span_of(executed, span), true);
        if (called) block.called = said("O{:04} line {}", executed.program, own_line + 1);
        block.own_line = own_line;
        block.elsewhere = !own;
        // Where jumps and loops lead has been found out: they take no time that is not told.
        if (executed.view.reading.flow != FlowKind::none && block.path.complete &&
            block.path.segments.empty())
            block.totals.blocks_without_time = 0;
        tell_call(block, executed.call, executed.view.reading);
        look_at_work(block);
        visit_(block);
    }

    static void tell_call(WalkedBlock& block, Followed followed, const machine::Reading& reading) {
        const auto number = reading.flow_target.known() ? reading.flow_target.number : 0;
        switch (followed) {
        case Followed::no_call:
            break;
        case Followed::yes:
            // What the call leaves open, the blocks of the program behind it tell.
            if (block.path.complete) block.totals.blocks_without_time = 0;
            break;
        case Followed::unknown_program:
            block.not_gone = said("which program is called, or how often,");
            break;
        case Followed::not_found:
            block.not_gone = said("the way of O{:04.0f}, which was not found,", number);
            break;
        case Followed::calls_itself:
            block.not_gone = said("the way of O{:04.0f}, which calls itself,", number);
            break;
        case Followed::undecided:
            block.not_gone = said(
                "the way of O{:04.0f}, in which a jump or loop hangs on a value that is not known,", number);
            break;
        case Followed::cut_short:
            block.not_gone = said("the way of O{:04.0f}, which runs for too long,", number);
            break;
        }
    }

    std::size_t line_in(const Executed& executed) {
        if (executed.is_own) return first_lines_[executed.view.run_index] + executed.view.block;
        const auto [lines, is_new] = first_lines_elsewhere_.try_emplace(&executed.file);
        if (is_new) lines->second = first_lines_in(executed.file);
        return lines->second[executed.view.run_index] + executed.view.block;
    }

    /// Contours are looked up in the file that the block stands in.
    const Analysis& analysis_of(const Executed& executed) {
        if (executed.is_own) return document_.analysis();
        std::unique_ptr<Analysis>& own = files_[&executed.file];
        if (!own) {
            own = std::make_unique<Analysis>();
            own->rebuild(executed.file, document_.settings(), document_.library());
        }
        return *own;
    }

    const features::Document& document_;
    const std::function<void(const WalkedBlock&)>& visit_;
    bool all_;
    std::size_t blocks_ = 0, moves_ = 0;
    std::optional<std::size_t> stopped_at_; ///< A line, from 0
    std::span<const checks::Span> spans_;
    machine::Execution execution_;
    const machine::PickedWay& way_;
    Slide slide_;
    std::vector<std::size_t> first_lines_; ///< Of the runs, counted from the file's first
    std::map<const syntax::Forest*, std::vector<std::size_t>> first_lines_elsewhere_;
    bool has_worked_ = false; ///< A tool was called, or fed
    bool has_cut_ = false, is_off_ = false;
    std::set<std::int32_t> brought_tools_; ///< Programs that are not at hand, called with a T word
    bool at_change_ = false; ///< Nothing has moved since a program that changes tools or stands aside
    std::map<std::int32_t, bool> between_tools_; ///< Programs that are not at hand
    std::optional<int> station_;                 ///< The last that was called
    std::set<BlockPlace> called_;                ///< First blocks of own programs that a call went through
    std::map<const syntax::Forest*, std::unique_ptr<Analysis>> files_;
};

} // namespace

void walk(const features::Document& document, const std::function<void(const WalkedBlock&)>& visit) {
    Walker(document, visit).walk();
}

std::span<const checks::Span> spans_told(const features::Document& document) {
    const std::span<const checks::Span> all = document.results().spans();
    return all.first(std::min(all.size(), most_sequences_told));
}

std::optional<std::size_t> walk_what_is_told(const features::Document& document,
                                             const std::function<void(const WalkedBlock&)>& visit) {
    return Walker(document, visit, false).walk();
}

} // namespace turnwright::report

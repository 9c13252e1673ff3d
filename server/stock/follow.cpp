// The blocks of one sequence in their order, as moves of the nose against the stock.
#include "stock/follow.h"

#include "stock/cutter.h"

#include "machine/execution.h"
#include "machine/picked_way.h"
#include "machine/whole_number.h"
#include "motion/geometry.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

namespace turnwright::stock {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::FlowKind;
using machine::MotionKind;
using motion::NoseMove;
using motion::operator-;
using motion::Segment;
using motion::SegmentKind;
using motion::Side;

namespace {

/// No lathe reaches there; a number like this is a slip that other checks tell.
constexpr double farthest_mm = 2 * reach_mm;

bool is_near(Point p) {
    return std::abs(p.x_radius_mm) < farthest_mm && std::abs(p.z_mm) < farthest_mm;
}

class Follower {
public:
    Follower(const machine::Reader& reader, const shop::Shop& shop, const Setup& setup,
             const Entering& entering, BlockPlace first, BlockPlace last, std::size_t moves_left,
             Onlooker* onlooker)
        : reader_(reader), shop_(shop), first_(first), last_(last), moves_left_(moves_left),
          onlooker_(onlooker), setup_(setup), is_drawn_only_(setup.is_drawn_only), path_(setup.path),
          cutter_(setup, reader.settings().machine, shop, *entering.profile, out_.course) {
        if (entering.held.in_second) cutter_.lie_in_second(entering.held.to_plus);
        out_.course.first = first;
        out_.course.last = last;
        out_.course.in = entering.profile;
        out_.held = entering.held;
        out_.held.lines_run = 0;
        if (entering.held.lines_run > 0)
            go_on_ = placed(reader.whole(machine::Whole::text), first,
                            {0, static_cast<std::uint32_t>(entering.held.lines_run)});
        cutter_.show_flanks(onlooker && onlooker->sees_flanks);
    }

    Followed follow() {
        for (std::size_t run = first_.run; run <= last_.run && !stopped(); ++run) {
            const BlockPlace from{run, run == first_.run ? first_.block : 0};
            std::size_t lines = 0;
            reader_.visit_span(from, run == last_.run ? last_ : reader_.end_of(run),
                               [&](const BlockView& view) {
                                   lines = view.run.blocks.size();
                                   if (!stopped()) read(view);
                               });
            lines_above_ += lines;
        }
        if (!stopped()) flush();
        if (last_ < go_on_ && ran_loop_)
            out_.held.lines_run = lines_from_first(go_on_) - lines_from_first(last_) - 1;
        put_cuts_in_order();
        if (!stopped()) finish();
        return std::move(out_);
    }

private:
    bool stopped() const { return out_.course.stop != Stop::none; }

    void stop(Stop why, Near at, machine::Why reason = machine::Why::known) {
        if (stopped()) return;
        out_.course.stop = why;
        out_.course.stopped_at = at;
        out_.course.why = reason;
    }

    void finish() {
        // The same area stays the same object, so that what follows need not be followed again.
        if (cutter_.profile() == *out_.course.in)
            out_.course.out = out_.course.in;
        else
            out_.course.out = std::make_shared<const Region>(std::move(cutter_.profile()));
    }

    std::size_t lines_from_first(BlockPlace place) const {
        std::size_t lines = 0;
        for (std::size_t run = first_.run; run < place.run; ++run) lines += reader_.end_of(run).block + 1;
        return lines + place.block - first_.block;
    }

    /// A loop comes to its blocks again.
    void put_cuts_in_order() {
        std::vector<BlockCut>& cuts = out_.course.cuts;
        if (!ran_loop_) return;
        std::stable_sort(cuts.begin(), cuts.end(),
                         [](const BlockCut& a, const BlockCut& b) { return a.block.block < b.block.block; });
        std::vector<BlockCut> row;
        for (const BlockCut& cut : cuts) {
            if (row.empty() || row.back().block.block != cut.block.block) {
                row.push_back(cut);
                continue;
            }
            row.back().removed_mm3 += cut.removed_mm3;
            row.back().depth_mm = std::max(row.back().depth_mm, cut.depth_mm);
        }
        cuts = std::move(row);
    }

    /// What is drawn only goes the way that is picked where several meet.
    void read(const BlockView& view) {
        const BlockPlace place{view.run_index, view.block};
        if (setup_.way && setup_.way->passes_over(place)) return;
        const machine::State* before = setup_.way ? setup_.way->before(place) : nullptr;
        if (!before || place < go_on_) return act(view);
        machine::State after = *before;
        machine::Reading reading;
        machine::interpret(view.run, view.block, view.settings, after, reading);
        act({view.run, view.run_index, view.block, view.text, *before,
             machine::read_behind(view.run, view.block, after), reading, view.settings});
    }

    void act(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        const BlockPlace place{view.run_index, view.block};
        if (place < go_on_ || !reading.is_read || !view.before.reachable || reading.in_contour) return;
        // What a called program does, its call does.
        here_ = {0, static_cast<std::uint32_t>(lines_above_ + view.block - first_.block)};
        take_tool(view);
        cutter_.stand(works_round(view.after));
        take_shift(view);
        const bool written = reading.flow == FlowKind::loop_start;
        const auto starts = [&](const auto& loop) { return loop.first == place; };
        const auto ends = [&](const auto& loop) { return loop.second == place; };
        const bool once = (setup_.way && setup_.way->begins_once(place)) ||
                          std::any_of(setup_.once.begin(), setup_.once.end(), starts);
        if (once && written) return;
        if (setup_.way && setup_.way->ends_once(place)) return;
        if (std::any_of(setup_.once.begin(), setup_.once.end(), ends)) return;
        if (!once && (written || begins_loop(place)) && (loop(place, written) || written)) return;
        switch (reading.flow) {
        case FlowKind::jump:
            if (leads_on(reading, place)) return;
            [[fallthrough]];
        case FlowKind::maybe_jump:
            if (setup_.way && setup_.way->picked().contains(place)) return;
            if (is_drawn_only_ && is_drawn_once(reading, place)) return;
            break;
        case FlowKind::loop_end:
            break;
        default:
            if (reading.motion != MotionKind::none) move(view, reader_, nullptr);
            return call(view);
        }
        flush();
        stop(Stop::jump, here_);
    }

    /// To one label below: what stands between is not reached.
    bool leads_on(const machine::Reading& reading, BlockPlace place) const {
        if (!reading.flow_target.known()) return false;
        const auto labels =
            reader_.whole(machine::Whole::shapes).labels(machine::whole_number(reading.flow_target.number));
        return labels.size() == 1 && labels.front() > place;
    }

    /// A jump back, whose turns are not known, is drawn as one turn; one over blocks that move nothing does
    /// not matter to what is drawn.
    bool is_drawn_once(const machine::Reading& reading, BlockPlace place) const {
        if (!reading.flow_target.known()) return false;
        const auto labels =
            reader_.whole(machine::Whole::shapes).labels(machine::whole_number(reading.flow_target.number));
        if (labels.size() != 1) return false;
        std::optional<BlockPlace> at = reader_.neighbour(place, true);
        for (; at && *at < labels.front(); at = reader_.neighbour(*at, true))
            for (const syntax::Item& item : reader_.items(*at))
                if (item.is_word() && std::string_view("XZUWCPT").find(item.letter) != std::string_view::npos)
                    return false;
        return true;
    }

    machine::Execution& execution() {
        const machine::Analysis& analysis = reader_.whole(machine::Whole::text);
        if (!execution_) execution_.emplace(analysis, most_called_blocks);
        return *execution_;
    }

    void stop_at_call(machine::Followed followed) {
        flush();
        const bool out_of_sight =
            followed == machine::Followed::not_found || followed == machine::Followed::unknown_program;
        if (is_drawn_only_ && out_of_sight) return;
        stop(followed == machine::Followed::cut_short   ? Stop::too_many_moves
             : followed == machine::Followed::undecided ? Stop::jump
                                                        : Stop::call,
             here_);
    }

    bool run_block(const machine::Executed& executed) {
        if (stopped()) return false;
        const BlockView& view = executed.view;
        if (view.reading.in_contour) return true;
        const BlockPlace place{view.run_index, view.block};
        // What a program called in a loop does, its call does.
        if (executed.is_own && loop_ && place >= loop_->first && place < loop_->second)
            here_ = {0, static_cast<std::uint32_t>(lines_from_first(place))};
        take_tool(view);
        cutter_.stand(works_round(view.after));
        take_shift(view);
        if (executed.call != machine::Followed::no_call && executed.call != machine::Followed::yes) {
            stop_at_call(executed.call);
        } else if (view.reading.motion != MotionKind::none) {
            if (executed.is_own)
                move(view, reader_, nullptr);
            else
                move(view, file_of(executed), &executed.file);
        }
        return !stopped();
    }

    const machine::Analysis& file_of(const machine::Executed& executed) {
        std::unique_ptr<machine::Analysis>& file = files_[&executed.file];
        if (!file) {
            file = std::make_unique<machine::Analysis>();
            file->rebuild(executed.file, reader_.settings(), nullptr);
        }
        return *file;
    }

    bool begins_loop(BlockPlace place) const { return reader_.loop_end(place).has_value(); }

    /// False: it cannot be run turn by turn.
    bool loop(BlockPlace start, bool written) {
        const auto end = reader_.loop_end(start);
        if (end) loop_ = {start, BlockPlace{end->run, end->block + 1}};
        ran_loop_ = true;
        const auto behind = execution().loop(
            start, [this](const machine::Executed& executed) { return run_block(executed); });
        loop_.reset();
        if (behind && execution().blocks_left() == 0) stop(Stop::too_many_moves, here_);
        if (behind) {
            go_on_ = *behind;
        } else if (written) {
            flush();
            stop(Stop::jump, here_);
        }
        return behind.has_value();
    }

    void call(const BlockView& view) {
        const bool may_call = view.reading.flow != FlowKind::none || view.before.is(Meaning::modal_call);
        if (!may_call || stopped()) return;
        in_call_ = true;
        const machine::Followed followed =
            execution().call(view, [this](const machine::Executed& executed) { return run_block(executed); });
        in_call_ = false;
        if (followed != machine::Followed::no_call && followed != machine::Followed::yes)
            stop_at_call(followed);
    }

    void take_tool(const BlockView& view) {
        const machine::Value& tool = view.after.tool;
        if (const auto called = machine::station_called(view.reading, reader_.settings())) called_ = *called;
        // What is drawn only goes on behind a program that is not at hand with the tool that was called.
        const bool lost = is_drawn_only_ && tool.why == machine::Why::other_program;
        int station = tool.known() ? static_cast<int>(tool.number) : lost ? called_ : -1;
        if (station == out_.course.station && has_tool_) return;
        flush();
        look_at_index(view, station);
        has_tool_ = true;
        out_.course.station = station;
        if (loop_ && last_ < loop_->second) note_tool_in_loop(station);
        cutter_.take(tool_at(station)); // Of a tool that no T calls it is what is drawn that may tell
    }

    /// The part stands as an axis, for certain, or is drilled from the side, which no turning part can be.
    static bool works_round(const machine::State& state) {
        return state.is_axis() || state.is(Meaning::drill_side) || state.is(Meaning::tap_side) ||
               state.is(Meaning::bore_side);
    }

    void note_tool_in_loop(int station) {
        std::vector<SequenceCourse::Tool>& tools = out_.course.tools_in_loop;
        const auto known = std::find_if(tools.begin(), tools.end(),
                                        [&](const auto& tool) { return tool.block.block == here_.block; });
        if (known != tools.end())
            known->station = station;
        else
            tools.push_back({here_, station});
    }

    const shop::Tool* tool_at(int station) const {
        return path_ ? shop_.tool(station, *path_) : shop_.tool(station);
    }

    /// The turret turns where it stands; where that is, the point of the tool before tells.
    void look_at_index(const BlockView& view, int station) {
        const machine::State& before = view.before;
        if (station < 0 || !before.tool.known() || !before.offset.known() || before.offset.number == 0)
            return;
        if (!before.x_radius.known() || !before.z.known()) return;
        const int from = static_cast<int>(before.tool.number);
        if (from == station) return;
        const auto mm = motion::mm_per_unit(before);
        if (!mm) return;
        const Point tip{before.x_radius.number * *mm, before.z.number * *mm};
        if (is_near(tip)) cutter_.index(tool_at(from), tool_at(station), tip, here_);
    }

    RunBlock counted(const BlockView& view, const syntax::Forest* file) {
        const BlockPlace place{view.run_index, view.block};
        return {file, place, onlooker_ ? onlooker_->visits[{file, place}]++ : 0};
    }

    void move(const BlockView& view, const machine::Reader& reader, const syntax::Forest* file) {
        run_block_ = counted(view, file);
        MotionKind kind = view.reading.motion;
        motion::BlockPath path = motion::path_of(view, reader);
        bool plain = kind == MotionKind::rapid || kind == MotionKind::feed || kind == MotionKind::arc;
        bool finishing = kind == MotionKind::contour_cycle && view.reading.code(Meaning::finish_cycle);
        for (const Segment& segment : path.segments)
            if (!is_near(segment.from) || !is_near(segment.to))
                return stop(Stop::path_unknown, here_, machine::Why::computed);
        if (!path.complete) return incomplete(view, path);
        bool cuts = std::any_of(path.segments.begin(), path.segments.end(), [](const Segment& segment) {
            return segment.kind == SegmentKind::feed || segment.kind == SegmentKind::thread;
        });
        if (cuts && !keeps_datum(view)) {
            flush();
            if (!begins_next_part(view)) return stop(Stop::datum, here_);
        }
        if (cuts && is_drawn_only_ && in_call_ && cut_before_.size() < most_remembered)
            cut_before_.emplace_back(&view.run, view.block);
        const Side side = motion::side_of(view.after).value_or(Side::off);
        const bool with_side =
            side != Side::off || last_side_ != Side::off ||
            std::any_of(path.sides.begin(), path.sides.end(), [](Side of) { return of != Side::off; });
        const bool compensated = (plain || finishing) && cutter_.shape().nose_radius_mm > 0 &&
                                 cutter_.tool()->tip_direction.value_or(3) != 0 && with_side;
        motion::Spindle spindle = motion::spindle_during(view);
        // A finishing cycle leads in and returns by itself: compensation is taken up and left on these ways.
        if (finishing) {
            flush();
            last_side_ = Side::off;
        }
        for (std::size_t i = 0; i < path.segments.size(); ++i) {
            const Segment& segment = path.segments[i];
            if (segment.kind == SegmentKind::dwell) continue;
            const Job job{segment, here_, spindle, false, {run_block_, i}};
            if (++out_.moves > moves_left_) return stop(Stop::too_many_moves, here_);
            if (!compensated) {
                flush();
                run(job);
                if (stopped()) return;
                continue;
            }
            if (!chain_.empty() && !motion::same(chain_.back().segment.to, segment.from)) flush();
            if (chain_.empty()) before_chain_ = last_side_;
            chain_.push_back({segment, finishing ? path.sides[i] : side, {view.run_index, view.block}});
            chain_jobs_.push_back(job);
        }
        if (finishing) flush();
        if (plain) last_side_ = side;
    }

    /// Where it is drawn only: behind a part-off the blocks of a called program that has cut before make the
    /// next part off the bar, where its datum is another. Others may work on the same part's second side.
    bool begins_next_part(const BlockView& view) {
        const auto again =
            std::find(cut_before_.begin(), cut_before_.end(), std::pair(&view.run, view.block));
        if (!is_drawn_only_ || !is_parted_off() || again == cut_before_.end()) return false;
        cutter_.profile() = raw_stock(setup_);
        out_.course.bar_renewed = true;
        out_.held.datum = view.after.of(Group::datum);
        out_.held.at_cut = out_.held.shift;
        return true;
    }
    bool is_parted_off() {
        constexpr double shortest_part_mm = 2;
        return cutter_.profile().box().z_max <= setup_.front_z_mm - shortest_part_mm;
    }

    /// The datum of the first cut is the one that the stock lies in.
    bool keeps_datum(const BlockView& view) {
        const machine::Modal& now = view.after.of(Group::datum);
        const bool lost = now.why == machine::Why::other_program; // What was called, it most likely kept
        Held& held = out_.held;
        const bool first = !std::exchange(held.has_cut, true);
        if (first) held.at_cut = held.shift;
        if (held.at_cut != held.shift) return false;
        if (!now.known()) return held.datum.possible == 0 || (is_drawn_only_ && lost);
        // What no block stated is mostly the first.
        if (held.datum.possible == 0 && !first && !now.is(Meaning::datum_1)) return false;
        if (held.datum.possible == 0) held.datum = now;
        return held.datum == now;
    }

    /// The program itself puts the datum elsewhere: by a distance, by what it writes into the control, or by
    /// a local one. Positions given anew at a tool change are offsets told in another way.
    void take_shift(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        using Way = DatumShift::Way;
        if (reading.code(Meaning::local_datum)) return give_shift(view, Way::local);
        if (reading.code(Meaning::work_shift) || reading.code(Meaning::speed_limit))
            return give_shift(view, Way::by_distance);
        if (!reading.code(Meaning::data_setting)) return;
        const machine::Word *kind = reading.word('L'), *number = reading.word('P');
        if (!number || !number->value.known()) return;
        const double p = number->value.number;
        if (!kind && p == 0) return give_shift(view, Way::work_shift);
        if (!kind || !kind->value.known() || kind->value.number != 2) return;
        const machine::Modal& now = view.after.of(Group::datum);
        const auto is_in_force = [&](int datum) {
            return now.known() ? now.is(static_cast<Meaning>(static_cast<int>(Meaning::datum_1) + datum - 1))
                               : datum == 1;
        };
        if (p == 0 || (p >= 1 && p <= 6 && is_in_force(static_cast<int>(p))))
            give_shift(view, Way::own_table);
    }

    void give_shift(const BlockView& view, DatumShift::Way way) {
        DatumShift& shift = out_.held.shift;
        const auto give = [&](char absolute, char by_distance, std::size_t axis) {
            double& held = shift.mm[2 * static_cast<std::size_t>(way) + axis];
            const machine::Word* word =
                way == DatumShift::Way::by_distance ? nullptr : view.reading.word(absolute);
            const machine::Word* step = view.reading.word(by_distance);
            if (!word && !step) return;
            const std::optional<double> mm = motion::mm_per_unit(view.after);
            const machine::Value& value = word ? word->value : step->value;
            if (!mm || !value.known())
                ++shift.unknown;
            else
                held = value.number * *mm + (word ? 0 : held);
        };
        give('X', 'U', 0);
        give('Z', 'W', 1);
    }

    void incomplete(const BlockView& view, const motion::BlockPath& path) {
        flush();
        last_side_ = Side::off;
        switch (view.reading.motion) {
        case MotionKind::rapid:
        case MotionKind::reference:
        case MotionKind::from_reference:
        case MotionKind::machine_rapid:
            break;
        case MotionKind::skip:
            return; // Touches, and takes nothing off
        default:
            if (is_drawn_only_ && path.why == machine::Why::machine_specific &&
                (view.reading.moves_other || view.after.is(Meaning::polar_on)))
                return; // Round the axis
            if (works_round(view.after)) return;
            return stop(Stop::path_unknown, here_, path.why);
        }
        if (view.reading.motion == MotionKind::reference)
            for (const Segment& segment : path.segments) run({segment, here_, {}, false, {run_block_, {}}});
        if (view.reading.motion != MotionKind::rapid || !path.segments.empty()) return;
        if (!view.after.x_radius.known() || !view.after.z.known()) return;
        const std::optional<double> mm = motion::mm_per_unit(view.after);
        if (!mm) return;
        Segment pose;
        pose.to = {view.after.x_radius.number * *mm, view.after.z.number * *mm};
        pose.from = pose.to;
        if (is_near(pose.to)) run({pose, here_, {}, true, {run_block_, {}}});
    }

    void run(const Job& job) {
        take(job);
        if (onlooker_ && !stopped()) onlooker_->see(job.passed, cutter_.profile());
    }

    void take(const Job& job) {
        if (job.segment.kind == SegmentKind::rapid) return cutter_.rapid(job);
        if (job.segment.kind == SegmentKind::dwell) return;
        bool same_block =
            any_cutting_ && last_cutting_.block == job.block.block && last_cutting_.runs == job.block.runs;
        if (!same_block) ++out_.course.cutting_blocks;
        any_cutting_ = true;
        last_cutting_ = job.block;
        if (cutter_.tool() && cutter_.tool()->kind == shop::ToolKind::parting)
            keep_before_parting(job.segment);
        if (out_.held.bar_moved && !cutter_.shape().moves_bar) renew_bar();
        Stop why = cutter_.cut(job);
        if (is_drawn_only_ && why == Stop::bar_moved) {
            out_.held.bar_moved = true;
            return;
        }
        if (out_.held.bar_moved && why == Stop::none) why = Stop::bar_moved;
        if (why != Stop::none) stop(why, job.block);
    }

    /// Behind a part-off the bar that was pulled begins the next part as the first one began.
    void renew_bar() {
        if (!is_parted_off()) return;
        cutter_.profile() = raw_stock(setup_);
        out_.held.bar_moved = false;
        out_.course.bar_renewed = true;
    }

    /// The blade may cut grooves and break the corner first: the deepest of its plunges parts off.
    void keep_before_parting(const Segment& segment) {
        const double x_mm = segment.to.x_radius_mm;
        const bool plunges = segment.from.z_mm == segment.to.z_mm && x_mm < segment.from.x_radius_mm;
        if (!plunges || (deepest_plunge_mm_ && x_mm >= *deepest_plunge_mm_)) return;
        out_.course.before_parting = std::make_shared<const Region>(cutter_.profile());
        out_.course.parted_at = here_;
        deepest_plunge_mm_ = x_mm;
    }

    /// The compensated moves so far, on the way of the nose.
    void flush() {
        if (chain_.empty()) return;
        std::vector<NoseMove> chain = std::move(chain_);
        std::vector<Job> jobs = std::move(chain_jobs_);
        chain_.clear();
        chain_jobs_.clear();
        int direction = motion_direction();
        motion::NosePath path =
            motion::nose_path(chain, cutter_.shape().nose_radius_mm, direction, before_chain_);
        std::vector<std::size_t> owners = motion::nose_owners(path, chain);
        for (std::size_t i = 0; i < path.tip.size() && !stopped(); ++i) {
            Job job = jobs[owners[i]];
            SegmentKind kind = job.segment.kind;
            job.segment = path.tip[i];
            // What joins two moves of a cut is cut as they are.
            if (job.segment.kind == SegmentKind::rapid) job.segment.kind = kind;
            if (is_near(job.segment.from) && is_near(job.segment.to)) run(job);
        }
    }

    /// The direction that the shape was made with, from where it has the nose's centre.
    int motion_direction() const {
        for (int direction = 1; direction <= 8; ++direction)
            if (motion::same(motion::Point{} - cutter_.shape().nose_centre,
                             motion::tip_from_centre(direction, cutter_.shape().nose_radius_mm)))
                return direction;
        return 9;
    }

    static constexpr std::size_t most_called_blocks = 40'000, most_remembered = 500;

    const machine::Reader& reader_;
    const shop::Shop& shop_;
    std::optional<machine::Execution> execution_;
    std::map<const syntax::Forest*, std::unique_ptr<machine::Analysis>> files_; ///< Of called programs
    BlockPlace go_on_; ///< What stands above has been run by a loop
    std::optional<std::pair<BlockPlace, BlockPlace>>
        loop_; ///< That is run: its first block, the one behind it
    bool ran_loop_ = false;
    bool in_call_ = false;
    std::vector<std::pair<const syntax::Run*, std::size_t>> cut_before_; ///< Blocks of called programs
    BlockPlace first_, last_;
    std::size_t moves_left_;
    Onlooker* onlooker_;
    const Setup& setup_;
    bool is_drawn_only_;
    int called_ = -1;         ///< The last station that a T word called
    std::optional<int> path_; ///< Whose tools
    RunBlock run_block_;
    Followed out_;
    Cutter cutter_;
    std::size_t lines_above_ = 0; ///< In the runs before this one, from the first
    Near here_;                   ///< runs: 0, block: lines from the sequence's first
    bool has_tool_ = false;
    std::vector<NoseMove> chain_;
    std::vector<Job> chain_jobs_;
    Side before_chain_ = Side::off, last_side_ = Side::off;
    std::optional<double> deepest_plunge_mm_; ///< X, radius
    Near last_cutting_;
    bool any_cutting_ = false;
};

} // namespace

BlockPlace placed(const machine::Analysis& analysis, BlockPlace first, Near near) {
    BlockPlace place{first.run, first.block + near.block};
    while (place.run + 1 < analysis.size() && place.block >= analysis.forest().run(place.run)->blocks.size())
        place.block -= analysis.forest().run(place.run++)->blocks.size();
    return place;
}

std::size_t lines_between(const machine::Analysis& analysis, BlockPlace first, BlockPlace last) {
    std::size_t lines = last.block;
    for (std::size_t run = first.run; run < last.run; ++run)
        lines += analysis.forest().run(run)->blocks.size();
    return lines - first.block;
}

namespace {

RegionPointer moved_along(const Region& area, double by_mm) {
    auto moved = std::make_shared<Region>(area);
    const std::int64_t by = std::llround(by_mm * grid_per_mm);
    for (Loop& loop : moved->loops)
        for (GridPoint& point : loop) point.z += by;
    return moved;
}

/// With its other end in front.
RegionPointer turned(const Region& area, const Setup& setup, const Setup::TurnedRound& row) {
    Region part = area;
    const Box all = part.box();
    const bool has_end = row.cut_off || setup.back_is_known;
    if (!has_end)
        part = intersect(part, rectangle(all.z_max - row.least_length_mm, all.z_max, 0, farthest_mm));
    if (part.empty()) return nullptr;
    const std::int64_t end = std::llround(part.box().z_min * grid_per_mm);
    const std::int64_t front = std::llround(row.front_z_mm * grid_per_mm);
    for (Loop& loop : part.loops) {
        for (GridPoint& point : loop) point.z = front + (row.to_plus ? point.z - end : end - point.z);
        if (!row.to_plus) std::reverse(loop.begin(), loop.end());
    }
    return std::make_shared<const Region>(std::move(part));
}

} // namespace

Entering turned_round_at(Entering entering, const Setup& setup, BlockPlace first,
                         const RegionPointer& fallen) {
    using How = Setup::TurnedRound::How;
    for (const Setup::TurnedRound& row : setup.turned_round) {
        if (row.at != first) continue;
        if (row.how == How::next_part) {
            entering = {std::make_shared<const Region>(raw_stock(setup)), {}};
            continue;
        }
        const RegionPointer& part = row.how == How::taken_over && row.cut_off ? fallen : entering.profile;
        const bool is_there = row.is_known && part && !part->empty();
        if (row.how == How::taken_over && !is_there) return {nullptr, {}};
        if (!is_there) continue;
        if (row.how == How::pulled) {
            entering.profile = moved_along(*part, row.pull_mm);
            continue;
        }
        const RegionPointer other = turned(*part, setup, row);
        if (!other) continue;
        entering = {other, {}};
        entering.held.in_second = row.how == How::taken_over;
        entering.held.to_plus = row.to_plus;
    }
    return entering;
}

Followed follow_sequence(const machine::Reader& reader, const shop::Shop& shop, const Setup& setup,
                         const Entering& entering, BlockPlace first, BlockPlace last, std::size_t moves_left,
                         Onlooker* onlooker) {
    return Follower(reader, shop, setup, entering, first, last, moves_left, onlooker).follow();
}

} // namespace turnwright::stock

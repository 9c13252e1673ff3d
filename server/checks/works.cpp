// From blocks to works: the moves of every tool, in order.
#include "checks/works.h"
#include "machine/execution.h"
#include "machine/whole_number.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace turnwright::checks {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::Executed;
using machine::FlowKind;
using machine::MotionKind;
using machine::Value;

motion::Segment Leg::segment() const {
    motion::Segment segment = motion::line(from, to);
    segment.is_arc = is_arc;
    segment.centre = centre;
    segment.sweep = sweep;
    return segment;
}

namespace {

motion::Side side_of(const machine::State& state) {
    if (state.is(Meaning::compensation_left)) return motion::Side::left;
    if (state.is(Meaning::compensation_right)) return motion::Side::right;
    return motion::Side::off;
}

/// Wholly on the far side of the centre.
bool is_beyond_centre(const Work& work) {
    bool any = false;
    for (const Leg& leg : work.legs) {
        if (!leg.cuts() || !leg.known) continue;
        // A face ends a nose radius past the centre.
        constexpr double past_centre_mm = 1.6;
        if (leg.from.x_radius_mm >= 0 || leg.to.x_radius_mm * work.unit_mm >= past_centre_mm) return false;
        any = true;
    }
    return any;
}

void mirror(Work& work) {
    work.beyond_centre = true;
    work.finishes.clear(); // Their sides are told from the legs
    for (Leg& leg : work.legs) {
        for (Point* point : {&leg.from, &leg.to, &leg.centre})
            if (point->x_radius_mm != 0) point->x_radius_mm = -point->x_radius_mm;
        leg.x_sign = -leg.x_sign;
        leg.sweep = -leg.sweep;
        leg.clockwise = !leg.clockwise;
    }
}

class Collector {
public:
    Collector(const machine::Reader& reader, BlockPlace first, BlockPlace last)
        : reader_(reader), first_(first), last_(last) {
        out_.works.emplace_back();
    }

    /// A block of the span; what it calls or begins is gone through here.
    void read(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        const BlockPlace place{view.run_index, view.block};
        if (place < go_on_ || !reading.is_read || !view.before.reachable) return;
        if ((reading.flow == FlowKind::loop_start || begins_loop(place)) && loop(place)) return;
        take(view);
        // Only these, for whoever is asked to go through calls hangs on the whole text from then on.
        const bool may_call = reading.flow == FlowKind::none ? view.before.is(Meaning::modal_call)
                                                             : machine::calls_program(reading.flow);
        if (may_call && !reading.in_contour) call(view);
    }

    void take(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        if (!reading.is_read || !view.before.reachable) return;
        if (reading.has('T') && !reading.code(Meaning::macro_call)) begin_work(view);
        look_at_words(view);
        const bool goes = reading.moves_x || reading.moves_z;
        // What a macro call hands over moves nothing.
        const bool moves_other = reading.moves_other && !machine::calls_program(reading.flow);
        if (moves_other && reading.motion != MotionKind::reference) work().driven_tool = true;
        switch (reading.motion) {
        case MotionKind::none:
            return;
        case MotionKind::rapid:
        case MotionKind::feed:
        case MotionKind::arc:
        case MotionKind::thread:
            if (goes) plain(view);
            return;
        case MotionKind::reference:
        case MotionKind::machine_rapid:
        case MotionKind::from_reference:
            if (goes) home(view);
            return;
        case MotionKind::contour_cycle: // Its contour's blocks tell where it cuts
            other_ = true;
            finish(view);
            return;
        default:
            cycle(view);
        }
    }

    SpanWorks done() {
        // A last work with no moves is left out, and what it was begun by with it.
        out_.shifts_datum = work().legs.empty() && !work().same_datum;
        out_.ends_part = stop_ || (work().legs.empty() && (work().behind_stop || !work().same_datum));
        for (Work& work : out_.works) {
            if (!work.driven_tool && is_beyond_centre(work)) mirror(work);
            work.blade = goes_as_blade(work);
        }
        return std::move(out_);
    }

private:
    Work& work() { return out_.works.back(); }

    machine::Execution& execution() {
        const machine::Analysis& analysis = reader_.whole(machine::Whole::text);
        if (!execution_)
            execution_.emplace(analysis,
                               std::clamp(blocks_of_file / std::max<std::size_t>(analysis.size(), 1),
                                          least_run_blocks, most_run_blocks));
        return *execution_;
    }

    bool begins_loop(BlockPlace place) const {
        const auto end = reader_.loop_end(place);
        return end && *end <= last_;
    }

    /// False: it cannot be run turn by turn, and is read once over.
    bool loop(BlockPlace start) {
        called_from_ = start;
        const auto behind = execution().loop(start, [this](const Executed& block) { return run(block); });
        run_at_.reset();
        if (!behind) return false;
        go_on_ = *behind;
        if (execution().blocks_left() == 0) add_unknown_cut();
        return true;
    }

    void call(const BlockView& view) {
        called_from_ = {view.run_index, view.block};
        call_ = called_from_;
        const machine::Followed followed =
            execution().call(view, [this](const Executed& block) { return run(block); });
        run_at_.reset();
        if (followed == machine::Followed::not_found) may_change_tool(view);
        call_.reset();
        if (execution().blocks_left() == 0) add_unknown_cut();
    }

    /// Which tool works behind a program of the shop that is not at hand is not known; a macro with places
    /// cuts.
    void may_change_tool(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        if (!machine::is_kept_by_shop(reading) || reading.has('X') || reading.has('Z')) return;
        if (reading.code(Meaning::macro_call) && !reading.has('T')) return;
        if (work().legs.empty()) return;
        out_.works.emplace_back();
        work().tool = -1;
    }

    bool run(const Executed& executed) {
        if (!executed.is_own) { // Its contours are not at hand here
            const MotionKind kind = executed.view.reading.motion;
            run_at_ = called_from_;
            if (kind != MotionKind::none && kind != MotionKind::rapid) add_unknown_cut();
            return true;
        }
        run_at_ = BlockPlace{executed.view.run_index, executed.view.block};
        const BlockView& view = executed.view;
        machine::State before = view.before, after = view.after;
        // As the reader shows blocks: with what is stated alone.
        before.leave_assumed_out();
        after.leave_assumed_out();
        take({view.run, view.run_index, view.block, view.text, before, after, view.reading, view.settings});
        return true;
    }

    /// A work that a called program begins is counted from a block of its own, so what follows needs whole
    /// places.
    template <class Placed>
    void put(Placed& placed, BlockPlace at) {
        if (run_at_ || work().called_at) placed.run_at = run_at_.value_or(at);
        if (call_)
            placed.block = Near::of(*call_, first_);
        else if (!placed.run_at)
            placed.block = Near::of(at, first_);
    }

    /// Behind it nobody knows what is cut.
    void add_unknown_cut() {
        Leg leg;
        put(leg, called_from_);
        leg.kind = Leg::Kind::feed;
        leg.moves_x = leg.moves_z = true;
        work().legs.push_back(leg);
    }

    void begin_work(const BlockView& view) {
        // Its offset taken away on the way off: `G00 X80. Z40. T0300`.
        const bool same_tool = view.before.tool.known() && view.after.tool.known() &&
                               view.before.tool.number == view.after.tool.number;
        if (same_tool && view.after.offset.known() && view.after.offset.number == 0 && !work().legs.empty())
            return;
        const bool was_used = !work().legs.empty();
        const bool stopped = work().behind_stop && !was_used;
        if (was_used) out_.works.emplace_back();
        work().called_at = run_at_;
        work().tool = view.after.tool.known() ? machine::whole_number(view.after.tool.number) : -1;
        work().behind_stop = stopped || stop_;
        stop_ = false;
        other_ = false;
    }

    /// What the tool has done so far was in the datum before.
    void shift_datum() {
        if (!work().legs.empty()) {
            const int tool = work().tool;
            out_.works.emplace_back();
            work().called_at = run_at_;
            work().tool = tool;
        }
        work().same_datum = false;
    }

    void look_at_words(const BlockView& view) {
        for (const machine::Word& word : view.reading.words) {
            if (word.after_comma || (word.letter != 'G' && word.letter != 'M' && word.letter != 'S'))
                continue;
            if (word.letter == 'M' || word.letter == 'S' || !word.code) other_ = true;
            if (!word.code) continue;
            switch (word.code->meaning) {
            case Meaning::program_stop:
                stop_ = true;
                break;
            case Meaning::work_shift:
            case Meaning::local_datum:
            case Meaning::data_setting:
                shift_datum();
                break;
            case Meaning::dwell:
            case Meaning::macro_call:
            case Meaning::machine_specific:
                other_ = true;
                break;
            default:
                if (word.code->group() == Group::datum && view.before.of(Group::datum).known() &&
                    view.before.of(Group::datum) != view.after.of(Group::datum))
                    shift_datum();
            }
        }
        if (view.reading.flow != machine::FlowKind::none) other_ = true;
        if (stop_ && work().legs.empty()) {
            work().behind_stop = true;
            stop_ = false;
        }
    }

    Leg leg_of(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        Leg leg;
        put(leg, {view.run_index, view.block});
        leg.moves_x = reading.moves_x;
        leg.moves_z = reading.moves_z;
        leg.in_contour = reading.in_contour;
        leg.by_letters = reading.has('U') || reading.has('W') ||
                         (view.settings.system != codes::System::A && view.after.is(Meaning::incremental));
        leg.side = side_of(view.after);
        leg.spindle_stands = view.after.part_stands();
        leg.behind_other = std::exchange(other_, false);
        leg.by_pass = view.after.is(Meaning::thread) || view.after.is(Meaning::single_threading);
        leg.feed = view.after.feed.known() ? view.after.feed.number : 0;
        leg.from = {view.before.x_radius.number, view.before.z.number};
        if (const Value u = reading.value('U'); u.known())
            leg.x_sign = u.number > 0 ? 1 : u.number < 0 ? -1 : 0;
        return leg;
    }

    void add(Leg leg, const BlockView& view) {
        const bool driven = leg.spindle_stands || view.after.is_laid_out() ||
                            view.after.spoken_to() == machine::Spindle::live;
        if (leg.cuts() && driven) work().driven_tool = true;
        work().unit_mm = unit_mm(view);
        work().legs.push_back(leg);
    }

    /// Where none is stated the one that the program's own signs tell: bounds are scaled by it.
    double unit_mm(const BlockView& view) {
        const machine::Modal& stated = view.after.of(Group::units);
        if (stated.possible != 0) return stated.is(Meaning::inch) ? motion::mm_per_inch : 1;
        const machine::Assumption& assumed = view.settings.assumed.units;
        return assumed.by != machine::Sign::none && assumed.meaning == Meaning::inch ? motion::mm_per_inch
                                                                                     : 1;
    }

    void plain(const BlockView& view) {
        const machine::Reading& reading = view.reading;
        Leg leg = leg_of(view);
        leg.kind = reading.motion == MotionKind::rapid    ? Leg::Kind::rapid
                   : reading.motion == MotionKind::thread ? Leg::Kind::thread
                                                          : Leg::Kind::feed;
        const Value &x = reading.target_x_radius, &z = reading.target_z;
        // Where the tip of another tool stands when the turret has turned nobody knows.
        const bool other_tool = reading.has('T') && view.before.tool.known() && view.after.tool.known() &&
                                view.before.tool.number != view.after.tool.number;
        leg.known =
            view.before.x_radius.known() && view.before.z.known() && x.known() && z.known() && !other_tool;
        leg.arrives = x.known() && z.known();
        leg.to = {x.number, z.number};
        if (leg.known) leg.x_sign = leg.dx() > 0 ? 1 : leg.dx() < 0 ? -1 : 0;
        if (reading.motion == MotionKind::arc) {
            leg.clockwise = reading.motion_meaning == Meaning::arc_clockwise;
            round(view, leg);
        }
        add(leg, view);
    }

    /// The centre of an arc, in program units as the rest.
    void round(const BlockView& view, Leg& leg) {
        const machine::Reading& reading = view.reading;
        if (!leg.known || !view.after.may_be(Meaning::plane_zx)) return;
        constexpr double enough = 0.05; // Another rule tells a centre that does not fit
        motion::Arc arc;
        if (const Value r = reading.value('R'); r.known())
            arc = motion::arc_by_radius(leg.from, leg.to, r.number, leg.clockwise, enough);
        else if (const Value i = reading.value('I'), k = reading.value('K'); i.known() || k.known())
            arc = motion::arc_by_centre(leg.from, leg.to, leg.from + Point{i.number, k.number}, leg.clockwise,
                                        enough);
        if (arc.sweep == 0 || arc.trouble) return;
        leg.is_arc = true;
        leg.by_centre = !reading.has('R');
        leg.centre = arc.centre;
        leg.sweep = arc.sweep;
    }

    void home(const BlockView& view) {
        Leg leg = leg_of(view);
        leg.kind = Leg::Kind::home;
        leg.known = view.before.x_radius.known() && view.before.z.known();
        add(leg, view);
    }

    void cycle(const BlockView& view) {
        if (view.reading.sets_up_cycle) return;
        const motion::BlockPath path = path_in_any_unit(view, reader_);
        const double mm = view.after.is(Meaning::inch) ? motion::mm_per_inch : 1;
        Leg like = leg_of(view);
        like.of_cycle = like.known = like.arrives = true;
        bool first = true;
        for (const motion::Segment& segment : path.segments) {
            if (segment.kind == motion::SegmentKind::dwell) continue;
            Leg leg = like;
            leg.kind = segment.kind == motion::SegmentKind::rapid    ? Leg::Kind::rapid
                       : segment.kind == motion::SegmentKind::thread ? Leg::Kind::thread
                                                                     : Leg::Kind::feed;
            leg.behind_other = like.behind_other && std::exchange(first, false);
            leg.from = segment.from * (1 / mm);
            leg.to = segment.to * (1 / mm);
            leg.x_sign = leg.dx() > 0 ? 1 : leg.dx() < 0 ? -1 : 0;
            add(leg, view);
        }
        other_ = true;
    }

    void finish(const BlockView& view) {
        Finish finish;
        finish.side = side_of(view.after);
        if (view.reading.motion_meaning != Meaning::finish_cycle || finish.side == motion::Side::off) return;
        const motion::BlockPath path = path_in_any_unit(view, reader_);
        if (!path.complete || path.segments.empty()) return;
        const double start = path.segments.front().from.x_radius_mm;
        double lowest = start, highest = start;
        Point front = path.segments.front().to, back = front;
        for (const motion::Segment& segment : path.segments) {
            lowest = std::min({lowest, segment.from.x_radius_mm, segment.to.x_radius_mm});
            highest = std::max({highest, segment.from.x_radius_mm, segment.to.x_radius_mm});
            if (segment.kind != motion::SegmentKind::feed) continue;
            for (const Point end : {segment.from, segment.to}) {
                if (end.z_mm > front.z_mm) front = end;
                if (end.z_mm < back.z_mm) back = end;
            }
            const Point way = segment.to - segment.from;
            finish.dx += way.x_radius_mm;
            finish.dz += way.z_mm;
            finish.length += std::abs(way.x_radius_mm) + std::abs(way.z_mm);
        }
        constexpr double over = 0.5; // Contours end a little beyond their start
        finish.outside = start > highest - over;
        if (finish.outside == (start < lowest + over)) return;
        // Started on the wrong side of its contour, which is not the side of the nose.
        if (finish.outside != (back.x_radius_mm > front.x_radius_mm)) return;
        put(finish, {view.run_index, view.block});
        work().finishes.push_back(finish);
    }

    /// So that a loop of thousands of turns does not make every key slow.
    static constexpr std::size_t least_run_blocks = 200, most_run_blocks = 3000, blocks_of_file = 24'000;

    const machine::Reader& reader_;
    std::optional<machine::Execution> execution_;
    BlockPlace first_, last_;
    BlockPlace go_on_; ///< What stands above has been run by a loop
    BlockPlace called_from_;
    std::optional<BlockPlace> call_;   ///< While what it calls is run
    std::optional<BlockPlace> run_at_; ///< The block of a called program or a loop that is run now
    SpanWorks out_;
    bool other_ = false, stop_ = false;
};

} // namespace

SpanWorks works_between(const machine::Reader& reader, BlockPlace first, BlockPlace last) {
    Collector collector(reader, first, last);
    reader.visit_span(first, last, [&](const BlockView& view) { collector.read(view); });
    return collector.done();
}

Report::Entry WorksContext::at(Report& report, const Work& work, const Leg& leg,
                               std::string_view letters) const {
    const BlockPlace where = place(work, leg);
    for (char letter : letters)
        if (const syntax::Item* item = find_letter(reader, where, letter)) return report.at(where, *item);
    return report.at(where);
}

namespace {

/// Where the variable that is the whole value of a word is set, if it is once, above, and to a number.
std::optional<BlockPlace> only_set(const machine::Reader& reader, BlockPlace place,
                                   const syntax::Item& item) {
    constexpr std::size_t most_blocks = 300;
    const syntax::Run& run = reader.line(place);
    const std::string text(run.text_of(item)); // "Z#103"
    const std::size_t number = text.find('#');
    if (number != 1 || text.find_first_not_of("0123456789", 2) != std::string::npos) return std::nullopt;
    const std::string sets = text.substr(1) + "=";
    std::optional<BlockPlace> found;
    for (const bool forward : {false, true}) {
        std::size_t looked_at = 0;
        for (auto at = reader.neighbour(place, forward); at; at = reader.neighbour(*at, forward)) {
            if (++looked_at > most_blocks) return std::nullopt;
            const std::string block = statement_of(reader, *at);
            if (!block.starts_with(sets)) continue;
            const bool is_number = block.find_first_not_of("0123456789.-", sets.size()) == std::string::npos;
            if (found || forward || !is_number) return std::nullopt;
            found = at;
        }
    }
    return found;
}

} // namespace

Report::Entry WorksContext::at_giver(Report& report, const Work& work, const Leg& leg,
                                     std::string_view letters) const {
    const BlockPlace where = place(work, leg), call = spans[work.span].place(leg.block);
    for (char letter : letters) {
        const syntax::Item* item = find_letter(reader, where, letter);
        if (!item) continue;
        const bool by_call = leg.run_at && item->kind == syntax::ItemKind::computed_word &&
                             find_code(reader, call, Meaning::macro_call);
        if (by_call) return report.at(call);
        const auto set =
            item->kind == syntax::ItemKind::computed_word ? only_set(reader, where, *item) : std::nullopt;
        return set ? report.at(*set) : report.at(where, *item);
    }
    return report.at(where);
}

double degrees_between(Point a, Point b) {
    return std::abs(std::atan2(motion::cross(a, b), motion::dot(a, b))) * 180 / motion::pi;
}

} // namespace turnwright::checks

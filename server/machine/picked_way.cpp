#include "machine/picked_way.h"

#include "machine/course.h"
#include "machine/whole_number.h"

#include <algorithm>

namespace turnwright::machine {

using codes::Meaning;
using syntax::ItemKind;

class PickedWay::Walk {
public:
    Walk(PickedWay& way, const Analysis& analysis)
        : way_(way), analysis_(analysis), course_(analysis.course()) {}

    void go() {
        distances_ = goes_by_distance();
        if (!distances_ && goes_one_way()) return;
        for (std::size_t run = 0; run < analysis_.size(); ++run)
            if (!goes_as_analysed(run)) analysis_.visit(run, [this](const BlockView& view) { read(view); });
    }

private:
    /// One way leads to this run, and none of its blocks makes two: most runs of most programs.
    bool goes_as_analysed(std::size_t run) {
        if (to_ || loop_end_ || given_ || !analysis_.is_plain(run)) return false;
        if (state_ && !(*state_ == analysis_.result(run)->in)) return false;
        const syntax::Run& text = course_.body.run(run);
        const bool quiet =
            std::none_of(text.blocks.begin(), text.blocks.end(), [&](const syntax::Block& block) {
                return block.deleted || block.has_statement || may_give_place(text, block);
            });
        if (quiet) state_.reset();
        return quiet;
    }
    /// Whether any block may go on from a place that is given: by its letters alone.
    bool goes_by_distance() const {
        if (analysis_.settings().system != codes::System::A) return true; // G91
        for (std::size_t run = 0; run < analysis_.size(); ++run)
            for (const syntax::Item& item : course_.body.run(run).items)
                if (item.letter == 'U' || item.letter == 'W') return true;
        return false;
    }
    /// No jump, loop or call, and nothing that is read or not: what the analysis has is the one way.
    bool goes_one_way() const {
        const auto only_ends = [](const std::shared_ptr<const RunShape>& shape) {
            return std::all_of(shape->flow.begin(), shape->flow.end(),
                               [](const FlowMark& mark) { return mark.kind == FlowKind::program_end; });
        };
        if (!std::all_of(course_.body.shapes->begin(), course_.body.shapes->end(), only_ends)) return false;
        for (std::size_t run = 0; run < analysis_.size(); ++run)
            for (const syntax::Block& block : course_.body.run(run).blocks)
                if (block.deleted || block.has_statement) return false;
        return true;
    }
    /// As look_at_place_given finds them, by the letters alone.
    bool may_give_place(const syntax::Run& run, const syntax::Block& block) const {
        if (!distances_) return false;
        bool x = false, z = false, shifts = false;
        for (const syntax::Item& item : run.items_of(block)) {
            if (item.letter == 'T') return true;
            x = x || item.letter == 'X';
            z = z || item.letter == 'Z';
            shifts = shifts || (item.letter == 'G' && (item.value == 50 || item.value == 92));
        }
        return x && z && shifts;
    }

    void read(const BlockView& view) {
        const BlockPlace place{view.run_index, view.block};
        if (to_ && place == to_->first) {
            state_ = std::move(to_->second);
            to_.reset();
        } else if (to_) {
            way_.passed_over_.insert(place);
            return;
        }
        if (const auto end = analysis_.loop_end(place)) {
            if (goes_once(place))
                way_.once_.insert(place);
            else
                loop_end_ = std::max(loop_end_.value_or(*end), *end);
        }
        if ((loop_end_ && place <= *loop_end_) || !view.before.reachable || view.before.ended)
            return state_.reset();
        if (view.reading.in_contour) return;
        if (state_) keep_place_given(view);
        if (!state_ || *state_ == view.before || way_.before_.size() >= most_kept) {
            state_.reset();
            return go_on(view, view.before, view.after, view.reading);
        }
        state_->contour = view.before.contour;
        State before = *state_, after = *state_;
        Reading reading;
        interpret(view.run, view.block, view.settings, after, reading);
        if (reading.motion != MotionKind::none || reading.code(Meaning::dwell))
            way_.before_.emplace(place, before);
        go_on(view, before, after, reading);
    }

    /// `after`: behind the block's own words where they were read anew.
    void go_on(const BlockView& view, const State& before, const State& after, const Reading& reading) {
        const BlockPlace place{view.run_index, view.block};
        const bool turns = reading.flow != FlowKind::none;
        if (view.text.deleted && turns) { // Where it leads to is not told by it
            state_ = before;
            return;
        }
        if (calls_program(reading.flow) || before.is(Meaning::modal_call)) return behind_call(view, before);
        if (turns && closes_once(place, reading)) {
            way_.ends_once_.insert(place);
            state_ = after;
            state_->reachable = true;
            return;
        }
        if (turns) return jump(place, after, reading);
        State now = read_behind(view.run, view.block, after);
        now.deleted.reset();
        look_at_place_given(before, now, reading);
        if (now.reachable && !now.ended)
            state_ = std::move(now);
        else
            state_.reset();
    }

    void behind_call(const BlockView& view, const State& before) {
        state_ = view.after;
        state_->deleted.reset();
        const Value& number = view.reading.flow_target;
        const bool out_of_sight = number.known() &&
                                  !course_.body.plan->program(whole_number(number.number)) &&
                                  !course_.programs->find(whole_number(number.number));
        if (out_of_sight) state_->variables = before.variables;
        if (!view.after.reachable) state_.reset();
    }

    void jump(BlockPlace place, const State& after, const Reading& reading) {
        state_.reset();
        const std::optional<BlockPlace> to = target(place, reading);
        if (reading.flow != FlowKind::jump && reading.flow != FlowKind::maybe_jump) return;
        if (!to) return;
        bool made = reading.flow == FlowKind::jump;
        if (!made) {
            made = !comes_to_work({place.run, place.block + 1}) && comes_to_work(*to);
            way_.picked_.emplace(place, made ? Turn::made : Turn::passed);
        }
        State on = after;
        on.reachable = true;
        on.deleted.reset();
        if (made)
            to_.emplace(*to, std::move(on));
        else
            state_ = std::move(on);
    }

    /// A loop that nothing tells how often it goes.
    bool goes_once(BlockPlace first) const {
        const std::int32_t index = course_.body.plan->loop_starts.at(first);
        return index >= 0 && !course_.states->find({JoinKey::Kind::loop_entry, 0, index});
    }
    /// The head of such a loop, its end, or the jump that leads back.
    bool closes_once(BlockPlace place, const Reading& reading) {
        const Plan& plan = *course_.body.plan;
        if (reading.flow == FlowKind::loop_start) {
            if (!way_.once_.contains(place)) return false;
            way_.picked_.emplace(place, Turn::once);
            return true;
        }
        const std::int32_t index = plan.loop_ends.at(place);
        if (index < 0) return false;
        const BlockPlace first = plan.loops[static_cast<std::size_t>(index)].start;
        if (!way_.once_.contains(first)) return false;
        if (reading.flow != FlowKind::loop_end) way_.picked_.emplace(place, Turn::once);
        return true;
    }

    /// Below, in the same program.
    std::optional<BlockPlace> target(BlockPlace place, const Reading& reading) const {
        if (!reading.flow_target.known()) return std::nullopt;
        return label_below(place, whole_number(reading.flow_target.number));
    }
    std::optional<BlockPlace> label_below(BlockPlace place, std::int32_t number) const {
        const auto label = analysis_.label_from(number, place);
        const Plan& plan = *course_.body.plan;
        if (!label || *label == place || plan.part_of(*label) != plan.part_of(place)) return std::nullopt;
        return label;
    }

    /// Whether a block that moves comes before the end, a stop or an alarm ("#3000=1").
    bool comes_to_work(BlockPlace at) const {
        constexpr int farthest = 60;
        for (int i = 0; i < farthest; ++i, ++at.block) {
            while (at.run < analysis_.size() && at.block >= course_.body.run(at.run).blocks.size())
                at = {at.run + 1, 0};
            if (at.run >= analysis_.size()) return false;
            const syntax::Run& run = course_.body.run(at.run);
            std::optional<std::int32_t> on;
            for (const syntax::Item& item : run.items_of(run.blocks[at.block])) {
                if (item.kind == ItemKind::assignment && run.text_of(item).starts_with("#3000")) return false;
                if (item.kind == ItemKind::go_to) on = number_of(run, item);
                if (!item.is_word()) continue;
                if (item.letter == 'M' &&
                    (item.value == 2 || item.value == 30 || item.value == 99 || item.value == 0))
                    return false;
                if (std::string_view("XZUWT").find(item.letter) != std::string_view::npos) return true;
            }
            if (!on) continue;
            const auto label = label_below(at, *on);
            if (!label) return false;
            at = {label->run, label->block};
            --at.block;
        }
        return true;
    }

    static std::int32_t number_of(const syntax::Run& run, const syntax::Item& item) {
        if (item.expression >= run.expressions.size()) return -1;
        const std::int32_t to = run.expressions[item.expression].left;
        if (to < 0) return -1;
        const syntax::Expression& number = run.expressions[static_cast<std::size_t>(to)];
        return number.operation == syntax::Operation::number ? whole_number(number.number) : -1;
    }

    /// "G92 X60. Z20." gives the place of the tool that is called next, too, and so does where the one before
    /// stood when it was taken back: distances go on from there.
    void look_at_place_given(const State& before, const State& after, const Reading& reading) {
        if (!distances_) return;
        if (reading.motion != MotionKind::none) given_.reset();
        const bool gives = reading.code(Meaning::work_shift) || reading.code(Meaning::speed_limit);
        if (gives && reading.has('X') && reading.has('Z') && after.x_radius.known() && after.z.known())
            given_.emplace(after.x_radius, after.z);
        if (calls_tool(reading) && reading.motion == MotionKind::none && before.x_radius.known() &&
            before.z.known())
            given_.emplace(before.x_radius, before.z);
    }
    static bool calls_tool(const Reading& reading) { return reading.has('T') && !gives_arguments(reading); }
    void keep_place_given(const BlockView& view) {
        const Reading& reading = view.reading;
        const bool by_distance =
            reading.has('U') || reading.has('W') ||
            (view.settings.system != codes::System::A && view.after.is(Meaning::incremental));
        if (reading.motion == MotionKind::none || !by_distance) return;
        if (given_) {
            if (state_->x_radius.why == Why::datum_changed) state_->x_radius = given_->first;
            if (state_->z.why == Why::datum_changed) state_->z = given_->second;
        }
        // "G00 U5. W6. T0100": the way begins where the tool stands.
        if (calls_tool(reading) && state_->x_radius.known() && state_->z.known()) {
            state_->tool = view.after.tool;
            state_->offset = view.after.offset;
        }
    }

    static constexpr std::size_t most_kept = 20'000;

    PickedWay& way_;
    const Analysis& analysis_;
    Course course_;
    std::optional<State> state_;                     ///< Behind the block above; none: as the analysis has it
    std::optional<std::pair<BlockPlace, State>> to_; ///< Where a jump that is made leads
    std::optional<std::pair<Value, Value>> given_;
    std::optional<BlockPlace> loop_end_;
    bool distances_ = true;
};

PickedWay::PickedWay(const Analysis& analysis) {
    Walk(*this, analysis).go();
}

} // namespace turnwright::machine

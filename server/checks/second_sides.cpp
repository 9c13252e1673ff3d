#include "checks/second_sides.h"

#include "checks/more_axes.h"

#include <algorithm>
#include <cmath>

namespace turnwright::checks {

using codes::Group;
using Does = MachineCode::Does;
using machine::Spindle;

namespace {

constexpr double on_centre_mm = 1.5;  ///< On radius; a blade that goes so far cuts off
constexpr double deepest_face_mm = 3; ///< A way to the centre nearer to the datum is a facing
constexpr int deepest_call = 4;
constexpr double least_pull_mm = 1;

double mm_per_unit(const Act& act) {
    return act.inch() ? motion::mm_per_inch : 1;
}

bool works(const Act& act) {
    if (act.in_contour || machine::is_return(act.motion)) return false;
    return act.cuts() || act.threads() || act.drills() || act.taps();
}

/// Calls `look` with each act of a span and of the programs of the file that it calls, those once.
template <class Look>
void for_each_act(const ToolOfSpan& tool, std::span<const ToolOfSpan> all, Look&& look, int depth = 0) {
    for (const Act& act : tool.work->acts) {
        look(tool, act);
        if (!act.calls_program || act.deleted || depth == deepest_call) continue;
        const auto number = number_called(*tool.work, act);
        if (!number) continue;
        for (const ToolOfSpan& called : all)
            if (called.span->program->number == *number && called.span->program != tool.span->program)
                for_each_act(called, all, look, depth + 1);
    }
}

/// Straight in to the centre, or into a bore by what calls itself a part-off.
bool cuts_off(const Act& act, bool is_part_off) {
    if (act.motion != machine::MotionKind::feed || !act.moves_x || act.moves_z || !known(act.to_x) ||
        !known(act.to_z) || act.in_contour)
        return false;
    if (known(act.from_x) && act.to_x >= act.from_x) return false;
    if (is_part_off) return true;
    const double mm = mm_per_unit(act);
    return act.to_x * mm <= on_centre_mm && std::abs(act.to_z) * mm > deepest_face_mm;
}

/// What one span does.
struct Done {
    bool works = false, turns_second = false, turns_main = false, turns_live = false, turns_unknown = false;
    bool parts_off = false;  ///< And works on nothing else
    std::uint16_t datum = 0; ///< Of its first cut
    std::size_t to_plus = 0, to_minus = 0;
    double farthest_z = 0;
};
Done done_by(const ToolOfSpan& tool, std::span<const ToolOfSpan> all) {
    Done done;
    const bool is_part_off = tool.is(NamedTool::Kind::part_off);
    const bool may_part_off = is_part_off || !tool.is(NamedTool::Kind::turn);
    bool all_in = true, any_cut_off = false;
    for_each_act(tool, all, [&](const ToolOfSpan&, const Act& act) {
        if (!works(act)) return;
        if (!done.works) done.datum = act.datum;
        done.works = true;
        all_in = all_in && !(act.moves_z && act.motion != machine::MotionKind::feed);
        any_cut_off = any_cut_off || (may_part_off && cuts_off(act, is_part_off));
        if (!act.spindle)
            done.turns_unknown = true;
        else if (*act.spindle == Spindle::second)
            done.turns_second = true;
        else if (*act.spindle == Spindle::live)
            done.turns_live = true;
        else
            done.turns_main = true;
        if (!act.moves_z || !known(act.to_z)) return;
        if (std::abs(act.to_z) > std::abs(done.farthest_z)) done.farthest_z = act.to_z;
        if (!known(act.from_z)) return;
        const double dz = (act.to_z - act.from_z) * mm_per_unit(act);
        constexpr double least_mm = .3;
        if (dz > least_mm) ++done.to_plus, all_in = all_in && is_part_off;
        if (dz < -least_mm) ++done.to_minus, all_in = all_in && is_part_off;
    });
    done.parts_off = any_cut_off && all_in;
    return done;
}

class Walker {
public:
    Walker(SecondSpindle& found, const std::vector<MachineCode>& codes, std::span<const ToolOfSpan> all)
        : found_(found), codes_(codes), all_(all) {}

    void take(std::size_t i, const ToolOfSpan& tool) {
        const Done done = done_by(tool, all_);
        const bool took_over_before = is_taken_over_;
        const bool is_second = took_over_before || !tells_chuck() ? on_second(done) : done.turns_second;
        for_each_act(tool, all_, [&](const ToolOfSpan& of, const Act& act) { take_codes(i, of, act); });
        const bool takes_over = is_taken_over_ && took_over_ == i;
        if (done.works) {
            const bool only_parts = done.parts_off && !is_cut_off_;
            if (is_second && !only_parts && !takes_over) {
                add(i, done);
            } else {
                if (open_ && !found_.sides[*open_].next_part && (done.turns_main || done.turns_live))
                    found_.sides[*open_].next_part = i;
                if (open_) forget();
                has_first_ = true;
                if (!only_parts) datum_ = done.datum;
            }
        }
        if (done.parts_off && (is_taken_over_ || !tells_chuck())) is_cut_off_ = true;
    }

private:
    bool tells_chuck() const {
        return std::any_of(codes_.begin(), codes_.end(),
                           [](const MachineCode& code) { return code.does == Does::second_close; });
    }

    bool on_second(const Done& done) const {
        if (done.turns_second) return true;
        const bool same_datum = done.datum == datum_;
        if (open_) return !done.turns_main ? done.datum == of_side_ : done.datum == of_side_ && !same_datum;
        // What is cut off, or let go by the main chuck, is worked on in another datum.
        return is_taken_over_ && (is_cut_off_ || is_let_go_) && has_first_ && !same_datum && done.datum != 0;
    }

    void add(std::size_t i, const Done& done) {
        if (!open_) {
            SecondSide side;
            side.first = i;
            side.is_made_above = has_first_;
            side.cut_off = is_cut_off_;
            open_ = found_.sides.size();
            found_.sides.push_back(side);
            of_side_ = done.datum;
            to_plus_ = to_minus_ = 0;
            farthest_z_ = 0;
        }
        SecondSide& side = found_.sides[*open_];
        side.last = i;
        to_plus_ += done.to_plus;
        to_minus_ += done.to_minus;
        if (std::abs(done.farthest_z) > std::abs(farthest_z_)) farthest_z_ = done.farthest_z;
        const bool is_clear = to_plus_ >= 2 * to_minus_ || to_minus_ >= 2 * to_plus_;
        side.to_plus = is_clear && to_plus_ != to_minus_ ? to_plus_ > to_minus_ : farthest_z_ > 0;
    }

    void forget() {
        open_.reset();
        is_taken_over_ = is_cut_off_ = is_let_go_ = false;
    }

    void take_codes(std::size_t i, const ToolOfSpan& tool, const Act& act) {
        // Behind the grip the slide takes the bar along.
        if (const ActWord* to = slide_word(*tool.work, act)) {
            if (is_let_go_ && at_ && to->number != not_known) {
                const bool by_distance = act.incremental;
                pulled_ += std::abs(by_distance ? to->number : to->number - *at_) * mm_per_unit(act);
            }
            if (to->number != not_known && !act.incremental) at_ = to->number;
        }
        for (const ActWord& word : tool.work->words_of(act)) {
            const MachineCode* code = told_code(word, codes_);
            if (!code || act.deleted) continue;
            switch (code->does) {
            case Does::second_close:
                if (open_) forget();
                is_taken_over_ = true;
                took_over_ = i;
                is_cut_off_ = is_let_go_ = false;
                break;
            case Does::clamp_open:
                if (!is_taken_over_ || is_cut_off_ || open_) break;
                is_let_go_ = true;
                pulled_ = 0;
                break;
            case Does::clamp_close:
                if (is_let_go_ && !is_cut_off_ && pulled_ >= least_pull_mm)
                    found_.pulls.push_back({i, pulled_});
                is_let_go_ = false;
                break;
            default:
                break;
            }
        }
    }

    SecondSpindle& found_;
    const std::vector<MachineCode>& codes_;
    std::span<const ToolOfSpan> all_;
    bool has_first_ = false, is_taken_over_ = false, is_cut_off_ = false, is_let_go_ = false;
    std::size_t took_over_ = 0;
    std::optional<std::size_t> open_; ///< The side that is worked on
    std::uint16_t datum_ = 0, of_side_ = 0;
    std::size_t to_plus_ = 0, to_minus_ = 0;
    double farthest_z_ = 0, pulled_ = 0;
    std::optional<double> at_; ///< The slide
};

bool tells_second(std::span<const Span> spans, const shop::Machine& machine) {
    const auto is_told = [](Does does) { return does == Does::second_close || does == Does::second_open; };
    return std::any_of(machine.effects.begin(), machine.effects.end(),
                       [&](const auto& row) {
                           const auto& does = row.second.does;
                           return std::any_of(does.begin(), does.end(), [&](codes::Meaning meaning) {
                               return is_told(does_of(meaning));
                           });
                       }) ||
           std::any_of(spans.begin(), spans.end(), [&](const Span& span) {
               const Acts& work = *span.facts->acts.held;
               return std::any_of(work.codes.begin(), work.codes.end(),
                                  [&](const MachineCode& code) { return is_told(code.does); }) ||
                      work.speaks_to_second;
           });
}

} // namespace

SecondSpindle second_spindle_of(std::span<const Span> spans, const shop::Machine& machine) {
    SecondSpindle found;
    if (!tells_second(spans, machine)) return found;
    const std::vector<MachineCode> codes = codes_told(spans, machine);
    const std::vector<ToolOfSpan> tools = tools_of(spans);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        Walker walker(found, codes, tools);
        for (const ToolOfSpan& tool : program)
            walker.take(static_cast<std::size_t>(tool.span - spans.data()), tool);
    });
    return found;
}

void add_second_spindle(std::vector<stock::Setup::TurnedRound>& places, std::span<const Span> spans,
                        const shop::Machine& machine) {
    using How = stock::Setup::TurnedRound::How;
    const SecondSpindle second = second_spindle_of(spans, machine);
    const auto add = [&](std::size_t span, How how) -> stock::Setup::TurnedRound& {
        // What a note tells there is the same.
        std::erase_if(
            places, [&](const auto& row) { return row.at == spans[span].first && row.how == How::by_hand; });
        places.push_back({.at = spans[span].first, .how = how});
        return places.back();
    };
    for (const BarPull& pull : second.pulls) add(pull.span, How::pulled).pull_mm = pull.mm;
    for (const SecondSide& side : second.sides) {
        stock::Setup::TurnedRound& row = add(side.first, How::taken_over);
        row.to_plus = side.to_plus;
        row.cut_off = side.cut_off;
        row.is_known = side.is_made_above;
        if (side.next_part) add(*side.next_part, How::next_part);
    }
    std::stable_sort(places.begin(), places.end(), [](const auto& a, const auto& b) { return a.at < b.at; });
}

} // namespace turnwright::checks

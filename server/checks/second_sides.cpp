#include "checks/second_sides.h"

#include "checks/more_axes.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

namespace turnwright::checks {

using codes::Group;
using Does = MachineCode::Does;
using machine::Spindle;

namespace {

constexpr double on_centre_mm = 1.5;  ///< On radius; a blade that goes so far cuts off
constexpr double deepest_face_mm = 3; ///< A way to the centre nearer to the datum is a facing
constexpr int deepest_call = 4;
constexpr std::size_t most_called_acts = 20'000; ///< In all: programs may call each other many times
constexpr double least_pull_mm = 1, least_way_mm = .3;

double mm_per_unit(const Act& act) {
    return act.inch() ? motion::mm_per_inch : 1;
}

bool works(const Act& act) {
    if (act.in_contour || machine::is_return(act.motion)) return false;
    return act.cuts() || act.threads() || act.drills() || act.taps();
}

/// Calls `look` with each act of a span and of the programs of the file that it calls, those once, as long as
/// any are `left`.
template <class Look>
void for_each_act(const ToolOfSpan& tool, std::span<const ToolOfSpan> all, std::size_t& left, Look&& look,
                  int depth = 0) {
    for (const Act& act : tool.work->acts) {
        if (depth > 0 && left == 0) return;
        if (depth > 0) --left;
        look(tool, act);
        if (!act.calls_program || act.deleted || depth == deepest_call || left == 0) continue;
        const auto number = number_called(*tool.work, act);
        if (!number) continue;
        for (const ToolOfSpan& called : all)
            if (called.span->program->number == *number && called.span->program != tool.span->program)
                for_each_act(called, all, left, look, depth + 1);
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

/// What the blocks between two codes of a chuck, tool calls, datums or spindles do.
struct Stretch {
    BlockPlace first;
    bool works = false, turns_second = false, turns_main = false;
    bool parts_off = false;  ///< And works on nothing else
    std::uint16_t datum = 0; ///< Of its first cut
    std::vector<const Span*> called = {};
    std::size_t to_plus = 0, to_minus = 0;
    double farthest_z = 0;
};

void take_work(Stretch& stretch, const Act& act) {
    if (!stretch.works) stretch.datum = act.datum;
    stretch.works = true;
    stretch.turns_second = stretch.turns_second || (act.spindle == Spindle::second && !act.stopped());
    stretch.turns_main = stretch.turns_main || act.spindle == Spindle::main;
    if (!act.moves_z || !known(act.to_z)) return;
    if (std::abs(act.to_z) > std::abs(stretch.farthest_z)) stretch.farthest_z = act.to_z;
    if (!known(act.from_z)) return;
    const double dz = (act.to_z - act.from_z) * mm_per_unit(act);
    if (dz > least_way_mm) ++stretch.to_plus;
    if (dz < -least_way_mm) ++stretch.to_minus;
}

class Walker {
public:
    Walker(SecondSpindle& found, const shop::Shop& shop, const std::vector<MachineCode>& codes,
           std::span<const ToolOfSpan> all)
        : found_(found), shop_(shop), codes_(codes), all_(all),
          tells_chuck_(std::any_of(codes.begin(), codes.end(),
                                   [](const MachineCode& code) { return code.does == Does::second_close; })) {
    }

    void take(const ToolOfSpan& tool) {
        Stretch stretch{tool.span->first};
        const shop::Tool* held = shop_.tool(tool.station);
        const bool is_part_off =
            held ? held->kind == shop::ToolKind::parting : tool.is(NamedTool::Kind::part_off);
        const bool may_part_off = is_part_off || !tool.is(NamedTool::Kind::turn);
        bool all_in = true, any_cut_off = false, has_worked = false;
        const auto end = [&](BlockPlace next) {
            stretch.parts_off = any_cut_off && all_in;
            // The first one with work takes along what stands in front of it in its sequence.
            if (stretch.works && !std::exchange(has_worked, true) && took_over_ < tool.span->first)
                stretch.first = tool.span->first;
            sort(stretch);
            stretch = {next};
            all_in = true;
            any_cut_off = false;
        };
        for_each_act(tool, all_, called_left_, [&](const ToolOfSpan& of, const Act& act) {
            const std::span<const ActWord> words = of.work->words_of(act);
            const bool tells = std::any_of(words.begin(), words.end(),
                                           [&](const ActWord& word) { return is_of_chuck(word); });
            const bool begins =
                act.calls_tool || tells || act.states(Group::datum) || act.states(Group::spindle_direction);
            if (begins && &of == &tool) end(of.place(act));
            take_codes(of.place(act), of, act);
            if (!works(act)) return;
            take_work(stretch, act);
            if (&of != &tool && (stretch.called.empty() || stretch.called.back() != of.span))
                stretch.called.push_back(of.span);
            const bool goes_along = act.moves_z && known(act.from_z) && known(act.to_z) &&
                                    std::abs(act.to_z - act.from_z) * mm_per_unit(act) > least_way_mm;
            all_in = all_in && (is_part_off || !goes_along) &&
                     (act.motion == machine::MotionKind::feed || !act.moves_z);
            any_cut_off = any_cut_off || (may_part_off && cuts_off(act, is_part_off));
        });
        end(tool.span->last);
    }

    void finish() {
        for (const machine::ProgramPart* program : called_)
            if (!called_elsewhere_.contains(program))
                found_.called.emplace_back(program->first, program->last);
    }

private:
    const MachineCode* told(const ActWord& word) const { return told_code(word, codes_); }
    bool is_of_chuck(const ActWord& word) const {
        const MachineCode* code = told(word);
        return code && (code->does == Does::second_close || code->does == Does::second_open ||
                        code->does == Does::clamp_open || code->does == Does::clamp_close);
    }

    void sort(const Stretch& stretch) {
        if (!stretch.works) return;
        if (is_let_out_) {
            if (open_ && !found_.sides[*open_].next_part) found_.sides[*open_].next_part = stretch.first;
            forget();
        }
        const bool only_parts = stretch.parts_off && !is_cut_off_;
        const bool second = is_second(stretch) && !only_parts;
        for (const Span* span : stretch.called) (second ? called_ : called_elsewhere_).insert(span->program);
        if (second) {
            add(stretch);
        } else {
            if (open_ && !found_.sides[*open_].next_part) found_.sides[*open_].next_part = stretch.first;
            if (open_) forget();
            has_first_ = true;
            if (!only_parts) datum_ = stretch.datum;
        }
        if (stretch.parts_off && (is_taken_over_ || !tells_chuck_)) is_cut_off_ = true;
    }

    bool is_second(const Stretch& stretch) const {
        // Both hold it while it is cut off: what turns it then tells nothing.
        const bool is_free = is_cut_off_ || is_let_go_ || !is_taken_over_;
        if (stretch.turns_second && is_free) return true;
        const bool same_datum = stretch.datum == datum_;
        if (open_)
            return !stretch.turns_main ? stretch.datum == of_side_ : stretch.datum == of_side_ && !same_datum;
        // What is cut off, or let go by the main chuck, is worked on in another datum.
        return is_taken_over_ && (is_cut_off_ || is_let_go_) && has_first_ && !same_datum &&
               stretch.datum != 0;
    }

    void add(const Stretch& stretch) {
        if (!open_) {
            SecondSide side;
            side.first = stretch.first;
            side.is_made_above = has_first_;
            side.cut_off = is_cut_off_;
            open_ = found_.sides.size();
            found_.sides.push_back(side);
            of_side_ = stretch.datum;
            to_plus_ = to_minus_ = 0;
            farthest_z_ = 0;
        }
        to_plus_ += stretch.to_plus;
        to_minus_ += stretch.to_minus;
        if (std::abs(stretch.farthest_z) > std::abs(farthest_z_)) farthest_z_ = stretch.farthest_z;
        const bool is_clear = to_plus_ >= 2 * to_minus_ || to_minus_ >= 2 * to_plus_;
        found_.sides[*open_].to_plus =
            is_clear && to_plus_ != to_minus_ ? to_plus_ > to_minus_ : farthest_z_ > 0;
    }

    void forget() {
        open_.reset();
        is_let_out_ = false;
        is_taken_over_ = is_cut_off_ = is_let_go_ = false;
    }

    void take_codes(BlockPlace place, const ToolOfSpan& tool, const Act& act) {
        // Behind the grip the slide takes the bar along.
        if (const ActWord* to = slide_word(*tool.work, act)) {
            const bool is_told = to->number != not_known && (act.incremental || at_);
            if (is_let_go_) slide_ = place;
            if (is_let_go_ && !is_told) pulls_unknown_ = true;
            if (is_let_go_ && is_told)
                pulled_mm_ += std::abs(act.incremental ? to->number : to->number - *at_) * mm_per_unit(act);
            if (to->number == not_known)
                at_.reset();
            else
                at_ = act.incremental && at_ ? *at_ + to->number : to->number;
        }
        for (const ActWord& word : tool.work->words_of(act)) {
            const MachineCode* code = told(word);
            if (!code || act.deleted) continue;
            if (code->does == Does::second_open) is_let_out_ = open_.has_value();
            if (code->does == Does::second_close && std::exchange(is_let_out_, false))
                continue; // Gripped anew
            if (code->does == Does::second_close) {
                if (open_) forget();
                is_taken_over_ = true;
                took_over_ = place;
                is_cut_off_ = is_let_go_ = false;
            } else if (code->does == Does::clamp_open && is_taken_over_ && !is_cut_off_ && !open_) {
                is_let_go_ = true;
                pulls_unknown_ = false;
                pulled_mm_ = 0;
            } else if (code->does == Does::clamp_close) {
                const bool holds = is_let_go_ && !is_cut_off_;
                if (holds && pulls_unknown_) found_.pulls.push_back({place, std::nullopt, slide_});
                if (holds && !pulls_unknown_ && pulled_mm_ >= least_pull_mm)
                    found_.pulls.push_back({place, pulled_mm_, slide_});
                is_let_go_ = false;
            }
        }
    }

    SecondSpindle& found_;
    const shop::Shop& shop_;
    const std::vector<MachineCode>& codes_;
    std::span<const ToolOfSpan> all_;
    std::size_t called_left_ = most_called_acts;
    bool tells_chuck_;
    bool has_first_ = false, is_taken_over_ = false, is_cut_off_ = false, is_let_go_ = false;
    bool pulls_unknown_ = false;
    bool is_let_out_ = false; ///< The chuck has opened behind the second side
    BlockPlace took_over_, slide_;
    std::optional<std::size_t> open_; ///< The side that is worked on
    std::uint16_t datum_ = 0, of_side_ = 0;
    std::size_t to_plus_ = 0, to_minus_ = 0;
    double farthest_z_ = 0, pulled_mm_ = 0;
    std::optional<double> at_; ///< The slide
    std::set<const machine::ProgramPart*> called_, called_elsewhere_;
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

bool SecondSpindle::holds(BlockPlace place) const {
    const auto is_in = [&](const auto& range) { return range.first <= place && place <= range.second; };
    return std::any_of(called.begin(), called.end(), is_in) ||
           std::any_of(sides.begin(), sides.end(), [&](const SecondSide& side) {
               return side.first <= place && (side.next_part ? place < *side.next_part : place <= side.end);
           });
}

std::size_t SecondSpindle::pulls_above(BlockPlace place) const {
    return static_cast<std::size_t>(
        std::count_if(pulls.begin(), pulls.end(), [&](const BarPull& pull) { return pull.at <= place; }));
}

SecondSpindle second_spindle_of(std::span<const Span> spans, const shop::Shop& shop,
                                const shop::Machine& machine) {
    SecondSpindle found;
    if (!tells_second(spans, machine)) return found;
    const std::vector<MachineCode> codes = codes_told(spans, machine);
    const std::vector<ToolOfSpan> tools = tools_of(spans);
    for_each_main_program(tools, [&](std::span<const ToolOfSpan> program) {
        Walker walker(found, shop, codes, tools);
        const std::size_t before = found.sides.size();
        for (const ToolOfSpan& tool : program) walker.take(tool);
        walker.finish();
        for (std::size_t i = before; i < found.sides.size(); ++i)
            found.sides[i].end = program.back().span->last;
    });
    return found;
}

const SecondSpindle& FileContext::second_spindle() const {
    static const SecondSpindle none;
    // Read each time, so that every rule has logged what it stands on.
    if (!reads_acts(*this)) return none;
    const std::vector<Span>& read = spans();
    const std::scoped_lock lock(parts_.making);
    if (!parts_.second_spindle)
        parts_.second_spindle =
            std::make_shared<const SecondSpindle>(second_spindle_of(read, shop, settings().machine));
    return *parts_.second_spindle;
}

void add_second_spindle(std::vector<stock::Setup::TurnedRound>& places, std::span<const Span> spans,
                        const shop::Shop& shop, const shop::Machine& machine) {
    using How = stock::Setup::TurnedRound::How;
    const SecondSpindle second = second_spindle_of(spans, shop, machine);
    const auto add = [&](BlockPlace at, How how) -> stock::Setup::TurnedRound& {
        // What a note tells there is the same.
        std::erase_if(places, [&](const auto& row) { return row.at == at && row.how == How::by_hand; });
        places.push_back({.at = at, .how = how});
        return places.back();
    };
    for (const BarPull& pull : second.pulls) {
        stock::Setup::TurnedRound& row = add(pull.at, How::pulled);
        row.pull_mm = pull.mm.value_or(0);
        row.is_known = pull.mm.has_value();
    }
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

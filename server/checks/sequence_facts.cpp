// Steps and facts of a span of blocks.

#include "checks/sequence_facts.h"

#include "checks/acts.h"
#include "checks/rule.h"

#include <algorithm>
#include <iterator>
#include <utility>

namespace turnwright::checks {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::MotionKind;

namespace {

Step step_of(const BlockView& view) {
    const machine::Reading& reading = view.reading;
    Step step;
    step.place = {view.run_index, view.block};
    step.motion = reading.motion;
    step.meaning = reading.motion_meaning;
    step.moves_x = reading.moves_x;
    step.moves_z = reading.moves_z;
    step.moves_other = reading.moves_other;
    step.in_contour = reading.in_contour;
    step.deleted = view.text.deleted;
    step.has_words = !reading.words.empty() || view.text.has_statement;
    step.calls_tool = reading.has('T') && !reading.code(Meaning::macro_call);
    step.gives_speed = reading.has('S') && !reading.code(Meaning::speed_limit);
    step.names_contour = reading.has('P') && reading.has('Q');
    step.reads = reading.reads;
    step.sets = reading.sets;
    for (const machine::Word& word : reading.words) {
        bool is_code = (word.letter == 'G' || word.letter == 'M') && !word.after_comma;
        if (is_code && !word.own && (!word.code || word.code->meaning == Meaning::machine_specific))
            step.machine_code = true;
        if (word.code && word.code->group() == Group::one_shot)
            step.one_shots |= std::uint64_t{1} << codes::member_of(word.code->meaning);
    }
    step.from_x = view.before.x_radius;
    step.from_z = view.before.z;
    step.to_x = view.after.x_radius;
    step.to_z = view.after.z;
    step.target_x = reading.target_x_radius;
    step.target_z = reading.target_z;
    return step;
}

bool is_in_force(const InForce& held, const machine::State& state) {
    return held.modal == state.modal && held.feed == state.feed && held.speed == state.speed &&
           held.speed_limit == state.speed_limit && held.tool == state.tool && held.offset == state.offset;
}

/// As one of the last ones, where it is the same: blocks in turn switch and switch back.
const InForce* in_force(std::deque<InForce>& all, const machine::State& state) {
    constexpr std::ptrdiff_t looked_at = 4;
    const auto end = all.rbegin() + std::min(looked_at, std::ssize(all));
    const auto held =
        std::find_if(all.rbegin(), end, [&](const InForce& one) { return is_in_force(one, state); });
    if (held != end) return &*held;
    return &all.emplace_back(
        InForce{state.modal, state.feed, state.speed, state.speed_limit, state.tool, state.offset});
}

bool is_cut(MotionKind motion) {
    return motion != MotionKind::none && motion != MotionKind::rapid &&
           motion != MotionKind::unknown_motion && motion != MotionKind::from_reference && !is_return(motion);
}

/// Folds steps into facts, one after the other.
struct Folder {
    SequenceFacts& facts;
    BlockPlace first;
    bool analysis_is_bc;
    machine::Parts set = 0;
    bool moved = false, tool_called = false, approach_over = false;
    bool w_is_slide = false, found_by_w = false;
    int approach_rapids = 0;
    int steps = 0, coolant_off_at = 0, spindle_off_at = 0; ///< Counted from 1; 0: not since the last cut
    std::size_t safety_count = 0;

    Near near(const Step& step) const { return Near::of(step.place, first); }

    /// Parts that matter for an entry in the middle. A return home depends on nothing it names.
    static machine::Parts read_by(const Step& step) {
        constexpr machine::Parts places = machine::part(machine::Part::x) | machine::part(machine::Part::z) |
                                          machine::part(machine::Part::y) | machine::part(machine::Part::c);
        machine::Parts reads = step.reads;
        // With the spindle stopped nothing goes by its speed: bar stops and pullers.
        if (step.of(Group::spindle_direction).is(Meaning::spindle_stop) && !step.gives_speed)
            reads &= ~(machine::part(machine::Part::speed) | machine::part(machine::Part::speed_limit) |
                       machine::part(Group::spindle_mode));
        if (is_return(step.motion)) return reads & machine::part(machine::Part::variables);
        // The first line of a two-line cycle only stores; a finishing cycle has its feed in the contour.
        if (is_cut(step.motion) && !step.moves() && !step.names_contour)
            return reads & machine::part(machine::Part::variables);
        if (step.meaning == Meaning::finish_cycle && step.motion == MotionKind::contour_cycle)
            return reads & ~places & ~machine::part(machine::Part::feed);
        // A limit may still follow G96 before anything moves.
        if (step.motion == MotionKind::none)
            return reads & ~places & ~machine::part(machine::Part::speed_limit);
        return reads & ~places;
    }

    /// "G00 W0" alone goes nowhere as a distance: W is an axis of its own there, the slide of a second
    /// spindle.
    void look_at_slide(const Step& step, const BlockView& view) {
        if (!analysis_is_bc || step.motion != MotionKind::rapid || step.moves_x ||
            !view.reading.value('W').is(0))
            return;
        w_is_slide = true;
        if (std::exchange(found_by_w, false)) facts.moves_by_from_unknown.reset();
    }

    void moves_by(const Step& step, const BlockView& view) {
        look_at_slide(step, view);
        if (facts.moves_by_from_unknown || is_return(step.motion) || step.motion == MotionKind::none) return;
        bool x = view.reading.has('U') && step.moves_x && !(set & machine::part(machine::Part::x));
        bool z =
            view.reading.has('W') && !w_is_slide && step.moves_z && !(set & machine::part(machine::Part::z));
        if (step.motion == MotionKind::contour_cycle || step.motion == MotionKind::peck_cycle) return;
        bool by = step.is(Meaning::incremental) && step.moves() && analysis_is_bc;
        by = by && ((step.moves_x && !(set & machine::part(machine::Part::x))) ||
                    (step.moves_z && !(set & machine::part(machine::Part::z))));
        if (x || z || by) facts.moves_by_from_unknown = near(step);
        found_by_w = z && !x && !by;
    }

    void reads_and_sets(const Step& step) {
        machine::Parts fresh = read_by(step) & ~set & ~facts.reads_first;
        if (fresh) {
            facts.reads_first |= fresh;
            facts.first_reads.push_back({near(step), fresh});
        }
        set |= step.sets;
        // What the end of the program switches off is no state that a sequence leaves.
        if (step.gives(Meaning::program_end) || step.gives(Meaning::program_end_rewind)) return;
        for (std::size_t g = 0; g < codes::group_count; ++g) facts.seen[g] |= step.after->modal[g].possible;
    }

    void safety_line(const Step& step, const BlockView& view) {
        if (moved) return;
        facts.sets_at_entry |= step.sets;
        std::size_t count = 0;
        for (const machine::Word& word : view.reading.words) {
            if (!word.code || !word.code->is_modal() || word.letter != 'G') continue;
            if (word.code->group() == Group::motion) continue;
            facts.safety_line.push_back(word.code->meaning);
            facts.safety_set |= machine::part(word.code->group());
            ++count;
        }
        if (count <= safety_count || step.calls_tool) return;
        safety_count = count;
        facts.safety_block = near(step);
    }

    void approach(const Step& step) {
        if (step.calls_tool) {
            tool_called = true;
            approach_rapids = 0;
            approach_over = false;
        }
        if (!tool_called || approach_over) return;
        if (step.motion == MotionKind::rapid && step.moves())
            ++approach_rapids;
        else if (is_cut(step.motion)) {
            approach_over = true;
            // A cycle takes its first rapid itself: it starts where the others stop to look.
            const bool of_cycle = step.motion != MotionKind::feed && step.motion != MotionKind::arc &&
                                  step.motion != MotionKind::thread;
            if (approach_rapids > (of_cycle ? 1 : 0)) facts.approaches = true;
            if (approach_rapids > 1) facts.two_step_approach = true;
            facts.cuts_across_first = step.motion == MotionKind::feed && step.moves_x && !step.moves_z;
        }
    }

    void goes_off(const Step& step, bool cuts) {
        ++steps;
        if (cuts) coolant_off_at = spindle_off_at = 0;
        bool coolant = step.gives(Meaning::coolant_off), spindle = step.gives(Meaning::spindle_stop);
        if (step.deleted || (!coolant && !spindle)) return;
        if (step.gives(Meaning::program_end) || step.gives(Meaning::program_end_rewind)) return;
        // A second M09 or M05 for good measure changes nothing.
        if (coolant && coolant_off_at == 0) coolant_off_at = steps;
        if (spindle && spindle_off_at == 0) spindle_off_at = steps;
        facts.last_off = near(step);
    }

    void follow_stand(const Step& step, const BlockView& view) {
        using Stand = SequenceFacts::Stand;
        if (step.calls_tool && !facts.tool_call) {
            facts.tool_call = near(step);
            facts.at_call = facts.at_end;
            facts.call_from_x_radius = step.from_x;
            facts.call_from_z = step.from_z;
            // Not stated: unless millimetres are assumed.
            const machine::Assumption& units = view.settings.assumed.units;
            const machine::Modal& stated = step.of(Group::units);
            facts.call_may_be_in_inch = stated.possible != 0 ? stated.is(codes::Meaning::inch)
                                                             : units.by == machine::Sign::none ||
                                                                   units.meaning == codes::Meaning::inch;
            facts.call_machine_x_radius_mm = facts.machine_x_radius_mm;
            facts.call_machine_z_mm = facts.machine_z_mm;
        }
        if (step.motion == MotionKind::none || (!step.moves() && !step.names_contour)) return;
        facts.at_end = is_return(step.motion) ? Stand::home : Stand::away;
        if (step.motion != MotionKind::machine_rapid) {
            facts.machine_x_radius_mm.reset();
            facts.machine_z_mm.reset();
            return;
        }
        if (machine::Value x = view.reading.value('X'); step.moves_x)
            facts.machine_x_radius_mm =
                x.known()
                    ? to_mm(view.settings.machine.x == shop::XReading::diameter ? x.number / 2 : x.number,
                            view.after)
                    : std::nullopt;
        if (machine::Value z = view.reading.value('Z'); step.moves_z)
            facts.machine_z_mm = z.known() ? to_mm(z.number, view.after) : std::nullopt;
    }

    void take(const Step& step, const BlockView& view) {
        follow_stand(step, view);
        moves_by(step, view);
        if (step.gives(Meaning::surface_speed) && !facts.surface_speed) facts.surface_speed = near(step);
        reads_and_sets(step);
        if (step.has_words) facts.last_code = near(step);
        if (view.text.has_note) facts.has_note = true;
        if (step.gives(Meaning::optional_stop)) facts.optional_stop = true;
        if (step.gives(Meaning::program_stop)) facts.program_stop = true;
        if (step.gives(Meaning::program_end) || step.gives(Meaning::program_end_rewind) ||
            step.gives(Meaning::subprogram_end))
            facts.ends_program = true;
        approach(step);
        bool moves = step.motion != MotionKind::none && (step.moves() || step.names_contour);
        if (moves && !is_return(step.motion) && step.of(Group::units).surely_unset() &&
            !facts.move_without_units)
            facts.move_without_units = near(step);
        if (is_cut(step.motion) && moves) {
            facts.cuts = true;
            const machine::Modal& direction = step.of(Group::spindle_direction);
            // M05 in the block of the last cut acts behind it; a sequence that states a speed means to turn.
            const bool means_to_turn =
                step.gives(Meaning::spindle_stop) || (set & machine::part(machine::Part::speed)) != 0;
            if (!direction.is(Meaning::spindle_stop) || means_to_turn)
                facts.cuts_turning |= !direction.surely_unset() || means_to_turn;
        }
        goes_off(step, is_cut(step.motion) && moves);
        if (is_return(step.motion)) {
            // Of C or of the slide alone it is none of the turret.
            if (step.moves_x || step.moves_z || !facts.return_move) {
                facts.return_move = near(step);
                facts.return_by =
                    step.motion == MotionKind::reference ? Meaning::reference_return : Meaning::machine_datum;
            }
        } else {
            safety_line(step, view);
        }
        // A return before the tool call is still the entry.
        if (moves && !is_return(step.motion) && !moved) {
            moved = true;
            facts.first_move = near(step);
            facts.first_move_x = step.moves_x;
            facts.first_move_z = step.moves_z;
            facts.home_before_first_move = facts.return_move.has_value();
        }
    }

    /// Twelve groups fit; a line states no more.
    void pack_order() {
        int place = 0;
        machine::Parts seen = 0;
        for (Meaning meaning : facts.safety_line) {
            Group group = codes::group_of(meaning);
            if ((seen & machine::part(group)) || place >= 60) continue;
            seen |= machine::part(group);
            facts.safety_order |= static_cast<std::uint64_t>(group) << place;
            place += 5;
        }
    }

    void finish(const machine::State& state) {
        pack_order();
        using Order = SequenceFacts::OffOrder;
        if (coolant_off_at > 0 && spindle_off_at > 0)
            facts.off_order = coolant_off_at < spindle_off_at   ? Order::coolant_first
                              : coolant_off_at > spindle_off_at ? Order::spindle_first
                                                                : Order::together;
        facts.sets = set;
        facts.at_exit = state.modal;
        facts.turns_at_exit[0] = state.spindle(machine::Spindle::main).direction;
        for (std::size_t i = 1; state.spindles && i < machine::spindle_count; ++i)
            facts.turns_at_exit[i] = state.spindle(static_cast<machine::Spindle>(i)).direction;
        facts.feed_at_exit = state.feed;
        facts.speed_at_exit = state.speed;
        facts.speed_limit_at_exit = state.speed_limit;
        facts.tool_at_exit = state.tool;
        facts.offset_at_exit = state.offset;
        facts.end_reachable = state.reachable;
    }
};

} // namespace

namespace {

/// Under constant surface speed its moves ask for no more than this limit: it is never reached. Of what is
/// not known it may be.
bool stays_below(const Acts& work, double limit) {
    bool any = false;
    for (const Act& act : work.acts) {
        if (act.calls_program) return false;
        if (!act.moves() || !act.surface_speed()) continue;
        const double per_unit = act.inch() ? motion::mm_per_inch : act.millimetre() ? 1 : 0;
        if (per_unit == 0 || !(act.speed > 0) || !known(act.to_x)) return false;
        double x = std::abs(act.to_x);
        if (known(act.from_x)) x = act.from_x * act.to_x < 0 ? 0 : std::min<double>(x, std::abs(act.from_x));
        if (motion::rpm_for(act.speed * (per_unit > 1 ? 0.3048 : 1), 2 * x * per_unit) > limit) return false;
        any = true;
    }
    return any && work.whole;
}

} // namespace

Collected collect(const machine::Reader& reader, BlockPlace first, BlockPlace last,
                  machine::Analysis::Passed& passed, std::size_t most_blocks) {
    Collected out;
    out.steps.reserve(most_blocks); // Growing it would take its memory once more
    out.facts = std::make_shared<SequenceFacts>();
    Folder folder{
        .facts = *out.facts, .first = first, .analysis_is_bc = reader.settings().system != codes::System::A};
    auto work = std::make_shared<Acts>();
    constexpr std::size_t few = 100; // Of a longer one most lines may be blank
    if (most_blocks <= few) work->acts.reserve(most_blocks);
    ActsFolder work_folder(*work, first);
    bool begun = false;
    machine::State end;
    reader.visit_span(first, last, passed, [&](const BlockView& view) {
        const BlockPlace place{view.run_index, view.block};
        if (!begun) {
            out.facts->at_entry = view.before.modal;
            out.facts->feed_at_entry = view.before.feed;
            out.facts->speed_at_entry = view.before.speed;
            out.facts->speed_limit_at_entry = view.before.speed_limit;
            out.facts->tool_at_entry = view.before.tool;
            out.facts->offset_at_entry = view.before.offset;
            begun = true;
        }
        if (place == last) end = view.after;
        if (view.text.item_count == 0) return; // Millions of blank lines are no work
        work_folder.take(view);
        if (!view.reading.is_read || !view.before.reachable) {
            bool jumped_over = !view.before.reachable && !view.before.ended && !view.reading.words.empty();
            if (jumped_over && !out.facts->first_unreachable)
                out.facts->first_unreachable = Near::of(place, first);
            return;
        }
        Step step = step_of(view);
        step.after = in_force(out.in_force, view.after);
        folder.take(step, view);
        if (step.has_words) out.steps.push_back(step);
    });
    folder.finish(end);
    work_folder.finish();
    const machine::Value& limit = out.facts->speed_limit_at_entry;
    out.facts->stays_below_limit = limit.known() && stays_below(*work, limit.number);
    out.facts->acts.held = std::move(work);
    return out;
}

std::vector<Span> spans_of(const machine::Outline& outline, const machine::Analysis& analysis) {
    std::vector<Span> spans;
    auto before = [&](BlockPlace place) -> BlockPlace {
        if (place.block > 0) return {place.run, place.block - 1};
        return {place.run - 1, analysis.forest().run(place.run - 1)->blocks.size() - 1};
    };
    for (std::size_t at = 0; at < outline.programs.size(); ++at) {
        const machine::ProgramPart& program = outline.programs[at];
        BlockPlace head_end = program.last;
        bool has_head = true;
        if (!program.sequences.empty()) {
            has_head = program.first < program.sequences.front().first;
            if (has_head) head_end = before(program.sequences.front().first);
        }
        if (has_head) spans.push_back({&program, nullptr, program.first, head_end, nullptr, at});
        for (const machine::Sequence& sequence : program.sequences)
            spans.push_back({&program, &sequence, sequence.first, sequence.last, nullptr, at});
    }
    return spans;
}

Habits habits_of(std::span<const syntax::Item> items) {
    Habits habits;
    for (const syntax::Item& item : items) {
        if (item.kind != syntax::ItemKind::word || item.value == 0) continue;
        switch (item.letter) {
        case 'X':
        case 'Z':
        case 'U':
        case 'W':
        case 'Y':
        case 'I':
        case 'K':
            ++(item.has_point ? habits.with_point : habits.without_point);
            break;
        default:
            break;
        }
    }
    return habits;
}

} // namespace turnwright::checks

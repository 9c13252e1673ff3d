// From a document to what the machine does. A code that changes nothing is nothing: settings are told when
// something that they bear on happens, and only where they differ from what was in force before.
#include "features/block_at.h"
#include "features/speech.h"
#include "language/said.h"
#include "motion/work.h"
#include "report/compare.h"
#include "report/written.h"

#include <cmath>
#include <fmt/format.h>
#include <map>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using motion::Segment;
using motion::SegmentKind;

namespace {

/// One-shot codes whose whole effect is in the moves, the times or the settings.
bool is_seen_elsewhere(Meaning meaning) {
    switch (meaning) {
    case Meaning::dwell:
    case Meaning::speed_limit:
    case Meaning::finish_cycle:
    case Meaning::rough_turning:
    case Meaning::rough_facing:
    case Meaning::pattern_repeat:
    case Meaning::peck_face:
    case Meaning::groove_side:
    case Meaning::thread_cycle:
    case Meaning::macro_call:
        return true;
    default:
        return false;
    }
}

class CourseMaker {
public:
    explicit CourseMaker(const features::Document& document)
        : document_(document), spans_(document.results().spans()) {
        course_.unit = unit_of(document);
        for (const checks::Span& span : spans_) {
            ActionSpan row;
            row.name = span_name(document, span);
            row.note = span_note(document, span);
            row.first_line = document.line_of(span.first);
            if (span.sequence) row.tool = said("T{} offset {}", span.sequence->tool, span.sequence->offset);
            row.in_subprogram = span.program && span.program->is_subprogram;
            course_.spans.push_back(std::move(row));
        }
        if (course_.spans.empty()) course_.spans.emplace_back();
        const machine::ProgramPart* main = main_program(document);
        has_main_ = main && !main->is_subprogram;
    }

    void see(const WalkedBlock& block) {
        block_ = &block;
        begin_block();
        ActionSpan& span = course_.spans[block.span];
        span.totals += block.totals;
        if (!span.stands_apart || !has_main_) course_.totals += block.totals;
        course_.calls_lost = course_.calls_lost || !block.not_gone.empty();
        if (block.view.reading.in_contour) { // Run by the moves of the cycles that call it
            if (has_cycle_words(block.view.reading)) tell_cycle();
            return;
        }
        if (block.view.reading.motion != machine::MotionKind::none &&
            !block.view.after.of(Group::units).known())
            ++course_.moves_without_unit;
        if (block.view.reading.has('T')) tell_tool();
        const bool written = is_told_as_written();
        const bool moves =
            !block.path.segments.empty() || block.view.reading.motion != machine::MotionKind::none;
        if (moves || written || block.view.reading.code(Meaning::dwell))
            tell_settings(block.view.after, true);
        if (written) {
            tell_words();
        } else {
            tell_unused_words();
            if (has_cycle_words(block.view.reading)) tell_cycle();
        }
        if (ends_at_known_point()) tell_end();
        for (const Segment& segment : block.path.segments) tell(segment);
    }
    Course finish() { return std::move(course_); }

    /// A block that is told otherwise where calls are lost: from here on there are two courses.
    bool hangs_on_lost_calls(const WalkedBlock& block) const {
        return block.view.text.has_statement && !block.turn_by_turn &&
               statement_is_open(document_, block, true) != statement_is_open(document_, block, false);
    }
    CourseMaker with_calls_lost() const {
        CourseMaker other = *this;
        other.calls_lost_ = true;
        return other;
    }

private:
    /// What the sequence above has left for the spindle and the coolant is told there; a program of its own
    /// begins with what is in force at its start.
    void begin_block() {
        const std::size_t before = span_;
        span_ = block_->span;
        ActionSpan& span = course_.spans[span_];
        const bool first = !begun_;
        begun_ = true;
        if (span.in_subprogram && block_->called.empty()) span.stands_apart = true;
        const bool other_program =
            first || (before != span_ && spans_[before].program != spans_[span_].program);
        if (other_program) {
            last_.assign(last_.size(), std::nullopt);
            remembers_ = true;
            tell_settings(block_->view.before, true);
            remembers_ = false;
        } else if (before != span_) {
            span_ = before;
            tell_settings(block_->view.before, false);
            span_ = block_->span;
        }
        const machine::Reading& reading = block_->view.reading;
        machine::Parts sets = block_->not_gone.empty() ? reading.sets | reading.may_set : ~machine::Parts{0};
        if (reading.flow == machine::FlowKind::program_end) // Stops both
            sets |= machine::part(Group::spindle_direction) | machine::part(Group::coolant);
        const Setter here{block_->line, machine::delete_level(block_->view.run, block_->view.text)};
        for (int bit = 0; bit < static_cast<int>(machine::Part::count_); ++bit)
            if (sets >> bit & 1U) set_at_[static_cast<std::size_t>(bit)] = here;
    }

    void add(Action action) {
        action.line = block_->line;
        action.block_delete = machine::delete_level(block_->view.run, block_->view.text);
        course_.spans[block_->span].actions.push_back(std::move(action));
    }

    /// A setting stands at the block that gives it, and is told where it begins to matter.
    void setting(std::uint8_t subject, std::array<double, 6> numbers, machine::Parts parts) {
        if (subject < last_.size() && last_[subject] && last_[subject]->numbers == numbers) return;
        Action action;
        action.subject = subject;
        action.numbers = numbers;
        Setter setter{block_->line, machine::delete_level(block_->view.run, block_->view.text)};
        bool found = false;
        for (std::size_t bit = 0; bit < set_at_.size(); ++bit)
            if ((parts >> bit & 1U) && set_at_[bit] && (!found || set_at_[bit]->line > setter.line)) {
                setter = *set_at_[bit];
                found = true;
            }
        action.line = setter.line;
        action.block_delete = setter.block_delete;
        if (subject >= last_.size()) last_.resize(subject + std::size_t{1});
        if (Action same = action; last_[subject]) {
            same.block_delete = last_[subject]->block_delete; // Of whoever said it first
            if (same_action(*last_[subject], same, {})) return;
        }
        last_[subject] = action;
        if (!remembers_) course_.spans[span_].actions.push_back(std::move(action));
    }

    void tell_tool() {
        const machine::State& state = block_->view.after;
        tell_settings(block_->view.before, false);
        const auto value = [](const machine::Value& held) { return held.known() ? held.number : -1; };
        Action action;
        action.subject = tool;
        action.numbers = {value(state.tool), value(state.offset)};
        if (!state.tool.known() || !state.offset.known()) action.words = words();
        if (last_tool_ && same_action(*last_tool_, action, {})) return;
        last_tool_ = action;
        add(std::move(action));
    }

    /// `all`: also what matters to moves alone and neither turns nor flows by itself.
    void tell_settings(const machine::State& state, bool all) {
        using machine::part;
        using machine::Part;
        const machine::Settings& settings = document_.settings();
        const motion::Spindle now = motion::spindle_of(state, settings);
        // A speed under a stopped spindle turns nothing.
        if (now.turning != false) {
            const double mode = now.surface_speed ? *now.surface_speed : -1;
            setting(spindle, {mode, now.surface_m_per_min.value_or(-1), now.rpm.value_or(-1)},
                    part(Group::spindle_mode) | part(Part::speed));
            // What is there at the start of a program is remembered for the first cut under surface speed.
            if (now.surface_speed != false || remembers_)
                setting(speed_limit, {now.limit_rpm.value_or(now.limit_surely_missing ? 0 : -1)},
                        part(Part::speed_limit));
        }
        std::uint8_t subject = first_group;
        for (Group group : compared_groups) {
            const machine::Modal& modal = state.of(group);
            const bool acts_alone = group >= Group::spindle_direction; // And what builders' codes do
            if (all || acts_alone) setting(subject, {static_cast<double>(modal.possible)}, part(group));
            ++subject;
        }
    }

    void tell_words() {
        std::string text = words();
        if (text.empty()) return;
        // The words of a way home tell all of it: where home is, the machine knows.
        const bool is_home = machine::is_return(block_->view.reading.motion) &&
                             !block_->view.text.has_statement &&
                             std::all_of(block_->view.reading.words.begin(), block_->view.reading.words.end(),
                                         [](const machine::Word& word) { return word.value.known(); });
        if (!is_home && (!block_->path.complete || block_->view.text.has_statement)) {
            if (course_.as_written++ == 0)
                course_.first_as_written = said(
                    "line {} ({})", block_->line + 1,
                    features::clipped(features::readable(block_->view.run.text_of(block_->view.text)), 40));
        }
        Action action;
        action.kind = Action::Kind::as_written;
        action.words = std::move(text);
        add(std::move(action));
    }

    void tell_unused_words() {
        for (UnusedWord& word : unused_words(*block_)) {
            if (word.stays) {
                const auto [last, is_new] = last_words_.try_emplace(word.name, word.value);
                if (!is_new && last->second == word.value) continue;
                last->second = word.value;
            }
            Action action;
            action.kind = Action::Kind::as_written;
            action.words = std::move(word.name);
            action.shown = std::move(word.shown);
            action.values = {word.value};
            add(std::move(action));
        }
    }

    void tell_cycle() {
        CycleWords words = cycle_words(*block_);
        Action action;
        const machine::Reading& reading = block_->view.reading;
        action.kind = Action::Kind::cycle;
        action.subject = reading.in_contour ? 2 : reading.sets_up_cycle ? 1 : 0;
        const double mm = block_->view.after.is(Meaning::inch) ? motion::mm_per_inch : 1;
        const auto place = [&](const machine::Value& end) { return end.known() ? end.number * mm : 0; };
        action.numbers = {static_cast<double>(reading.motion_meaning)};
        if (reading.in_contour)
            action.numbers = {action.numbers[0], place(reading.target_x_radius), place(reading.target_z)};
        action.words = std::move(words.letters);
        action.values = std::move(words.values);
        action.shown = std::move(words.shown);
        add(std::move(action));
    }

    /// A straight move from a place that is not known, as the first one after a tool change: where it ends is
    /// what counts.
    bool ends_at_known_point() const {
        const machine::Reading& reading = block_->view.reading;
        if (block_->path.complete || !block_->path.segments.empty()) return false;
        if (reading.motion != machine::MotionKind::rapid && reading.motion != machine::MotionKind::feed)
            return false;
        if (!reading.target_x_radius.known() || !reading.target_z.known()) return false;
        if (!block_->view.after.of(Group::units).known()) return false;
        for (const machine::Word& word : reading.words) // Corners and angles move the end
            if (word.after_comma || std::string_view("ACRIK").find(word.letter) != std::string_view::npos)
                return false;
        return true;
    }

    void tell_end() {
        const machine::Reading& reading = block_->view.reading;
        const double mm = block_->view.after.is(Meaning::inch) ? motion::mm_per_inch : 1;
        Segment segment;
        segment.to = {reading.target_x_radius.number * mm, reading.target_z.number * mm};
        segment.from = segment.to;
        if (reading.motion == machine::MotionKind::feed) {
            segment.kind = SegmentKind::feed;
            segment.feed = motion::feed_of(block_->view.after, document_.settings());
        }
        tell(segment);
    }

    /// A call whose moves follow it, and jumps, loops and returns within them: the moves tell all of it.
    bool flow_is_gone() const {
        using machine::FlowKind;
        const FlowKind flow = block_->view.reading.flow;
        if (block_->turn_by_turn) return flow != FlowKind::program_end && block_->not_gone.empty();
        return (flow == FlowKind::subprogram_call || flow == FlowKind::macro_call) &&
               block_->not_gone.empty();
    }

    bool is_told_as_written() const {
        const machine::Reading& reading = block_->view.reading;
        if (!block_->path.complete && !ends_at_known_point()) return true;
        const bool open = block_->view.text.has_statement && !block_->turn_by_turn &&
                          statement_is_open(document_, *block_, calls_lost_);
        if (block_->view.text.has_error || open) return true;
        if (reading.moves_other) return true;
        if (reading.flow != machine::FlowKind::none && reading.flow != machine::FlowKind::jump &&
            !flow_is_gone())
            return true;
        for (std::size_t i = 0; i < reading.words.size(); ++i) {
            const machine::Word& word = reading.words[i];
            if (word.letter != 'G' && word.letter != 'M') continue;
            // Of the machine's own code what it does follows it.
            if (word.own && i + 1 < reading.words.size() && reading.words[i + 1].implied) continue;
            if (!word.code) return true;
            if (flow_is_gone() && (word.code->meaning == Meaning::subprogram_call ||
                                   word.code->meaning == Meaning::subprogram_end))
                continue;
            if (word.code->group() == Group::one_shot && !is_seen_elsewhere(word.code->meaning)) return true;
        }
        return false;
    }

    std::string words() const { return written_words(document_, *block_, !block_->elsewhere); }

    void tell(const Segment& segment) {
        Action action;
        const motion::Point middle = middle_of(segment);
        action.numbers = {segment.to.x_radius_mm, segment.to.z_mm,      middle.x_radius_mm, middle.z_mm,
                          segment.lead_mm,        segment.dwell_seconds};
        switch (segment.kind) {
        case SegmentKind::rapid:
            action.kind = Action::Kind::rapid;
            break;
        case SegmentKind::dwell:
            action.kind = Action::Kind::dwell;
            break;
        case SegmentKind::thread:
            action.kind = Action::Kind::thread;
            break;
        case SegmentKind::feed:
            action.kind = segment.is_arc ? Action::Kind::arc : Action::Kind::line;
            setting(feed, {static_cast<double>(segment.feed.mode), segment.feed.mm.value_or(-1)},
                    machine::part(Group::feed_mode) | machine::part(machine::Part::feed));
            break;
        }
        add(std::move(action));
    }

    static motion::Point middle_of(const Segment& segment) {
        if (!segment.is_arc)
            return {(segment.from.x_radius_mm + segment.to.x_radius_mm) / 2,
                    (segment.from.z_mm + segment.to.z_mm) / 2};
        const double z = segment.from.z_mm - segment.centre.z_mm;
        const double x = segment.from.x_radius_mm - segment.centre.x_radius_mm;
        const double angle = std::atan2(x, z) + segment.sweep / 2, radius = std::hypot(z, x);
        return {segment.centre.x_radius_mm + radius * std::sin(angle),
                segment.centre.z_mm + radius * std::cos(angle)};
    }

    struct Setter {
        std::size_t line = 0;
        int block_delete = 0;
    };

    const features::Document& document_;
    bool calls_lost_ = false; ///< Programs are called that are not known, so that any variable may matter
    std::span<const checks::Span> spans_;
    bool has_main_ = false;
    Course course_;
    const WalkedBlock* block_ = nullptr;
    std::size_t span_ = 0; ///< Where settings are told
    bool begun_ = false, remembers_ = false;
    std::vector<std::optional<Action>> last_; ///< By subject
    std::optional<Action> last_tool_;
    std::array<std::optional<Setter>, static_cast<std::size_t>(machine::Part::count_)> set_at_;
    std::map<std::string, double> last_words_;
};

} // namespace

Gathering<Course> gather_course(const features::Document& document) {
    struct Both {
        CourseMaker maker;
        std::optional<CourseMaker> with_calls_lost;

        void see(const WalkedBlock& block) {
            if (!with_calls_lost && maker.hangs_on_lost_calls(block))
                with_calls_lost.emplace(maker.with_calls_lost());
            maker.see(block);
            if (with_calls_lost) with_calls_lost->see(block);
        }
        Course finish() {
            Course course = maker.finish();
            return course.calls_lost && with_calls_lost ? with_calls_lost->finish() : std::move(course);
        }
    };
    return gathering_by(std::make_shared<Both>(Both{CourseMaker(document), std::nullopt}));
}

Course course_of(const features::Document& document) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    const Gathering<Course> gathering = gather_course(document);
    walk(document, gathering.see);
    return gathering.finish();
}

} // namespace turnwright::report

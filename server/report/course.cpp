// From a document to what the machine does. A code that changes nothing is nothing: settings are told when
// something that they bear on happens, and only where they differ from what was in force before.
#include "features/block_at.h"
#include "features/speech.h"
#include "report/compare.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::plain;
using motion::Segment;
using motion::SegmentKind;

namespace {

enum Subject : std::uint8_t { tool, spindle, speed_limit, feed, first_group };

constexpr Group compared_groups[] = {Group::plane,
                                     Group::nose_compensation,
                                     Group::datum,
                                     Group::path_mode,
                                     Group::opposed_turret,
                                     Group::travel_check,
                                     Group::speed_check,
                                     Group::polar,
                                     Group::spindle_direction,
                                     Group::coolant};

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
    explicit CourseMaker(const features::Document& document) : document_(document) {
        course_.unit = unit_of(document);
        for (const checks::Span& span : document.results().spans()) {
            ActionSpan row;
            row.name = span_name(document, span);
            row.note = span_note(document, span);
            row.first_line = document.line_of(span.first);
            if (span.sequence)
                row.tool = fmt::format("T{} offset {}", span.sequence->tool, span.sequence->offset);
            course_.spans.push_back(std::move(row));
        }
        if (course_.spans.empty()) course_.spans.emplace_back();
    }

    Course make() {
        walk(document_, [this](const WalkedBlock& block) { look(block); });
        return std::move(course_);
    }

private:
    void look(const WalkedBlock& block) {
        block_ = &block;
        ActionSpan& span = course_.spans[block.span];
        span.totals += block.totals;
        course_.totals += block.totals;
        if (block.view.reading.in_contour) return; // Told by the moves of the cycles that call it
        if (block.view.reading.motion != machine::MotionKind::none &&
            !block.view.after.of(Group::units).known())
            ++course_.moves_without_unit;
        if (block.view.reading.has('T')) tell_tool();
        const bool written = is_told_as_written();
        const bool moves =
            !block.path.segments.empty() || block.view.reading.motion != machine::MotionKind::none;
        if (moves || written || block.view.reading.code(Meaning::dwell)) tell_settings();
        if (std::string text = written ? words() : std::string(); !text.empty()) {
            course_.as_written += !block.path.complete || block.view.text.has_statement;
            add({Action::Kind::as_written, false, 0, 0, {}, std::move(text)});
        }
        if (ends_at_known_point()) tell_end();
        for (const Segment& segment : block.path.segments) tell(segment);
    }

    void add(Action action) {
        action.line = block_->line;
        action.deletable = block_->view.text.deleted;
        course_.spans[block_->span].actions.push_back(std::move(action));
    }

    void setting(std::uint8_t subject, std::array<double, 6> numbers, std::string words) {
        Action action{Action::Kind::setting, block_->view.text.deleted, subject, 0, numbers,
                      std::move(words)};
        if (subject >= last_.size()) last_.resize(subject + std::size_t{1});
        if (last_[subject] && same_action(*last_[subject], action, {})) return;
        last_[subject] = action;
        add(std::move(action));
    }

    void tell_tool() {
        const machine::State& state = block_->view.after;
        const auto value = [](const machine::Value& held) { return held.known() ? held.number : -1; };
        setting(tool, {value(state.tool), value(state.offset)},
                state.tool.known() && state.offset.known() ? "" : words());
    }

    void tell_settings() {
        const machine::State& state = block_->view.after;
        const machine::Settings& settings = document_.settings();
        const motion::Spindle now = motion::spindle_of(state, settings);
        // A speed under a stopped spindle turns nothing.
        if (now.turning != false) {
            const double mode = now.surface_speed ? *now.surface_speed : -1;
            setting(spindle, {mode, now.surface_m_per_min.value_or(-1), now.rpm.value_or(-1)}, "");
            if (now.surface_speed != false)
                setting(speed_limit, {now.limit_rpm.value_or(now.limit_surely_missing ? 0 : -1)}, "");
        }
        std::uint8_t subject = first_group;
        for (Group group : compared_groups) {
            const machine::Modal& modal = state.of(group);
            // Never set and set to what it usually is after power-on are told apart only when it is used.
            setting(subject++, {static_cast<double>(modal.possible)}, "");
        }
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
        if (block_->view.text.has_error || (block_->view.text.has_statement && !block_->turn_by_turn))
            return true;
        if (reading.moves_other) return true;
        if (reading.flow != machine::FlowKind::none && !flow_is_gone()) return true;
        for (const machine::Word& word : reading.words) {
            if (word.letter != 'G' && word.letter != 'M') continue;
            if (!word.code) return true;
            if (flow_is_gone() && (word.code->meaning == Meaning::subprogram_call ||
                                   word.code->meaning == Meaning::subprogram_end))
                continue;
            if (word.code->group() == Group::one_shot && !is_seen_elsewhere(word.code->meaning)) return true;
        }
        return false;
    }

    /// The block as the control reads it: no N, no notes, no blanks, 1 way to write a number.
    std::string words() const {
        return words_of(block_->view.run, block_->view.text, {block_->view.run_index, block_->view.block},
                        &block_->view.reading, !block_->elsewhere);
    }

    std::string words_of(const syntax::Run& run, const syntax::Block& block, machine::BlockPlace place,
                         const machine::Reading* reading, bool follow) const {
        std::string out;
        for (const syntax::Item& item : run.items_of(block)) {
            using syntax::ItemKind;
            switch (item.kind) {
            case ItemKind::word:
            case ItemKind::comma_word: {
                if (item.letter == 'N') break;
                const machine::Word* word = reading ? word_for(*reading, item) : nullptr;
                if (follow && word && word->quantity == codes::Quantity::label) {
                    out += fmt::format("{}-> {} ", item.letter, target(place, item.value));
                    break;
                }
                out += item.kind == ItemKind::comma_word ? "," : "";
                // Least increments and whole units differ: the point is part of the number.
                const std::string number = plain(item.value, 6);
                const bool bare_point = item.has_point && number.find('.') == std::string::npos;
                out += fmt::format("{}{}{} ", item.letter, number, bare_point ? "." : "");
                break;
            }
            case ItemKind::note:
            case ItemKind::unclosed_note:
            case ItemKind::tape_mark:
            case ItemKind::block_delete:
            case ItemKind::end_of_block:
            case ItemKind::after_end:
                break;
            case ItemKind::go_to:
            case ItemKind::if_goto: {
                std::string text = features::compact(run.text_of(item));
                const std::size_t at = text.rfind("GOTO");
                if (follow && reading && reading->flow_target.known() && at != std::string::npos)
                    text = text.substr(0, at + 4) + "-> " + target(place, reading->flow_target.number);
                out += text + " ";
                break;
            }
            default:
                out += features::compact(run.text_of(item)) + " ";
            }
        }
        if (!out.empty()) out.pop_back();
        return out;
    }

    static const machine::Word* word_for(const machine::Reading& reading, const syntax::Item& item) {
        for (const machine::Word& word : reading.words)
            if (word.item && word.item->begin == item.begin) return &word;
        return nullptr;
    }

    /// A label means the block it stands on, whatever its number.
    std::string target(machine::BlockPlace from, double number) const {
        const auto place = features::label_place(document_, from, number);
        if (!place) return fmt::format("N{}", plain(number));
        return "block " +
               words_of(document_.run(place->run), document_.block(*place), *place, nullptr, false);
    }

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
            setting(feed, {static_cast<double>(segment.feed.mode), segment.feed.mm.value_or(-1)}, "");
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

    const features::Document& document_;
    Course course_;
    const WalkedBlock* block_ = nullptr;
    std::vector<std::optional<Action>> last_;
};

std::string length(double mm, LengthUnit unit) {
    return checks::written(unit == LengthUnit::inch ? mm / motion::mm_per_inch : mm);
}

std::string setting_text(const Action& action, const features::Document& document, LengthUnit unit) {
    const bool inch = unit == LengthUnit::inch;
    const auto& number = action.numbers;
    switch (action.subject) {
    case tool:
        if (number[0] < 0 || number[1] < 0) return "tool " + action.words;
        return fmt::format("tool T{:02.0f} with offset {:.0f}", number[0], number[1]);
    case spindle: {
        if (number[0] < 0) return "spindle speed: G96 or G97 not known";
        if (number[0] == 0)
            return number[2] < 0 ? "G97, rpm not known" : fmt::format("G97 {} rpm", plain(number[2]));
        if (number[1] < 0) return "G96, surface speed not known";
        return inch ? fmt::format("G96 {} ft/min", plain(number[1] / (12 * motion::mm_per_inch / 1000), 2))
                    : fmt::format("G96 {} m/min", plain(number[1], 2));
    }
    case speed_limit:
        return number[0] < 0    ? "speed limit not known"
               : number[0] == 0 ? "no speed limit"
                                : fmt::format("speed limit {} rpm", plain(number[0], 0));
    case feed: {
        if (number[1] < 0) return "feed not known";
        const auto mode = static_cast<motion::Feed::Mode>(static_cast<int>(number[0]));
        if (mode == motion::Feed::Mode::inverse_time)
            return fmt::format("feed {} inverse time", plain(number[1], 5));
        return fmt::format("feed {} {}{}", plain(inch ? number[1] / motion::mm_per_inch : number[1], 5),
                           inch ? "in" : "mm",
                           mode == motion::Feed::Mode::per_rev      ? "/rev"
                           : mode == motion::Feed::Mode::per_minute ? "/min"
                                                                    : ", a turn or a minute not known");
    }
    default:
        break;
    }
    const Group group = compared_groups[action.subject - first_group];
    const machine::Modal modal{static_cast<std::uint16_t>(number[0]), machine::Why::known};
    if (modal.possible == 0) return fmt::format("{} not known", codes::group_title(group));
    return features::modal_text(modal, group, document.settings());
}

} // namespace

Course course_of(const features::Document& document) {
    return CourseMaker(document).make();
}

bool same_action(const Action& a, const Action& b, Nearness nearness) {
    if (a.kind != b.kind || a.subject != b.subject || a.deletable != b.deletable || a.words != b.words)
        return false;
    const auto near = [&](std::size_t i, double within) {
        return std::abs(a.numbers[i] - b.numbers[i]) <= within;
    };
    switch (a.kind) {
    case Action::Kind::rapid:
    case Action::Kind::line:
        return near(0, nearness.x_mm) && near(1, nearness.z_mm);
    case Action::Kind::arc: // I and K are rounded: the middle of the same arc may lie a little off.
        return near(0, nearness.x_mm) && near(1, nearness.z_mm) && near(2, nearness.x_mm + 0.001) &&
               near(3, nearness.z_mm + 0.001);
    case Action::Kind::thread:
        return near(0, nearness.x_mm) && near(1, nearness.z_mm) && near(4, 1e-5);
    case Action::Kind::dwell:
        return near(5, 1e-6);
    case Action::Kind::setting:
        for (std::size_t i = 0; i < a.numbers.size(); ++i)
            if (!near(i, 1e-6 + std::abs(a.numbers[i]) * 1e-6)) return false;
        return true;
    case Action::Kind::as_written:
        return true;
    }
    return false;
}

std::string action_text(const Action& action, const features::Document& document, LengthUnit unit) {
    const bool diameter = document.settings().machine.x == shop::XReading::diameter;
    const auto point = [&] {
        return fmt::format("X{} Z{}", length(action.numbers[0] * (diameter ? 2 : 1), unit),
                           length(action.numbers[1], unit));
    };
    std::string out = action.deletable ? "with block delete off: " : "";
    switch (action.kind) {
    case Action::Kind::rapid:
        return out + "rapid to " + point();
    case Action::Kind::line:
        return out + "feed to " + point();
    case Action::Kind::arc:
        return out + fmt::format("arc to {} by way of X{} Z{}", point(),
                                 length(action.numbers[2] * (diameter ? 2 : 1), unit),
                                 length(action.numbers[3], unit));
    case Action::Kind::thread:
        return out + fmt::format("thread to {}, lead {}", point(), length(action.numbers[4], unit));
    case Action::Kind::dwell:
        return out + fmt::format("dwell {} s", plain(action.numbers[5], 3));
    case Action::Kind::as_written:
        return out + action.words;
    case Action::Kind::setting:
        return out + setting_text(action, document, unit);
    }
    return out;
}

} // namespace turnwright::report

#include "report/telling.h"
#include "language/said.h"

#include "features/assumed.h"
#include "features/block_at.h"
#include "features/hints.h"
#include "features/hover_load.h"
#include "features/hover_parts.h"
#include "features/speech.h"
#include "machine/whole_number.h"
#include "report/telling_move.h"
#include "text/letters.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::plain;
using machine::FlowKind;
using machine::MotionKind;

namespace {

std::string first_sentence(std::string_view text) {
    const std::size_t end = text.find(". ");
    return std::string(text.substr(0, end == text.npos ? text.size() : end + 1));
}

std::string capital(std::string_view text) {
    std::string out(text);
    if (!out.empty()) out[0] = text::upper(out[0]);
    return out;
}

std::string value_words(const machine::Value& value) {
    if (value.known()) return plain(value.number);
    return value.surely_unset() ? said("nothing") : features::unknown_text(value.why);
}

class BlockTeller {
public:
    BlockTeller(const features::Document& document, const WalkedBlock& block)
        : document_(document), block_(block), view_(block.view), reading_(view_.reading),
          settings_(document.settings()) {}

    std::string tell() {
        if (reading_.in_contour) return contour();
        tell_tool();
        tell_modes();
        tell_codes();
        // M05 beside a move acts behind it.
        const bool stops_behind = reading_.motion != MotionKind::none && reading_.code(Meaning::spindle_stop);
        if (!stops_behind) tell_spindle();
        tell_coolant();
        tell_feed();
        tell_statements();
        tell_move();
        if (stops_behind) tell_spindle();
        tell_flow();
        if (view_.text.has_error) add(said("Some of this block cannot be read."));
        if (text_.empty() || !view_.text.deleted) return text_;
        return said("Left out while block delete is on. ") + text_;
    }

private:
    void add(std::string sentence) {
        if (sentence.empty()) return;
        text_ += (text_.empty() ? "" : " ") + std::move(sentence);
    }

    /// Cut by the cycle that names it: nothing moves in passing.
    std::string contour() const {
        const std::string way = move_sentence(document_, block_);
        return said("A line of the finished shape") + (way.empty() ? "." : ": " + way);
    }

    void tell_tool() {
        if (!reading_.has('T')) return;
        const machine::State& state = view_.after;
        if (!state.tool.known())
            return add(said("Which tool comes is ") + features::unknown_text(state.tool.why) + ".");
        const int station = machine::whole_number(state.tool.number);
        const bool same = view_.before.tool == state.tool;
        const std::string note = same ? std::string() : features::tool_note(document_, station);
        std::string offset;
        if (!state.offset.known())
            offset = said("its offset is ") + features::unknown_text(state.offset.why);
        else if (state.offset.number == 0)
            offset = same ? said("its offset is switched off") : said("it has no offset yet");
        else
            offset = said("its offset is {:.0f}", state.offset.number);
        add(said("Tool {}{} {}; {}.", station, note.empty() ? "" : " (" + note + ")",
                 same ? said("stays") : said("comes to the front"), offset));
    }

    bool is_settled_elsewhere(Group group) const {
        return group == Group::motion || group == Group::spindle_direction || group == Group::coolant ||
               group == Group::one_shot || group == Group::modal_call;
    }

    /// What stays in force from here on, and what did already.
    void tell_modes() {
        std::string now, already;
        for (const machine::Word& word : reading_.words) {
            if (!word.code || is_settled_elsewhere(word.code->group())) continue;
            if (codes::group_of(word.code->meaning) == Group::drill_cycle &&
                reading_.motion != MotionKind::none)
                continue;
            const machine::Modal& held = view_.before.of(word.code->group());
            const bool known = held.is(word.code->meaning) && !held.is_assumed();
            std::string& list = known ? already : now;
            list += (list.empty() ? "" : ", ") + std::string(codes::title(word.code->meaning));
        }
        if (!now.empty())
            add(said("From here on: {}{}.", now, already.empty() ? "" : said("; as before: ") + already));
        else if (!already.empty())
            add(said("As before: {}.", already));
    }

    /// Codes of this block alone, and those the table does not hold.
    void tell_codes() {
        for (const machine::Word& word : reading_.words) {
            if (word.letter != 'G' && word.letter != 'M') continue;
            if (!word.code) {
                tell_foreign(word);
                continue;
            }
            const Meaning meaning = word.code->meaning;
            if (word.code->group() == Group::motion && reading_.motion == MotionKind::none)
                add(said("Moves from here on: {}.", codes::title(meaning)));
            if (word.code->group() != Group::one_shot || tells_itself(meaning)) continue;
            if (reading_.motion != MotionKind::none && meaning == reading_.motion_meaning &&
                !reading_.sets_up_cycle)
                continue;
            if (meaning == Meaning::cylindrical && reading_.value('C').is(0)) {
                add(said("Moves in Z and C are no longer laid out on a cylinder."));
                continue;
            }
            add(first_sentence(word.code->text));
        }
    }

    bool tells_itself(Meaning meaning) const {
        return meaning == Meaning::speed_limit || meaning == Meaning::dwell ||
               meaning == Meaning::subprogram_call || meaning == Meaning::macro_call ||
               meaning == Meaning::subprogram_end || meaning == Meaning::machine_datum;
    }

    void tell_foreign(const machine::Word& word) {
        if (word.own) return; // What it does follows, word by word
        const std::string written = word.item ? features::compact(view_.run.text_of(*word.item)) : "";
        if (!word.value.known()) return add(written + said(" is a code whose number is not known here."));
        const auto& names = word.letter == 'M' ? settings_.machine.m_codes : settings_.machine.g_codes;
        const auto name = names.find(machine::whole_number(word.value.number));
        add(name == names.end()
                ? said("{} is not in the table of codes: what it does is in the machine's book.", written)
                : said("{}: {}. What it changes is not known here.", written, name->second));
    }

    void tell_spindle() {
        const bool limit = reading_.code(Meaning::speed_limit) != nullptr;
        if (limit)
            add(view_.after.speed_limit.known()
                    ? said("The spindle may turn {} rpm at the most.",
                           plain(view_.after.speed_limit.number, 0))
                    : said("The limit of the spindle is ") +
                          features::unknown_text(view_.after.speed_limit.why) + ".");
        const bool direction =
            std::any_of(reading_.words.begin(), reading_.words.end(), [](const machine::Word& word) {
                return word.code && word.code->group() == Group::spindle_direction;
            });
        if (reading_.code(Meaning::spindle_stop)) return add(stop_words());
        const auto which = view_.after.spoken_to();
        const bool mode =
            view_.before.of(Group::spindle_mode).possible != view_.after.of(Group::spindle_mode).possible;
        const bool speed = reading_.has('S') && !limit;
        if (direction || speed || (mode && reading_.has('S')))
            add(!which ? said("A spindle, which one is not known here: {}.", spindle_words())
                : *which == machine::Spindle::main
                    ? said("Spindle: {}{}.", spindle_words(), rpm_here())
                    : fmt::format("{}: {}.", capital(machine::spindle_title(*which)), spindle_words()));
    }

    /// M05 with a P may stop another spindle than the one that S speaks to.
    std::string stop_words() const {
        std::optional<machine::Spindle> which = view_.after.spoken_to();
        for (std::size_t i = 0; i < machine::spindle_count; ++i) {
            const auto some = static_cast<machine::Spindle>(i);
            if (view_.after.spindle(some).direction != view_.before.spindle(some).direction) which = some;
        }
        if (!which) return said("A spindle stops; which one is not known here.");
        return *which == machine::Spindle::main ? said("The spindle stops.")
                                                : said("The {} stops.", machine::spindle_title(*which));
    }

    std::string spindle_words() const {
        const machine::State& state = view_.after;
        const bool turns = state.is(Meaning::spindle_forward) || state.is(Meaning::spindle_reverse);
        const std::string_view way = state.is(Meaning::spindle_forward)   ? said("turns forward")
                                     : state.is(Meaning::spindle_reverse) ? said("turns in reverse")
                                                                          : said("set");
        if (!state.speed.known())
            return said("{}, the speed is {}", way, features::unknown_text(state.speed.why));
        const std::string number = plain(state.speed.number);
        if (state.is(Meaning::constant_rpm))
            return said("{} {} {} rpm{}", way, turns ? said("at") : said("to"), number,
                        state.of(Group::spindle_mode).is_assumed() ? said(" (rpm is assumed)") : "");
        if (state.is(Meaning::surface_speed))
            return said("{} so that the surface runs at {} {}: slower on a large diameter, faster on a "
                        "small one{}",
                        way, number, features::surface_unit(state),
                        state.speed_limit.known() ? said(", up to {} rpm", plain(state.speed_limit.number, 0))
                        : state.speed_limit.surely_unset() ? said(", with no limit set")
                                                           : said(", the limit not known"));
        return said("{} to {}, turns a minute or surface speed not known", way, number);
    }

    std::string rpm_here() const {
        if (!view_.after.is(Meaning::surface_speed)) return {};
        const auto rpm = features::rpm_in(view_.after, settings_);
        return rpm ? said("; {:.0f} rpm at this diameter", *rpm) : std::string();
    }

    void tell_coolant() {
        for (const machine::Word& word : reading_.words) {
            if (!word.code || word.code->group() != Group::coolant) continue;
            const machine::Modal& held = view_.before.of(Group::coolant);
            const bool same = held.is(word.code->meaning) && !held.is_assumed();
            std::string title(codes::title(word.code->meaning));
            if (!same) title[0] = text::upper(title[0]);
            add((same ? said("As before: ") : "") + title + ".");
        }
    }

    void tell_feed() {
        const bool cuts = std::any_of(block_.path.segments.begin(), block_.path.segments.end(),
                                      [](const motion::Segment& segment) {
                                          return segment.kind == motion::SegmentKind::feed ||
                                                 segment.kind == motion::SegmentKind::thread;
                                      });
        if (!reading_.has('F') || cuts || reading_.motion != MotionKind::none) return;
        if (reading_.flow == FlowKind::macro_call) return;
        add(said("Feed from here on: {}.", feed_words(view_.after)));
    }

    void tell_statements() {
        for (const syntax::Item& item : view_.run.items_of(view_.text)) {
            if (item.kind != syntax::ItemKind::assignment && item.kind != syntax::ItemKind::if_then) continue;
            if (item.kind == syntax::ItemKind::if_then) {
                add(said("Stores a value, only when what stands after IF holds."));
                continue;
            }
            const syntax::Expression& root = view_.run.expressions[item.expression];
            const auto number = features::variable_number(view_.run, root.left);
            if (!number)
                add(said("Stores a value in a variable whose number is computed."));
            else
                add(said("Variable #{} now holds {}.", *number, value_words(view_.after.variable(*number))));
        }
    }

    void tell_move() {
        if (reading_.motion == MotionKind::none) {
            // A slide of a second spindle, a puller: how far it goes is the machine's.
            if (const machine::Word* slide = reading_.word('B');
                slide && slide->item && reading_.flow == FlowKind::none)
                add(said("{}: an axis that is not followed here; the tool stays where it is.",
                         features::compact(view_.run.text_of(*slide->item))));
            if (reading_.code(Meaning::dwell)) add(dwell_sentence(block_));
            return;
        }
        add(move_sentence(document_, block_));
        if (block_.called.empty() && !block_.turn_by_turn) add(load_sentence());
    }

    /// Of plain cuts along the part: in a hole or a groove the depth is another thing.
    std::string load_sentence() const {
        using Known = features::BlockLoad::Known;
        const features::BlockLoad load =
            features::load_of(document_, {view_.run_index, view_.block}, view_, block_.path);
        if (load.known == Known::takes_nothing) return said("It takes nothing off the part.");
        const shop::Tool* tool = view_.after.tool.known()
                                     ? document_.shop().tool(machine::whole_number(view_.after.tool.number))
                                     : nullptr;
        const bool along =
            tool && (tool->kind == shop::ToolKind::turning || tool->kind == shop::ToolKind::boring);
        if (!along || machine::is_cycle(reading_.motion)) return {};
        if (load.known == Known::depth_varies) return said("How deep it cuts changes along the way.");
        if (load.known != Known::cuts) return {};
        const bool inch = features::length_unit(view_.after) == "in";
        return said("It cuts {} deep.", features::depth_words(*load.estimate.depth_mm, inch));
    }

    void tell_flow() {
        const machine::Value& target = reading_.flow_target;
        const std::string name = target.known() ? plain(target.number, 0) : said("not known");
        const std::string times = !reading_.repeats.known() ? said(", how often is not known")
                                  : reading_.repeats.number > 1
                                      ? said(", {} times", plain(reading_.repeats.number, 0))
                                      : std::string();
        switch (reading_.flow) {
        case FlowKind::jump:
            return add(block_.turn_by_turn || target.known()
                           ? said("Goes on at block N{}.", name)
                           : said("Goes on at a block whose number is not known here."));
        case FlowKind::maybe_jump:
            return add(said("Goes on at block N{} when what stands after IF holds, else with the next "
                            "block. Whether it holds is not known here.",
                            name));
        case FlowKind::loop_start:
            return add(loop_words());
        case FlowKind::loop_end:
            return add(said("End of the loop: back to its start."));
        case FlowKind::subprogram_call:
            add(target.known() ? said("Runs the subprogram O{:04.0f}{}.", target.number, times)
                               : said("Runs a subprogram whose number is not known here."));
            break;
        case FlowKind::macro_call:
            add(target.known()
                    ? said("Runs the macro O{:04.0f}{} with the values of this block.", target.number, times)
                    : said("Runs a macro whose number is not known here."));
            break;
        case FlowKind::program_return:
            return add(
                block_.called.empty()
                    ? said("Back to the block after the call; a main program starts again from its top.")
                    : said("Back to the block after the call."));
        default:
            break;
        }
        if (block_.not_gone.empty()) return;
        std::string_view open = block_.not_gone;
        if (open.ends_with(',')) open.remove_suffix(1);
        add(said("Not told here: {}.", open));
    }

    std::string loop_words() const {
        if (block_.turn_by_turn) return {}; // Who tells the rounds says how many
        return said("A loop: the blocks down to its END run again and again, how often is not known here.");
    }

    const features::Document& document_;
    const WalkedBlock& block_;
    const machine::BlockView& view_;
    const machine::Reading& reading_;
    const machine::Settings& settings_;
    std::string text_;
};

} // namespace

std::string tell_block(const features::Document& document, const WalkedBlock& block) {
    return BlockTeller(document, block).tell();
}

} // namespace turnwright::report

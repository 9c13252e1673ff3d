// Walks a main program for its clamps, quill and spindle.

#include "checks/more_axes.h"

#include "checks/rule.h"

#include <utility>

namespace turnwright::checks {

using codes::Group;
using codes::Meaning;
using EventKind = ClampEvent::Kind;

namespace {

constexpr std::uint8_t turning_bits =
    1u << codes::member_of(Meaning::spindle_forward) | 1u << codes::member_of(Meaning::spindle_reverse);
constexpr std::uint8_t stop_bit = 1u << codes::member_of(Meaning::spindle_stop);

bool positions_c(const Acts& work, const Act& act) {
    if (!work.word(act, 'C') && !work.word(act, 'H')) return false;
    // With X or Z at feed it may be a chamfer.
    return act.motion == machine::MotionKind::none || act.motion == machine::MotionKind::rapid ||
           act.motion == machine::MotionKind::reference || act.drills() || act.taps() || !act.moves();
}

struct Walker {
    std::span<const ToolOfSpan> tools; ///< Of the program
    std::span<const ToolOfSpan> all;   ///< Of every program of the file, called ones too
    const std::vector<MachineCode>& codes;
    std::vector<ClampEvent> events;
    std::uint8_t direction = 0; ///< Of the spindle that turns the part
    machine::Spindle turns_part = machine::Spindle::main, spoken_to = machine::Spindle::main;
    std::uint8_t live = 0; ///< Of the tool
    ClampAct now = {};
    bool oriented = false;
    int called_from = 0;          ///< So many calls deep
    std::size_t calls_left = 500; ///< Programs may call each other many times

    void turn(const ToolOfSpan& tool, const Act& act, bool second) {
        const bool states = act.states(Group::spindle_direction);
        if (tool.work->has_code(act, 'M', 19)) { // Oriented: it stands, until a code turns it
            direction = stop_bit;
            oriented = true;
            return;
        }
        if (act.spindle == machine::Spindle::live) {
            live = act.direction;
            return;
        }
        // The second time round the state of the first reading says nothing until a code stands there.
        if (act.direction == 0 || (second && now.from_loop_end && !states)) return;
        if (states) oriented = false;
        if (oriented) return;
        // M05 of the main spindle leaves the second one, which has the part, turning.
        const machine::Spindle which = act.spindle.value_or(turns_part);
        const bool starts = states && (act.direction & turning_bits);
        const bool is_other = std::exchange(spoken_to, which) != which;
        if (starts || (is_other && !states)) turns_part = which;
        if (which != turns_part) return;
        direction = act.direction;
        if (!states) return;
        now.from_loop_end = false;
        const bool skipped = act.deleted && (direction & turning_bits) && (direction & stop_bit);
        now.stop = skipped ? &act : nullptr;
        now.stop_tool = skipped ? &tool : nullptr;
    }

    void take(const ToolOfSpan& tool, const Act& act) {
        const bool by_tool = act.spindle == machine::Spindle::live;
        const bool may_turn = (direction & turning_bits) != 0;
        const bool may_cut = by_tool ? (live & turning_bits) != 0 : may_turn;
        now.turning = may_turn && (!(direction & stop_bit) || now.stop);
        now.tool = &tool;
        now.act = &act;
        for (const ActWord& word : tool.work->words_of(act)) {
            now.code = told_code(word, codes);
            if (!now.code) continue;
            events.push_back({EventKind::code, now});
            hold(tool, act);
            if (now.code->does == MachineCode::Does::c_on && by_tool) direction = stop_bit;
        }
        now.code = nullptr;
        if (positions_c(*tool.work, act)) events.push_back({EventKind::positions_c, now});
        if (slide_word(*tool.work, act)) events.push_back({EventKind::moves_slide, now});
        if (act.states(Group::spindle_direction) && now.turning)
            events.push_back({EventKind::starts_spindle, now});
        if (act.cuts() && !act.in_contour)
            events.push_back({may_cut ? EventKind::cuts : EventKind::feeds_stopped, now});
        if (called_from == 0 && (act.ends_program || act.returns)) events.push_back({EventKind::ends, now});
    }

    /// The program of this file that the block calls, once, whatever its count.
    void call(const ToolOfSpan& tool, const Act& act, bool second) {
        constexpr int deepest = 8;
        const auto number = number_called(*tool.work, act);
        if (!number || called_from == deepest || act.deleted || calls_left == 0) return;
        --calls_left;
        ++called_from;
        for (const ToolOfSpan& other : all) {
            if (other.span->program->number != *number || other.span->program == tool.span->program) continue;
            for (const Act& called : other.work->acts) {
                turn(other, called, second);
                take(other, called);
                call(other, called, second);
            }
        }
        --called_from;
    }

    void hold(const ToolOfSpan& tool, const Act& act) {
        const auto pair = held_by(now.code->does);
        if (!pair) return;
        now.held[static_cast<std::size_t>(pair->first)] = {&tool, &act, act.deleted ? nullptr : now.code,
                                                           pair->second};
    }

    /// True: it goes back to the top.
    bool walk(bool second) {
        now.from_loop_end = second;
        for (const ToolOfSpan& tool : tools)
            for (const Act& act : tool.work->acts) {
                turn(tool, act, second);
                take(tool, act);
                call(tool, act, second);
                // An end that block delete leaves out stands in a loop, too.
                if ((act.returns && !act.deleted) || (act.ends_program && act.deleted)) return true;
            }
        return false;
    }
};

} // namespace

std::optional<std::pair<HeldBy, bool>> held_by(MachineCode::Does does) {
    using Does = MachineCode::Does;
    struct Row {
        HeldBy pair;
        Does sets, takes_back;
    };
    static constexpr Row rows[] = {
        {HeldBy::second_chuck_open, Does::second_open, Does::second_close},
        {HeldBy::c_axis, Does::c_on, Does::c_off},
        {HeldBy::c_brake, Does::brake_on, Does::brake_off},
        {HeldBy::live_tool, Does::live_on, Does::live_off},
        {HeldBy::joined_spindles, Does::joined, Does::parted},
        {HeldBy::catcher, Does::catcher_out, Does::catcher_back},
    };
    for (const Row& row : rows)
        if (does == row.sets || does == row.takes_back) return std::pair(row.pair, does == row.sets);
    return std::nullopt;
}

const ClampingPrograms& FileContext::clamping() const {
    static const ClampingPrograms none;
    // Read each time, so that every rule has logged what the events stand on.
    if (!reads_acts(*this)) return none;
    spans();
    const std::scoped_lock lock(parts_.making);
    if (parts_.clamping) return *parts_.clamping;
    auto made = std::make_shared<ClampingPrograms>();
    made->codes = codes_told(*this);
    if (std::any_of(made->codes.begin(), made->codes.end(),
                    [](const MachineCode& code) { return code.does != MachineCode::Does::other; })) {
        made->tools = tools_of(*this);
        bool in_main = false;
        const auto walk = [&](std::span<const ToolOfSpan> program) {
            Walker walker{program, made->tools, made->codes, {}};
            if (walker.walk(false)) walker.walk(true);
            for (const ClampEvent& event : walker.events) in_main = in_main || event.kind == EventKind::code;
            made->programs.push_back(std::move(walker.events));
        };
        for_each_program(made->tools, [&](std::span<const ToolOfSpan> program) {
            if (!program[0].span->program->is_subprogram) walk(program);
        });
        // Where the main programs give none of these codes, the subprogram that makes the part does.
        if (!in_main)
            for_each_program(made->tools, [&](std::span<const ToolOfSpan> program) {
                if (program[0].span->program->is_subprogram && program.size() > 2) walk(program);
            });
    }
    parts_.clamping = made;
    return *parts_.clamping;
}

const MachineCode* code_that(const std::vector<MachineCode>& codes, MachineCode::Does does,
                             bool by_shop_file_only) {
    for (const MachineCode& code : codes)
        if (code.does == does && (code.by_shop_file || !by_shop_file_only)) return &code;
    return nullptr;
}

bool comes_to_part(const ClampAct& at) {
    const ActWord* to = slide_word(*at.tool->work, *at.act);
    return to && to->number != 0 && at.act->gives_feed;
}

std::string with_words(const MachineCode& code) {
    return fmt::format("M{:02} ({})", code.number, code.words);
}

Report::Entry report_at_code(Report& report, const FileContext& context, const ClampAct& at) {
    const BlockPlace place = at.tool->place(*at.act);
    for (const syntax::Item& item : context.reader().items(place))
        if (item.kind == syntax::ItemKind::word && item.letter == 'M' && at.code &&
            item.value == at.code->number)
            return report.at(place, item);
    return report.at(place);
}

} // namespace turnwright::checks

// Folds blocks into what a tool does, and notes into what it is called.

#include "checks/acts.h"

#include "checks/rule.h"
#include "checks/taking_over.h"
#include "checks/unit_evidence.h"
#include "machine/whole_number.h"
#include "motion/thread_names.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace turnwright::checks {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::MotionKind;

namespace {

// 20,000 blocks.
constexpr std::size_t most_runs = 320;
// No tool cuts at that in a turn.
constexpr float most_inch_feed = 0.06F;

float number_of(const machine::Value& value) {
    return value.known() ? static_cast<float>(value.number) : not_known;
}
std::uint8_t members_of(const machine::State& state, Group group) {
    return static_cast<std::uint8_t>(state.of(group).possible);
}
bool keeps_all_words(const Act& act) {
    return machine::is_cycle(act.motion) || act.dwells;
}

} // namespace

/// Of what is held in short: every digit changes what is done cut by cut, and would call all rules on the
/// file anew. Who reads that logs the text (tools_of does).
bool KeptActs::operator==(const KeptActs& other) const {
    const auto in_short = [](const Acts& acts) {
        return std::tie(acts.named, acts.listed, acts.codes, acts.thread_names, acts.has_threads,
                        acts.has_taps, acts.has_drilling, acts.has_dwells, acts.calls_programs,
                        acts.cuts_not_by_turns, acts.cuts_turning_by_minute, acts.speaks_to_second,
                        acts.has_tailstock, acts.states_inch, acts.states_millimetre, acts.largest_feed,
                        acts.inch_feeds, acts.large_inch_feeds, acts.large_inch_feed, acts.has_large_feed,
                        acts.by_minute, acts.tool_calls, acts.whole);
    };
    return held == other.held || (held && other.held && in_short(*held) == in_short(*other.held));
}

bool Act::drills() const {
    if (motion == MotionKind::drill_cycle) return !taps();
    return motion == MotionKind::peck_cycle && meaning == Meaning::peck_face && moves_z && from_x == 0;
}
bool Act::threads() const {
    if (in_contour || !moves()) return false;
    return motion == MotionKind::thread || motion == MotionKind::thread_cycle ||
           (motion == MotionKind::single_cycle && meaning == Meaning::single_threading);
}
bool Act::cuts() const {
    if (motion == MotionKind::contour_cycle) return feed != not_known;
    if (in_contour || !moves() || threads() || taps()) return false;
    return motion == MotionKind::feed || motion == MotionKind::arc || motion == MotionKind::single_cycle ||
           motion == MotionKind::drill_cycle || motion == MotionKind::peck_cycle;
}

const ActWord* Acts::word(const Act& act, char letter) const {
    for (const ActWord& word : words_of(act))
        if (word.letter == letter) return known(static_cast<float>(word.number)) ? &word : nullptr;
    return nullptr;
}
bool Acts::has_letter(const Act& act, std::string_view letters) const {
    const auto all = words_of(act);
    return std::any_of(all.begin(), all.end(), [&](const ActWord& word) {
        return letters.find(word.letter) != std::string_view::npos;
    });
}
std::optional<int> number_called(const Acts& work, const Act& act) {
    const ActWord* p = work.word(act, 'P');
    if (!p || (!work.has_code(act, 'M', 98) && !work.has_code(act, 'G', 65))) return std::nullopt;
    return machine::program_called(p->number);
}

bool Acts::has_code(const Act& act, char letter, double number) const {
    for (const ActWord& word : words_of(act))
        if (word.letter == letter && word.number == number) return true;
    return false;
}

namespace {

/// A feed by the revolution that no tool takes.
bool is_large(const Act& act) {
    return act.gives_feed && act.per_rev() && act.feed * (act.inch() ? motion::mm_per_inch : 1) > 3;
}

/// All but its words.
Act act_of(const BlockView& view, BlockPlace first) {
    const machine::Reading& reading = view.reading;
    Act act;
    act.place = Near::of({view.run_index, view.block}, first);
    act.motion = reading.motion;
    act.meaning = reading.motion_meaning;
    act.moves_x = reading.moves_x;
    act.moves_z = reading.moves_z;
    act.in_contour = reading.in_contour;
    act.deleted = view.text.deleted;
    act.dwells = reading.code(Meaning::dwell) != nullptr;
    act.ends_program = reading.code(Meaning::program_end) || reading.code(Meaning::program_end_rewind);
    act.returns = reading.code(Meaning::subprogram_end) != nullptr;
    act.gives_feed = reading.has('F');
    act.gives_speed = reading.has('S') && !reading.code(Meaning::speed_limit);
    act.gives_limit = reading.has('S') && reading.code(Meaning::speed_limit);
    act.calls_tool = is_tool_call(view);
    act.calls_program = machine::calls_program(view.reading.flow);
    act.incremental = view.after.is(Meaning::incremental);
    act.by_u = reading.has('U');
    act.by_w = reading.has('W');
    // Behind a block that may be left out what it says may hold, or what held before.
    const auto members = [&](Group group) {
        const std::uint8_t is = members_of(view.after, group);
        const std::uint8_t was = act.deleted ? members_of(view.before, group) : is;
        return static_cast<std::uint8_t>(was != 0 && is != 0 ? was | is : 0);
    };
    act.unit = members(Group::units);
    act.feed_mode = members(Group::feed_mode);
    act.spindle_mode = members(Group::spindle_mode);
    act.direction = members(Group::spindle_direction);
    act.coolant = members(Group::coolant);
    act.datum = view.after.of(Group::datum).possible;
    act.spindle = view.after.spoken_to();
    act.polar = view.after.is(Meaning::polar_on);
    act.cylinder = !act.polar && view.after.is_laid_out();
    act.part_stands = view.after.part_stands();
    const machine::Modal turning = view.after.spindle(view.after.turning_spindle()).direction;
    const bool may_be_chamfer = act.motion == MotionKind::feed && !view.after.is_axis() && !act.polar &&
                                !act.cylinder && reading.moves_x != reading.moves_z &&
                                !turning.is(Meaning::spindle_stop);
    act.turns_part =
        act.motion != MotionKind::none && (reading.has('C') || reading.has('H')) && !may_be_chamfer;
    act.to_c = number_of(view.after.c);
    act.to_y = number_of(view.after.y);
    act.number = reading.number;
    act.groups = reading.groups;
    act.from_x = number_of(view.before.x_radius);
    act.from_z = number_of(view.before.z);
    if (act.motion != MotionKind::none) {
        act.to_x = number_of(reading.target_x_radius);
        act.to_z = number_of(reading.target_z);
    }
    act.feed = number_of(view.after.feed);
    act.speed = number_of(view.after.speed);
    act.speed_limit = number_of(view.after.speed_limit);
    return act;
}

/// "M10", "M8": all of the note.
bool is_metric_size(std::string_view note) {
    return note.size() > 1 && note.size() < 4 && note[0] == 'M' &&
           std::all_of(note.begin() + 1, note.end(), [](char c) { return text::is_digit(c); });
}

} // namespace

ActsFolder::MCode ActsFolder::keep(Act act, const machine::Reading& reading) {
    int m_codes = 0, m_code = -1;
    std::int8_t p = -1;
    act.first_word = static_cast<std::uint32_t>(work_.words.size());
    const bool all = keeps_all_words(act) || reading.flow != machine::FlowKind::none;
    for (const machine::Word& word : reading.words) {
        if (word.after_comma || word.letter == 'N') continue;
        // What a code of the builder does stands behind it once more.
        if (word.implied && word.code && word.code->number_tenths == codes::no_number) continue;
        if (word.letter == 'M' && !word.implied) {
            ++m_codes;
            if (word.value.known()) m_code = machine::whole_number(word.value.number);
        }
        constexpr double most_p = 9; // More is a place, a time or another program
        if (word.letter == 'P' && !all && word.value.known() && word.value.number >= 0 &&
            word.value.number <= most_p)
            p = static_cast<std::int8_t>(word.value.number);
        const bool says_which = word.letter == 'P' && act.states(Group::spindle_direction); // Spindle
        // Alone they move a slide; beside X or Z A is an angle.
        const bool slides = (word.letter == 'A' || word.letter == 'E') && !act.moves_x && !act.moves_z;
        if (!all && !says_which && !slides &&
            std::string_view("MTBCHYV").find(word.letter) == std::string_view::npos)
            continue;
        // A dwell without a point is read by the control's setting: kept as it is written.
        const bool as_written = act.dwells && !word.implied && word.item->kind == syntax::ItemKind::word;
        work_.words.push_back({word.letter, word.item->has_point, -1,
                               as_written           ? word.item->value
                               : word.value.known() ? word.value.number
                                                    : not_known});
    }
    if (p >= 0)
        for (std::size_t i = act.first_word; i < work_.words.size(); ++i)
            if (work_.words[i].letter == 'M') work_.words[i].p = p;
    act.words = static_cast<std::uint32_t>(work_.words.size()) - act.first_word;
    if (act.cuts() || act.threads() || act.taps()) has_cut_ = true;
    work_.has_threads = work_.has_threads || act.threads();
    work_.has_taps = work_.has_taps || act.taps();
    work_.has_drilling = work_.has_drilling || act.drills();
    work_.has_dwells = work_.has_dwells || act.dwells;
    work_.calls_programs = work_.calls_programs || act.calls_program;
    work_.cuts_not_by_turns = work_.cuts_not_by_turns || (act.cuts() && !act.per_rev());
    work_.cuts_turning_by_minute =
        work_.cuts_turning_by_minute || (act.cuts() && act.per_minute() && !act.stopped());
    work_.speaks_to_second = work_.speaks_to_second || act.spindle == machine::Spindle::second;
    sum_up(act);
    work_.acts.push_back(act);
    return m_codes == 1 ? MCode{m_code, p} : MCode{};
}

void ActsFolder::take(const BlockView& view) {
    if (!view.reading.is_read || !view.before.reachable) return;
    const machine::Reading& reading = view.reading;
    MCode m_code;
    const bool has_room = work_.acts.size() < most_acts;
    if (!has_room && !reading.words.empty()) work_.whole = false;
    if (!reading.words.empty() && (has_room || reading.has('F'))) {
        // Behind what is kept a feed that tears the tool off is not passed over.
        const Act act = act_of(view, first_);
        if (has_room || is_large(act)) m_code = keep(act, reading);
    }
    if (!view.text.has_note) return;
    if (notes_.size() >= most_acts) {
        work_.whole = false;
        return;
    }
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const std::string_view note = syntax::note_text(view.run.text_of(item));
        notes_.emplace_back(note);
        work_.has_tailstock = work_.has_tailstock || speaks_of_tailstock(note);
        if (!has_cut_) above_ += std::string(note) + " , ";
        // "M10" alone beside a tap is no code.
        const bool taps =
            reading.motion == machine::MotionKind::drill_cycle &&
            (reading.motion_meaning == Meaning::tap_face || reading.motion_meaning == Meaning::tap_side);
        if (taps && is_metric_size(note)) work_.thread_names.emplace_back(note);
        for (MachineCode& code : codes_named(note, m_code.number, m_code.p))
            work_.codes.push_back(std::move(code));
    }
}

void ActsFolder::sum_up(const Act& act) {
    work_.tool_calls += act.calls_tool;
    work_.states_inch = work_.states_inch || act.inch();
    work_.states_millimetre = work_.states_millimetre || act.millimetre();
    if (!act.gives_feed || act.feed <= 0 || act.dwells || act.threads() || act.taps()) return;
    work_.by_minute = work_.by_minute || act.per_minute();
    if (act.cuts() && !act.per_minute()) work_.largest_feed = std::max(work_.largest_feed, act.feed);
    if (!act.per_rev()) return;
    work_.has_large_feed = work_.has_large_feed || is_large(act);
    if (!act.inch() || !(act.cuts() || act.in_contour)) return;
    ++work_.inch_feeds;
    if (act.feed <= most_inch_feed) return;
    ++work_.large_inch_feeds;
    if (work_.large_inch_feed == 0) work_.large_inch_feed = act.feed;
}

/// Puts what is said of a station to what was said before. Spoken of as two different things: not known.
void ActsFolder::list(std::int32_t station, NamedTool tool) {
    for (auto& [number, known] : work_.listed) {
        if (number != station) continue;
        const bool other = known.kind != NamedTool::Kind::none && tool.kind != NamedTool::Kind::none &&
                           known.kind != tool.kind;
        if (other)
            known = {};
        else if (known.kind == NamedTool::Kind::none)
            known = std::move(tool);
        return;
    }
    work_.listed.emplace_back(station, std::move(tool));
}

void ActsFolder::finish() {
    work_.acts.shrink_to_fit();
    work_.words.shrink_to_fit();
    work_.named = tool_named(above_);
    for (const std::string& note : notes_) {
        for (auto& [station, tool] : tools_listed(note)) list(station, std::move(tool));
        for (std::string& name : threads_named(note)) work_.thread_names.push_back(std::move(name));
        if (const auto jaws = jaws_by_note(note)) work_.jaws.push_back(*jaws);
    }
}

bool reads_acts(const FileContext& context) {
    if (context.runs() > most_runs) return false;
    context.reader().whole(machine::Whole::text);
    return true;
}

std::vector<ToolOfSpan> tools_of(const FileContext& context, bool any_length) {
    if (!any_length && !reads_acts(context)) return {};
    return tools_of(context.spans());
}

std::vector<ToolOfSpan> tools_of(std::span<const Span> spans) {
    static const NamedTool nothing;
    std::vector<ToolOfSpan> tools;
    tools.reserve(spans.size());
    const Acts* first_head = nullptr;
    const Acts* head = nullptr;
    const Acts* opening = nullptr; ///< Of the first sequence: notes of the head may stand in it
    const machine::ProgramPart* program = nullptr;
    auto listed = [&](const Acts* list, std::int32_t station) -> const NamedTool* {
        if (list)
            for (const auto& [number, tool] : list->listed)
                if (number == station) return &tool;
        return &nothing;
    };
    for (const Span& span : spans) {
        const Acts& work = *span.facts->acts.held;
        if (span.program != program) {
            program = span.program;
            head = span.sequence ? nullptr : &work;
            opening = nullptr;
            if (!first_head) first_head = head;
        }
        if (!opening && span.sequence) opening = &work;
        ToolOfSpan tool{&span, &work, &nothing, &nothing};
        if (span.sequence) {
            tool.station = span.sequence->tool;
            tool.own = &work.named;
            if (tool.station > 0) tool.listed = listed(head, tool.station);
            if (tool.station > 0 && tool.listed->is_empty()) tool.listed = listed(first_head, tool.station);
            if (tool.station > 0 && tool.listed->is_empty()) tool.listed = listed(opening, tool.station);
        }
        tools.push_back(tool);
    }
    return tools;
}

namespace {

NamedThread thread_of_name(const std::string& name) {
    if (const auto pipe = motion::taper_pipe(name)) return {name, pipe->pitch_mm, 0, true};
    const auto size = motion::thread_size(name);
    if (!size) return {name};
    // Heights and roots are looked at by the profile of 60 degrees.
    const int starts = motion::starts_of(name);
    return {name, size->pitch_mm * starts, size->flank_angle_deg == 60 ? size->major_mm : 0, false, starts};
}

std::optional<NamedThread> only_thread(const std::vector<std::string>& names) {
    std::optional<NamedThread> found;
    for (const std::string& name : names) {
        const NamedThread thread = thread_of_name(name);
        if (found && (found->lead_mm != thread.lead_mm || found->major_mm != thread.major_mm))
            return std::nullopt;
        found = thread;
    }
    return found;
}

} // namespace

std::optional<NamedThread> thread_of(const ToolOfSpan& tool, const std::vector<ToolOfSpan>& tools) {
    if (tool.own->many_starts || tool.listed->many_starts) return std::nullopt;
    if (!tool.work->thread_names.empty()) return only_thread(tool.work->thread_names);
    if (const NamedTool* named = tool.that([](const NamedTool& some) { return some.pitch_mm > 0; }))
        return named->thread.empty() ? NamedThread{{}, named->pitch_mm} : thread_of_name(named->thread);
    // A thread that the head speaks of, where one tool alone cuts any.
    std::vector<std::string> names;
    for (const ToolOfSpan& some : tools) {
        // "3/4-6 ACME, TWO STARTS"
        if (!some.span->sequence && some.work->named.many_starts && !some.work->thread_names.empty() &&
            tool.work->has_threads)
            return std::nullopt;
        if (&some != &tool && (some.work->has_threads || some.work->has_taps)) return std::nullopt;
        if (some.own->many_starts) return std::nullopt;
        names.insert(names.end(), some.work->thread_names.begin(), some.work->thread_names.end());
    }
    return tool.work->has_threads || tool.work->has_taps ? only_thread(names) : std::nullopt;
}

Report::Entry report_at_code(Report& report, const FileContext& context, const ToolOfSpan& tool,
                             const Act& act) {
    return report_at_code(report, context.reader(), tool.place(act), act.meaning);
}

namespace {

/// What the shop file says of the machine's M codes, for those that clamp, feed bar or move the quill.
std::vector<MachineCode> codes_of(const shop::Machine& machine) {
    std::vector<MachineCode> codes;
    for (const auto& [code, effect] : machine.effects) {
        if (code.first != 'M' || effect.by_note) continue;
        const auto name = machine.m_codes.find(code.second);
        MachineCode told{MachineCode::Does::other, code.second,
                         name == machine.m_codes.end() ? "" : name->second, true};
        for (const Meaning done : effect.does) {
            if (const auto does = does_of(done); does != MachineCode::Does::other) told.does = does;
            told.of_second = told.of_second || done == Meaning::second_c_axis_on;
        }
        codes.push_back(std::move(told));
    }
    return codes;
}

} // namespace

std::vector<MachineCode> codes_told(std::span<const Span> spans, const shop::Machine& machine) {
    std::vector<MachineCode> codes = codes_of(machine);
    for (const Span& span : spans)
        for (const MachineCode& code : span.facts->acts.held->codes)
            if (const shop::CodeEffect* effect = machine.effect_of('M', code.number);
                !effect || effect->by_note)
                codes.push_back(code);
    return codes;
}

std::vector<MachineCode> codes_told(const FileContext& context) {
    return codes_told(context.spans(), context.settings().machine);
}

const MachineCode* told_code(const ActWord& word, const std::vector<MachineCode>& codes) {
    if (word.letter != 'M') return nullptr;
    const auto number = machine::whole_number(word.number);
    const MachineCode* found = nullptr;
    for (const MachineCode& code : codes) {
        if (code.number != number || code.does == MachineCode::Does::other) continue;
        if (code.p >= 0 && code.p != word.p) continue;
        if (found && found->does != code.does) return nullptr;
        found = &code;
    }
    return found;
}

std::vector<std::size_t> spans_giving(std::span<const Span> spans, const shop::Machine& machine,
                                      MachineCode::Does does) {
    const auto does_it = [&](const MachineCode& code) { return code.does == does; };
    const auto any = [&](const std::vector<MachineCode>& codes) {
        return std::any_of(codes.begin(), codes.end(), does_it);
    };
    // Asked at every key: the codes of all spans are put together only where one of them does it.
    if (!any(codes_of(machine)) && std::none_of(spans.begin(), spans.end(), [&](const Span& span) {
            return any(span.facts->acts.held->codes);
        }))
        return {};
    const std::vector<MachineCode> codes = codes_told(spans, machine);
    std::vector<std::size_t> giving;
    for (std::size_t i = 0; i < spans.size(); ++i) {
        const auto& words = spans[i].facts->acts.held->words;
        if (std::any_of(words.begin(), words.end(), [&](const ActWord& word) {
                const MachineCode* told = told_code(word, codes);
                return told && told->does == does;
            }))
            giving.push_back(i);
    }
    return giving;
}

std::optional<Near> last_giving(const Span& span, std::span<const Span> spans, const shop::Machine& machine,
                                MachineCode::Does does) {
    const std::vector<MachineCode> codes = codes_told(spans, machine);
    const Acts& work = *span.facts->acts.held;
    std::optional<Near> last;
    for (const Act& act : work.acts)
        for (const ActWord& word : work.words_of(act))
            if (const MachineCode* told = told_code(word, codes); told && told->does == does)
                last = act.place;
    return last;
}

std::optional<double> mm_of(const Act& act, std::optional<double> of_file) {
    if (act.millimetre()) return 1.0;
    if (act.inch()) return motion::mm_per_inch;
    return act.unit == 0 ? of_file : std::nullopt;
}

namespace {

bool is_assumed(const machine::Assumption& assumption, Meaning meaning) {
    return assumption.by != machine::Sign::none && assumption.meaning == meaning;
}

/// Of the largest feeds that each tool cuts with the middle one, so that one mistake tells nothing; 0: there
/// is none. Of two the larger: a blade is slow in any unit.
float middle_feed(std::span<const ToolOfSpan> tools) {
    std::vector<float> largest;
    for (const ToolOfSpan& tool : tools)
        if (tool.work->largest_feed > 0) largest.push_back(tool.work->largest_feed);
    if (largest.empty()) return 0;
    const auto middle = largest.begin() + static_cast<std::ptrdiff_t>(largest.size() / 2);
    std::nth_element(largest.begin(), middle, largest.end());
    return *middle;
}

} // namespace

bool goes_by_turn(const Act& act, const machine::Settings& settings) {
    return act.per_rev() ||
           (act.feed_mode == 0 && is_assumed(settings.assumed.feed_mode, Meaning::feed_per_rev));
}
bool goes_by_minute(const Act& act, const machine::Settings& settings) {
    return act.per_minute() ||
           (act.feed_mode == 0 && is_assumed(settings.assumed.feed_mode, Meaning::feed_per_minute));
}

std::optional<double> unit_of_file(const FileContext& context, std::span<const ToolOfSpan> tools) {
    bool inch = false, millimetre = false;
    for (const ToolOfSpan& tool : tools) {
        inch = inch || tool.work->states_inch;
        millimetre = millimetre || tool.work->states_millimetre;
    }
    if (inch && millimetre) return std::nullopt;
    // No tool cuts at so many inches in a turn: a code further down may be meant for what follows it alone.
    constexpr float most_inch = 0.08F;
    const bool coarse = middle_feed(tools) >= most_inch;
    // Of two programs in the file the one may state the unit of itself alone.
    const bool two = std::any_of(tools.begin(), tools.end(), [&](const ToolOfSpan& tool) {
        return !tool.span->program->is_subprogram && tool.span->program != tools.front().span->program;
    });
    if (two && (inch || millimetre)) {
        context.reader().whole(machine::Whole::text);
        if (context.settings().assumed.units.conflict) return std::nullopt;
    }
    if (millimetre || (inch && !coarse)) return inch ? motion::mm_per_inch : 1.0;
    context.reader().whole(machine::Whole::text); // What is assumed hangs on all of it
    const machine::Assumptions& assumed = context.settings().assumed;
    if (!inch) {
        if (is_assumed(assumed.units, Meaning::millimetre)) return 1.0;
        if (!is_assumed(assumed.units, Meaning::inch)) return std::nullopt;
    }
    if (coarse && is_assumed(assumed.feed_mode, Meaning::feed_per_rev)) return std::nullopt;
    return motion::mm_per_inch;
}

FeedsAsInch feeds_as_inch(const FileContext& context, const std::vector<ToolOfSpan>& tools) {
    FeedsAsInch out;
    for (const ToolOfSpan& tool : tools) {
        out.all += tool.work->inch_feeds;
        out.too_large += tool.work->large_inch_feeds;
        if (out.example == 0) out.example = tool.work->large_inch_feed;
    }
    if (out.too_large < 2 || out.too_large * 2 <= out.all) return out;
    // Both units: one of the codes is meant otherwise, and told by what stands with it.
    for (const ToolOfSpan& tool : tools)
        if (tool.work->states_millimetre) return out;
    context.reader().whole(machine::Whole::text);
    for (const ToolOfSpan& tool : tools)
        for (const Act& act : tool.work->acts)
            if (act.states(Group::units) && act.inch()) {
                out.code_tool = &tool;
                out.code = &act;
                return out;
            }
    return out;
}

} // namespace turnwright::checks

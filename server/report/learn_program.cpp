// What one program shows of the machine and the habits behind it.
#include "report/learn.h"

#include "checks/acts.h"
#include "checks/rule.h"
#include "checks/sequence_facts.h"
#include "features/noted.h"
#include "machine/whole_number.h"
#include "report/walk.h"

#include <algorithm>
#include <cmath>

namespace turnwright::report {

using checks::Act;
using checks::FileFacts;
using checks::NamedTool;
using checks::Span;
using codes::Group;
using codes::Meaning;
using machine::MotionKind;

std::optional<bool> Habit::kept() const {
    if (total < 2) return std::nullopt;
    if (with * 3 >= total * 2) return true;
    if (with == 0) return false;
    return std::nullopt;
}

namespace {

double rounded(double mm) {
    return std::round(mm * 1e4) / 1e4;
}

/// Where the last two rapids in front of the first cut end in Z, in mm; the part's face is about Z0. Of a
/// program that states no unit in that of its signs.
void look_at_approach(ProgramShows& shows, const checks::Acts& acts, std::optional<double> mm_per_unit) {
    std::optional<double> first, second;
    bool called = false;
    for (const Act& act : acts.acts) {
        called = called || act.calls_tool;
        if (!called || !act.moves()) continue;
        if (act.motion != MotionKind::rapid) break;
        const std::optional<double> unit = act.inch()         ? motion::mm_per_inch
                                           : act.millimetre() ? 1.0
                                                              : mm_per_unit;
        if (act.incremental || act.by_w || !act.moves_z || !checks::known(act.to_z) || act.to_z <= 0 || !unit)
            continue;
        first = second;
        second = rounded(static_cast<double>(act.to_z) * *unit);
    }
    if (!first && second && !shows.first_approach_mm) shows.first_approach_mm = second; // In one step
    if (!first || !second || *second >= *first) return;
    if (!shows.first_approach_mm) shows.first_approach_mm = first;
    if (!shows.second_approach_mm) shows.second_approach_mm = second;
}

void add_noted(StationShown& station, const shop::Tool& tool) {
    if (tool.diameter_mm) station.diameters_mm.insert(rounded(*tool.diameter_mm));
    if (tool.nose_radius_mm) station.nose_radii_mm.insert(rounded(*tool.nose_radius_mm));
    if (tool.width_mm) station.widths_mm.insert(rounded(*tool.width_mm));
    if (tool.point_angle_deg) station.point_angles_deg.insert(*tool.point_angle_deg);
    using shop::ToolKind;
    if (tool.kind == ToolKind::centre_drill) { // "CTR DRILL" is named as a drill
        station.kinds.erase(std::string(shop::kind_word(ToolKind::drill)));
        station.kinds.emplace(shop::kind_word(tool.kind));
    }
    // A thread may be inside, where the note does not say.
    if (station.kinds.empty() && tool.kind != ToolKind::unknown && tool.kind != ToolKind::threading)
        station.kinds.emplace(shop::kind_word(tool.kind));
}

void add_tool(StationShown& station, const NamedTool& tool) {
    if (tool.kind == NamedTool::Kind::thread) return; // Outside or inside: the note does not say
    const shop::ToolKind kind = checks::tool_kind_of(tool.kind);
    if (kind != shop::ToolKind::unknown)
        station.kinds.emplace(shop::kind_word(tool.live ? shop::ToolKind::live : kind));
}

class Looker {
public:
    Looker(const features::Document& document, std::string name)
        : document_(document), mm_per_unit_(features::mm_per_unit_of(document)) {
        shows_.name = std::move(name);
    }

    ProgramShows look() {
        const machine::Settings& settings = document_.settings();
        if (settings.system_from == machine::SystemFrom::program) shows_.system = settings.system;
        for (std::size_t run = 0; run < document_.forest().size(); ++run)
            shows_.without_point += checks::habits_of(document_.forest().run(run)->items).without_point;
        for (const Span& span : document_.results().spans())
            if (span.facts) look_at(span);
        for (auto& [station, shown] : shows_.stations)
            if (const auto note = listed_.find(station); shown.note.empty() && note != listed_.end())
                shown.note = note->second;
        shows_.safety_line = safety_line();
        const machine::Analysis& analysis = document_.analysis();
        for (std::size_t run = 0; run < analysis.size(); ++run)
            analysis.visit(run, [this](const machine::BlockView& view) { look_at(view); });
        const machine::Assumptions& assumed = settings.assumed;
        using machine::Sign;
        const auto by_signs = [](const machine::Assumption& one) {
            return !one.conflict && one.by != Sign::none && one.by != Sign::practice && one.by != Sign::code;
        };
        if (!shows_.states_mm && !shows_.states_inch && by_signs(assumed.units))
            shows_.assumed_unit = assumed.units.meaning;
        if (!states_feed_mode_ && by_signs(assumed.feed_mode))
            shows_.assumed_feed_mode = assumed.feed_mode.meaning;
        return std::move(shows_);
    }

private:
    void look_at(const Span& span) {
        const FileFacts& facts = *span.facts;
        if (facts.move_without_units && !span.program->is_subprogram) shows_.moves_without_units = true;
        if (const checks::Acts* acts = facts.acts.held.get()) look_at(span, *acts);
        if (!span.sequence || span.program->is_subprogram) return;
        shows_.own_time = true;
        const machine::Sequence& sequence = *span.sequence;
        const bool is_last = &span.program->sequences.back() == &sequence || facts.ends_program;
        if (facts.cuts_turning && !is_last)
            shows_.optional_stop.add(sequence.optional_stop || facts.optional_stop || facts.program_stop);
        if (sequence.calls_tool && sequence.number >= 0 && sequence.tool > 0 &&
            !document_.outline().numbers_every_block)
            shows_.number_is_tool.add(sequence.number == sequence.tool);
        if (facts.approaches) shows_.two_steps.add(facts.two_step_approach);
        shows_.sequence_note.add(facts.has_note || sequence.note.has_value());
        if (facts.return_move) shows_.machine_return.add(facts.return_by == Meaning::machine_datum);
        using Order = FileFacts::OffOrder;
        if (facts.off_order == Order::coolant_first || facts.off_order == Order::spindle_first)
            shows_.coolant_first.add(facts.off_order == Order::coolant_first);
        if (sequence.tool <= 0 || sequence.tool > 99) return;
        StationShown& station = shows_.stations[sequence.tool];
        if (station.note.empty()) station.note = span_note(document_, span);
        add_noted(station,
                  checks::tool_by_note(span_note(document_, span), mm_per_unit_, sequence.tool).tool);
        // What the head lists of it: "(T3 3/8 DRILL)".
        add_noted(station, features::noted_tool(document_, sequence.tool, mm_per_unit_).tool);
        if (sequence.offset > 0) station.offsets.insert(sequence.offset);
        constexpr auto compensation = static_cast<std::size_t>(Group::nose_compensation);
        constexpr unsigned off = 1u << codes::member_of(Meaning::compensation_off);
        if (facts.seen[compensation] & ~off) station.compensated = station.compensated || facts.cuts;
    }

    /// "(T3 3/8 DRILL)" in the head is the note of station 3, where it has none of its own.
    void take_list(const Span& head) {
        const machine::Reader reader(document_.analysis());
        for (const checks::NoteAt& at : checks::notes_between(reader, head.first, head.last)) {
            std::string_view note = at.text;
            note.remove_prefix(std::min(note.find_first_not_of(' '), note.size()));
            const auto listed = checks::tools_listed(note);
            if (listed.size() != 1 || note.size() < 2 || (note[0] != 'T' && note[0] != 't') ||
                note[1] < '0' || note[1] > '9')
                continue;
            note.remove_prefix(std::min(note.find_first_not_of("0123456789", 1), note.size()));
            note.remove_prefix(std::min(note.find_first_not_of(" :=-"), note.size()));
            if (!note.empty()) listed_.try_emplace(listed.front().first, note);
        }
    }

    void look_at(const Span& span, const checks::Acts& acts) {
        if (!span.sequence) take_list(span);
        for (const checks::MachineCode& code : acts.codes)
            if (!code.words.empty()) told_.try_emplace(code.number, code.words);
        for (const auto& [station, tool] : acts.listed)
            if (station > 0 && station <= 99) add_tool(shows_.stations[station], tool);
        for (const Act& act : acts.acts) {
            if (act.surface_speed()) shows_.surface_speed = true;
            states_feed_mode_ = states_feed_mode_ || act.states(Group::feed_mode);
            // Behind a program that is not at hand it is not known, and stated all the same.
            if (act.cuts() && !act.per_rev() && !act.per_minute() && !states_feed_mode_)
                shows_.feed_mode_open = true;
        }
        if (!span.sequence || span.program->is_subprogram) return;
        if (span.sequence->tool > 0 && span.sequence->tool <= 99)
            add_tool(shows_.stations[span.sequence->tool], acts.named);
        if (span.facts->approaches) look_at_approach(shows_, acts, mm_per_unit_);
    }

    void look_at(const machine::BlockView& view) {
        if (view.reading.code(Meaning::millimetre)) shows_.states_mm = true;
        if (view.reading.code(Meaning::inch)) shows_.states_inch = true;
        if (view.reading.code(Meaning::speed_limit))
            if (const machine::Value limit = view.reading.value('S'); limit.known() && limit.number > 0)
                shows_.speed_limits.insert(limit.number);
        for (const machine::Word& word : view.reading.words) {
            if (word.letter == 'T' && !word.after_comma && word.item->digits >= 2 && word.value.known() &&
                word.value.number >= 1 && !view.reading.code(Meaning::macro_call))
                shows_.tool_digits.insert(word.item->digits);
            const bool is_code = (word.letter == 'G' || word.letter == 'M') && !word.after_comma;
            if (!is_code || (word.code && word.code->meaning != Meaning::machine_specific)) continue;
            const double number = word.value.known() ? word.value.number : -1;
            if (number < 0 || number > 9999 || number != std::floor(number)) continue;
            std::string& words = shows_.own_codes[{word.letter, machine::whole_number(number)}];
            if (const auto told = told_.find(machine::whole_number(number));
                word.letter == 'M' && told != told_.end())
                words = told->second;
        }
    }

    /// What most of the program's sequences hold.
    std::vector<std::string> safety_line() const {
        const codes::System system = document_.settings().system;
        std::vector<std::string> line;
        for (const Meaning meaning :
             checks::across_of(document_.results().spans(), document_.shop(), system).safety_line) {
            std::string written = codes::written_as(system, meaning);
            if (written.starts_with('G')) line.push_back(std::move(written));
        }
        return line;
    }

    const features::Document& document_;
    std::optional<double> mm_per_unit_;
    ProgramShows shows_;
    bool states_feed_mode_ = false;     ///< A code down to here
    std::map<int, std::string> told_;   ///< What notes say of M codes
    std::map<int, std::string> listed_; ///< Of each station, what a list in the head says
};

} // namespace

ProgramShows shown_by(const features::Document& document, std::string name) {
    return Looker(document, std::move(name)).look();
}

} // namespace turnwright::report

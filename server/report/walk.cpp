#include "report/walk.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/hints.h"
#include "features/speech.h"
#include "host/file.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using features::plain;

std::string picked_words(const std::vector<PickedJump>& jumps) {
    constexpr std::size_t most = 3;
    std::string words;
    for (std::size_t i = 0; i < std::min(jumps.size(), most); ++i) {
        if (i > 0) words += "; ";
        const std::size_t line = jumps[i].line + 1;
        if (jumps[i].turn == machine::PickedWay::Turn::once) {
            words += said("the loop of line {} once (how often it goes is not known)", line);
            continue;
        }
        words += jumps[i].turn == machine::PickedWay::Turn::made
                     ? said("behind line {} as if its jump were made (its condition is not known)", line)
                     : said("behind line {} as if its jump were not made (its condition is not known)", line);
    }
    if (jumps.size() > most) words += said("; and {} jumps more", jumps.size() - most);
    return words;
}

std::string span_name(const features::Document& document, const checks::Span& span) {
    if (!span.sequence) {
        if (span.program && span.program->number > 0)
            return fmt::format("{}O{:04}", span.program->is_subprogram ? "" : said("Head of "),
                               span.program->number);
        return said("Head");
    }
    std::string name;
    // Where N numbers every block it names no sequence, but it is still what the block is found by.
    if (span.sequence->number >= 0) name = fmt::format("N{}", span.sequence->number);
    const std::string tool = features::tool_word_of(document, span.sequence->tool_call);
    if (!tool.empty()) name += (name.empty() ? "" : " ") + tool;
    return name.empty() ? said("Line {}", document.line_of(span.first) + 1) : name;
}

std::string span_note(const features::Document& document, const checks::Span& span) {
    if (!span.sequence || !span.sequence->note) return {};
    return features::note_of(document, *span.sequence->note);
}

std::string span_title(const features::Document& document, const checks::Span& span) {
    const std::string note = span_note(document, span);
    return span_name(document, span) + (note.empty() ? "" : " " + note);
}

LengthUnit unit_of(const features::Document& document) {
    LengthUnit unit = LengthUnit::unknown;
    const machine::Analysis& analysis = document.analysis();
    for (std::size_t run = 0; run < analysis.size() && unit == LengthUnit::unknown; ++run)
        analysis.visit(run, [&](const machine::BlockView& view) {
            if (unit != LengthUnit::unknown || view.reading.motion == machine::MotionKind::none) return;
            if (view.after.is(Meaning::millimetre)) unit = LengthUnit::mm;
            if (view.after.is(Meaning::inch)) unit = LengthUnit::inch;
        });
    return unit;
}

std::string length_number(LengthUnit unit, double mm, int places_mm) {
    const bool inch = unit == LengthUnit::inch;
    return features::plain(inch ? mm / motion::mm_per_inch : mm, inch ? places_mm + 1 : places_mm);
}

std::string length_text(LengthUnit unit, double mm, int places_mm) {
    return length_number(unit, mm, places_mm) + (unit == LengthUnit::inch ? " in" : " mm");
}

const machine::ProgramPart* main_program(const features::Document& document) {
    const auto& programs = document.outline().programs;
    for (const machine::ProgramPart& program : programs)
        if (!program.is_subprogram && program.number > 0) return &program;
    for (const machine::ProgramPart& program : programs)
        if (!program.is_subprogram && !program.sequences.empty()) return &program;
    return programs.empty() ? nullptr : &programs.front();
}

std::string program_name(const features::Document& document) {
    const machine::ProgramPart* program = main_program(document);
    if (!program || program->number == 0) return said("Program without a number");
    return fmt::format("O{:04}", program->number);
}

std::string program_note(const features::Document& document) {
    const machine::ProgramPart* program = main_program(document);
    if (!program) return {};
    machine::BlockPlace place = program->first;
    // The tape mark may stand alone above the number.
    if (document.block(place).tape_mark && document.items(place).size() == 1) {
        if (place.block + 1 >= document.run(place.run).blocks.size()) return {};
        ++place.block;
    }
    return features::note_of(document, place);
}

std::string file_name(const features::Document& document) {
    return features::readable(host::shown_name(document.path().filename().string()));
}

std::string spindle_text(const machine::State& state) {
    const machine::Modal& direction = state.of(Group::spindle_direction);
    const std::optional<machine::Spindle> which = state.spoken_to();
    if (!which) return said("not known which one S speaks to");
    const std::string title =
        *which == machine::Spindle::main ? "" : fmt::format("{}: ", machine::spindle_title(*which));
    if (direction.is(Meaning::spindle_stop)) return title + said("stopped");
    std::string text = title;
    const bool has_speed = state.speed.known() || state.speed.is_assumed();
    if (state.is(Meaning::surface_speed)) {
        text += "G96";
        if (has_speed)
            text += fmt::format(" {} {}", plain(state.speed.number), features::surface_unit(state));
        text += state.speed_limit.known() || state.speed_limit.is_assumed()
                    ? said(", limit {} rpm", plain(state.speed_limit.number, 0))
                : state.speed_limit.surely_unset() ? said(", no limit set")
                                                   : said(", limit not known");
    } else if (state.is(Meaning::constant_rpm)) {
        text += "G97";
        if (has_speed) text += said(" {} rpm", plain(state.speed.number));
        if (state.of(Group::spindle_mode).is_assumed() && !state.speed.is_assumed())
            text += said(" (G97 assumed)");
    } else {
        text +=
            has_speed ? said("S{}, G96 or G97 not known", plain(state.speed.number)) : said("mode not known");
    }
    if (!has_speed) text += said(", speed ") + features::unknown_text(state.speed.why);
    if (direction.is(Meaning::spindle_forward))
        text += said(", forward");
    else if (direction.is(Meaning::spindle_reverse))
        text += said(", reverse");
    else if (direction.surely_unset())
        text += said(", not started");
    else
        text += said(", direction not known");
    if (state.speed.is_assumed() || direction.is_assumed() ||
        (state.is(Meaning::surface_speed) && state.speed_limit.is_assumed()))
        text += said(" (assumed)");
    return text;
}

std::string feed_text(const machine::State& state) {
    if (!state.feed.known()) return features::unknown_text(state.feed.why);
    std::string_view unit = features::length_unit(state);
    if (unit.empty()) unit = said("units");
    const std::string number = plain(state.feed.number, 5);
    const bool assumed = state.of(Group::units).is_assumed() || state.of(Group::feed_mode).is_assumed();
    const std::string_view mark = assumed ? said(" (assumed)") : "";
    if (state.is(Meaning::feed_per_minute)) return fmt::format("{} {}/min{}", number, unit, mark);
    if (state.is(Meaning::feed_per_rev)) return said("{} {}/rev{}", number, unit, mark);
    if (state.is(Meaning::feed_inverse_time)) return said("{}, inverse time", number);
    return said("{}, a turn or a minute not known", number);
}

std::string time_or_unknown(const motion::Totals& totals) {
    const std::uint32_t open = totals.blocks_without_time;
    if (open == 0) return features::time_text(totals);
    const std::string rest =
        said("{} {} without a known time", open, open == 1 ? said("block") : said("blocks"));
    if (totals.seconds() <= 0) return said("not known: ") + rest;
    return fmt::format("{} ({})", features::time_text(totals), rest);
}

} // namespace turnwright::report

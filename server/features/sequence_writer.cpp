#include "features/sequence_writer.h"

#include "features/speech.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::System;

namespace {

std::string line_text(const Document& document, BlockPlace place) {
    return readable(document.buffer().line(document.line_of(place)));
}

/// The fields in their order: ${:40.} -> ${1:40.}
std::string numbered(std::string_view text) {
    std::string out;
    int field = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        out += text[i];
        if (text[i] == '{' && i > 0 && text[i - 1] == '$' && i + 1 < text.size() && text[i + 1] == ':')
            out += std::to_string(++field);
    }
    return out;
}

bool has_sequences(const Document& document) {
    for (const machine::ProgramPart& program : document.outline().programs)
        if (!program.sequences.empty()) return true;
    return false;
}

} // namespace

Cut cut_of(const shop::Tool* tool, const shop::Machine& machine) {
    Cut cut{2, 0.5, 0.25, 0.12, 0.06, 0.8, 3, 2500};
    if (tool && tool->max_depth_mm) cut.step = std::min(cut.step, *tool->max_depth_mm);
    cut.finish_step = std::min(cut.finish_step, cut.step);
    if (tool && tool->nose_radius_mm && *tool->nose_radius_mm > 0) {
        // A coarser feed than the nose is round leaves a thread behind and breaks the corner.
        cut.rough_feed = std::min(cut.rough_feed, *tool->nose_radius_mm * 0.3);
        cut.finish_feed = std::min(cut.finish_feed, *tool->nose_radius_mm * 0.15);
        cut.past_centre = *tool->nose_radius_mm;
    }
    if (tool && tool->width_mm) cut.width = *tool->width_mm;
    for (double* feed : {&cut.rough_feed, &cut.finish_feed, &cut.groove_feed})
        if (tool && tool->max_feed_mm_per_rev) *feed = std::min(*feed, *tool->max_feed_mm_per_rev);
    for (const auto& limit : {tool ? tool->max_rpm : std::nullopt, machine.max_rpm, machine.chuck_max_rpm})
        if (limit) cut.rpm_limit = std::min(cut.rpm_limit, *limit);
    return cut;
}

std::string safety_line(const Typing& typing) {
    const System system = typing.settings().system;
    std::string text;
    for (const std::string& code : typing.document.shop().house.safety_line)
        text += (text.empty() ? "" : " ") + readable(code);
    if (!text.empty()) return text;
    for (const Meaning meaning : {Meaning::datum_1, Meaning::plane_zx, Meaning::constant_rpm,
                                  writes_inch(typing) ? Meaning::inch : Meaning::millimetre,
                                  Meaning::drill_cycle_off, Meaning::compensation_off, Meaning::feed_per_rev})
        text += (text.empty() ? "" : " ") + codes::written_as(system, meaning);
    return system == System::A ? text : text + ' ' + codes::written_as(system, Meaning::absolute);
}

House house_of(const Typing& typing) {
    const Document& document = typing.document;
    House house;
    const checks::Span* model = nullptr;
    for (const checks::Span& span : document.results().spans()) {
        if (!span.sequence || !span.facts || !span.facts->safety_block) continue;
        if (model && typing.place <= span.last) break;
        model = &span;
    }
    if (!model) {
        house.numbers = document.outline().numbers_start_sequences || !has_sequences(document);
        return house;
    }
    house.safety = line_text(document, model->place(*model->facts->safety_block));
    house.numbers = model->sequence->number >= 0;
    if (!model->facts->return_move) return house;
    constexpr std::size_t longest_end = 8;
    const std::size_t last = document.line_of(model->last);
    std::size_t line = document.line_of(model->place(*model->facts->return_move));
    for (std::size_t count = 0; line <= last && count < longest_end; ++line, ++count) {
        const std::string text = readable(document.buffer().line(line));
        if (text.find_first_not_of(" \t") == std::string::npos) break;
        // The program's own end belongs to its last sequence only.
        const std::string packed = compact(text);
        if (packed.find("M30") != std::string::npos || packed.find("M02") != std::string::npos ||
            packed[0] == '%')
            break;
        house.end.push_back(text);
    }
    return house;
}

SequenceWriter::SequenceWriter(const Typing& typing, const House& house, const Ground& ground,
                               const Taken& taken, checks::NamedTool::Kind kind, std::string_view word)
    : BlockWriter(typing), house_(house), ground_(ground), taken_(taken),
      tool_(free_tool(typing.document, taken, kind, word)),
      cut_(cut_of(tool_.tool, typing.settings().machine)) {
    // Like its other lines.
    blanks_ = true;
    lower_case_ = false;
}

double SequenceWriter::clear_mm() const {
    return typing_.document.shop().house.first_approach_mm.value_or(10);
}

double SequenceWriter::rpm_for(double radius_mm) const {
    const double turns =
        motion::rpm_for(surface_m_per_min(typing_.document, typing_.place), 2 * std::max(radius_mm, 1.0));
    return std::max(50.0, std::floor(std::min(turns, cut_.rpm_limit) / 10) * 10);
}

void SequenceWriter::head(const std::string& title, double rpm, bool limited, double x_mm, double near_z_mm) {
    rpm_ = fmt::format("{:.0f}", rpm);
    const std::string named = "(" + snippet_text(in_capitals(title)) + ")";
    line(house_.numbers
             ? fmt::format("N{} {}",
                           field(std::to_string(free_number(typing_.document, taken_, tool_.station))), named)
             : named);
    line(house_.safety.empty() ? safety_line(typing_) : snippet_text(house_.safety));
    const std::size_t half = typing_.habits.tool_digits / 2;
    line("T" + field(typing_.habits.tool_digits < 3 ? std::to_string(tool_.station)
                                                    : fmt::format("{0:0{1}}{0:0{1}}", tool_.station, half)));
    if (limited)
        line(fmt::format("{} S{}", code(Meaning::speed_limit), field(fmt::format("{:.0f}", cut_.rpm_limit))));
    const bool reverse = tool_.tool && tool_.tool->upside_down.value_or(false);
    line(fmt::format("{} S{} {}", code(Meaning::constant_rpm), field(rpm_),
                     code(reverse ? Meaning::spindle_reverse : Meaning::spindle_forward)));
    line(code(Meaning::rapid) + ' ' + x(x_mm) + ' ' + z(ground_.front_mm + clear_mm()));
    line(code(Meaning::rapid) + ' ' + z(near_z_mm));
    line(code(Meaning::coolant_on));
    if (limited) line(fmt::format("G96 S{}", field(surface())));
    is_limited_ = limited;
}

Template SequenceWriter::finish(std::string label, std::string detail) {
    if (is_limited_) line(fmt::format("{} S{}", code(Meaning::constant_rpm), field(rpm_)));
    line(code(Meaning::rapid) + ' ' + z(ground_.front_mm + clear_mm()));
    if (house_.end.empty()) {
        line(fmt::format("{} {} X0. Z0.", code(Meaning::rapid), code(Meaning::machine_datum)));
        for (const Meaning meaning : {Meaning::coolant_off, Meaning::spindle_stop, Meaning::optional_stop})
            line(code(meaning));
    }
    for (const std::string& own : house_.end) line(snippet_text(own));
    detail += ground_.known ? " (new sequence)" : " (new sequence, stock assumed)";
    Template made{std::move(label), std::move(detail), numbered(text_) + "$0", {}};
    made.plain = without_fields(made.snippet);
    return made;
}

std::string SequenceWriter::surface() const {
    const double metres = surface_m_per_min(typing_.document, typing_.place);
    return inch() ? fmt::format("{:.0f}", std::round(metres / 0.3048 / 10) * 10)
                  : fmt::format("{:.0f}", metres);
}

} // namespace turnwright::features

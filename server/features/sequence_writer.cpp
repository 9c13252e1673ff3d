#include "features/sequence_writer.h"
#include "language/said.h"

#include "features/block_at.h"

#include "features/speech.h"
#include "text/letters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Meaning;
using codes::System;

namespace {

std::int32_t number_of(const Document& document, BlockPlace place) {
    for (const syntax::Item& item : document.items(place))
        if (item.letter == 'N' && item.kind == syntax::ItemKind::word)
            return static_cast<std::int32_t>(item.value);
    return -1;
}

/// The block as it is written, without an N number at its beginning.
std::string line_without_number(const Document& document, BlockPlace place) {
    std::string text = readable(document.buffer().line(document.line_of(place)));
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string::npos || text::upper(text[first]) != 'N') return text;
    const std::size_t digits = text.find_first_not_of(" \t", first + 1);
    const std::size_t behind =
        digits == std::string::npos ? std::string::npos : text.find_first_not_of("0123456789", digits);
    if (behind == digits) return text;
    const std::size_t rest =
        behind == std::string::npos ? std::string::npos : text.find_first_not_of(" \t", behind);
    return rest == std::string::npos ? std::string{} : text.substr(rest);
}

struct WayHome {
    BlockPlace begin;
    double x_mm, z_mm; ///< Where it ends, X on radius
};

/// The last rapid of a sequence in plain coordinates, in one block or an axis at a time, when it ends outside
/// of all that the sequence cuts.
std::optional<WayHome> way_home(const Document& document, const checks::Span& span) {
    std::optional<WayHome> way;
    bool x = false, z = false, cuts = false;
    double x_cut = 0, z_cut = -1e9;
    for (std::size_t run = span.first.run; run <= span.last.run; ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) {
            const BlockPlace place{view.run_index, static_cast<std::uint32_t>(view.block)};
            if (place < span.first || span.last < place) return;
            const machine::Reading& reading = view.reading;
            if (reading.motion == machine::MotionKind::none && !reading.in_contour) return;
            const auto place_mm = [&](const machine::Value& value) {
                return value.known() && !length_unit(view.after).empty()
                           ? std::optional<double>(to_mm(value.number, view.after))
                           : std::nullopt;
            };
            const std::optional<double> to_x = place_mm(view.after.x_radius), to_z = place_mm(view.after.z);
            const bool plain = reading.motion == machine::MotionKind::rapid && !reading.in_contour &&
                               !reading.has('U') && !reading.has('W') && !reading.moves_other &&
                               !view.after.is(Meaning::incremental) && to_x && to_z;
            if (!plain) {
                cuts = cuts || reading.motion != machine::MotionKind::rapid;
                if (const auto at = place_mm(reading.target_x_radius)) x_cut = std::max(x_cut, *at);
                if (const auto at = place_mm(reading.target_z)) z_cut = std::max(z_cut, *at);
                way.reset();
                return;
            }
            const bool goes_on =
                way && reading.moves_x + reading.moves_z == 1 && x + z == 1 && (reading.moves_x ? z : x);
            if (!goes_on) {
                way = WayHome{place, 0, 0};
                x = z = false;
            }
            x = x || reading.moves_x;
            z = z || reading.moves_z;
            way->x_mm = *to_x;
            way->z_mm = *to_z;
        });
    constexpr double room_to_index_mm = 20; // Less is a retract
    if (!way || !x || !z || !cuts || way->x_mm <= x_cut || way->z_mm < z_cut + room_to_index_mm)
        return std::nullopt;
    return way;
}

/// An offset that is cancelled on the way home is the new tool's own.
std::string with_station(const std::string& line, std::int32_t from, int to, std::size_t digits) {
    if (from < 0) return line;
    std::string out;
    for (std::size_t at = 0; at < line.size();) {
        if (line[at] == '(') {
            const std::size_t end = std::min(line.find(')', at), line.size() - 1) + 1;
            out.append(line, at, end - at);
            at = end;
            continue;
        }
        std::size_t end = at + 1;
        while (text::upper(line[at]) == 'T' && end < line.size() && line[end] >= '0' && line[end] <= '9')
            ++end;
        const std::string number = line.substr(at + 1, end - at - 1);
        const std::size_t half = number.size() / 2;
        if (digits >= 4 && half >= 1 && number.size() % 2 == 0 && std::stoi(number.substr(0, half)) == from)
            out += fmt::format("{}{:0{}}{}", line[at], to, half,
                               std::stoi(number.substr(half)) == 0 ? number.substr(half)
                                                                   : fmt::format("{:0{}}", to, half));
        else
            out.append(line, at, end - at);
        at = end;
    }
    return out;
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
    const BlockPlace safety = model->place(*model->facts->safety_block);
    house.safety = line_without_number(document, safety);
    house.numbers = model->sequence->number >= 0;
    house.number_in_safety = house.numbers && number_of(document, safety) == model->sequence->number;
    house.station = model->sequence->tool;
    std::optional<BlockPlace> home;
    if (model->facts->return_move) {
        home = model->place(*model->facts->return_move);
    } else if (const auto way = way_home(document, *model)) {
        home = way->begin;
        house.end_x_mm = way->x_mm;
        house.end_z_mm = way->z_mm;
    }
    if (!home) return house;
    constexpr std::size_t longest_end = 8;
    const std::size_t last = document.line_of(model->last);
    std::size_t line = document.line_of(*home);
    bool stops = false, ended = false;
    for (std::size_t count = 0; line <= last && count < longest_end; ++line, ++count) {
        const BlockPlace place = document.place_of_line(line);
        const std::string text = line_without_number(document, place);
        if (text.find_first_not_of(" \t") == std::string::npos) break;
        // The program's own end belongs to its last sequence only.
        const auto block = block_at(document, place);
        ended =
            compact(text)[0] == '%' || (block && (block->reading.flow == machine::FlowKind::program_end ||
                                                  block->reading.flow == machine::FlowKind::program_return));
        if (ended) break;
        house.end.push_back(text);
        stops = stops || (block && (block->reading.code(Meaning::optional_stop) ||
                                    block->reading.code(Meaning::program_stop)));
    }
    // The program's end stood in the place of its stop.
    if (ended && !stops && !house.end.empty())
        house.end.push_back(codes::written_as(typing.settings().system, Meaning::optional_stop));
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
    const std::string safety = house_.safety.empty() ? safety_line(typing_) : snippet_text(house_.safety);
    const std::string number =
        house_.numbers
            ? fmt::format("N{} ", field(std::to_string(free_number(typing_.document, taken_, tool_.station))))
            : std::string{};
    if (house_.number_in_safety) {
        const bool has_note = house_.safety.find('(') != std::string::npos;
        line(number + safety + (has_note ? "" : ' ' + named));
    } else {
        line(number + named);
        line(safety);
    }
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

Template SequenceWriter::finish(TemplateName name, std::string detail) {
    if (is_limited_) line(fmt::format("{} S{}", code(Meaning::constant_rpm), field(rpm_)));
    line(code(Meaning::rapid) + ' ' + z(ground_.front_mm + clear_mm()));
    // A change position that the stock would stand in the way of is none for this tool.
    const bool goes_home =
        !house_.end.empty() &&
        (!house_.end_x_mm || (*house_.end_x_mm > ground_.outside_mm && *house_.end_z_mm > ground_.front_mm));
    if (!goes_home) {
        line(fmt::format("{} {} X0. Z0.", code(Meaning::rapid), code(Meaning::machine_datum)));
        for (const Meaning meaning : {Meaning::coolant_off, Meaning::spindle_stop, Meaning::optional_stop})
            line(code(meaning));
    }
    if (goes_home)
        for (const std::string& own : house_.end)
            line(snippet_text(with_station(own, house_.station, tool_.station, typing_.habits.tool_digits)));
    detail += ground_.known ? said(" (new sequence)") : said(" (new sequence, stock assumed)");
    Template made{std::move(name), std::move(detail), numbered(text_) + "$0", {}};
    made.plain = without_fields(made.snippet);
    return made;
}

std::string SequenceWriter::surface() const {
    const double metres = surface_m_per_min(typing_.document, typing_.place);
    return inch() ? fmt::format("{:.0f}", std::round(metres / 0.3048 / 10) * 10)
                  : fmt::format("{:.0f}", metres);
}

} // namespace turnwright::features

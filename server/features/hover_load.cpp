#include "features/hover_load.h"
#include "language/said.h"

#include "features/assumed.h"
#include "features/hover_parts.h"
#include "features/speech.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::features {

const stock::ProgramCourse* stock_course_at(const Document& document, BlockPlace place) {
    const auto& programs = document.results().stock().programs(); // in the order of the text
    const auto behind = std::partition_point(programs.begin(), programs.end(),
                                             [&](const auto& held) { return held.program->first <= place; });
    if (behind == programs.begin() || place > std::prev(behind)->program->last) return nullptr;
    return &*std::prev(behind);
}

namespace {

using stock::Stop;

std::string keys(const std::vector<std::string_view>& names) {
    std::string out;
    for (std::size_t i = 0; i < names.size(); ++i)
        out += fmt::format("{}{}", i == 0 ? "" : i + 1 == names.size() ? said(" and ") : ", ", names[i]);
    return out;
}

constexpr TableText no_stock_given = "no stock is given";

std::string why_no_stock(const stock::ProgramCourse* program) {
    if (!program) return said("what a subprogram meets depends on its calls");
    switch (program->stop) {
    case Stop::incomplete_stock:
        return said("[stock] of the shop file lacks {}", keys(program->missing));
    case Stop::bad_note:
        return said("the stock note cannot be read: ") + program->wrong;
    case Stop::several_programs:
        return said("the file holds several programs, and each needs its own stock note");
    case Stop::units_unknown:
        return said("the unit of the stock note is not known");
    default:
        return std::string(no_stock_given);
    }
}

/// Empty when the stock is followed through this block.
std::string why_not_followed(const Document& document, BlockPlace place) {
    const stock::ProgramCourse* program = stock_course_at(document, place);
    if (!program || !program->setup) return why_no_stock(program);
    for (const stock::SequenceCourse& sequence : program->sequences) {
        const bool stops = sequence.stop != Stop::none && sequence.stop != Stop::above;
        if (stops && place >= sequence.place(sequence.stopped_at)) {
            const std::size_t line = document.line_of(sequence.place(sequence.stopped_at)) + 1;
            if (sequence.stop == Stop::tool_unknown && sequence.station >= 0)
                return sequence.missing == std::vector<std::string_view>{said("station")}
                           ? said("T{:02} is not in the shop file", sequence.station)
                           : said("the shop file lacks {} of T{:02}", keys(sequence.missing),
                                  sequence.station);
            return said("the stock is not followed beyond line {}", line);
        }
        if (place >= sequence.first && place <= sequence.last)
            return sequence.in ? "" : said("the stock is not known here");
    }
    return said("the stock is not known here");
}

std::string short_number(double value) {
    return plain(value, value < 10 ? 1 : 0);
}

} // namespace

std::string material_given(const Document& document, BlockPlace place) {
    const stock::ProgramCourse* program = stock_course_at(document, place);
    if (program && program->setup) return program->setup->material;
    return document.shop().stock.material;
}

std::string why_no_material(const Document& document, BlockPlace place) {
    const std::string given = material_given(document, place);
    if (given.empty()) return said("the material is not given");
    if (stock::material(given)) return {};
    return said("no cutting force is known for \"{}\"", readable(given));
}

BlockLoad load_of(const Document& document, BlockPlace place, const machine::BlockView& view,
                  const motion::BlockPath& path) {
    BlockLoad out;
    const machine::Value& station = view.after.tool;
    const shop::Tool* tool =
        station.known() ? document.shop().tool(static_cast<int>(station.number)) : nullptr;
    if (tool && (tool->kind == shop::ToolKind::live || tool->kind == shop::ToolKind::knurl ||
                 tool->kind == shop::ToolKind::tap || tool->kind == shop::ToolKind::bar_puller))
        return out;
    const stock::BlockCut* cut = document.results().stock().cut_at(place);
    const std::string material = material_given(document, place);
    auto load =
        stock::estimate_block(view, path, cut, tool, material.empty() ? nullptr : stock::material(material));
    if (!load) return out;
    out.estimate = std::move(*load);
    if (cut) {
        out.known = out.estimate.depth_mm ? BlockLoad::Known::cuts : BlockLoad::Known::depth_varies;
        return out;
    }
    out.why = why_not_followed(document, place);
    out.known = out.why.empty() ? BlockLoad::Known::takes_nothing : BlockLoad::Known::depth_unknown;
    return out;
}

std::string power_words(const stock::Estimate& load, const shop::Machine& machine) {
    if (!load.power_kw) return {};
    std::string text = said("{} kW at the spindle", short_number(*load.power_kw));
    if (load.motor_kw && machine.max_power_kw)
        text +=
            said(", {} of the motor's {} kW", short_number(*load.motor_kw), plain(*machine.max_power_kw, 1));
    else if (load.motor_kw)
        text += said(", {} kW of the motor", short_number(*load.motor_kw));
    else if (machine.max_power_kw)
        text += said(" of {} kW", plain(*machine.max_power_kw, 1));
    return text;
}

std::string torque_words(const stock::Estimate& load, const shop::Machine& machine) {
    if (!load.torque_nm) return {};
    std::string text = fmt::format("{} Nm", short_number(*load.torque_nm));
    if (machine.max_torque_nm) text += said(" of {}", plain(*machine.max_torque_nm, 0));
    return text;
}

std::string removal_words(double cm3_per_min, bool inch) {
    constexpr double cm3_per_in3 = 2.54 * 2.54 * 2.54;
    return inch ? short_number(cm3_per_min / cm3_per_in3) + " in\u00b3/min"
                : short_number(cm3_per_min) + " cm\u00b3/min";
}

std::string height_words(double um, bool inch) {
    return inch ? fmt::format("{} \u00b5in", plain(um / 0.0254, 0)) : short_number(um) + " \u00b5m";
}

std::string depth_words(double mm, bool inch) {
    return inch ? plain(mm / motion::mm_per_inch, 3) + " in" : plain(mm, 2) + " mm";
}

namespace {

/// A groove: what the edge takes square to its way is the width of the cut, not the depth of the groove.
bool plunges(const Document& document, const BlockAt& block) {
    const machine::Value& station = block.after.tool;
    const shop::Tool* tool =
        station.known() ? document.shop().tool(static_cast<int>(station.number)) : nullptr;
    return tool && (tool->kind == shop::ToolKind::grooving || tool->kind == shop::ToolKind::parting) &&
           block.reading.moves_x && !block.reading.moves_z;
}

} // namespace

std::string no_load_text(const Document& document, BlockPlace place) {
    const stock::ProgramCourse* program = stock_course_at(document, place);
    if ((program && program->setup) || why_no_stock(program) != std::string_view(no_stock_given) ||
        !material_given(document, place).empty())
        return {};
    return said("No estimate of power: no stock is given; the material is not given.\n\n");
}

std::string load_text(const Document& document, const BlockAt& block) {
    // A contour block is cut by the cycles that name it.
    if (!block.reading.is_read || block.reading.in_contour ||
        block.reading.motion == machine::MotionKind::none)
        return {};
    const machine::BlockView view = block.view(document);
    const motion::BlockPath path = motion::path_of(view, document.analysis());
    const BlockLoad load = load_of(document, block.place, view, path);
    using Known = BlockLoad::Known;
    if (load.known == Known::not_a_cut) return {};
    if (load.known == Known::takes_nothing) return said("Takes nothing off the stock.\n\n");
    const bool inch = length_unit(block.after) == "in";
    const shop::Machine& machine = document.settings().machine;
    const stock::Estimate& estimate = load.estimate;
    std::string told;
    const auto add = [&](const std::string& text) { told += (told.empty() ? "" : ", ") + text; };
    if (estimate.depth_mm)
        add((plunges(document, block) ? said("width ") : said("depth ")) +
            depth_words(*estimate.depth_mm, inch));
    if (estimate.removal_cm3_per_min)
        add(said("removes ") + removal_words(*estimate.removal_cm3_per_min, inch));
    if (estimate.power_kw) add(power_words(estimate, machine));
    if (estimate.torque_nm) add(torque_words(estimate, machine));
    if (estimate.specific_force_n_per_mm2 && estimate.material)
        add(said("{} N/mm\u00b2 for {}", plain(*estimate.specific_force_n_per_mm2, 0),
                 in_markdown(translated(estimate.material->name))));
    if (estimate.roughness_um)
        add(said("surface {} from peak to valley, Ra about {}", height_words(*estimate.roughness_um, inch),
                 height_words(*estimate.roughness_um / 4, inch)));
    std::string missing =
        load.known == Known::depth_varies ? said("the depth changes along the way") : load.why;
    const auto lacks = [&](const std::string& text) {
        if (!text.empty()) missing += (missing.empty() ? "" : "; ") + text;
    };
    // Said once, at the first block of the program.
    const bool is_said = told.empty() && missing == std::string_view(no_stock_given) &&
                         material_given(document, block.place).empty();
    if (is_said) missing.clear();
    if (!estimate.material && !is_said) lacks(in_markdown(why_no_material(document, block.place)));
    if (!estimate.feed_mm_per_rev) lacks(said("the feed for one turn is not known"));
    if (!estimate.surface_m_per_min) lacks(said("the surface speed is not known"));
    if (!missing.empty()) missing = said("No estimate of power: ") + missing + ".\n\n";
    if (told.empty()) return missing;
    told +=
        assumed_words(block.after, {codes::Group::units, codes::Group::feed_mode, codes::Group::spindle_mode},
                      document.settings());
    return said("Estimate of this cut (new edge, right within a fifth or so): ") + told + ".\n\n" + missing;
}

} // namespace turnwright::features

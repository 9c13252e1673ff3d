#include "features/noted.h"

#include "checks/head_stock.h"
#include "checks/noted_insert.h"
#include "features/assumed.h"
#include "features/block_at.h"
#include "features/speech.h"
#include "language/said.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace turnwright::features {

using codes::Meaning;

std::optional<double> mm_per_unit_of(const Document& document) {
    std::optional<double> found;
    const machine::Analysis& analysis = document.analysis();
    for (std::size_t run = 0; run < analysis.size() && !found; ++run)
        analysis.visit(run, [&](const machine::BlockView& view) {
            if (found || view.reading.motion == machine::MotionKind::none) return;
            if (view.after.is(Meaning::millimetre)) found = 1.0;
            if (view.after.is(Meaning::inch)) found = motion::mm_per_inch;
        });
    return found;
}

checks::NotedTool noted_tool(const Document& document, int station, std::optional<double> mm_per_unit) {
    return checks::tool_by_note(tool_note(document, station), mm_per_unit, station);
}

std::optional<double> noted_insert_angle(const Document& document, int station) {
    return checks::insert_angle_by_note(tool_note(document, station), station);
}

namespace {

const machine::ProgramPart* first_worked(const Document& document) {
    const auto& programs = document.outline().programs;
    auto program = std::find_if(programs.begin(), programs.end(),
                                [](const machine::ProgramPart& of) { return !of.sequences.empty(); });
    if (program == programs.end()) program = programs.begin();
    return program == programs.end() ? nullptr : &*program;
}

} // namespace

std::optional<FlatsInNotes> noted_flats(const Document& document, std::optional<double> mm_per_unit) {
    const machine::ProgramPart* program = first_worked(document);
    if (!program) return std::nullopt;
    auto flats = checks::head_flats(document.analysis(), {}, *program, mm_per_unit);
    if (!flats) return std::nullopt;
    return FlatsInNotes{flats->first, readable(flats->second)};
}

StockInNotes noted_stock(const Document& document, std::optional<double> mm_per_unit) {
    const machine::ProgramPart* program = first_worked(document);
    if (!program) return {};
    checks::HeadStock head = checks::head_stock(document.analysis(), {}, *program, mm_per_unit);
    return {std::move(head.stock), readable(head.note)};
}

namespace {

constexpr std::size_t longest_stock_note = 56; ///< Of a line in a window of 80 columns

std::string_view kind_title(shop::ToolKind kind) {
    using shop::ToolKind;
    switch (kind) {
    case ToolKind::turning:
        return said("turning");
    case ToolKind::boring:
        return said("boring");
    case ToolKind::grooving:
        return said("grooving");
    case ToolKind::parting:
        return said("parting");
    case ToolKind::threading:
        return said("threading");
    case ToolKind::threading_inside:
        return said("threading inside");
    case ToolKind::drill:
        return said("drill");
    case ToolKind::centre_drill:
        return said("centre drill");
    case ToolKind::tap:
        return said("tap");
    case ToolKind::reamer:
        return said("reamer");
    case ToolKind::face_grooving:
        return said("face grooving");
    case ToolKind::knurl:
        return said("knurl");
    case ToolKind::bar_puller:
        return said("bar puller");
    case ToolKind::live:
        return said("live tool");
    case ToolKind::unknown:
        break;
    }
    return {};
}

std::string_view hand_title(shop::ToolHand hand) {
    switch (hand) {
    case shop::ToolHand::right:
        return said("right hand");
    case shop::ToolHand::left:
        return said("left hand");
    case shop::ToolHand::neutral:
        return said("neutral");
    case shop::ToolHand::unknown:
        break;
    }
    return {};
}

/// "0.8 mm", or in the unit that the program is written in.
std::string length_words(double mm, double mm_per_unit) {
    return fmt::format("{} {}", plain(mm / mm_per_unit), mm_per_unit > 1 ? "in" : "mm");
}

} // namespace

/// "turning, right hand, nose radius 0.8 mm, tip 3".
std::string tool_words(const shop::Tool& tool, double mm_per_unit) {
    std::vector<std::string> parts;
    const auto add = [&](std::string_view name, const std::optional<double>& value, std::string_view unit) {
        if (value) parts.push_back(fmt::format("{} {} {}", name, plain(*value), unit));
    };
    const bool inch = mm_per_unit > 1;
    const auto add_length = [&](std::string_view name, std::optional<double> mm, std::string_view unit) {
        if (mm) add(name, *mm / mm_per_unit, unit);
    };
    const std::string_view unit = inch ? "in" : "mm";
    if (!kind_title(tool.kind).empty()) parts.emplace_back(kind_title(tool.kind));
    if (!hand_title(tool.hand).empty()) parts.emplace_back(hand_title(tool.hand));
    add_length(said("nose radius"), tool.nose_radius_mm, unit);
    if (tool.tip_direction) parts.push_back(said("tip {}", *tool.tip_direction));
    add_length(said("width"), tool.width_mm, unit);
    add_length(said("diameter"), tool.diameter_mm, unit);
    add(said("point"), tool.point_angle_deg, said("degrees"));
    add(said("edge"), tool.approach_angle_deg, said("degrees to the axis"));
    add(said("back"), tool.back_angle_deg, said("degrees to the axis"));
    add_length(said("reach"), tool.length_mm, unit);
    add(said("at most"), tool.max_rpm, said("rpm"));
    add_length(said("at most"), tool.max_depth_mm,
               inch ? said("in deep on radius") : said("mm deep on radius"));
    add_length(said("at most"), tool.max_feed_mm_per_rev, inch ? said("in/rev") : said("mm/rev"));
    if (tool.upside_down && *tool.upside_down) parts.emplace_back(said("upside down: cuts with M04"));
    std::string text;
    for (const std::string& part : parts) text += (text.empty() ? "" : ", ") + part;
    return text;
}

namespace {

std::optional<AssumedHere> noted_stock_here(const Document& document, std::optional<double> unit) {
    const auto& courses = document.results().stock().programs();
    if (document.shop().stock.diameter_mm ||
        std::any_of(courses.begin(), courses.end(),
                    [](const auto& course) { return course.setup.has_value(); }))
        return std::nullopt;
    const StockInNotes noted = noted_stock(document, unit);
    if (noted.stock.is_empty()) return std::nullopt;
    std::string words;
    const double shown_in = unit.value_or(1);
    const auto add = [&](const std::string& word) { words += (words.empty() ? "" : ", ") + word; };
    if (noted.stock.diameter_mm) add(said("diameter {}", length_words(*noted.stock.diameter_mm, shown_in)));
    if (noted.stock.bore_mm) add(said("bore {}", length_words(*noted.stock.bore_mm, shown_in)));
    if (noted.stock.length_mm) add(said("length {}", length_words(*noted.stock.length_mm, shown_in)));
    if (!noted.stock.material.empty()) add(noted.stock.material);
    return AssumedHere{said("stock"), words, said("note {}", clipped(noted.note, longest_stock_note)), "",
                       true};
}

} // namespace

std::vector<AssumedHere> noted_here(const Document& document) {
    std::vector<AssumedHere> all;
    const std::optional<double> unit = mm_per_unit_of(document);
    if (auto stock = noted_stock_here(document, unit)) all.push_back(std::move(*stock));
    constexpr std::size_t most_tools = 12;
    std::set<int> stations;
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences) {
            const shop::Tool* told = document.shop().tool(sequence.tool);
            // One that the shop file only names is read from its note.
            if (sequence.tool < 0 || stations.size() == most_tools ||
                (told && !tool_words(*told, 1).empty()) || !stations.insert(sequence.tool).second)
                continue;
            const checks::NotedTool tool = noted_tool(document, sequence.tool, unit);
            if (std::string words = tool_words(tool.tool, unit.value_or(1)); !words.empty())
                all.push_back(
                    {fmt::format("T{:02}", sequence.tool), std::move(words), said("its note"), "", true});
        }
    return all;
}

} // namespace turnwright::features

// The setup sheet as plain lines for a screen.
#include "features/speech.h"
#include "language/said.h"
#include "report/inspection.h"
#include "report/markup.h"
#include "report/sheet.h"

#include <fmt/format.h>

namespace turnwright::report {

namespace {

std::string text_list(std::string_view heading, const std::vector<SheetRow>& rows) {
    std::string out = fmt::format("\n{}\n", heading);
    for (const SheetRow& row : rows) out += wrapped(row.name + ": " + row.value, 2);
    return out;
}

/// What is known of a row, with semicolons between.
std::string joined_parts(std::initializer_list<std::pair<std::string_view, std::string>> parts) {
    std::string out;
    for (const auto& [name, value] : parts) {
        if (value.empty()) continue;
        if (!out.empty()) out += "; ";
        out += name.empty() ? value : fmt::format("{} {}", name, value);
    }
    return out;
}

std::string tools_text(const Sheet& sheet) {
    std::string out = said("\nTools by station\n");
    for (const SheetTool& tool : sheet.tools) {
        out += wrapped(tool.station + " " + (tool.note.empty() ? said("not named") : tool.note), 2);
        out += wrapped(joined_parts({{said("called"), tool.called},
                                     {said("offset"), tool.offset},
                                     {"", tool.tip},
                                     {"", tool.speeds},
                                     {said("feeds"), tool.feeds},
                                     {"in", tool.sequences},
                                     {said("cut"), cut_cell(tool.totals)},
                                     {said("rapid"), rapid_cell(tool.totals)}}),
                       6);
    }
    return out;
}

std::string inspection_text(const Inspection& inspection) {
    std::string out = fmt::format("\n{}\n", inspection_heading);
    if (inspection.rows.empty()) return out + wrapped(said("not known: ") + inspection.why_not, 2);
    for (std::size_t i = 0; i < inspection.rows.size(); ++i) {
        const Inspected& row = inspection.rows[i];
        out += wrapped(fmt::format("{}. {} {}", i + 1, name_text(row),
                                   joined_parts({{"", size_text(row, inspection.unit)},
                                                 {"", place_text(row, inspection.unit)},
                                                 {"", row.tool},
                                                 {said("offset"), row.offset},
                                                 {said("line"), line_text(row)}})),
                       2);
    }
    for (const std::string& remark : inspection.remarks) out += wrapped(remark, 2);
    return out;
}

std::string loads_text(const Sheet& sheet) {
    const std::vector<std::string> lines = load_lines(sheet);
    if (!sheet.has_loads && lines.empty()) return {};
    std::string out = fmt::format("\n{}\n", loads_heading);
    for (const SheetSequence& row : sheet.sequences)
        if (has_load(row))
            out += wrapped(fmt::format("{} {}: {}", row.name, row.note,
                                       joined_parts({{said("deepest cut"), row.depth},
                                                     {said("most power at the spindle"), row.power},
                                                     {said("surface"), row.surface},
                                                     {said("feed in air"), row.air}})),
                           2);
    for (const std::string& line : lines) out += wrapped(line, 2);
    return out;
}

std::string restart_text(const Sheet& sheet) {
    std::string out = said("\nSequences and restart\n");
    for (const SheetSequence& row : sheet.sequences) {
        if (!row.in_table) continue;
        out += wrapped(row.name + " " + row.note, 2);
        out += wrapped(joined_parts({{said("line"), std::to_string(row.line)},
                                     {said("time"), total_cell(row.totals)},
                                     {said("sets all it reads:"), std::string(safe_text(row))},
                                     {said("codes before the first move:"), row.at_entry},
                                     {said("taken over:"), row.inherited},
                                     {said("left on:"), row.left}}),
                       6);
    }
    return out;
}

} // namespace

std::string sheet_text(const features::Document& document, std::string_view date) {
    auto [sheet, picture] = make_sheet_and_picture(document);
    const DrawnStock stock = drawn_stock(document, picture);
    assume_tips(document, sheet, stock);
    std::string out = std::string(sheet_text_title) + sheet.title;
    if (!sheet.note.empty()) out += " (" + sheet.note + ")";
    out += "\n";
    if (!date.empty()) out += said("Printed {}.\n", date);
    out += text_list(said("Program"), sheet.program) +
           text_list(said("Stock"), stock_rows(document, sheet, stock));
    out += fmt::format("\n{}\n", warnings_heading(sheet));
    for (std::size_t i = 0; i < std::min(warnings_on_sheet, sheet.warnings.size()); ++i)
        out += wrapped(warning_words(sheet.warnings[i]), 2);
    if (const std::string rest = rest_of_warnings(sheet); !rest.empty()) out += wrapped(rest, 2);
    out += tools_text(sheet) + inspection_text(inspect(document, picture, stock));
    out += text_list(said("Time for one part, reckoned"), sheet.times);
    if (!sheet.edges.empty()) out += text_list(said("Edges, for one part"), sheet.edges);
    if (!sheet.bar.empty()) out += text_list("Bar", sheet.bar);
    if (!sheet.assumed.empty()) out += text_list(said("Assumed here"), sheet.assumed);
    out += loads_text(sheet) + restart_text(sheet) + said("\nCautions\n");
    // Whole, so that the sheet is known by them.
    for (const std::string_view line : sheet_cautions) out += fmt::format("  {}\n", line);
    return out;
}

} // namespace turnwright::report

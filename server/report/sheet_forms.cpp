// The setup sheet as a page that prints and as Markdown.
#include "checks/named_tool.h"
#include "features/hints.h"
#include "features/speech.h"
#include "language/said.h"
#include "report/inspection.h"
#include "report/library.h"
#include "report/markup.h"
#include "report/sheet.h"
#include "report/tell.h"

#include <cctype>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

// A browser that draws nothing into the margins of a page repeats what is fixed on each; it numbers pages by
// itself.
constexpr std::string_view sheet_style = R"(
@page{margin:12mm 12mm 15mm}
*{box-sizing:border-box}body{font:10.5pt/1.35 system-ui,"Segoe UI",Arial,sans-serif;color:#111;margin:0;background:#eee}
main{max-width:206mm;margin:8mm auto;background:#fff;padding:8mm 9mm;overflow-x:auto}
h1{font-size:17pt;margin:0}h1 small{font-size:11pt;font-weight:400}
h2{font-size:10.5pt;margin:5mm 0 1.5mm;border-bottom:.4mm solid #111;break-after:avoid}
table{border-collapse:collapse;width:100%;font-size:9pt}
th,td{border:.2mm solid #777;padding:.7mm 1.3mm;text-align:left;vertical-align:top}
html:not([lang=en]) table{font-size:8pt}html:not([lang=en]) :is(th,td){padding:.6mm .9mm}
th{background:#eee;font-weight:600}tr,li{break-inside:avoid}thead{display:table-header-group}
td.number,th.number{text-align:right;white-space:nowrap}td.short{white-space:nowrap}
.unknown{font-style:italic;color:#444}.no{font-weight:700}
.pairs{display:grid;grid-template-columns:1fr 1fr;gap:0 8mm}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.4mm 3mm;margin:0;font-size:9.5pt;align-content:start}
dt{color:#444}dd{margin:0}
.keep{break-inside:avoid}.under{margin:1mm 0 0;font-size:8.5pt;color:#333}
ul{margin:0;padding-left:4.5mm;font-size:9pt}.cautions{border:.4mm solid #111;padding:2mm 3mm 2mm 6.5mm;break-inside:avoid}
.sign{display:grid;grid-template-columns:repeat(3,1fr);gap:3mm 6mm;margin-top:9mm;break-inside:avoid;font-size:9pt}
.sign div{border-top:.3mm solid #111;padding-top:.8mm}
td.blank{min-width:13mm}td.wide{min-width:26mm}.box{display:inline-block;width:3.4mm;height:3.4mm;border:.3mm solid #111}
.sketch{display:block;width:100%;max-height:88mm;margin:3mm 0 0;break-inside:avoid}
.sketch path{fill:none;stroke:#111;stroke-width:.25}.sketch .raw{stroke-dasharray:1.2 .8;stroke-width:.2}
.sketch .part{fill:#e3e3e3;fill-rule:evenodd;stroke-width:.35}.sketch .held{fill:#bbb}
.sketch .centre{stroke-dasharray:4 .8 .8 .8;stroke-width:.15}.sketch .leader{stroke-width:.13;stroke:#555}
.sketch circle{fill:#fff;stroke:#111;stroke-width:.25}.sketch .zero{fill:none}.sketch text{font-size:2.7px;text-anchor:middle}
@media print{body{background:#fff}main{margin:0;padding:0 .3mm;max-width:none;overflow:visible}th{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
.foot{display:none}
@supports(-moz-appearance:none){@page{margin-bottom:9mm}@media print{.foot{display:block;position:fixed;bottom:0;left:0;font-size:8pt}
main{box-decoration-break:clone;padding-bottom:6mm}}}
)";

} // namespace

const TableText blank_lines[6] = {
    "Bar length",       "Parts a bar", "Quantity", "Set up by, date", "First part checked by, date",
    "Released by, date"};

namespace {

std::string cell(std::string_view text, std::string_view css = {}) {
    return css.empty() ? fmt::format("<td>{}</td>", markup_escaped(text))
                       : fmt::format("<td class=\"{}\">{}</td>", css, markup_escaped(text));
}

std::string pairs(std::string_view heading, const std::vector<SheetRow>& rows) {
    std::string out = fmt::format("<div><h2>{}</h2>\n<dl>\n", heading);
    for (const SheetRow& row : rows)
        out += fmt::format("<dt>{}</dt><dd{}>{}</dd>\n", markup_escaped(row.name),
                           row.unknown ? " class=\"unknown\"" : "", markup_escaped(row.value));
    return out + "</dl></div>\n";
}

std::string tools_html(const Sheet& sheet) {
    std::string out =
        said("<h2>Tools by station</h2>\n<table>\n<thead><tr><th>Station</th><th>Tool</th><th>Called"
             "</th><th>Offset</th><th>Set X</th><th>Set Z</th><th>Tip data</th><th>Speeds in "
             "cut</th><th>Feeds</th><th>In</th>"
             "<th class=\"number\">Cut</th><th class=\"number\">Rapid</th></tr></thead>\n<tbody>\n");
    for (const SheetTool& tool : sheet.tools)
        out += "<tr>" + cell(tool.station, "short") +
               (tool.note.empty() ? cell(said("not named"), "unknown") : cell(tool.note)) +
               cell(tool.called, "short") + cell(tool.offset) + cell("", "blank") + cell("", "blank") +
               cell(tool.tip, tool.tip_unknown ? "unknown" : "") + cell(tool.speeds) + cell(tool.feeds) +
               cell(tool.sequences) + cell(cut_cell(tool.totals), "number") +
               cell(rapid_cell(tool.totals), "number") + "</tr>\n";
    return out + "</tbody></table>\n";
}

} // namespace

std::string total_cell(const motion::Totals& totals) {
    if (totals.seconds() <= 0 && totals.blocks_without_time == 0) return "\xE2\x80\x93";
    if (totals.seconds() <= 0 && totals.blocks_without_time > 0) return said("not known");
    return (totals.blocks_without_time > 0 ? "\xE2\x89\xA5 " : "") + std::string(totals.about ? "~ " : "") +
           features::time_text(totals.seconds());
}

std::string_view safe_text(const SheetSequence& row) {
    return row.safe ? said("yes") : row.safe_behind_head ? said("with the head") : "NO";
}

namespace {

std::string sequences_html(const Sheet& sheet) {
    std::string out =
        said("<h2>Sequences and restart</h2>\n<table>\n<thead><tr><th>Sequence</th><th>Work</th>"
             "<th class=\"number\">Line</th><th class=\"number\">Time</th><th>Sets all it reads</th>"
             "<th>Codes before the first move</th><th>Taken over</th><th>Left on</th></tr></thead>\n"
             "<tbody>\n");
    for (const SheetSequence& row : sheet.sequences) {
        if (!row.in_table) continue;
        out += "<tr>" + cell(row.name) + cell(row.note) + cell(std::to_string(row.line), "number") +
               cell(total_cell(row.totals), "number") +
               cell(safe_text(row), row.safe || row.safe_behind_head ? "" : "no") + cell(row.at_entry) +
               cell(row.inherited, row.safe ? "" : "no") + cell(row.left) + "</tr>\n";
    }
    return out + "</tbody></table>\n";
}

std::string inspection_html(const Inspection& inspection) {
    std::string out = fmt::format("<h2>{}</h2>\n", inspection_heading);
    if (inspection.rows.empty())
        return out + said("<p class=\"unknown\">not known: {}</p>\n", markup_escaped(inspection.why_not));
    out += said(
        "<table>\n<thead><tr><th class=\"number\">No.</th><th>Feature</th><th>Size</th><th>At</th><th>Tool"
        "</th><th>Offset</th><th class=\"number\">Line</th><th>Measured</th><th>In order</th></tr></thead>"
        "\n<tbody>\n");
    for (std::size_t i = 0; i < inspection.rows.size(); ++i) {
        const Inspected& row = inspection.rows[i];
        out += "<tr>" + cell(std::to_string(i + 1), "number") + cell(name_text(row)) +
               cell(size_text(row, inspection.unit)) + cell(place_text(row, inspection.unit), "short") +
               cell(row.tool) + cell(row.offset) + cell(line_text(row), "number") + cell("", "wide") +
               "<td><span class=\"box\"></span></td></tr>\n";
    }
    out += "</tbody></table>\n";
    for (const std::string& remark : inspection.remarks)
        out += fmt::format("<p class=\"under\">{}</p>\n", markup_escaped(remark));
    return out;
}

constexpr TableText surface_words =
    "New edges; right within a fifth or so. Surface by f\u00b2/(8 r), from peak to valley; Ra is about a "
    "quarter of it.";

} // namespace

bool has_load(const SheetSequence& row) {
    return !row.depth.empty() || !row.power.empty() || !row.surface.empty() || !row.air.empty();
}

namespace {

std::string or_dash(const std::string& text) {
    return text.empty() ? "\xE2\x80\x93" : text;
}

} // namespace

/// What stands under the table: where the numbers come from, and what is missing.
std::vector<std::string> load_lines(const Sheet& sheet) {
    std::vector<std::string> lines;
    if (sheet.has_loads) {
        std::string from(surface_words);
        if (!sheet.load_source.empty()) from += said(" Cutting force of ") + sheet.load_source + ".";
        lines.push_back(std::move(from));
    }
    for (const std::string& gap : sheet.load_gaps) lines.push_back(said("Not known, ") + gap + ".");
    lines.insert(lines.end(), sheet.clearances.begin(), sheet.clearances.end());
    return lines;
}

namespace {

std::string loads_html(const Sheet& sheet) {
    const std::vector<std::string> lines = load_lines(sheet);
    if (!sheet.has_loads && lines.empty()) return {};
    std::string out = fmt::format("<div class=\"keep\"><h2>{}</h2>\n", loads_heading);
    if (sheet.has_loads) {
        out += said(
            "<table>\n<thead><tr><th>Sequence</th><th>Work</th><th class=\"number\">Deepest cut</th>"
            "<th>Most power at the spindle</th><th class=\"number\">Surface</th><th class=\"number\">Feed "
            "in air</th></tr>"
            "</thead>\n<tbody>\n");
        for (const SheetSequence& row : sheet.sequences)
            if (has_load(row))
                out += "<tr>" + cell(row.name) + cell(row.note) + cell(or_dash(row.depth), "number") +
                       cell(or_dash(row.power), row.power_over_limit ? "no" : "") +
                       cell(or_dash(row.surface), "number") + cell(or_dash(row.air), "number") + "</tr>\n";
        out += "</tbody></table>\n";
    }
    out += "<p class=\"under\">";
    for (const std::string& line : lines) out += markup_escaped(line) + "<br>\n";
    return out + "</p></div>\n";
}

} // namespace

std::string warning_words(const SheetWarning& warning) {
    return said("line {}, {}: {} [{}]", warning.line, translated(severity_name(warning.severity)),
                warning.message, warning.id);
}

std::string warnings_heading(const Sheet& sheet) {
    if (sheet.warnings.empty()) return said("Open warnings: none found");
    return said("Open warnings: {}", sheet.warnings.size());
}

std::string rest_of_warnings(const Sheet& sheet) {
    if (sheet.warnings.size() <= warnings_on_sheet) return {};
    return said("and {} more: turnwright check prints them all", sheet.warnings.size() - warnings_on_sheet);
}

namespace {

/// How many of the warnings, which stand in the order of their weight, page 1 has room for under head and
/// sketch, on either paper.
std::size_t warnings_on_first_page(const Sheet& sheet) {
    constexpr std::size_t lines_left = 15, letters_of_line = 105;
    const std::size_t most = std::min(warnings_on_sheet, sheet.warnings.size());
    std::size_t lines = 0;
    for (std::size_t i = 0; i < most; ++i) {
        lines += warning_words(sheet.warnings[i]).size() / letters_of_line + 1;
        if (lines > lines_left) return std::max<std::size_t>(i, 1);
    }
    return most;
}

std::string warning_items(const Sheet& sheet, std::size_t first, std::size_t end) {
    std::string out;
    for (std::size_t i = first; i < end; ++i)
        out += fmt::format("<li>{}</li>\n", markup_escaped(warning_words(sheet.warnings[i])));
    const std::string rest = rest_of_warnings(sheet);
    if (end == std::min(warnings_on_sheet, sheet.warnings.size()) && !rest.empty())
        out += fmt::format("<li>{}</li>\n", rest);
    return out;
}

/// The gravest, and how many more stand where.
std::string warnings_html(const Sheet& sheet) {
    std::string out = fmt::format("<h2>{}</h2>\n", warnings_heading(sheet));
    if (sheet.warnings.empty()) return out;
    const std::size_t here = warnings_on_first_page(sheet), all = sheet.warnings.size();
    out += "<ul>\n" + warning_items(sheet, 0, here);
    if (here < std::min(warnings_on_sheet, all))
        out += said(
            "<li><b>and {} more, none graver: under \"More open warnings\", behind the cautions</b></li>\n",
            all - here);
    return out + "</ul>\n";
}
std::string more_warnings_html(const Sheet& sheet) {
    const std::size_t here = warnings_on_first_page(sheet);
    const std::size_t all = std::min(warnings_on_sheet, sheet.warnings.size());
    if (here == all) return {};
    return said("<h2>More open warnings</h2>\n") + "<ul>\n" + warning_items(sheet, here, all) + "</ul>\n";
}

/// Sheets of a job lie on one bench: what each page says it belongs to.
std::string foot_words(const Sheet& sheet, std::string_view date) {
    std::string name = sheet.title + "  " + fingerprint(sheet.likeness);
    if (!date.empty()) name += said("  printed {}", date);
    return name;
}

std::string running_foot(std::string name) {
    for (char& c : name) // Text of a program inside a style
        if (!std::isalnum(static_cast<unsigned char>(c)) && c != '-' && c != ' ') c = ' ';
    return said("@page{{@bottom-left{{content:\"{}\";font-size:8pt}}"
                "@bottom-right{{content:\"page \" counter(page) \" of \" counter(pages);font-size:8pt}}}}\n",
                name);
}

} // namespace

void assume_tips(const features::Document& document, Sheet& sheet, const DrawnStock& drawn) {
    for (const features::AssumedHere& here : setup_here(document, drawn)) {
        SheetRow row{here.name, here.value + (here.reason.empty() ? "" : fmt::format(" ({})", here.reason)),
                     false};
        const auto held = std::find_if(sheet.assumed.begin(), sheet.assumed.end(),
                                       [&](const SheetRow& one) { return one.name == here.name; });
        if (held != sheet.assumed.end())
            *held = std::move(row);
        else
            sheet.assumed.push_back(std::move(row));
    }
    for (SheetTool& tool : sheet.tools) {
        // A stop cuts nothing, and what a note says of inside no move toward the outside takes back.
        if (checks::tool_named(tool.note).kind == checks::NamedTool::Kind::stop) {
            if (tool.tip_unknown && tool.station.front() == 'T') {
                tool.tip = said("bar stop") + said(" (assumed: by its note)");
                tool.tip_unknown = false;
            }
            continue;
        }
        if (tool.note.find("INSIDE") != std::string::npos) continue;
        for (const std::string& told : drawn.assumed) {
            // As assumed_setup.cpp names them.
            const std::string_view name = tool.station == translated("none called")
                                              ? translated("the tool that no T calls:")
                                              : std::string_view(tool.station);
            if (!told.starts_with(name) || told.substr(name.size(), 1) != " ") continue;
            const std::string what = told.substr(name.size() + 1);
            // The kind alone: sizes that the drawing takes are of no use at the machine.
            const std::string kind = what.substr(
                0, std::min({what.find(','), what.find(" ("), what.find(" of "), what.find(" as ")}));
            const std::string noted = tool.tip.substr(0, std::min(tool.tip.find(','), tool.tip.find(" (")));
            const bool told_by_side = noted == translated("turning") || noted == translated("boring") ||
                                      noted == translated("threading") ||
                                      noted == translated("threading inside");
            if (tool.tip_unknown &&
                told.ends_with(fmt::format(" ({})", translated("by its moves, on the centre alone"))))
                tool.tip = kind + said(" (assumed: by its moves, on the centre alone)");
            else if (tool.tip_unknown)
                tool.tip = kind + said(" (assumed: by its moves)");
            else if (told_by_side && noted != kind &&
                     tool.tip.ends_with(translated(" (assumed: by its note)")))
                tool.tip = kind + tool.tip.substr(noted.size(), tool.tip.size() - noted.size() - 1) +
                           said(" and its moves)");
            tool.tip_unknown = false;
        }
    }
}

/// What the program itself shows of the stock stands for what nobody told.
std::vector<SheetRow> stock_rows(const features::Document& document, const Sheet& sheet,
                                 const DrawnStock& drawn) {
    std::vector<SheetRow> rows = sheet.stock;
    if (drawn.assumed_stock.empty() || document.shop().stock.diameter_mm) return rows;
    std::erase_if(rows, [](const SheetRow& row) {
        return row.name == translated("Diameter") ||
               (row.unknown && row.name == translated("Front face at Z"));
    });
    rows.insert(rows.begin(), {said("As the program shows"), said("assumed:") + drawn.assumed_stock, false});
    return rows;
}

std::string sheet_page(const features::Document& document, std::string_view date) {
    auto [sheet, picture] = make_sheet_and_picture(document);
    const DrawnStock stock = drawn_stock(document, picture);
    assume_tips(document, sheet, stock);
    const Inspection inspection = inspect(document, picture, stock);
    std::string out =
        fmt::format("<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n"
                    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                    "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
                    "<meta name=\"generator\" content=\"Turnwright\">\n"
                    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                    "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n<div class=\"foot\" "
                    "aria-hidden=\"true\">{}</div>\n<main>\n",
                    language::chosen(), said("Setup sheet {}", markup_escaped(sheet.title)),
                    std::string(sheet_style) + running_foot(foot_words(sheet, date)),
                    markup_escaped(foot_words(sheet, date)));
    out += said("<h1>Setup sheet {} <small>{}</small></h1>\n", markup_escaped(sheet.title),
                markup_escaped(sheet.note));
    out += "<div class=\"pairs\">\n" + pairs(said("Program"), sheet.program) +
           pairs(said("Stock"), stock_rows(document, sheet, stock)) + "</div>\n" +
           sheet_sketch(parts_of(document, stock), picture, inspection) + warnings_html(sheet);
    out += tools_html(sheet) + inspection_html(inspection);
    out += "<div class=\"pairs\">\n" + pairs(said("Time for one part, reckoned"), sheet.times) +
           said("<div><h2>Cautions</h2><ul class=\"cautions\">\n");
    for (const std::string_view line : sheet_cautions)
        out += fmt::format("<li>{}</li>\n", markup_escaped(line));
    out += "</ul></div>\n</div>\n" + more_warnings_html(sheet);
    if (!sheet.edges.empty()) out += pairs(said("Edges, for one part"), sheet.edges);
    if (!sheet.bar.empty()) out += pairs("Bar", sheet.bar);
    if (!sheet.assumed.empty()) out += pairs(said("Assumed here"), sheet.assumed);
    out += loads_html(sheet);
    out += sequences_html(sheet);
    out += "<div class=\"sign\">\n";
    for (const std::string_view line : blank_lines) out += fmt::format("<div>{}</div>\n", line);
    return out + "</div>\n</main>\n</body>\n</html>\n";
}

namespace {

std::string markdown_row(std::initializer_list<std::string_view> cells) {
    std::string out = "|";
    for (const std::string_view text : cells) out += " " + markdown_cell(text) + " |";
    return out + "\n";
}

std::string markdown_list(std::string_view heading, const std::vector<SheetRow>& rows) {
    std::string out = fmt::format("\n## {}\n\n", heading);
    for (const SheetRow& row : rows)
        out += row.unknown ? fmt::format("- {}: *{}*\n", row.name, markdown_cell(row.value))
                           : fmt::format("- {}: {}\n", row.name, markdown_cell(row.value));
    return out;
}

} // namespace

namespace {

std::string inspection_markdown(const Inspection& inspection) {
    std::string out = fmt::format("\n## {}\n\n", inspection_heading);
    if (inspection.rows.empty()) return out + said("*not known: {}*\n", markdown_cell(inspection.why_not));
    out += markdown_row({said("No."), said("Feature"), said("Size"), said("At"), said("Tool"), said("Offset"),
                         said("Line"), said("Measured"), said("In order")});
    out += "|---:|---|---|---|---|---|---:|---|---|\n";
    for (std::size_t i = 0; i < inspection.rows.size(); ++i) {
        const Inspected& row = inspection.rows[i];
        out += markdown_row({std::to_string(i + 1), name_text(row), size_text(row, inspection.unit),
                             place_text(row, inspection.unit), row.tool, row.offset, line_text(row), "", ""});
    }
    out += "\n";
    for (const std::string& remark : inspection.remarks) out += "- " + markdown_cell(remark) + "\n";
    return out;
}

std::string loads_markdown(const Sheet& sheet) {
    const std::vector<std::string> lines = load_lines(sheet);
    if (!sheet.has_loads && lines.empty()) return {};
    std::string out = fmt::format("\n## {}\n\n", loads_heading);
    if (sheet.has_loads) {
        out += markdown_row({said("Sequence"), said("Work"), said("Deepest cut"),
                             said("Most power at the spindle"), said("Surface"), said("Feed in air")});
        out += "|---|---|---:|---|---:|---:|\n";
        for (const SheetSequence& row : sheet.sequences)
            if (has_load(row))
                out += markdown_row({row.name, row.note, or_dash(row.depth), or_dash(row.power),
                                     or_dash(row.surface), or_dash(row.air)});
        out += "\n";
    }
    for (const std::string& line : lines) out += "- " + markdown_cell(line) + "\n";
    return out;
}

} // namespace

std::string sheet_markdown(const features::Document& document, std::string_view date) {
    auto [sheet, picture] = make_sheet_and_picture(document);
    const DrawnStock stock = drawn_stock(document, picture);
    assume_tips(document, sheet, stock);
    std::string out = said("# Setup sheet {}\n", markdown_cell(sheet.title));
    if (!sheet.note.empty()) out += "\n" + markdown_cell(sheet.note) + "\n";
    if (!date.empty()) out += said("\nPrinted {}.\n", date);
    out += markdown_list(said("Program"), sheet.program) +
           markdown_list(said("Stock"), stock_rows(document, sheet, stock));
    out += fmt::format("\n## {}\n\n", warnings_heading(sheet));
    for (std::size_t i = 0; i < std::min(warnings_on_sheet, sheet.warnings.size()); ++i)
        out += "- " + markdown_cell(warning_words(sheet.warnings[i])) + "\n";
    if (const std::string rest = rest_of_warnings(sheet); !rest.empty()) out += "- " + rest + "\n";
    out += said("\n## Tools by station\n\n");
    out += markdown_row({said("Station"), said("Tool"), said("Called"), said("Offset"), said("Set X"),
                         said("Set Z"), said("Tip data"), said("Speeds in cut"), said("Feeds"), said("In"),
                         said("Cut"), said("Rapid")});
    out += "|---|---|---|---|---|---|---|---|---|---|---:|---:|\n";
    for (const SheetTool& tool : sheet.tools)
        out += markdown_row({tool.station, tool.note.empty() ? said("not named") : tool.note, tool.called,
                             tool.offset, "", "", tool.tip, tool.speeds, tool.feeds, tool.sequences,
                             cut_cell(tool.totals), rapid_cell(tool.totals)});
    out += inspection_markdown(inspect(document, picture, stock));
    out += markdown_list(said("Time for one part, reckoned"), sheet.times);
    if (!sheet.edges.empty()) out += markdown_list(said("Edges, for one part"), sheet.edges);
    if (!sheet.bar.empty()) out += markdown_list("Bar", sheet.bar);
    if (!sheet.assumed.empty()) out += markdown_list(said("Assumed here"), sheet.assumed);
    out += loads_markdown(sheet);
    out += said("\n## Sequences and restart\n\n");
    out +=
        markdown_row({said("Sequence"), said("Work"), said("Line"), said("Time"), said("Sets all it reads"),
                      said("Codes before the first move"), said("Taken over"), said("Left on")});
    out += "|---|---|---:|---:|---|---|---|---|\n";
    for (const SheetSequence& row : sheet.sequences)
        if (row.in_table)
            out += markdown_row({row.name, row.note, std::to_string(row.line), total_cell(row.totals),
                                 safe_text(row), row.at_entry, row.inherited, row.left});
    out += said("\n## Cautions\n\n");
    for (const std::string_view line : sheet_cautions) out += fmt::format("- {}\n", line);
    out += said("\n## To fill in\n\n");
    for (const std::string_view line : blank_lines)
        out += fmt::format("- {}: ______________________\n", line);
    return out;
}

bool is_report(std::string_view text) {
    return text.find("<meta name=\"generator\" content=\"Turnwright\">") != text.npos ||
           text.find("data-generator=\"Turnwright\"") != text.npos ||
           ((begins_as_said(text, "# Setup sheet {}\n") ||
             begins_as_said(text, sheet_text_title.english())) &&
            holds_as_said(text, sheet_cautions[0].english())) ||
           is_library_index(text) || is_telling(text);
}

} // namespace turnwright::report

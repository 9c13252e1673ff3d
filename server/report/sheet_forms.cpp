// The setup sheet as a page that prints and as Markdown.
#include "features/hints.h"
#include "features/speech.h"
#include "report/library.h"
#include "report/markup.h"
#include "report/sheet.h"
#include "report/tell.h"

#include <fmt/format.h>

namespace turnwright::report {

namespace {

constexpr std::string_view sheet_style = R"(
@page{size:A4;margin:12mm}
*{box-sizing:border-box}body{font:10.5pt/1.35 system-ui,"Segoe UI",Arial,sans-serif;color:#111;margin:0;background:#eee}
main{max-width:190mm;margin:8mm auto;background:#fff;padding:8mm 9mm}
h1{font-size:17pt;margin:0}h1 small{font-size:11pt;font-weight:400}
h2{font-size:10.5pt;margin:5mm 0 1.5mm;border-bottom:.4mm solid #111;break-after:avoid}
table{border-collapse:collapse;width:100%;font-size:9pt}
th,td{border:.2mm solid #777;padding:.7mm 1.3mm;text-align:left;vertical-align:top}
th{background:#eee;font-weight:600}tr{break-inside:avoid}thead{display:table-header-group}
td.number,th.number{text-align:right;white-space:nowrap}td.short{white-space:nowrap}
.unknown{font-style:italic;color:#444}.no{font-weight:700}
.pairs{display:grid;grid-template-columns:1fr 1fr;gap:0 8mm}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.4mm 3mm;margin:0;font-size:9.5pt;align-content:start}
dt{color:#444}dd{margin:0}
.keep{break-inside:avoid}.under{margin:1mm 0 0;font-size:8.5pt;color:#333}
ul{margin:0;padding-left:4.5mm;font-size:9pt}.cautions{border:.4mm solid #111;padding:2mm 3mm 2mm 6.5mm}
.sign{display:grid;grid-template-columns:repeat(3,1fr);gap:3mm 6mm;margin-top:9mm;break-inside:avoid;font-size:9pt}
.sign div{border-top:.3mm solid #111;padding-top:.8mm}
@media print{body{background:#fff}main{margin:0;padding:0;max-width:none}th{-webkit-print-color-adjust:exact;print-color-adjust:exact}}
)";

constexpr std::string_view sign_lines[] = {"Set up by, date", "First part checked by, date",
                                           "Released by, date"};

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
    std::string out = "<h2>Tools by station</h2>\n<table>\n<thead><tr><th>Station</th><th>Tool</th><th>Called"
                      "</th><th>Offset</th><th>Tip data</th><th>Speeds in cut</th><th>Feeds</th><th>In</th>"
                      "<th class=\"number\">Cut</th><th class=\"number\">Rapid</th></tr></thead>\n<tbody>\n";
    for (const SheetTool& tool : sheet.tools)
        out += "<tr>" + cell(tool.station, "short") +
               (tool.note.empty() ? cell("not named", "unknown") : cell(tool.note)) +
               cell(tool.called, "short") + cell(tool.offset) +
               cell(tool.tip, tool.tip_unknown ? "unknown" : "") + cell(tool.speeds) + cell(tool.feeds) +
               cell(tool.sequences) + cell(cut_cell(tool.totals), "number") +
               cell(rapid_cell(tool.totals), "number") + "</tr>\n";
    return out + "</tbody></table>\n";
}

std::string total_cell(const motion::Totals& totals) {
    if (totals.seconds() <= 0 && totals.blocks_without_time == 0) return "\xE2\x80\x93";
    if (totals.seconds() <= 0 && totals.blocks_without_time > 0) return "not known";
    return (totals.blocks_without_time > 0 ? "\xE2\x89\xA5 " : "") + std::string(totals.about ? "~ " : "") +
           features::time_text(totals.seconds());
}

std::string sequences_html(const Sheet& sheet) {
    std::string out = "<h2>Sequences and restart</h2>\n<table>\n<thead><tr><th>Sequence</th><th>Work</th>"
                      "<th class=\"number\">Line</th><th class=\"number\">Time</th><th>Sets all it reads</th>"
                      "<th>Codes before the first move</th><th>Taken over</th><th>Left on</th></tr></thead>\n"
                      "<tbody>\n";
    for (const SheetSequence& row : sheet.sequences) {
        if (!row.in_table) continue;
        out += "<tr>" + cell(row.name) + cell(row.note) + cell(std::to_string(row.line), "number") +
               cell(total_cell(row.totals), "number") + cell(row.safe ? "yes" : "NO", row.safe ? "" : "no") +
               cell(row.at_entry) + cell(row.inherited, row.safe ? "" : "no") + cell(row.left) + "</tr>\n";
    }
    return out + "</tbody></table>\n";
}

constexpr std::string_view loads_heading = "Cutting loads, estimated";
constexpr std::string_view surface_words =
    "New edges; right within a fifth or so. Surface by f\u00b2/(8 r), from peak to valley; Ra is about a "
    "quarter of it.";

bool has_load(const SheetSequence& row) {
    return !row.depth.empty() || !row.power.empty() || !row.surface.empty() || !row.air.empty();
}

std::string or_dash(const std::string& text) {
    return text.empty() ? "\xE2\x80\x93" : text;
}

/// What stands under the table: where the numbers come from, and what is missing.
std::vector<std::string> load_lines(const Sheet& sheet) {
    std::vector<std::string> lines;
    if (sheet.has_loads) {
        std::string from(surface_words);
        if (!sheet.load_source.empty()) from += " Cutting force of " + sheet.load_source + ".";
        lines.push_back(std::move(from));
    }
    for (const std::string& gap : sheet.load_gaps) lines.push_back("Not known, " + gap + ".");
    lines.insert(lines.end(), sheet.clearances.begin(), sheet.clearances.end());
    return lines;
}

std::string loads_html(const Sheet& sheet) {
    const std::vector<std::string> lines = load_lines(sheet);
    if (!sheet.has_loads && lines.empty()) return {};
    std::string out = fmt::format("<div class=\"keep\"><h2>{}</h2>\n", loads_heading);
    if (sheet.has_loads) {
        out += "<table>\n<thead><tr><th>Sequence</th><th>Work</th><th class=\"number\">Deepest cut</th>"
               "<th>Most power at the spindle</th><th class=\"number\">Surface</th><th class=\"number\">Feed "
               "in air</th></tr>"
               "</thead>\n<tbody>\n";
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

std::string warning_words(const SheetWarning& warning) {
    return fmt::format("line {}, {}: {} [{}]", warning.line, severity_name(warning.severity), warning.message,
                       warning.id);
}

std::string warnings_heading(const Sheet& sheet) {
    if (sheet.warnings.empty()) return "Open warnings: none found";
    return fmt::format("Open warnings: {}", sheet.warnings.size());
}

std::string rest_of_warnings(const Sheet& sheet) {
    if (sheet.warnings.size() <= warnings_on_sheet) return {};
    return fmt::format("and {} more: turnwright check prints them all",
                       sheet.warnings.size() - warnings_on_sheet);
}

} // namespace

std::string sheet_page(const features::Document& document) {
    const Sheet sheet = make_sheet(document);
    std::string out =
        fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                    "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
                    "<meta name=\"generator\" content=\"Turnwright\">\n"
                    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                    "<title>Setup sheet {}</title>\n<style>{}</style>\n</head>\n<body>\n<main>\n",
                    markup_escaped(sheet.title), sheet_style);
    out += fmt::format("<h1>Setup sheet {} <small>{}</small></h1>\n", markup_escaped(sheet.title),
                       markup_escaped(sheet.note));
    out += "<div class=\"pairs\">\n" + pairs("Program", sheet.program) + pairs("Stock", sheet.stock) +
           "</div>\n";
    out += tools_html(sheet);
    out += "<div class=\"pairs\">\n" + pairs("Time for one part, reckoned", sheet.times) +
           "<div><h2>Cautions</h2><ul class=\"cautions\">\n";
    for (const std::string_view line : sheet_cautions)
        out += fmt::format("<li>{}</li>\n", markup_escaped(line));
    out += "</ul></div>\n</div>\n";
    if (!sheet.edges.empty()) out += pairs("Edges, for one part", sheet.edges);
    if (!sheet.assumed.empty()) out += pairs("Assumed here", sheet.assumed);
    out += loads_html(sheet);
    out += sequences_html(sheet);
    out += fmt::format("<h2>{}</h2>\n", warnings_heading(sheet));
    if (!sheet.warnings.empty()) {
        out += "<ul>\n";
        for (std::size_t i = 0; i < std::min(warnings_on_sheet, sheet.warnings.size()); ++i)
            out += fmt::format("<li>{}</li>\n", markup_escaped(warning_words(sheet.warnings[i])));
        if (const std::string rest = rest_of_warnings(sheet); !rest.empty())
            out += fmt::format("<li>{}</li>\n", rest);
        out += "</ul>\n";
    }
    out += "<div class=\"sign\">\n";
    for (const std::string_view line : sign_lines) out += fmt::format("<div>{}</div>\n", line);
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

std::string loads_markdown(const Sheet& sheet) {
    const std::vector<std::string> lines = load_lines(sheet);
    if (!sheet.has_loads && lines.empty()) return {};
    std::string out = fmt::format("\n## {}\n\n", loads_heading);
    if (sheet.has_loads) {
        out += markdown_row(
            {"Sequence", "Work", "Deepest cut", "Most power at the spindle", "Surface", "Feed in air"});
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

std::string sheet_markdown(const features::Document& document) {
    const Sheet sheet = make_sheet(document);
    std::string out = fmt::format("# Setup sheet {}\n", markdown_cell(sheet.title));
    if (!sheet.note.empty()) out += "\n" + markdown_cell(sheet.note) + "\n";
    out += markdown_list("Program", sheet.program) + markdown_list("Stock", sheet.stock);
    out += "\n## Tools by station\n\n";
    out += markdown_row(
        {"Station", "Tool", "Called", "Offset", "Tip data", "Speeds in cut", "Feeds", "In", "Cut", "Rapid"});
    out += "|---|---|---|---|---|---|---|---|---:|---:|\n";
    for (const SheetTool& tool : sheet.tools)
        out += markdown_row({tool.station, tool.note.empty() ? "not named" : tool.note, tool.called,
                             tool.offset, tool.tip, tool.speeds, tool.feeds, tool.sequences,
                             cut_cell(tool.totals), rapid_cell(tool.totals)});
    out += markdown_list("Time for one part, reckoned", sheet.times);
    if (!sheet.edges.empty()) out += markdown_list("Edges, for one part", sheet.edges);
    if (!sheet.assumed.empty()) out += markdown_list("Assumed here", sheet.assumed);
    out += loads_markdown(sheet);
    out += "\n## Sequences and restart\n\n";
    out += markdown_row({"Sequence", "Work", "Line", "Time", "Sets all it reads",
                         "Codes before the first move", "Taken over", "Left on"});
    out += "|---|---|---:|---:|---|---|---|---|\n";
    for (const SheetSequence& row : sheet.sequences)
        if (row.in_table)
            out += markdown_row({row.name, row.note, std::to_string(row.line), total_cell(row.totals),
                                 row.safe ? "yes" : "NO", row.at_entry, row.inherited, row.left});
    out += fmt::format("\n## {}\n\n", warnings_heading(sheet));
    for (std::size_t i = 0; i < std::min(warnings_on_sheet, sheet.warnings.size()); ++i)
        out += "- " + markdown_cell(warning_words(sheet.warnings[i])) + "\n";
    if (const std::string rest = rest_of_warnings(sheet); !rest.empty()) out += "- " + rest + "\n";
    out += "\n## Cautions\n\n";
    for (const std::string_view line : sheet_cautions) out += fmt::format("- {}\n", line);
    out += "\n## Signatures\n\n";
    for (const std::string_view line : sign_lines) out += fmt::format("- {}: ______________________\n", line);
    return out;
}

bool is_report(std::string_view text) {
    return text.find("<meta name=\"generator\" content=\"Turnwright\">") != text.npos ||
           text.find("data-generator=\"Turnwright\"") != text.npos ||
           (text.starts_with("# Setup sheet ") && text.find(sheet_cautions[0]) != text.npos) ||
           is_library_index(text) || is_telling(text);
}

} // namespace turnwright::report

// A library as text, CSV, Markdown and a page.
#include "features/speech.h"
#include "host/file.h"
#include "language/said.h"
#include "report/library.h"
#include "report/markup.h"
#include "report/report.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {
namespace {

using LibraryPrograms = std::span<const LibraryProgram>;

constexpr std::string_view csv_head =
    "file,number,note,other_programs,stock,tools,time,changed,system,unit,blocks,warnings,problem\n";
constexpr TableText markdown_head = "# Index of part programs\n";
constexpr std::size_t most_told = 12; ///< Names in one line

std::string number_text(std::int32_t number) {
    return number > 0 ? fmt::format("O{:04}", number) : "";
}

std::string joined(std::span<const std::string> words, std::string_view between) {
    std::string out;
    for (const std::string& word : words) out += (out.empty() ? "" : std::string(between)) + word;
    return out;
}

std::string other_programs(const LibraryProgram& program) {
    std::string out;
    for (const LibraryProgram::Part& part : program.parts)
        if (part.number != program.number) out += (out.empty() ? "" : " ") + number_text(part.number);
    return out;
}

std::string names(LibraryPrograms programs, std::span<const std::size_t> row) {
    std::string out;
    for (const std::size_t at : row.first(std::min(row.size(), most_told)))
        out += (out.empty() ? "" : ", ") + host::shown_name(programs[at].name);
    if (row.size() > most_told) out += said(" and {} more", row.size() - most_told);
    return out;
}

/// A heading with a line for each thing that was found; one that finds nothing says so.
struct Section {
    std::string heading, none;
    std::vector<std::string> lines;
};

std::vector<Section> sections(LibraryPrograms programs) {
    const LibraryFindings found = find_in_library(programs);
    std::vector<Section> all;
    Section clashes{
        said("Program numbers that stand in several files"), said("No number stands in two files."), {}};
    for (const LibraryFindings::Clash& clash : found.clashes)
        clashes.lines.push_back(fmt::format("{}{}: {}", number_text(clash.number),
                                            clash.same_work ? said(" (copies: they do the same)")
                                            : clash.one_folder
                                                ? said(" (in one folder: the control holds one of them)")
                                                : said(" (in several folders)"),
                                            names(programs, clash.programs)));
    all.push_back(std::move(clashes));
    Section nowhere{said("Called programs that are nowhere here"), said("Every called program is here."), {}};
    for (const LibraryFindings::Nowhere& call : found.nowhere) {
        std::string from;
        for (std::size_t i = 0; i < std::min(call.from.size(), most_told); ++i)
            from +=
                (i == 0 ? "" : ", ") +
                said("{} line {}", host::shown_name(programs[call.from[i].first].name), call.from[i].second);
        if (call.from.size() > most_told) from += said(" and {} more", call.from.size() - most_told);
        nowhere.lines.push_back(said("{}{}: called in {}", number_text(call.number),
                                     call.number >= 9000 ? said(" (mostly kept in the control)") : "", from));
    }
    all.push_back(std::move(nowhere));
    Section same{said("Programs that do the same"), said("No two programs do the same."), {}};
    for (const auto& row : found.same_work) same.lines.push_back(names(programs, row));
    all.push_back(std::move(same));
    Section values{said("Programs that make the same moves with something else changed"), said("None."), {}};
    for (const LibraryFindings::Group& group : found.other_values)
        values.lines.push_back(said("{}: other {}", names(programs, group.programs), group.what));
    all.push_back(std::move(values));
    Section nearly{
        said("Programs that nearly do the same: the same order of moves, sizes close together or in the "
             "other unit"),
        said("None."),
        {}};
    for (const auto& row : found.nearly) nearly.lines.push_back(names(programs, row));
    all.push_back(std::move(nearly));
    Section unread{said("Files that could not be read"), said("None."), {}};
    for (const LibraryProgram& program : programs)
        if (!program.problem.empty())
            unread.lines.push_back(host::shown_name(program.name) + ": " + program.problem);
    if (!unread.lines.empty()) all.push_back(std::move(unread));
    return all;
}

std::string head_line(LibraryPrograms programs) {
    const auto read = static_cast<std::size_t>(std::count_if(
        programs.begin(), programs.end(), [](const auto& program) { return program.problem.empty(); }));
    const auto open =
        static_cast<std::size_t>(std::count_if(programs.begin(), programs.end(), [](const auto& program) {
            return program.problem.empty() && program.likeness.open;
        }));
    std::string line = plural(read, "program") + said(" looked at.");
    if (open > 0)
        line += said(" Of {} not every move is known: what is not is compared as it is written.",
                     plural(open, "program"));
    return line;
}

std::string csv_cell(std::string text) {
    text = features::readable(text);
    // A table program must not take a note for a formula.
    if (!text.empty() && std::string_view("=+-@").find(text.front()) != std::string_view::npos)
        text.insert(0, 1, '\'');
    if (text.find_first_of(",\";") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

constexpr std::string_view page_look = R"(
body{font:14px/1.35 system-ui,"Segoe UI",Arial,sans-serif;color:#111;background:#fff;margin:1.2em}
h1{font-size:1.4em}h2{font-size:1.05em;margin:1.2em 0 .3em}
table{border-collapse:collapse}th,td{border:1px solid #999;padding:.2em .5em;text-align:left;vertical-align:top}
th{background:#eee;position:sticky;top:0}tr{content-visibility:auto;contain-intrinsic-size:auto 84px}
.unknown{font-style:italic;color:#444}svg{display:block}
svg path{fill:none;stroke-width:1}svg .part{fill:#ddd;stroke:#666}
.feed,.finish{stroke:#003a8c}.pass{stroke:#7a8fb0;stroke-width:.6}.thread{stroke:#7a2b00}
.centre{stroke:#555;stroke-width:.6;stroke-dasharray:8 2 2 2}
@media(prefers-color-scheme:dark){body{background:#181818;color:#e6e6e6}th{background:#2a2a2a}.unknown{color:#bbb}
svg .part{fill:#333;stroke:#aaa}.feed,.finish{stroke:#7db3ff}.pass{stroke:#6d7f99}.thread{stroke:#ffb27a}.centre{stroke:#999}}
)";

std::string page_cell(std::string_view text) {
    return text.empty() ? said("<td class=\"unknown\">not known</td>")
                        : fmt::format("<td>{}</td>", markup_escaped(text));
}

std::string page_row(const LibraryProgram& program) {
    std::string out = "<tr>" + page_cell(host::shown_name(program.name));
    if (!program.problem.empty())
        return out + fmt::format("<td colspan=\"9\" class=\"unknown\">{}</td></tr>\n",
                                 markup_escaped(program.problem));
    const std::string number = number_text(program.number), others = other_programs(program);
    out += fmt::format("<td>{}{}</td>", number.empty() ? said("none") : number,
                       others.empty() ? "" : said(" with ") + others);
    out += fmt::format("<td>{}</td>", markup_escaped(program.note));
    out += program.picture.empty() ? said("<td class=\"unknown\">not drawn</td>")
                                   : fmt::format("<td>{}</td>", program.picture);
    out += page_cell(program.stock);
    std::string tools;
    for (const std::string& tool : program.tools)
        tools += (tools.empty() ? "" : "<br>") + markup_escaped(tool);
    out += fmt::format("<td>{}</td>", tools);
    out += page_cell(program.time) + page_cell(program.changed);
    out += fmt::format("<td>{} {}</td>", program.system,
                       program.unit.empty() ? said("unit not known") : program.unit);
    return out + fmt::format("<td>{}</td></tr>\n", program.warnings);
}

} // namespace

std::string library_text(LibraryPrograms programs) {
    std::string out;
    for (const Section& section : sections(programs)) {
        out += section.heading + ":\n";
        if (section.lines.empty()) out += "  " + section.none + "\n";
        for (const std::string& line : section.lines) out += "  " + line + "\n";
        out += "\n";
    }
    return out + head_line(programs) + "\n";
}

std::string library_csv(LibraryPrograms programs) {
    std::string out(csv_head);
    for (const LibraryProgram& program : programs) {
        out += csv_cell(host::shown_name(program.name));
        for (const std::string& text :
             {number_text(program.number), program.note, other_programs(program), program.stock,
              joined(program.tools, "; "), program.time, program.changed,
              std::string(program.problem.empty() ? 1 : 0, program.system), program.unit,
              program.problem.empty() ? std::to_string(program.blocks) : "",
              program.problem.empty() ? std::to_string(program.warnings) : "", program.problem})
            out += "," + csv_cell(text);
        out += "\n";
    }
    return out;
}

std::string library_markdown(LibraryPrograms programs) {
    std::string out = fmt::format("{}\n{}\n", markdown_head, head_line(programs));
    for (const Section& section : sections(programs)) {
        out += fmt::format("\n## {}\n\n", section.heading);
        if (section.lines.empty()) out += section.none + "\n";
        for (const std::string& line : section.lines) out += "- " + markdown_cell(line) + "\n";
    }
    out += said("\n## Programs\n\n| File | Number | Note | Stock | Tools | Time | Last change | System | "
                "Unit | "
                "Warnings |\n|---|---|---|---|---|---|---|---|---|---|\n");
    for (const LibraryProgram& program : programs) {
        out += "| " + markdown_cell(host::shown_name(program.name));
        const std::string others = other_programs(program);
        for (const std::string& text :
             {number_text(program.number) + (others.empty() ? "" : said(" with ") + others),
              program.problem.empty() ? program.note : program.problem, program.stock,
              joined(program.tools, "; "), program.time, program.changed, std::string(1, program.system),
              program.unit, std::to_string(program.warnings)})
            out += " | " + markdown_cell(text);
        out += " |\n";
    }
    return out + "\n" + std::string(caution) + "\n";
}

std::string library_page(LibraryPrograms programs) {
    std::string out = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"{0}\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
        "<meta name=\"generator\" content=\"Turnwright\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<title>{1}</title>\n<style>{2}</style>\n</head>\n<body>\n"
        "<h1>{1}</h1>\n<p>{3}</p>\n",
        language::chosen(), said("Index of part programs"), page_look, markup_escaped(head_line(programs)));
    for (const Section& section : sections(programs)) {
        out += fmt::format("<h2>{}</h2>\n", markup_escaped(section.heading));
        if (section.lines.empty()) out += fmt::format("<p>{}</p>\n", section.none);
        if (!section.lines.empty()) out += "<ul>\n";
        for (const std::string& line : section.lines)
            out += fmt::format("<li>{}</li>\n", markup_escaped(line));
        if (!section.lines.empty()) out += "</ul>\n";
    }
    out += said("<h2>Programs</h2>\n<table>\n<thead><tr><th>File</th><th>Number</th><th>Note</"
                "th><th>Picture</th>"
                "<th>Stock</th><th>Tools</th><th>Time</th><th>Last change</th><th>System, unit</th>"
                "<th>Warnings</th></tr></thead>\n<tbody>\n");
    for (const LibraryProgram& program : programs) out += page_row(program);
    return out + fmt::format("</tbody></table>\n<p>{}</p>\n</body>\n</html>\n", markup_escaped(caution));
}

bool is_library_index(std::string_view text) {
    return text.starts_with(csv_head) ||
           (begins_as_said(text, markdown_head.english()) && holds_as_said(text, caution.english()));
}

} // namespace turnwright::report

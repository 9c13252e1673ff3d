// The telling of a program as plain text, as Markdown and as a page.
#include "features/speech.h"
#include "report/markup.h"
#include "report/tell.h"

#include <fmt/format.h>

namespace turnwright::report {

namespace {

constexpr std::size_t columns = text_columns, written_columns = 60;

constexpr std::string_view told_heading = "Told block by block: ";

constexpr std::string_view telling_style = R"(
@page{size:A4;margin:12mm}
*{box-sizing:border-box}body{font:11pt/1.45 system-ui,"Segoe UI",Arial,sans-serif;color:#111;margin:0;background:#fff}
main{max-width:60rem;margin:1.5rem auto;padding:0 1rem}
h1{font-size:17pt;margin:0}h1 small,summary small{font-weight:400;color:#333}
summary{font-size:12pt;font-weight:600;margin:1.2rem 0 .3rem;cursor:pointer}
table{border-collapse:collapse;width:100%}td{border-top:1px solid #bbb;padding:.25rem .5rem;vertical-align:top}
td:first-child{text-align:right;color:#555;white-space:nowrap}
code{font:10pt ui-monospace,Consolas,"DejaVu Sans Mono",monospace;white-space:pre-wrap}
td:nth-child(2){width:30%}.called td{background:#f3f3f0}
@media print{summary{break-after:avoid}tr{break-inside:avoid}}
)";

std::string told_words(const ToldBlock& block) {
    if (block.times == 1) return block.text;
    std::string text = fmt::format("{} times. {}", block.times, block.last.empty() ? "" : "The first: ");
    return text + block.text + (block.last.empty() ? "" : " The last: " + block.last);
}

std::string place_words(const ToldBlock& block) {
    return block.called.empty() ? fmt::format("line {}", block.line + 1) : block.called;
}

bool by_headlines(const Telling& telling, std::size_t most) {
    return !telling.is_part && telling.blocks() > most;
}

std::string why_headlines(const Telling& telling) {
    return fmt::format(
        "The program has {} blocks that do something: these are the headlines. One sequence in "
        "full: --sequence with its N number or its tool, such as --sequence T03.",
        telling.blocks());
}

std::string heading(const ToldSequence& sequence) {
    return sequence.note.empty() ? sequence.name : fmt::format("{} {}", sequence.name, sequence.note);
}

} // namespace

bool is_telling(std::string_view text) {
    if (text.starts_with("# ")) text.remove_prefix(2);
    return text.starts_with(told_heading);
}

std::string telling_text(const Telling& telling) {
    std::string out =
        std::string(told_heading) + telling.title + (telling.note.empty() ? "" : " " + telling.note) + "\n";
    for (const std::string& remark : telling.remarks) out += wrapped(remark, 0);
    const bool short_form = by_headlines(telling, most_told_in_text);
    if (short_form) out += "\n" + wrapped(why_headlines(telling), 0);
    for (const ToldSequence& sequence : telling.sequences) {
        out += fmt::format("\n{}\n{}\n", heading(sequence), sequence.headline);
        if (short_form) continue;
        for (const ToldBlock& block : sequence.blocks)
            out += fmt::format("\n{:>9}  {}\n", place_words(block),
                               features::clipped(block.written, written_columns)) +
                   wrapped(told_words(block), 11);
    }
    return out + "\n" + wrapped(caution, 0);
}

std::string telling_markdown(const Telling& telling) {
    std::string out = fmt::format("# {}{} {}\n\n", told_heading, features::in_markdown(telling.title),
                                  features::in_markdown(telling.note));
    for (const std::string& remark : telling.remarks) out += features::in_markdown(remark) + "\n\n";
    const bool short_form = by_headlines(telling, most_told_in_text);
    if (short_form) out += why_headlines(telling) + "\n\n";
    for (const ToldSequence& sequence : telling.sequences) {
        out += fmt::format("## {}\n\n{}\n\n", features::in_markdown(heading(sequence)),
                           features::in_markdown(sequence.headline));
        if (short_form) continue;
        out += "| line | block | what happens |\n|---|---|---|\n";
        for (const ToldBlock& block : sequence.blocks)
            out += fmt::format("| {} | {} | {} |\n",
                               block.called.empty() ? std::to_string(block.line + 1) : block.called,
                               markdown_cell(block.written), markdown_cell(told_words(block)));
        out += "\n";
    }
    return out + std::string(caution) + "\n";
}

std::string telling_page(const Telling& telling) {
    std::string out =
        fmt::format("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                    "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
                    "<meta name=\"generator\" content=\"Turnwright\">\n"
                    "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                    "<title>{} told block by block</title>\n<style>{}</style>\n</head>\n<body>\n<main>\n",
                    markup_escaped(telling.title), telling_style);
    out += fmt::format("<h1>{} <small>{}</small></h1>\n", markup_escaped(telling.title),
                       markup_escaped(telling.note));
    for (const std::string& remark : telling.remarks)
        out += fmt::format("<p>{}</p>\n", markup_escaped(remark));
    const bool short_form = by_headlines(telling, most_told_on_page);
    if (short_form) out += fmt::format("<p>{}</p>\n", markup_escaped(why_headlines(telling)));
    const std::string_view open = telling.blocks() <= most_told_in_text ? " open" : "";
    for (const ToldSequence& sequence : telling.sequences) {
        out += fmt::format("<details{}><summary>{} <small>{}</small></summary>\n", open,
                           markup_escaped(heading(sequence)), markup_escaped(sequence.headline));
        if (!short_form) {
            out += "<table>\n";
            for (const ToldBlock& block : sequence.blocks)
                out += fmt::format("<tr{}><td>{}</td><td><code>{}</code></td><td>{}</td></tr>\n",
                                   block.called.empty() ? "" : " class=\"called\"",
                                   block.called.empty() ? std::to_string(block.line + 1)
                                                        : markup_escaped(block.called),
                                   markup_escaped(block.written), markup_escaped(told_words(block)));
            out += "</table>\n";
        }
        out += "</details>\n";
    }
    return out + fmt::format("<p>{}</p>\n</main>\n</body>\n</html>\n", markup_escaped(caution));
}

} // namespace turnwright::report

// The telling of a program as plain text, as Markdown and as a page.
#include "features/speech.h"
#include "language/said.h"
#include "report/markup.h"
#include "report/picture.h"
#include "report/tell.h"

#include <fmt/format.h>
#include <map>
#include <optional>
#include <set>

namespace turnwright::report {

namespace {

constexpr std::size_t written_columns = 60;

constexpr TableText told_heading = "Told block by block: ";

constexpr std::string_view telling_style = R"(
@page{size:A4;margin:12mm}
*{box-sizing:border-box}body{font:11pt/1.45 system-ui,"Segoe UI",Arial,sans-serif;color:#111;margin:0;background:#fff}
main{max-width:100rem;margin:1.5rem auto;padding:0 1rem}
.beside{display:grid;grid-template-columns:minmax(0,3fr) minmax(20rem,2fr);gap:1.2rem}
figure{margin:0;position:sticky;top:.6rem;align-self:start}figcaption{font-size:9pt;color:#444}
svg{display:block;width:100%;height:auto;max-height:70vh;border:1px solid #bbb}
svg path{fill:none;stroke-linejoin:round;vector-effect:non-scaling-stroke}
svg .before{fill:#f0efe9;stroke:#999;stroke-width:1;stroke-dasharray:4 3}svg .after{fill:#d9dde3;stroke:#222;stroke-width:1.3}
svg .jaw{fill:#ddd;stroke:#666}svg .centre{stroke:#999;stroke-dasharray:14 4 3 4}
svg .rapid{stroke:#333;stroke-width:1;stroke-dasharray:6 4}svg .link{stroke:#666;stroke-width:.8;stroke-dasharray:2 3}
svg .feed,svg .pass,svg .finish{stroke:#0a3f8f;stroke-width:1.6}svg .pass{stroke-width:1}
svg .thread{stroke:#8a2f00;stroke-width:2;stroke-dasharray:9 2 2 2}svg .live{stroke:#6a1b7a;stroke-width:1.3;stroke-dasharray:3 2}
svg a:hover path,svg a:target path{stroke:#c21807;stroke-width:4}tr:target td{background:#fff0b3}
@media(max-width:56rem){.beside{display:block}figure{position:static;margin-bottom:.6rem}}
h1{font-size:17pt;margin:0}h1 small,summary small{font-weight:400;color:#333}
summary{font-size:12pt;font-weight:600;margin:1.2rem 0 .3rem;cursor:pointer}
table{border-collapse:collapse;width:100%}td{border-top:1px solid #bbb;padding:.25rem .5rem;vertical-align:top}
td:first-child{text-align:right;color:#555;white-space:nowrap}
code{font:10pt ui-monospace,Consolas,"DejaVu Sans Mono",monospace;white-space:pre-wrap}
td:nth-child(2){width:30%}.called td{background:#f3f3f0}
@media print{.beside{display:block}figure{position:static;max-width:120mm}summary{break-after:avoid}tr{break-inside:avoid}}
)";

std::string told_words(const ToldBlock& block) {
    if (block.times == 1) return block.text;
    std::string text = said("{} times. {}", block.times, block.last.empty() ? "" : said("The first: "));
    return text + block.text + (block.last.empty() ? "" : said(" The last: ") + block.last);
}

std::string place_words(const ToldBlock& block) {
    return block.called.empty() ? said("line {}", block.line + 1) : block.called;
}

bool by_headlines(const Telling& telling, std::size_t most) {
    return !telling.is_part && telling.blocks() > most;
}

std::string why_headlines(const Telling& telling) {
    return said("The program has {} blocks that do something: these are the headlines. One sequence in "
                "full: --sequence with its N number or its tool, such as --sequence T03.",
                telling.blocks());
}

std::string heading(const ToldSequence& sequence) {
    return sequence.note.empty() ? sequence.name : fmt::format("{} {}", sequence.name, sequence.note);
}

} // namespace

namespace {

/// The way of each sequence over the stock that it finds and what it leaves. A move and what is told of its
/// block lead to each other, without any script.
class TellingDrawings {
public:
    TellingDrawings(const features::Document& document)
        : document_(document), picture_(make_picture(document)), stock_(drawn_stock(document, picture_)),
          parts_(parts_of(document, stock_)), frame_(fit(picture_, parts_)) {
        frame_.left = frame_.top = 0;
    }

    struct Drawn {
        std::string figure;          ///< Empty: nothing moves there, or too much to draw
        std::set<std::size_t> lines; ///< That have moves in it
    };
    Drawn of(const ToldSequence& sequence, std::size_t index) const {
        Drawn drawn;
        std::map<std::size_t, std::map<Stroke, std::string>> ways;
        std::size_t bytes = 0;
        for (const PictureStep& step : picture_.steps) {
            // A called program stands elsewhere and works for its caller.
            if (step.segment_count == 0 || picture_.spans[step.span].first_line != sequence.first_line)
                continue;
            for (auto& [stroke, data] : strokes_of(picture_, step, frame_)) {
                bytes += data.size();
                ways[step.line][stroke] += data;
            }
            if (bytes > most_way_bytes) return {};
        }
        if (ways.empty()) return drawn;
        drawn.figure = said("<figure><svg viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"The way of {}\">\n",
                            on_sheet(frame_.width), on_sheet(frame_.height), markup_escaped(sequence.name)) +
                       shapes(sequence);
        for (const auto& [line, strokes] : ways) {
            drawn.lines.insert(line);
            drawn.figure +=
                said("<a id=\"m{0}-{1}\" href=\"#b{0}-{1}\"><title>line {1}: {2}</title>", index, line + 1,
                     markup_escaped(features::readable(document_.buffer().line(line).substr(0, 200))));
            for (const auto& [stroke, data] : strokes)
                drawn.figure += fmt::format("<path class=\"{}\" d=\"{}\"/>", stroke_class(stroke), data);
            drawn.figure += "</a>\n";
        }
        drawn.figure +=
            said("</svg><figcaption>Upper half, Z to the right. Dashed: rapid. Light: the stock before, "
                 "where it is known; darker: what is left. The number of a line shows its move, a move "
                 "its line.</figcaption></figure>\n");
        return drawn;
    }

private:
    static constexpr std::size_t most_way_bytes = 200'000;

    std::string shape(std::string_view css, const std::vector<Outline>& outlines) const {
        std::string data;
        for (const Outline& outline : outlines) data += outline_data(outline, frame_);
        return data.empty() ? data : fmt::format("<path class=\"{}\" d=\"{}\"/>\n", css, data);
    }

    std::string shapes(const ToldSequence& told) const {
        std::string out;
        if (stock_.course)
            for (const stock::SequenceCourse& sequence : stock_.course->sequences) {
                const std::size_t line = document_.line_of(sequence.first);
                if (line < told.first_line || told.last_line < line) continue;
                if (sequence.in) out += shape("before", sequence.in->outlines());
                if (sequence.out) out += shape("after", sequence.out->outlines());
            }
        if (parts_.jaws)
            out += fmt::format("<path class=\"jaw\" d=\"M0 {0}H{1}V{2}H0Z\"/>\n",
                               on_sheet(frame_.down(parts_.jaws->from_radius_mm)),
                               on_sheet(frame_.across(parts_.jaws->z_mm)),
                               on_sheet(frame_.down(parts_.jaws->to_radius_mm)));
        return out + fmt::format("<path class=\"centre\" d=\"M0 {}H{}\"/>\n", on_sheet(frame_.down(0)),
                                 on_sheet(frame_.width));
    }

    const features::Document& document_;
    Picture picture_;
    DrawnStock stock_;
    PictureParts parts_;
    Frame frame_;
};

} // namespace

bool is_telling(std::string_view text) {
    if (text.starts_with("# ")) text.remove_prefix(2);
    return begins_as_said(text, told_heading.english());
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
        out += said("| line | block | what happens |\n|---|---|---|\n");
        for (const ToldBlock& block : sequence.blocks)
            out += fmt::format("| {} | {} | {} |\n",
                               block.called.empty() ? std::to_string(block.line + 1) : block.called,
                               markdown_cell(block.written), markdown_cell(told_words(block)));
        out += "\n";
    }
    return out + std::string(caution) + "\n";
}

namespace {

std::string told_beside(const ToldSequence& sequence, const TellingDrawings::Drawn& drawn,
                        std::size_t index) {
    std::string out = drawn.figure.empty() ? "" : "<div class=\"beside\">";
    out += "<table>\n";
    std::set<std::size_t> named; ///< A loop or a call has several rows of one line
    for (const ToldBlock& block : sequence.blocks) {
        const std::string place =
            block.called.empty() ? std::to_string(block.line + 1) : markup_escaped(block.called);
        const bool leads = drawn.lines.contains(block.line);
        out += fmt::format(
            "<tr{}{}><td>{}</td><td><code>{}</code></td><td>{}</td></tr>\n",
            leads && named.insert(block.line).second ? fmt::format(" id=\"b{}-{}\"", index, block.line + 1)
                                                     : "",
            block.called.empty() ? "" : " class=\"called\"",
            leads ? fmt::format("<a href=\"#m{}-{}\">{}</a>", index, block.line + 1, place) : place,
            markup_escaped(block.written), markup_escaped(told_words(block)));
    }
    out += "</table>\n";
    return out + (drawn.figure.empty() ? "" : drawn.figure + "</div>\n");
}

} // namespace

std::string telling_page(const features::Document& document, const Telling& telling) {
    std::string out = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
        "<meta name=\"generator\" content=\"Turnwright\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<title>{}</title>\n<style>{}</style>\n</head>\n<body>\n<main>\n",
        language::chosen(), said("{} told block by block", markup_escaped(telling.title)), telling_style);
    out += fmt::format("<h1>{} <small>{}</small></h1>\n", markup_escaped(telling.title),
                       markup_escaped(telling.note));
    for (const std::string& remark : telling.remarks)
        out += fmt::format("<p>{}</p>\n", markup_escaped(remark));
    const bool short_form = by_headlines(telling, most_told_on_page);
    if (short_form) out += fmt::format("<p>{}</p>\n", markup_escaped(why_headlines(telling)));
    const std::string_view open = telling.blocks() <= most_told_in_text ? " open" : "";
    std::optional<TellingDrawings> drawings; // Of what is told in headlines there are none
    if (!short_form) drawings.emplace(document);
    std::size_t index = 0;
    for (const ToldSequence& sequence : telling.sequences) {
        out += fmt::format("<details{}><summary>{} <small>{}</small></summary>\n", open,
                           markup_escaped(heading(sequence)), markup_escaped(sequence.headline));
        ++index;
        if (!short_form) out += told_beside(sequence, drawings->of(sequence, index), index);
        out += "</details>\n";
    }
    return out + fmt::format("<p>{}</p>\n</main>\n</body>\n</html>\n", markup_escaped(caution));
}

} // namespace turnwright::report

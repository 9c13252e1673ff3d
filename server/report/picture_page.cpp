// The page around the drawing: slider, state, sequence list. Works from a file, asks nothing of any network.
#include "features/hints.h"
#include "features/speech.h"
#include "report/markup.h"
#include "report/picture.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace turnwright::report {

namespace {

using nlohmann::json;

double tenth(double value) {
    return std::round(value * 10) / 10;
}

json steps_json(const Picture& picture, const Frame& frame) {
    json steps = json::array();
    for (const PictureStep& step : picture.steps) {
        json row = {step.line, step.span,           step.tool,        step.spindle, step.rpm,
                    step.feed, step.position,       step.load,        step.other,   step.called,
                    step.open, tenth(step.seconds), step.without_time};
        row.push_back(step.end ? json(tenth(frame.across(step.end->z_mm))) : json(nullptr));
        row.push_back(step.end ? json(tenth(frame.down(step.end->x_radius_mm))) : json(nullptr));
        steps.push_back(std::move(row));
    }
    return steps;
}

std::string data_json(const features::Document& document, const Picture& picture, const Frame& frame) {
    json lines = json::array(), spans = json::array();
    for (std::size_t i = 0; i < document.buffer().line_count(); ++i)
        lines.push_back(features::readable(document.buffer().line(i)));
    for (const PictureSpan& span : picture.spans)
        spans.push_back(span.note.empty() ? span.name : span.name + " " + span.note);
    const json data{{"lines", std::move(lines)},
                    {"spans", std::move(spans)},
                    {"texts", picture.texts},
                    {"about", picture.about},
                    {"steps", steps_json(picture, frame)}};
    return script_safe(data.dump(-1, ' ', false, json::error_handler_t::replace));
}

std::string sequence_list(const Picture& picture) {
    std::string out;
    std::vector<std::size_t> first_step(picture.spans.size(), picture.steps.size());
    for (std::size_t i = picture.steps.size(); i-- > 0;) first_step[picture.steps[i].span] = i;
    for (std::size_t i = 0; i < picture.spans.size(); ++i) {
        if (first_step[i] == picture.steps.size()) continue;
        const PictureSpan& span = picture.spans[i];
        std::string below = fmt::format("lines {} to {}, {}", span.first_line + 1, span.last_line + 1,
                                        span.totals.seconds() > 0 || span.totals.blocks_without_time
                                            ? time_or_unknown(span.totals)
                                            : std::string("no time"));
        if (!span.note.empty()) below = span.note + " \xC2\xB7 " + below;
        out += fmt::format("<button type=\"button\" data-span=\"{}\" data-step=\"{}\">{}<small>{}</small>"
                           "</button>\n",
                           i, first_step[i], markup_escaped(span.name), markup_escaped(below));
    }
    return out;
}

} // namespace

std::string picture_page(const features::Document& document) {
    const Picture picture = make_picture(document);
    const PictureParts parts = parts_of(document, picture);
    const Frame frame = fit(picture, parts);
    const std::string note = program_note(document);
    std::string title = program_name(document);
    if (!note.empty()) title += " " + note;
    std::string out = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'; script-src 'sha256-{}'; base-uri 'none'; form-action 'none'\">\n"
        "<meta name=\"generator\" content=\"Turnwright\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
        "<title>{}: tool path</title>\n<style>{}</style>\n</head>\n<body>\n<main>\n",
        page_script_hash, markup_escaped(title), page_style);
    out += "<section>\n<div id=\"figure\">\n" + drawing(document, picture, parts, frame) + "</div>\n";
    out += "<div id=\"controls\"><button type=\"button\" id=\"back\">Back</button>"
           "<button type=\"button\" id=\"on\">Next</button><button type=\"button\" id=\"run\">Run</button>"
           "<input type=\"range\" id=\"slider\" min=\"0\" max=\"0\" value=\"0\" aria-label=\"Block\">"
           "<output id=\"place\"></output>"
           "<label><input type=\"checkbox\" id=\"alone\" checked> other sequences faint</label>"
           "</div>\n";
    out += fmt::format("<p class=\"caution\">{} The picture shows the programmed point of the tool, not the "
                       "shape of the tool or its holder.</p>\n</section>\n",
                       markup_escaped(caution));
    out += "<aside>\n<div id=\"state\"><h2>After this block</h2>\n<dl>\n";
    for (const auto& [id, label] : {std::pair{"sequence", "sequence"},
                                    {"tool", "tool"},
                                    {"spindle", "spindle"},
                                    {"feed", "feed"},
                                    {"position", "position"},
                                    {"load", "cut"},
                                    {"other", "modes"},
                                    {"time", "time so far"}})
        out += fmt::format("<dt>{}</dt><dd id=\"{}\"></dd>\n", label, id);
    out += "</dl>\n<p id=\"called\"></p><p id=\"open\"></p></div>\n";
    out += "<div id=\"text\"><h2>Program</h2><div id=\"program\"></div></div>\n";
    out += "<div id=\"list\"><h2>Sequences</h2><div id=\"sequences\">\n" + sequence_list(picture) +
           "</div></div>\n</aside>\n</main>\n";
    out += "<script type=\"application/json\" id=\"data\">" + data_json(document, picture, frame) +
           "</script>\n";
    out += "<script>" + std::string(page_script) + "</script>\n</body>\n</html>\n";
    return out;
}

} // namespace turnwright::report

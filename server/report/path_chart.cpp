#include "report/path_chart.h"
#include "language/said.h"

#include "report/markup.h"
#include "report/picture.h"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <nlohmann/json.hpp>

namespace turnwright::report {
namespace {

using checks::FollowedPath;
using checks::PathStretch;
using features::path_seconds;
using features::TimedPaths;

constexpr double told_wait = 0.5; ///< Seconds below which nobody waits

std::string lines_of_stretch(const FollowedPath& path, const std::pair<std::size_t, std::size_t>& blocks) {
    if (blocks.first >= blocks.second) return said("nothing");
    return said("lines {}-{}", path.line_of(blocks.first) + 1, path.line_of(blocks.second - 1) + 1);
}

std::string end_of_stretch(const PathStretch& stretch) {
    return stretch.code < 0 ? said("to the end") : said("to ") + checks::written_wait(stretch.code);
}

std::string who_waits(const PathStretch& stretch, const TimedPaths::Stretch& time) {
    if (stretch.code < 0) return {};
    if (!time.is_known()) return said("who waits is not known");
    for (std::size_t p = 0; p < 2; ++p)
        if (time.waits(p) >= told_wait) return said("path {} waits {}", p + 1, path_seconds(time.waits(p)));
    return {};
}

std::vector<features::PathsRow> outline_of(const ChartedPaths& paths) {
    return features::paths_outline(paths.timed,
                                   {&paths.documents[0]->outline(), &paths.documents[1]->outline()});
}

/// The tools of both under each other, one a line.
std::string tools_side_by_side(const features::PathsRow& row) {
    std::string text;
    const std::size_t lines = std::max(row.sides[0].tools.size(), row.sides[1].tools.size());
    for (std::size_t i = 0; i < lines; ++i) {
        const auto tool = [&](std::size_t p) {
            return i < row.sides[p].tools.size() ? row.sides[p].tools[i] : std::string();
        };
        text += fmt::format("{:<11}{:<31}   {}", "", tool(0), tool(1));
        text.erase(text.find_last_not_of(' ') + 1);
        text += '\n';
    }
    return text;
}

std::string tools_in_page(const features::PathsRow::Side& side) {
    std::string text;
    for (const std::string& tool : side.tools) text += (text.empty() ? "" : "<br>") + markup_escaped(tool);
    return text;
}

/// What is told of the way between both tools; empty: nothing is known, or it is farther than anybody asks.
std::string apart_text(const checks::TwoPaths& two, const PathStretch& stretch) {
    constexpr double far_mm = 200;
    if (stretch.apart) {
        const checks::PathsApart& apart = *stretch.apart;
        if (apart.mm > far_mm) return {};
        const auto line = [&](std::size_t p) {
            return two.paths[p].line_of(stretch.blocks[p].first + apart.block[p]) + 1;
        };
        const std::string when =
            apart.seconds ? said(", about {:.0f} s behind the wait", *apart.seconds) : std::string();
        if (apart.mm <= 0)
            return said("T{:02} (line {}) and T{:02} (line {}) meet, {:.1f} mm deep{}.", apart.station[0],
                        line(0), apart.station[1], line(1), -apart.mm, when);
        return said(
            "Whole tools as the shop file tells them stay {:.1f} mm apart or more: T{:02} (line {}) and "
            "T{:02} (line {}) are nearest{}.",
            apart.mm, apart.station[0], line(0), apart.station[1], line(1), when);
    }
    if (!stretch.clearance_mm || *stretch.clearance_mm > far_mm) return {};
    if (*stretch.clearance_mm < 0.001)
        return said("The ways of both tips cross, at different times or not: look at them.");
    return said(
        "The tips stay {:.1f} mm apart or more, if the turrets work on opposite sides; holders are not "
        "looked at.",
        *stretch.clearance_mm);
}

struct PathSums {
    double together = 0;
    std::array<double, 2> waited{};
    bool about = false;
};
PathSums sums_of(const TimedPaths& timed) {
    PathSums sums;
    for (std::size_t k = 0; k < timed.stretches.size(); ++k) {
        const TimedPaths::Stretch& time = timed.stretches[k];
        sums.together += time.longer();
        sums.about = sums.about || time.about || !time.is_known();
        if (timed.two.stretches[k].code >= 0)
            for (std::size_t p = 0; p < 2; ++p) sums.waited[p] += time.is_known() ? time.waits(p) : 0;
    }
    return sums;
}
std::string sums_text(const TimedPaths& timed) {
    const PathSums sums = sums_of(timed);
    return said("Together {}{}; path 1 waits {}, path 2 waits {}.", sums.about ? said("about ") : "",
                path_seconds(sums.together), path_seconds(sums.waited[0]), path_seconds(sums.waited[1]));
}

constexpr TableText no_waits = "No wait codes were found: the shop file tells them (does = \"wait\"), "
                               "or notes (M101 WAIT), or M codes of "
                               "three digits alone in their blocks of both programs.";
constexpr TableText path_caution = "What was found is no proof that both programs are right: prove "
                                   "them out at the machine, slowly, one block "
                                   "at a time.";

// --- The chart --------------------------------------------------------------------------------------------

constexpr double chart_left = 92, chart_width = 880, bar_height = 34, first_bar = 46, second_bar = 104,
                 chart_height = 178;

/// A row for each path: what is full works, what is hatched waits.
std::string chart(const TimedPaths& timed) {
    std::string out;
    const PathSums sums = sums_of(timed);
    const double scale = sums.together > 0 ? chart_width / sums.together : 0;
    for (std::size_t p = 0; p < 2; ++p)
        out += said("<text x=\"8\" y=\"{}\" class=\"row\">Path {}</text>\n",
                    (p == 0 ? first_bar : second_bar) + bar_height / 2 + 5, p + 1);
    double at = 0, last_label = -1e9;
    for (std::size_t k = 0; k < timed.stretches.size(); ++k) {
        const PathStretch& stretch = timed.two.stretches[k];
        const TimedPaths::Stretch& time = timed.stretches[k];
        const double x = chart_left + at * scale;
        for (std::size_t p = 0; p < 2; ++p) {
            const double y = p == 0 ? first_bar : second_bar, works = time.seconds[p] * scale;
            const std::string lines = lines_of_stretch(timed.two.paths[p], stretch.blocks[p]);
            if (works > 0)
                out += said(
                    "<rect x=\"{:.2f}\" y=\"{}\" width=\"{:.2f}\" height=\"{}\" class=\"works\"><title>Path "
                    "{}, {}: {}</title></rect>\n",
                    x, y, works, bar_height, p + 1, lines, features::stretch_seconds(time, p));
            if (works > 78)
                out += fmt::format("<text x=\"{:.2f}\" y=\"{}\">{}</text>\n", x + 5, y + 21, lines);
            const double waits = time.waits(p) * scale;
            if (stretch.code >= 0 && time.is_known() && time.waits(p) >= told_wait)
                out += said(
                    "<rect x=\"{:.2f}\" y=\"{}\" width=\"{:.2f}\" height=\"{}\" class=\"waits\"><title>Path "
                    "{} waits {} for path {} at {}</title></rect>\n",
                    x + works, y, waits, bar_height, p + 1, path_seconds(time.waits(p)), 2 - p,
                    checks::written_wait(stretch.code));
        }
        at += time.longer();
        if (stretch.code < 0) break;
        const double end = chart_left + at * scale;
        out += fmt::format("<line x1=\"{:.2f}\" y1=\"30\" x2=\"{:.2f}\" y2=\"{}\" class=\"wait\"/>\n", end,
                           end, second_bar + bar_height + 8);
        if (end - last_label < 46) continue;
        last_label = end;
        out += fmt::format("<text x=\"{:.2f}\" y=\"24\" text-anchor=\"middle\">{}</text>\n", end,
                           checks::written_wait(stretch.code));
        out += fmt::format("<text x=\"{:.2f}\" y=\"{}\" text-anchor=\"middle\" class=\"time\">{}</text>\n",
                           end, second_bar + bar_height + 24, path_seconds(at));
    }
    return out;
}

constexpr std::string_view chart_style =
    "text{font:12px system-ui,Arial,sans-serif;fill:#1c1f22}.row{font-weight:700}.time{fill:#555}"
    ".works{fill:#c9d3dd;stroke:#3a4652}.waits{fill:url(#waiting);stroke:#3a4652}"
    ".wait{stroke:#1c1f22;stroke-dasharray:4 3}.axis{stroke:#777;stroke-dasharray:9 3 2 3}"
    ".raw{fill:none;stroke:#aaa;stroke-width:.8}.left{fill:#e4e9ee;stroke:none}"
    ".cut{fill:none;stroke:#1c1f22;stroke-width:1.5}.way{fill:none;stroke:#777;stroke-width:.8;"
    "stroke-dasharray:3 4}";
constexpr std::string_view chart_hatch =
    "<defs><pattern id=\"waiting\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
    "patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#fff\"/><line x1=\"0\" y1=\"0\" "
    "x2=\"0\" y2=\"7\" stroke=\"#3a4652\" stroke-width=\"2\"/></pattern></defs>\n";

// --- Both tools in one picture ----------------------------------------------------------------------------

/// The last stretch behind which it is known what both have left; nullptr: none.
const PathStretch* last_known_left(const checks::TwoPaths& two) {
    const PathStretch* last = nullptr;
    for (const PathStretch& stretch : two.stretches)
        if (stretch.left) last = &stretch;
    return last;
}

std::string area_data(const stock::Region& area, const Frame& frame) {
    std::string data;
    for (const Outline& outline : area.outlines()) data += outline_data(outline, frame);
    return data;
}

/// What is told of the part under both.
std::string left_text(const checks::TwoPaths& two) {
    if (!two.setup) return {};
    const PathStretch* last = last_known_left(two);
    if (!last) return said("What both have left of the part is not known.");
    if (last->code < 0) return said("What both have left of the part is followed to the end.");
    return said("What both have left of the part is followed up to {}; behind it, it is not known.",
                checks::written_wait(last->code));
}

/// The first path above the centreline, the second below, in one scale.
std::string both_tools(const ChartedPaths& paths, double& height) {
    std::array<Picture, 2> pictures{make_picture(*paths.documents[0]), {}};
    pictures[1] = paths.documents[1] == paths.documents[0] ? pictures[0] : make_picture(*paths.documents[1]);
    Frame frame;
    std::array<std::array<std::vector<motion::Segment>, 2>, 2> moves; // Of each path: rapid, at feed
    for (std::size_t p = 0; p < 2; ++p) {
        const FollowedPath& path = paths.timed.two.paths[p];
        if (path.blocks.empty()) continue;
        const std::size_t first = path.line_of(0), last = path.line_of(path.blocks.size() - 1);
        for (const PictureStep& step : pictures[p].steps) {
            if (step.line < first || step.line > last) continue;
            for (std::size_t i = 0; i < step.segment_count; ++i) {
                const motion::Segment& segment = pictures[p].segments[step.first_segment + i];
                const bool feeds =
                    segment.kind == motion::SegmentKind::feed || segment.kind == motion::SegmentKind::thread;
                moves[p][feeds].push_back(segment);
                if (!feeds) continue;
                frame.shown.take(segment.from.z_mm, segment.from.x_radius_mm);
                frame.shown.take(segment.to.z_mm, segment.to.x_radius_mm);
            }
        }
    }
    height = 0;
    if (frame.shown.empty) return {};
    // What both have left of one part, as far as that is known.
    const PathStretch* known = last_known_left(paths.timed.two);
    const stock::RegionPointer left = known ? known->left : nullptr;
    const stock::Region raw = left ? stock::raw_stock(*paths.timed.two.setup) : stock::Region{};
    if (left) frame.shown.take(raw.box().z_max, raw.box().x_max);
    frame.shown.x_min = 0;
    const double margin = 8;
    frame.shown.x_max += margin;
    frame.shown.z_min -= margin;
    frame.shown.z_max += margin;
    const double z_span = frame.shown.z_max - frame.shown.z_min, x_span = frame.shown.x_max;
    frame.left = chart_left;
    frame.scale = std::min(chart_width / z_span, 260 / x_span);
    frame.width = z_span * frame.scale;
    frame.height = x_span * frame.scale;
    height = 2 * frame.height;
    const double axis = frame.down(0);
    std::string out =
        fmt::format("<clipPath id=\"half\"><rect x=\"{:.1f}\" y=\"0\" width=\"{:.1f}\" height=\"{:.1f}\"/>"
                    "</clipPath>\n",
                    frame.left, frame.width, frame.height + 4);
    for (std::size_t p = 0; p < 2; ++p) {
        out += p == 0 ? std::string("<g clip-path=\"url(#half)\">")
                      : fmt::format("<g transform=\"translate(0 {:.2f}) scale(1 -1)\" "
                                    "clip-path=\"url(#half)\">",
                                    2 * axis);
        if (left)
            out += fmt::format("<path class=\"raw\" d=\"{}\"/><path class=\"left\" fill-rule=\"evenodd\" "
                               "d=\"{}\"/>",
                               area_data(raw, frame), area_data(*left, frame));
        for (const bool feeds : {false, true})
            out += fmt::format("<path class=\"{}\" d=\"{}\"/>", feeds ? "cut" : "way",
                               path_data(moves[p][feeds], frame));
        out += "</g>\n";
        out += said("<text x=\"8\" y=\"{:.1f}\" class=\"row\">Path {}</text>\n",
                    axis + (p == 0 ? -frame.height / 2 : frame.height / 2), p + 1);
    }
    return out + fmt::format("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" "
                             "class=\"axis\"/>\n",
                             frame.left, axis, frame.left + frame.width, axis);
}

std::string svg_head(double height) {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" data-generator=\"Turnwright\" viewBox=\"0 0 "
        "1000 {:.0f}\"><style>{}</style>{}",
        height, chart_style, chart_hatch);
}

} // namespace

std::string paths_text(const ChartedPaths& paths) {
    const TimedPaths& timed = paths.timed;
    const checks::TwoPaths& two = timed.two;
    const std::vector<features::PathsRow> outline = outline_of(paths);
    std::string text =
        said("Path 1: {}\nPath 2: {}\n\n", two.paths[0].program.name, two.paths[1].program.name);
    if (two.paths[0].waits.empty() && two.paths[1].waits.empty()) text += fmt::format("{}\n\n", no_waits);
    for (std::size_t k = 0; k < two.stretches.size(); ++k) {
        const PathStretch& stretch = two.stretches[k];
        const TimedPaths::Stretch& time = timed.stretches[k];
        text +=
            fmt::format("{:<10} {:<16} {:>14}   {:<16} {:>14}   {}\n", end_of_stretch(stretch),
                        lines_of_stretch(two.paths[0], stretch.blocks[0]), features::stretch_seconds(time, 0),
                        lines_of_stretch(two.paths[1], stretch.blocks[1]), features::stretch_seconds(time, 1),
                        who_waits(stretch, time));
        text += tools_side_by_side(outline[k]);
        if (const std::string apart = apart_text(two, stretch); !apart.empty())
            text += fmt::format("{:<11}{}\n", "", apart);
    }
    text += fmt::format("\n{}\n", sums_text(timed));
    if (const std::string left = left_text(two); !left.empty()) text += left + "\n";
    if (!two.findings.empty()) text += "\n";
    for (const checks::PathFinding& finding : two.findings) {
        const FollowedPath& path = two.paths[finding.path];
        text += fmt::format("{}:{}: warning: {} [{}]\n", path.program.name, path.line_of(finding.block) + 1,
                            finding.text, finding.id);
    }
    return text + fmt::format("\n{}\n", path_caution);
}

std::string paths_json(const TimedPaths& timed) {
    const checks::TwoPaths& two = timed.two;
    nlohmann::json out;
    out["paths"] = {two.paths[0].program.name, two.paths[1].program.name};
    out["sections"] = nlohmann::json::array();
    for (std::size_t k = 0; k < two.stretches.size(); ++k) {
        const int code = two.stretches[k].code;
        nlohmann::json section({{"to", code < 0 ? std::string() : checks::written_wait(code)},
                                {"seconds", timed.stretches[k].seconds},
                                {"at_least", timed.stretches[k].at_least},
                                {"about", timed.stretches[k].about}});
        if (two.stretches[k].apart) section["apart_mm"] = two.stretches[k].apart->mm;
        if (two.stretches[k].left) section["left_mm3"] = two.stretches[k].left->volume_mm3();
        out["sections"].push_back(std::move(section));
    }
    out["warnings"] = nlohmann::json::array();
    for (const checks::PathFinding& finding : two.findings)
        out["warnings"].push_back({{"path", finding.path + 1},
                                   {"line", two.paths[finding.path].line_of(finding.block) + 1},
                                   {"id", finding.id},
                                   {"severity", "warning"},
                                   {"message", finding.text}});
    return out.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n";
}

std::string paths_svg(const ChartedPaths& paths) {
    return svg_head(chart_height) + chart(paths.timed) + "</svg>\n";
}

std::string paths_page(const ChartedPaths& paths) {
    const TimedPaths& timed = paths.timed;
    const checks::TwoPaths& two = timed.two;
    const std::string title =
        markup_escaped(two.paths[0].program.name) + said(" and ") + markup_escaped(two.paths[1].program.name);
    std::string page = fmt::format(
        "<!DOCTYPE html>\n<html lang=\"{2}\"><head><meta charset=\"utf-8\"><meta name=\"generator\" "
        "content=\"Turnwright\"><meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'\"><title>{0}</title><style>body{{margin:0 "
        "auto;max-width:1100px;padding:12px "
        "16px;font:14px/1.45 system-ui,Arial,sans-serif;color:#1c1f22;background:#fff}}h1{{font-size:19px}}"
        "h2{{font-size:15px}}svg{{display:block;width:100%;height:auto}}td,th{{text-align:left;padding:2px "
        "14px "
        "2px 0;font-variant-numeric:tabular-nums}}footer{{margin-top:14px;font-size:12px;color:#555}}@media "
        "print{{@page{{size:A4 landscape;margin:10mm}}}}</style></head><body>\n<h1>{0}</h1>\n<p>{1} "
        "{3}</p>\n",
        title, sums_text(timed), language::chosen(), said("What is full works, what is hatched waits."));
    if (two.paths[0].waits.empty() && two.paths[1].waits.empty())
        page += "<p>" + markup_escaped(no_waits) + "</p>\n";
    page += paths_svg(paths);
    double height = 0;
    if (const std::string drawn = both_tools(paths, height); !drawn.empty())
        page += said("<h2>Both tools: path 1 above the centreline, path 2 below it</h2>\n") +
                svg_head(height + 8) + drawn + "</svg>\n";
    if (const std::string left = left_text(two); !left.empty())
        page += "<p>" + markup_escaped(left) + "</p>\n";
    const std::vector<features::PathsRow> outline = outline_of(paths);
    page += said(
        "<h2>From wait to wait</h2>\n<table><tr><th></th><th>Path 1</th><th></th><th>Path 2</th><th></th>"
        "<th></th></tr>\n");
    for (std::size_t k = 0; k < two.stretches.size(); ++k) {
        const PathStretch& stretch = two.stretches[k];
        page += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>\n",
                            end_of_stretch(stretch), lines_of_stretch(two.paths[0], stretch.blocks[0]),
                            features::stretch_seconds(timed.stretches[k], 0),
                            lines_of_stretch(two.paths[1], stretch.blocks[1]),
                            features::stretch_seconds(timed.stretches[k], 1),
                            who_waits(stretch, timed.stretches[k]));
        page += fmt::format("<tr><td></td><td colspan=\"2\">{}</td><td colspan=\"3\">{}</td></tr>\n",
                            tools_in_page(outline[k].sides[0]), tools_in_page(outline[k].sides[1]));
        if (const std::string apart = apart_text(two, stretch); !apart.empty())
            page += fmt::format("<tr><td></td><td colspan=\"5\">{}</td></tr>\n", markup_escaped(apart));
    }
    page += "</table>\n";
    if (!two.findings.empty()) page += said("<h2>Warnings</h2>\n<ul>\n");
    for (const checks::PathFinding& finding : two.findings) {
        const FollowedPath& path = two.paths[finding.path];
        page += said("<li>{}, line {}: {}</li>\n", markup_escaped(path.program.name),
                     path.line_of(finding.block) + 1, markup_escaped(finding.text));
    }
    if (!two.findings.empty()) page += "</ul>\n";
    return page + fmt::format("<footer>{}</footer>\n</body></html>\n", path_caution);
}

} // namespace turnwright::report

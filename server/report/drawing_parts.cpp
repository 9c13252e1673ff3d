#include "report/drawing_parts.h"

#include "report/markup.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

double per_mm(LengthUnit unit) {
    return unit == LengthUnit::inch ? 1 / motion::mm_per_inch : 1;
}

/// 1, 2 or 5 times a power of ten, not below `least`.
double round_step(double least) {
    const double power = std::pow(10, std::floor(std::log10(least)));
    for (double factor : {1.0, 2.0, 5.0})
        if (factor * power >= least * 0.999) return factor * power;
    return 10 * power;
}

} // namespace

const std::string_view drawing_style = R"(
.sheet{fill:#fff}.frame{fill:none;stroke:#444;stroke-width:1}
text{font-family:system-ui,"Segoe UI",Arial,sans-serif;fill:#222}
.heading{font-size:17px;font-weight:600}.small{font-size:12px;fill:#444}.tick{font-size:11px;fill:#555}
.axis{font-size:12px;font-weight:600}.empty{font-size:15px}.middle{text-anchor:middle}.end{text-anchor:end}
.grid{stroke:#e6e6e6;stroke-width:1}.zero{stroke:#bbb;stroke-width:1}
.centreline{stroke:#999;stroke-width:1;stroke-dasharray:18 4 3 4}
.hatch{stroke:#b9b9b9;stroke-width:1;fill:none}
.stock{fill:url(#stock-hatch);stroke:#999;stroke-width:1}.part{fill:url(#part-hatch);stroke:#222;stroke-width:1.6}
.jaw{fill:url(#jaw-hatch);stroke:#666;stroke-width:1.2}
.rapid,.feed,.pass,.link,.finish,.thread,.live,.nose{fill:none;stroke-linejoin:round}
.nose{stroke:#1f6b3a;stroke-width:.8;stroke-dasharray:11 2}
.rapid{stroke:#333;stroke-width:.9;stroke-dasharray:7 4}
.link{stroke:#666;stroke-width:.7;stroke-dasharray:1.5 3}
.feed{stroke:#0a3f8f;stroke-width:1.7}.pass{stroke:#0a3f8f;stroke-width:.8}.finish{stroke:#0a3f8f;stroke-width:2.6}
.thread{stroke:#8a2f00;stroke-width:2;stroke-dasharray:9 2 2 2}
.live{stroke:#6a1b7a;stroke-width:1.3;stroke-dasharray:3 2}
)";

std::string line_element(std::string_view css, double x1, double y1, double x2, double y2) {
    return fmt::format("<line class=\"{}\" x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"/>\n", css, on_sheet(x1),
                       on_sheet(y1), on_sheet(x2), on_sheet(y2));
}

std::string text_element(std::string_view css, double x, double y, std::string_view text) {
    return fmt::format("<text class=\"{}\" x=\"{}\" y=\"{}\">{}</text>\n", css, on_sheet(x), on_sheet(y),
                       markup_escaped(text));
}

std::string shape_element(std::string_view css, std::string_view title, std::string_view data) {
    if (data.empty()) return {};
    return fmt::format("<path class=\"{}\" d=\"{}\"><title>{}</title></path>\n", css, data, title);
}

std::string grid_of(const Frame& frame, LengthUnit unit, bool diameter) {
    std::string out;
    const double per = per_mm(unit), x_factor = per * (diameter ? 2 : 1);
    const Extents& shown = frame.shown;
    const double z_step = round_step(70 / frame.scale * per);
    for (double z = std::ceil(shown.z_min * per / z_step) * z_step; z <= shown.z_max * per; z += z_step) {
        const double at = frame.across(z / per);
        out += line_element("grid", at, frame.top, at, frame.top + frame.height);
        out += text_element("tick middle", at, frame.top + frame.height + 16, on_sheet(z));
    }
    const double x_step = round_step(34 / (frame.scale * frame.stretch) * x_factor);
    for (double x = std::ceil(shown.x_min * x_factor / x_step) * x_step; x <= shown.x_max * x_factor;
         x += x_step) {
        const double at = frame.down(x / x_factor);
        out += line_element("grid", frame.left, at, frame.left + frame.width, at);
        out += text_element("tick end", frame.left - 7, at + 4, on_sheet(x));
    }
    const std::string_view name = unit == LengthUnit::inch ? "in" : "mm";
    out += text_element("axis end", frame.left + frame.width, frame.top + frame.height + 34,
                        fmt::format("Z {} \xE2\x86\x92", name));
    out += text_element("axis", 12, frame.top - 8,
                        fmt::format("\xE2\x86\x91 X {} ({})", name, diameter ? "diameter" : "radius"));
    return out;
}

std::string axis_of(const Frame& frame) {
    const double at = frame.down(0), zero = frame.across(0);
    return line_element("centreline", frame.left, at, frame.left + frame.width, at) +
           line_element("zero", zero, frame.top, zero, frame.top + frame.height);
}

std::string clip_of(const Frame& frame) {
    return fmt::format(
        "<clipPath id=\"frame\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\n",
        on_sheet(frame.left), on_sheet(frame.top), on_sheet(frame.width), on_sheet(frame.height));
}

std::string border_of(const Frame& frame) {
    return fmt::format("<rect class=\"frame\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>\n",
                       on_sheet(frame.left), on_sheet(frame.top), on_sheet(frame.width),
                       on_sheet(frame.height));
}

} // namespace turnwright::report

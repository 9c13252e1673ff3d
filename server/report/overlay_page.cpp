// The page of two programs over each other. What belongs to which shows in width, dashes and hatching as well
// as in colour, so that it reads in grey and for every eye.
#include "features/hints.h"
#include "features/speech.h"
#include "language/said.h"
#include "report/drawing_parts.h"
#include "report/markup.h"
#include "report/overlay.h"
#include "report/report.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

/// More moves would make a page that no browser likes to open.
constexpr std::size_t most_drawn_moves = 40'000, most_listed_places = 30;

constexpr std::string_view overlay_style = R"(
body{margin:0 auto;max-width:1100px;padding:12px 16px;font:14px/1.45 system-ui,"Segoe UI",Arial,sans-serif;color:#1c1f22;background:#fff}
h1{font-size:19px;margin:0 0 2px}h2{font-size:15px;margin:16px 0 4px}p{margin:2px 0}
svg{display:block;width:100%;height:auto;max-height:76vh}
table{border-collapse:collapse}td,th{text-align:left;padding:2px 12px 2px 0;vertical-align:top;font-variant-numeric:tabular-nums}
pre{font:13px/1.4 ui-monospace,Consolas,"DejaVu Sans Mono",monospace;white-space:pre-wrap;margin:4px 0}
footer{margin-top:14px;font-size:12px;color:#555}
.old-hatch{stroke:#b34700;stroke-width:2.6;fill:none}.new-hatch{stroke:#0a3f8f;stroke-width:1.4;fill:none}
.both{fill:#ececec;stroke:none}.before{fill:none;stroke:#999;stroke-dasharray:3 3}
.only-old{fill:url(#old-hatch);stroke:#b34700;stroke-width:2;stroke-dasharray:7 3}
.only-new{fill:url(#new-hatch);stroke:#0a3f8f;stroke-width:2}
.old-way,.old-rapid,.new-way,.new-rapid{fill:none;stroke-linejoin:round}
.old-way{stroke:#e08a4f;stroke-width:4.5;stroke-dasharray:14 4}.old-rapid{stroke:#e0a880;stroke-width:2.4;stroke-dasharray:5 7}
.new-way{stroke:#0a2f6b;stroke-width:1.3}.new-rapid{stroke:#333;stroke-width:.8;stroke-dasharray:1.5 3}
.number{font-size:12px;font-weight:700;fill:#fff;text-anchor:middle}.tag{fill:#1c1f22}.pointer{stroke:#1c1f22;stroke-width:1.2}
@media print{@page{size:A4 landscape;margin:10mm}body{max-width:none;padding:0}svg{max-height:150mm}}
)";

/// One piece of material that differs.
struct Place {
    stock::Region area;
    bool is_old = false; ///< Left by the old program alone
};

std::vector<Place> places_of(const Overlay& overlay) {
    std::vector<Place> places;
    for (const bool is_old : {true, false})
        for (stock::Region& piece : stock::pieces(is_old ? overlay.only_old : overlay.only_new))
            places.push_back({std::move(piece), is_old});
    std::stable_sort(places.begin(), places.end(),
                     [](const Place& a, const Place& b) { return a.area.area_mm2() > b.area.area_mm2(); });
    return places;
}

class OverlayPage {
public:
    OverlayPage(const features::Document& before, const features::Document& after,
                const Comparison& comparison)
        : comparison_(comparison), old_(make_picture(before)), new_(make_picture(after)),
          overlay_(overlay_of(before, old_, after, new_)), places_(places_of(overlay_)) {
        unit_ = new_.unit == LengthUnit::unknown ? old_.unit : new_.unit;
        Picture joint;
        joint.cut = old_.cut;
        joint.all = old_.all;
        for (const auto& [to, from] : {std::pair(&joint.cut, &new_.cut), {&joint.all, &new_.all}})
            if (!from->empty) {
                to->take(from->z_min, from->x_min);
                to->take(from->z_max, from->x_max);
            }
        frame_ = fit_stretched(joint, overlay_.parts);
    }

    std::string page() {
        const std::string title = said("What differs: ") + markup_escaped(names());
        std::string out = fmt::format(
            "<!DOCTYPE html>\n<html lang=\"{3}\">\n<head>\n<meta charset=\"utf-8\">\n"
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
            "'unsafe-inline'; "
            "base-uri 'none'; form-action 'none'\">\n<meta name=\"generator\" content=\"Turnwright\">\n"
            "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{0}</title>\n"
            "<style>{1}{2}</style>\n</head>\n<body>\n<h1>{0}</h1>\n",
            title, drawing_style, overlay_style, language::chosen());
        out += "<p>" + in_short() + "</p>\n";
        if (frame_.stretch > 1)
            out += "<p>" +
                   said("X is drawn {} times as large as Z: angles and radii look wrong.", frame_.stretch) +
                   "</p>\n";
        out += svg();
        out += material();
        out += said("<h2>What the machine does otherwise</h2>\n<pre>") +
               in_lines(comparison_text(comparison_)) + "</pre>\n";
        return out + "<footer>" + markup_escaped(caution) + "</footer>\n</body>\n</html>\n";
    }

private:
    /// Without their folders where that tells them apart.
    std::string names() const {
        const auto short_name = [](const std::string& name) {
            return name.substr(name.find_last_of("/\\") + 1);
        };
        const std::string before = short_name(comparison_.old_name), after = short_name(comparison_.new_name);
        return before != after ? before + said(" and ") + after
                               : comparison_.old_name + said(" and ") + comparison_.new_name;
    }

    /// Escaping takes line ends for control characters.
    static std::string in_lines(std::string_view text) {
        std::string out;
        for (std::size_t at = 0; at < text.size();) {
            const std::size_t end = std::min(text.find('\n', at), text.size());
            out += markup_escaped(text.substr(at, end - at)) + "\n";
            at = end + 1;
        }
        return out;
    }

    std::string in_short() const {
        if (!overlay_.why_not.empty())
            return said("What material differs is not known. ") + markup_escaped(overlay_.why_not);
        if (places_.empty()) return said("Both leave the same part, as far as it is known here.");
        return said("The parts differ in {}; numbers in the drawing and in the table below it.",
                    plural(places_.size(), "place"));
    }

    std::string svg() {
        const double width = frame_.left + frame_.width + 28, legend_top = frame_.top + frame_.height + 52;
        std::string legend = this->legend(legend_top);
        std::string out =
            said("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 40 {} {}\" role=\"img\" "
                 "aria-label=\"Both ways of the tool and what material differs\">\n<defs>\n",
                 on_sheet(width), on_sheet(legend_top + legend_height_ - 40));
        out += "<pattern id=\"old-hatch\" width=\"9\" height=\"9\" patternUnits=\"userSpaceOnUse\" "
               "patternTransform=\"rotate(-45)\"><path class=\"old-hatch\" d=\"M0 0V9\"/></pattern>\n"
               "<pattern id=\"new-hatch\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" "
               "patternTransform=\"rotate(45)\"><path class=\"new-hatch\" d=\"M0 0V5\"/></pattern>\n" +
               clip_of(frame_) + "</defs>\n" + grid_of(frame_, unit_, new_.diameter) +
               "<g clip-path=\"url(#frame)\">\n";
        out += shape_element("before", said("stock before the first cut"), data_of(overlay_.parts.before));
        out += shape_element("both", said("left by both"), data_of(overlay_.both.outlines()));
        for (const Place& place : places_)
            out +=
                fmt::format("<path class=\"{}\" data-area-mm2=\"{:.6f}\" d=\"{}\"><title>{}</title></path>\n",
                            place.is_old ? "only-old" : "only-new", place.area.area_mm2(),
                            data_of(place.area.outlines()), words_of(place));
        out += way(true, old_) + way(false, new_) + axis_of(frame_);
        for (std::size_t i = 0; i < std::min(places_.size(), most_listed_places); ++i) out += tag(i);
        return out + "</g>\n" + border_of(frame_) + legend + "</svg>\n";
    }

    std::string data_of(const std::vector<Outline>& outlines) const {
        std::string data;
        for (const Outline& outline : outlines) data += outline_data(outline, frame_);
        return data;
    }

    std::string way(bool is_old, const Picture& picture) {
        std::vector<motion::Segment> cuts, rapids;
        for (std::size_t i = 0; i < std::min(picture.segments.size(), most_drawn_moves); ++i) {
            const motion::Segment& segment = picture.segments[i];
            if (segment.kind == motion::SegmentKind::dwell) continue;
            (segment.kind == motion::SegmentKind::rapid ? rapids : cuts).push_back(segment);
        }
        if (picture.segments.size() > most_drawn_moves)
            overlay_.remarks.push_back(
                is_old ? said("Of the old program the first {} moves are drawn.", most_drawn_moves)
                       : said("Of the new program the first {} moves are drawn.", most_drawn_moves));
        const std::string name = is_old ? "old" : "new";
        return shape_element(name + "-rapid",
                             is_old ? said("rapids of the old program") : said("rapids of the new program"),
                             path_data(rapids, frame_)) +
               shape_element(name + "-way",
                             is_old ? said("cuts of the old program") : said("cuts of the new program"),
                             path_data(cuts, frame_));
    }

    std::string tag(std::size_t index) const {
        const stock::Box box = places_[index].area.box();
        const double x = std::clamp(frame_.across((box.z_min + box.z_max) / 2), frame_.left + 10,
                                    frame_.left + frame_.width - 10);
        const double top = frame_.down(box.x_max), y = std::max(top - 30, frame_.top + 10);
        return line_element("pointer", x, y, x, top) +
               fmt::format("<circle class=\"tag\" cx=\"{}\" cy=\"{}\" r=\"9\"/>\n", on_sheet(x),
                           on_sheet(y)) +
               text_element("number", x, y + 4, std::to_string(index + 1));
    }

    static std::string_view words_of(const Place& place) {
        return place.is_old ? said("left by the old program, taken off by the new")
                            : said("left by the new program, taken off by the old");
    }

    std::string legend(double top) {
        struct Sample {
            std::string_view css, words;
            bool is_area;
        };
        std::vector<Sample> samples{{"old-way", said("cuts of the old program"), false},
                                    {"new-way", said("cuts of the new program"), false},
                                    {"old-rapid", said("rapids of the old"), false},
                                    {"new-rapid", said("rapids of the new"), false}};
        if (overlay_.why_not.empty())
            samples.insert(samples.end(), {{"only-old", said("left by the old, taken off by the new"), true},
                                           {"only-new", said("left by the new, taken off by the old"), true},
                                           {"both", said("left by both"), true}});
        std::string out;
        double x = frame_.left, y = top;
        for (const Sample& sample : samples) {
            const double width = 66 + 6.6 * static_cast<double>(sample.words.size());
            if (x > frame_.left && x + width > frame_.left + frame_.width) {
                x = frame_.left;
                y += 22;
            }
            out += sample.is_area
                       ? fmt::format("<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"36\" height=\"14\"/>\n",
                                     sample.css, on_sheet(x), on_sheet(y - 9))
                       : line_element(sample.css, x, y - 2, x + 40, y - 2);
            out += text_element("small", x + 46, y + 2, sample.words);
            x += width;
        }
        legend_height_ = y - top + 14;
        return out;
    }

    std::string material() const {
        std::string out = said("<h2>What material differs</h2>\n");
        for (const std::string& remark : overlay_.remarks) out += "<p>" + markup_escaped(remark) + "</p>\n";
        if (!overlay_.why_not.empty()) return out + "<p>" + markup_escaped(overlay_.why_not) + "</p>\n";
        if (places_.empty())
            return out +
                   said("<p>None that is {} wide or more.</p>\n", length_text(unit_, least_difference_mm));
        const double factor = new_.diameter ? 2 : 1;
        const double square = unit_ == LengthUnit::inch ? motion::mm_per_inch * motion::mm_per_inch : 1;
        const std::string_view unit = unit_ == LengthUnit::inch ? "in" : "mm";
        out += said("<table><tr><th></th><th>what</th><th>Z, {0}</th><th>{1}, {0}</th><th>section, "
                    "{0}\xC2\xB2</th></tr>\n",
                    unit, new_.diameter ? said("diameter") : said("radius"));
        for (std::size_t i = 0; i < std::min(places_.size(), most_listed_places); ++i) {
            const stock::Box box = places_[i].area.box();
            out +=
                said("<tr><td>{}</td><td>{}</td><td>{} to {}</td><td>{} to {}</td><td>{}</td></tr>\n", i + 1,
                     words_of(places_[i]), length_number(unit_, box.z_max), length_number(unit_, box.z_min),
                     length_number(unit_, factor * box.x_min), length_number(unit_, factor * box.x_max),
                     features::plain(places_[i].area.area_mm2() / square, 4));
        }
        out += "</table>\n";
        if (places_.size() > most_listed_places)
            out += said("<p>And {} smaller.</p>\n", plural(places_.size() - most_listed_places, "place"));
        return out;
    }

    const Comparison& comparison_;
    Picture old_, new_;
    Overlay overlay_;
    std::vector<Place> places_;
    LengthUnit unit_ = LengthUnit::unknown;
    Frame frame_;
    double legend_height_ = 0;
};

} // namespace

std::string comparison_page(const features::Document& before, const features::Document& after,
                            const Comparison& comparison) {
    return OverlayPage(before, after, comparison).page();
}

} // namespace turnwright::report

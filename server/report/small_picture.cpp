// The picture of a program small enough for a row of a table: the same strokes and outlines, without the
// words.
#include "features/speech.h"
#include "report/library.h"
#include "report/picture.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

constexpr double most_wide = 150, most_high = 76;
// A table of thousands holds them all: of a long program the outline alone is drawn.
constexpr std::size_t most_path_bytes = 6000;

std::string small_picture(const features::Document& document) {
    const Picture picture = make_picture(document);
    if (picture.cut.empty) return {};
    const PictureParts parts = parts_of(document, drawn_stock(document, picture));
    Frame frame;
    frame.shown = fit(picture, parts).shown;
    const double z = frame.shown.z_max - frame.shown.z_min, x = frame.shown.x_max - frame.shown.x_min;
    frame.scale = std::min(most_wide / z, most_high / x);
    std::string shapes, strokes;
    for (const Outline& outline : parts.after.empty() ? parts.before : parts.after)
        shapes += fmt::format("<path class=\"part\" d=\"{}\"/>", outline_data(outline, frame));
    std::map<Stroke, std::string> paths;
    for (const PictureStep& step : picture.steps)
        for (auto& [stroke, data] : strokes_of(picture, step, frame))
            if (stroke != Stroke::rapid && stroke != Stroke::link) paths[stroke] += data;
    for (const auto& [stroke, data] : paths)
        strokes += fmt::format("<path class=\"{}\" d=\"{}\"/>", stroke_class(stroke), data);
    if (strokes.size() > most_path_bytes && !parts.after.empty()) strokes.clear();
    if (strokes.size() > most_path_bytes) return {};
    if (shapes.empty() && strokes.empty()) return {};
    const double centre = frame.down(0);
    return fmt::format("<svg viewBox=\"0 0 {0} {1}\" width=\"{0}\" height=\"{1}\">{2}{3}"
                       "<path class=\"centre\" d=\"M0 {4}H{0}\"/></svg>",
                       features::plain(z * frame.scale, 0), features::plain(x * frame.scale, 0), shapes,
                       strokes, features::plain(centre, 1));
}

} // namespace turnwright::report

// The sketch of the setup sheet: what is held, what stands out of the jaws, and the numbers of what to
// measure.
#include "features/speech.h"
#include "language/said.h"
#include "report/inspection.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

using motion::Point;

namespace {

constexpr double paper_width = 184, highest_mm = 62; ///< mm of paper, the numbers not counted
constexpr double number_room = 11, number_radius = 2.1, between_numbers = 4.8;
constexpr double text_room = 7;

class Sketch {
public:
    Sketch(const PictureParts& parts, const Picture& picture, const Inspection& inspection)
        : parts_(parts), inspection_(inspection), unit_(picture.unit) {
        frame_.shown = shown_of(picture, parts);
        const double margin = 0.03 * (frame_.shown.z_max - frame_.shown.z_min);
        frame_.shown.z_min -= margin;
        frame_.shown.z_max += margin;
        frame_.shown.x_min = -frame_.shown.x_max; // Both halves
        const double z = frame_.shown.z_max - frame_.shown.z_min, x = 2 * frame_.shown.x_max;
        frame_.scale = std::min(paper_width / z, highest_mm / x);
        frame_.width = z * frame_.scale;
        frame_.height = x * frame_.scale;
        frame_.left = (paper_width - frame_.width) / 2;
        frame_.top = number_room;
    }

    std::string svg() {
        for (const Outline& outline : parts_.before) add_outline("raw", outline);
        if (parts_.jaws) add_holder("held", *parts_.jaws, false);
        if (parts_.tailstock) add_holder("held", *parts_.tailstock, true);
        for (const Outline& outline : parts_.after) add_outline("part", outline);
        const double middle = frame_.down(0), zero = frame_.across(0);
        out_ += path("centre",
                     fmt::format("M{} {}H{}", at(frame_.left), at(middle), at(frame_.left + frame_.width)));
        out_ += fmt::format("<circle class=\"zero\" cx=\"{}\" cy=\"{}\" r=\"1.6\"/>", at(zero), at(middle));
        out_ += path("zero", fmt::format("M{} {}h5m-2.5 -2.5v5", at(zero - 2.5), at(middle)));
        add_stick_out();
        add_numbers(false);
        add_numbers(true);
        const double high = frame_.top + frame_.height + number_room + text_room;
        const std::string turned = fmt::format(
            "<p class=\"under\">{}</p>\n",
            said("Stock, jaws and what stands out: of the first side. The part lies as on the last one."));
        return said("<svg class=\"sketch\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"Sketch of stock, "
                    "jaws and finished part\">{}</svg>\n",
                    at(paper_width), at(high), out_) +
               (parts_.turned_line ? turned : "");
    }

private:
    static std::string at(double length) { return on_sheet(length); }
    static std::string path(std::string_view css, const std::string& data) {
        return fmt::format("<path class=\"{}\" d=\"{}\"/>", css, data);
    }

    void add_outline(std::string_view css, Outline outline) {
        // Of a bar without a known end the paper shows as much as is worked on.
        for (Point& point : outline) point.z_mm = std::max(point.z_mm, frame_.shown.z_min);
        std::string data = outline_data(outline, frame_);
        for (Point& point : outline) point.x_radius_mm = -point.x_radius_mm;
        out_ += path(css, data + outline_data(outline, frame_));
    }

    void add_holder(std::string_view css, const PictureParts::Holder& holder, bool in_front) {
        const double z = frame_.across(holder.z_mm);
        const double end = in_front ? frame_.left + frame_.width : std::max(frame_.left, z - 12);
        for (const double side : {1.0, -1.0}) {
            const double from = frame_.down(side * holder.from_radius_mm);
            const double to = frame_.down(side * std::min(holder.to_radius_mm, frame_.shown.x_max));
            out_ += path(css, fmt::format("M{} {}V{}H{}V{}Z", at(z), at(from), at(to), at(end), at(from)));
        }
    }

    void add_stick_out() {
        if (!parts_.jaws || parts_.before.empty()) return;
        double front = parts_.jaws->z_mm;
        for (const Outline& outline : parts_.before)
            for (const Point& point : outline) front = std::max(front, point.z_mm);
        const double from = frame_.across(parts_.jaws->z_mm), to = frame_.across(front);
        const double down = frame_.top + frame_.height + number_room + 1;
        const double mm = front - parts_.jaws->z_mm;
        out_ += path("size", fmt::format("M{0} {1}v-3m0 1.5H{2}m0 -1.5v3", at(from), at(down + 1.5), at(to)));
        out_ += said("<text x=\"{}\" y=\"{}\">stands out {}</text>", at((from + to) / 2), at(down + 4.6),
                     length_text(unit_, mm, 2));
    }

    /// Outside above, bores below, each number over its place as near as the others leave room.
    void add_numbers(bool of_holes) {
        struct Number {
            std::size_t number;
            double wanted, across;
            Point place;
        };
        std::vector<Number> numbers;
        for (std::size_t i = 0; i < inspection_.rows.size(); ++i) {
            const Inspected& row = inspection_.rows[i];
            if (row.inside != of_holes) continue;
            const double across = frame_.across(row.at.z_mm);
            numbers.push_back({i + 1, across, across, row.at});
        }
        std::stable_sort(numbers.begin(), numbers.end(),
                         [](const Number& a, const Number& b) { return a.wanted < b.wanted; });
        for (std::size_t i = 1; i < numbers.size(); ++i)
            numbers[i].across = std::max(numbers[i].across, numbers[i - 1].across + between_numbers);
        double most = paper_width - number_radius;
        for (std::size_t i = numbers.size(); i-- > 0; most -= between_numbers)
            numbers[i].across = most = std::min(numbers[i].across, most);
        const double lane =
            of_holes ? frame_.top + frame_.height + number_room - 1.5 - number_radius : number_radius + 0.5;
        for (const Number& one : numbers) {
            const double side = of_holes ? -1 : 1;
            const double down = frame_.down(side * one.place.x_radius_mm);
            out_ += path("leader", fmt::format("M{} {}L{} {}", at(one.across),
                                               at(lane + side * number_radius), at(one.wanted), at(down)));
            out_ += fmt::format("<circle class=\"number\" cx=\"{0}\" cy=\"{1}\" r=\"{2}\"/><text x=\"{0}\" "
                                "y=\"{3}\">{4}</text>",
                                at(one.across), at(lane), at(number_radius), at(lane + 0.95), one.number);
        }
    }

    const PictureParts& parts_;
    const Inspection& inspection_;
    const LengthUnit unit_;
    Frame frame_;
    std::string out_;
};

} // namespace

std::string sheet_sketch(const PictureParts& parts, const Picture& picture, const Inspection& inspection) {
    if (parts.before.empty() || (picture.cut.empty && picture.all.empty)) return {};
    return Sketch(parts, picture, inspection).svg();
}

} // namespace turnwright::report

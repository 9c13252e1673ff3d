// A groove with its corners broken.
#include "calculate/calculate.h"
#include "language/said.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::calculate::groove {
namespace {

using codes::Meaning;

constexpr Place places[] = {
    {"D", Measure::diameter, "of the bottom", true},
    {"WIDTH", Measure::length, "of the groove", true},
    {"Z", Measure::position, "its wall toward the chuck, if not where the tool stands"},
    {"FROM", Measure::diameter,
     "that it is cut into, if not the cylinder cut last; a bore where it is smaller "
     "than D"},
    {"BREAK", Measure::length, "of both corners, at 45 degrees"},
    {"TOOL", Measure::length, "width of the edge, if not the one of the tool in use"},
};

class Cutting {
public:
    Cutting(const Question& question, const Here& here) : here_(here) {
        bottom_ = *question.value("D") / 2;
        width_ = *question.value("WIDTH");
        break_ = question.value("BREAK").value_or(0);
    }

    Answer answer(const Question& question) {
        if (question.has("FROM"))
            from_ = *question.value("FROM") / 2;
        else if (here_.cylinder_radius_mm)
            from_ = *here_.cylinder_radius_mm;
        else
            return refuse(said("The diameter that the groove is cut into is not known here: give FROM."));
        const auto left = question.has("Z") ? question.value("Z") : here_.z_mm;
        if (!left)
            return refuse(
                said("Where the groove lies is not known here: give Z, its wall toward the chuck."));
        const auto tool = question.has("TOOL") ? question.value("TOOL") : here_.tool_width_mm;
        if (!tool) return refuse(said("The width of the edge is not known here: give TOOL."));
        left_ = *left;
        tool_ = *tool;
        side_ = bottom_ < from_ ? 1 : -1;
        const double depth = std::abs(from_ - bottom_);
        constexpr double least_mm = 1e-6;
        if (depth < least_mm)
            return refuse(said("The bottom and what it is cut into are both {}: that is no groove.",
                               here_.spoken(2 * bottom_)));
        if (tool_ > width_ + least_mm)
            return refuse(
                said("An edge {} wide cuts no groove of {}.", here_.spoken(tool_), here_.spoken(width_)));
        if (break_ >= depth)
            return refuse(said("A break of {} is as much as the groove is deep, {}.", here_.spoken(break_),
                               here_.spoken(depth)));
        const int tip = here_.tip_direction.value_or(side_ > 0 ? 3 : 2);
        front_corner_ = tip == 1 || tip == 4;
        if (!here_.tip_direction)
            answer_.remarks.push_back(
                said("The tool is assumed to be set by its corner toward the chuck: the shop file "
                     "tells no tip direction."));
        answer_.results = {{said("depth"), depth, Measure::length, true},
                           {said("wall toward the chuck at Z"), left_, Measure::position},
                           {said("other wall at Z"), left_ + width_, Measure::position, true},
                           {said("plunges"), static_cast<double>(plunges()), Measure::number}};
        cut();
        return std::move(answer_);
    }

private:
    double clear() const {
        const double beside =
            side_ > 0 && here_.stock_known ? std::max(from_, here_.outside_radius_mm) : from_;
        return side_ > 0 ? beside + 2 : std::max(from_ - 2, from_ / 2);
    }
    /// Each takes at most four fifths of the edge beside the one before (common practice, no source).
    int plunges() const {
        return 1 + static_cast<int>(std::ceil((width_ - tool_ - 2 * wall_left()) / (0.8 * tool_) - 1e-9));
    }
    /// That the plunges leave on walls and bottom for the way along them.
    double wall_left() const { return std::min(0.1, (width_ - tool_) / 2); }

    void move(Meaning code, std::optional<double> radius, std::optional<double> chuck_edge) {
        const double set_at = front_corner_ ? tool_ : 0;
        Block block = move_to(code, radius, chuck_edge ? std::optional(*chuck_edge + set_at) : std::nullopt);
        if (code == Meaning::feed_line && !here_.feed_in_force && !feed_written_) {
            block.words.push_back({'F', Written::feed, here_.groove_feed});
            feed_written_ = true;
        }
        answer_.blocks.push_back(std::move(block));
    }

    void cut() {
        const bool finishes = break_ > 0 || width_ > tool_ + 1e-6;
        const double rough =
            finishes ? bottom_ + side_ * std::min(0.1, std::abs(from_ - bottom_) / 2) : bottom_;
        const double first = left_ + wall_left(), last = left_ + width_ - tool_ - wall_left();
        const int count = plunges();
        move(Meaning::rapid, clear(), std::nullopt);
        for (int i = 0; i < count; ++i) {
            move(Meaning::rapid, std::nullopt,
                 count == 1 ? (first + last) / 2 : first + (last - first) * i / (count - 1));
            move(Meaning::feed_line, rough, std::nullopt);
            move(Meaning::rapid, clear(), std::nullopt);
        }
        if (!finishes) return;
        const double middle = left_ + (width_ - tool_) / 2;
        wall(left_ + width_ - tool_, 1, middle);
        wall(left_, -1, middle);
    }

    /// From beside the corner along its break and the wall to the bottom, and to the middle of it. The way
    /// begins a little outside, so that the break has no edge of its own.
    void wall(double chuck_edge, double away, double middle) {
        constexpr double outside_mm = 1;
        const double begin = break_ > 0 ? chuck_edge + away * (break_ + outside_mm) : chuck_edge;
        move(Meaning::rapid, std::nullopt, begin);
        move(Meaning::rapid, from_ + side_ * std::min(outside_mm, std::abs(clear() - from_)), std::nullopt);
        if (break_ > 0) move(Meaning::feed_line, from_ - side_ * break_, chuck_edge);
        move(Meaning::feed_line, bottom_, std::nullopt);
        if (std::abs(middle - chuck_edge) > 1e-6) move(Meaning::feed_line, std::nullopt, middle);
        move(Meaning::rapid, clear(), std::nullopt);
    }

    const Here& here_;
    double bottom_ = 0, width_ = 0, break_ = 0, from_ = 0, left_ = 0, tool_ = 0, side_ = 1;
    bool front_corner_ = false, feed_written_ = false;
    Answer answer_;
};

Answer answer(const Question& question, const Here& here) {
    return Cutting(question, here).answer(question);
}

} // namespace

extern const Calculator calculator{"GROOVE",
                                   "groove with its corners broken",
                                   places,
                                   "Plunges beside each other by four fifths of the edge leave 0.1 mm on "
                                   "walls and bottom; then both walls are "
                                   "cut from the outside in, along the break and down, to the middle of the "
                                   "bottom (common practice). The edge "
                                   "is reckoned with sharp corners.",
                                   "D20 WIDTH 4 Z-24 FROM 30 BREAK 0.3 TOOL 3",
                                   answer};

} // namespace turnwright::calculate::groove

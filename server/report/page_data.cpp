#include "report/page_data.h"

#include "features/hints.h"
#include "features/speech.h"
#include "features/warnings.h"
#include "report/markup.h"
#include "report/stock_film.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace turnwright::report {

namespace {

using motion::Segment;
using nlohmann::json;

/// A page larger than about 5 MB is slow to send and to open: blocks behind this are left out, and said.
constexpr std::size_t most_bytes = 4'500'000;
/// What one block and one move come to at the most, near enough to stop in time.
constexpr std::size_t bytes_per_step = 75, bytes_per_segment = 26, bytes_per_point = 13;

/// Added to the number of a stroke: where it comes from is given, and an arc's centre and sweep.
constexpr int with_start = 16, with_arc = 8;

std::int64_t thousandths(double mm) {
    return std::isfinite(mm) ? std::llround(std::clamp(mm, -1e6, 1e6) * 1000) : 0;
}

json point_json(double z_mm, double x_radius_mm) {
    return {thousandths(z_mm), thousandths(x_radius_mm)};
}

/// Moves in a row: [stroke, from z, x?, to z, x, centre z, x, sweep in thousandths of a radian?].
class MoveRow {
public:
    void add(const Segment& segment, int stroke) {
        const json from = point_json(segment.from.z_mm, segment.from.x_radius_mm);
        const json to = point_json(segment.to.z_mm, segment.to.x_radius_mm);
        const bool starts = from != last_;
        row.push_back(stroke + (starts ? with_start : 0) + (segment.is_arc ? with_arc : 0));
        if (starts) put(from);
        put(to);
        if (segment.is_arc) {
            put(point_json(segment.centre.z_mm, segment.centre.x_radius_mm));
            row.push_back(std::llround(segment.sweep * 1e5));
        }
        last_ = to;
    }
    json row = json::array();

private:
    void put(const json& point) {
        row.push_back(point[0]);
        row.push_back(point[1]);
    }
    json last_;
};

class PageData {
public:
    PageData(const features::Document& document, const Picture& picture, const DrawnStock& stock)
        : document_(document), picture_(picture), shop_(*stock.shop), parts_(parts_of(document, stock)),
          film_(film_of(document, picture, stock)) {}

    json make() {
        choose_end();
        json data{{"unit", picture_.unit == LengthUnit::inch ? "in" : "mm"},
                  {"diameter", picture_.diameter},
                  {"about", picture_.about},
                  {"texts", std::vector(picture_.texts.begin(),
                                        picture_.texts.begin() + static_cast<std::ptrdiff_t>(texts_))},
                  {"whyNothing", why_nothing(picture_)},
                  {"cutShort", steps_ < picture_.steps.size() ? json(picture_.steps[steps_].line)
                               : picture_.last_line           ? json(*picture_.last_line)
                                                              : json(nullptr)},
                  {"lines", lines_json()},
                  {"spans", spans_json()},
                  {"steps", steps_json()},
                  {"nose", nose_json()},
                  {"stock", stock_json()},
                  {"jaws", holder_json(parts_.jaws)},
                  {"tailstock", holder_json(parts_.tailstock)},
                  {"tools", tools_json()},
                  {"hits", hits_json()}};
        add_moves(data);
        const Frame frame = fit(picture_, parts_);
        data["extents"] = {thousandths(frame.shown.z_min), thousandths(frame.shown.z_max),
                           thousandths(frame.shown.x_min), thousandths(frame.shown.x_max)};
        return data;
    }

private:
    /// How many steps and changes of the stock there is room for.
    void choose_end() {
        std::size_t bytes = 0;
        std::size_t change = 0, line = 0;
        for (; steps_ < picture_.steps.size() && bytes < most_bytes; ++steps_) {
            const PictureStep& step = picture_.steps[steps_];
            bytes += bytes_per_step + bytes_per_segment * step.segment_count;
            // They stand in the order of their first use.
            const std::size_t last_text =
                std::max({step.tool, step.spindle, step.rpm, step.feed, step.position, step.load, step.other,
                          step.called, step.open});
            for (; texts_ <= last_text; ++texts_) bytes += picture_.texts[texts_].size() + 3;
            for (; line <= step.line && line < document_.buffer().line_count(); ++line)
                bytes += document_.buffer().line(line).size() + 3;
            const std::size_t end = step.first_segment + step.segment_count;
            for (; change < film_.changes.size() && film_.changes[change].segment < end; ++change)
                bytes += bytes_per_segment + bytes_per_point * film_.changes[change].put.size();
        }
        segments_ = steps_ == 0 ? 0 : behind(picture_.steps[steps_ - 1]);
    }

    static std::size_t behind(const PictureStep& step) { return step.first_segment + step.segment_count; }

    json lines_json() const {
        json lines = json::array();
        std::size_t count = document_.buffer().line_count();
        if (steps_ < picture_.steps.size()) count = std::min(count, picture_.steps[steps_].line + 1);
        for (std::size_t i = 0; i < count; ++i)
            lines.push_back(features::readable(document_.buffer().line(i)));
        return lines;
    }

    json spans_json() const {
        json spans = json::array();
        for (const PictureSpan& span : picture_.spans)
            spans.push_back({span.name, span.note, span.first_line, span.last_line,
                             span.totals.seconds() > 0 || span.totals.blocks_without_time
                                 ? time_or_unknown(span.totals)
                                 : std::string("no time")});
        return spans;
    }

    json steps_json() const {
        json steps = json::array();
        for (std::size_t i = 0; i < steps_; ++i) {
            const PictureStep& step = picture_.steps[i];
            json row = {step.line,        step.span,   step.tool,     step.spindle,
                        step.rpm,         step.feed,   step.position, step.load,
                        step.other,       step.called, step.open,     std::round(step.seconds * 100) / 100,
                        step.without_time};
            row.push_back(step.end ? json(thousandths(step.end->z_mm)) : json(nullptr));
            row.push_back(step.end ? json(thousandths(step.end->x_radius_mm)) : json(nullptr));
            row.push_back(step.segment_count);
            row.push_back(step.station);
            steps.push_back(std::move(row));
        }
        return steps;
    }

    void add_moves(json& data) const {
        MoveRow moves;
        json seconds = json::array();
        for (std::size_t i = 0; i < steps_; ++i) {
            const PictureStep& step = picture_.steps[i];
            for (std::size_t at = step.first_segment; at < behind(step); ++at) {
                moves.add(picture_.segments[at],
                          static_cast<int>(stroke_of(picture_.segments[at], step.live)));
                seconds.push_back(std::llround(std::min(picture_.segment_seconds[at], 1e6f) * 100));
            }
        }
        data["moves"] = std::move(moves.row);
        data["seconds"] = std::move(seconds); // In hundredths
    }

    json nose_json() const {
        json nose = json::object();
        for (const auto& [step, way] : picture_.nose) {
            if (step >= steps_) break;
            MoveRow row;
            for (const Segment& segment : way) row.add(segment, 0);
            nose[std::to_string(step)] = std::move(row.row);
        }
        return nose;
    }

    static void put(json& row, const FilmRow& points) {
        for (const FilmPoint& point : points) {
            row.push_back(point == loop_end ? json(nullptr) : json(point.z));
            row.push_back(point == loop_end ? json(nullptr) : json(point.x));
        }
    }

    /// Changes in a row: [segment, start, removed, how many put, z, x, ...].
    json stock_json() const {
        json first = json::array(), changes = json::array();
        put(first, film_.first);
        for (const FilmChange& change : film_.changes) {
            if (change.segment >= segments_) break;
            for (const std::size_t number :
                 {change.segment, std::size_t{change.start}, std::size_t{change.removed}, change.put.size()})
                changes.push_back(number);
            put(changes, change.put);
        }
        return {{"first", std::move(first)},
                {"changes", std::move(changes)},
                {"exact", film_.exact},
                {"followedTo", film_.followed_to ? json(*film_.followed_to) : json(nullptr)},
                {"whyNot", film_.why_not},
                {"assumed", parts_.assumed}};
    }

    static json holder_json(const std::optional<PictureParts::Holder>& holder) {
        if (!holder) return nullptr;
        return {thousandths(holder->z_mm), thousandths(holder->from_radius_mm),
                thousandths(holder->to_radius_mm)};
    }

    static json outline_json(const std::vector<motion::Point>& points) {
        json outline = json::array();
        for (const motion::Point& point : points)
            outline.push_back(point_json(point.z_mm, point.x_radius_mm));
        return outline;
    }

    /// By station: what is known of the tool's edge, from its programmed point.
    json tools_json() const {
        json tools = json::object();
        for (std::size_t i = 0; i < steps_; ++i) {
            const int station = picture_.steps[i].station;
            const std::string key = std::to_string(station);
            if (station < 0 || tools.contains(key)) continue;
            const stock::ToolShape shape = stock::shape_of(shop_.tool(station));
            tools[key] = {
                {"outline", outline_json(shape.bare_tip ? std::vector<motion::Point>{} : shape.surely)},
                {"nose", thousandths(shape.nose_radius_mm)},
                {"centre", point_json(shape.nose_centre.z_mm, shape.nose_centre.x_radius_mm)}};
        }
        return tools;
    }

    /// Where the tool is when the stock room sees it hit something, by line.
    std::multimap<std::size_t, motion::Point> places() const {
        std::multimap<std::size_t, motion::Point> places;
        for (const stock::ProgramCourse& program : document_.results().stock().programs())
            for (const stock::SequenceCourse& sequence : program.sequences)
                for (const stock::Event& event : sequence.events)
                    places.emplace(document_.line_of(sequence.place(event.block)), event.at);
        return places;
    }

    /// The step of a line, or the first one behind it.
    std::size_t step_of(std::size_t line) const {
        std::size_t next = steps_;
        for (std::size_t i = 0; i < steps_; ++i) {
            if (picture_.steps[i].line == line) return i;
            if (next == steps_ && picture_.steps[i].line > line) next = i;
        }
        return next == steps_ && steps_ > 0 ? steps_ - 1 : next;
    }

    /// Every warning in the order of the check.
    json hits_json() const {
        json hits = json::array();
        const std::multimap<std::size_t, motion::Point> seen = places();
        for (const features::Warning& warning : features::warnings(document_)) {
            const std::size_t line = warning.range.begin.line;
            json hit{{"line", line},
                     {"step", step_of(line)},
                     {"severity", severity_name(warning.severity)},
                     {"text", warning.message}};
            if (const auto place = seen.find(line); place != seen.end())
                hit["at"] = point_json(place->second.z_mm, place->second.x_radius_mm);
            hits.push_back(std::move(hit));
        }
        return hits;
    }

    const features::Document& document_;
    const Picture& picture_;
    const shop::Shop& shop_;
    const PictureParts parts_;
    StockFilm film_;
    std::size_t steps_ = 0, segments_ = 0, texts_ = 1; ///< That there is room for
};

} // namespace

std::string page_data(const features::Document& document, const Picture& picture, const DrawnStock& stock) {
    return script_safe(
        PageData(document, picture, stock).make().dump(-1, ' ', false, json::error_handler_t::replace));
}

} // namespace turnwright::report

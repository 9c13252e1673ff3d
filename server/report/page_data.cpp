#include "report/page_data.h"
#include "language/language.h"
#include "language/said.h"

#include "features/hints.h"
#include "features/noted.h"
#include "features/speech.h"
#include "features/warnings.h"
#include "report/inspection.h"
#include "report/markup.h"
#include "report/stock_film.h"
#include "report/tool_body.h"

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
/// Of a program that changes its stock more often the sizes are left to the sheet.
constexpr std::size_t most_inspected_changes = 20'000;
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

/// The files of a page in parts.
struct PageFiles {
    std::vector<std::string> names;
    std::vector<std::pair<std::size_t, std::size_t>> lines; ///< First and last of each, from 0
    std::size_t count = 0;
};

/// "path.html", "path.2.html"
std::string part_name(std::string_view file, std::size_t number) {
    if (number == 1) return std::string(file);
    const std::size_t dot = file.rfind('.');
    return fmt::format("{}.{}{}", file.substr(0, dot), number,
                       dot == std::string_view::npos ? std::string_view{} : file.substr(dot));
}

/// What does not change from part to part, and how a part is cut out.
class PageData {
public:
    PageData(const features::Document& document, const Picture& picture, const DrawnStock& stock)
        : document_(document), picture_(picture), shop_(*stock.shop),
          parts_(parts_of(document, stock, picture)), film_(film_of(document, picture, stock)),
          warnings_(features::warnings(document)), row_(film_.first) {
        if (stock.course && stock.course->setup) setup_ = *stock.course->setup;
        if (film_.changes.size() <= most_inspected_changes) inspection_ = inspect(document, picture, stock);
    }

    bool ended() const { return begun_ && first_ >= picture_.steps.size(); }

    /// The next part, and what it holds.
    PagePart next(const PageFiles& files, std::size_t number) {
        begun_ = true;
        choose_end();
        json data{{"unit", picture_.unit == LengthUnit::inch ? "in" : "mm"},
                  {"diameter", picture_.diameter},
                  {"about", picture_.about},
                  {"whyNothing", why_nothing(picture_)},
                  {"cutShort", cut_short(files)},
                  {"firstStep", first_},
                  {"stepCount", picture_.steps.size()},
                  {"secondsBefore", first_ > 0 ? rounded(picture_.steps[first_ - 1].seconds) : 0.0},
                  {"firstLine", first_line_},
                  {"lineCount", document_.buffer().line_count()},
                  {"lines", lines_json()},
                  {"spans", spans_json()},
                  {"steps", steps_json()},
                  {"nose", nose_json()},
                  {"round", round_json()},
                  {"stock", stock_json()},
                  {"bodies", bodies_json()},
                  {"second", second_json()},
                  {"turned", turned_json()},
                  {"tools", tools_json()},
                  {"turret", turret_json()},
                  {"sizes", sizes_json()},
                  {"hits", hits_json()}};
        data["texts"] = texts_used_;
        if (const std::string& words = language::page_texts(); !words.empty())
            data["words"] = json::parse(words);
        add_moves(data);
        const Frame frame = fit(picture_, parts_);
        data["extents"] = {thousandths(frame.shown.z_min), thousandths(frame.shown.z_max),
                           thousandths(frame.shown.x_min), thousandths(frame.shown.x_max)};
        if (files.count > 1)
            data["parts"] = {{"here", number}, {"files", files.names}, {"lines", files.lines}};
        PagePart part;
        part.json = script_safe(data.dump(-1, ' ', false, json::error_handler_t::replace));
        part.first_line = first_line_;
        part.last_line = last_line_;
        leave();
        return part;
    }

    void begin_again() {
        row_ = film_.first;
        first_ = change_ = 0;
        begun_ = false;
    }

    /// Goes over a part without making it: its first and last line.
    std::pair<std::size_t, std::size_t> skip() {
        begun_ = true;
        choose_end();
        leave();
        return {first_line_, last_line_};
    }

private:
    static double rounded(double seconds) { return std::round(seconds * 100) / 100; }
    static std::size_t behind(const PictureStep& step) { return step.first_segment + step.segment_count; }

    /// How many steps and changes of the stock there is room for; a part ends where a sequence ends, when
    /// that is not far back.
    void choose_end() {
        std::size_t bytes = 13 * row_.size(), change = change_, furthest = 0;
        std::optional<std::size_t> at_sequence;
        std::vector<bool> texts(picture_.texts.size());
        end_ = first_;
        for (; end_ < picture_.steps.size() && bytes < most_bytes; ++end_) {
            const PictureStep& step = picture_.steps[end_];
            if (end_ > first_ && step.span != picture_.steps[end_ - 1].span && bytes > most_bytes / 3)
                at_sequence = end_;
            bytes += bytes_per_step + bytes_per_segment * step.segment_count;
            for (const std::uint32_t text : {step.tool, step.spindle, step.rpm, step.feed, step.position,
                                             step.load, step.other, step.called, step.open}) {
                if (!texts[text]) bytes += picture_.texts[text].size() + 3;
                texts[text] = true;
            }
            for (; furthest <= step.line && furthest < document_.buffer().line_count(); ++furthest)
                if (first_ == 0 || furthest >= picture_.steps[first_].line)
                    bytes += document_.buffer().line(furthest).size() + 3;
            if (const auto round = picture_.round.find(end_); round != picture_.round.end())
                for (const RoundMove& move : round->second) bytes += 4 + 22 * move.points.size();
            const std::size_t end = behind(step);
            for (; change < film_.changes.size() && film_.changes[change].segment < end; ++change)
                bytes += bytes_per_segment + bytes_per_point * film_.changes[change].put.size();
        }
        if (end_ < picture_.steps.size() && at_sequence) end_ = *at_sequence;
        first_line_ = picture_.steps.empty() ? 0 : picture_.steps[first_].line;
        last_line_ = first_line_;
        for (std::size_t i = first_; i < end_; ++i) {
            first_line_ = std::min(first_line_, picture_.steps[i].line);
            last_line_ = std::max(last_line_, picture_.steps[i].line);
        }
        if (first_ == 0) first_line_ = 0;
        if (end_ >= picture_.steps.size() && document_.buffer().line_count() > 0)
            last_line_ = picture_.last_line ? *picture_.last_line : document_.buffer().line_count() - 1;
        first_segment_ = first_ < end_ ? picture_.steps[first_].first_segment : 0;
        end_segment_ = first_ < end_ ? behind(picture_.steps[end_ - 1]) : 0;
        texts_used_ = {""};
        text_index_.assign(picture_.texts.size(), 0);
    }

    /// The stock and the place in the program go on to the next part.
    void leave() {
        for (; change_ < film_.changes.size() && film_.changes[change_].segment < end_segment_; ++change_) {
            const FilmChange& change = film_.changes[change_];
            const auto at = row_.begin() + change.start;
            const auto put = row_.erase(at, at + change.removed);
            row_.insert(put, change.put.begin(), change.put.end());
        }
        first_ = std::max(end_, first_ + 1);
    }

    json cut_short(const PageFiles& files) const {
        if (files.count <= 1 && end_ < picture_.steps.size()) return picture_.steps[end_].line;
        const bool is_last = end_ >= picture_.steps.size();
        return is_last && picture_.last_line ? json(*picture_.last_line) : json(nullptr);
    }

    std::uint32_t text(std::uint32_t index) {
        if (index == 0) return 0;
        if (text_index_[index] == 0) {
            text_index_[index] = static_cast<std::uint32_t>(texts_used_.size());
            texts_used_.push_back(picture_.texts[index]);
        }
        return text_index_[index];
    }

    json lines_json() const {
        json lines = json::array();
        for (std::size_t i = first_line_; i <= last_line_ && i < document_.buffer().line_count(); ++i)
            lines.push_back(features::readable(document_.buffer().line(i)));
        return lines;
    }

    json spans_json() const {
        json spans = json::array();
        for (const PictureSpan& span : picture_.spans)
            spans.push_back({span.name, span.note, span.first_line, span.last_line,
                             span.totals.seconds() > 0 || span.totals.blocks_without_time
                                 ? time_or_unknown(span.totals)
                                 : std::string(said("no time"))});
        return spans;
    }

    json steps_json() {
        json steps = json::array();
        for (std::size_t i = first_; i < end_; ++i) {
            const PictureStep& step = picture_.steps[i];
            json row = {step.line,        step.span,         text(step.tool),     text(step.spindle),
                        text(step.rpm),   text(step.feed),   text(step.position), text(step.load),
                        text(step.other), text(step.called), text(step.open),     rounded(step.seconds),
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
        for (std::size_t i = first_; i < end_; ++i) {
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
        for (auto way = picture_.nose.lower_bound(first_); way != picture_.nose.end() && way->first < end_;
             ++way) {
            MoveRow row;
            for (const Segment& segment : way->second) row.add(segment, 0);
            nose[std::to_string(way->first - first_)] = std::move(row.row);
        }
        return nose;
    }

    /// By step: rows of [0 rapid or 1 feed, z, x, thousandths of a degree, ...].
    json round_json() const {
        json round = json::object();
        for (auto way = picture_.round.lower_bound(first_); way != picture_.round.end() && way->first < end_;
             ++way) {
            json rows = json::array();
            for (const RoundMove& move : way->second) {
                json row = json::array({move.kind == RoundMove::Kind::feed ? 1 : 0});
                for (const RoundPoint& point : move.points) {
                    row.push_back(thousandths(point.z_mm));
                    row.push_back(thousandths(point.x_radius_mm));
                    row.push_back(thousandths(point.degrees));
                }
                rows.push_back(std::move(row));
            }
            round[std::to_string(way->first - first_)] = std::move(rows);
        }
        return round;
    }

    static void put(json& row, const FilmRow& points) {
        for (const FilmPoint& point : points) {
            row.push_back(point == loop_end ? json(nullptr) : json(point.z));
            row.push_back(point == loop_end ? json(nullptr) : json(point.x));
        }
    }

    /// Changes in a row: [segment, start, removed, how many put, z, x, ...].
    json stock_json() const {
        json first = json::array(), raw = json::array(), changes = json::array();
        put(first, row_);
        put(raw, film_.first);
        for (std::size_t i = change_; i < film_.changes.size() && film_.changes[i].segment < end_segment_;
             ++i) {
            const FilmChange& change = film_.changes[i];
            for (const std::size_t number :
                 {change.segment - std::min(change.segment, first_segment_), std::size_t{change.start},
                  std::size_t{change.removed}, change.put.size()})
                changes.push_back(number);
            put(changes, change.put);
        }
        json followed(nullptr);
        if (film_.followed_to) followed = *film_.followed_to - std::min(*film_.followed_to, first_segment_);
        return {{"first", std::move(first)},         {"raw", std::move(raw)},
                {"changes", std::move(changes)},     {"exact", film_.exact},
                {"followedTo", std::move(followed)}, {"whyNot", film_.why_not},
                {"assumed", parts_.assumed}};
    }

    static json outline_json(std::span<const motion::Point> points) {
        json outline = json::array();
        for (const motion::Point& point : points) {
            outline.push_back(thousandths(point.z_mm));
            outline.push_back(thousandths(point.x_radius_mm));
        }
        return outline;
    }

    /// Of the finished part: [words, size, where, z, x, 1 inside, z from, z to].
    json sizes_json() const {
        json sizes = json::array();
        for (const Inspected& row : inspection_.rows)
            sizes.push_back({name_text(row), size_text(row, inspection_.unit),
                             place_text(row, inspection_.unit), thousandths(row.at.z_mm),
                             thousandths(row.at.x_radius_mm), row.inside ? 1 : 0, thousandths(row.front_z_mm),
                             thousandths(row.back_z_mm), static_cast<int>(row.feature)});
        return sizes;
    }

    /// The first step at or behind a line, counted from this part's first.
    json step_from(std::size_t line) {
        const auto& by_line = steps_of_lines();
        const auto next = by_line.lower_bound(line);
        const std::size_t step = next != by_line.end() ? next->second : picture_.steps.size();
        return step - std::min(step, first_);
    }
    /// The first step with the other end of the part in front.
    json turned_json() { return parts_.turned_line ? step_from(*parts_.turned_line) : json(); }
    /// The second spindle's jaws, and the step from which on it works.
    json second_json() {
        if (parts_.second_jaws.empty()) return nullptr;
        json bodies = json::array();
        for (const Outline& outline : parts_.second_jaws)
            bodies.push_back({{"name", second_jaws_name()}, {"outline", outline_json(outline)}});
        return {{"from", step_from(*picture_.second_line)}, {"bodies", bodies}};
    }

    json bodies_json() const {
        json bodies = json::array();
        for (const stock::Zone& zone : parts_.zones)
            for (const auto& outline : zone.area.outlines())
                bodies.push_back({{"name", title(zone.body)}, {"outline", outline_json(outline)}});
        return bodies;
    }

    /// The largest hole that a drill of the program leaves, or the raw one.
    double bore_radius_mm() const {
        double most = setup_.bore_radius_mm;
        for (const shop::Tool& tool : shop_.tools)
            if (tool.kind == shop::ToolKind::drill && tool.diameter_mm)
                most = std::max(most, *tool.diameter_mm / 2);
        return most;
    }

    double mm_per_unit() const { return picture_.unit == LengthUnit::inch ? motion::mm_per_inch : 1; }

    /// By station: the whole tool from its programmed point.
    json tools_json() const {
        json tools = json::object();
        const double bore = bore_radius_mm();
        const auto add = [&](int station) {
            const std::string key = std::to_string(station);
            if (station < 0 || tools.contains(key)) return;
            const shop::Tool* tool = shop_.tool(station);
            const stock::ToolShape shape = stock::shape_of(tool);
            const ToolBody body = tool_body(tool, setup_.radius_mm, bore, mm_per_unit());
            json parts = json::array();
            for (const BodyPart& part : body.parts)
                parts.push_back({static_cast<int>(part.role), part.assumed, outline_json(part.points)});
            tools[key] = {{"label", fmt::format("T{:02}", station)},
                          {"parts", std::move(parts)},
                          {"assumed", body.assumed},
                          {"nose", thousandths(shape.nose_radius_mm)},
                          {"centre", point_json(shape.nose_centre.z_mm, shape.nose_centre.x_radius_mm)}};
            if (!picture_.round_stations.contains(station)) return;
            std::optional<double> diameter = tool ? tool->diameter_mm : std::nullopt;
            if (!diameter)
                diameter = features::noted_tool(document_, station, mm_per_unit()).tool.diameter_mm;
            if (diameter) tools[key]["diameter"] = thousandths(*diameter);
        };
        for (std::size_t i = first_; i < end_; ++i) add(picture_.steps[i].station);
        if (is_turret_told())
            for (const shop::Tool& tool : shop_.tools)
                if (tool.turret_x_mm && tool.turret_z_mm) add(tool.station);
        return tools;
    }

    bool is_turret_told() const {
        const shop::Machine& machine = document_.settings().machine;
        switch (machine.turret_form) {
        case shop::TurretForm::unknown:
            return false;
        case shop::TurretForm::gang:
            return true;
        case shop::TurretForm::disc:
            return machine.stations.has_value();
        case shop::TurretForm::post:
            return machine.stations && machine.next_station != shop::NextStation::unknown;
        }
        return false;
    }

    json turret_json() const {
        const shop::Machine& machine = document_.settings().machine;
        if (!is_turret_told()) return nullptr;
        json places = json::object();
        for (const shop::Tool& tool : shop_.tools)
            if (tool.turret_x_mm && tool.turret_z_mm)
                places[std::to_string(tool.station)] = {thousandths(*tool.turret_z_mm),
                                                        thousandths(*tool.turret_x_mm)};
        std::vector<motion::Point> outline;
        for (const shop::OutlinePoint& point : machine.turret_outline)
            outline.push_back({point.x_mm, point.z_mm});
        return {{"form", machine.turret_form == shop::TurretForm::gang   ? "gang"
                         : machine.turret_form == shop::TurretForm::disc ? "disc"
                                                                         : "post"},
                {"toward", machine.next_station == shop::NextStation::chuck ? -1 : 1},
                {"stations", machine.stations.value_or(0)},
                {"places", std::move(places)},
                {"outline", outline_json(outline)}};
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

    /// The first step of every line.
    const std::map<std::size_t, std::size_t>& steps_of_lines() {
        if (steps_of_lines_.empty())
            for (std::size_t i = 0; i < picture_.steps.size(); ++i)
                steps_of_lines_.try_emplace(picture_.steps[i].line, i);
        return steps_of_lines_;
    }

    /// Every warning in the order of the check, those of other parts left out.
    json hits_json() {
        json hits = json::array();
        const std::multimap<std::size_t, motion::Point> seen = places();
        const auto& by_line = steps_of_lines();
        std::size_t number = 0;
        for (const features::Warning& warning : warnings_) {
            ++number;
            const std::size_t line = warning.range.begin.line;
            const auto next = by_line.lower_bound(line);
            const std::size_t step = next != by_line.end()    ? next->second
                                     : picture_.steps.empty() ? 0
                                                              : picture_.steps.size() - 1;
            if (!picture_.steps.empty() && (step < first_ || step >= end_)) continue;
            json hit{{"number", number},
                     {"line", line},
                     {"step", step - std::min(step, first_)},
                     {"severity", translated(severity_name(warning.severity))},
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
    stock::Setup setup_;
    const PictureParts parts_;
    StockFilm film_;
    const std::vector<features::Warning> warnings_;
    Inspection inspection_;
    FilmRow row_; ///< The stock where the part begins
    std::size_t first_ = 0, end_ = 0, change_ = 0;
    std::size_t first_line_ = 0, last_line_ = 0, first_segment_ = 0, end_segment_ = 0;
    bool begun_ = false;
    std::vector<std::string> texts_used_;
    std::vector<std::uint32_t> text_index_; ///< In the part, by the picture's
    std::map<std::size_t, std::size_t> steps_of_lines_;
};

} // namespace

std::vector<PagePart> page_parts(const features::Document& document, const Picture& picture,
                                 const DrawnStock& stock, std::string_view file, bool whole) {
    PageFiles files;
    if (whole) {
        PageData data(document, picture, stock);
        while (!data.ended()) {
            files.names.push_back(part_name(file, ++files.count));
            files.lines.push_back(data.skip());
        }
        data.begin_again();
        std::vector<PagePart> parts;
        for (std::size_t i = 0; i < files.count; ++i) {
            parts.push_back(data.next(files, i));
            parts.back().file = files.names[i];
        }
        return parts;
    }
    files.count = 1;
    return {PageData(document, picture, stock).next(files, 0)};
}

} // namespace turnwright::report

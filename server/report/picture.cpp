#include "report/picture.h"
#include "language/said.h"
#include "motion/work.h"

#include "checks/second_sides.h"
#include "features/block_at.h"
#include "features/hover_load.h"
#include "features/speech.h"
#include "machine/whole_number.h"
#include "report/compare.h"
#include "report/likeness.h"
#include "report/nose_way.h"
#include "report/report.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <unordered_map>

namespace turnwright::report {

using codes::Group;
using codes::Meaning;
using motion::Segment;
using motion::SegmentKind;
using motion::SegmentRole;

std::string_view stroke_class(Stroke stroke) {
    constexpr std::string_view names[] = {"rapid", "feed", "pass", "link", "finish", "thread", "live"};
    return names[static_cast<std::size_t>(stroke)];
}

void Extents::take(double z_mm, double x_radius_mm) {
    if (!std::isfinite(z_mm) || !std::isfinite(x_radius_mm)) return;
    if (empty) {
        *this = {z_mm, z_mm, x_radius_mm, x_radius_mm, false};
        return;
    }
    z_min = std::min(z_min, z_mm);
    z_max = std::max(z_max, z_mm);
    x_min = std::min(x_min, x_radius_mm);
    x_max = std::max(x_max, x_radius_mm);
}

namespace {

void take(Extents& extents, const Segment& segment) {
    extents.take(segment.from.z_mm, segment.from.x_radius_mm);
    extents.take(segment.to.z_mm, segment.to.x_radius_mm);
    if (!segment.is_arc) return;
    const double z = segment.from.z_mm - segment.centre.z_mm;
    const double x = segment.from.x_radius_mm - segment.centre.x_radius_mm;
    const double radius = std::hypot(z, x), start = std::atan2(x, z);
    constexpr int parts = 24; // Misses the true extent by less than 1 % of the radius.
    for (int i = 1; i < parts; ++i) {
        const double angle = start + segment.sweep * i / parts;
        extents.take(segment.centre.z_mm + radius * std::cos(angle),
                     segment.centre.x_radius_mm + radius * std::sin(angle));
    }
}

class PictureMaker {
public:
    explicit PictureMaker(const features::Document& document)
        : document_(document), nose_way_(document.shop()), round_(document),
          second_(
              checks::second_spindle_of(spans_told(document), document.shop(), document.settings().machine)) {
        picture_.unit = unit_of(document);
        picture_.diameter = document.settings().machine.x == shop::XReading::diameter;
        picture_.texts.emplace_back();
        for (const checks::Span& span : spans_told(document))
            picture_.spans.push_back({span_name(document, span),
                                      span_note(document, span),
                                      document.line_of(span.first),
                                      document.line_of(span.last),
                                      {},
                                      0});
        if (picture_.spans.empty()) picture_.spans.emplace_back();
    }

    /// Cut off in step with the main spindle the part lies as that one has it.
    bool lies_in_second(std::size_t line) const {
        return second_.sides.empty() || second_.holds(document_.place_of_line(line));
    }
    static bool works(const WalkedBlock& block) {
        return std::any_of(block.path.segments.begin(), block.path.segments.end(),
                           [](const motion::Segment& segment) {
                               return segment.kind == motion::SegmentKind::feed ||
                                      segment.kind == motion::SegmentKind::thread;
                           });
    }

    void see(const WalkedBlock& block) {
        std::vector<RoundMove> round = round_.read(block);
        PictureSpan& span = picture_.spans[block.span];
        span.totals += block.totals;
        sum_ += block.totals;
        if (block.picked) picture_.jumps.push_back(*block.picked);
        if (!picture_.second_line && block.view.after.spoken_to() == machine::Spindle::second &&
            works(block) && lies_in_second(block.line))
            picture_.second_line = block.line;
        if (block.view.reading.words.empty() && block.path.segments.empty()) return;
        if (block.passed_over) {
            constexpr std::size_t most = 1000;
            const std::size_t count = picture_.passed_over.size();
            if (!block.path.segments.empty() && count < most)
                picture_.passed_over.push_back({station_of(block.view), block.path.segments});
            else
                station_of(block.view);
            return;
        }
        if (picture_.last_line || picture_.steps.size() == most_picture_steps ||
            picture_.segments.size() + block.path.segments.size() > most_picture_segments) {
            if (!picture_.last_line)
                picture_.last_line = picture_.steps.empty() ? 0 : picture_.steps.back().line;
            if (block.path.segments.empty() && block.path.complete) return;
            ++span.open_blocks;
            ++picture_.open_blocks;
            return;
        }
        PictureStep step;
        step.line = block.line;
        step.span = block.span;
        step.first_segment = picture_.segments.size();
        const bool round_axis = works_round_axis(block);
        count_run(block, !round_axis);
        const motion::Spindle spindle = motion::spindle_in_time(block.path, block.view);
        step.station = station_of(block.view);
        step.offset = offset_of(block.view.after);
        step.live = is_live(step.station) || block.path.turns_to_hole;
        for (const Segment& segment : block.path.segments) {
            if (round_axis) break;
            picture_.segments.push_back(segment);
            picture_.segment_seconds.push_back(static_cast<float>(
                motion::seconds_of(segment, spindle, document_.settings().machine).value_or(0)));
            take(picture_.all, segment);
            if (segment.kind == SegmentKind::feed || segment.kind == SegmentKind::thread)
                take(picture_.cut, segment);
        }
        step.segment_count = picture_.segments.size() - step.first_segment;
        if (round_.is_at_work()) round_work_.insert({step.span, step.station});
        const bool shown_round = !round.empty();
        if (shown_round && step.station >= 0) picture_.round.emplace(picture_.steps.size(), std::move(round));
        picture_.has_deleted = picture_.has_deleted || (block.view.text.deleted && step.segment_count > 0);
        if (!block.called.empty()) {
            std::string where = block.called;
            if (block.elsewhere)
                where += ": " + features::readable(block.view.run.text_of(block.view.text)).substr(0, 200);
            step.called = text(std::move(where));
        }
        if (!block.aside.empty()) {
            picture_.aside.push_back(block.aside);
        } else if (!block.not_gone.empty()) {
            ++span.open_blocks;
            ++picture_.open_blocks;
            if (picture_.why_open.empty())
                picture_.why_open = said("line {}: {} is not drawn", block.line + 1, block.not_gone);
            step.open = text(block.not_gone + said(" is not drawn"));
        }
        if (round_axis) {
            ++picture_.round_axis;
            step.open = text(
                shown_round ? said("works round the axis: no turned cut, drawn along the axis and unrolled")
                            : said("works round the axis (C, polar or cylinder surface): no turned cut, "
                                   "not drawn"));
        } else if (block.path.is_way_home) {
            ++picture_.ways_home;
            step.open = text(said("the way from or to the tool's own place is not drawn"));
        } else if (block.path.turns_to_hole) {
            ++picture_.turned_holes;
        } else if (!block.path.complete) {
            ++span.open_blocks;
            ++picture_.open_blocks;
            const std::string why = features::unknown_text(block.path.why);
            if (picture_.why_open.empty()) picture_.why_open = said("line {}: {}", block.line + 1, why);
            step.open =
                text(block.view.after.of(Group::units).known()
                         ? said("some of this block's moves are ") + why
                         : said("the unit of length is not stated (G20 or G21): nothing can be drawn"));
        }
        describe(block, step);
        nose_way_.read(block, picture_.steps.size());
        step.seconds = sum_.seconds();
        step.without_time = sum_.blocks_without_time;
        picture_.steps.push_back(step);
    }

    Picture finish() {
        picture_.about = sum_.about;
        picture_.waiting = sum_.blocks_waiting;
        nose_way_.finish();
        picture_.nose = std::move(nose_way_.ways);
        mark_round_work();
        return std::move(picture_);
    }

private:
    /// A tool that works round the axis in a sequence works with a spindle of its own in all of it.
    void mark_round_work() {
        std::erase_if(picture_.round, [&](const auto& way) {
            const PictureStep& step = picture_.steps[way.first];
            return !round_work_.contains({step.span, step.station});
        });
        for (PictureStep& step : picture_.steps)
            if (round_work_.contains({step.span, step.station})) step.live = true;
        for (const auto& [span, station] : round_work_)
            if (station >= 0) picture_.round_stations.insert(station);
    }

    /// As the stock room counts them, so that its moves are found among those of the picture.
    void count_run(const WalkedBlock& block, bool drawn) {
        const machine::BlockView& view = block.view;
        if (view.reading.motion == machine::MotionKind::none || view.reading.in_contour ||
            !view.before.reachable)
            return;
        const std::pair key{block.elsewhere ? &block.analysis.forest() : nullptr,
                            machine::BlockPlace{view.run_index, view.block}};
        const std::size_t visit = visits_[key]++;
        if (drawn)
            picture_.first_segments.try_emplace({key.first, key.second, visit}, picture_.segments.size());
    }

    /// With the C axis, on a polar plane or on an unrolled cylinder X and Z are no section of turned work.
    bool works_round_axis(const WalkedBlock& block) {
        const machine::Reading& reading = block.view.reading;
        for (const machine::Word& word : reading.words)
            if (word.code && word.code->meaning == Meaning::cylindrical) {
                const machine::Value radius = reading.has('C') ? reading.value('C') : reading.value('H');
                on_cylinder_ = !radius.known() || radius.number != 0;
            }
        if (reading.motion == machine::MotionKind::none) return false;
        // A C word may be a chamfer: the path says whether it is another axis.
        const bool with_axis = reading.moves_other && reading.motion != machine::MotionKind::rapid &&
                               !block.path.complete && !block.path.turns_to_hole &&
                               block.path.why == machine::Why::machine_specific;
        return on_cylinder_ || block.view.after.is(Meaning::polar_on) || with_axis;
    }

    /// Behind a program that is not at hand it is assumed to be the one called before it.
    int station_of(const machine::BlockView& view) {
        const machine::State& state = view.after;
        if (const auto called = machine::station_called(view.reading, document_.settings()))
            called_ = *called;
        if (state.tool.known()) return called_ = machine::whole_number(state.tool.number);
        return state.tool.why == machine::Why::other_program ? called_ : -1;
    }
    static int offset_of(const machine::State& state) {
        return state.offset.known() ? machine::whole_number(state.offset.number) : -1;
    }
    bool is_live(int station) {
        const auto [known, is_new] = live_.try_emplace(station, false);
        if (is_new) known->second = stock::shape_of(document_.shop().tool(station)).ignored;
        return known->second;
    }

    void describe(const WalkedBlock& block, PictureStep& step) {
        const machine::State& state = block.view.after;
        const machine::Settings& settings = document_.settings();
        step.tool = tool_text(state, step.station);
        step.stands = state.part_stands();
        tell_settled(state);
        step.spindle = settled_.spindle;
        step.feed = settled_.feed;
        step.other = settled_.other;
        step.position = text(state.x_radius.known() || state.z.known()
                                 ? features::point_text(state.x_radius, state.z, settings)
                                 : said("not known in the program's coordinates"));
        step.load = load_of(block);
        const auto unit = state.is(Meaning::millimetre) ? std::optional(1.0)
                          : state.is(Meaning::inch)     ? std::optional(motion::mm_per_inch)
                                                        : std::nullopt;
        if (unit && state.x_radius.known() && state.z.known())
            step.end = {state.x_radius.number * *unit, state.z.number * *unit};
        const motion::Spindle spindle = motion::spindle_of(state, settings);
        if (spindle.surface_speed == true && spindle.turning == true && step.end)
            if (const auto rpm = motion::rpm_at(spindle, step.end->x_radius_mm))
                step.rpm = text(said("{:.0f} rpm at this X", *rpm));
    }

    static constexpr std::array told_groups{Group::nose_compensation,
                                            Group::coolant,
                                            Group::datum,
                                            Group::chuck,
                                            Group::quill,
                                            Group::catcher,
                                            Group::steady,
                                            Group::door,
                                            Group::second_chuck,
                                            Group::c_axis,
                                            Group::c_brake,
                                            Group::live_tool,
                                            Group::spindles_together};
    /// What most blocks leave as it is, and its texts.
    struct Settled {
        std::array<machine::Modal, told_groups.size()> told{};
        machine::Modal direction, spindle_mode, units, feed_mode;
        machine::Value speed, speed_limit, feed_value;
        std::optional<machine::Spindle> spoken_to;
        std::uint32_t spindle = 0, feed = 0, other = 0;
        auto state() const {
            return std::tie(told, direction, spindle_mode, units, feed_mode, speed, speed_limit, feed_value,
                            spoken_to);
        }
    };
    void tell_settled(const machine::State& state) {
        Settled now;
        for (std::size_t i = 0; i < told_groups.size(); ++i) now.told[i] = state.of(told_groups[i]);
        now.direction = state.of(Group::spindle_direction);
        now.spindle_mode = state.of(Group::spindle_mode);
        now.units = state.of(Group::units);
        now.feed_mode = state.of(Group::feed_mode);
        now.speed = state.speed;
        now.speed_limit = state.speed_limit;
        now.feed_value = state.feed;
        now.spoken_to = state.spoken_to();
        if (has_settled_ && now.state() == settled_.state()) return;
        has_settled_ = true;
        now.spindle = text(spindle_text(state));
        now.feed = text(feed_text(state));
        std::string other;
        for (std::size_t i = 0; i < told_groups.size(); ++i) {
            if (!now.told[i].known()) continue;
            if (!other.empty()) other += "; ";
            other += features::modal_text(now.told[i], told_groups[i], document_.settings());
        }
        now.other = text(std::move(other));
        settled_ = now;
    }

    /// Only for blocks of this file: what the stock room knows is by their places.
    std::uint32_t load_of(const WalkedBlock& block) {
        if (!block.called.empty()) return 0;
        using Known = features::BlockLoad::Known;
        const features::BlockLoad load =
            features::load_of(document_, {block.view.run_index, block.view.block}, block.view, block.path);
        if (load.known == Known::takes_nothing) return text(said("takes nothing off"));
        if (load.known != Known::cuts) return 0;
        const bool inch = picture_.unit == LengthUnit::inch;
        std::string words = features::depth_words(*load.estimate.depth_mm, inch) + said(" deep");
        if (load.estimate.power_kw)
            words += said(", about ") + features::power_words(load.estimate, document_.settings().machine);
        return text(std::move(words));
    }

    std::uint32_t tool_text(const machine::State& state, int station) {
        if (state.tool.surely_unset()) return text(std::string(said("no T word calls one")));
        if (station < 0) return text(features::unknown_text(state.tool.why));
        if (!state.tool.known())
            return text(said("T{:02} (assumed: called before a program that is not at hand)", station));
        const int offset = offset_of(state);
        const auto [known, is_new] = tool_texts_.try_emplace({station, offset}, 0);
        if (!is_new) return known->second;
        std::string shown = fmt::format("T{:02}", station);
        shown += offset < 0    ? said(", offset not known")
                 : offset == 0 ? said(", offset cancelled")
                               : said(", offset {}", offset);
        const std::string note = features::tool_note(document_, station);
        if (!note.empty()) shown += ": " + note;
        return known->second = text(std::move(shown));
    }

    std::uint32_t text(std::string value) {
        if (value.empty()) return 0;
        const auto [at, is_new] =
            text_index_.try_emplace(std::move(value), static_cast<std::uint32_t>(picture_.texts.size()));
        if (is_new) picture_.texts.push_back(at->first);
        return at->second;
    }

    const features::Document& document_;
    NoseWay nose_way_;
    Picture picture_;
    motion::Totals sum_;
    std::unordered_map<std::string, std::uint32_t> text_index_;
    std::map<std::pair<int, int>, std::uint32_t> tool_texts_; ///< By station and offset
    std::map<std::pair<const syntax::Forest*, machine::BlockPlace>, std::size_t> visits_;
    std::map<int, bool> live_; ///< By station
    Settled settled_;
    bool has_settled_ = false;
    int called_ = -1; ///< The last station that a block called
    bool on_cylinder_ = false;
    RoundAxis round_;
    checks::SecondSpindle second_;
    std::set<std::pair<std::size_t, int>> round_work_; ///< Sequences and stations that work round the axis
};

bool meets(const motion::Point& a, const motion::Point& b) {
    return std::abs(a.x_radius_mm - b.x_radius_mm) < 1e-6 && std::abs(a.z_mm - b.z_mm) < 1e-6;
}

void add_arc(std::string& data, const Segment& segment, const Frame& frame) {
    const double z = segment.from.z_mm - segment.centre.z_mm;
    const double x = segment.from.x_radius_mm - segment.centre.x_radius_mm;
    const double radius = std::hypot(z, x) * frame.scale;
    // Two parts, so that a whole circle has an end apart from its start.
    const double angle = std::atan2(x, z) + segment.sweep / 2;
    const int side = segment.sweep > 0 ? 0 : 1; // On the sheet X is up, in SVG down.
    const auto to = [&](double z_mm, double x_mm) {
        data += fmt::format("A{} {} 0 0 {} {} {}", on_sheet(radius), on_sheet(radius * frame.stretch), side,
                            on_sheet(frame.across(z_mm)), on_sheet(frame.down(x_mm)));
    };
    const double length = std::hypot(z, x);
    to(segment.centre.z_mm + length * std::cos(angle), segment.centre.x_radius_mm + length * std::sin(angle));
    to(segment.to.z_mm, segment.to.x_radius_mm);
}

void add_segment(std::string& data, const Segment*& last, const Segment& segment, const Frame& frame) {
    if (!last || !meets(last->to, segment.from))
        data += fmt::format("M{} {}", on_sheet(frame.across(segment.from.z_mm)),
                            on_sheet(frame.down(segment.from.x_radius_mm)));
    if (segment.is_arc)
        add_arc(data, segment, frame);
    else
        data += fmt::format("L{} {}", on_sheet(frame.across(segment.to.z_mm)),
                            on_sheet(frame.down(segment.to.x_radius_mm)));
    last = &segment;
}

} // namespace

Stroke stroke_of(const Segment& segment, bool live) {
    if (segment.kind == SegmentKind::thread) return Stroke::thread;
    const bool links = segment.role == SegmentRole::cycle_infeed ||
                       segment.role == SegmentRole::cycle_retract ||
                       segment.role == SegmentRole::cycle_return;
    if (segment.kind == SegmentKind::rapid) return links ? Stroke::link : Stroke::rapid;
    if (live) return Stroke::live;
    if (segment.role == SegmentRole::finish) return Stroke::finish;
    return segment.role == SegmentRole::move ? Stroke::feed : Stroke::pass;
}

Gathering<Picture> gather_picture(const features::Document& document) {
    return gathering_by(std::make_shared<PictureMaker>(document));
}

Picture make_picture(const features::Document& document) {
    const motion::CycleBudget bounded(document.buffer().line_count());
    PictureMaker maker(document);
    const Gathering<Course> course = gather_course(document);
    const auto stopped_at = walk_what_is_told(document, [&](const WalkedBlock& block) {
        maker.see(block);
        course.see(block);
    });
    Picture picture = maker.finish();
    if (stopped_at) picture.end_at(*stopped_at);
    picture.fingerprint = fingerprint_text(likeness_of(course.finish(), document, stopped_at));
    return picture;
}

std::string path_data(std::span<const Segment> segments, const Frame& frame) {
    std::string data;
    const Segment* last = nullptr;
    for (const Segment& segment : segments) add_segment(data, last, segment, frame);
    return data;
}

std::string on_sheet(double length) {
    return features::plain(length, 2);
}

std::string outline_data(const Outline& outline, const Frame& frame) {
    std::string data;
    for (const motion::Point& point : outline)
        data += fmt::format("{}{} {}", data.empty() ? 'M' : 'L', on_sheet(frame.across(point.z_mm)),
                            on_sheet(frame.down(point.x_radius_mm)));
    return data.empty() ? data : data + "Z";
}

std::vector<std::pair<Stroke, std::string>> strokes_of(const Picture& picture, const PictureStep& step,
                                                       const Frame& frame) {
    std::vector<std::pair<Stroke, std::string>> strokes;
    std::array<const Segment*, static_cast<std::size_t>(Stroke::count_)> last{};
    const std::span segments(picture.segments.data() + step.first_segment, step.segment_count);
    for (const Segment& segment : segments) {
        if (segment.kind == SegmentKind::dwell) continue;
        const Stroke stroke = stroke_of(segment, step.live);
        auto at = std::find_if(strokes.begin(), strokes.end(),
                               [&](const auto& held) { return held.first == stroke; });
        if (at == strokes.end()) at = strokes.insert(at, {stroke, {}});
        add_segment(at->second, last[static_cast<std::size_t>(stroke)], segment, frame);
    }
    return strokes;
}

} // namespace turnwright::report

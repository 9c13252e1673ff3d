#include "features/single_moves.h"

#include "features/word_edits.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using motion::Segment;
using motion::SegmentKind;

namespace {

class MoveLines {
public:
    explicit MoveLines(const BlockView& view)
        : view_(view), inch_(view.after.is(Meaning::inch)), per_rev_(view.after.is(Meaning::feed_per_rev)),
          system_(view.settings.system) {}

    /// Nothing when one of them cannot be written.
    std::optional<std::vector<std::string>> write(std::span<const Segment> segments) {
        for (const Segment& segment : segments) {
            const auto text = one(segment);
            if (!text) return std::nullopt;
            if (!text->empty()) lines_.push_back(*text);
        }
        restore();
        return std::move(lines_);
    }

private:
    std::optional<std::string> one(const Segment& segment) {
        if (segment.kind == SegmentKind::dwell)
            return fmt::format("{} P{:.0f}", code(Meaning::dwell), segment.dwell_seconds * 1000);
        std::string ends = axis('X', segment.from.x_radius_mm, segment.to.x_radius_mm) +
                           axis('Z', segment.from.z_mm, segment.to.z_mm);
        if (ends.empty()) return "";
        Meaning meaning = Meaning::rapid;
        if (segment.kind == SegmentKind::thread) meaning = Meaning::thread;
        if (segment.kind == SegmentKind::feed) meaning = Meaning::feed_line;
        if (segment.is_arc) {
            if (segment.kind != SegmentKind::feed) return std::nullopt;
            meaning = segment.sweep > 0 ? Meaning::arc_counterclockwise : Meaning::arc_clockwise;
            const double i = segment.centre.x_radius_mm - segment.from.x_radius_mm;
            ends += fmt::format(" I{} K{}", length(i), length(segment.centre.z_mm - segment.from.z_mm));
        }
        last_ = meaning;
        if (segment.kind == SegmentKind::thread) return code(meaning) + ends + lead(segment.lead_mm);
        if (segment.kind == SegmentKind::rapid) return code(meaning) + ends;
        const bool same_mode =
            segment.feed.mode == (per_rev_ ? motion::Feed::Mode::per_rev : motion::Feed::Mode::per_minute);
        if (!same_mode || !segment.feed.mm) return std::nullopt;
        return code(meaning) + ends + feed(in_unit(*segment.feed.mm));
    }

    /// The code and the feed that hold behind the cycle, for blocks that do not state their own.
    void restore() {
        std::string line;
        const machine::Modal& after = view_.after.of(Group::motion);
        for (const Meaning meaning : {Meaning::rapid, Meaning::feed_line})
            if (after.is(meaning) && last_ != meaning) line = code(meaning);
        if (view_.after.feed.known()) line += feed(view_.after.feed.number);
        if (!line.empty()) lines_.push_back(line.front() == ' ' ? line.substr(1) : line);
    }

    std::string code(Meaning meaning) const {
        return codes::written_as(system_,
                                 view_.settings.machine.mirrored ? codes::mirrored(meaning) : meaning);
    }
    double in_unit(double mm) const { return inch_ ? mm / motion::mm_per_inch : mm; }
    std::string length(double mm) const { return with_point(in_unit(mm), inch_ ? 4 : 3); }
    std::string axis(char letter, double from_mm, double to_mm) const {
        const bool diameter = letter == 'X' && view_.settings.machine.x == shop::XReading::diameter;
        const std::string from = length(diameter ? 2 * from_mm : from_mm);
        const std::string to = length(diameter ? 2 * to_mm : to_mm);
        return from == to ? "" : fmt::format(" {}{}", letter, to);
    }
    std::string lead(double mm) {
        feed_.reset();
        return " F" + with_point(in_unit(mm), inch_ ? 6 : 5);
    }
    std::string feed(double number) {
        if (feed_ && std::abs(*feed_ - number) < 1e-9) return "";
        feed_ = number;
        return " F" + with_point(number, per_rev_ ? 6 : 3);
    }

    const BlockView& view_;
    bool inch_, per_rev_;
    codes::System system_;
    std::vector<std::string> lines_;
    std::optional<double> feed_; ///< Written last
    Meaning last_ = Meaning::dwell;
};

} // namespace

std::optional<std::vector<std::string>> single_moves(const BlockView& view,
                                                     std::span<const Segment> segments) {
    return MoveLines(view).write(segments);
}

} // namespace turnwright::features

// Whether blocks that came or went in one run leave the outline as it was, but for the places behind them.

#include "machine/course.h"

#include <algorithm>

namespace turnwright::machine {

namespace {

// The outline looks at distances: a stop or call this many lines above, a tool call this many below (a note
// or number counts for a call up to 15 lines under it).
constexpr std::size_t lines_above = 4;
constexpr std::size_t lines_below = 20;

using Kind = Landmark::Kind;

/// Landmarks or labels: none was taken out or put in, and those behind have moved.
template <class Mark>
bool same_but_moved(const std::vector<Mark>& before, const std::vector<Mark>& after, const Shift& shift) {
    return std::equal(before.begin(), before.end(), after.begin(), after.end(), [&](Mark a, const Mark& b) {
        const BlockPlace place{shift.run, a.block};
        if (shift.takes_out(place)) return false;
        a.block = static_cast<std::uint16_t>(shift.moved(place).block);
        return a == b;
    });
}

bool has_landmark(const RunShape& shape, std::size_t from, std::size_t to) {
    return std::any_of(shape.landmarks.begin(), shape.landmarks.end(),
                       [&](const Landmark& mark) { return mark.block >= from && mark.block < to; });
}

/// Whether a tool call follows so near that what stands above it may count for it.
bool tool_call_follows(const Shapes& shapes, BlockPlace from) {
    std::size_t left = lines_below;
    for (std::size_t run = from.run; run < shapes.size() && left > 0; ++run) {
        const std::size_t begin = run == from.run ? from.block : 0;
        const std::size_t end = std::min(shapes[run]->blocks.size(), begin + left);
        for (const Landmark& mark : shapes[run]->landmarks) {
            if (mark.block < begin) continue;
            if (mark.block >= end) break;
            if (mark.kind == Kind::tool_call) return true;
            // Nothing above a stop counts for a call below it.
            if (mark.kind == Kind::optional_stop || mark.kind == Kind::program_stop ||
                mark.kind == Kind::program_start)
                return false;
        }
        left -= end - begin;
    }
    return false;
}

/// The lines that stay do what they did: that hangs on the motion code above them.
bool does_as_before(const RunShape& before, const RunShape& after, const Shift& shift, std::size_t behind) {
    const auto same_front = before.does.begin() + static_cast<std::ptrdiff_t>(shift.first);
    return before.ends_in_rapid == after.ends_in_rapid &&
           std::equal(before.does.begin(), same_front, after.does.begin()) &&
           std::equal(before.does.rbegin(), before.does.rbegin() + static_cast<std::ptrdiff_t>(behind),
                      after.does.rbegin());
}

/// Whether a tool call stands where a motion code that came or went is still in force, or so near behind that
/// what is done there counts for it.
bool tool_call_anywhere_behind(const Shapes& shapes, BlockPlace from, const RunShape& before) {
    std::size_t run = from.run;
    const auto calls = [&](std::size_t first_block) {
        return std::any_of(
            shapes[run]->landmarks.begin(), shapes[run]->landmarks.end(),
            [&](const Landmark& mark) { return mark.kind == Kind::tool_call && mark.block >= first_block; });
    };
    if (calls(from.block)) return true;
    if (before.ends_in_rapid != shapes[run]->ends_in_rapid)
        while (++run < shapes.size() && !shapes[run]->ends_in_rapid)
            if (calls(0)) return true;
    return run < shapes.size() && ((run != from.run && calls(0)) || tool_call_follows(shapes, {run + 1, 0}));
}

} // namespace

SameLines same_lines(const syntax::Run& before, const syntax::Run& after) {
    const std::size_t was = before.blocks.size(), is = after.blocks.size();
    SameLines same;
    while (same.above < was && same.above < is &&
           before.text->line(same.above) == after.text->line(same.above))
        ++same.above;
    while (same.below < was - same.above && same.below < is - same.above &&
           before.text->line(was - 1 - same.below) == after.text->line(is - 1 - same.below))
        ++same.below;
    return same;
}

bool is_same_for_outline(const RunShape& before, const Shapes& shapes, std::size_t run) {
    const RunShape& after = *shapes[run];
    if (before.blocks != after.blocks || before.landmarks != after.landmarks ||
        before.labels != after.labels || before.contour_labels != after.contour_labels ||
        before.flow != after.flow)
        return false;
    const auto other = std::mismatch(before.does.begin(), before.does.end(), after.does.begin()).first;
    const auto first = static_cast<std::size_t>(other - before.does.begin());
    return !tool_call_anywhere_behind(shapes, {run, first}, before);
}

std::optional<Shift> shift_between(const syntax::Run& before, const RunShape& shape_before,
                                   const syntax::Run& after, const Shapes& shapes, std::size_t run) {
    const RunShape& shape_after = *shapes[run];
    const std::size_t was = before.blocks.size(), is = after.blocks.size();
    const auto [same, same_behind] = same_lines(before, after);
    const Shift shift{run, same, was - same - same_behind, is - same - same_behind};
    if (same < lines_above || same_behind == 0 || !shape_before.flow.empty() || !shape_after.flow.empty() ||
        shape_before.contour_labels != shape_after.contour_labels)
        return std::nullopt;
    // They stand between two blocks that are nothing but words, so no note, number or blank line is nearer to
    // another than before.
    const auto plain = [](BlockSort sort) { return sort == BlockSort::words; };
    const auto no_mark = [](BlockSort sort) { return sort == BlockSort::words || sort == BlockSort::blank; };
    const std::size_t behind = same + shift.inserted;
    if (!plain(shape_after.blocks[same - 1]) || !plain(shape_after.blocks[behind]) ||
        !std::all_of(shape_before.blocks.begin() + static_cast<std::ptrdiff_t>(same),
                     shape_before.blocks.begin() + static_cast<std::ptrdiff_t>(same + shift.removed),
                     no_mark) ||
        !std::all_of(shape_after.blocks.begin() + static_cast<std::ptrdiff_t>(same),
                     shape_after.blocks.begin() + static_cast<std::ptrdiff_t>(behind), no_mark))
        return std::nullopt;
    if ((!does_as_before(shape_before, shape_after, shift, same_behind) &&
         tool_call_anywhere_behind(shapes, {run, behind}, shape_before)) ||
        !same_but_moved(shape_before.landmarks, shape_after.landmarks, shift) ||
        !same_but_moved(shape_before.labels, shape_after.labels, shift) ||
        has_landmark(shape_after, same - lines_above, behind + 1) || tool_call_follows(shapes, {run, behind}))
        return std::nullopt;
    return shift;
}

} // namespace turnwright::machine

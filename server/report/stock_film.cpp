#include "report/stock_film.h"
#include "language/said.h"

#include "host/interruption.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

/// A picture is for looking at: more moves than it holds are not followed.
constexpr std::size_t most_followed = 100'000;

bool is_further_back(FilmPoint a, FilmPoint b) {
    return a.z != b.z ? a.z < b.z : a.x < b.x;
}

FilmRow loop_row(const stock::Loop& loop) {
    constexpr double to_thousandths = 1000 / stock::grid_per_mm;
    FilmRow row;
    row.reserve(loop.size() + 1);
    const auto rounded_to = [](std::int64_t on_grid) {
        constexpr double most = INT32_MAX - 1; // Stock of such a size is a slip that a check tells
        const double thousandths = static_cast<double>(on_grid) * to_thousandths;
        return static_cast<std::int32_t>(std::lround(std::clamp(thousandths, -most, most)));
    };
    for (const stock::GridPoint point : loop) {
        const FilmPoint rounded{rounded_to(point.z), rounded_to(point.x)};
        if (row.empty() || row.back() != rounded) row.push_back(rounded);
    }
    std::rotate(row.begin(), std::min_element(row.begin(), row.end(), is_further_back), row.end());
    row.push_back(loop_end);
    return row;
}

} // namespace

FilmRow film_row(const stock::Region& area) {
    std::vector<FilmRow> loops;
    for (const stock::Loop& loop : area.loops)
        if (!loop.empty()) loops.push_back(loop_row(loop));
    std::sort(loops.begin(), loops.end(),
              [](const FilmRow& a, const FilmRow& b) { return is_further_back(a.front(), b.front()); });
    FilmRow row;
    for (const FilmRow& loop : loops) row.insert(row.end(), loop.begin(), loop.end());
    return row;
}

std::optional<FilmChange> change_between(const FilmRow& before, const FilmRow& after) {
    const auto [old_end, new_end] = std::mismatch(before.begin(), before.end(), after.begin(), after.end());
    if (old_end == before.end() && new_end == after.end()) return std::nullopt;
    auto old_tail = before.end();
    auto new_tail = after.end();
    while (old_tail != old_end && new_tail != new_end && *std::prev(old_tail) == *std::prev(new_tail))
        --old_tail, --new_tail;
    FilmChange change;
    change.start = static_cast<std::uint32_t>(old_end - before.begin());
    change.removed = static_cast<std::uint32_t>(old_tail - old_end);
    change.put.assign(new_end, new_tail);
    return change;
}

StockFilm film_of(const features::Document& document, const Picture& picture, const DrawnStock& drawn) {
    StockFilm film;
    const stock::ProgramCourse* course = drawn.course;
    if (!course || !course->setup) {
        film.why_not = why_no_stock(course);
        return film;
    }
    stock::Region last = stock::raw_stock(*course->setup);
    FilmRow row = film.first = film_row(last);
    std::size_t seen_to = 0; // Behind the last move that was followed
    const auto see = [&](const stock::Passed& passed, const stock::Region& left) {
        host::stop_here_if_asked();
        const auto first = picture.first_segments.find(passed.block);
        if (first == picture.first_segments.end()) return; // Beyond what the picture holds
        // The nose's way joins moves: what a join takes off shows with the later one.
        const std::size_t here = first->second + passed.move.value_or(0);
        seen_to = std::max(seen_to, passed.move ? here + 1 : here);
        if (left == last) return; // Most moves take nothing off
        last = left;
        FilmRow now = film_row(left);
        std::optional<FilmChange> change = change_between(row, now);
        if (!change) return;
        change->segment = passed.move ? seen_to - 1 : here;
        film.changes.push_back(std::move(*change));
        row = std::move(now);
    };
    const stock::PassesEnd end =
        stock::follow_passes(document.analysis(), *drawn.shop, *course, most_followed, see, true);
    film.exact = end.exact;
    if (end.stop == stock::Stop::none) return film;
    film.why_not = said("the stock cannot be followed beyond line {}", document.line_of(end.at) + 1);
    film.followed_to = seen_to;
    return film;
}

} // namespace turnwright::report

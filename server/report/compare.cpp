// What two programs make the machine do otherwise.
#include "report/compare.h"

#include "features/speech.h"
#include "host/file.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <tuple>

namespace turnwright::report {

using Pair = std::pair<std::size_t, std::size_t>;

namespace {

/// Greedy search for the shortest edit script (E. W. Myers, An O(ND) difference algorithm and its variations,
/// Algorithmica 1, 1986), with the furthest points of every step kept for the way back.
bool shortest_script(std::ptrdiff_t n, std::ptrdiff_t m,
                     const std::function<bool(std::size_t, std::size_t)>& same, std::size_t most_steps,
                     std::vector<Pair>& pairs) {
    std::vector<std::vector<std::ptrdiff_t>> furthest;
    const auto most =
        static_cast<std::ptrdiff_t>(std::min<std::size_t>(most_steps, static_cast<std::size_t>(n + m)));
    const auto start_of = [&](std::ptrdiff_t d, std::ptrdiff_t k) -> std::ptrdiff_t {
        if (d == 0) return 0;
        const auto& row = furthest[static_cast<std::size_t>(d - 1)];
        const auto at = [&](std::ptrdiff_t key) { return row[static_cast<std::size_t>(key + d - 1)]; };
        const bool down = k == -d || (k != d && at(k - 1) < at(k + 1));
        return down ? at(k + 1) : at(k - 1) + 1;
    };
    for (std::ptrdiff_t d = 0; d <= most; ++d) {
        std::vector<std::ptrdiff_t> row(static_cast<std::size_t>(2 * d + 1), -1);
        for (std::ptrdiff_t k = -d; k <= d; k += 2) {
            std::ptrdiff_t x = start_of(d, k), y = x - k;
            while (x < n && y < m && y >= 0 && same(static_cast<std::size_t>(x), static_cast<std::size_t>(y)))
                ++x, ++y;
            row[static_cast<std::size_t>(k + d)] = x;
            if (x < n || y < m) continue;
            furthest.push_back(std::move(row));
            for (std::ptrdiff_t step = d; step >= 0; --step) { // The way back, from the end to the start
                k = x - y;
                const std::ptrdiff_t from = start_of(step, k);
                for (; x > from; --x, --y) pairs.emplace_back(x - 1, y - 1);
                if (step == 0) break;
                const auto& before = furthest[static_cast<std::size_t>(step - 1)];
                const auto at = [&](std::ptrdiff_t key) {
                    return before[static_cast<std::size_t>(key + step - 1)];
                };
                const bool down = k == -step || (k != step && at(k - 1) < at(k + 1));
                x = down ? at(k + 1) : at(k - 1);
                y = x - (down ? k + 1 : k - 1);
            }
            std::reverse(pairs.begin(), pairs.end());
            return true;
        }
        furthest.push_back(std::move(row));
    }
    return false;
}

} // namespace

std::vector<Pair> common_row(std::size_t old_size, std::size_t new_size,
                             const std::function<bool(std::size_t, std::size_t)>& same,
                             std::size_t most_steps) {
    std::size_t head = 0, tail = 0;
    while (head < old_size && head < new_size && same(head, head)) ++head;
    while (tail < old_size - head && tail < new_size - head && same(old_size - 1 - tail, new_size - 1 - tail))
        ++tail;
    std::vector<Pair> pairs;
    for (std::size_t i = 0; i < head; ++i) pairs.emplace_back(i, i);
    std::vector<Pair> middle;
    shortest_script(
        static_cast<std::ptrdiff_t>(old_size - head - tail),
        static_cast<std::ptrdiff_t>(new_size - head - tail),
        [&](std::size_t a, std::size_t b) { return same(a + head, b + head); }, most_steps, middle);
    for (const auto& [a, b] : middle) pairs.emplace_back(a + head, b + head);
    for (std::size_t i = tail; i-- > 0;) pairs.emplace_back(old_size - 1 - i, new_size - 1 - i);
    return pairs;
}

namespace {

constexpr std::size_t most_changes = 200; ///< Told of one sequence
constexpr std::size_t most_of_a_block = 4;

struct Side {
    const features::Document& document;
    const Course& course;
    std::string text(const Action& action) const { return action_text(action, document, course.unit); }
};

/// What lies between two actions that are the same in both: what takes the other's place, what is gone, what
/// is new.
std::vector<Pair> matched_by_kind(std::span<const Action> before, std::span<const Action> after) {
    return common_row(before.size(), after.size(), [&](std::size_t a, std::size_t b) {
        return before[a].kind == after[b].kind && before[a].subject == after[b].subject;
    });
}

constexpr std::size_t none = static_cast<std::size_t>(-1);

std::vector<Change> changes_of(const Side& old_side, const ActionSpan& old_span, const Side& new_side,
                               const ActionSpan& new_span, Nearness nearness) {
    const std::vector<Action>&a = old_span.actions, &b = new_span.actions;
    std::vector<Pair> rows; // Index in a, index in b; `none` for a side that has nothing
    const auto add_gap = [&](std::size_t a_from, std::size_t a_to, std::size_t b_from, std::size_t b_to) {
        std::size_t i = a_from, j = b_from;
        const auto until = [&](std::size_t a_end, std::size_t b_end) {
            for (; i < a_end; ++i) rows.emplace_back(i, none);
            for (; j < b_end; ++j) rows.emplace_back(none, j);
        };
        for (const auto& [x, y] : matched_by_kind(std::span(a).subspan(a_from, a_to - a_from),
                                                  std::span(b).subspan(b_from, b_to - b_from))) {
            until(a_from + x, b_from + y);
            // Kinds are matched in order, so that two may meet that are the same after all.
            if (!same_action(a[i], b[j], nearness)) rows.emplace_back(i, j);
            ++i, ++j;
        }
        until(a_to, b_to);
    };
    std::size_t a_at = 0, b_at = 0;
    for (const auto& [x, y] : common_row(a.size(), b.size(), [&](std::size_t i, std::size_t j) {
             return same_action(a[i], b[j], nearness);
         })) {
        add_gap(a_at, x, b_at, y);
        a_at = x + 1, b_at = y + 1;
    }
    add_gap(a_at, a.size(), b_at, b.size());

    const auto old_line = [&](const Pair& row) { return row.first == none ? 0 : a[row.first].line + 1; };
    const auto new_line = [&](const Pair& row) { return row.second == none ? 0 : b[row.second].line + 1; };
    std::vector<Change> changes;
    for (std::size_t first = 0; first < rows.size();) {
        // A cycle that cuts otherwise has many moves in one block: they are told together.
        std::size_t last = first + 1, before = rows[first].first != none, after = rows[first].second != none;
        std::size_t from_line = old_line(rows[first]), to_line = new_line(rows[first]);
        for (; last < rows.size(); ++last) {
            const std::size_t x = old_line(rows[last]), y = new_line(rows[last]);
            if ((x && from_line && x != from_line) || (y && to_line && y != to_line)) break;
            if (!(x && x == from_line) && !(y && y == to_line)) break;
            from_line = from_line ? from_line : x;
            to_line = to_line ? to_line : y;
            before += rows[last].first != none;
            after += rows[last].second != none;
        }
        if (last - first <= most_of_a_block) {
            for (; first < last; ++first) {
                const auto& [x, y] = rows[first];
                changes.push_back({old_line(rows[first]), new_line(rows[first]),
                                   x == none ? "" : old_side.text(a[x]),
                                   y == none ? "" : new_side.text(b[y])});
            }
            continue;
        }
        const auto words = [](std::size_t count, std::string shown) {
            if (count == 0) return std::string();
            if (count == 1) return shown;
            return fmt::format("{} moves or settings, the last {}", count, shown);
        };
        std::string old_text, new_text;
        for (; first < last; ++first) {
            if (rows[first].first != none) old_text = old_side.text(a[rows[first].first]);
            if (rows[first].second != none) new_text = new_side.text(b[rows[first].second]);
        }
        changes.push_back({from_line, to_line, words(before, old_text), words(after, new_text)});
    }
    return changes;
}

double increment_mm(const features::Document& document, LengthUnit unit) {
    const shop::Machine& machine = document.settings().machine;
    return unit == LengthUnit::inch ? machine.least_increment_inch * motion::mm_per_inch
                                    : machine.least_increment_mm;
}

/// Half of the coarser least increment: what is less is the rounding of one and the same number.
Nearness nearness_of(const Side& a, const Side& b) {
    const auto of = [](const Side& side) {
        const double half = increment_mm(side.document, side.course.unit) / 2;
        const bool diameter = side.document.settings().machine.x == shop::XReading::diameter;
        return Nearness{diameter ? half / 2 : half, half};
    };
    const Nearness x = of(a), y = of(b);
    // A change of one increment must never be taken for the same, whatever the last bits are.
    return {std::max(x.x_mm, y.x_mm) * 1.02, std::max(x.z_mm, y.z_mm) * 1.02};
}

/// A program that is called several times changes at every call; it is told at the first.
std::vector<Change> told_once(std::vector<Change> changes) {
    std::set<std::tuple<std::size_t, std::size_t, std::string, std::string>> told;
    std::vector<Change> out;
    for (Change& change : changes)
        if (told.emplace(change.old_line, change.new_line, change.before, change.after).second)
            out.push_back(std::move(change));
    return out;
}

class Comparer {
public:
    Comparer(const features::Document& before, const features::Document& after)
        : old_course_(course_of(before)),
          new_course_(course_of(after)), old_{before, old_course_}, new_{after, new_course_},
          nearness_(nearness_of(old_, new_)) {}

    Comparison compare() {
        result_.old_name = name_of(old_.document);
        result_.new_name = name_of(new_.document);
        result_.before = old_course_.totals;
        result_.after = new_course_.totals;
        result_.compared_as_written = std::max(old_course_.as_written, new_course_.as_written);
        add_remarks();
        add_unknown_remark();
        const auto &a = old_course_.spans, &b = new_course_.spans;
        std::size_t i = 0, j = 0;
        for (const auto& [x, y] : common_row(
                 a.size(), b.size(), [&](std::size_t p, std::size_t q) { return a[p].tool == b[q].tool; })) {
            between(i, x, j, y);
            both(a[x], b[y]);
            i = x + 1, j = y + 1;
        }
        between(i, a.size(), j, b.size());
        return std::move(result_);
    }

private:
    static std::string name_of(const features::Document& document) {
        const std::string name = features::readable(host::shown_name(document.path().string()));
        return name.empty() ? program_name(document) : name;
    }

    void add_remarks() {
        const auto unit = [](LengthUnit held) {
            return held == LengthUnit::inch ? "inch" : held == LengthUnit::mm ? "mm" : "an unstated unit";
        };
        const char a = codes::system_letter(old_.document.settings().system);
        const char b = codes::system_letter(new_.document.settings().system);
        if (a != b)
            result_.remarks.push_back(fmt::format("The old is read in system {}, the new in {}.", a, b));
        if (old_course_.unit != new_course_.unit)
            result_.remarks.push_back(fmt::format("The old is in {}, the new in {}.", unit(old_course_.unit),
                                                  unit(new_course_.unit)));
    }

    void add_unknown_remark() {
        for (const auto& [side, name] : {std::pair{&old_, "old"}, {&new_, "new"}})
            if (side->course.unit == LengthUnit::unknown)
                result_.remarks.push_back(fmt::format(
                    "The {} never states its unit of length: its moves are compared as they are written.",
                    name));
            else if (side->course.moves_without_unit > 0)
                result_.remarks.push_back(
                    fmt::format("In the {} {} {} before its unit of length is stated: compared as written.",
                                name, side->course.moves_without_unit,
                                side->course.moves_without_unit == 1 ? "block moves" : "blocks move"));
    }

    void between(std::size_t a_from, std::size_t a_to, std::size_t b_from, std::size_t b_to) {
        // As many on both sides: the same work with another tool or offset.
        const bool paired = a_to - a_from == b_to - b_from;
        for (; paired && a_from < a_to; ++a_from, ++b_from)
            both(old_course_.spans[a_from], new_course_.spans[b_from]);
        for (; a_from < a_to; ++a_from) alone(old_course_.spans[a_from], true);
        for (; b_from < b_to; ++b_from) alone(new_course_.spans[b_from], false);
    }

    void alone(const ActionSpan& span, bool removed) {
        if (span.actions.empty()) return;
        SequenceChange change;
        change.name = span.name;
        change.note = span.note;
        change.removed = removed;
        change.added = !removed;
        (removed ? change.old_line : change.new_line) = span.first_line + 1;
        (removed ? change.before : change.after) = span.totals;
        result_.sequences.push_back(std::move(change));
    }

    void both(const ActionSpan& before, const ActionSpan& after) {
        SequenceChange change;
        change.changes = told_once(changes_of(old_, before, new_, after, nearness_));
        if (change.changes.empty()) return;
        change.name = after.name;
        change.note = after.note;
        change.old_line = before.first_line + 1;
        change.new_line = after.first_line + 1;
        change.before = before.totals;
        change.after = after.totals;
        if (change.changes.size() > most_changes) {
            change.more_changes = change.changes.size() - most_changes;
            change.changes.resize(most_changes);
        }
        result_.sequences.push_back(std::move(change));
    }

    Course old_course_, new_course_;
    Side old_, new_;
    Nearness nearness_;
    Comparison result_;
};

} // namespace

Comparison compare(const features::Document& before, const features::Document& after) {
    return Comparer(before, after).compare();
}

} // namespace turnwright::report

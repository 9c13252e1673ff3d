// What two programs make the machine do otherwise.
#include "report/compare.h"
#include "language/said.h"

#include "features/block_at.h"
#include "features/speech.h"
#include "host/file.h"
#include "report/likeness.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>
#include <sstream>
#include <tuple>

namespace turnwright::report {

namespace {

using Pair = std::pair<std::size_t, std::size_t>;

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

class Changes {
public:
    Changes(const Side& old_side, const ActionSpan& old_span, const Side& new_side,
            const ActionSpan& new_span, Nearness nearness)
        : old_side_(old_side), new_side_(new_side), a_(old_span.actions), b_(new_span.actions),
          nearness_(nearness) {}

    std::vector<Change> find() {
        std::size_t a_at = 0, b_at = 0;
        for (const auto& [x, y] : common_row(a_.size(), b_.size(), [&](std::size_t i, std::size_t j) {
                 return same_action(a_[i], b_[j], nearness_);
             })) {
            add_gap(a_at, x, b_at, y);
            if (a_[x].kind == Action::Kind::cycle) belong(x, y);
            a_at = x + 1, b_at = y + 1;
        }
        add_gap(a_at, a_.size(), b_at, b_.size());
        for (std::size_t first = 0; first < rows_.size();) first = tell_block(first);
        return std::move(changes_);
    }

private:
    void add_gap(std::size_t a_from, std::size_t a_to, std::size_t b_from, std::size_t b_to) {
        std::size_t i = a_from, j = b_from;
        const auto until = [&](std::size_t a_end, std::size_t b_end) {
            for (; i < a_end; ++i) rows_.emplace_back(i, none);
            for (; j < b_end; ++j) rows_.emplace_back(none, j);
        };
        for (const auto& [x, y] : matched_by_kind(std::span(a_).subspan(a_from, a_to - a_from),
                                                  std::span(b_).subspan(b_from, b_to - b_from))) {
            until(a_from + x, b_from + y);
            if (a_[i].kind == Action::Kind::cycle) belong(i, j);
            // Kinds are matched in order, so that two may meet that are the same after all.
            if (!same_action(a_[i], b_[j], nearness_)) rows_.emplace_back(i, j);
            ++i, ++j;
        }
        until(a_to, b_to);
    }

    /// The moves of two cycles are told together, whichever of them have a like.
    void belong(std::size_t i, std::size_t j) {
        new_line_of_[old_line({i, j})] = new_line({i, j});
        old_line_of_[new_line({i, j})] = old_line({i, j});
    }

    /// From 1; 0: none.
    std::size_t old_line(const Pair& row) const { return row.first == none ? 0 : a_[row.first].line + 1; }
    std::size_t new_line(const Pair& row) const { return row.second == none ? 0 : b_[row.second].line + 1; }
    /// With that of the cycle on the other side.
    std::pair<std::size_t, std::size_t> lines(const Pair& row) const {
        const auto other = [](const std::map<std::size_t, std::size_t>& map, std::size_t line) {
            const auto found = map.find(line);
            return found == map.end() ? 0 : found->second;
        };
        const std::size_t x = old_line(row), y = new_line(row);
        return {x ? x : other(old_line_of_, y), y ? y : other(new_line_of_, x)};
    }

    void tell(const Pair& row) {
        const auto& [x, y] = row;
        changes_.push_back({old_line(row),
                            new_line(row),
                            x == none ? "" : old_side_.text(a_[x]),
                            y == none ? "" : new_side_.text(b_[y]),
                            y == none ? place_of(a_, x, old_side_) : place_of(b_, y, new_side_),
                            {},
                            is_of_contour(row),
                            is_move(row)});
    }

    bool is_move(const Pair& row) const {
        const Action::Kind kind = row.first == none ? b_[row.second].kind : a_[row.first].kind;
        return kind == Action::Kind::rapid || kind == Action::Kind::line || kind == Action::Kind::arc ||
               kind == Action::Kind::thread;
    }
    bool is_of_contour(const Pair& row) const {
        const Action& action = row.first == none ? b_[row.second] : a_[row.first];
        constexpr std::uint8_t contour_block = 2;
        return action.kind == Action::Kind::cycle && action.subject == contour_block;
    }

    /// A setting is told in front of what it matters for.
    static std::string place_of(const std::vector<Action>& actions, std::size_t at, const Side& side) {
        if (actions[at].kind != Action::Kind::setting) return {};
        while (at < actions.size() && actions[at].kind == Action::Kind::setting) ++at;
        return at < actions.size() ? side.text(actions[at]) : "";
    }

    /// A cycle that cuts otherwise has many moves in one block: they are told together, and by the words that
    /// are otherwise where there are such.
    std::size_t tell_block(std::size_t first) {
        std::size_t last = first + 1;
        auto [from_line, to_line] = lines(rows_[first]);
        for (; last < rows_.size(); ++last) {
            const auto [x, y] = lines(rows_[last]);
            if ((x && from_line && x != from_line) || (y && to_line && y != to_line)) break;
            if (!(x && x == from_line) && !(y && y == to_line)) break;
            from_line = from_line ? from_line : x;
            to_line = to_line ? to_line : y;
        }
        const std::span<const Pair> block = std::span(rows_).subspan(first, last - first);
        const bool by_words = std::any_of(block.begin(), block.end(), [&](const Pair& row) {
            if (row.first == none || row.second == none) return false;
            const Action::Kind kind = a_[row.first].kind;
            return kind == Action::Kind::cycle ||
                   (kind == Action::Kind::as_written && block.size() > most_of_a_block);
        });
        if (by_words)
            tell_by_words(block);
        else if (block.size() <= most_of_a_block)
            for (const Pair& row : block) tell(row);
        else
            tell_summary(block, from_line, to_line);
        return last;
    }

    /// Settings one by one, and the moves together.
    void tell_summary(std::span<const Pair> block, std::size_t from_line, std::size_t to_line) {
        std::vector<Pair> moves;
        for (const Pair& row : block)
            if (is_move(row))
                moves.push_back(row);
            else if (block.size() - moves.size() > most_of_a_block)
                moves.push_back(row); // Too many to be told alone
            else
                tell(row);
        if (moves.empty()) return;
        const bool all_move =
            std::all_of(moves.begin(), moves.end(), [&](const Pair& row) { return is_move(row); });
        std::size_t before = 0, after = 0;
        for (const Pair& row : moves) {
            before += row.first != none;
            after += row.second != none;
        }
        const std::string_view what = all_move ? said("moves") : said("moves and settings");
        changes_.push_back({from_line,
                            to_line,
                            summary(a_, &Pair::first, before, old_side_, moves, what),
                            summary(b_, &Pair::second, after, new_side_, moves, what),
                            "",
                            {},
                            false,
                            all_move});
    }

    void tell_by_words(std::span<const Pair> block) {
        for (const Pair& row : block) {
            if (row.first == none || row.second == none) continue;
            const Action &x = a_[row.first], &y = b_[row.second];
            if (x.kind == Action::Kind::cycle)
                changes_.push_back({old_line(row),
                                    new_line(row),
                                    words_beside(x.shown, y.shown),
                                    words_beside(y.shown, x.shown),
                                    "",
                                    {},
                                    is_of_contour(row),
                                    false});
            else if (x.kind == Action::Kind::setting || x.kind == Action::Kind::as_written)
                tell(row);
        }
    }

    /// The words of a block that the other one has not, behind its code.
    static std::string words_beside(const std::string& words, const std::string& other) {
        std::string out;
        std::istringstream in(words);
        for (std::string word; in >> word;)
            if (out.empty() && word[0] == 'G')
                out = word;
            else if ((' ' + other + ' ').find(' ' + word + ' ') == std::string::npos)
                out += (out.empty() ? "" : " ") + word;
        return out;
    }

    static std::string summary(const std::vector<Action>& actions, std::size_t Pair::*side, std::size_t count,
                               const Side& of, std::span<const Pair> block, std::string_view what) {
        std::string last;
        for (const Pair& row : block)
            if (row.*side != none) last = of.text(actions[row.*side]);
        return count < 2 ? last : said("{} {}, the last {}", count, what, last);
    }

    const Side &old_side_, &new_side_;
    const std::vector<Action>&a_, &b_;
    Nearness nearness_;
    std::vector<Pair> rows_; ///< Index in a, index in b; `none` for a side that has nothing
    std::map<std::size_t, std::size_t> new_line_of_, old_line_of_; ///< Of cycles
    std::vector<Change> changes_;
};

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
        result_.old_fingerprint = fingerprint_text(likeness_of(old_course_));
        result_.new_fingerprint = fingerprint_text(likeness_of(new_course_));
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
        gather_followers();
        return std::move(result_);
    }

private:
    static std::string name_of(const features::Document& document) {
        const std::string name = features::readable(host::shown_name(document.path().string()));
        return name.empty() ? program_name(document) : name;
    }

    void add_remarks() {
        const auto unit = [](LengthUnit held) {
            return held == LengthUnit::inch ? said("inch")
                   : held == LengthUnit::mm ? "mm"
                                            : said("an unstated unit");
        };
        const char a = codes::system_letter(old_.document.settings().system);
        const char b = codes::system_letter(new_.document.settings().system);
        if (a != b) result_.remarks.push_back(said("The old is read in system {}, the new in {}.", a, b));
        if (old_course_.unit != new_course_.unit)
            result_.remarks.push_back(
                said("The old is in {}, the new in {}.", unit(old_course_.unit), unit(new_course_.unit)));
    }

    void add_unknown_remark() {
        for (const auto& [side, name] : {std::pair{&old_, said("old")}, {&new_, said("new")}})
            if (side->course.unit == LengthUnit::unknown)
                result_.remarks.push_back(said(
                    "The {} never states its unit of length: its moves are compared as they are written.",
                    name));
            else if (side->course.moves_without_unit > 0)
                result_.remarks.push_back(
                    said("In the {} {} {} before its unit of length is stated: compared as written.", name,
                         side->course.moves_without_unit,
                         side->course.moves_without_unit == 1 ? said("block moves") : said("blocks move")));
    }

    /// Lines from 1 of the contour that the cycle in a line names; nullopt when it names none.
    static std::optional<std::pair<std::size_t, std::size_t>> contour_of(const features::Document& document,
                                                                         std::size_t line) {
        if (line == 0 || line > document.buffer().line_count()) return std::nullopt;
        const machine::BlockPlace place = document.place_of_line(line - 1);
        const auto block = features::block_at(document, place);
        if (!block || block->reading.motion != machine::MotionKind::contour_cycle) return std::nullopt;
        const machine::Value p = block->reading.value('P'), q = block->reading.value('Q');
        if (!p.known() || !q.known()) return std::nullopt;
        const auto first = features::label_place(document, place, p.number);
        const auto last = features::label_place(document, place, q.number);
        if (!first || !last) return std::nullopt;
        return std::pair{document.line_of(*first) + 1, document.line_of(*last) + 1};
    }

    /// A block of a contour that changed is told once, with the cycles that follow it; their moves are not.
    void gather_followers() {
        std::vector<Change*> contours;
        for (SequenceChange& sequence : result_.sequences)
            for (Change& change : sequence.changes)
                if (change.of_contour) contours.push_back(&change);
        if (contours.empty()) return;
        const auto holds = [](const auto& range, std::size_t line) {
            return range && line && range->first <= line && line <= range->second;
        };
        const auto follows = [&](const Change& change) {
            if (!change.of_moves || change.of_contour) return false;
            const auto before = contour_of(old_.document, change.old_line);
            const auto after = contour_of(new_.document, change.new_line);
            if (!before && !after) return false;
            const features::Document& document = after ? new_.document : old_.document;
            const std::size_t line = after ? change.new_line : change.old_line;
            const auto block = features::block_at(document, document.place_of_line(line - 1));
            const std::string name =
                said("{} in line {}",
                     codes::written_as(document.settings().system, block->reading.motion_meaning), line);
            bool found = false;
            for (Change* contour : contours) {
                if (!holds(before, contour->old_line) && !holds(after, contour->new_line)) continue;
                found = true;
                auto& followers = contour->followers;
                if (std::find(followers.begin(), followers.end(), name) == followers.end())
                    followers.push_back(name);
            }
            return found;
        };
        // All are looked at before any goes: the contours' changes stand among them.
        std::set<const Change*> followers;
        for (const SequenceChange& sequence : result_.sequences)
            for (const Change& change : sequence.changes)
                if (follows(change)) followers.insert(&change);
        for (SequenceChange& sequence : result_.sequences) {
            std::vector<Change> kept;
            for (Change& change : sequence.changes)
                if (!followers.contains(&change)) kept.push_back(std::move(change));
            sequence.changes = std::move(kept);
        }
        std::erase_if(result_.sequences, [](const SequenceChange& sequence) {
            return !sequence.added && !sequence.removed && sequence.changes.empty();
        });
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
        // What one of them calls and the other has in its place is told there.
        if (before.in_subprogram && after.in_subprogram && before.stands_apart != after.stands_apart) return;
        change.changes = told_once(Changes(old_, before, new_, after, nearness_).find());
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

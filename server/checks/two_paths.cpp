#include "checks/read_path.h"
#include "language/said.h"
#include "stock/follow.h"

#include <cmath>
#include <fmt/format.h>
#include <unordered_map>

namespace turnwright::checks {

/// Everything that what is told of one stretch hangs on, but for what its log holds. Lines stand in messages.
struct StretchKey {
    struct Side {
        std::vector<RunOfPath> runs;  ///< That its blocks stand in
        std::size_t from = 0, to = 0; ///< Of its blocks, counted from the first of these runs
        std::size_t line = 0;         ///< Of that run
        RunOfPath before;             ///< With the block in front of it
        std::size_t before_at = 0, before_line = 0;
        std::ptrdiff_t last_setting = 0; ///< Counted from its first block
        std::size_t last_setting_line = 0;
        std::ptrdiff_t last_speed = 0; ///< The same; its line and what it gives
        std::size_t last_speed_line = 0;
        std::optional<double> speed;
        bool surface_speed = false, starts_second = false;
        bool speaks = false, never_speaks = false, second_behind = false;
        std::map<int, double> noted_drills;
        bool operator==(const Side&) const = default;
    };
    std::array<Side, 2> sides;
    stock::RegionPointer stock; ///< That both find
    std::array<machine::Modal, 2> datums;
    std::array<BlockPlace, 2> lasts; ///< Counted from its first block
    bool operator==(const StretchKey&) const = default;
    std::size_t hash() const {
        std::size_t sum = 0;
        for (const Side& side : sides)
            sum = sum * 31 + std::hash<const void*>()(side.runs.empty() ? nullptr : side.runs.front().get()) +
                  side.from;
        return sum;
    }
};
struct JudgedStretch {
    StretchKey key;
    std::array<machine::Log, 2> logs;
    std::array<machine::Versions, 2> versions;
    std::optional<double> clearance_mm;
    std::optional<PathsApart> apart;
    std::vector<PathFinding> findings; ///< Blocks counted from those of the stretch, round below zero
    stock::RegionPointer left;
    std::array<stock::RegionPointer, 2> in;
    std::array<machine::Modal, 2> datums; ///< That the stock lies in behind it, as each has it
    std::size_t moves = 0;
};

/// What was made of one pair.
struct KeptPair {
    std::array<std::string, 2> names;
    std::array<std::vector<int>, 2> codes; ///< Of all waits
    std::vector<std::pair<std::size_t, std::size_t>> meetings;
    std::unordered_multimap<std::size_t, std::shared_ptr<JudgedStretch>> stretches;
    stock::RegionPointer raw_stock;
};

struct KeptPaths {
    std::shared_ptr<PathRuns> own = no_runs();
    std::unordered_map<std::size_t, KeptPair> pairs;
};

namespace {

constexpr std::size_t most_waits = 1500; ///< Of one path
constexpr std::size_t most_cuts = 2000;  ///< That are held against each other

void guess_waits(std::array<FollowedPath, 2>& paths, const std::array<PathNotes, 2>& notes) {
    std::set<int> waits = notes[0].waits;
    waits.insert(notes[1].waits.begin(), notes[1].waits.end());
    std::array<std::set<int>, 2> alone;
    // The note beside a wait often tells what the other path has done: "M906 P12 (C CLAMPED)".
    const auto does_other = [&](int code) {
        return std::any_of(notes.begin(), notes.end(), [&](const PathNotes& some) {
            return some.other.count(code) != 0 && some.by_paths.count(code) == 0;
        });
    };
    for (std::size_t i = 0; i < 2; ++i)
        for (const auto& [code, block] : notes[i].alone)
            if (code >= 100 && !does_other(code)) alone[i].insert(code);
    // Notes that call one or two of them so show where the others are.
    std::set<int> shared;
    std::set_intersection(alone[0].begin(), alone[0].end(), alone[1].begin(), alone[1].end(),
                          std::inserter(shared, shared.begin()));
    for (const int code : shared)
        if (waits.empty() || (code > *waits.begin() - 100 && code < *waits.rbegin() + 100))
            waits.insert(code);
    if (!waits.empty()) {
        const int first = *waits.begin(), last = *waits.rbegin();
        for (const std::set<int>& some : alone)
            for (const int code : some)
                if (last - first < 100 && code >= first && code <= last) waits.insert(code);
    }
    for (std::size_t i = 0; i < 2; ++i)
        for (const auto& [code, block] : notes[i].alone)
            if (waits.count(code) != 0) paths[i].waits.push_back({code, block});
}

/// The longest row of waits that stands in both in this order.
std::vector<std::pair<std::size_t, std::size_t>> meetings(const std::array<FollowedPath, 2>& paths) {
    const auto &a = paths[0].waits, &b = paths[1].waits;
    std::vector<std::vector<std::uint16_t>> longest(a.size() + 1, std::vector<std::uint16_t>(b.size() + 1));
    for (std::size_t i = a.size(); i-- > 0;)
        for (std::size_t j = b.size(); j-- > 0;)
            longest[i][j] = a[i].code == b[j].code ? static_cast<std::uint16_t>(longest[i + 1][j + 1] + 1)
                                                   : std::max(longest[i + 1][j], longest[i][j + 1]);
    std::vector<std::pair<std::size_t, std::size_t>> met;
    for (std::size_t i = 0, j = 0; i < a.size() && j < b.size();) {
        if (a[i].code == b[j].code)
            met.emplace_back(i++, j++);
        else if (longest[i + 1][j + 1] == longest[i][j])
            ++i, ++j; // One number in the place of another
        else if (longest[i + 1][j] >= longest[i][j + 1])
            ++i;
        else
            ++j;
    }
    return met;
}

/// A line of the other program, for a message.
std::string line_in(const FollowedPath& path, std::size_t block) {
    return said("line {}", path.line_of(block) + 1);
}

StretchKey key_of(const TwoPaths& two, const PathStretch& stretch) {
    StretchKey key;
    for (std::size_t p = 0; p < 2; ++p) {
        const FollowedPath& path = two.paths[p];
        StretchKey::Side& side = key.sides[p];
        const auto [first, end] = stretch.blocks[p];
        const std::vector<PathBlocks::Piece>& pieces = path.blocks.pieces();
        if (first < end) {
            const std::size_t begins = path.blocks.index_of(first);
            side.from = first - pieces[begins].first;
            side.to = end - pieces[begins].first;
            side.line = path.line_of(pieces[begins].first);
            for (std::size_t at = begins; at < pieces.size() && pieces[at].first < end; ++at)
                side.runs.push_back(pieces[at].blocks);
        }
        if (first > 0 && first <= path.blocks.size()) {
            const PathBlocks::Piece& piece = pieces[path.blocks.index_of(first - 1)];
            side.before = piece.blocks;
            side.before_at = first - 1 - piece.first;
            side.before_line = path.line_of(first - 1);
        }
        const std::size_t setting = path.last_setting(first);
        side.last_setting = static_cast<std::ptrdiff_t>(setting) - static_cast<std::ptrdiff_t>(first);
        side.last_setting_line = path.line_of(setting);
        if (const auto speed = path.last_speed(first)) {
            side.last_speed = static_cast<std::ptrdiff_t>(*speed) - static_cast<std::ptrdiff_t>(first);
            side.last_speed_line = path.line_of(*speed);
            side.speed = path.blocks[*speed].speed;
            side.surface_speed = path.blocks[*speed].surface_speed;
        }
        side.starts_second = path.starts_second;
        side.speaks = path.first_start < end;
        side.never_speaks = path.first_start == path.blocks.size();
        side.second_behind = path.first_of_second < end;
        side.noted_drills = path.noted_drills;
    }
    return key;
}

class Judge {
public:
    Judge(TwoPaths& two, const shop::Shop& shop, KeptPair* kept) : two_(two), shop_(shop), kept_(kept) {}

    void judge() {
        tell_unmet();
        if (two_.setup) stock_ = raw_stock();
        std::unordered_multimap<std::size_t, std::shared_ptr<JudgedStretch>> judged;
        for (PathStretch& stretch : two_.stretches) {
            std::shared_ptr<JudgedStretch> found = judged_stretch(stretch);
            stretch.clearance_mm = found->clearance_mm;
            stretch.apart = found->apart;
            moves_ += found->moves;
            if (moves_ <= stock::most_moves) {
                stretch.left = stock_ = found->left;
                stretch.in = found->in;
                datums_ = found->datums;
            } else {
                stock_.reset();
            }
            for (PathFinding finding : found->findings) {
                finding.block += stretch.blocks[finding.path].first;
                two_.findings.push_back(std::move(finding));
            }
            if (kept_) judged.emplace(found->key.hash(), std::move(found));
        }
        if (kept_) kept_->stretches = std::move(judged);
        tell_too_deep();
        std::stable_sort(two_.findings.begin(), two_.findings.end(),
                         [](const PathFinding& a, const PathFinding& b) {
                             return std::pair(a.path, a.block) < std::pair(b.path, b.block);
                         });
    }

private:
    /// Where the logs of a stretch are counted from.
    BlockPlace asker(const PathStretch& stretch, std::size_t p) const {
        const PathBlocks& blocks = two_.paths[p].blocks;
        if (blocks.empty()) return {};
        return blocks.place_of(std::min(stretch.blocks[p].first, blocks.size() - 1));
    }

    // --- The stock under both ----------------------------------------------------------------------------

    /// The same object as long as it is the same stock.
    stock::RegionPointer raw_stock() {
        auto made = std::make_shared<const stock::Region>(stock::raw_stock(*two_.setup));
        if (!kept_) return made;
        if (!kept_->raw_stock || !(*kept_->raw_stock == *made)) kept_->raw_stock = made;
        return kept_->raw_stock;
    }

    struct Blocks {
        BlockPlace first, last;
    };
    /// Of a path in a stretch, with its wait; nullopt: it has none. `alone`: they stand in the text as the
    /// control runs them.
    std::optional<Blocks> blocks_of(const PathStretch& stretch, std::size_t p, bool& alone) const {
        const PathBlocks& blocks = two_.paths[p].blocks;
        const machine::Analysis& analysis = *two_.paths[p].program.analysis;
        const auto [first, end] = stretch.blocks[p];
        if (first >= blocks.size()) return std::nullopt;
        Blocks found{first == 0 ? two_.paths[p].program.first : blocks.place_of(first),
                     two_.paths[p].program.last};
        const auto follows = [&](std::size_t i) { return blocks.place_of(i - 1) < blocks.place_of(i); };
        alone = first == 0 || follows(first);
        if (end + 1 >= blocks.size()) return found;
        const BlockPlace next = blocks.place_of(end + 1);
        alone = alone && follows(end + 1) && found.first < next;
        if (!alone) return found;
        found.last = next.block > 0
                         ? BlockPlace{next.run, next.block - 1}
                         : BlockPlace{next.run - 1, analysis.forest().run(next.run - 1)->blocks.size() - 1};
        return found;
    }

    /// Both take from what there is at the wait. What the other takes in a stretch may be gone at any time in
    /// it: each finds what is left without that.
    void follow_stock(const PathStretch& stretch, JudgedStretch& made, const PathReaders& readers) const {
        made.datums = datums_;
        if (!stock_ || !work_on_one_part(two_, stretch)) return;
        std::array<stock::RegionPointer, 2> out;
        for (std::size_t p = 0; p < 2; ++p) {
            bool alone = true;
            const std::optional<Blocks> blocks = blocks_of(stretch, p, alone);
            if (!alone) continue;
            out[p] = stock_;
            if (!blocks) continue;
            // Compensation that goes on over a wait belongs to a chain of moves that began before it.
            const auto side = motion::side_of(readers[p].before(blocks->first));
            stock::Setup setup = *two_.setup;
            setup.path = static_cast<int>(p) + 1;
            const stock::Followed followed =
                stock::follow_sequence(readers[p], shop_, setup, {stock_, {datums_[p]}}, blocks->first,
                                       blocks->last, stock::most_moves);
            made.moves += followed.moves;
            made.datums[p] = followed.held.datum;
            const bool goes_on =
                stretch.blocks[p].first > 0 && side.value_or(motion::Side::off) != motion::Side::off;
            out[p] = goes_on || followed.course.stop != stock::Stop::none ? nullptr : followed.course.out;
        }
        const auto &one = made.datums[0], &other = made.datums[1];
        if (one.possible != 0 && other.possible != 0 && !(one == other)) return;
        made.in = {out[1], out[0]};
        if (!out[0] || !out[1]) return;
        made.left = out[0] == stock_ ? out[1]
                    : out[1] == stock_
                        ? out[0]
                        : std::make_shared<const stock::Region>(stock::intersect(*out[0], *out[1]));
        keep(made.left);
    }

    /// Where a change leaves the same as before, what follows is kept.
    void keep(stock::RegionPointer& left) const {
        if (!kept_) return;
        for (const auto& [hash, was] : kept_->stretches)
            if (was->left && *was->left == *left) {
                left = was->left;
                return;
            }
    }

    std::shared_ptr<JudgedStretch> judged_stretch(const PathStretch& stretch) {
        StretchKey key = key_of(two_, stretch);
        key.stock = stock_;
        key.datums = datums_;
        for (std::size_t p = 0; stock_ && p < 2; ++p) {
            bool alone = true;
            if (const std::optional<Blocks> blocks = blocks_of(stretch, p, alone))
                key.lasts[p] = {blocks->last.run - blocks->first.run, blocks->last.block};
        }
        std::array<machine::Versions, 2> versions{machine::Versions(*two_.paths[0].program.analysis),
                                                  machine::Versions(*two_.paths[1].program.analysis)};
        if (kept_) {
            const auto [from, to] = kept_->stretches.equal_range(key.hash());
            for (auto at = from; at != to; ++at) {
                JudgedStretch& was = *at->second;
                if (!(was.key == key)) continue;
                const auto holds = [&](std::size_t p) {
                    return was.logs[p].holds(*two_.paths[p].program.analysis, versions[p], asker(stretch, p));
                };
                if (holds(0) && holds(1)) return at->second;
            }
        }
        auto made = std::make_shared<JudgedStretch>();
        made->key = std::move(key);
        made->versions = versions;
        const auto reader = [&](std::size_t p) {
            return machine::Reader(*two_.paths[p].program.analysis, made->versions[p], made->logs[p],
                                   asker(stretch, p));
        };
        PathStretch looked_at = stretch;
        std::vector<PathFinding> others = std::exchange(two_.findings, {});
        tell_stretch(stretch);
        look_in_space(two_, looked_at, shop_, {reader(0), reader(1)}, two_.findings);
        made->findings = std::exchange(two_.findings, std::move(others));
        for (PathFinding& finding : made->findings) finding.block -= stretch.blocks[finding.path].first;
        made->clearance_mm = looked_at.clearance_mm;
        made->apart = looked_at.apart;
        follow_stock(stretch, *made, {reader(0), reader(1)});
        return made;
    }

    const std::string& name(std::size_t path) const { return two_.paths[path].program.name; }

    void tell(std::size_t path, std::size_t block, std::string_view id, std::string text) {
        two_.findings.push_back({path, block, id, std::move(text)});
    }

    void tell_unmet() {
        std::size_t at[2] = {0, 0};
        for (std::size_t k = 0; k <= two_.meetings.size(); ++k) {
            const bool is_last = k == two_.meetings.size();
            const std::size_t next[2] = {is_last ? two_.paths[0].waits.size() : two_.meetings[k].first,
                                         is_last ? two_.paths[1].waits.size() : two_.meetings[k].second};
            const bool both = at[0] < next[0] && at[1] < next[1];
            for (std::size_t p = 0; p < 2; ++p)
                for (std::size_t i = at[p]; i < next[p]; ++i) tell_unmet_wait(p, i, at[1 - p], both);
            at[0] = next[0] + 1;
            at[1] = next[1] + 1;
        }
    }

    static bool has_letter(const FollowedPath& path, std::size_t i, char letter) {
        const BlockPlace place = path.blocks.place_of(i);
        const auto run = path.program.analysis->forest().run(place.run);
        const auto items = run->items_of(run->blocks[place.block]);
        return std::any_of(items.begin(), items.end(),
                           [&](const syntax::Item& item) { return item.is_word() && item.letter == letter; });
    }

    /// Between two waits that both have: in front of the only N or tool call that begins new work there; else
    /// at the first of the two.
    static std::size_t where_missing(const FollowedPath& path, std::size_t next) {
        const std::size_t from = next > 0 ? path.waits[next - 1].block : 0;
        const std::size_t by_number = where_missing(path, next, 'N');
        return by_number != from ? by_number : where_missing(path, next, 'T');
    }
    static std::size_t where_missing(const FollowedPath& path, std::size_t next, char letter) {
        const std::size_t from = next > 0 ? path.waits[next - 1].block : 0;
        const std::size_t to = next < path.waits.size() ? path.waits[next].block : path.blocks.size();
        constexpr std::size_t most = 2000;
        if (to - from > most) return from;
        std::optional<std::size_t> found;
        bool moves = false;
        std::size_t numbered = 0;
        for (std::size_t i = from + 1; i < to; ++i) {
            if (has_letter(path, i, letter)) {
                ++numbered;
                if (moves && found) return from;
                if (moves) found = i;
            }
            moves = moves || path.blocks[i].moves;
        }
        return found && 2 * numbered < to - from ? *found - 1 : from;
    }

    /// Between two waits that both have: an M code alone in its block that is no wait, and that one digit or
    /// two swapped ones make of this one.
    static std::optional<PathWait> slipped(const FollowedPath& path, std::size_t next, int code) {
        const std::size_t from = next > 0 ? path.waits[next - 1].block + 1 : 0;
        const std::size_t to = next < path.waits.size() ? path.waits[next].block : path.blocks.size();
        constexpr std::size_t most = 2000;
        if (to - from > most || from > to) return std::nullopt;
        const std::string meant = std::to_string(code);
        for (std::size_t i = from; i < to; ++i) {
            const BlockPlace place = path.blocks.place_of(i);
            const auto run = path.program.analysis->forest().run(place.run);
            const syntax::Item* alone = nullptr;
            std::size_t words = 0;
            for (const syntax::Item& item : run->items_of(run->blocks[place.block]))
                if (item.is_word() && item.letter != 'N' && item.letter != 'P') ++words, alone = &item;
            if (words != 1 || alone->letter != 'M' || alone->value < 100 || alone->value > 999) continue;
            const std::string written = std::to_string(static_cast<int>(alone->value));
            if (written.size() != meant.size() || written == meant) continue;
            std::size_t other = 0;
            for (std::size_t k = 0; k < meant.size(); ++k) other += written[k] != meant[k];
            const bool swapped =
                other == 2 && std::is_permutation(written.begin(), written.end(), meant.begin());
            if (other == 1 || swapped) return PathWait{static_cast<int>(alone->value), i};
        }
        return std::nullopt;
    }

    /// The path of wait `i` drills on the centre before it, by the speed of the other one: that waits before
    /// it goes on with another speed.
    std::optional<std::size_t> in_front_of_speed(std::size_t p, std::size_t i, std::size_t other_at) const {
        const FollowedPath &own = two_.paths[p], &other = two_.paths[1 - p];
        const std::size_t from = i > 0 ? own.waits[i - 1].block : 0;
        const std::size_t drills = own.blocks.find(
            from, own.waits[i].block, [](const PathBlock& block) { return block.drills_centre; });
        if (drills >= own.waits[i].block) return std::nullopt;
        const std::size_t after = other_at > 0 ? other.waits[other_at - 1].block : 0;
        const std::size_t to =
            other_at < other.waits.size() ? other.waits[other_at].block : other.blocks.size();
        const std::size_t speed = other.blocks.find(
            after, to, [](const PathBlock& block) { return block.starts_spindle && block.surface_speed; });
        if (speed >= to) return std::nullopt;
        std::size_t at = speed; // Its sequence begins where a tool is called
        for (std::size_t j = speed; j > after; --j)
            if (has_letter(other, j, 'T')) {
                at = j;
                break;
            }
        return at > 0 ? at - 1 : at;
    }

    /// `other_at`: the wait of the other path that comes next there.
    void tell_unmet_wait(std::size_t p, std::size_t i, std::size_t other_at, bool both) {
        const FollowedPath &own = two_.paths[p], &other = two_.paths[1 - p];
        const PathWait& wait = own.waits[i];
        const std::string code = written_wait(wait.code);
        const bool elsewhere = std::any_of(other.waits.begin(), other.waits.end(),
                                           [&](const PathWait& some) { return some.code == wait.code; });
        std::string text;
        if (both)
            text = said("This path waits at {} and {} waits at {} ({}): neither goes on. One of the "
                        "two numbers is wrong, or their order.",
                        code, name(1 - p), written_wait(other.waits[other_at].code),
                        line_in(other, other.waits[other_at].block));
        else if (elsewhere)
            text = said("{} stands in {} in another order, or less often: this path waits here for "
                        "ever, or goes on at the wrong moment.",
                        code, name(1 - p));
        else
            text = said("{} stands in no block of {}{}: this path waits here for ever.", code, name(1 - p),
                        other_at > 0 ? said(" behind ") + line_in(other, other.waits[other_at - 1].block)
                                     : std::string());
        tell(p, wait.block, "waits_do_not_meet", std::move(text));
        if (both || elsewhere || other.blocks.empty()) return;
        // A slip of it stands there.
        if (const auto slip = slipped(other, other_at, wait.code)) {
            tell(
                1 - p, slip->block, "waits_do_not_meet",
                said(
                    "{} is no code that {} waits at, and that one waits at {} ({}), which this path has not: "
                    "it waits there for ever. Is {} meant here?",
                    written_wait(slip->code), name(p), code, line_in(own, wait.block), code));
            return;
        }
        // Where it is missing: the other goes on alone.
        tell(1 - p, in_front_of_speed(p, i, other_at).value_or(where_missing(other, other_at)),
             "waits_do_not_meet",
             said("Behind this block {} waits at {} ({}) and this path has no such code: it goes on "
                  "alone. Write {} where it has to wait.",
                  name(p), code, line_in(own, wait.block), code));
    }

    template <class Wanted>
    std::optional<std::size_t> in(const PathStretch& stretch, std::size_t p, Wanted&& wanted) const {
        const auto [from, to] = stretch.blocks[p];
        const std::size_t found = two_.paths[p].blocks.find(from, to, wanted);
        return found < to ? std::optional(found) : std::nullopt;
    }

    /// Both at work on one part between two waits.
    void tell_stretch(const PathStretch& stretch) {
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& other = two_.paths[1 - p];
            const std::size_t first = stretch.blocks[1 - p].first;
            // How the other has the main spindle when this stretch begins, where this one never spoke to it.
            const bool own_speaks = two_.paths[p].first_start < stretch.blocks[p].second;
            const PathBlock* at_wait =
                first > 0 && first <= other.blocks.size() ? &other.blocks[first - 1] : nullptr;
            if (!own_speaks && at_wait && at_wait->turns && at_wait->surface_speed &&
                !in(stretch, 1 - p, [](const PathBlock& block) { return block.starts_spindle; }))
                if (const auto drill =
                        in(stretch, p, [](const PathBlock& block) { return block.drills_centre; })) {
                    tell(p, *drill, "centre_work_of_other_path",
                         said("This path works on the centre while {} has constant surface speed in "
                              "force (G96, {}): the speed follows the X of the other turret, up to "
                              "the limit. Write G97 there before this wait.",
                              name(1 - p), line_in(other, two_.paths[1 - p].last_setting(first))));
                    tell(
                        1 - p, two_.paths[1 - p].last_setting(first), "centre_work_of_other_path",
                        said(
                            "Constant surface speed (G96) is in force at the wait behind this block, and {} "
                            "works on the centre from there on ({}): the speed follows the X of this turret, "
                            "up to the limit. Write G97 with its S here.",
                            name(p), line_in(two_.paths[p], *drill)));
                }
            if (at_wait && at_wait->turns &&
                !in(stretch, 1 - p, [](const PathBlock& block) { return !block.turns; }))
                if (const auto hole =
                        in(stretch, p, [](const PathBlock& block) { return block.drills_live; })) {
                    tell(p, *hole, "live_tool_in_turning_part",
                         said("A live tool drills here and {} has the main spindle turning ({}): the "
                              "tool is torn off. Stop the spindle there before the wait.",
                              name(1 - p), line_in(other, first - 1)));
                    tell(
                        1 - p, first - 1, "live_tool_in_turning_part",
                        said(
                            "The main spindle turns at this wait, and a live tool of {} drills from there on "
                            "({}): the tool is torn off. Stop the spindle (M05) before the wait.",
                            name(p), line_in(two_.paths[p], *hole)));
                }
            const auto home = in(stretch, p, [](const PathBlock& block) { return block.slide_home; });
            const auto parting =
                in(stretch, 1 - p, [](const PathBlock& block) { return block.parts_off && block.turns; });
            if (home && parting && stretch.blocks[p].first > 0)
                tell(p, *home, "slide_home_while_parting",
                     said("The slide of the second spindle goes home in the same stretch between two "
                          "waits in which {} cuts in ({}): it pulls at a part that is not cut off "
                          "yet. Let it wait until the other path has parted.",
                          name(1 - p), line_in(other, *parting)));
        }
        tell_speeds(stretch);
        tell_take_over(stretch);
    }

    /// One path brings the second spindle, which its M03 turns; the other has the part in the main one.
    void tell_take_over(const PathStretch& stretch) {
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath &path = two_.paths[p], &other = two_.paths[1 - p];
            const auto closes = in(stretch, p, [](const PathBlock& block) { return block.closes_second; });
            if (!closes || other.starts_second) continue;
            const auto fed = in(stretch, p, [](const PathBlock& block) { return block.slide_fed; });
            const auto parting =
                in(stretch, 1 - p, [](const PathBlock& block) { return block.parts_off && block.turns; });
            if (parting && !fed && stretch.blocks[p].first > 0)
                tell(
                    p, *closes, "slide_home_while_parting",
                    said(
                        "The second chuck closes behind the wait at which {} goes on, and that cuts the part "
                        "off from there ({}): until the jaws are shut nothing holds it on this side. Close "
                        "it "
                        "before the wait.",
                        name(1 - p), line_in(other, *parting)));
            if (!path.starts_second || !fed || !(*fed < *closes)) continue;
            const std::size_t at = stretch.blocks[1 - p].first;
            const auto own = path.last_speed(*closes), others = other.last_speed(at);
            if (!own || !others) continue;
            const PathBlock &second = path.blocks[*own], &main = other.blocks[*others];
            const PathBlock& before = other.blocks[at - 1];
            if (!main.speed || !second.speed || main.surface_speed || second.surface_speed || !before.turns ||
                std::abs(*main.speed - *second.speed) <= 0.01 * *main.speed)
                continue;
            for (const auto& [which, block] : {std::pair(p, *own), std::pair(1 - p, *others)})
                tell(which, block, "take_over_at_two_speeds",
                     said("S{:g} stands here and S{:g} in {} ({}) when the second chuck closes on the part: "
                          "the spindles turn at unlike speeds, the jaws score the part or twist it off. Give "
                          "both the same S.",
                          *(which == p ? second : main).speed, *(which == p ? main : second).speed,
                          name(1 - which), line_in(two_.paths[1 - which], which == p ? *others : *own)));
        }
    }

    /// Both speak to the main spindle, and not with one demand.
    void tell_speeds(const PathStretch& stretch) {
        std::array<std::optional<std::size_t>, 2> sets;
        for (std::size_t p = 0; p < 2; ++p) {
            if (two_.paths[p].starts_second) return;
            // A path that never starts it may mean another spindle by its S.
            if (two_.paths[p].first_start == two_.paths[p].blocks.size()) return;
            sets[p] = in(stretch, p, [](const PathBlock& block) { return block.sets_speed; });
            if (!sets[p]) return;
        }
        const PathBlock &one = two_.paths[0].blocks[*sets[0]], &two = two_.paths[1].blocks[*sets[1]];
        if (!one.turns || !two.turns) return;
        if (one.surface_speed == two.surface_speed && one.speed == two.speed) return;
        const auto demand = [](const PathBlock& block) {
            return fmt::format("{}{}", block.surface_speed ? "G96" : "G97",
                               block.speed ? fmt::format(" S{:g}", *block.speed) : std::string());
        };
        for (std::size_t p = 0; p < 2; ++p)
            tell(p, *sets[p], "both_paths_set_spindle",
                 said("Both paths speak to the main spindle between the same two waits: {} here, {} "
                      "in {} ({}). Which of them holds is a matter of moments, and one tool cuts at "
                      "the speed of the other. Let one path alone set it, or wait between.",
                      demand(p == 0 ? one : two), demand(p == 0 ? two : one), name(1 - p),
                      line_in(two_.paths[1 - p], *sets[1 - p])));
    }

    struct Cut {
        PathBlock::Along along;
        std::size_t block = 0, stretch = 0;
    };
    std::vector<Cut> cuts_of(std::size_t p) const {
        const FollowedPath& path = two_.paths[p];
        std::vector<Cut> cuts;
        std::size_t k = 0;
        for (const std::size_t i : path.alongs) {
            if (cuts.size() == most_cuts) break;
            while (k < two_.stretches.size() && i >= two_.stretches[k].blocks[p].second) ++k;
            if (k == two_.stretches.size()) break;
            if (i >= two_.stretches[k].blocks[p].first) cuts.push_back({*path.blocks[i].along, i, k});
        }
        return cuts;
    }

    /// It comes away from the metal toward the centre: a cut in the bore.
    static bool leaves_inward(const FollowedPath& path, const Cut& cut) {
        constexpr std::size_t near = 3;
        constexpr double hardly_mm = 0.01;
        for (std::size_t i = cut.block + 1; i < path.blocks.size() && i <= cut.block + near; ++i) {
            const PathBlock& block = path.blocks[i];
            if (!block.moves) continue;
            if (!block.tip_known) return false;
            if (std::abs(block.x_end - cut.along.x_radius) > hardly_mm)
                return block.x_end < cut.along.x_radius;
        }
        return false;
    }

    /// A cut of one path that leaves less than the other finishes to behind it.
    void tell_too_deep() {
        constexpr double clear_mm = 0.05;
        const std::array<std::vector<Cut>, 2> cuts{cuts_of(0), cuts_of(1)};
        for (std::size_t p = 0; p < 2; ++p)
            for (const Cut& deep : cuts[p]) {
                if (leaves_inward(two_.paths[p], deep)) continue;
                const std::vector<Cut>& others = cuts[1 - p];
                const auto behind = std::partition_point(others.begin(), others.end(), [&](const Cut& cut) {
                    return cut.stretch <= deep.stretch;
                });
                const auto later = std::find_if(behind, others.end(), [&](const Cut& cut) {
                    const double overlap = std::min(deep.along.z_from, cut.along.z_from) -
                                           std::max(deep.along.z_to, cut.along.z_to);
                    return cut.along.x_radius >= deep.along.x_radius + clear_mm &&
                           overlap >= 0.5 * std::abs(cut.along.z_from - cut.along.z_to);
                });
                if (later == others.end()) continue;
                tell(p, deep.block, "cut_below_other_path",
                     said("This cut goes to a diameter of {:.3f} mm, and {} turns the same length "
                          "to {:.3f} mm behind it ({}): the metal is gone by then. A digit of X, "
                          "perhaps.",
                          2 * deep.along.x_radius, name(1 - p), 2 * later->along.x_radius,
                          line_in(two_.paths[1 - p], later->block)));
                break;
            }
    }

    TwoPaths& two_;
    const shop::Shop& shop_;
    KeptPair* kept_;
    stock::RegionPointer stock_; ///< At the wait; nullptr: not known
    std::array<machine::Modal, 2> datums_;
    std::size_t moves_ = 0;
};

} // namespace

std::string written_wait(int code) {
    return fmt::format("M{:02}", code);
}

std::optional<stock::Setup>
setup_of(const PathPair& programs, std::array<const machine::Outline*, 2> outlines, const shop::Shop& shop) {
    std::optional<stock::Setup> noted, told;
    for (std::size_t p = 0; p < 2; ++p) {
        const PathProgram& own = programs[p];
        if (!outlines[p]) continue;
        const machine::ProgramPart* part = nullptr;
        bool alone = true;
        for (const machine::ProgramPart& some : outlines[p]->programs) {
            const auto holds = [&](const PathProgram& program) {
                return program.analysis == own.analysis && some.first <= program.first &&
                       program.first <= some.last;
            };
            if (holds(own)) part = &some;
            alone = alone && (some.is_subprogram || holds(programs[0]) || holds(programs[1]));
        }
        if (!part) continue;
        const stock::ProgramCourse course = stock::Course::told(*own.analysis, shop, *part, alone);
        if (course.note && !course.setup) return std::nullopt;
        if (!course.setup) continue;
        std::optional<stock::Setup>& found = course.note ? noted : told;
        const auto same = [](const stock::Setup& a, const stock::Setup& b) {
            return a.radius_mm == b.radius_mm && a.bore_radius_mm == b.bore_radius_mm &&
                   a.front_z_mm == b.front_z_mm && a.back_z_mm == b.back_z_mm && a.jaw_z_mm == b.jaw_z_mm;
        };
        if (found && !same(*found, *course.setup)) return std::nullopt; // A part for each
        if (!found) found = course.setup;
    }
    return noted ? noted : told;
}

std::vector<stock::JointStock> joint_of_pairs(const std::vector<TwoPaths>& all) {
    std::vector<stock::JointStock> joint;
    for (const TwoPaths& two : all) {
        if (!two.setup || two.stretches.empty()) continue;
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& path = two.paths[p];
            const bool is_own = two.setup->note && !work_on_one_part(two, two.stretches.front());
            if (!path.program.is_here() || path.blocks.empty() || is_own) continue;
            stock::JointStock& one = joint.emplace_back();
            one.setup = two.setup;
            one.setup->note.reset();
            for (const PathStretch& stretch : two.stretches) {
                const std::size_t first = stretch.blocks[p].first;
                if (first >= path.blocks.size()) break;
                const BlockPlace place = first == 0 ? path.program.first : path.blocks.place_of(first);
                // Behind a turn of a loop nothing has a place of its own.
                if (!one.stretches.empty() && place <= one.stretches.back().first) break;
                one.stretches.push_back({place, stretch.in[p], static_cast<int>(p) + 1});
            }
        }
    }
    return joint;
}

TwoPaths follow_paths(const PathPair& programs, const shop::Shop& shop,
                      const std::optional<stock::Setup>& setup, const std::shared_ptr<KeptPaths>& kept,
                      std::size_t pair) {
    TwoPaths two;
    two.setup = setup;
    std::array<PathNotes, 2> notes;
    for (std::size_t p = 0; p < 2; ++p) {
        const OtherProgram* other = programs[p].other.get();
        if (other && kept && !other->runs) other->runs = no_runs();
        PathRuns* runs = !kept ? nullptr : other ? other->runs.get() : kept->own.get();
        const std::shared_ptr<const ReadPath> read = read_path(programs[p], runs);
        two.paths[p] = read->path;
        two.paths[p].program = programs[p];
        notes[p] = read->notes;
    }
    two.waits_told = notes[0].by_shop_file || notes[1].by_shop_file;
    if (two.waits_told)
        for (std::size_t p = 0; p < 2; ++p) two.paths[p].waits = std::move(notes[p].told);
    else
        guess_waits(two.paths, notes);
    for (FollowedPath& path : two.paths)
        if (path.waits.size() > most_waits) path.waits.resize(most_waits);
    KeptPair* of_pair = kept ? &kept->pairs[pair] : nullptr;
    std::array<std::string, 2> names{programs[0].name, programs[1].name};
    if (of_pair && of_pair->names != names) *of_pair = {std::move(names), {}, {}, {}, {}};
    std::array<std::vector<int>, 2> codes;
    for (std::size_t p = 0; p < 2; ++p)
        for (const PathWait& wait : two.paths[p].waits) codes[p].push_back(wait.code);
    two.meetings = of_pair && of_pair->codes == codes ? of_pair->meetings : meetings(two.paths);
    if (of_pair) of_pair->codes = std::move(codes), of_pair->meetings = two.meetings;
    std::array<std::size_t, 2> from{};
    for (std::size_t k = 0; k <= two.meetings.size(); ++k) {
        PathStretch stretch;
        const bool is_last = k == two.meetings.size();
        if (!is_last) stretch.code = two.paths[0].waits[two.meetings[k].first].code;
        for (std::size_t p = 0; p < 2; ++p) {
            const std::size_t wait = is_last ? 0 : p == 0 ? two.meetings[k].first : two.meetings[k].second;
            const std::size_t to = is_last ? two.paths[p].blocks.size() : two.paths[p].waits[wait].block;
            stretch.blocks[p] = {from[p], to};
            from[p] = is_last ? to : to + 1;
        }
        two.stretches.push_back(stretch);
    }
    Judge(two, shop, of_pair).judge();
    return two;
}

std::vector<TwoPaths> pairs_of_file(const machine::Analysis& analysis, const machine::Outline& outline,
                                    const shop::Shop& shop, OtherPrograms& others) {
    std::vector<TwoPaths> made;
    if (!others.kept) others.kept = std::make_shared<KeptPaths>();
    begin_turn(*others.kept->own);
    for (const PathPair& pair : path_pairs(analysis, outline, others)) {
        const auto outline_of = [&](const PathProgram& program) {
            return program.other ? &program.other->outline : &outline;
        };
        const std::optional<stock::Setup> setup =
            setup_of(pair, {outline_of(pair[0]), outline_of(pair[1])}, shop);
        made.push_back(follow_paths(pair, shop, setup, others.kept, made.size()));
    }
    std::erase_if(others.kept->pairs, [&](const auto& some) { return some.first >= made.size(); });
    return made;
}

const std::vector<TwoPaths>& FileContext::paths() const {
    static const std::vector<TwoPaths> none;
    if (!settings().machine.has_paths()) return none;
    const machine::Analysis& analysis = reader_.whole(machine::Whole::text);
    const machine::Outline& programs = outline();
    const std::scoped_lock lock(parts_.making);
    if (!parts_.paths)
        parts_.paths = std::make_shared<std::vector<TwoPaths>>(
            pairs_of_file(analysis, programs, parts_.shop, parts_.other_programs));
    return *parts_.paths;
}

void report_paths(const FileContext& context, Report& report, std::string_view id) {
    for (const TwoPaths& two : context.paths())
        for (const PathFinding& finding : two.findings) {
            const FollowedPath& path = two.paths[finding.path];
            if (finding.id == id && path.program.is_here())
                report.at(path.blocks.place_of(finding.block)).message(finding.text);
        }
}

} // namespace turnwright::checks

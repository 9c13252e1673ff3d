// The programs of a file followed through their stock, sequence by sequence, and kept from change to change.
#include "language/said.h"
#include "machine/picked_way.h"
#include "stock/follow.h"

#include <algorithm>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace turnwright::stock {

namespace {

/// A sequence as it was followed.
struct Record {
    BlockPlace last; ///< From its first
    Entering entering;
    std::size_t setup = 0; ///< Number of the setup it was followed with
    machine::Memo<std::shared_ptr<const Followed>> followed;
    std::size_t at = 0;      ///< Place among all when it was last taken
    std::uint64_t taken = 0; ///< Change that it was last taken in
};

bool same_setup(const Setup& a, const Setup& b) {
    auto numbers = [](const Setup& s) {
        return std::tie(s.radius_mm, s.bore_radius_mm, s.front_z_mm, s.back_z_mm, s.jaw_z_mm, s.jaw_radius_mm,
                        s.tail_z_mm, s.tail_radius_mm, s.quill_z_mm, s.quill_radius_mm, s.tail_body_z_mm,
                        s.tail_body_radius_mm, s.steady_z_mm, s.steady_width_mm, s.steady_radius_mm,
                        s.material, s.is_drawn_only, s.path, s.turned_round);
    };
    return numbers(a) == numbers(b);
}

/// Alike for areas that are alike.
std::size_t hash_of(const Region& area) {
    std::uint64_t all = area.loops.size();
    for (const Loop& loop : area.loops) {
        all = all * 0x9E3779B97F4A7C15u + loop.size();
        if (!loop.empty())
            all = (all ^ static_cast<std::uint64_t>(loop.front().z)) * 31 +
                  static_cast<std::uint64_t>(loop.front().x);
    }
    return static_cast<std::size_t>(all);
}

} // namespace

struct Course::Implementation {
    const machine::Analysis* analysis = nullptr;
    const shop::Shop* shop = nullptr;
    const machine::Outline* outline = nullptr;
    std::vector<ProgramCourse> programs;
    std::vector<std::shared_ptr<Record>> records, before; ///< In order of place; of the last change
    std::vector<std::pair<Setup, RegionPointer>> setups;  ///< Every one seen, so that numbers stay
    std::size_t next = 0;                                 ///< In `before`
    /// All that is kept, so that one that stands elsewhere now is found, and stock that is left as before.
    std::unordered_multimap<std::size_t, Record*> by_length, by_left;
    std::uint64_t change = 0; ///< Number of this one
    std::size_t anew = 0, moves = 0, most = most_moves;
    bool is_drawn_only = false;
    std::shared_ptr<const machine::PickedWay> way, given_way; ///< Of what is drawn only
    std::span<const JointStock> joint;
    std::vector<Setup::TurnedRound> turned_round;
    machine::Versions versions;

    // --- Which stock -------------------------------------------------------------------------------------

    /// The first stock note of a program's head.
    std::optional<StockNote> note_between(BlockPlace first, BlockPlace last, BlockPlace& at) const {
        for (std::size_t r = first.run; r <= last.run && r < analysis->size(); ++r) {
            const syntax::Run& run = *analysis->forest().run(r);
            for (std::size_t b = r == first.run ? first.block : 0; b < run.blocks.size(); ++b) {
                if (BlockPlace{r, b} > last) return std::nullopt;
                if (!run.blocks[b].has_note) continue;
                for (const syntax::Item& item : run.items_of(run.blocks[b])) {
                    if (item.kind != syntax::ItemKind::note) continue;
                    if (auto note = read_stock_note(syntax::note_text(run.text_of(item)))) {
                        at = {r, b};
                        return note;
                    }
                }
            }
        }
        return std::nullopt;
    }

    /// The unit that the program works in: that of its first block that states one, else knows one, no further
    /// than its first tool call.
    std::optional<double> unit_of(const machine::ProgramPart& program) const {
        BlockPlace end = program.last;
        if (!program.sequences.empty()) end = program.sequences.front().last;
        std::optional<double> stated, known; ///< At power-on another may hold than the program's
        for (std::size_t r = program.first.run; r <= end.run && r < analysis->size() && !stated; ++r)
            analysis->visit(r, [&](const machine::BlockView& view) {
                BlockPlace place{r, view.block};
                if (stated || place < program.first || place > end) return;
                std::optional<double> mm;
                if (view.after.is(codes::Meaning::millimetre)) mm = 1;
                if (view.after.is(codes::Meaning::inch)) mm = motion::mm_per_inch;
                if (!known) known = mm;
                if (view.reading.groups >> static_cast<unsigned>(codes::Group::units) & 1u) stated = mm;
            });
        return stated ? stated : known;
    }

    void take_note(const StockNote& note, BlockPlace at, ProgramCourse& course) const {
        course.note = at;
        if (!note.usable()) {
            course.stop = Stop::bad_note;
            course.wrong = note.wrong;
            return;
        }
        auto mm = unit_of(*course.program);
        if (!mm) {
            course.stop = Stop::units_unknown;
            return;
        }
        auto scaled = [&](std::optional<double> value, double factor) -> std::optional<double> {
            return value ? std::optional(*value * *mm * factor) : std::nullopt;
        };
        Setup setup;
        setup.radius_mm = *scaled(note.diameter, 0.5);
        setup.bore_radius_mm = scaled(note.bore, 0.5).value_or(0);
        setup.front_z_mm = scaled(note.face, 1).value_or(0);
        setup.back_z_mm = setup.front_z_mm - *scaled(note.length, 1);
        setup.jaw_z_mm = scaled(note.jaw_z, 1);
        setup.jaw_radius_mm = scaled(note.jaw_diameter, 0.5);
        setup.tail_z_mm = scaled(note.tail_z, 1);
        setup.tail_radius_mm = scaled(note.tail_diameter, 0.5);
        setup.quill_z_mm = scaled(note.quill_z, 1);
        setup.quill_radius_mm = scaled(note.quill_diameter, 0.5);
        setup.steady_z_mm = scaled(note.steady_z, 1);
        setup.steady_width_mm = scaled(note.steady_width, 1);
        setup.steady_radius_mm = scaled(note.steady_diameter, 0.5);
        setup.material = note.material;
        setup.note = at;
        course.setup = std::move(setup);
    }

    void take_shop_stock(ProgramCourse& course, bool only_program) const {
        const shop::Stock& stock = shop->stock;
        bool given = stock.diameter_mm || stock.bore_mm || stock.front_z_mm || stock.back_z_mm;
        if (!given) return;
        if (!only_program) {
            course.stop = Stop::several_programs;
            return;
        }
        if (!stock.diameter_mm) course.missing.push_back("diameter");
        if (!stock.bore_mm) course.missing.push_back("bore");
        if (!stock.front_z_mm) course.missing.push_back("front_z");
        bool upright =
            course.missing.empty() && *stock.diameter_mm > 0 && *stock.bore_mm < *stock.diameter_mm;
        if (course.missing.empty() && !upright)
            course.missing.push_back(said("a bore smaller than the diameter"));
        if (course.missing.empty() && stock.back_z_mm && *stock.back_z_mm >= *stock.front_z_mm)
            course.missing.push_back(said("a back_z behind front_z"));
        if (!course.missing.empty()) {
            course.stop = Stop::incomplete_stock;
            return;
        }
        Setup setup;
        setup.radius_mm = *stock.diameter_mm / 2;
        setup.bore_radius_mm = *stock.bore_mm / 2;
        setup.front_z_mm = *stock.front_z_mm;
        setup.back_is_known = stock.back_z_mm.has_value();
        setup.back_z_mm = stock.back_z_mm.value_or(setup.front_z_mm - reach_mm);
        setup.jaw_z_mm = stock.jaw_front_z_mm;
        if (stock.jaw_diameter_mm) setup.jaw_radius_mm = *stock.jaw_diameter_mm / 2;
        setup.tail_z_mm = stock.tailstock_z_mm;
        const auto radius = [](std::optional<double> diameter) {
            return diameter ? std::optional(*diameter / 2) : std::nullopt;
        };
        setup.tail_radius_mm = radius(stock.tailstock_diameter_mm);
        setup.quill_z_mm = stock.quill_z_mm;
        setup.quill_radius_mm = radius(stock.quill_diameter_mm);
        setup.tail_body_z_mm = stock.tailstock_body_z_mm;
        setup.tail_body_radius_mm = radius(stock.tailstock_body_diameter_mm);
        setup.steady_z_mm = stock.steady_z_mm;
        setup.steady_width_mm = stock.steady_width_mm;
        setup.steady_radius_mm = radius(stock.steady_diameter_mm);
        setup.material = stock.material;
        course.setup = std::move(setup);
    }

    void take_told(ProgramCourse& course, bool only_program) const {
        const machine::ProgramPart& program = *course.program;
        BlockPlace head_end = program.last, at;
        if (!program.sequences.empty()) head_end = program.sequences.front().tool_call;
        if (auto note = note_between(program.first, head_end, at))
            take_note(*note, at, course);
        else
            take_shop_stock(course, only_program);
    }

    BlockPlace before_place(BlockPlace place) const {
        if (place.block > 0) return {place.run, place.block - 1};
        return {place.run - 1, analysis->forest().run(place.run - 1)->blocks.size() - 1};
    }

    struct Part {
        BlockPlace first, last;
        const machine::Sequence* sequence;
    };
    /// Sequences, in pieces where another turret goes on or the part lies otherwise.
    std::vector<Part> parts_of(const machine::ProgramPart& program,
                               const std::vector<JointStock::Stretch>& of_both) const {
        std::vector<Part> parts = sequences_of(program);
        std::vector<BlockPlace> cuts;
        cuts.reserve(of_both.size() + turned_round.size());
        for (const JointStock::Stretch& stretch : of_both) cuts.push_back(stretch.first);
        for (const Setup::TurnedRound& row : turned_round) cuts.push_back(row.at);
        if (cuts.empty()) return parts;
        std::sort(cuts.begin(), cuts.end());
        cuts.erase(std::unique(cuts.begin(), cuts.end()), cuts.end());
        std::vector<Part> pieces;
        auto next = cuts.begin();
        for (const Part& part : parts) {
            BlockPlace from = part.first;
            while (next != cuts.end() && *next <= from) ++next;
            for (; next != cuts.end() && *next <= part.last; ++next) {
                pieces.push_back({from, before_place(*next), part.sequence});
                from = *next;
            }
            pieces.push_back({from, part.last, part.sequence});
        }
        return pieces;
    }
    std::vector<Part> sequences_of(const machine::ProgramPart& program) const {
        std::vector<Part> parts;
        if (program.sequences.empty()) return {{program.first, program.last, nullptr}};
        if (program.first < program.sequences.front().first)
            parts.push_back({program.first, before_place(program.sequences.front().first), nullptr});
        for (const machine::Sequence& sequence : program.sequences)
            parts.push_back({sequence.first, sequence.last, &sequence});
        return parts;
    }

    // --- Sequences ---------------------------------------------------------------------------------------

    std::size_t moves_left() const { return most - std::min(most, moves); }
    std::size_t number_of(const Setup& setup) {
        for (std::size_t i = 0; i < setups.size(); ++i)
            if (same_setup(setups[i].first, setup)) return i;
        setups.emplace_back(setup, std::make_shared<const Region>(raw_stock(setup)));
        return setups.size() - 1;
    }

    static BlockPlace last_from_first(const Part& part) {
        return {part.last.run - part.first.run,
                part.last.run == part.first.run ? part.last.block - part.first.block : part.last.block};
    }

    static std::size_t key_of(BlockPlace last, std::size_t setup, const Entering& entering) {
        return ((last.run * 64 + last.block) * 64 + setup) ^ hash_of(*entering.profile);
    }

    void forget_what_is_gone() {
        const auto is_gone = [&](const std::shared_ptr<Record>& record) { return record->taken != change; };
        const auto gone = std::count_if(before.begin(), before.end(), is_gone);
        constexpr std::ptrdiff_t few = 32;
        if (gone > few) { // Those that are alike would be looked for among each other
            by_length.clear();
            by_left.clear();
            for (const std::shared_ptr<Record>& record : records) note(*record);
        } else if (gone > 0) {
            for (const std::shared_ptr<Record>& record : before)
                if (is_gone(record)) forget(*record);
        }
        before.clear();
    }
    /// Of both rows where a record is found by.
    template <class Do>
    void each_key(const Record& record, Do&& act) {
        act(by_length, key_of(record.last, record.setup, record.entering));
        if (const RegionPointer& out = record.followed.value->course.out) act(by_left, hash_of(*out));
    }
    void note(Record& record) {
        each_key(record, [&](auto& row, std::size_t key) { row.emplace(key, &record); });
    }
    void forget(const Record& record) {
        each_key(record, [&](auto& row, std::size_t key) {
            const auto [from, to] = row.equal_range(key);
            const auto at = std::find_if(from, to, [&](const auto& one) { return one.second == &record; });
            if (at != to) row.erase(at);
        });
    }

    bool still_holds(const Record& record, const Part& part, const Entering& entering,
                     std::size_t setup) const {
        const Followed& followed = *record.followed.value;
        // What was broken off, or would be now, must be counted again.
        const bool counts_again =
            followed.course.stop == Stop::too_many_moves || followed.moves > moves_left();
        return !counts_again && record.setup == setup && record.last == last_from_first(part) &&
               record.entering == entering;
    }

    std::shared_ptr<Record> take(std::size_t i) {
        before[i]->taken = change;
        next = i + 1;
        return before[i];
    }

    /// The record of the last change that still holds: the next one, as a rule, else any.
    std::shared_ptr<Record> find(const Part& part, const Entering& entering, std::size_t setup) {
        const auto holds = [&](std::size_t i) {
            Record& record = *before[i];
            return still_holds(record, part, entering, setup) &&
                   record.followed.log.holds(*analysis, versions, part.first);
        };
        const auto is_taken = [&](const Record& record) { return record.taken == change; };
        if (next < before.size() && !is_taken(*before[next]) && holds(next)) return take(next);
        const auto [from, to] = by_length.equal_range(key_of(last_from_first(part), setup, entering));
        for (auto at = from; at != to; ++at)
            if (const Record& record = *at->second;
                !is_taken(record) && record.at != next && holds(record.at))
                return take(record.at);
        if (next < before.size()) ++next;
        return nullptr;
    }

    std::shared_ptr<Record> follow_part(const Part& part, const Setup& setup, const Entering& entering,
                                        std::size_t setup_number) {
        if (auto known = find(part, entering, setup_number)) return known;
        ++anew;
        auto follow = [&](const machine::Reader& reader) {
            auto followed = std::make_shared<Followed>(
                follow_sequence(reader, *shop, setup, entering, part.first, part.last, moves_left()));
            keep_profile(followed->course.out);
            return followed;
        };
        using Kept = machine::Memo<std::shared_ptr<const Followed>>;
        auto made =
            std::make_shared<Record>(Record{last_from_first(part), entering, setup_number,
                                            Kept::make(*analysis, versions, part.first, follow), 0, change});
        note(*made);
        return made;
    }

    /// When a change leaves the same stock as before, what follows is kept.
    void keep_profile(RegionPointer& out) {
        if (!out) return;
        const auto [from, to] = by_left.equal_range(hash_of(*out));
        for (auto at = from; at != to; ++at)
            if (const RegionPointer& left = at->second->followed.value->course.out; *left == *out) {
                out = left;
                return;
            }
    }

    /// Lines from a sequence's first become places in its runs.
    SequenceCourse placed(const SequenceCourse& course, const Part& part) const {
        SequenceCourse out = course;
        out.first = part.first;
        out.last = part.last;
        out.sequence = part.sequence;
        auto place = [&](Near& near) {
            const BlockPlace at = stock::placed(*analysis, part.first, near);
            near = {static_cast<std::uint32_t>(at.run - part.first.run),
                    static_cast<std::uint32_t>(at.block)};
        };
        for (Event& event : out.events) place(event.block);
        for (BlockCut& cut : out.cuts) place(cut.block);
        for (Clearance& clearance : out.clearances) place(clearance.block);
        for (SequenceCourse::Tool& tool : out.tools_in_loop) place(tool.block);
        place(out.parted_at);
        place(out.stopped_at);
        return out;
    }

    /// What a loop around several sequences did, each in the one that it stands in.
    class Shared {
    public:
        /// Takes out of the sequence in which the loop begins what lies behind it.
        void take(SequenceCourse& from) {
            const auto is_behind = [&](Near near) { return from.last < from.place(near); };
            in_ = from.in;
            const auto part = [&](auto& row, auto& behind) {
                const auto at = std::stable_partition(row.begin(), row.end(),
                                                      [&](const auto& one) { return !is_behind(one.block); });
                behind.assign(std::make_move_iterator(at), std::make_move_iterator(row.end()));
                row.erase(at, row.end());
            };
            part(from.events, held_.events);
            part(from.cuts, held_.cuts);
            part(from.clearances, held_.clearances);
            part(from.tools_in_loop, held_.tools_in_loop);
            for (const BlockCut& cut : held_.cuts) from.removed_mm3 -= cut.removed_mm3;
            from.cutting_blocks = static_cast<std::uint32_t>(from.cuts.size());
            from.station = from.tools_in_loop.empty() ? -1 : from.tools_in_loop.back().station;
            held_.first = from.first;
            if (from.before_parting && is_behind(from.parted_at))
                std::swap(held_.before_parting, from.before_parting), held_.parted_at = from.parted_at;
            if (from.stop == Stop::none || !is_behind(from.stopped_at)) return;
            held_.stop = std::exchange(from.stop, Stop::none);
            held_.stopped_at = from.stopped_at;
            held_.why = from.why;
            held_.missing = std::exchange(from.missing, {});
        }
        bool is_empty() const { return !in_; }
        void give(SequenceCourse& to) {
            const auto place = [&](Near& near) {
                const BlockPlace at = held_.place(near);
                near = {static_cast<std::uint32_t>(at.run - to.first.run),
                        static_cast<std::uint32_t>(at.block)};
            };
            const auto is_in = [&](Near near) {
                const BlockPlace at = held_.place(near);
                return to.first <= at && at <= to.last;
            };
            const auto give = [&](const auto& row, auto& own) {
                auto more = row;
                std::erase_if(more, [&](const auto& one) { return !is_in(one.block); });
                for (auto& one : more) place(one.block);
                own.insert(own.begin(), more.begin(), more.end());
            };
            const std::size_t own_cuts = to.cuts.size();
            give(held_.events, to.events);
            give(held_.cuts, to.cuts);
            give(held_.clearances, to.clearances);
            std::vector<SequenceCourse::Tool> tools;
            give(held_.tools_in_loop, tools);
            if (to.station < 0 && !tools.empty()) to.station = tools.back().station;
            for (std::size_t i = 0; i + own_cuts < to.cuts.size(); ++i, ++to.cutting_blocks)
                to.removed_mm3 += to.cuts[i].removed_mm3;
            if (held_.before_parting && is_in(held_.parted_at)) {
                to.before_parting = held_.before_parting;
                to.in = in_;
                if (to.stop == Stop::above) to.stop = Stop::none;
            }
            if (held_.stop == Stop::none || !is_in(held_.stopped_at)) return;
            to.stop = held_.stop;
            to.stopped_at = held_.stopped_at;
            place(to.stopped_at);
            to.why = held_.why;
            to.missing = held_.missing;
        }

    private:
        RegionPointer in_;
        SequenceCourse held_; ///< Places count from the sequence in which the loop begins
    };

    /// Of both paths where marks in one program part them.
    std::vector<JointStock::Stretch> joint_in(const machine::ProgramPart& program,
                                              std::optional<Setup>& setup) const {
        std::vector<JointStock::Stretch> all;
        for (const JointStock& one : joint) {
            if (one.stretches.empty() || one.stretches.front().first < program.first ||
                one.stretches.front().first > program.last)
                continue;
            all.insert(all.end(), one.stretches.begin(), one.stretches.end());
            setup = one.setup;
        }
        std::sort(all.begin(), all.end(), [](const JointStock::Stretch& a, const JointStock::Stretch& b) {
            return a.first < b.first;
        });
        return all;
    }

    /// Where the part goes on with its other end in front, and it is not followed there.
    const Setup::TurnedRound* turned_round_in(BlockPlace place) const {
        if (is_drawn_only) return nullptr;
        const auto turned =
            std::find_if(turned_round.begin(), turned_round.end(),
                         [&](const Setup::TurnedRound& one) { return one.turns() && one.at == place; });
        return turned == turned_round.end() ? nullptr : &*turned;
    }

    bool is_pulled_by_unknown(BlockPlace place) const {
        return std::any_of(turned_round.begin(), turned_round.end(), [&](const Setup::TurnedRound& one) {
            return one.how == Setup::TurnedRound::How::pulled && !one.is_known && one.at == place;
        });
    }

    void follow_program(ProgramCourse& course, const std::vector<JointStock::Stretch>& of_both) {
        Setup setup = *course.setup;
        std::size_t number = number_of(setup);
        Entering entering{setups[number].second, {}};
        Shared shared;
        RegionPointer fallen; ///< Off the bar
        const auto add = [&](const Part& part, Stop stop) -> SequenceCourse& {
            SequenceCourse& made = course.sequences.emplace_back();
            made.stop = stop;
            made.stopped_at = {0, static_cast<std::uint32_t>(part.first.block)};
            made.first = part.first;
            made.last = part.last;
            made.sequence = part.sequence;
            return made;
        };
        for (const Part& part : parts_of(*course.program, of_both)) {
            const auto stretch = std::lower_bound(
                of_both.begin(), of_both.end(), part.first,
                [](const JointStock::Stretch& one, BlockPlace place) { return one.first < place; });
            const bool begins = stretch != of_both.end() && stretch->first == part.first;
            if (begins && setup.path != stretch->path) {
                // Another turret begins in the same text.
                setup.path = stretch->path;
                number = number_of(setup);
                entering = {setups[number].second, {}};
            }
            if (begins && entering.profile) {
                entering.profile = stretch->in;
                if (!entering.profile) {
                    add(part, Stop::other_turret);
                    continue;
                }
            }
            using How = Setup::TurnedRound::How;
            if (const Setup::TurnedRound* turned = turned_round_in(part.first); turned && entering.profile) {
                add(part, turned->how == How::taken_over ? Stop::taken_over : Stop::turned_round);
                entering.profile = nullptr;
                continue;
            }
            if (is_pulled_by_unknown(part.first) && entering.profile) {
                add(part, Stop::bar_moved);
                entering.profile = nullptr;
                continue;
            }
            // The bar of the next part may begin behind one that is not known.
            const bool begins_anew = !entering.profile;
            if (begins_anew) entering = turned_round_at(std::move(entering), setup, part.first, fallen);
            if (!entering.profile) {
                SequenceCourse& made = add(part, Stop::above);
                if (!shared.is_empty()) shared.give(made);
                continue;
            }
            const std::size_t lines =
                entering.held.lines_run > 0 ? lines_between(*analysis, part.first, part.last) + 1 : 0;
            if (lines > 0 && entering.held.lines_run >= lines) {
                SequenceCourse& made = add(part, Stop::none);
                made.in = made.out = entering.profile;
                shared.give(made);
                entering.held.lines_run -= lines;
                continue;
            }
            if (!begins_anew) entering = turned_round_at(std::move(entering), setup, part.first, fallen);
            if (!entering.profile) {
                add(part, Stop::taken_over);
                continue;
            }
            auto record = follow_part(part, setup, entering, number);
            const Followed& followed = *record->followed.value;
            moves += followed.moves;
            course.sequences.push_back(placed(followed.course, part));
            SequenceCourse& made = course.sequences.back();
            made.in_by_both = begins;
            if (lines > 0) shared.give(made);
            entering = {followed.course.out, followed.held};
            if (made.fallen) fallen = made.fallen;
            if (followed.held.lines_run > 0) {
                shared = {};
                shared.take(made);
                if (!entering.profile && made.stop == Stop::none) made.out = made.in;
            }
            record->at = records.size();
            records.push_back(std::move(record));
        }
    }

    std::vector<std::pair<BlockPlace, BlockPlace>> loops_around(const Setup& setup,
                                                                const machine::ProgramPart& program) const {
        std::vector<std::pair<BlockPlace, BlockPlace>> loops;
        if (setup.turned_round.empty()) return loops;
        const BlockPlace last = setup.turned_round.back().at;
        const machine::Reader reader(*analysis);
        for (std::optional<BlockPlace> at = program.first; at && *at <= last; at = reader.neighbour(*at, true))
            if (const auto end = reader.loop_end(*at);
                end && std::any_of(setup.turned_round.begin(), setup.turned_round.end(),
                                   [&](const auto& row) { return *at <= row.at && row.at <= *end; }))
                loops.emplace_back(*at, *end);
        return loops;
    }

    void follow_all(const machine::Outline& all) {
        outline = &all;
        programs.clear();
        before = std::exchange(records, {});
        ++change;
        next = anew = moves = 0;
        versions = machine::Versions(*analysis);
        way = std::exchange(given_way, nullptr);
        std::size_t mains = 0;
        for (const machine::ProgramPart& program : all.programs) mains += !program.is_subprogram;
        programs.reserve(mains);
        for (const machine::ProgramPart& program : all.programs) {
            if (program.is_subprogram) continue;
            ProgramCourse& course = programs.emplace_back();
            course.program = &program;
            take_told(course, mains == 1);
            std::optional<Setup> of_both;
            const std::vector<JointStock::Stretch> stretches = joint_in(program, of_both);
            if (of_both && !course.setup && !course.note) {
                course.setup = of_both;
                course.stop = Stop::none;
                course.missing.clear();
            }
            if (!course.setup) continue;
            course.setup->is_drawn_only = is_drawn_only;
            course.setup->turned_round = turned_round;
            // Beside a picture what lies with its other end in front is not followed.
            if (!is_drawn_only)
                std::erase_if(course.setup->turned_round, [](const Setup::TurnedRound& one) {
                    return one.how != Setup::TurnedRound::How::pulled;
                });
            if (is_drawn_only && !way) way = std::make_shared<const machine::PickedWay>(*analysis);
            if (is_drawn_only) course.setup->way = way;
            if (is_drawn_only) course.setup->once = loops_around(*course.setup, program);
            follow_program(course, stretches);
        }
        forget_what_is_gone();
    }
};

Course::Course() : implementation_(std::make_unique<Implementation>()) {}
Course::~Course() = default;
Course::Course(Course&&) noexcept = default;
Course& Course::operator=(Course&&) noexcept = default;

void Course::pick_way(std::shared_ptr<const machine::PickedWay> way) {
    implementation_->given_way = std::move(way);
}

void Course::turn_round(std::vector<Setup::TurnedRound> turned_round) {
    implementation_->turned_round = std::move(turned_round);
}

void Course::follow(const machine::Analysis& analysis, const shop::Shop& shop,
                    const machine::Outline& outline, std::size_t most, bool is_drawn_only,
                    std::span<const JointStock> joint) {
    Implementation& own = *implementation_;
    if (own.shop != &shop) {
        auto fresh = std::make_unique<Implementation>();
        fresh->turned_round = std::move(own.turned_round);
        fresh->given_way = std::move(own.given_way);
        implementation_ = std::move(fresh);
    }
    implementation_->analysis = &analysis;
    implementation_->shop = &shop;
    implementation_->most = most;
    implementation_->is_drawn_only = is_drawn_only;
    implementation_->joint = joint;
    implementation_->follow_all(outline);
    implementation_->joint = {};
}

ProgramCourse Course::told(const machine::Analysis& analysis, const shop::Shop& shop,
                           const machine::ProgramPart& program, bool alone) {
    Implementation own;
    own.analysis = &analysis;
    own.shop = &shop;
    ProgramCourse course;
    course.program = &program;
    own.take_told(course, alone);
    return course;
}

const std::vector<ProgramCourse>& Course::programs() const {
    return implementation_->programs;
}
std::size_t Course::followed_anew() const {
    return implementation_->anew;
}

namespace {

/// The last of a row that begins at `place` or before it.
template <class Held, class First>
const Held* last_before(const std::vector<Held>& row, BlockPlace place, First first) {
    const auto behind =
        std::partition_point(row.begin(), row.end(), [&](const Held& held) { return first(held) <= place; });
    return behind == row.begin() ? nullptr : &*std::prev(behind);
}

} // namespace

const SequenceCourse* Course::sequence_at(BlockPlace place) const {
    // Both stand in the order of the text.
    const auto program = last_before(implementation_->programs, place,
                                     [](const ProgramCourse& held) { return held.program->first; });
    if (!program) return nullptr;
    const auto sequence =
        last_before(program->sequences, place, [](const SequenceCourse& held) { return held.first; });
    return sequence && place <= sequence->last && sequence->in ? sequence : nullptr;
}

const BlockCut* Course::cut_at(BlockPlace place) const {
    const SequenceCourse* sequence = sequence_at(place);
    if (!sequence) return nullptr;
    const auto cut =
        std::partition_point(sequence->cuts.begin(), sequence->cuts.end(),
                             [&](const BlockCut& held) { return sequence->place(held.block) < place; });
    return cut != sequence->cuts.end() && sequence->place(cut->block) == place ? &*cut : nullptr;
}

} // namespace turnwright::stock

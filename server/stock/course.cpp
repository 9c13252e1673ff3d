// The programs of a file followed through their stock, sequence by sequence, and kept from change to change.
#include "stock/follow.h"

#include <algorithm>
#include <tuple>
#include <utility>

namespace turnwright::stock {

namespace {

/// What decides whether a sequence must be followed anew.
struct RunKey {
    syntax::RunPointer text;
    machine::RunResultPointer result;
    bool operator==(const RunKey&) const = default;
};
struct Key {
    std::vector<RunKey> runs; ///< With one neighbour on either side: a corner looks there
    std::size_t first_block = 0, last_block = 0;
    Entering entering;
    std::size_t setup = 0; ///< Number of the setup it was followed with
};
/// The same by what it reads: for a sequence that shares a run with the one that was edited.
struct Content {
    std::string text; ///< Of its blocks, with the lines above and below that its paths see
    std::size_t lines = 0;
    machine::State state; ///< That enters it
    bool operator==(const Content&) const = default;
};
struct Contour {
    std::string text;
    machine::State state;
    bool operator==(const Contour&) const = default;
};
struct Record {
    Key key;
    Content content;
    std::vector<RunKey> contour_runs; ///< Of the labels that its cycles looked up
    Contour contour;
    std::vector<RunKey> called_runs; ///< Of the programs that it called
    std::shared_ptr<const Followed> followed;
};

bool same_setup(const Setup& a, const Setup& b) {
    auto numbers = [](const Setup& s) {
        return std::tie(s.radius_mm, s.bore_radius_mm, s.front_z_mm, s.back_z_mm, s.jaw_z_mm, s.jaw_radius_mm,
                        s.tail_z_mm, s.tail_radius_mm, s.material);
    };
    return numbers(a) == numbers(b);
}

/// A move may look this far up and down for the one it shares a corner with.
/// A stock note stands at the top, or is none.
constexpr std::size_t most_head_blocks = 500;
/// Contours longer than this many runs are not read.
constexpr std::size_t most_contour_runs = 200;

} // namespace

struct Course::Implementation {
    const machine::Analysis* analysis = nullptr;
    const shop::Shop* shop = nullptr;
    const machine::Outline* outline = nullptr;
    std::vector<ProgramCourse> programs;
    std::vector<std::shared_ptr<const Record>> records, before; ///< In order of place; of the last change
    std::vector<std::pair<Setup, RegionPointer>> setups;        ///< Every one seen, so that numbers stay
    std::size_t next = 0;                                       ///< In `before`
    std::size_t anew = 0, moves = 0, most = most_moves;
    std::optional<bool> has_flow; ///< Looked up when first needed

    // --- Which stock -------------------------------------------------------------------------------------

    /// The first stock note of a program's head.
    std::optional<StockNote> note_between(BlockPlace first, BlockPlace last, BlockPlace& at) const {
        std::size_t looked_at = 0;
        for (std::size_t r = first.run; r <= last.run && r < analysis->size(); ++r) {
            const syntax::Run& run = *analysis->forest().run(r);
            for (std::size_t b = r == first.run ? first.block : 0; b < run.blocks.size(); ++b) {
                if (BlockPlace{r, b} > last || ++looked_at > most_head_blocks) return std::nullopt;
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

    /// The unit that the program works in: that of its first block that knows one, no further than its first
    /// tool call.
    std::optional<double> unit_of(const machine::ProgramPart& program) const {
        BlockPlace end = program.last;
        if (!program.sequences.empty()) end = program.sequences.front().last;
        std::optional<double> mm;
        for (std::size_t r = program.first.run; r <= end.run && r < analysis->size() && !mm; ++r)
            analysis->visit(r, [&](const machine::BlockView& view) {
                BlockPlace place{r, view.block};
                if (mm || place < program.first || place > end) return;
                if (view.after.is(codes::Meaning::millimetre)) mm = 1;
                if (view.after.is(codes::Meaning::inch)) mm = motion::mm_per_inch;
            });
        return mm;
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
        if (course.missing.empty() && !upright) course.missing.push_back("a bore smaller than the diameter");
        if (course.missing.empty() && stock.back_z_mm && *stock.back_z_mm >= *stock.front_z_mm)
            course.missing.push_back("a back_z behind front_z");
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
        if (stock.tailstock_diameter_mm) setup.tail_radius_mm = *stock.tailstock_diameter_mm / 2;
        setup.material = stock.material;
        course.setup = std::move(setup);
    }

    BlockPlace before_place(BlockPlace place) const {
        if (place.block > 0) return {place.run, place.block - 1};
        return {place.run - 1, analysis->forest().run(place.run - 1)->blocks.size() - 1};
    }

    struct Part {
        BlockPlace first, last;
        const machine::Sequence* sequence;
    };
    std::vector<Part> parts_of(const machine::ProgramPart& program) const {
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
    RunKey key_of(std::size_t run) const { return {analysis->forest().run(run), analysis->result(run)}; }

    std::pair<std::size_t, std::size_t> contour_span(const std::vector<std::int32_t>& labels) const {
        std::size_t first = analysis->size(), end = 0;
        for (std::int32_t label : labels)
            for (BlockPlace place : analysis->labels(label)) {
                first = std::min(first, place.run);
                end = std::max(end, place.run + 1);
            }
        return {first, std::min(end, first + most_contour_runs)};
    }

    std::vector<RunKey> contour_runs(const std::vector<std::int32_t>& labels) const {
        std::vector<RunKey> keys;
        auto [first, end] = contour_span(labels);
        for (std::size_t run = first; run < end; ++run) keys.push_back(key_of(run));
        return keys;
    }

    /// A program that is not in the file is nullptr, so that it is looked for again when it comes.
    std::vector<RunKey> called_runs(const std::vector<std::int32_t>& numbers) const {
        std::vector<RunKey> keys;
        for (std::int32_t number : numbers) {
            const auto part = std::find_if(outline->programs.begin(), outline->programs.end(),
                                           [&](const auto& held) { return held.number == number; });
            keys.push_back({});
            if (part == outline->programs.end()) continue;
            for (std::size_t run = part->first.run; run <= part->last.run && run < analysis->size(); ++run)
                keys.push_back(key_of(run));
        }
        return keys;
    }

    /// Only from the first label to the last.
    Contour contour_of(const std::vector<std::int32_t>& labels) const {
        std::optional<BlockPlace> first, last;
        for (std::int32_t label : labels)
            for (BlockPlace place : analysis->labels(label)) {
                if (!first || place < *first) first = place;
                if (!last || place > *last) last = place;
            }
        if (!first) return {};
        return {text_between(*first, *last), analysis->before(*first)};
    }

    std::string text_between(BlockPlace first, BlockPlace last) const {
        std::string text;
        for (std::size_t r = first.run; r <= last.run && r < analysis->size(); ++r) {
            const syntax::Run& run = *analysis->forest().run(r);
            std::size_t from = r == first.run ? first.block : 0;
            std::size_t to = r == last.run ? std::min(last.block + 1, run.blocks.size()) : run.blocks.size();
            for (std::size_t b = from; b < to; ++b) {
                text += run.text_of(run.blocks[b]);
                text += '\n';
            }
        }
        return text;
    }

    Content content_of(const Part& part) const {
        Content content;
        for (std::size_t r = part.first.run; r <= part.last.run && r < analysis->size(); ++r)
            content.lines += analysis->forest().run(r)->blocks.size();
        content.lines -= part.first.block;
        if (part.last.run < analysis->size())
            content.lines -= analysis->forest().run(part.last.run)->blocks.size() - 1 - part.last.block;
        BlockPlace from = part.first, to = part.last;
        for (std::size_t i = 0; i < motion::lines_seen_above && (from.run > 0 || from.block > 0); ++i) {
            if (from.block == 0 && analysis->forest().run(from.run - 1)->blocks.empty()) break;
            from = before_place(from);
        }
        for (std::size_t i = 0; i < motion::lines_seen_below; ++i) {
            if (to.block + 1 < analysis->forest().run(to.run)->blocks.size())
                ++to.block;
            else if (to.run + 1 < analysis->size())
                to = {to.run + 1, 0};
        }
        content.text = text_between(from, to);
        content.state = analysis->before(part.first);
        return content;
    }

    std::size_t number_of(const Setup& setup) {
        for (std::size_t i = 0; i < setups.size(); ++i)
            if (same_setup(setups[i].first, setup)) return i;
        setups.emplace_back(setup, std::make_shared<const Region>(raw_stock(setup)));
        return setups.size() - 1;
    }

    /// The record of the last change with this key: looked for where the last one was found and a little on.
    std::shared_ptr<const Record> find(const Part& part, const Key& key) {
        std::optional<Content> content;
        for (std::size_t i = next; i < before.size() && i < next + 4; ++i) {
            const Record& record = *before[i];
            if (!(record.key.entering == key.entering) || record.key.setup != key.setup) continue;
            // What was broken off, or would be now, must be counted again.
            bool broken_off = record.followed->course.stop == Stop::too_many_moves;
            if (broken_off || record.followed->moves > moves_left()) continue;
            const std::vector<std::int32_t>& labels = record.followed->labels;
            bool same_runs = record.key.runs == key.runs && record.key.first_block == key.first_block &&
                             record.key.last_block == key.last_block &&
                             (labels.empty() || record.contour_runs == contour_runs(labels)) &&
                             record.called_runs == called_runs(record.followed->called);
            if (same_runs) {
                next = i + 1;
                return before[i];
            }
            // Jumps bring states into the middle of a sequence: there the runs' results alone tell.
            if (!has_flow) has_flow = analysis->has_flow();
            if (*has_flow) continue;
            if (!content) content = content_of(part);
            if (!(record.content == *content)) continue;
            if (!labels.empty() && !(record.contour == contour_of(labels))) continue;
            next = i + 1;
            Record moved = record;
            moved.key = key;
            if (!labels.empty()) moved.contour_runs = contour_runs(labels);
            return std::make_shared<const Record>(std::move(moved));
        }
        if (next < before.size()) ++next;
        return nullptr;
    }

    std::shared_ptr<const Record> follow_part(const Part& part, const Setup& setup, const Key& key) {
        if (auto known = find(part, key)) return known;
        ++anew;
        Followed followed = follow_sequence(*analysis, *outline, *shop, setup, key.entering, part.first,
                                            part.last, moves_left());
        std::vector<std::int32_t>& labels = followed.labels;
        std::sort(labels.begin(), labels.end());
        labels.erase(std::unique(labels.begin(), labels.end()), labels.end());
        keep_profile(followed.course.out);
        Record record;
        record.key = key;
        record.content = content_of(part);
        if (!labels.empty()) {
            record.contour_runs = contour_runs(labels);
            record.contour = contour_of(labels);
        }
        record.called_runs = called_runs(followed.called);
        record.followed = std::make_shared<const Followed>(std::move(followed));
        return std::make_shared<const Record>(std::move(record));
    }

    /// When a change leaves the same stock as before, what follows is kept.
    void keep_profile(RegionPointer& out) const {
        if (!out || next == 0 || next > before.size()) return;
        const RegionPointer& known = before[next - 1]->followed->course.out;
        if (known && known != out && *known == *out) out = known;
    }

    /// Lines from a sequence's first become places in its runs.
    SequenceCourse placed(const SequenceCourse& course, const Part& part) const {
        SequenceCourse out = course;
        out.first = part.first;
        out.last = part.last;
        out.sequence = part.sequence;
        auto place = [&](Near& near) {
            std::size_t block = part.first.block + near.block, run = part.first.run;
            while (run + 1 < analysis->size() && block >= analysis->forest().run(run)->blocks.size())
                block -= analysis->forest().run(run++)->blocks.size();
            near = {static_cast<std::uint32_t>(run - part.first.run), static_cast<std::uint32_t>(block)};
        };
        for (Event& event : out.events) place(event.block);
        for (BlockCut& cut : out.cuts) place(cut.block);
        place(out.stopped_at);
        return out;
    }

    void follow_program(ProgramCourse& course) {
        const Setup& setup = *course.setup;
        std::size_t number = number_of(setup);
        Entering entering{setups[number].second, {}};
        for (const Part& part : parts_of(*course.program)) {
            if (!entering.profile) {
                SequenceCourse& made = course.sequences.emplace_back();
                made.stop = Stop::above;
                made.first = part.first;
                made.last = part.last;
                made.sequence = part.sequence;
                continue;
            }
            Key key;
            std::size_t from = part.first.run > 0 ? part.first.run - 1 : 0;
            for (std::size_t r = from; r <= part.last.run + 1 && r < analysis->size(); ++r)
                key.runs.push_back(key_of(r));
            key.first_block = part.first.block;
            key.last_block = part.last.block;
            key.entering = entering;
            key.setup = number;
            auto record = follow_part(part, setup, key);
            moves += record->followed->moves;
            course.sequences.push_back(placed(record->followed->course, part));
            entering = {record->followed->course.out, record->followed->datum};
            records.push_back(std::move(record));
        }
    }

    void follow_all(const machine::Outline& all) {
        outline = &all;
        programs.clear();
        before = std::exchange(records, {});
        next = anew = moves = 0;
        has_flow.reset();
        std::size_t mains = 0;
        for (const machine::ProgramPart& program : all.programs) mains += !program.is_subprogram;
        for (const machine::ProgramPart& program : all.programs) {
            if (program.is_subprogram) continue;
            ProgramCourse& course = programs.emplace_back();
            course.program = &program;
            BlockPlace head_end = program.last, at;
            if (!program.sequences.empty()) head_end = program.sequences.front().tool_call;
            if (auto note = note_between(program.first, head_end, at))
                take_note(*note, at, course);
            else
                take_shop_stock(course, mains == 1);
            if (course.setup) follow_program(course);
        }
    }
};

Course::Course() : implementation_(std::make_unique<Implementation>()) {}
Course::~Course() = default;
Course::Course(Course&&) noexcept = default;
Course& Course::operator=(Course&&) noexcept = default;

void Course::follow(const machine::Analysis& analysis, const shop::Shop& shop,
                    const machine::Outline& outline, std::size_t most) {
    Implementation& own = *implementation_;
    if (own.shop != &shop) implementation_ = std::make_unique<Implementation>();
    implementation_->analysis = &analysis;
    implementation_->shop = &shop;
    implementation_->most = most;
    implementation_->follow_all(outline);
}

const std::vector<ProgramCourse>& Course::programs() const {
    return implementation_->programs;
}
std::size_t Course::followed_anew() const {
    return implementation_->anew;
}

const SequenceCourse* Course::sequence_at(BlockPlace place) const {
    for (const ProgramCourse& program : implementation_->programs)
        for (const SequenceCourse& sequence : program.sequences)
            if (place >= sequence.first && place <= sequence.last) return sequence.in ? &sequence : nullptr;
    return nullptr;
}

const BlockCut* Course::cut_at(BlockPlace place) const {
    const SequenceCourse* sequence = sequence_at(place);
    if (!sequence) return nullptr;
    for (const BlockCut& cut : sequence->cuts)
        if (sequence->place(cut.block) == place) return &cut;
    return nullptr;
}

} // namespace turnwright::stock

#include "features/document.h"
#include "checks/path_pairs.h"
#include "features/assumed.h"
#include "features/equal_moves.h"
#include "language/said.h"
#include "syntax/both_cores.h"

#include <algorithm>
#include <cctype>
#include <iterator>
#include <ranges>
#include <span>
#include <unordered_set>

namespace turnwright::features {

namespace {

/// How many blocks from the top a note may name the machine in.
constexpr std::size_t head_blocks = 64;
constexpr std::size_t very_many_runs = 2000;  ///< About 130,000 blocks
constexpr std::size_t many_runs_to_cut = 150; ///< About 10,000, where the stock is followed through them
constexpr std::size_t first_runs = 256;       ///< Some screens more than a person sees at once

bool starts_with_word(std::string_view text, std::string_view word) {
    if (text.size() < word.size()) return false;
    return std::equal(word.begin(), word.end(), text.begin(),
                      [](char a, char b) { return a == std::toupper(static_cast<unsigned char>(b)); });
}

/// Whether the stock may be followed: told by the shop or job file or by a note in the head. True is no
/// promise.
bool may_know_stock(const text::Buffer& buffer, const shop::Shop& shop) {
    if (shop.stock.diameter_mm) return true;
    for (std::size_t line = 0; line < std::min(buffer.line_count(), head_blocks); ++line) {
        const std::string_view text = buffer.line(line);
        for (std::size_t at = text.find('('); at != std::string_view::npos; at = text.find('(', at + 1))
            if (starts_with_word(text.substr(at + 1), "STOCK")) return true;
    }
    return false;
}

/// "LATHE 2" from a note (MACHINE: LATHE 2) in some of the blocks. Empty when there is none.
std::string_view machine_named_in(const syntax::Run& run, std::size_t count) {
    for (std::size_t i = 0; i < std::min(run.blocks.size(), count); ++i) {
        if (!run.blocks[i].has_note) continue;
        for (const syntax::Item& item : run.items_of(run.blocks[i])) {
            if (item.kind != syntax::ItemKind::note) continue;
            std::string_view text = syntax::note_text(run.text_of(item));
            if (!starts_with_word(text, "MACHINE")) continue;
            text.remove_prefix(7);
            const std::size_t name = text.find_first_not_of(" \t:=");
            if (name == 0 || name == std::string_view::npos) continue; // "MACHINED TO SIZE" names none
            return text.substr(name);
        }
    }
    return {};
}

} // namespace

text::Splice merge(const text::Splice& earlier, const text::Splice& later) {
    // In the row between the two edits: what the earlier one made and what the later one takes away.
    const std::size_t first = std::min(earlier.first, later.first);
    const std::size_t end = std::max(earlier.first + earlier.inserted, later.first + later.removed);
    const std::size_t length = end - first;
    return {first, length - earlier.inserted + earlier.removed, length - later.removed + later.inserted};
}

Document::Document(std::string_view whole, std::shared_ptr<const shop::Shop> shop, std::filesystem::path path,
                   std::shared_ptr<const machine::ProgramLibrary> library, Begin begin)
    : buffer_(whole), shop_(shop ? std::move(shop) : std::make_shared<shop::Shop>(shop::default_shop())),
      path_(std::move(path)), library_(std::move(library)) {
    const std::size_t runs = buffer_.leaf_count();
    in_part_ = begin == Begin::with_first_part &&
               (runs >= very_many_runs || (runs >= many_runs_to_cut && may_know_stock(buffer_, *shop_)));
    if (!in_part_) {
        if (begin == Begin::with_all) evaluate();
        return;
    }
    read();
    read_machine();
    results_.begin(analysis_, *shop_, std::min(first_runs, runs / 4));
    library_stamp_ = library_ ? library_->stamp() : 0;
    rebuild_ = false;
}

void Document::edit(Range range, std::string_view with) {
    const text::Splice splice = buffer_.replace(range, with);
    unread_ = unread_ ? merge(*unread_, splice) : splice;
    for (OtherReading* other : {&by_radius_, &by_other_unit_})
        if (other->document) other->document->edit(range, with);
}

void Document::replace_all(std::string_view whole) {
    buffer_ = text::Buffer(whole);
    unread_.reset();
    waiting_.reset();
    read_whole_ = rebuild_ = true;
    by_radius_ = {};
    by_other_unit_ = {};
}

void Document::use_shop(std::shared_ptr<const shop::Shop> shop) {
    shop_ = shop ? std::move(shop) : std::make_shared<shop::Shop>(shop::default_shop());
    rebuild_ = true;
    by_radius_ = {};
    by_other_unit_ = {};
}

const shop::Machine& Document::choose_machine() const {
    std::string_view named;
    for (std::size_t run = 0; run < forest_.size() && named.empty(); ++run) {
        const std::size_t line = buffer_.first_line_of_leaf(run);
        if (line >= head_blocks) break;
        named = machine_named_in(*forest_.run(run), head_blocks - line);
    }
    return shop_->machine_for(path_, named);
}

void Document::read_whole() {
    forest_ = syntax::Forest(buffer_);
    evidence_ = {};
    signs_ = {};
    of_two_units_.reset();
    const auto& runs = forest_.runs();
    run_signs_.assign(runs.size(), {});
    arcs_.assign(runs.size(), {});
    std::vector<machine::SignCounts> sums(runs.size());
    constexpr std::size_t few_runs = 200;
    syntax::on_both_cores(runs.size(), few_runs, [&](std::size_t run) {
        run_signs_[run] = machine::run_signs(*runs[run]);
        sums[run] = run_signs_[run].sum();
        arcs_[run] = machine::arcs_in(*runs[run]);
    });
    for (std::size_t run = 0; run < runs.size(); ++run) {
        evidence_ += machine::evidence_in(*runs[run]);
        signs_ += sums[run];
    }
}

namespace {

/// What is held of each run follows a change; in place where there are as many: a key press moves none of the
/// others.
template <class OfRun>
void put_in_place(std::vector<OfRun>& held, std::vector<OfRun> now, const text::Splice& splice) {
    const auto first = held.begin() + static_cast<std::ptrdiff_t>(splice.first);
    const std::size_t both = std::min(splice.removed, splice.inserted);
    std::move(now.begin(), now.begin() + static_cast<std::ptrdiff_t>(both), first);
    held.erase(first + static_cast<std::ptrdiff_t>(both),
               first + static_cast<std::ptrdiff_t>(splice.removed));
    held.insert(held.begin() + static_cast<std::ptrdiff_t>(splice.first + both),
                std::make_move_iterator(now.begin() + static_cast<std::ptrdiff_t>(both)),
                std::make_move_iterator(now.end()));
}

} // namespace

void Document::follow_edits() {
    std::unordered_set<syntax::RunPointer> gone;
    for (std::size_t i = 0; i < unread_->removed; ++i) gone.insert(forest_.run(unread_->first + i));
    forest_.update(buffer_, *unread_);
    std::vector<machine::ArcRun> new_arcs;
    std::vector<machine::RunSigns> new_signs;
    for (std::size_t i = 0; i < unread_->inserted; ++i) {
        const syntax::Run& run = *forest_.run(unread_->first + i);
        new_arcs.push_back(machine::arcs_in(run));
        new_signs.push_back(machine::run_signs(run));
    }
    put_in_place(arcs_, std::move(new_arcs), *unread_);
    const auto old_signs = std::span(run_signs_).subspan(unread_->first, unread_->removed);
    if (!std::ranges::equal(old_signs, new_signs)) { // Most digits change none
        for (const machine::RunSigns& gone_signs : old_signs) signs_ -= gone_signs.sum();
        for (const machine::RunSigns& come : new_signs) signs_ += come.sum();
        of_two_units_.reset();
        put_in_place(run_signs_, std::move(new_signs), *unread_);
    }
    for (std::size_t i = 0; i < unread_->inserted; ++i) {
        const syntax::RunPointer& run = forest_.run(unread_->first + i);
        if (gone.erase(run) > 0) continue;
        evidence_ += machine::evidence_in(*run);
    }
    for (const syntax::RunPointer& run : gone) evidence_ -= machine::evidence_in(*run);
    waiting_ = waiting_ ? merge(*waiting_, *unread_) : unread_;
}

void Document::finish_begun() {
    if (in_part_ && !rebuild_) {
        results_.finish();
        times_.rebuild(analysis_);
    }
    if (file_is_left_ && !rebuild_) results_.finish_update();
    in_part_ = file_is_left_ = false;
}

void Document::read() {
    if (read_whole_) {
        read_whole();
    } else if (unread_) {
        finish_begun(); // that is about the text as it was
        follow_edits();
    }
    read_whole_ = false;
    unread_.reset();
}

machine::SignCounts Document::all_signs() const {
    machine::SignCounts signs = signs_;
    // Where neither shop file nor note tells, the arcs may.
    if (!machine_->x_told && signs.x_radius == 0 && signs.x_diameter == 0 && machine::arcs_tell_radius(arcs_))
        signs.x_radius = 1;
    return signs;
}

bool Document::programs_of_two_units(codes::System system) const {
    if (!of_two_units_ || of_two_units_->first != system)
        of_two_units_.emplace(system, machine::programs_of_two_units(system, run_signs_));
    return of_two_units_->second;
}

machine::Settings Document::choose_settings() const {
    machine::Settings settings = machine::choose_settings(*machine_, evidence_, all_signs());
    machine::Assumptions& assumed = settings.assumed;
    const bool tells = assumed.units.by != machine::Sign::none || assumed.values.by != machine::Sign::none;
    if (tells && programs_of_two_units(settings.system)) {
        assumed.units = {codes::Meaning::rapid, machine::Sign::none, true};
        assumed.values = {};
        assumed.feed_step = 0;
    }
    settings.file = path_;
    return settings;
}

void Document::read_machine() {
    machine_ = &choose_machine();
    analysis_.rebuild(forest_, choose_settings(), library_);
    if (!machine_->has_paths()) return;
    const std::optional<int> path = checks::own_path(analysis_);
    if (path == shop_->own_path) return;
    auto of_path = std::make_shared<shop::Shop>(*shop_);
    of_path->own_path = path;
    shop_ = std::move(of_path);
    machine_ = &choose_machine();
    analysis_.rebuild(forest_, choose_settings(), library_);
}

void Document::read_everything() {
    read_machine();
    results_.rebuild(analysis_, *shop_);
    times_.rebuild(analysis_);
    origins_.clear();
    tokens_.entries.clear(); // What a word is may hang on the machine, which no log of reads holds
}

const std::shared_ptr<const machine::PickedWay>& Document::picked_way() const {
    if (!picked_way_) picked_way_ = std::make_shared<const machine::PickedWay>(analysis_);
    return picked_way_;
}

void Document::forget_origins() {
    const machine::Analysis::Kept& kept = analysis_.kept();
    if (!kept.shapes) return origins_.clear();
    std::erase_if(origins_, [&](const auto& known) {
        const auto& [asked, origin] = known;
        return (origin ? origin->run : 0) < kept.end && kept.first <= asked.first.run;
    });
}

std::optional<machine::BlockPlace> Document::origin(machine::BlockPlace place, int part_bit) const {
    const auto [at, is_new] = origins_.try_emplace({place, part_bit});
    if (is_new) at->second = analysis_.origin(place, machine::Parts{1} << part_bit);
    return at->second;
}

void Document::evaluate() {
    if (bring_up_to_date(false)) read_otherwise();
}

namespace {

/// Of warnings, and of anything on the stock; that something is not stated is so in any reading.
bool may_hang_on_reading(const checks::Finding& finding) {
    return finding.check && finding.check->id != "units_missing" &&
           (finding.severity >= checks::Severity::warning || finding.check->family == checks::Family::stock);
}

} // namespace

void Document::read_otherwise(OtherReading& other, std::optional<shop::XReading> x,
                              std::optional<codes::Meaning> units) {
    if (!other.document) {
        other.document = std::make_unique<Document>(buffer_.whole(), shop_with(*this, std::nullopt, x, units),
                                                    path_, library_, Begin::with_first_part);
        other.document->is_read_otherwise_ = true;
    }
    other.document->evaluate();
    std::size_t there = 0, here = 0;
    for (const checks::Results::Placed& placed : results_.shown())
        here += may_hang_on_reading(*placed.finding);
    other.found.clear();
    for (const checks::Results::Placed& placed : other.document->results().shown()) {
        there += may_hang_on_reading(*placed.finding);
        if (placed.finding->check)
            other.found.emplace(other.document->range_of(placed.run, *placed.finding).begin.line,
                                placed.finding->check->id);
    }
    other.is_better = there < here;
}

void Document::read_otherwise() {
    // Nobody writes more by hand, and each reading costs as much as the first.
    constexpr std::size_t most_lines = 5'000;
    if (is_read_otherwise_) return;
    if (buffer_.line_count() > most_lines) {
        by_radius_ = {};
        by_other_unit_ = {};
        return;
    }
    // One that is not asked for now is kept: it follows the next edits, and is brought up to date when it is
    // asked for again, where it would be read from the top.
    const auto rest = [](OtherReading& other) {
        other.found.clear();
        other.is_better = false;
    };
    const bool may = std::ranges::any_of(results_.shown(), [](const checks::Results::Placed& placed) {
        return may_hang_on_reading(*placed.finding);
    });
    if (may && is_diameter_assumed(*this) && all_signs().x_diameter == 0 &&
        !machine::arcs_tell_diameter(arcs_))
        read_otherwise(by_radius_, shop::XReading::radius, std::nullopt);
    else
        rest(by_radius_);
    const std::optional<codes::Meaning> unit = may ? assumed_unit(*this) : std::nullopt;
    if (!unit) return rest(by_other_unit_);
    const auto other_unit = *unit == codes::Meaning::inch ? codes::Meaning::millimetre : codes::Meaning::inch;
    if (by_other_unit_.document && by_other_unit_.document->settings().machine.units != other_unit)
        by_other_unit_ = {};
    read_otherwise(by_other_unit_, std::nullopt, other_unit);
}

std::string Document::condition_of(std::size_t run, const checks::Finding& finding) const {
    if (!may_hang_on_reading(finding)) return {};
    const auto hangs_on = [&](const OtherReading& other) {
        return other.document && other.is_better &&
               !other.found.count({range_of(run, finding).begin.line, finding.check->id});
    };
    const bool on_diameter = hangs_on(by_radius_);
    if (!on_diameter && !hangs_on(by_other_unit_)) return {};
    constexpr std::string_view holds = " This holds if the program, which does not say so, means {}.";
    const std::string_view begins = translated(holds);
    if (finding.message.find(begins.substr(0, begins.find('{'))) != std::string::npos) return {};
    return said(" This holds if the program, which does not say so, means {}.",
                on_diameter ? std::string(said("X as a diameter"))
                            : std::string(codes::title(settings().assumed.units.meaning)));
}

bool Document::evaluate_blocks() {
    const auto follows_stock = [&] {
        const auto& programs = results_.stock().programs();
        return std::any_of(programs.begin(), programs.end(),
                           [](const stock::ProgramCourse& program) { return program.is_given(); });
    };
    if (rebuild_ || (!unread_ && !waiting_) || buffer_.leaf_count() < many_runs_to_cut || !follows_stock())
        return false;
    bring_up_to_date(true);
    return file_is_left_;
}

bool Document::bring_up_to_date(bool may_leave_file) {
    bool changed = in_part_ || file_is_left_;
    const std::uint64_t stamp = library_ ? library_->stamp() : 0;
    read();
    finish_begun();
    changed = changed || rebuild_ || waiting_ || stamp != library_stamp_;
    if (rebuild_ || waiting_ || stamp != library_stamp_) picked_way_.reset();
    if (rebuild_) {
        read_everything();
    } else if (waiting_) {
        const bool same_machine = machine_ == &choose_machine();
        const machine::Settings chosen = choose_settings();
        const machine::Settings& held = analysis_.settings();
        if (!same_machine || stamp != library_stamp_ || chosen.system != held.system ||
            chosen.system_from != held.system_from || !analysis_.assume(chosen.assumed)) {
            read_everything();
        } else {
            analysis_.update(forest_, *waiting_);
            if (may_leave_file)
                results_.begin_update(analysis_, *waiting_);
            else
                results_.update(analysis_, *waiting_);
            file_is_left_ = may_leave_file;
            times_.update(analysis_, *waiting_);
            forget_origins();
        }
    } else if (stamp != library_stamp_) {
        read_everything();
    }
    library_stamp_ = stamp;
    waiting_.reset();
    rebuild_ = false;
    return changed;
}

machine::BlockPlace Document::place_of_line(std::size_t line) const {
    const std::size_t last = buffer_.line_count() - 1;
    const std::size_t held = std::min(line, last);
    const std::size_t run = buffer_.leaf_of_line(held);
    return {run, held - buffer_.first_line_of_leaf(run)};
}

std::size_t Document::line_of(machine::BlockPlace place) const {
    return buffer_.first_line_of_leaf(place.run) + place.block;
}

Range Document::range_of(machine::BlockPlace place) const {
    const auto line = static_cast<std::uint32_t>(line_of(place));
    return {{line, 0}, {line, static_cast<std::uint32_t>(buffer_.leaf(place.run)->line(place.block).size())}};
}

Range Document::range_in_run(std::size_t run, std::uint32_t begin, std::uint32_t length) const {
    const std::vector<std::uint32_t>& starts = buffer_.leaf(run)->line_starts;
    const auto first_line = static_cast<std::uint32_t>(buffer_.first_line_of_leaf(run));
    const auto position = [&](std::uint32_t byte) {
        const auto after = std::upper_bound(starts.begin(), starts.end(), byte);
        const auto line = static_cast<std::uint32_t>(after - starts.begin() - 1);
        return buffer_.clamp({first_line + line, byte - starts[line]});
    };
    return {position(begin), position(begin + length)};
}

Range Document::range_of(std::size_t run, const checks::Finding& finding) const {
    const auto line = static_cast<std::uint32_t>(line_of({run, finding.block}));
    return {{line, finding.begin}, {line, finding.begin + finding.length}};
}

Range Document::range_of(machine::BlockPlace place, const syntax::Item& item) const {
    const auto line = static_cast<std::uint32_t>(line_of(place));
    const std::uint32_t start = block(place).begin;
    return {{line, item.begin - start}, {line, item.end() - start}};
}

} // namespace turnwright::features

#include "checks/two_paths.h"
#include "language/said.h"

#include "machine/execution.h"
#include "machine/whole_number.h"
#include "text/letters.h"

#include <cmath>
#include <fmt/format.h>
#include <unordered_map>

namespace turnwright::checks {
namespace {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::MotionKind;
using machine::Spindle;

constexpr std::size_t most_waits = 1500;    ///< Of one path
constexpr std::size_t most_cuts = 2000;     ///< That are held against each other
constexpr std::size_t most_called = 50'000; ///< Blocks of called programs and loops

} // namespace

/// A path while it is read.
struct PathNotes {
    std::vector<std::pair<int, std::size_t>> alone; ///< M codes of the builder alone in their block
    std::vector<PathWait> told;                     ///< Of codes that the shop file calls waits
    std::set<int> other;    ///< Codes whose notes or the shop file tell that they do something else
    std::set<int> waits;    ///< That notes call so
    std::set<int> by_paths; ///< With a P that names both paths
    bool by_shop_file = false;
};

/// What one run adds to a path; places of `told` and `alone` count its blocks.
struct PathRun : PathNotes {
    std::vector<PathBlock> blocks;
    std::size_t first_run = 0; ///< That their places count
    bool stands_alone = true;  ///< Nothing in it is called or gone through turn by turn
    void append(PathRun&& turns) {
        for (const auto& [code, block] : turns.alone) alone.emplace_back(code, blocks.size() + block);
        for (const PathWait& wait : turns.told) told.push_back({wait.code, blocks.size() + wait.block});
        waits.merge(turns.waits);
        by_paths.merge(turns.by_paths);
        blocks.insert(blocks.end(), turns.blocks.begin(), turns.blocks.end());
    }
};
using PathRunMemo = machine::Memo<PathRun>;

namespace {

/// "WAIT CODES M101 TO M105", "M903 (ATTENTE)": codes that a note calls waits. Words of five languages:
/// common practice, no source.
bool speaks_of_waiting(std::string_view note) {
    std::string upper(note);
    for (char& c : upper) c = text::upper(c);
    for (std::string_view word : {"WAIT", "ATTENTE", "ATTENDRE", "WARTE", "ATTESA", "ATTENDE", "ESPERA"})
        if (upper.find(word) != std::string::npos) return true;
    return false;
}

std::vector<int> codes_in(std::string_view note) {
    std::vector<int> found;
    for (std::size_t i = 0; i + 1 < note.size(); ++i) {
        const char before = i > 0 ? note[i - 1] : ' ';
        if (text::upper(note[i]) != 'M' || text::is_letter(before) || text::is_digit(before)) continue;
        int number = 0;
        std::size_t digits = 0;
        while (i + 1 + digits < note.size() && text::is_digit(note[i + 1 + digits]) && digits < 4)
            number = number * 10 + (note[i + 1 + digits++] - '0');
        if (digits >= 2) found.push_back(number);
    }
    return found;
}

void take_notes(const BlockView& view, int own, PathNotes& notes) {
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const std::string_view note = syntax::note_text(view.run.text_of(item));
        if (!speaks_of_waiting(note)) continue;
        const std::vector<int> codes = codes_in(note);
        if (codes.empty() && own >= 0) notes.waits.insert(own);
        notes.waits.insert(codes.begin(), codes.end());
        if (codes.size() == 2 && codes[0] < codes[1] && codes[1] - codes[0] < 100)
            for (int code = codes[0]; code <= codes[1]; ++code) notes.waits.insert(code);
    }
}

/// The M code of the builder that stands alone in its block, but for N, P and notes; -1: none does.
int code_alone(const BlockView& view) {
    int code = -1;
    for (const machine::Word& word : view.reading.words) {
        if (word.implied || word.letter == 'N' || word.letter == 'P') continue;
        if (word.letter != 'M' || code >= 0 || !word.value.known()) return -1;
        const codes::Code* row = codes::find(codes::System::A, 'M', word.value.number);
        if (row && row->meaning != Meaning::machine_specific) return -1;
        code = machine::whole_number(word.value.number);
    }
    return code;
}

/// P of a wait names the paths by their digits, as P12. Of more than two turrets some waits are not between
/// these two.
enum class Names : std::uint8_t { no_paths, both, others };
Names paths_named(const BlockView& view) {
    const machine::Word* paths = view.reading.word('P');
    if (!paths || !paths->value.known() || paths->value.number < 10) return Names::no_paths;
    bool first = false, second = false;
    for (auto rest = static_cast<long long>(paths->value.number); rest > 0; rest /= 10) {
        first = first || rest % 10 == 1;
        second = second || rest % 10 == 2;
    }
    return first && second ? Names::both : Names::others;
}

/// The code of a block that waits by the shop file; -1: none.
int told_wait(const BlockView& view) {
    if (!view.reading.code(Meaning::path_wait) || paths_named(view) == Names::others) return -1;
    for (const machine::Word& word : view.reading.words) {
        if (word.letter != 'M' || word.implied || !word.value.known()) continue;
        const shop::CodeEffect* effect = view.settings.machine.effect_of('M', word.value.number);
        if (effect &&
            std::find(effect->does.begin(), effect->does.end(), Meaning::path_wait) != effect->does.end())
            return machine::whole_number(word.value.number);
    }
    return -1;
}

PathBlock block_of(const BlockView& view, double mm) {
    const machine::Reading& reading = view.reading;
    const machine::State& after = view.after;
    PathBlock block;
    const bool of_main = after.spoken_to() == Spindle::main;
    block.starts_spindle =
        of_main && (reading.code(Meaning::spindle_forward) || reading.code(Meaning::spindle_reverse));
    block.sets_speed =
        block.starts_spindle || (of_main && reading.has('S') && !reading.code(Meaning::speed_limit));
    const machine::SpindleState main = after.spindle(Spindle::main);
    block.surface_speed = main.mode.is(Meaning::surface_speed);
    block.turns = main.direction.is(Meaning::spindle_forward) || main.direction.is(Meaning::spindle_reverse);
    if (main.speed.known()) block.speed = main.speed.number;
    const bool drills = reading.motion == MotionKind::drill_cycle || reading.motion == MotionKind::peck_cycle;
    block.drills_centre = of_main && (drills || reading.motion == MotionKind::feed) &&
                          view.before.x_radius.is(0) && reading.moves_z && !reading.moves_x &&
                          !after.is_axis();
    block.drills_live = drills && after.spoken_to() == Spindle::live && !after.c.surely_unset();
    const bool feeds = reading.motion == MotionKind::feed && !reading.in_contour;
    const machine::Value &from_x = view.before.x_radius, &from_z = view.before.z;
    if (feeds && reading.moves_x && !reading.moves_z && from_x.known() && after.x_radius.known())
        block.parts_off = after.x_radius.number < from_x.number && from_z.known() && from_z.number < 0;
    if (feeds && reading.moves_z && !reading.moves_x && from_z.known() && after.z.known() &&
        after.x_radius.known() && after.x_radius.number > 0 && of_main && after.z.number < from_z.number)
        block.along = PathBlock::Along{after.x_radius.number * mm, from_z.number * mm, after.z.number * mm};
    block.of_second = after.spoken_to() == Spindle::second;
    block.datum = after.of(Group::datum).possible;
    block.feeds = feeds || machine::is_cycle(reading.motion);
    if (reading.motion != MotionKind::none && (reading.moves_x || reading.moves_z) && !reading.in_contour) {
        const machine::Value to_x =
                                 machine::is_cycle(reading.motion) ? reading.target_x_radius : after.x_radius,
                             to_z = machine::is_cycle(reading.motion) ? reading.target_z : after.z;
        block.moves = true;
        block.by_cycle = machine::is_cycle(reading.motion);
        block.tip_known = from_x.known() && from_z.known() && to_x.known() && to_z.known();
        if (block.tip_known) {
            block.x_end = static_cast<float>(to_x.number * mm);
            block.z_start = static_cast<float>(from_z.number * mm);
            block.z_end = static_cast<float>(to_z.number * mm);
        }
        if (block.tip_known)
            block.tip = {static_cast<float>(std::min(from_x.number, to_x.number) * mm),
                         static_cast<float>(std::max(from_x.number, to_x.number) * mm),
                         static_cast<float>(std::min(from_z.number, to_z.number) * mm),
                         static_cast<float>(std::max(from_z.number, to_z.number) * mm)};
    }
    for (const machine::Word& word : reading.words)
        block.slide_home =
            block.slide_home || ((word.letter == 'A' || word.letter == 'B' || word.letter == 'E') &&
                                 !reading.moves_x && !reading.moves_z && word.value.is(0));
    return block;
}

/// What a block adds to a path; in a loop or a called program turn by turn.
void take_block(const BlockView& view, BlockPlace place, PathRun& run) {
    const int wait = told_wait(view), alone = code_alone(view);
    if (view.text.has_note) take_notes(view, alone, run);
    if (view.reading.words.empty()) return;
    run.blocks.push_back(block_of(view, view.after.is(Meaning::inch) ? motion::mm_per_inch : 1));
    run.blocks.back().place = place;
    if (wait >= 0) run.told.push_back({wait, run.blocks.size() - 1});
    if (alone < 0) return;
    run.alone.emplace_back(alone, run.blocks.size() - 1);
    if (paths_named(view) == Names::both) run.by_paths.insert(alone);
}

/// Blocks of one run, from `from` on. `behind`: where the program goes on behind a loop that begins here.
void read_run(const machine::Reader& reader, std::size_t index, const PathProgram& program,
              machine::Execution& execution, BlockPlace& behind, PathRun& run) {
    reader.visit(index, [&](const BlockView& view) {
        const BlockPlace place{view.run_index, view.block};
        if (place < program.first || program.last < place || place < behind || !view.reading.is_read) return;
        if (reader.loop_end(place)) {
            // A loop is gone through as often as the control does it: a wait in it comes each time.
            PathRun turns;
            const auto end = execution.loop(place, [&](const machine::Executed& executed) {
                take_block(executed.view,
                           executed.is_own && executed.depth == 0
                               ? BlockPlace{executed.view.run_index, executed.view.block}
                               : place,
                           turns);
                return execution.blocks_left() > 0;
            });
            run.stands_alone = false;
            if (end && execution.blocks_left() > 0) {
                run.append(std::move(turns));
                behind = *end;
                return;
            }
        }
        take_block(view, place, run);
        if (!machine::calls_program(view.reading.flow) || view.reading.flow == machine::FlowKind::modal_call)
            return;
        run.stands_alone = false;
        execution.call(view, [&](const machine::Executed& called) {
            take_block(called.view, place, run);
            return execution.blocks_left() > 0;
        });
    });
}

/// What the shop file, and notes, say of codes that do something else.
void take_effects(const shop::Machine& machine, PathNotes& notes) {
    for (const auto& [code, effect] : machine.effects) {
        if (code.first != 'M' || effect.does.empty()) continue;
        const bool waits =
            std::find(effect.does.begin(), effect.does.end(), Meaning::path_wait) != effect.does.end();
        if (waits)
            notes.by_shop_file = true;
        else
            notes.other.insert(code.second);
    }
}

} // namespace

/// Kept from change to change; a run that reads as it did is not gone through again.
struct PathRuns {
    std::unordered_map<const syntax::Run*, std::shared_ptr<PathRunMemo>> before, now;
    std::shared_ptr<PathRunMemo> of(const syntax::Run* run) const {
        for (const auto* some : {&now, &before})
            if (const auto found = some->find(run); found != some->end()) return found->second;
        return nullptr;
    }
};

namespace {

/// `kept`: what was read of the runs before; nullptr: nothing is kept.
void read_path(const PathProgram& program, FollowedPath& path, PathNotes& notes,
               const std::shared_ptr<PathRuns>& kept) {
    path.program = program;
    const machine::Analysis& analysis = *program.analysis;
    take_effects(analysis.settings().machine, notes);
    machine::Execution execution(analysis, most_called);
    std::size_t line = 0;
    std::vector<std::size_t> first_lines; ///< Of each run
    for (std::size_t run = 0; run <= program.last.run; ++run) {
        first_lines.push_back(line);
        line += analysis.forest().run(run)->blocks.size();
    }
    const machine::Versions versions(analysis);
    path.blocks.reserve(line - first_lines[program.first.run]);
    BlockPlace behind;
    for (std::size_t run = program.first.run; run <= program.last.run; ++run) {
        const bool is_whole =
            program.first < BlockPlace{run, 0} && run < program.last.run && behind.run < run;
        const syntax::RunPointer text = analysis.forest().run(run);
        std::shared_ptr<PathRunMemo> memo;
        if (kept && is_whole) memo = kept->of(text.get());
        if (memo && !memo->log.holds(analysis, versions, {run, 0})) memo = nullptr;
        if (!memo) {
            memo = std::make_shared<PathRunMemo>(
                PathRunMemo::make(analysis, versions, {run, 0}, [&](const machine::Reader& reader) {
                    PathRun made;
                    made.first_run = run;
                    read_run(reader, run, program, execution, behind, made);
                    return made;
                }));
        }
        const PathRun& read = memo->value;
        if (kept && is_whole && read.stands_alone) kept->now.emplace(text.get(), memo);
        const std::size_t base = path.blocks.size();
        path.blocks.insert(path.blocks.end(), read.blocks.begin(), read.blocks.end());
        for (std::size_t i = base; i < path.blocks.size(); ++i) {
            PathBlock& block = path.blocks[i];
            block.place.run += run - read.first_run;
            block.line = first_lines[std::min(block.place.run, first_lines.size() - 1)] + block.place.block;
        }
        for (const auto& [code, block] : read.alone) notes.alone.emplace_back(code, base + block);
        for (const PathWait& wait : read.told) notes.told.push_back({wait.code, base + wait.block});
        notes.waits.insert(read.waits.begin(), read.waits.end());
        notes.by_paths.insert(read.by_paths.begin(), read.by_paths.end());
    }
}

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

class Judge {
public:
    explicit Judge(TwoPaths& two) : two_(two) {}

    void judge() {
        tell_unmet();
        for (const PathStretch& stretch : two_.stretches) tell_stretch(stretch);
        tell_too_deep();
        tell_tools_that_meet(two_);
        std::stable_sort(two_.findings.begin(), two_.findings.end(),
                         [](const PathFinding& a, const PathFinding& b) {
                             return std::pair(a.path, a.block) < std::pair(b.path, b.block);
                         });
    }

private:
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
        // Where it is missing: the other goes on alone.
        tell(1 - p, other_at > 0 ? other.waits[other_at - 1].block : 0, "waits_do_not_meet",
             said("Behind this block {} waits at {} ({}) and this path has no such code: it goes on "
                  "alone. Write {} where it has to wait.",
                  name(p), code, line_in(own, wait.block), code));
    }

    template <class Wanted>
    std::optional<std::size_t> in(const PathStretch& stretch, std::size_t p, Wanted&& wanted) const {
        for (std::size_t i = stretch.blocks[p].first; i < stretch.blocks[p].second; ++i)
            if (wanted(two_.paths[p].blocks[i])) return i;
        return std::nullopt;
    }
    /// The first block that starts the main spindle; as many as there are: none does.
    std::size_t first_start(std::size_t p) const {
        const auto& blocks = two_.paths[p].blocks;
        return static_cast<std::size_t>(
            std::find_if(blocks.begin(), blocks.end(),
                         [](const PathBlock& block) { return block.starts_spindle; }) -
            blocks.begin());
    }

    /// The block that gave the main spindle its mode or speed, looked for upward.
    std::size_t last_setting(std::size_t p, std::size_t before) const {
        for (std::size_t i = before; i-- > 0;)
            if (two_.paths[p].blocks[i].sets_speed) return i;
        return before > 0 ? before - 1 : 0;
    }

    /// Both at work on one part between two waits.
    void tell_stretch(const PathStretch& stretch) {
        for (std::size_t p = 0; p < 2; ++p) {
            const FollowedPath& other = two_.paths[1 - p];
            const std::size_t first = stretch.blocks[1 - p].first;
            // How the other has the main spindle when this stretch begins, where this one never spoke to it.
            const bool own_speaks = first_start_[p] < stretch.blocks[p].second;
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
                              name(1 - p), line_in(other, last_setting(1 - p, first))));
                    tell(
                        1 - p, last_setting(1 - p, first), "centre_work_of_other_path",
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
    }

    /// Both speak to the main spindle, and not with one demand.
    void tell_speeds(const PathStretch& stretch) {
        std::array<std::optional<std::size_t>, 2> sets;
        for (std::size_t p = 0; p < 2; ++p) {
            // A path that never starts it may mean another spindle by its S.
            if (first_start_[p] == two_.paths[p].blocks.size()) return;
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

    /// A cut of one path that leaves less than the other finishes to behind it.
    void tell_too_deep() {
        constexpr double clear_mm = 0.05;
        std::array<std::vector<std::pair<std::size_t, std::size_t>>, 2> cuts; // Block, stretch
        for (std::size_t p = 0; p < 2; ++p)
            for (std::size_t k = 0; k < two_.stretches.size(); ++k)
                for (std::size_t i = two_.stretches[k].blocks[p].first;
                     i < two_.stretches[k].blocks[p].second && cuts[p].size() < most_cuts; ++i)
                    if (two_.paths[p].blocks[i].along) cuts[p].emplace_back(i, k);
        for (std::size_t p = 0; p < 2; ++p)
            for (const auto& [i, k] : cuts[p]) {
                const PathBlock::Along& deep = *two_.paths[p].blocks[i].along;
                for (const auto& [j, later_k] : cuts[1 - p]) {
                    const PathBlock::Along& later = *two_.paths[1 - p].blocks[j].along;
                    if (later_k <= k || later.x_radius < deep.x_radius + clear_mm) continue;
                    const double overlap =
                        std::min(deep.z_from, later.z_from) - std::max(deep.z_to, later.z_to);
                    if (overlap < 0.5 * std::abs(later.z_from - later.z_to)) continue;
                    tell(p, i, "cut_below_other_path",
                         said("This cut goes to a diameter of {:.3f} mm, and {} turns the same length "
                              "to {:.3f} mm behind it ({}): the metal is gone by then. A digit of X, "
                              "perhaps.",
                              2 * deep.x_radius, name(1 - p), 2 * later.x_radius,
                              line_in(two_.paths[1 - p], j)));
                    return;
                }
            }
    }

    TwoPaths& two_;
    std::array<std::size_t, 2> first_start_{first_start(0), first_start(1)};
};

} // namespace

std::string written_wait(int code) {
    return fmt::format("M{:02}", code);
}

TwoPaths follow_paths(const PathPair& programs, const std::shared_ptr<PathRuns>& own) {
    TwoPaths two;
    std::array<PathNotes, 2> notes;
    for (std::size_t p = 0; p < 2; ++p) {
        if (const OtherProgram* other = programs[p].other.get(); other && own && !other->runs)
            other->runs = std::make_shared<PathRuns>();
        read_path(programs[p], two.paths[p], notes[p], programs[p].other ? programs[p].other->runs : own);
    }
    two.waits_told = notes[0].by_shop_file || notes[1].by_shop_file;
    if (two.waits_told)
        for (std::size_t p = 0; p < 2; ++p) two.paths[p].waits = std::move(notes[p].told);
    else
        guess_waits(two.paths, notes);
    for (FollowedPath& path : two.paths)
        if (path.waits.size() > most_waits) path.waits.resize(most_waits);
    two.meetings = meetings(two.paths);
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
    Judge(two).judge();
    return two;
}

const std::vector<TwoPaths>& FileContext::paths() const {
    static const std::vector<TwoPaths> none;
    if (!settings().machine.has_paths()) return none;
    const machine::Analysis& analysis = reader_.whole(machine::Whole::text);
    const machine::Outline& programs = outline();
    if (!parts_.paths) {
        auto made = std::make_shared<std::vector<TwoPaths>>();
        std::shared_ptr<PathRuns>& own = parts_.other_programs.own_runs;
        if (!own) own = std::make_shared<PathRuns>();
        own->before = std::move(own->now);
        own->now.clear();
        for (const PathPair& pair : path_pairs(analysis, programs, parts_.other_programs))
            made->push_back(follow_paths(pair, own));
        own->before.clear();
        parts_.paths = std::move(made);
    }
    return *parts_.paths;
}

void report_paths(const FileContext& context, Report& report, std::string_view id) {
    for (const TwoPaths& two : context.paths())
        for (const PathFinding& finding : two.findings) {
            const FollowedPath& path = two.paths[finding.path];
            if (finding.id == id && path.program.is_here())
                report.at(path.blocks[finding.block].place).message(finding.text);
        }
}

} // namespace turnwright::checks

// What one of two paths does, run by run; kept where it reads as before.
#include "checks/read_path.h"

#include "checks/noted_tool.h"
#include "machine/execution.h"
#include "machine/whole_number.h"
#include "text/letters.h"

#include <limits>
#include <unordered_map>

namespace turnwright::checks {
bool gives_start_to_second(std::string_view note) {
    std::string upper(note);
    for (char& c : upper) c = text::upper(c);
    const auto has = [&](std::string_view words) { return upper.find(words) != std::string::npos; };
    const bool of_second = has("SPINDLE 2") || has("SECOND SPINDLE") || has("SUB SPINDLE");
    return (has("M03") || has("M3 ")) && (has("THIS") || has("HERE")) && of_second && !has("MAIN") &&
           !has("SPINDLE 1");
}

namespace {

using codes::Group;
using codes::Meaning;
using machine::BlockView;
using machine::MotionKind;
using machine::Spindle;

constexpr std::size_t most_called = 50'000; ///< Blocks of called programs and loops

} // namespace

/// What one run adds to a path; places of `told` and `alone` count its blocks.
struct PathRun : PathNotes {
    std::vector<PathBlock> blocks;
    std::vector<std::size_t> sets, starts, alongs, speeds,
        of_second;            ///< Of its blocks those that are so
    bool stands_alone = true; ///< Nothing in it is called or gone through turn by turn
    void append(PathRun&& turns) {
        for (const auto& [code, block] : turns.alone) alone.emplace_back(code, blocks.size() + block);
        for (const PathWait& wait : turns.told) told.push_back({wait.code, blocks.size() + wait.block});
        waits.merge(turns.waits);
        starts_second = starts_second || turns.starts_second;
        by_paths.merge(turns.by_paths);
        drills.merge(turns.drills);
        on_centre.merge(turns.on_centre);
        blocks.insert(blocks.end(), turns.blocks.begin(), turns.blocks.end());
    }
    /// Once all of its blocks are there.
    void finish(std::size_t run) {
        for (std::size_t i = 0; i < blocks.size(); ++i) {
            PathBlock& block = blocks[i];
            block.place.run -= run;
            if (block.sets_speed) sets.push_back(i);
            if (block.starts_spindle) starts.push_back(i);
            if (block.along) alongs.push_back(i);
            if (block.of_second) of_second.push_back(i);
            if (block.gives_speed) speeds.push_back(i);
        }
    }
};
using PathRunMemo = machine::Memo<PathRun>;

namespace {

/// "WAIT CODES M101 TO M105", "M903 (ATTENTE)": codes that a note calls waits.
/// Words of five languages: common practice, no source.
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
        notes.starts_second = notes.starts_second || gives_start_to_second(note);
        if (!speaks_of_waiting(note)) continue;
        const std::vector<int> codes = codes_in(note);
        if (codes.empty() && own >= 0) notes.waits.insert(own);
        notes.waits.insert(codes.begin(), codes.end());
        if (codes.size() == 2 && codes[0] < codes[1] && codes[1] - codes[0] < 100)
            for (int code = codes[0]; code <= codes[1]; ++code) notes.waits.insert(code);
    }
}

/// A drill, where the note in the block of its tool call says its size.
void take_drill(const BlockView& view, PathNotes& notes) {
    if (!view.reading.has('T') || !view.after.tool.known()) return;
    const int station = machine::whole_number(view.after.tool.number);
    for (const syntax::Item& item : view.run.items_of(view.text)) {
        if (item.kind != syntax::ItemKind::note) continue;
        const std::string_view note = syntax::note_text(view.run.text_of(item));
        const shop::Tool tool = tool_by_note(note, motion::mm_per_unit(view.after), station).tool;
        if (tool.kind == shop::ToolKind::drill && tool.diameter_mm && !tool_named(note).live)
            notes.drills.emplace(station, *tool.diameter_mm);
    }
}

/// The M code of the builder that stands alone in its block, but for N, P and
/// notes; -1: none does.
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

/// P of a wait names the paths by their digits, as P12. Of more than two
/// turrets some waits are not between these two.
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
    if (after.tool.known()) block.station = machine::whole_number(after.tool.number);
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
    block.closes_second = reading.code(Meaning::second_chuck_closed) != nullptr;
    block.gives_speed = reading.has('S') && !reading.code(Meaning::speed_limit);
    for (const machine::Word& word : reading.words) {
        const bool of_slide = (word.letter == 'A' || word.letter == 'B' || word.letter == 'E') &&
                              !reading.moves_x && !reading.moves_z;
        block.slide_home = block.slide_home || (of_slide && word.value.is(0));
        block.slide_fed = block.slide_fed || (of_slide && reading.has('F') && !word.value.is(0));
    }
    return block;
}

/// What a block adds to a path; in a loop or a called program turn by turn.
void take_block(const BlockView& view, BlockPlace place, PathRun& run) {
    const int wait = told_wait(view), alone = code_alone(view);
    if (view.text.has_note) {
        take_notes(view, alone, run);
        take_drill(view, run);
    }
    if (view.reading.words.empty()) return;
    run.blocks.push_back(block_of(view, view.after.is(Meaning::inch) ? motion::mm_per_inch : 1));
    run.blocks.back().place = place;
    if (run.blocks.back().drills_centre) run.on_centre.insert(run.blocks.back().station);
    if (wait >= 0) run.told.push_back({wait, run.blocks.size() - 1});
    if (alone < 0) return;
    run.alone.emplace_back(alone, run.blocks.size() - 1);
    if (paths_named(view) == Names::both) run.by_paths.insert(alone);
}

/// Blocks of one run, from `from` on. `behind`: where the program goes on
/// behind a loop that begins here.
void read_run(const machine::Reader& reader, std::size_t index, const PathProgram& program,
              machine::Execution& execution, BlockPlace& behind, PathRun& run) {
    reader.visit(index, [&](const BlockView& view) {
        const BlockPlace place{view.run_index, view.block};
        if (place < program.first || program.last < place || place < behind || !view.reading.is_read) return;
        if (reader.loop_end(place)) {
            // A loop is gone through as often as the control does it: a wait in it
            // comes each time.
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

/// Kept from change to change; a run that reads as it did is not gone through
/// again.
struct PathRuns {
    std::unordered_map<const syntax::Run*, std::shared_ptr<PathRunMemo>> before, now;
    std::vector<std::shared_ptr<const ReadPath>> of_others; ///< Whole programs of another file
    std::shared_ptr<PathRunMemo> of(const syntax::Run* run) const {
        for (const auto* some : {&now, &before})
            if (const auto found = some->find(run); found != some->end()) return found->second;
        return nullptr;
    }
};

std::shared_ptr<PathRuns> no_runs() {
    return std::make_shared<PathRuns>();
}

void begin_turn(PathRuns& runs) {
    runs.before = std::move(runs.now);
    runs.now.clear();
}

namespace {

void add_run(const std::shared_ptr<PathRunMemo>& memo, std::size_t run, FollowedPath& path,
             PathNotes& notes) {
    const PathRun& read = memo->value;
    const std::size_t base = path.blocks.size();
    path.blocks.add(run, RunOfPath(memo, &read.blocks));
    for (const std::size_t i : read.sets) path.sets.push_back(base + i);
    for (const std::size_t i : read.alongs) path.alongs.push_back(base + i);
    for (const std::size_t i : read.speeds) path.speeds.push_back(base + i);
    if (!read.starts.empty()) path.first_start = std::min(path.first_start, base + read.starts.front());
    if (!read.of_second.empty())
        path.first_of_second = std::min(path.first_of_second, base + read.of_second.front());
    for (const auto& [code, block] : read.alone) notes.alone.emplace_back(code, base + block);
    for (const PathWait& wait : read.told) notes.told.push_back({wait.code, base + wait.block});
    notes.waits.insert(read.waits.begin(), read.waits.end());
    notes.by_paths.insert(read.by_paths.begin(), read.by_paths.end());
    notes.starts_second = notes.starts_second || read.starts_second;
    notes.drills.insert(read.drills.begin(), read.drills.end());
    notes.on_centre.insert(read.on_centre.begin(), read.on_centre.end());
}

/// What is told of one size alone, and drills on the centreline: across it lies
/// otherwise.
std::map<int, double> sure_drills(const PathNotes& notes) {
    std::map<int, double> sure;
    std::set<int> told_twice;
    for (const auto& [station, diameter] : notes.drills)
        if (notes.on_centre.count(station) > 0 && !sure.emplace(station, diameter).second)
            told_twice.insert(station);
    for (const int station : told_twice) sure.erase(station);
    return sure;
}

std::shared_ptr<const ReadPath> read_anew(const PathProgram& program, PathRuns* kept) {
    auto made = std::make_shared<ReadPath>();
    FollowedPath& path = made->path;
    path.program = program;
    constexpr std::size_t none = std::numeric_limits<std::size_t>::max();
    path.first_start = path.first_of_second = none;
    const machine::Analysis& analysis = *program.analysis;
    take_effects(analysis.settings().machine, made->notes);
    machine::Execution execution(analysis, most_called);
    auto first_lines = std::make_shared<std::vector<std::size_t>>();
    std::size_t line = 0;
    for (std::size_t run = 0; run <= program.last.run; ++run) {
        first_lines->push_back(line);
        line += analysis.forest().run(run)->blocks.size();
    }
    path.first_lines = std::move(first_lines);
    const machine::Versions versions(analysis);
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
                    PathRun read;
                    read_run(reader, run, program, execution, behind, read);
                    read.finish(run);
                    return read;
                }));
        }
        if (kept && is_whole && memo->value.stands_alone) kept->now.emplace(text.get(), memo);
        add_run(memo, run, path, made->notes);
    }
    path.first_start = std::min(path.first_start, path.blocks.size());
    path.first_of_second = std::min(path.first_of_second, path.blocks.size());
    path.noted_drills = sure_drills(made->notes);
    path.starts_second = made->notes.starts_second;
    return made;
}

} // namespace

std::shared_ptr<const ReadPath> read_path(const PathProgram& program, PathRuns* kept) {
    if (program.is_here() || !kept) return read_anew(program, kept);
    for (const std::shared_ptr<const ReadPath>& read : kept->of_others)
        if (read->path.program.first == program.first && read->path.program.last == program.last) return read;
    return kept->of_others.emplace_back(read_anew(program, nullptr));
}

} // namespace turnwright::checks

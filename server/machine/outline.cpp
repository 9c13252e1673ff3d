// The shape of a file: its programs and their sequences, folded from the landmarks of the runs.

#include "machine/course.h"
#include "machine/interpreter.h"

#include <algorithm>
#include <optional>
#include <unordered_set>

namespace turnwright::machine {

namespace {

struct Mark {
    BlockPlace place;
    const Landmark* landmark;
    Landmark::Kind kind() const { return landmark->kind; }
};

/// Number of a note that tells nothing; one that lists a station has it taken off (shape.cpp).
constexpr std::int32_t no_number = -1;

class Folder {
public:
    explicit Folder(const Analysis& analysis) : analysis_(analysis) {}

    Outline fold() {
        collect();
        split_programs();
        for (std::size_t i = 0; i < outline_.programs.size(); ++i) {
            std::size_t end = i + 1 < starts_.size() ? starts_[i + 1] : marks_.size();
            find_sequences(outline_.programs[i], starts_[i], end);
        }
        find_habit();
        return std::move(outline_);
    }

private:
    void collect() {
        std::size_t numbered = 0, code = 0, line = 0;
        bool rapid = false;
        first_line_.reserve(analysis_.size() + 1);
        rapid_before_.reserve(analysis_.size());
        marks_.reserve(analysis_.size() * 8);
        for (std::size_t run = 0; run < analysis_.size(); ++run) {
            const RunShape& shape = analysis_.shape(run);
            first_line_.push_back(line);
            rapid_before_.push_back(rapid);
            rapid = shape.ends_in_rapid.value_or(rapid);
            line += shape.blocks.size();
            numbered += shape.numbered_blocks;
            code += shape.code_blocks;
            for (std::int32_t label : shape.contour_labels) contour_labels_.insert(label);
            for (const FlowMark& flow : shape.flow) targets_.insert(flow.number);
            for (const Landmark& landmark : shape.landmarks) {
                if (landmark.kind == Landmark::Kind::numbered && !stands_out({run, landmark.block})) continue;
                if (landmark.kind == Landmark::Kind::call) called_.insert(landmark.number);
                marks_.push_back({{run, landmark.block}, &landmark});
            }
        }
        first_line_.push_back(line);
        outline_.numbers_every_block = machine::numbers_every_block(numbered, code);
    }

    /// Whether a numbered block has a neighbour without a number. A run tells that of its own blocks only.
    bool stands_out(BlockPlace place) const {
        const std::optional<bool> before = numbered_before(place), after = numbered_after(place);
        if (!before && !after) return true;
        return (before && !*before) || (after && !*after);
    }

    const RunShape& shape(std::size_t run) const { return analysis_.shape(run); }

    /// Of a block with words: whether it has a number.
    static std::optional<bool> numbered(BlockSort block) {
        if (block == BlockSort::blank || block == BlockSort::no_words) return std::nullopt;
        return block == BlockSort::numbered;
    }
    /// The same of the nearest such block above or below; nullopt when there is none.
    std::optional<bool> numbered_before(BlockPlace place) const {
        for (;; place = {place.run - 1, shape(place.run - 1).blocks.size()}) {
            while (place.block > 0)
                if (auto found = numbered(shape(place.run).blocks[--place.block])) return found;
            if (place.run == 0) return std::nullopt;
        }
    }
    std::optional<bool> numbered_after(BlockPlace place) const {
        for (++place.block; place.run < analysis_.size(); place = {place.run + 1, 0}) {
            const std::vector<BlockSort>& blocks = shape(place.run).blocks;
            for (; place.block < blocks.size(); ++place.block)
                if (auto found = numbered(blocks[place.block])) return found;
        }
        return std::nullopt;
    }

    BlockDoes does_at(std::size_t line) const {
        const BlockPlace place = place_of(line);
        const BlockDoes does = shape(place.run).does[place.block];
        if (does != BlockDoes::as_above) return does;
        return rapid_before_[place.run] ? BlockDoes::goes_away : BlockDoes::cuts;
    }
    /// The first line from `floor` on behind which nothing cuts above the call: farther up the work is
    /// another tool's.
    std::size_t head_from(std::size_t call_line, std::size_t floor) const {
        std::size_t from = call_line;
        while (from > floor && does_at(from - 1) != BlockDoes::cuts) --from;
        return from;
    }
    bool is_blank(std::size_t line) const {
        const BlockPlace place = place_of(line);
        return shape(place.run).blocks[place.block] == BlockSort::blank;
    }
    bool numbered_or_words(std::size_t line) const {
        const BlockPlace place = place_of(line);
        return numbered(shape(place.run).blocks[place.block]).has_value();
    }
    std::size_t line_of(BlockPlace place) const { return first_line_[place.run] + place.block; }
    BlockPlace place_of(std::size_t line) const {
        auto at = std::upper_bound(first_line_.begin(), first_line_.end(), line);
        std::size_t run = static_cast<std::size_t>(at - first_line_.begin()) - 1;
        run = std::min(run, analysis_.size() - 1);
        return {run, line - first_line_[run]};
    }
    BlockPlace last_block() const {
        std::size_t lines = first_line_.back();
        return place_of(lines == 0 ? 0 : lines - 1);
    }

    void open_program(BlockPlace first, std::int32_t number, std::size_t mark) {
        if (!outline_.programs.empty()) {
            std::size_t line = line_of(first);
            outline_.programs.back().last = place_of(line == 0 ? 0 : line - 1);
        }
        ProgramPart part;
        part.first = first;
        part.last = last_block();
        part.number = number;
        outline_.programs.push_back(part);
        starts_.push_back(mark);
    }

    void split_programs() {
        bool content = false; // Anything besides tape marks and notes since the program's start
        for (std::size_t i = 0; i < marks_.size(); ++i) {
            const Mark& mark = marks_[i];
            switch (mark.kind()) {
            case Landmark::Kind::program_start:
                if (outline_.programs.empty() && !content)
                    open_program({0, 0}, mark.landmark->number, 0);
                else
                    open_program(mark.place, mark.landmark->number, i);
                content = true;
                continue;
            case Landmark::Kind::tape_mark:
                if (!outline_.programs.empty() || content) outline_.closing_tape_mark = mark.place;
                continue;
            case Landmark::Kind::note_only:
                if (begins_other_path(i)) {
                    open_program(mark.place, 0, i);
                    content = true;
                }
                continue;
            default:
                break;
            }
            content = true;
            if (outline_.programs.empty()) open_program({0, 0}, 0, 0);
            ProgramPart& part = outline_.programs.back();
            bool main_end = mark.kind() == Landmark::Kind::program_end;
            if ((main_end || mark.kind() == Landmark::Kind::subprogram_end) && !part.end) {
                part.end = mark.place;
                part.is_subprogram = !main_end;
            }
        }
        if (outline_.programs.empty()) open_program({0, 0}, 0, 0);
        for (ProgramPart& part : outline_.programs) {
            // M99 also closes a main program that runs bar after bar: only a called one, or one among others
            // that no tool is called in, is a subprogram.
            if (part.number != 0 && called_.contains(part.number) && !ends_as_main(part))
                part.is_subprogram = true;
        }
    }

    /// Behind the end of the program above a mark begins that of the other turret, unless it has a number.
    bool begins_other_path(std::size_t i) const {
        if (outline_.programs.empty() || !outline_.programs.back().end) return false;
        const BlockPlace place = marks_[i].place;
        if (!is_path_mark(*analysis_.forest().run(place.run), place.block, analysis_.settings().machine))
            return false;
        for (++i; i < marks_.size(); ++i) {
            if (marks_[i].kind() == Landmark::Kind::program_start) return false;
            if (marks_[i].kind() != Landmark::Kind::note_only) return true;
        }
        return false;
    }

    bool ends_as_main(const ProgramPart& part) const { return part.end && !part.is_subprogram; }

    void find_sequences(ProgramPart& part, std::size_t first, std::size_t end) {
        std::vector<std::size_t> calls = tool_calls(first, end);
        if (calls.empty()) {
            return;
        }
        if (part.is_subprogram && !called_.contains(part.number)) part.is_subprogram = false;
        std::size_t floor = line_of(part.first);
        first_line_of_program_ = floor;
        head_line_ = head_line(floor, first, end);
        for (std::size_t call : calls) {
            Sequence sequence = sequence_at(call, first, floor);
            if (!part.sequences.empty()) close(part.sequences.back(), line_of(sequence.first));
            sequence.program = part.number;
            part.sequences.push_back(sequence);
            floor = line_of(sequence.tool_call) + 1;
        }
        close(part.sequences.back(), line_of(part.last) + 1);
        find_uncalled(part, first, end);
        find_stops(part, first, end);
    }

    bool calls_before_stop(std::size_t mark, std::size_t end) const {
        for (; mark < end; ++mark) switch (marks_[mark].kind()) {
            case Landmark::Kind::call:
                return true;
            case Landmark::Kind::tool_call:
            case Landmark::Kind::optional_stop:
            case Landmark::Kind::program_stop:
            case Landmark::Kind::program_end:
                return false;
            default:
                break;
            }
        return false;
    }

    /// Sequences by the habit of the others, a number and a note behind a stop, that call no tool: the call
    /// was forgotten, or the tool in use goes on.
    void find_uncalled(ProgramPart& part, std::size_t first, std::size_t end) {
        if (outline_.numbers_every_block) return;
        std::size_t numbered = 0;
        for (const Sequence& sequence : part.sequences)
            if (sequence.number >= 0) ++numbered;
        if (numbered * 2 <= part.sequences.size()) return;
        std::vector<Sequence> found;
        std::size_t next = 0; // First sequence behind the mark
        std::optional<std::size_t> stop;
        for (std::size_t i = first; i < end; ++i) {
            const Mark& mark = marks_[i];
            if (mark.kind() == Landmark::Kind::note_only) continue;
            if (mark.kind() == Landmark::Kind::program_end) break;
            while (next < part.sequences.size() && part.sequences[next].first <= mark.place) ++next;
            bool behind_stop = stop && line_of(mark.place) - *stop <= 3;
            stop.reset();
            if (mark.kind() == Landmark::Kind::optional_stop || mark.kind() == Landmark::Kind::program_stop)
                stop = line_of(mark.place);
            if (mark.kind() != Landmark::Kind::numbered || !behind_stop || next == 0) continue;
            std::int32_t number = mark.landmark->number;
            if (mark.place <= part.sequences[next - 1].tool_call || contour_labels_.contains(number) ||
                targets_.contains(number))
                continue;
            std::optional<BlockPlace> note;
            if (mark.landmark->has_note)
                note = mark.place;
            else if (i + 1 < end && marks_[i + 1].kind() == Landmark::Kind::note_only &&
                     line_of(marks_[i + 1].place) == line_of(mark.place) + 1)
                note = marks_[i + 1].place;
            // A called program may call the tool.
            if (!note || calls_before_stop(i + 1, end)) continue;
            Sequence sequence = part.sequences[next - 1];
            sequence.first = sequence.tool_call = mark.place;
            sequence.calls_tool = false;
            sequence.number = number;
            sequence.note = note;
            sequence.optional_stop.reset();
            found.push_back(sequence);
        }
        if (found.empty()) return;
        part.sequences.insert(part.sequences.end(), found.begin(), found.end());
        std::sort(part.sequences.begin(), part.sequences.end(),
                  [](const Sequence& a, const Sequence& b) { return a.first < b.first; });
        for (std::size_t i = 0; i < part.sequences.size(); ++i)
            close(part.sequences[i], i + 1 < part.sequences.size() ? line_of(part.sequences[i + 1].first)
                                                                   : line_of(part.last) + 1);
    }

    /// Calls that begin the work of a tool: not a cancelled offset, and a station call with the offset called
    /// in the next block is one.
    std::vector<std::size_t> tool_calls(std::size_t first, std::size_t end) const {
        std::vector<std::size_t> calls;
        std::int32_t tool = -1;
        std::size_t last_line = 0;
        bool offset_open = false; // Called with offset 00 or none
        bool stopped = true;      // A stop since the last call: the same tool again is a sequence of its own
        for (std::size_t i = first; i < end; ++i) {
            const Mark& mark = marks_[i];
            if (mark.kind() == Landmark::Kind::optional_stop || mark.kind() == Landmark::Kind::program_stop)
                stopped = true;
            if (mark.kind() != Landmark::Kind::tool_call) continue;
            // A block is of one tool: a second sequence would begin behind its own call.
            if (!calls.empty() && marks_[calls.back()].place == mark.place) continue;
            const Landmark& call = *mark.landmark;
            bool same_tool = call.tool == tool && call.tool >= 0;
            if (same_tool && call.offset == 0 && !stopped) continue; // Offset cancelled
            if (same_tool && call.offset == 0) {
                // Cancel right behind the stop, or a new call that will get its offset: the next call tells.
                if (i + 1 < end && !next_call_is(i, end, tool)) continue;
            }
            if (same_tool && offset_open && line_of(mark.place) - last_line <= 3) {
                offset_open = false;
                continue;
            }
            if (same_tool && !stopped) continue; // Another offset of the same tool, within its sequence
            calls.push_back(i);
            tool = call.tool;
            last_line = line_of(mark.place);
            offset_open = call.offset <= 0;
            stopped = false;
        }
        return calls;
    }

    bool next_call_is(std::size_t mark, std::size_t end, std::int32_t tool) const {
        for (std::size_t i = mark + 1; i < end; ++i)
            if (marks_[i].kind() == Landmark::Kind::tool_call)
                return marks_[i].landmark->tool == tool &&
                       line_of(marks_[i].place) - line_of(marks_[mark].place) <= 3;
        return false;
    }

    Sequence sequence_at(std::size_t call, std::size_t first, std::size_t floor) {
        const Mark& mark = marks_[call];
        Sequence sequence;
        sequence.tool_call = mark.place;
        sequence.first = mark.place;
        sequence.tool = mark.landmark->tool;
        sequence.offset = offset_of(call);
        sequence.number = outline_.numbers_every_block ? -1 : mark.landmark->number;
        if (mark.landmark->has_note) sequence.note = mark.place;
        take_number(call, first, floor, sequence);
        if (sequence.number >= 0 && !outline_.numbers_every_block)
            take_note(call, first, floor, sequence);
        else
            take_heading(call, first, floor, sequence);
        return sequence;
    }

    /// Without a number: from behind the stop that ends the sequence before, else from the heading note, else
    /// from behind the last return.
    void take_heading(std::size_t call, std::size_t first, std::size_t floor, Sequence& sequence) {
        const std::size_t call_line = line_of(marks_[call].place);
        std::size_t from = floor;
        const bool in_head = floor <= first_line_of_program_;
        bool behind_stop = false, behind_program_stop = false;
        std::vector<std::size_t> notes; // From below
        for (std::size_t i = call; i-- > first;) {
            const std::size_t line = line_of(marks_[i].place);
            if (line < from) break;
            const Landmark::Kind kind = marks_[i].kind();
            if (kind == Landmark::Kind::note_only) notes.push_back(line);
            behind_program_stop = kind == Landmark::Kind::program_stop;
            behind_stop = behind_program_stop || kind == Landmark::Kind::optional_stop;
            if (!behind_stop && kind != Landmark::Kind::program_start && kind != Landmark::Kind::tape_mark &&
                kind != Landmark::Kind::program_end && kind != Landmark::Kind::subprogram_end)
                continue;
            if (line == call_line) return; // A stop in the call's own block
            from = line + 1;
            break;
        }
        std::optional<std::size_t> away; // The last block that goes away
        bool code_above = false;         // In the head: a note above every code is the program's
        for (std::size_t line = call_line; line-- > from;) {
            const BlockDoes does = does_at(line);
            if (does == BlockDoes::cuts) {
                from = line + 1;
                behind_stop = false;
                break;
            }
            if ((does == BlockDoes::goes_away || does == BlockDoes::returns) && !away) away = line;
        }
        // Stopped to have something done, a tool goes away by itself first: a bar stop behind M00.
        if (behind_program_stop && from < call_line && does_at(from) == BlockDoes::goes_away)
            behind_stop = false;
        std::erase_if(notes, [&](std::size_t line) { return line < from; });
        // A note right behind the call above is that tool's, where the tool has gone away since.
        for (std::size_t own = floor;
             !in_head && !notes.empty() && notes.back() == own && away.value_or(0) > own; ++own)
            notes.pop_back();
        std::size_t start = call_line;
        if (behind_stop) {
            start = from;
        } else if (!notes.empty()) {
            start = notes.front();
            for (std::size_t line : notes)
                if (line + 1 >= start) start = line;
            for (std::size_t line = from; line < start && in_head; ++line)
                code_above |= numbered_or_words(line);
            // Of notes alone above the first call the last may be the tool's.
            if (in_head && !code_above)
                start = notes.front() + 1 == call_line && may_lead(notes.front()) &&
                                !is_of_head(notes.front(), first, marks_[call].landmark->tool)
                            ? notes.front()
                            : call_line;
        } else if (!in_head) {
            start = away ? *away + 1 : from;
        }
        if (!behind_stop)
            while (start < call_line && does_at(start) == BlockDoes::switches_off) ++start;
        while (start < call_line && is_blank(start)) ++start;
        sequence.first = place_of(start);
        if (sequence.note || notes.empty() || notes.front() < start) return;
        auto heading =
            std::find_if(notes.rbegin(), notes.rend(), [&](std::size_t line) { return line >= start; });
        sequence.note = place_of(*heading);
    }

    /// The offset of the call, or of the next block's call of the same tool.
    std::int32_t offset_of(std::size_t call) const {
        const Landmark& landmark = *marks_[call].landmark;
        if (landmark.offset > 0) return landmark.offset;
        for (std::size_t i = call + 1; i < marks_.size() && i < call + 4; ++i) {
            if (marks_[i].kind() != Landmark::Kind::tool_call) continue;
            bool goes_on = marks_[i].landmark->tool == landmark.tool && marks_[i].landmark->offset > 0 &&
                           line_of(marks_[i].place) - line_of(marks_[call].place) <= 3;
            if (goes_on) return marks_[i].landmark->offset;
            break;
        }
        return landmark.offset;
    }

    /// The N block above a tool call that starts its sequence.
    void take_number(std::size_t call, std::size_t first, std::size_t floor, Sequence& sequence) {
        if (outline_.numbers_every_block) {
            // Among numbered blocks a number with a note, alone, may still start the sequence; the call does
            // otherwise.
            return;
        }
        const std::size_t call_line = line_of(marks_[call].place), from = head_from(call_line, floor);
        for (std::size_t i = call + 1; i-- > first;) {
            const Mark& mark = marks_[i];
            std::size_t line = line_of(mark.place);
            if (line < from) break;
            if (mark.kind() == Landmark::Kind::optional_stop || mark.kind() == Landmark::Kind::program_stop ||
                mark.kind() == Landmark::Kind::program_start)
                break;
            if (mark.kind() != Landmark::Kind::numbered) continue;
            bool contour = contour_labels_.contains(mark.landmark->number) && !mark.landmark->has_note &&
                           line != call_line;
            if (contour) continue;
            // The way home that a loop jumps to is of the tool before.
            const bool leaves = does_at(line) == BlockDoes::goes_away || does_at(line) == BlockDoes::returns;
            if (line != call_line && leaves && !mark.landmark->has_note &&
                targets_.contains(mark.landmark->number))
                break;
            sequence.first = mark.place;
            sequence.number = mark.landmark->number;
            if (mark.landmark->has_note) sequence.note = mark.place;
            return;
        }
    }

    /// The sequence note: in the first block, directly above it, or between it and the tool call.
    void take_note(std::size_t call, std::size_t first, std::size_t floor, Sequence& sequence) {
        if (sequence.note && *sequence.note == sequence.first) return;
        std::size_t first_line = line_of(sequence.first);
        std::size_t call_line = line_of(marks_[call].place);
        std::optional<std::size_t> below, above;
        std::size_t touching = first_line;
        for (std::size_t i = call + 1; i-- > first;) {
            const Mark& mark = marks_[i];
            std::size_t line = line_of(mark.place);
            if (line < floor || line + 1 < touching) break;
            if (mark.kind() != Landmark::Kind::note_only) continue;
            if (line > first_line && line < call_line) below = line;
            if (line + 1 == touching) {
                if (is_of_head(mark, marks_[call].landmark->tool)) { // The head's, with all that touches it
                    above.reset();
                    break;
                }
                above = line;
                touching = line;
            }
        }
        if (sequence.note && !below && *sequence.note != sequence.tool_call) return;
        if (below && !sequence.note) {
            sequence.note = place_of(*below);
        } else if (above && !sequence.note && may_lead(*above)) {
            sequence.note = place_of(*above);
            sequence.first = place_of(*above);
        }
    }

    /// A note above belongs to the sequence unless it stands at the head of the program.
    bool may_lead(std::size_t line) const { return line > head_line_ + 1; }
    /// Of the stock, or in a list of tools of another station.
    static bool is_of_head(const Mark& note, std::int32_t tool) {
        const std::int32_t number = note.landmark->number;
        return number == stock_note || (number < no_number && no_number - number != tool);
    }
    bool is_of_head(std::size_t line, std::size_t mark, std::int32_t tool) const {
        while (mark < marks_.size() && line_of(marks_[mark].place) < line) ++mark;
        for (; mark < marks_.size() && line_of(marks_[mark].place) == line; ++mark)
            if (marks_[mark].kind() == Landmark::Kind::note_only) return is_of_head(marks_[mark], tool);
        return false;
    }
    /// The line that the head begins with: the program's number, else the first with anything on it but a
    /// tape mark.
    std::size_t head_line(std::size_t line, std::size_t first, std::size_t end) const {
        for (std::size_t i = first; i < end; ++i) {
            if (marks_[i].kind() == Landmark::Kind::program_start) return line_of(marks_[i].place);
            if (marks_[i].kind() == Landmark::Kind::tool_call) break;
        }
        for (std::size_t i = first; i < end && marks_[i].kind() == Landmark::Kind::tape_mark; ++i)
            line = line_of(marks_[i].place) + 1;
        while (line + 1 < first_line_.back() && is_blank(line)) ++line;
        return line;
    }

    void close(Sequence& sequence, std::size_t end_line) {
        std::size_t last = end_line == 0 ? 0 : end_line - 1;
        std::size_t first = line_of(sequence.first);
        // Blank lines between sequences belong to none.
        while (last > first) {
            BlockPlace place = place_of(last);
            if (shape(place.run).blocks[place.block] != BlockSort::blank) break;
            --last;
        }
        sequence.last = place_of(std::max(first, last));
    }

    void find_stops(ProgramPart& part, std::size_t first, std::size_t end) {
        std::size_t next = 0;
        for (std::size_t i = first; i < end; ++i) {
            bool stop = marks_[i].kind() == Landmark::Kind::optional_stop;
            bool ends = marks_[i].kind() == Landmark::Kind::program_end ||
                        marks_[i].kind() == Landmark::Kind::subprogram_end;
            if (!stop && !ends) continue;
            while (next + 1 < part.sequences.size() && part.sequences[next + 1].first <= marks_[i].place)
                ++next;
            if (next >= part.sequences.size()) break;
            Sequence& sequence = part.sequences[next];
            if (marks_[i].place < sequence.tool_call || marks_[i].place > sequence.last) continue;
            if (stop) sequence.optional_stop = marks_[i].place;
            if (ends) {
                sequence.last = marks_[i].place; // Nothing behind the end belongs to a sequence.
            }
        }
    }

    void find_habit() {
        std::size_t total = 0, started = 0;
        for (const ProgramPart& part : outline_.programs)
            for (const Sequence& sequence : part.sequences) {
                ++total;
                if (sequence.number >= 0) ++started;
            }
        outline_.numbers_start_sequences = total > 0 && started * 2 > total;
    }

    const Analysis& analysis_;
    Outline outline_;
    std::vector<Mark> marks_;
    std::vector<std::size_t> starts_; ///< First mark of each program
    std::vector<std::size_t> first_line_;
    std::vector<bool> rapid_before_;        ///< Each run: whether a rapid is in force where it begins
    std::size_t first_line_of_program_ = 0; ///< Of the one whose sequences are looked for
    std::size_t head_line_ = 0;             ///< Of that program
    std::unordered_set<std::int32_t> contour_labels_, called_, targets_;
};

} // namespace

bool numbers_every_block(std::size_t numbered, std::size_t code) {
    return code >= 6 && numbered * 10 >= code * 7;
}

Outline outline(const Analysis& analysis) {
    if (analysis.size() == 0) return {};
    return Folder(analysis).fold();
}

bool move(Outline& outline, const Shift& shift) {
    std::vector<BlockPlace*> places;
    const auto take = [&](BlockPlace& place) { places.push_back(&place); };
    const auto take_if = [&](std::optional<BlockPlace>& place) {
        if (place) places.push_back(&*place);
    };
    take_if(outline.closing_tape_mark);
    for (ProgramPart& part : outline.programs) {
        take(part.first);
        take(part.last);
        take_if(part.end);
        auto at =
            std::partition_point(part.sequences.begin(), part.sequences.end(),
                                 [&](const Sequence& sequence) { return sequence.last.run < shift.run; });
        for (; at != part.sequences.end() && at->first.run <= shift.run; ++at) {
            take(at->first);
            take(at->last);
            take(at->tool_call);
            take_if(at->note);
            take_if(at->optional_stop);
        }
    }
    if (std::any_of(places.begin(), places.end(), [&](BlockPlace* place) { return shift.takes_out(*place); }))
        return false;
    for (BlockPlace* place : places) *place = shift.moved(*place);
    return true;
}

} // namespace turnwright::machine

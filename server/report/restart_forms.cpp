// A restart as text to key in, as a program of its own, and as edits of the program.
#include "language/said.h"
#include "report/restart.h"
#include "report/restart_head.h"

#include "features/block_at.h"
#include "features/speech.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

using features::Document;
using machine::FlowKind;
using machine::MotionKind;

namespace {

std::string line_text(const Document& document, std::size_t line) {
    return features::readable(document.buffer().line(line));
}

void add_list(std::string& text, std::string_view title, std::span<const std::string> rows) {
    if (rows.empty()) return;
    text += fmt::format("\n{}:\n", title);
    for (const std::string& row : rows) text += "  - " + row + '\n';
}

/// Lines above `first` that blocks from there to `last` name; `problem` when one of them cannot come along.
std::string contours_above(const Document& document, std::size_t first, std::size_t last,
                           std::string& problem) {
    std::vector<std::pair<std::size_t, std::size_t>> found;
    for (std::size_t line = first; line <= last; ++line) {
        const auto block = features::block_at(document, document.place_of_line(line));
        if (!block) continue;
        const machine::Reading& reading = block->reading;
        const auto is_above = [&](double number) {
            const auto label = features::label_place(document, block->place, number);
            return label && document.line_of(*label) < first;
        };
        const bool jumps = reading.flow == FlowKind::jump || reading.flow == FlowKind::maybe_jump;
        if (jumps && (!reading.flow_target.known() || is_above(reading.flow_target.number))) {
            problem =
                said("line {} jumps to a block above line {}: insert the head instead", line + 1, first + 1);
            return {};
        }
        const machine::Value p = reading.value('P'), q = reading.value('Q');
        if (reading.motion != MotionKind::contour_cycle || !p.known() || !q.known()) continue;
        const auto from = features::label_place(document, block->place, p.number);
        const auto to = features::label_place(document, block->place, q.number);
        if (!from || !to || document.line_of(*from) >= first) continue;
        const std::pair span{document.line_of(*from), document.line_of(*to)};
        if (span.first <= span.second && std::find(found.begin(), found.end(), span) == found.end())
            found.push_back(span);
    }
    std::string text;
    for (const auto& [from, to] : found)
        for (std::size_t line = from; line <= to; ++line) text += line_text(document, line) + '\n';
    return text;
}

bool ends_program(const Document& document, std::size_t line) {
    const auto block = features::block_at(document, document.place_of_line(line));
    return block &&
           (block->reading.flow == FlowKind::program_end || block->reading.flow == FlowKind::program_return);
}

constexpr std::size_t most_passes_told = 24;

/// The passes of the cycle, those that are done in one line.
std::string passes_text(const Restart& restart) {
    if (restart.passes.empty()) return {};
    const std::size_t count = restart.passes.size();
    const auto first =
        static_cast<std::size_t>(std::find_if(restart.passes.begin(), restart.passes.end(),
                                              [](const RestartPass& pass) { return pass.remains; }) -
                                 restart.passes.begin());
    std::string text = said("\nPasses of {}: {}", restart.cycle, count);
    if (first > 0) text += said(", done {}, the last at {}", first, restart.passes[first - 1].at);
    text += first == count ? "\n" : first > 0 ? said("; these remain:\n") : ":\n";
    const bool is_one_block = restart.passes.front().line == restart.passes.back().line;
    for (std::size_t i = first; i < count; ++i) {
        if (count - first > most_passes_told && i == first + most_passes_told - 2) {
            text += said("  ... {} more\n", count - 1 - i);
            i = count - 1;
        }
        const RestartPass& pass = restart.passes[i];
        text += fmt::format("  {:>3}  {}", i + 1, pass.at);
        if (!pass.deeper.empty()) text += said(", deeper by ") + pass.deeper;
        text += is_one_block ? "\n" : said(", line {}\n", pass.line + 1);
    }
    if (first == 0 && is_one_block)
        text += said("Say how many are done to get blocks that cut only the others.\n");
    return text;
}

/// The cycle from another start.
std::string by_cycle_text(const Restart& restart, std::string_view introduced) {
    if (restart.cycle_head.empty()) return {};
    std::string text = said("\n{}: from another start it cuts only what remains. Key in:\n", introduced);
    text += as_lines(restart.cycle_head, "  ");
    return text + said("and go on with the program at line {}, where {} begins.\n", restart.cycle_line + 1,
                       restart.cycle);
}

/// The lines of the head of the program that a line is in, as "line 2 to 5"; empty where there is none.
std::string head_lines(const Document& document, std::size_t line) {
    const machine::BlockPlace place = document.place_of_line(line);
    std::string lines;
    for (const checks::Span& span : document.results().spans()) {
        if (place < span.first) break;
        if (!span.sequence)
            lines = said("line {} to {}", document.line_of(span.first) + 1, document.line_of(span.last) + 1);
    }
    return lines;
}

/// Where to go on instead of the line that was asked for.
std::string entry_text(const Document& document, const Restart& restart) {
    const auto entry =
        std::find_if(restart.entries.begin(), restart.entries.end(),
                     [](const RestartEntry& some) { return some.safe || some.safe_behind_head; });
    if (entry == restart.entries.end())
        return said("No entry before it is safe either: begin with the program.\n");
    const std::string head = entry->safe ? std::string() : head_lines(document, entry->line);
    if (head.empty()) return said("Enter at line {}, {}.\n", entry->line + 1, entry->name);
    return said("Run the head of the program first ({}), then enter at line {}, {}.\n", head, entry->line + 1,
                entry->name);
}

} // namespace

std::string restart_text(const Document& document, const Restart& restart) {
    std::string text = said("Restart of {} at line {}{}\n", restart.program, restart.line + 1,
                            restart.sequence.empty() ? "" : " in " + restart.sequence);
    if (!restart.moved.empty()) text += said("Not at the line asked for: ") + restart.moved + ".\n";
    text += "  " + line_text(document, restart.line) + '\n';
    if (!restart.state.empty()) text += said("\nWhat holds there:\n");
    std::vector<std::pair<std::string, std::string>> rows;
    for (const auto& [name, value] : restart.state) rows.emplace_back("  " + name, value);
    if (!restart.stock.empty()) rows.emplace_back(said("  stock there"), restart.stock);
    text += features::aligned(rows);
    if (!text.ends_with('\n')) text += '\n';
    text += passes_text(restart);
    text += said("\nEntries before it, the nearest first:\n");
    for (const RestartEntry& entry : restart.entries)
        text += said("  line {}  {}: {}, {}\n", entry.line + 1, entry.name,
                     entry.safe               ? said("safe")
                     : entry.safe_behind_head ? said("safe once the head was run")
                                              : said("not safe"),
                     entry.reason);
    if (restart.entries.empty()) text += said("  none: begin with the program\n");
    if (restart.head.empty()) {
        text += said("\nNo blocks to key in are written. ") + restart.refused + '\n' +
                entry_text(document, restart);
        add_list(text, said("Before it"), restart.before);
        return text + by_cycle_text(restart, said("With the cycle itself it can be done"));
    }
    add_list(text, said("Before it"), restart.before);
    text += said("\nKey in:\n") + as_lines(restart.head, "  ") + as_lines(restart.remaining, "  ");
    if (!restart.block.empty()) text += "  " + restart.block + '\n';
    if (!restart.remaining.empty())
        text += said("They cut what remains of {}", restart.cycle);
    else if (restart.completed.empty())
        text += said("The last is line {} itself", restart.line + 1);
    else
        text += said("The last is line {} with {}, which blocks above had set", restart.line + 1,
                     restart.completed);
    const std::size_t next = restart.goes_on_at() + 1, last = restart.last + 1;
    const bool goes_on = next <= last;
    if (restart.loop_line)
        text +=
            said("{} where this turn of the loop ends, and stop there: the control has not gone through its "
                 "beginning in line {}. The turns that remain begin in front of that line, with what it "
                 "counts set "
                 "to where it is.\n",
                 goes_on ? said("; go on with the program at line {}, to line {},", next, last) : ",",
                 *restart.loop_line + 1);
    else if (!goes_on)
        text += restart.repeat ? said("; with it the cut ends: stop there.\n")
                               : said("; with it the program ends.\n");
    else if (restart.repeat)
        text += said("; go on with the program at line {}, to line {}, and stop there.\n", next, last);
    else
        text += said("; go on with the program at line {}.\n", next);
    text += by_cycle_text(restart, said("Or with the cycle itself"));
    add_list(text, said("At the machine"), restart.cautions);
    return text;
}

FileText restart_program(const Document& document, const Restart& restart, int number) {
    FileText file;
    if (restart.head.empty()) {
        file.problem = restart.refused;
        return file;
    }
    const bool is_whole = restart.remaining.empty();
    const std::size_t first = is_whole ? restart.line : restart.behind;
    const std::string contours = contours_above(document, first, restart.last, file.problem);
    if (!file.problem.empty()) return file;
    int own = 0;
    for (const machine::ProgramPart& program : document.outline().programs)
        if (fmt::format("O{:04}", program.number) == restart.program) own = program.number;
    if (number == 0) number = own + 1;
    file.text = fmt::format("%\nO{:04} (RESTART OF {} AT LINE {})\n", number,
                            own > 0 ? restart.program : "A PROGRAM", restart.line + 1);
    file.text += as_lines(restart.head);
    if (is_whole) file.text += restart.block + '\n';
    file.text += as_lines(restart.remaining);
    bool ended = is_whole && ends_program(document, restart.line);
    for (std::size_t line = restart.goes_on_at(); line <= restart.last; ++line) {
        file.text += line_text(document, line) + '\n';
        ended = ended || ends_program(document, line);
    }
    if (!ended) file.text += "M30\n";
    if (!contours.empty()) file.text += "(CONTOURS NAMED ABOVE)\n" + contours;
    file.text += "%\n";
    return file;
}

features::Rewrite insert_restart(const Document& document, const Restart& restart) {
    features::Rewrite rewrite;
    if (restart.head.empty()) {
        rewrite.refused = restart.refused;
        return rewrite;
    }
    if (restart.loop_line) {
        rewrite.refused =
            said("The block is in a loop, and a control that has not gone through its beginning "
                 "alarms at its end: "
                 "key the blocks in, or write them as a program of their own.");
        return rewrite;
    }
    const bool is_whole = restart.remaining.empty();
    const auto line = static_cast<std::uint32_t>(is_whole ? restart.line : restart.behind);
    const auto length = static_cast<std::uint32_t>(document.buffer().line(line).size());
    const bool returns = document.buffer().slice({{line, length}, {line + 1, 0}}).starts_with('\r');
    const std::string end = returns ? "\r\n" : "\n";
    std::string text = "/(RESTART HEAD - BLOCK DELETE ON FOR WHOLE PARTS)" + end;
    for (const auto* lines : {&restart.head, &restart.remaining})
        for (const std::string& one : *lines) text.append("/").append(one).append(end);
    const bool completes = !restart.completed.empty();
    if (completes) text += restart.block;
    rewrite.files.push_back({{}, {{{{line, 0}, {line, completes ? length : 0}}, std::move(text)}}});
    return rewrite;
}

} // namespace turnwright::report

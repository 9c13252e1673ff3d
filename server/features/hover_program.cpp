// What stands behind T, N and O words, notes and marks, and how the program is read.
#include "checks/acts.h"
#include "checks/works.h"
#include "features/assumed.h"
#include "features/hints.h"
#include "features/hover_parts.h"
#include "features/noted.h"
#include "features/speech.h"
#include "language/said.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace turnwright::features {

using syntax::ItemKind;

namespace {

constexpr std::size_t longest_note = 56; ///< Of a line in a window of 80 columns

std::string tool_data(const shop::Tool& tool, double mm_per_unit) {
    std::string text = tool_words(tool, mm_per_unit), lacks;
    for (const std::string_view key : stock::shape_of(&tool).missing)
        lacks += (lacks.empty() ? "" : ", ") + std::string(key);
    if (!text.empty()) text = said("From the shop file: ") + text + ".\n\n";
    if (!lacks.empty()) text += said("Not in the shop file, so less is checked: {}.\n\n", lacks);
    return text;
}

/// "lines 10 to 30, 1 min 20 s"
std::string extent(const Document& document, const BlockPlace& first, const BlockPlace& last,
                   const motion::Totals& totals) {
    std::string text = said("lines {} to {}", document.line_of(first) + 1, document.line_of(last) + 1);
    if (totals.seconds() <= 0) return text;
    text += (totals.about ? said(", about ") : ", ") + time_text(totals.seconds());
    if (totals.blocks_without_time)
        text += said(" and {} {} whose time is not known", totals.blocks_without_time,
                     totals.blocks_without_time == 1 ? said("block") : said("blocks"));
    if (totals.blocks_waiting)
        text += said("; {} {} counted as if the spindle turned", totals.blocks_waiting,
                     totals.blocks_waiting == 1 ? said("block") : said("blocks"));
    return text;
}

std::string tool_and_extent(const Document& document, const machine::Sequence& sequence,
                            const SequenceSummary& summary) {
    std::string text;
    if (sequence.tool >= 0) {
        text += in_markdown(tool_word_of(document, sequence.tool_call));
        if (const std::string note = tool_note(document, sequence.tool); !note.empty())
            text += ' ' + in_markdown(clipped(readable(note), longest_note));
        text += ", ";
    }
    return text + extent(document, sequence.first, sequence.last, summary.totals) + ".\n\n";
}

std::string sequence_text(const SequenceSummary& summary) {
    std::string text;
    if (summary.may_restart)
        text += said("It states all its modes, so a restart here takes nothing over. Prove the entry at the "
                     "machine all the same.\n\n");
    else if (summary.inherited)
        text += said("Restarted here, it takes over what it does not set: {}. Set it in the safety "
                     "line, or start further up.\n\n",
                     list_parts(summary.inherited));
    if (!summary.left_on.empty()) {
        std::string left;
        for (codes::Meaning meaning : summary.left_on)
            left += fmt::format("{}{}", left.empty() ? "" : ", ", codes::title(meaning));
        text += said("It leaves on: {}.\n\n", left);
    }
    return text;
}

} // namespace

std::string tool_text(const Asked& asked) {
    const machine::State& after = asked.block.after;
    std::string text = fmt::format("**{}** ", in_markdown(compact(asked.text())));
    const std::size_t digits = asked.text().size() - 1;
    if (!after.tool.known() && asked.item.kind == syntax::ItemKind::word && digits > 4)
        return text +
               said("Tool: controls part {} digits into station and offset in different ways, so neither is "
                    "known. tool_digits in the shop file says which.\n\n",
                    digits);
    if (!after.tool.known())
        return text + said("Tool: its station is ") + unknown_text(after.tool.why) + ".\n\n";
    const int station = static_cast<int>(after.tool.number);
    text += said("Station {}, ", station);
    if (!after.offset.known())
        text += said("offset ") + unknown_text(after.offset.why);
    else if (after.offset.number == 0)
        text += said("offset taken away");
    else
        text += said("offset {}", plain(after.offset.number));
    const std::string note = tool_note(asked.document, station);
    if (!note.empty()) text += ": " + in_markdown(clipped(readable(note), longest_note));
    text += ".\n\n";
    if (const shop::Tool* tool = asked.document.shop().tool(station))
        return text + tool_data(*tool, mm_per_unit_of(asked.document).value_or(1));
    if (note.empty()) return text; // The unit is looked for through the whole file
    const std::optional<double> unit = mm_per_unit_of(asked.document);
    const checks::NotedTool tool = checks::tool_by_note(note, unit, station);
    std::string noted = tool_words(tool.tool, unit.value_or(1));
    if (tool.corner != checks::BladeCorner::unknown)
        noted += fmt::format(", {}", checks::corner_words(tool.corner));
    return noted.empty() ? text : text + said("Assumed by its note: {}.\n\n", noted);
}

std::string number_text(const Asked& asked) {
    const std::string name = compact(asked.text());
    const machine::Sequence* sequence = sequence_at(asked.document, asked.block.place);
    if (!sequence || sequence->first != asked.block.place) {
        const auto& counts = asked.document.analysis().label_counts();
        const auto count = counts.find(asked.block.reading.number);
        return said("**{}** Block number{}.\n\nA label for GOTO, for the P and Q of cycles, and for the "
                    "search at the control.\n\n",
                    in_markdown(name),
                    count != counts.end() && count->second > 1
                        ? said(", {} times in this file", count->second)
                        : std::string{});
    }
    const SequenceSummary summary = summarise(asked.document, *sequence);
    std::string text = said("**{}** Sequence", in_markdown(name));
    if (sequence->note)
        text += ' ' + in_markdown(clipped(readable(note_of(asked.document, *sequence->note)), longest_note));
    return text + ": " + tool_and_extent(asked.document, *sequence, summary) + sequence_text(summary);
}

std::string program_text(const Asked& asked) {
    std::string text = fmt::format("**{}** ", in_markdown(compact(asked.text())));
    const machine::ProgramPart* program = program_at(asked.document, asked.block.place);
    if (!program) return text + said("Program number.\n\n");
    return text + fmt::format("{}: {} {}, {}.\n\n",
                              program->is_subprogram ? said("Subprogram") : said("Program"),
                              program->sequences.size(),
                              program->sequences.size() == 1 ? said("sequence") : said("sequences"),
                              extent(asked.document, program->first, program->last,
                                     asked.document.times().between(program->first, program->last)));
}

std::string label_text(const Document& document, BlockPlace from, double number) {
    const std::optional<BlockPlace> place = label_place(document, from, number);
    if (!place) return said("N{}, which no block of this program has", plain(number));
    return said(
        "block N{} in line {}: {}", plain(number), document.line_of(*place) + 1,
        code_in_markdown(clipped(readable(document.buffer().line(document.line_of(*place))), longest_note)));
}

std::string mark_text(const Asked& asked) {
    const std::string word = in_markdown(asked.text());
    switch (asked.item.kind) {
    case ItemKind::note: {
        const machine::Sequence* sequence = sequence_at(asked.document, asked.block.place);
        if (sequence && sequence->note && *sequence->note == asked.block.place) {
            const SequenceSummary summary = summarise(asked.document, *sequence);
            return said("**Note** of the sequence: ") + tool_and_extent(asked.document, *sequence, summary) +
                   sequence_text(summary);
        }
        return said("**Note** for people. The control shows it and does nothing with it.\n\n");
    }
    case ItemKind::unclosed_note:
        return said(
            "**Note that is not closed.** The control takes the rest for words or stops with an alarm. "
            "Close "
            "it with `)`.\n\n");
    case ItemKind::tape_mark:
        return said(
            "**%** Start or end of the program as sent to the control. What stands after the second one "
            "is "
            "not read.\n\n");
    case ItemKind::block_delete:
        return said("**{}** Block delete\n\nWith block delete {} on at the panel, the control skips this "
                    "block. Both ways are followed here.\n\n",
                    word, plain(asked.item.value));
    case ItemKind::end_of_block:
        return said("**;** End of the block. The rest of the line is no part of it.\n\n");
    case ItemKind::after_end:
        return said("Text after the end of the block: the control does not read it.\n\n");
    case ItemKind::bare_letter:
        return said("**{}** A letter with no number after it. The control stops with an alarm or takes "
                    "it for 0.\n\n",
                    word);
    case ItemKind::unknown:
        return said("**{}** cannot be read as a word.\n\n", word);
    default:
        return {};
    }
}

std::string assumed_text(const Document& document, const SetupHere& setup, HoverRoom room) {
    std::vector<AssumedHere> all = assumed_here(document);
    for (AssumedHere& noted : setup(document)) all.push_back(std::move(noted));
    if (all.empty()) return {};
    const std::string heading =
        said("**Assumed here**, where neither the program nor a file beside it says:\n\n");
    std::string whole = heading, brief = heading;
    for (AssumedHere& assumed : all) {
        whole += fmt::format("- {}\n", in_markdown(assumed_line(assumed)));
        // The code that states it stands in an action.
        assumed.code.clear();
        constexpr std::size_t around = 5; // "- " and "..."
        brief += fmt::format("- {}\n", in_markdown(clipped(assumed_line(assumed), room.columns - around)));
    }
    return (lines_shown(whole, room.columns) < room.lines ? whole : brief) + '\n';
}

std::string not_looked_at(std::size_t blocks, std::size_t long_sequences) {
    // In runs of 64 lines (checks/works.h, checks/acts.cpp).
    constexpr std::size_t blocks_of_works = checks::most_runs_of_works * text::Buffer::target_lines,
                          blocks_of_acts = 20'000;
    std::string text;
    if (blocks > blocks_of_works) {
        text = said("with its {} blocks it is too long for the checks on what all tools together do to "
                    "the part, on macros and on noted repeats (some {} blocks)",
                    blocks, blocks_of_works);
        if (blocks > blocks_of_acts)
            text += said(" and on how its tools are used alike (some {} blocks)", blocks_of_acts);
        text += said("; of these nothing is told.");
    }
    if (long_sequences > 0)
        text += (text.empty() ? "" : " ") +
                said("in {} of its sequences the checks on how a tool is used look at the first {} blocks, "
                     "and not at those behind them.",
                     long_sequences, checks::most_acts);
    return text;
}

std::size_t long_sequences(const Document& document) {
    const auto spans = document.results().spans();
    return static_cast<std::size_t>(std::count_if(spans.begin(), spans.end(), [](const checks::Span& span) {
        const auto& acts = span.facts->acts.held;
        return acts && !acts->whole;
    }));
}

std::string length_text(const Document& document) {
    const std::string left_out = not_looked_at(document.buffer().line_count(), long_sequences(document));
    return left_out.empty() ? left_out : said("**Not checked**: ") + left_out + "\n\n";
}

std::string system_text(const Document& document) {
    const machine::Settings& settings = document.settings();
    std::string text = said("Read in **G-code system {}**: ", codes::system_letter(settings.system));
    switch (settings.system_from) {
    case machine::SystemFrom::shop_file: {
        const std::vector<shop::Machine>& for_job = document.shop().for_job;
        const bool by_job = !for_job.empty() && for_job.back().system;
        return text + (by_job ? said("the job file says so.\n\n") : said("the shop file says so.\n\n"));
    }
    case machine::SystemFrom::assumed:
        return text + said("assumed, for nothing in the program tells. Set `system` in the shop file.\n\n");
    case machine::SystemFrom::program:
        break;
    }
    text += said("the program speaks for it.\n\n");
    constexpr std::size_t most = 4;
    std::size_t count = 0;
    for (const machine::EvidenceLine& line : machine::list_evidence(document.forest(), document.buffer())) {
        if (count++ == most) break;
        text += said("- line {}: {}\n", line.line + 1, in_markdown(clipped(readable(line.text), 64)));
    }
    return text + '\n';
}

} // namespace turnwright::features

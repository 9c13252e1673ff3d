#include "features/warnings.h"
#include "language/said.h"

#include "checks/former_ids.h"
#include "features/assumed.h"
#include "features/block_at.h"
#include "features/calculation.h"
#include "features/each_warning.h"
#include "features/speech.h"

#include <algorithm>
#include <bit>
#include <fmt/format.h>
#include <unordered_map>

namespace turnwright::features {

namespace {

/// "Speed limit set here." for each part whose origin the finding wants shown.
void add_origins(const Document& document, BlockPlace place, machine::Parts parts,
                 std::vector<RelatedWarning>& related) {
    for (; parts != 0; parts &= parts - 1) {
        const int bit = std::countr_zero(parts);
        const std::optional<BlockPlace> origin = document.origin(place, bit);
        if (!origin) continue;
        std::string title(machine::part_title(bit));
        if (!title.empty() && title[0] >= 'a' && title[0] <= 'z')
            title[0] = static_cast<char>(title[0] - 'a' + 'A');
        related.push_back({document.range_of(*origin), said("{} set here", title)});
    }
}

Warning publish(const Document& document, std::size_t run, const checks::Finding& finding) {
    Warning warning;
    warning.range = document.range_of(run, finding);
    warning.severity = finding.severity;
    warning.id = finding.check ? std::string(finding.check->id) : std::string{};
    warning.message = readable(finding.message) + document.condition_of(run, finding);
    warning.tag = finding.tag;
    add_origins(document, {run, finding.block}, finding.origin_of, warning.related);
    for (const checks::Related& related : finding.related)
        warning.related.push_back({document.range_of(related.block), readable(related.text)});
    return warning;
}

bool touch(const Range& a, const Range& b) {
    return a.begin <= b.end && b.begin <= a.end;
}

/// How a line ends, or the one before it where the last line of the file has no end: a file may mix them.
std::string_view line_end(const text::Buffer& buffer, std::size_t line) {
    const std::size_t index = buffer.leaf_of_line(line);
    const text::Leaf& leaf = *buffer.leaf(index);
    const std::size_t at = line - buffer.first_line_of_leaf(index);
    const std::size_t stop = at + 1 < leaf.line_count() ? leaf.line_starts[at + 1] : leaf.bytes.size();
    const std::size_t begin = leaf.line_starts[at] + leaf.line(at).size();
    if (begin < stop) return std::string_view(leaf.bytes).substr(begin, stop - begin);
    return line > 0 ? line_end(buffer, line - 1) : "\n";
}

/// The text with its lines ended that way.
std::string with_line_ends(std::string_view text, std::string_view end) {
    std::string out;
    for (std::size_t at = 0; at < text.size(); ++at) {
        if (text[at] == '\r' && text.substr(at).starts_with("\r\n")) continue;
        if (text[at] == '\n' || text[at] == '\r')
            out += end;
        else
            out += text[at];
    }
    return out;
}

} // namespace

std::string with_line_ends_of(const Document& document, std::size_t line, std::string_view text) {
    return with_line_ends(text, line_end(document.buffer(), line));
}

std::vector<TextEdit> edits_of(const Document& document, const checks::Fix& fix) {
    std::vector<TextEdit> edits;
    for (const checks::Edit& edit : fix.edits) {
        const auto line = static_cast<std::uint32_t>(document.line_of(edit.block));
        edits.push_back({{document.buffer().clamp({line, edit.begin_column}),
                          document.buffer().clamp({line, edit.end_column})},
                         with_line_ends_of(document, line, edit.text)});
    }
    std::sort(edits.begin(), edits.end(),
              [](const TextEdit& a, const TextEdit& b) { return a.range < b.range; });
    return edits;
}

namespace {

CodeAction command_action(std::string title, std::string kind, std::string name,
                          std::vector<std::string> arguments) {
    CodeAction action;
    action.kind = std::move(kind);
    action.command = Command{title, std::move(name), std::move(arguments)};
    action.title = std::move(title);
    return action;
}

void add_quick_fixes(const Document& document, Range range, std::vector<CodeAction>& actions) {
    const BlockPlace first = document.place_of_line(range.begin.line);
    const BlockPlace last = document.place_of_line(range.end.line);
    std::vector<std::string_view> ids;
    for (std::size_t run = first.run; run <= last.run; ++run) {
        for (const checks::Report::Placed& placed : document.results().with_fixes(run)) {
            const checks::Finding& finding = placed.finding;
            if (finding.fixes.empty()) continue;
            const Range place = document.range_of(placed.run, finding);
            if (place.begin.line > range.end.line || place.end.line < range.begin.line) continue;
            for (const checks::Fix& fix : finding.fixes) {
                CodeAction action;
                action.title = readable(fix.title);
                action.kind = "quickfix";
                action.edits = edits_of(document, fix);
                action.mends = {publish(document, placed.run, finding)};
                action.preferred = fix.preferred && fix.safe;
                actions.push_back(std::move(action));
            }
            const std::string_view id = finding.check ? finding.check->id : std::string_view{};
            if (!id.empty() && std::find(ids.begin(), ids.end(), id) == ids.end()) ids.push_back(id);
        }
    }
    // On the word itself first, then the rest of its line.
    std::stable_sort(actions.begin(), actions.end(), [&](const CodeAction& a, const CodeAction& b) {
        return touch(a.mends[0].range, range) > touch(b.mends[0].range, range);
    });
    for (std::string_view id : ids) {
        const checks::Check* check = checks::find_check(id);
        if (!check) continue;
        actions.push_back(command_action(said("Mend all: {}", check->title), "quickfix", "turnwright.fixAll",
                                         {std::string(id)}));
    }
}

/// For a note in this line that asks for blocks.
void add_calculation(const Document& document, Range range, std::vector<CodeAction>& actions) {
    if (range.end.line != range.begin.line) return;
    const auto note = question_at(document, range.begin.line);
    if (!note) return;
    actions.push_back(command_action(said("Write the blocks: {}", note->question.calculator->title),
                                     "refactor.rewrite", "turnwright.writeBlocks",
                                     {std::to_string(note->line)}));
}

/// For the corner that the block in this line ends at.
void offer_corners(const Document& document, Range range, std::vector<CodeAction>& actions) {
    if (range.end.line != range.begin.line) return;
    const std::string line = std::to_string(range.begin.line);
    for (const CornerOffer& offer : corner_offers(document, range.begin.line))
        actions.push_back(command_action(offer.title, "refactor.rewrite", "turnwright.breakCorner",
                                         {std::string(offer.calculator->name), line, plain(offer.size, 4)}));
}

/// Above the first sequence of its program: there, or for a selection, the whole program is rewritten.
bool stands_at_head(const Document& document, BlockPlace place) {
    const machine::ProgramPart* program = program_at(document, place);
    return !program || program->sequences.empty() || place < program->sequences.front().first;
}

void add_conversions(const Document& document, Range range, bool asked, std::vector<CodeAction>& actions) {
    const BlockPlace place = document.place_of_line(range.begin.line);
    const machine::State state = document.analysis().before(place, machine::Assumed::left_out);
    const codes::System system = document.settings().system;
    const auto offer = [&](std::string title, std::string name, std::vector<std::string> arguments) {
        actions.push_back(
            command_action(std::move(title), "refactor.rewrite", std::move(name), std::move(arguments)));
    };
    const std::string first = std::to_string(range.begin.line);
    const std::string last = std::to_string(range.end.line);
    const bool selected = range.begin != range.end;
    if (selected) {
        offer(said("Write these blocks with incremental distances"), "turnwright.convertDistance",
              {"incremental", first, last});
        offer(said("Write these blocks with absolute positions"), "turnwright.convertDistance",
              {"absolute", first, last});
    }
    if (!asked && !selected && !stands_at_head(document, place)) return;
    if (!state.is(codes::Meaning::inch))
        offer(said("Convert the program to inch"), "turnwright.convertUnits", {"inch"});
    if (!state.is(codes::Meaning::millimetre))
        offer(said("Convert the program to millimetres"), "turnwright.convertUnits", {"mm"});
    for (codes::System to : {codes::System::A, codes::System::B, codes::System::C})
        if (to != system)
            offer(said("Convert the program to G-code system {}", codes::system_letter(to)),
                  "turnwright.convertSystem", {std::string(1, codes::system_letter(to))});
    const bool radius = document.settings().machine.x == shop::XReading::radius;
    offer(radius ? said("Convert X from radius to diameter (change the control's setting as well)")
                 : said("Convert X from diameter to radius (change the control's setting as well)"),
          "turnwright.convertX", {radius ? "diameter" : "radius"});
    for (const shop::Machine& machine : document.shop().machines)
        if (!machine.name.empty() && machine.name != document.settings().machine.name)
            offer(said("Write the program for ") + readable(machine.name), "turnwright.transfer",
                  {machine.name});
    offer(said("Renumber the sequences"), "turnwright.renumber", {"sequences"});
    offer(said("Renumber the sequences by their tools"), "turnwright.renumber", {"by_tool"});
    offer(said("Number every block"), "turnwright.renumber", {"all_blocks"});
}

} // namespace

std::string more_of_a_kind(std::size_t more) {
    return said(" {} more of this kind follow in this file: turnwright check --all lists them.", more);
}

std::vector<Warning> warnings(const Document& document) {
    std::unordered_map<const checks::Check*, std::size_t> found, told;
    for (const checks::Results::Placed& placed : document.results().shown()) ++found[placed.finding->check];
    std::vector<Warning> all;
    for (const checks::Results::Placed& placed : document.results().shown()) {
        const checks::Check* const check = placed.finding->check;
        const bool is_one_of_many = found[check] > many_of_a_kind;
        if (is_one_of_many && told[check] == told_of_many) continue;
        all.push_back(publish(document, placed.run, *placed.finding));
        if (is_one_of_many && ++told[check] == told_of_many)
            all.back().message += more_of_a_kind(found[check] - told_of_many);
    }
    return all;
}

std::vector<Warning> all_warnings(const Document& document) {
    std::vector<Warning> all;
    for (const checks::Results::Placed& placed : document.results().shown())
        all.push_back(publish(document, placed.run, *placed.finding));
    return all;
}

void each_warning(const Document& document, const std::function<bool(const checks::Finding&)>& wanted,
                  const std::function<void(Warning)>& take) {
    for (const checks::Results::Placed& placed : document.results().shown())
        if (wanted(*placed.finding)) take(publish(document, placed.run, *placed.finding));
}

std::vector<Warning> warnings(const Document& document, Range range) {
    std::vector<Warning> found;
    const std::size_t last = document.place_of_line(range.end.line).run;
    for (std::size_t run = document.place_of_line(range.begin.line).run; run <= last; ++run)
        for (const checks::Results::Placed& placed : document.results().in_run(run))
            if (Warning warning = publish(document, placed.run, *placed.finding); touch(warning.range, range))
                found.push_back(std::move(warning));
    return found;
}

std::vector<CodeAction> code_actions(const Document& document, Range range, bool asked_by_kind) {
    std::vector<CodeAction> actions;
    range = {document.buffer().clamp(range.begin), document.buffer().clamp(range.end)};
    add_quick_fixes(document, range, actions);
    // It rewrites the whole program: where a mend is wanted, at the head, for a selection.
    const bool is_place = !actions.empty() || range.begin != range.end ||
                          stands_at_head(document, document.place_of_line(range.begin.line));
    if (asked_by_kind || (is_place && !document.results().shown().empty()))
        actions.push_back(command_action(said("Mend everything that has one safe mend"),
                                         "source.fixAll.turnwright", "turnwright.fixAll", {}));
    add_stating_actions(document, range, actions);
    add_calculation(document, range, actions);
    offer_corners(document, range, actions);
    add_conversions(document, range, asked_by_kind, actions);
    return actions;
}

Rewrite fix_all(const Document& document, std::string_view id) {
    id = checks::present_id(id);
    std::vector<TextEdit> chosen;
    std::size_t last_run = document.forest().size();
    for (const checks::Results::Placed& placed : document.results().shown()) {
        if (placed.run == last_run) continue; // findings come in order; each run once
        last_run = placed.run;
        for (const checks::Report::Placed& with : document.results().with_fixes(placed.run)) {
            if (!with.finding.check || (!id.empty() && with.finding.check->id != id)) continue;
            const auto fix = std::find_if(with.finding.fixes.begin(), with.finding.fixes.end(),
                                          [](const checks::Fix& f) { return f.safe && f.preferred; });
            if (fix == with.finding.fixes.end()) continue;
            std::vector<TextEdit> edits = edits_of(document, *fix);
            // Two fixes that touch the same bytes are not both made; the second comes with the next round.
            const bool clashes = std::any_of(edits.begin(), edits.end(), [&](const TextEdit& edit) {
                return std::any_of(chosen.begin(), chosen.end(),
                                   [&](const TextEdit& other) { return touch(edit.range, other.range); });
            });
            if (!clashes) chosen.insert(chosen.end(), edits.begin(), edits.end());
        }
    }
    Rewrite rewrite;
    if (chosen.empty()) {
        rewrite.refused = said("There is nothing here that has one safe mend.");
        return rewrite;
    }
    std::sort(chosen.begin(), chosen.end(),
              [](const TextEdit& a, const TextEdit& b) { return a.range < b.range; });
    rewrite.files.push_back({{}, std::move(chosen)});
    return rewrite;
}

} // namespace turnwright::features

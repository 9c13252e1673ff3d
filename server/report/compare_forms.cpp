// What changed, for people and for other programs.
#include "features/hints.h"
#include "language/said.h"
#include "report/compare.h"

#include <cmath>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace turnwright::report {

namespace {

using nlohmann::json;

std::string lines_text(std::size_t old_line, std::size_t new_line) {
    if (!new_line) return said("line {} -> none", old_line);
    if (!old_line) return said("none -> line {}", new_line);
    return said("line {} -> {}", old_line, new_line);
}

std::string time_change(const motion::Totals& before, const motion::Totals& after) {
    return fmt::format("{} -> {}", time_or_unknown(before), time_or_unknown(after));
}

bool time_differs(const motion::Totals& before, const motion::Totals& after) {
    if (time_or_unknown(before) == time_or_unknown(after)) return false; // As it is told
    return std::abs(before.seconds() - after.seconds()) > 0.05 ||
           before.blocks_without_time != after.blocks_without_time;
}

json totals_json(const motion::Totals& totals) {
    return {{"cutSeconds", totals.cut_seconds},
            {"rapidSeconds", totals.rapid_seconds},
            {"dwellSeconds", totals.dwell_seconds},
            {"changeSeconds", totals.change_seconds},
            {"cutMillimetres", totals.cut_mm},
            {"rapidMillimetres", totals.rapid_mm},
            {"blocksWithoutTime", totals.blocks_without_time}};
}

} // namespace

std::string followers_text(const Change& change) {
    std::string out;
    for (std::size_t i = 0; i < change.followers.size(); ++i)
        out += (i == 0                             ? "; "
                : i + 1 == change.followers.size() ? said(" and ")
                                                   : ", ") +
               change.followers[i];
    return out.empty() ? out
                       : out + (change.followers.size() == 1 ? said(" follows it") : said(" follow it"));
}

std::string comparison_text(const Comparison& comparison) {
    std::string out = said("old: {} (fingerprint {})\nnew: {} (fingerprint {})\n", comparison.old_name,
                           comparison.old_fingerprint, comparison.new_name, comparison.new_fingerprint);
    for (const std::string& remark : comparison.remarks) out += remark + "\n";
    out += "\n";
    if (comparison.same()) {
        out += said("The machine does the same in both.");
        if (comparison.compared_as_written > 0)
            out += comparison.compared_as_written == 1
                       ? said(" 1 block was compared by its words.")
                       : said(" {} blocks were compared by their words.", comparison.compared_as_written);
        return out + "\n";
    }
    for (const SequenceChange& sequence : comparison.sequences) {
        out += sequence.name;
        if (!sequence.note.empty()) out += fmt::format(" ({})", sequence.note);
        if (sequence.added)
            out += said(": new, from line {}\n", sequence.new_line);
        else if (sequence.removed)
            out += said(": gone, was at line {}\n", sequence.old_line);
        else
            out += "\n";
        for (const Change& change : sequence.changes) {
            out += fmt::format("  {}: ", lines_text(change.old_line, change.new_line));
            if (change.before.empty())
                out += said("new: ") + change.after;
            else if (change.after.empty())
                out += said("gone: ") + change.before;
            else
                out += change.before + " -> " + change.after;
            if (!change.place.empty()) out += said(", before ") + change.place;
            out += followers_text(change) + "\n";
        }
        if (sequence.more_changes) out += said("  and {} more changes\n", sequence.more_changes);
        if (time_differs(sequence.before, sequence.after))
            out += said("  time: ") + time_change(sequence.before, sequence.after) + "\n";
        out += "\n";
    }
    if (time_differs(comparison.before, comparison.after))
        out += said("Time of all: ") + time_change(comparison.before, comparison.after) + "\n";
    return out + said("A changed program is a new program: prove it out at the machine.\n");
}

std::string comparison_json(const Comparison& comparison) {
    json sequences = json::array();
    for (const SequenceChange& sequence : comparison.sequences) {
        json changes = json::array();
        for (const Change& change : sequence.changes)
            changes.push_back({{"oldLine", change.old_line ? json(change.old_line) : json(nullptr)},
                               {"newLine", change.new_line ? json(change.new_line) : json(nullptr)},
                               {"before", change.before.empty() ? json(nullptr) : json(change.before)},
                               {"after", change.after.empty() ? json(nullptr) : json(change.after)},
                               {"followers", change.followers},
                               {"place", change.place.empty() ? json(nullptr) : json(change.place)}});
        sequences.push_back({{"name", sequence.name},
                             {"note", sequence.note},
                             {"added", sequence.added},
                             {"removed", sequence.removed},
                             {"oldLine", sequence.old_line ? json(sequence.old_line) : json(nullptr)},
                             {"newLine", sequence.new_line ? json(sequence.new_line) : json(nullptr)},
                             {"before", totals_json(sequence.before)},
                             {"after", totals_json(sequence.after)},
                             {"changes", std::move(changes)},
                             {"moreChanges", sequence.more_changes}});
    }
    const json out{{"old", comparison.old_name},
                   {"new", comparison.new_name},
                   {"oldFingerprint", comparison.old_fingerprint},
                   {"newFingerprint", comparison.new_fingerprint},
                   {"same", comparison.same()},
                   {"remarks", comparison.remarks},
                   {"comparedAsWritten", comparison.compared_as_written},
                   {"before", totals_json(comparison.before)},
                   {"after", totals_json(comparison.after)},
                   {"sequences", std::move(sequences)}};
    return out.dump(2, ' ', false, json::error_handler_t::replace) + "\n";
}

} // namespace turnwright::report

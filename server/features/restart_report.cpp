// The restart table as people read it: may each sequence be entered after a stop?
#include "features/block_at.h"
#include "features/hints.h"
#include "features/speech.h"
#include "language/said.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace turnwright::features {

namespace {

using Cells = std::array<std::string, 7>;

std::string left_on(const checks::RestartRow& row) {
    std::string text;
    for (const checks::RestartRow::Left& left : row.left)
        text += fmt::format("{}{}", text.empty() ? "" : ", ", codes::title(left.meaning));
    return text.empty() ? said("nothing") : text;
}

Cells row_of(const Document& document, const checks::RestartRow& row) {
    const machine::Sequence* sequence = sequence_at(document, row.first);
    const motion::Totals totals =
        sequence ? document.times().between(sequence->first, sequence->last) : motion::Totals{};
    std::string time = totals.seconds() > 0 ? time_text(totals) : "-";
    return {std::to_string(document.line_of(row.first) + 1),
            row.number >= 0 ? fmt::format("N{}", row.number) : "-",
            sequence && sequence->tool >= 0 ? tool_word_of(document, sequence->tool_call) : "-",
            std::move(time),
            row.safe ? said("yes") : said("no"),
            row.inherited ? list_parts(row.inherited) : said("nothing"),
            left_on(row)};
}

} // namespace

std::string restart_report(const Document& document) {
    std::vector<Cells> rows = {{said("line"), "N", said("tool"), said("time"), said("sets all"),
                                said("takes over"), said("leaves on")}};
    for (const checks::RestartRow& row :
         checks::restart_table(document.analysis(), document.results().spans(), document.shop()))
        rows.push_back(row_of(document, row));
    if (rows.size() == 1) return said("The program has no sequences.\n");
    Cells::value_type text;
    std::array<std::size_t, std::tuple_size_v<Cells>> widths{};
    for (const Cells& row : rows)
        for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], row[i].size());
    for (const Cells& row : rows) {
        std::string line;
        for (std::size_t i = 0; i < row.size(); ++i) line += fmt::format("{:<{}}  ", row[i], widths[i]);
        while (line.back() == ' ') line.pop_back();
        text += line + '\n';
    }
    return fenced(text) + said("\nA table is no proof: prove every entry at the machine.\n");
}

} // namespace turnwright::features

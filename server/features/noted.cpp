#include "features/noted.h"

#include "features/block_at.h"
#include "features/speech.h"

#include <algorithm>

namespace turnwright::features {

using codes::Meaning;

std::optional<double> mm_per_unit_of(const Document& document) {
    std::optional<double> found;
    const machine::Analysis& analysis = document.analysis();
    for (std::size_t run = 0; run < analysis.size() && !found; ++run)
        analysis.visit(run, [&](const machine::BlockView& view) {
            if (found || view.reading.motion == machine::MotionKind::none) return;
            if (view.after.is(Meaning::millimetre)) found = 1.0;
            if (view.after.is(Meaning::inch)) found = motion::mm_per_inch;
        });
    return found;
}

checks::NotedTool noted_tool(const Document& document, int station, std::optional<double> mm_per_unit) {
    return checks::tool_by_note(tool_note(document, station), mm_per_unit, station);
}

StockInNotes noted_stock(const Document& document, std::optional<double> mm_per_unit) {
    constexpr std::size_t longest_head = 200;
    StockInNotes found;
    std::size_t end = document.buffer().line_count();
    for (const machine::ProgramPart& program : document.outline().programs) {
        if (program.sequences.empty()) continue;
        end = document.line_of(program.sequences.front().first);
        break;
    }
    for (std::size_t line = 0; line < std::min(end, longest_head); ++line) {
        const machine::BlockPlace place = document.place_of_line(line);
        if (!document.block(place).has_note) continue;
        for (const syntax::Item& item : document.items(place)) {
            if (item.kind != syntax::ItemKind::note) continue;
            const std::string_view text = syntax::note_text(document.run(place.run).text_of(item));
            checks::NotedStock stock = checks::stock_by_note(text, mm_per_unit);
            if (stock.is_empty()) continue;
            if (found.note.empty()) found.note = readable(text);
            if (!found.stock.diameter_mm) {
                found.stock.diameter_mm = stock.diameter_mm;
                found.stock.length_mm = stock.length_mm;
                found.stock.bore_mm = stock.bore_mm;
            }
            if (found.stock.material.empty()) found.stock.material = std::move(stock.material);
        }
    }
    return found;
}

} // namespace turnwright::features

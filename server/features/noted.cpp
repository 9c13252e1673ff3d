#include "features/noted.h"

#include "checks/head_stock.h"
#include "checks/noted_insert.h"
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

std::optional<double> noted_insert_angle(const Document& document, int station) {
    return checks::insert_angle_by_note(tool_note(document, station), station);
}

namespace {

const machine::ProgramPart* first_worked(const Document& document) {
    const auto& programs = document.outline().programs;
    auto program = std::find_if(programs.begin(), programs.end(),
                                [](const machine::ProgramPart& of) { return !of.sequences.empty(); });
    if (program == programs.end()) program = programs.begin();
    return program == programs.end() ? nullptr : &*program;
}

} // namespace

std::optional<FlatsInNotes> noted_flats(const Document& document, std::optional<double> mm_per_unit) {
    const machine::ProgramPart* program = first_worked(document);
    if (!program) return std::nullopt;
    auto flats = checks::head_flats(document.analysis(), {}, *program, mm_per_unit);
    if (!flats) return std::nullopt;
    return FlatsInNotes{flats->first, readable(flats->second)};
}

StockInNotes noted_stock(const Document& document, std::optional<double> mm_per_unit) {
    const machine::ProgramPart* program = first_worked(document);
    if (!program) return {};
    checks::HeadStock head = checks::head_stock(document.analysis(), {}, *program, mm_per_unit);
    return {std::move(head.stock), readable(head.note)};
}

} // namespace turnwright::features

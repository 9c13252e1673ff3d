// Tools and stock that no shop file describes, by the notes of the program: assumed, and said so.
#pragma once

#include "checks/noted_tool.h"
#include "features/document.h"

namespace turnwright::features {

/// mm in the program's unit where its first move is made in a known one.
std::optional<double> mm_per_unit_of(const Document& document);
checks::NotedTool noted_tool(const Document& document, int station, std::optional<double> mm_per_unit);

/// "turning, right hand, nose radius 0.8 mm, tip 3"
std::string tool_words(const shop::Tool& tool, double mm_per_unit);

/// Between the edges at the nose, degrees.
std::optional<double> noted_insert_angle(const Document& document, int station);

struct StockInNotes {
    checks::NotedStock stock;
    std::string note; ///< The first note that tells any of it, readable
};
struct FlatsInNotes {
    double mm = 0;    ///< Across the flats of a hexagon bar
    std::string note; ///< Readable
};
/// By the notes above the first tool, both.
std::optional<FlatsInNotes> noted_flats(const Document& document, std::optional<double> mm_per_unit);
StockInNotes noted_stock(const Document& document, std::optional<double> mm_per_unit);

} // namespace turnwright::features

// Inside the report room: tools and stock that no shop file and no stock note describes, by the program's
// notes and by what its tools do. Assumed, for a picture alone: no warning rests on it.
#pragma once

#include "report/picture.h"

namespace turnwright::report {

/// What moves tell of a tool, alone or against the kind in its note.
struct AssumedTool {
    std::string name, what, why; ///< "T03", "drill, diameter 8.5 mm", "by its moves"
};
enum class StockFrom { told, note, hexagon, moves };
struct AssumedSetup {
    shop::Shop shop;   ///< The document's, with what is assumed where it says nothing
    std::string stock; ///< Behind "stock" in the list; empty: it was told
    std::vector<stock::Setup::TurnedRound> turned_round;
    StockFrom stock_from = StockFrom::told;
    std::vector<AssumedTool> tools;
    std::map<int, shop::ToolKind> kinds; ///< By station, also of holes that are not drawn
    std::set<int>
        unsized_drills; ///< Stations: no wider than what is bored behind them, and nothing tells how wide
    std::vector<std::string> told; ///< Each thing with its reason: "T03 drill, diameter 8.5 mm (its note)"
};
/// With `stock_told` shop file, job file or a stock note give the stock, and only tools are assumed. nullopt:
/// nothing in the program tells how large its stock is.
std::optional<AssumedSetup> assume_setup(const features::Document& document, const Picture& picture,
                                         bool stock_told);

} // namespace turnwright::report

// A lot of parts: how many an edge makes, how many a bar gives, how long all of it takes.
#pragma once

#include "report/sheet.h"

#include <map>

namespace turnwright::report {

/// What neither the program nor the shop file tells. Lengths in mm.
struct LotQuestion {
    std::size_t parts = 0;                    ///< 0: not asked for
    std::map<int, double> life_minutes;       ///< In cut, by station
    std::map<int, double> trial_parts;        ///< So many parts an edge made, by station
    std::optional<double> bar_mm, remnant_mm; ///< nullopt: by the shop file, where it tells them
    std::optional<double> step_mm;            ///< What a part takes of the bar; nullopt: by the program
    std::optional<double> edge_change_minutes, bar_change_minutes, part_change_seconds;
};

struct LotEdge {
    int station = 0;
    std::string tool;               ///< "T03 FINISHING"
    double minutes = 0, metres = 0; ///< In cut, for one part
    bool at_least = false;          ///< The time of some cut is not known
    bool about = false;             ///< Rests on something assumed
    std::optional<double> life_minutes;
    std::string life_from;            ///< "given", "by a trial", "by the shop file"
    std::optional<std::size_t> parts; ///< One edge makes; nullopt: its life is not known
    std::size_t edges = 0;            ///< For the lot
};
struct LotBar {
    std::optional<double> step_mm; ///< What a part takes
    std::string step_from;         ///< How that is known, or why it is not
    std::optional<std::size_t> parts;
    double left_mm = 0; ///< Of a whole bar behind its last part
    std::size_t bars = 0;
    double bar_mm = 0;
    std::size_t parts_at_once =
        1;               ///< Cut off one behind the other, from where the bar stands to where it is drawn
    std::string why_not; ///< Why `parts` is not known
};
struct Lot {
    std::string title;
    LengthUnit unit = LengthUnit::unknown;
    std::size_t made = 1; ///< Parts that one run of the program cuts off
    motion::Totals run, part;
    std::vector<LotEdge> edges;              ///< For one part
    std::optional<std::size_t> first_to_end; ///< Index in edges
    std::optional<LotBar> bar;               ///< Only where a bar is asked for
    std::size_t parts = 0;
    double seconds = 0;                ///< Of the lot
    std::vector<std::string> left_out; ///< What these seconds do not hold
};
/// Where a parting tool goes nearest to the centre.
struct PartOff {
    int station = 0;
    double z_mm = 0, x_radius_mm = 1e9;
    /// A move of a parting tool: whether it goes nearer than all before.
    bool take(int by, const motion::Segment& segment);
    static bool by_right_corner(const shop::Tool& tool); ///< Programmed so; assumed left where nothing tells
    double near_side_z_mm(const shop::Tool& tool) const; ///< Of the groove: where the part ends
};
/// A share of what a run takes, for one of so many parts.
motion::Totals for_one_part(motion::Totals totals, std::size_t parts);
Lot reckon_lot(const features::Document& document, const LotQuestion& question);
Gathering<Lot> gather_lot(const features::Document& document, const LotQuestion& question);
std::string lot_text(const Lot& lot);
/// For the setup sheet: a row for each tool that cuts.
std::vector<SheetRow> edge_rows(const Lot& lot);
/// And of the bar, where its length is known; else none.
std::vector<SheetRow> bar_rows(const Lot& lot);

} // namespace turnwright::report

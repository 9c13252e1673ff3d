// Inside the report room: what a setter must know, before it is put on paper.
#pragma once

#include "report/likeness.h"
#include "report/report.h"
#include "report/walk.h"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace turnwright::report {

/// Unknown is written with its reason, never left empty.
struct SheetRow {
    std::string name, value;
    bool unknown = false;
};
struct SheetTool {
    std::string station;              ///< "T03"; "not known"
    std::string note, called, offset; ///< "T0303"; "3"
    std::string tip;                  ///< Kind, hand, nose radius, tip direction, width, diameter
    bool tip_unknown = false;
    std::string speeds, feeds; ///< "G96 180 m/min (limit 2500 rpm), G97 1150 rpm"
    std::string sequences;     ///< "N1, N3"
    motion::Totals totals;
};
struct SheetSequence {
    std::string name, note;
    std::size_t line = 0; ///< From 1
    motion::Totals totals;
    bool in_table = false; ///< A sequence, not a head
    bool safe = false;
    bool safe_behind_head = false; ///< Once the head of the program was run
    std::string at_entry, inherited, left;
    // Estimates; empty where nothing is known or nothing cuts.
    std::string depth, power, surface, air;
    bool power_over_limit = false; ///< More than the machine has
};
struct SheetWarning {
    std::size_t line = 0; ///< From 1
    checks::Severity severity = checks::Severity::warning;
    std::string message, id;
};
struct Sheet {
    std::string title, note, file;
    std::optional<std::size_t> stopped_at; ///< A line, from 0: it goes no further
    Likeness likeness;
    std::vector<SheetRow> program, stock;
    std::vector<SheetRow> assumed; ///< What the times, feeds and lengths rest on and nothing states
    std::vector<SheetTool> tools;
    std::vector<SheetSequence> sequences;
    motion::Totals totals;
    std::vector<SheetRow> times;
    std::vector<SheetRow> edges;         ///< By tool: minutes and way in cut, parts of an edge
    std::vector<SheetRow> bar;           ///< Where the length of one is given
    bool has_loads = false;              ///< Any sequence has an estimate
    std::string load_source;             ///< Where the specific cutting force comes from
    std::vector<std::string> load_gaps;  ///< What is missing for estimates, each once, with its sequences
    std::vector<SheetWarning> warnings;  ///< Errors first, then warnings, then the rest; all of them
    std::vector<std::string> clearances; ///< Of holders, whole sentences
};
Sheet make_sheet(const features::Document& document);
struct Picture;
/// On one walk; the picture is without its fingerprint, which the sheet has.
std::pair<Sheet, Picture> make_sheet_and_picture(const features::Document& document);

/// Only so many warnings fit on the paper; the rest is counted.
inline constexpr std::size_t warnings_on_sheet = 16;
extern const TableText sheet_cautions[4];

// What all forms of the sheet say alike.
inline constexpr TableText sheet_text_title = "Setup sheet ";
inline constexpr TableText inspection_heading = "First part: what to measure";
inline constexpr TableText loads_heading = "Cutting loads, estimated";
extern const TableText blank_lines[6];
std::string total_cell(const motion::Totals& totals);
std::string_view safe_text(const SheetSequence& row);
bool has_load(const SheetSequence& row);
std::vector<std::string> load_lines(const Sheet& sheet); ///< What stands under the loads
std::string warning_words(const SheetWarning& warning);
std::string warnings_heading(const Sheet& sheet);
std::string rest_of_warnings(const Sheet& sheet); ///< How many are not on the paper; empty: none
struct DrawnStock;
/// Of tools that neither the shop file nor a note describes, and of those that a note calls what their moves
/// show they are not: as they are drawn.
void assume_tips(const features::Document& document, Sheet& sheet, const DrawnStock& drawn);
std::vector<SheetRow> stock_rows(const features::Document& document, const Sheet& sheet,
                                 const DrawnStock& drawn);

std::string cut_cell(const motion::Totals& totals); ///< "1 min 10 s", "not known", a dash for no cut
std::string rapid_cell(const motion::Totals& totals);

} // namespace turnwright::report

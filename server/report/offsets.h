// Tool offsets: those that a program writes into the control as a table, a table as blocks, and what to add
// to an offset when a part was measured.
#pragma once

#include "report/walk.h"

namespace turnwright::report {

/// One row: lengths in the program's unit, X as the program writes it. Empty: not written.
struct OffsetRow {
    bool wear = true; ///< Else the geometry
    int number = 0;
    std::optional<double> x, z;             ///< Set
    std::optional<double> x_added, z_added; ///< Added to what stands there
    std::optional<double> nose_radius;
    std::optional<int> tip_direction;
    bool operator==(const OffsetRow&) const = default;
};
struct OffsetTable {
    std::vector<OffsetRow> rows;
    std::vector<std::string> left_out; ///< "line 12: ..."
};
/// The rows that the G10 blocks of a program write, in the order that the control runs them.
OffsetTable offsets_of_program(const features::Document& document);
/// A table in CSV, its first line as offset_table_csv writes it.
OffsetTable offsets_of_csv(std::string_view csv);
bool is_offset_csv(std::string_view text);
std::string offset_csv(std::span<const OffsetRow> rows);
/// G10 blocks, one a line.
std::string offset_blocks(std::span<const OffsetRow> rows);

struct Measured {
    double wanted = 0, measured = 0; ///< In the program's unit: a diameter, or a length
    bool length = false;             ///< From the face at Z0 towards the chuck
};
struct Correction {
    Measured measured;
    std::string problem;   ///< Why nothing can be told; the rest is empty then
    std::size_t line = 0;  ///< From 1: of the last cut there
    double programmed = 0; ///< The diameter or the length there
    int station = 0;
    std::optional<int> offset;
    double add = 0; ///< To the offset in X or Z as the control takes it: X on diameter or radius
};
struct Corrections {
    std::vector<Correction> all;
    bool on_diameter = true; ///< How the program writes X, and X is entered
    bool inch = false, unit_known = true;
    double within = 0; ///< Corrections of one offset no further apart agree
};
/// `station`: only its cuts; 0: any tool's.
Corrections correct_offsets(const features::Document& document, std::span<const Measured> measured,
                            int station = 0);
std::string corrections_text(const Corrections& corrections);

} // namespace turnwright::report

// Inside the report room and for its command: a folder of programs as one thing. What each is, which share a
// number, which do the same work, and which programs are called that are nowhere.
#pragma once

#include "report/likeness.h"

namespace turnwright::report {

struct LibraryProgram {
    std::string name;    ///< Of the file, as it was given
    std::string problem; ///< Why it could not be read; empty when it was
    struct Part {
        std::int32_t number; ///< O number
        std::string note;
    };
    std::vector<Part> parts;        ///< Programs in the file that have a number, subprograms too
    std::int32_t number = 0;        ///< Of its main program; 0: none
    std::string note;               ///< Beside it
    std::string stock;              ///< "Diameter 60 mm, length 120 mm, P"; empty: not known
    std::vector<std::string> tools; ///< "T01 ROUGHING"
    std::string time;
    std::string changed; ///< "2026-11-28", UTC, by the file; empty: not known
    char system = 'A';
    std::string unit; ///< "mm", "inch"; empty: not known
    std::size_t blocks = 0, warnings = 0;
    struct Calling {
        std::size_t line; ///< From 1
        std::int32_t number;
    };
    std::vector<Calling> calls; ///< Of programs that are not in the file itself
    Likeness likeness;
    std::string picture; ///< SVG; empty: not asked for, or nothing is cut
};
LibraryProgram library_program(const features::Document& document, std::string name, bool with_picture);
/// A picture of the part and of what is cut, to lie in a table.
std::string small_picture(const features::Document& document);

/// Rows of indices into the programs, two or more in each.
struct LibraryFindings {
    struct Group {
        std::vector<std::size_t> programs;
        std::string what; ///< "speeds or feeds"
    };
    std::vector<std::vector<std::size_t>> same_work;
    std::vector<Group> other_values;              ///< The same moves; `what` is otherwise
    std::vector<std::vector<std::size_t>> nearly; ///< The same order of moves, sizes nearly the same
    struct Clash {
        std::int32_t number;
        std::vector<std::size_t> programs;
        bool one_folder = false; ///< Two of them are in one folder
        bool same_work = false;  ///< All do the same: copies
    };
    std::vector<Clash> clashes;
    struct Nowhere {
        std::int32_t number;
        std::vector<std::pair<std::size_t, std::size_t>> from; ///< Program, line from 1
    };
    std::vector<Nowhere> nowhere;
};
LibraryFindings find_in_library(std::span<const LibraryProgram> programs);

std::string library_text(std::span<const LibraryProgram> programs);
std::string library_csv(std::span<const LibraryProgram> programs);
std::string library_markdown(std::span<const LibraryProgram> programs);
std::string library_page(std::span<const LibraryProgram> programs); ///< HTML
/// Whether a text is one of these.
bool is_library_index(std::string_view text);

} // namespace turnwright::report

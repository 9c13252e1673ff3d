// A program told block by block in plain words, by sequence.
#pragma once

#include "report/report.h"

#include <optional>
#include <string>
#include <vector>

namespace turnwright::report {

struct ToldBlock {
    std::size_t line = 0; ///< From 0, in the program; in a called program of another file that of the call
    std::string called;   ///< "O7100 line 4" in a called program, else empty
    std::string written;  ///< The block itself
    std::string text;     ///< What it does, the first time
    std::string last;     ///< What it does the last time, where that differs
    std::size_t times = 1;
};
struct ToldSequence {
    std::string name, note, headline; ///< "Lines 10 to 38, 1 min 12 s, feeds between diameter 18 and 52"
    std::size_t first_line = 0, last_line = 0;
    std::vector<ToldBlock> blocks;
};
struct Telling {
    std::string title, note;
    std::vector<std::string> remarks; ///< How the program is read, what is assumed
    std::vector<ToldSequence> sequences;
    bool is_part = false; ///< Not all of the program was asked for
    std::size_t blocks() const;
};

struct TellWhat {
    std::optional<std::size_t> line; ///< This line alone, from 0
    std::string sequence;            ///< "N7", "T0707", "T07": these alone; empty: all
};
/// No sequences where nothing of the kind is there.
Telling tell(const features::Document& document, const TellWhat& what = {});

/// A program of more blocks is told by the headlines of its sequences alone.
constexpr std::size_t most_told_in_text = 400, most_told_on_page = 20'000;

/// Whether a text is one of these; HTML is known by its generator.
bool is_telling(std::string_view text);
std::string telling_text(const Telling& telling);
std::string telling_markdown(const Telling& telling);
/// With the drawing of each sequence beside what is told of it; `document`: what was told.
std::string telling_page(const features::Document& document, const Telling& telling);

} // namespace turnwright::report

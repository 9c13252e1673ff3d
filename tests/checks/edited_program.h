// A program under edits, with its results kept up to date, beside the same text checked from scratch.
#pragma once

#include "checks/marked_program.h"
#include "thorough.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

namespace turnwright::checks {

/// How many random edits a test makes: all of them for whoever has the time, a sixth in each run of the
/// tests. What edits at random find is a matter of hours, and of the command in docs/trust.md.
inline int edits(int all) {
    return thorough() ? all : all / 6;
}

/// Everything that is shown or silenced, as text with file positions.
inline std::string listing(const text::Buffer& buffer, const Results& results) {
    std::ostringstream out;
    auto line = [&](std::size_t run, const Finding& finding, const char* sort) {
        out << sort << buffer.first_line_of_leaf(run) + finding.block << ':' << finding.begin << '+'
            << finding.length << ' ' << severity_name(finding.severity) << ' ' << finding.check->id << ' '
            << finding.message << ' ' << finding.origin_of;
        for (const Related& related : finding.related)
            out << " [" << buffer.first_line_of_leaf(related.block.run) + related.block.block << ' '
                << related.text << ']';
        out << '\n';
    };
    for (const auto& placed : results.all()) line(placed.run, *placed.finding, "");
    for (const auto& placed : results.silenced()) line(placed.run, *placed.finding, "silenced ");
    return out.str();
}

inline std::string places(const machine::Outline& outline) {
    std::ostringstream out;
    auto place = [&](const machine::BlockPlace& at) { out << at.run << ':' << at.block << ' '; };
    auto place_if = [&](const std::optional<machine::BlockPlace>& at) {
        if (at)
            place(*at);
        else
            out << "- ";
    };
    place_if(outline.closing_tape_mark);
    for (const machine::ProgramPart& part : outline.programs) {
        place(part.first);
        place(part.last);
        place_if(part.end);
        for (const machine::Sequence& sequence : part.sequences) {
            out << "\nN" << sequence.number << " T" << sequence.tool << ' ';
            place(sequence.first);
            place(sequence.last);
            place(sequence.tool_call);
            place_if(sequence.note);
            place_if(sequence.optional_stop);
        }
    }
    return out.str();
}

inline std::string example_file(const char* name) {
    std::ifstream file(std::string(SOURCE_DIR) + "/docs/examples/" + name);
    std::stringstream text;
    text << file.rdbuf();
    return text.str();
}

/// The lines of the example files that belong into the middle of one program without calls or jumps.
inline std::string one_program(std::initializer_list<const char*> names, int times) {
    std::string whole;
    for (int i = 0; i < times; ++i)
        for (const char* name : names) whole += example_file(name);
    std::string text = "O1\n";
    std::istringstream lines(whole);
    for (std::string line; std::getline(lines, line);)
        if (line.find_first_of("O%#") != 0 && line.find("M30") == std::string::npos &&
            line.find("M98") == std::string::npos)
            text += line + "\n";
    return text + "M30\n%\n";
}

/// A program under edits, with its results kept up to date.
struct Edited {
    const shop::Shop shop;
    const machine::Settings settings;
    std::shared_ptr<const machine::ProgramLibrary> library;
    text::Buffer buffer;
    syntax::Forest forest;
    machine::Analysis analysis;
    Results results;

    explicit Edited(std::string_view text, std::shared_ptr<const machine::ProgramLibrary> programs = nullptr,
                    shop::Shop of_shop = shop::default_shop(),
                    std::optional<machine::Settings> of_machine = {})
        : shop(std::move(of_shop)),
          settings(of_machine ? *of_machine : machine::choose_settings(shop.machines.front(), {})),
          library(std::move(programs)), buffer(text), forest(buffer) {
        analysis.rebuild(forest, settings, library);
        results.rebuild(analysis, shop);
    }
    text::Splice replace(text::Range range, std::string_view with) {
        const text::Splice splice = buffer.replace(range, with);
        follow(splice);
        return splice;
    }
    /// Without its line end, so that no other leaf is touched.
    text::Range whole_line(std::uint32_t line) const {
        return {{line, 0}, {line, static_cast<std::uint32_t>(buffer.line(line).size())}};
    }
    /// Two lines of neighbouring leaves at once.
    void replace_both(std::uint32_t line, std::string_view with, std::uint32_t other,
                      std::string_view with_other) {
        const text::Splice one = buffer.replace(whole_line(line), with);
        const text::Splice two = buffer.replace(whole_line(other), with_other);
        REQUIRE((one.removed == 1 && one.inserted == 1 && two.removed == 1 && two.inserted == 1));
        follow({std::min(one.first, two.first), 2, 2});
    }
    void follow(const text::Splice& splice) {
        forest.update(buffer, splice);
        analysis.update(forest, splice);
        results.update(analysis, splice);
    }
};

/// The same text, checked from scratch.
struct Fresh {
    machine::Analysis analysis;
    Results results;

    explicit Fresh(const Edited& program) {
        analysis.rebuild(program.forest, program.settings, program.library);
        results.rebuild(analysis, program.shop);
    }
};

} // namespace turnwright::checks

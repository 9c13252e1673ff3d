// A program under test: parsed and interpreted, with a cursor `$0` where the test looks.
#pragma once

#include "machine/machine.h"

#include <algorithm>
#include <string>

struct Program {
    turnwright::text::Buffer buffer;
    turnwright::syntax::Forest forest;
    turnwright::machine::Analysis analysis;
    turnwright::machine::BlockPlace cursor;

    Program(turnwright::codes::System system, std::string text, turnwright::shop::Machine machine = {},
            std::shared_ptr<const turnwright::machine::ProgramLibrary> library = nullptr) {
        std::size_t at = text.find("$0");
        std::size_t line = 0;
        if (at != std::string::npos) {
            line = static_cast<std::size_t>(
                std::count(text.begin(), text.begin() + static_cast<long>(at), '\n'));
            text.erase(at, 2);
        }
        buffer = turnwright::text::Buffer(text);
        forest = turnwright::syntax::Forest(buffer);
        turnwright::machine::Settings settings;
        settings.system = system;
        settings.machine = std::move(machine);
        analysis.rebuild(forest, settings, std::move(library));
        std::size_t leaf = buffer.leaf_of_line(line);
        cursor = {leaf, line - buffer.first_line_of_leaf(leaf)};
    }
    Program(const Program&) = delete;

    turnwright::machine::State before() const { return analysis.before(cursor); }
    turnwright::machine::State after() const { return analysis.after(cursor); }
};

// Every check's own examples, with each of their lines typed last: what is told then is what a fresh start
// tells. Examples hold what their rules look at, so what a rule forgets to log shows here.
#include "checks/edited_program.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::checks;

TEST_CASE("each example is told alike whichever of its lines is typed last", "[long]") {
    for (const Check* check : all_checks()) {
        int number = 0;
        for (const Example& example : check->examples) {
            const std::string text = read_marked(example.program).text;
            const CheckedProgram checked(text, example.system, example.shop_file);
            const std::string fresh = listing(checked.buffer, checked.results);
            INFO(check->id << ", example " << ++number << '\n' << text);
            Edited program(text, std::make_shared<EmptyLibrary>(), *checked.shop,
                           checked.settings_for(example.system));
            for (std::uint32_t line = 0; line < program.buffer.line_count(); ++line) {
                const text::Range whole = program.whole_line(line);
                const std::string typed(program.buffer.line(line));
                // Each line for whoever has the time, a sixth of them in each run of the tests.
                if (typed.empty() || (line + number) % 6 >= static_cast<std::uint32_t>(edits(6))) continue;
                program.replace(whole, "");
                program.replace({whole.begin, whole.begin}, typed);
                INFO("typed last: " << typed);
                CHECK(listing(program.buffer, program.results) == fresh);
            }
        }
    }
}

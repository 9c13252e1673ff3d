// Every id that was given out once goes on working. ids_given_out.txt holds them all, one a line: a check
// that is new is added to it by TURNWRIGHT_UPDATE_DOCS=1, and nothing is ever taken out of it.
#include "checks/former_ids.h"
#include "checks/marked_program.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

const std::filesystem::path given_out = std::filesystem::path(SOURCE_DIR) / "tests/checks/ids_given_out.txt";

std::set<std::string> ids_given_out() {
    std::ifstream file(given_out);
    std::set<std::string> ids;
    for (std::string line; std::getline(file, line);)
        if (!line.empty()) ids.insert(line);
    return ids;
}

std::size_t found_of(const CheckedProgram& checked, std::string_view id) {
    std::size_t count = 0;
    for (const Results::Placed& placed : checked.results.all()) count += placed.finding->check->id == id;
    return count;
}

/// The program with this note in every line that has a mark.
std::string with_note(const MarkedProgram& marked, const std::string& note) {
    std::set<std::size_t> lines;
    for (const Mark& mark : marked.marks) lines.insert(mark.line);
    std::string text;
    std::size_t line = 0;
    for (std::size_t at = 0; at < marked.text.size(); ++line) {
        const std::size_t end = std::min(marked.text.find('\n', at), marked.text.size());
        text += marked.text.substr(at, end - at) + (lines.count(line) ? " " + note : "") + "\n";
        at = end + 1;
    }
    return text;
}

} // namespace

TEST_CASE("the pages keep every id that was given out") {
    std::set<std::string> ids = ids_given_out();
    REQUIRE(ids.size() > 200);
    if (std::getenv("TURNWRIGHT_UPDATE_DOCS")) {
        for (const Check* check : all_checks()) ids.insert(std::string(check->id));
        std::ofstream file(given_out, std::ios::binary);
        for (const std::string& id : ids) file << id << "\n";
    }
    for (const std::string& id : ids) {
        INFO(id << " was given out: rename it by a row in server/checks/former_ids.cpp");
        CHECK(find_check(id) != nullptr);
    }
    for (const Check* check : all_checks()) {
        INFO(check->id << " is new: run test_checks with TURNWRIGHT_UPDATE_DOCS=1");
        CHECK(ids.count(std::string(check->id)) == 1);
    }
    for (const FormerId& known : former_ids()) {
        INFO(known.former);
        CHECK(ids.count(std::string(known.former)) == 1);
        REQUIRE(find_check(known.former));
        CHECK(find_check(known.former)->id == known.present);
        CHECK(present_id(known.present) == known.present); // one step, never a chain
    }
    CHECK(present_id("no_such_check") == "no_such_check");
}

TEST_CASE("a former id silences in a note and in the shop file, like the present one") {
    REQUIRE(!former_ids().empty());
    for (const FormerId& known : former_ids()) {
        INFO(known.former);
        std::size_t tried = 0;
        for (const Example& example : find_check(known.present)->examples) {
            const MarkedProgram marked = read_marked(example.program);
            if (marked.marks.empty()) continue;
            ++tried;
            const CheckedProgram as_is(marked.text, example.system, example.shop_file);
            REQUIRE(found_of(as_is, known.present) > 0);
            for (const std::string& id : {std::string(known.former), std::string(known.present)}) {
                const CheckedProgram noted(with_note(marked, "(TURNWRIGHT: ACCEPT " + id + ")"),
                                           example.system, example.shop_file);
                CHECK(found_of(noted, known.present) == 0);
                CHECK(found_of(noted, "unused_silencing") == 0);
                if (std::string_view(example.shop_file).find("[checks]") != std::string_view::npos) continue;
                const std::string shop_file =
                    std::string(example.shop_file) + "\n[checks]\n" + id + " = \"off\"\n";
                const CheckedProgram shop_says(marked.text, example.system, shop_file);
                CHECK(shop_says.shop->problems.empty());
                CHECK(found_of(shop_says, known.present) == 0);
            }
            // The same with another word, so that it is the id that silences.
            const CheckedProgram other(with_note(marked, "(TURNWRIGHT: ACCEPT no_such_check)"),
                                       example.system, example.shop_file);
            CHECK(found_of(other, known.present) > 0);
        }
        CHECK(tried > 0);
    }
}

// Every check against its own examples.
#include "checks/marked_program.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::checks;

TEST_CASE("each check finds what its examples mark, and nothing else") {
    for (const Check* check : all_checks()) {
        int number = 0;
        for (const Example& example : check->examples) {
            ++number;
            MarkedProgram marked = read_marked(example.program);
            CheckedProgram checked(marked.text, example.system, example.shop_file);
            INFO(check->id << ", example " << number << " (system " << codes::system_letter(example.system)
                           << ")\n"
                           << marked.text);
            for (const shop::Problem& problem : checked.shop->problems) FAIL_CHECK(problem.message);
            std::string wrong = differences(marked, checked, check->id);
            if (!wrong.empty()) FAIL_CHECK(wrong);
        }
    }
}

TEST_CASE("each check has examples that must be found and ones that must stay quiet, on all three systems") {
    for (const Check* check : all_checks()) {
        INFO(check->id);
        int found = 0, quiet = 0, systems = 0;
        for (const Example& example : check->examples) {
            ++(read_marked(example.program).marks.empty() ? quiet : found);
            systems |= 1 << static_cast<int>(example.system);
        }
        CHECK(found >= 2);
        CHECK(quiet >= 3);
        CHECK(systems == 7);
        CHECK(!check->documentation.empty());
        CHECK(check->title.english().size() > 8);
        CHECK((check->block || check->sequence || check->entry || check->landmarks || check->file ||
               check->stock || check->works || check->id == "unused_silencing"));
    }
}

TEST_CASE("ids are in order and each is found by its name") {
    std::string_view before;
    for (const Check* check : all_checks()) {
        CHECK(before < check->id);
        CHECK(find_check(check->id) == check);
        before = check->id;
    }
    CHECK(find_check("no_such_check") == nullptr);
}

// What is shown while a line is typed: time and edits in, warnings out.
#include "protocol/calm.h"

#include "checks/checks.h"
#include "checks/open_end.h"

#include <catch2/catch.hpp>

using namespace turnwright;
using namespace turnwright::protocol;
using features::Warning;

namespace {

using std::chrono::milliseconds;

Warning on(std::uint32_t line, std::string id) {
    Warning warning;
    warning.range = {{line, 0}, {line, 3}};
    warning.id = std::move(id);
    return warning;
}

struct Typist {
    Calm calm;
    Calm::Clock::time_point now{};
    std::uint32_t line = 0, column = 0;

    void key() {
        calm.edited({{line, column}, {line, column}, {line, column + 1}}, now);
        ++column;
    }
    void enter() {
        calm.edited({{line, column}, {line, column}, {line + 1, 0}}, now);
        ++line;
        column = 0;
    }
    /// Ids with lines, as "3 feed_missing".
    std::vector<std::string> shown(std::vector<Warning> all, Calm::Open open = {}) {
        std::vector<std::string> out;
        for (const Warning& warning : calm.shown(std::move(all), open, now))
            out.push_back(std::to_string(warning.range.begin.line) + " " + warning.id);
        return out;
    }
};
using Shown = std::vector<std::string>;

} // namespace

TEST_CASE("nothing is held back of a text that nobody types") {
    Typist typist;
    CHECK(typist.shown({on(0, "a"), on(5, "program_end_missing")}) == Shown{"0 a", "5 program_end_missing"});
    CHECK_FALSE(typist.calm.wakes_at());
    CHECK_FALSE(typist.calm.release());
}

TEST_CASE("a finding on the typed line waits for the next line's first key") {
    Typist typist;
    typist.shown({});
    typist.key();
    CHECK(typist.shown({on(0, "a")}).empty());
    typist.key();
    CHECK(typist.shown({on(0, "a")}).empty());
    CHECK(typist.calm.wakes_at() == typist.now + Calm::patience);
    typist.enter();
    CHECK(typist.shown({on(0, "a")}) == Shown{"0 a"});
    typist.key();
    CHECK(typist.shown({on(0, "a"), on(1, "b")}) == Shown{"0 a"});
}

TEST_CASE("half a line lights up and puts out nothing elsewhere") {
    Typist typist;
    typist.line = 4;
    CHECK(typist.shown({on(1, "old"), on(7, "below")}).size() == 2);
    typist.key();
    CHECK(typist.shown({on(1, "old"), on(2, "new"), on(4, "half")}) == Shown{"1 old", "7 below"});
    typist.key();
    CHECK(typist.shown({on(1, "old"), on(7, "below")}) == Shown{"1 old", "7 below"});
    // What stays above when the line is left is told then; what is gone, goes; what is new below waits for a
    // pause.
    typist.key();
    CHECK(typist.shown({on(2, "new"), on(8, "after")}) == Shown{"1 old", "7 below"});
    typist.enter();
    CHECK(typist.shown({on(2, "new"), on(9, "after")}) == Shown{"2 new"});
    typist.now += Calm::patience;
    CHECK(typist.shown({on(2, "new"), on(9, "after")}) == Shown{"2 new", "9 after"});
}

TEST_CASE("what was told moves with the lines above it") {
    Typist typist;
    typist.line = 2;
    typist.shown({on(1, "above"), on(5, "below")});
    typist.enter();
    CHECK(typist.shown({}) == Shown{"1 above", "6 below"});
    // A line taken away.
    typist.calm.edited({{2, 0}, {3, 0}, {2, 0}}, typist.now);
    CHECK(typist.shown({}) == Shown{"1 above", "5 below"});
}

TEST_CASE("mended on the typed line, it goes at once") {
    Typist typist;
    CHECK(typist.shown({on(0, "a"), on(3, "b")}).size() == 2);
    typist.key();
    CHECK(typist.shown({on(3, "b")}) == Shown{"3 b"});
}

TEST_CASE("all is told when no key comes, the text is saved or the cursor is elsewhere") {
    for (int how = 0; how < 3; ++how) {
        Typist typist;
        typist.column = 9;
        typist.shown({});
        typist.key();
        CHECK(typist.shown({on(0, "a"), on(9, "b")}).empty());
        if (how == 0) typist.now += Calm::patience;
        if (how == 1) CHECK(typist.calm.release());
        if (how == 2) {
            CHECK_FALSE(typist.calm.cursor_at(0));
            CHECK(typist.calm.cursor_at(3));
        }
        CHECK(typist.shown({on(0, "a"), on(9, "b")}) == Shown{"0 a", "9 b"});
        CHECK_FALSE(typist.calm.wakes_at());
    }
}

TEST_CASE("a block with the cursor behind its last word is not finished, however long the pause") {
    for (int how = 0; how < 4; ++how) {
        Typist typist;
        typist.column = 9;
        typist.shown({});
        typist.key();
        typist.now += Calm::patience;
        Calm::Open open;
        open.line_length = 10;
        CHECK(typist.shown({on(0, "missing_word"), on(9, "b")}, open) == Shown{"9 b"});
        CHECK_FALSE(typist.calm.wakes_at());
        if (how == 0) typist.enter();
        if (how == 1) CHECK(typist.calm.release());
        if (how == 2) CHECK(typist.calm.cursor_at(3));
        if (how == 3) { // A word is mended in its middle
            typist.key();
            typist.now += Calm::patience;
            open.line_length = 20;
        }
        const std::uint32_t below = how == 0 ? 10 : 9;
        CHECK(typist.shown({on(0, "missing_word"), on(below, "b")}, how == 3 ? open : Calm::Open{}) ==
              Shown{"0 missing_word", std::to_string(below) + " b"});
    }
}

TEST_CASE("a finding in a line left within one change is told in time, though keys go on") {
    Typist typist;
    typist.shown({});
    typist.key();
    typist.shown({});
    // An editor that waits a little sends the last letter, the line's end and the next letter at once.
    typist.key();
    typist.enter();
    typist.key();
    CHECK(typist.shown({on(0, "a")}).empty());
    for (int i = 0; i < 9; ++i) {
        typist.now += milliseconds(200);
        typist.key();
        const auto shown = typist.shown({on(0, "a"), on(7, "b")});
        CHECK(shown == (i < 7 ? Shown{} : Shown{"0 a"}));
    }
}

TEST_CASE("what hangs on the end waits while the end is written, and moves with it once told") {
    Typist typist;
    typist.shown({});
    const auto end = [&] { return on(typist.line, "program_end_missing"); };
    for (int i = 0; i < 5; ++i) {
        typist.key();
        CHECK(typist.shown({end()}).empty());
        typist.enter();
        CHECK(typist.shown({end()}).empty());
    }
    CHECK(typist.calm.release()); // Saved
    CHECK(typist.shown({end()}) == Shown{"5 program_end_missing"});
    typist.enter();
    CHECK(typist.shown({end()}) == Shown{"6 program_end_missing"});
}

TEST_CASE("a pause is no end where the program is being written") {
    Typist typist;
    typist.shown({});
    const auto end = [&] { return on(typist.line, "program_end_missing"); };
    Calm::Open open;
    for (const bool written_at_end : {true, false}) {
        open.is_being_written = written_at_end;
        typist.column = 9;
        typist.key();
        CHECK(typist.shown({end()}, open).empty());
        typist.now += Calm::patience;
        CHECK(typist.shown({end()}, open).size() == (written_at_end ? 0 : 1));
    }
}

TEST_CASE("a corner waits for the block behind it, and no longer") {
    Typist typist;
    typist.line = 5;
    typist.shown({});
    Calm::Open open{0, 0, 5, true};
    typist.key();
    typist.now += Calm::patience;
    CHECK(typist.shown({on(3, "corner_does_not_fit"), on(5, "corner_does_not_fit")}, open) ==
          Shown{"3 corner_does_not_fit"});
}

TEST_CASE("what a sequence leaves is told when the next one is written") {
    Typist typist;
    typist.line = 5;
    typist.shown({});
    typist.key();
    CHECK(typist.shown({on(4, "drill_not_withdrawn")}, {2, 0}).empty());
    typist.enter();
    CHECK(typist.shown({on(4, "drill_not_withdrawn")}, {2, 0}).empty());
    typist.key();
    CHECK(typist.shown({on(4, "drill_not_withdrawn")}, {6, 0}).empty());
    typist.enter();
    CHECK(typist.shown({on(4, "drill_not_withdrawn")}, {6, 0}) == Shown{"4 drill_not_withdrawn"});
}

TEST_CASE("another text, or a paste, is told at once") {
    Typist typist;
    typist.shown({});
    typist.key();
    CHECK(typist.shown({on(0, "a")}).empty());
    typist.calm.edited({{0, 0}, {0, 0}, {20, 0}, false}, typist.now);
    CHECK(typist.shown({on(0, "a"), on(3, "b")}).size() == 2);
}

TEST_CASE("the ids that hang on an end are checks") {
    std::size_t found = 0;
    for (const checks::Check* check : checks::all_checks())
        found += checks::open_end(check->id) != checks::OpenEnd::none;
    CHECK(found == checks::ids_of_open_ends().size());
}

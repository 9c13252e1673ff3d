// The table as a whole: which codes are in which system, and that every row is fit to be read by a person.
#include "codes/codes.h"

#include <catch2/catch.hpp>

#include <cctype>
#include <cmath>
#include <limits>
#include <map>
#include <set>

using namespace turnwright::codes;
using M = Meaning;

namespace {
constexpr System all_systems[] = {System::A, System::B, System::C};

bool has(System system, char letter, double number) {
    return find(system, letter, number) != nullptr;
}

std::size_t sentences(std::string_view text) {
    std::size_t count = 0;
    for (std::size_t place = 0; place < text.size(); ++place)
        if (text[place] == '.' && (place + 1 == text.size() || text[place + 1] == ' ')) ++count;
    return count;
}
} // namespace

TEST_CASE("Codes that every system has are found in every system") {
    const double preparatory[] = {35, 50.2, 51.2, 66.1, 83.5, 83.6, 0,    1,  2,  3,  4,  7.1, 107, 9,
                                  10, 11,   12.1, 112,  13.1, 113,  17,   18, 19, 20, 21, 22,  23,  25,
                                  26, 27,   28,   29,   30,   31,   34,   36, 37, 40, 41, 42,  52,  53,
                                  54, 55,   56,   57,   58,   59,   54.1, 61, 62, 63, 64, 65,  66,  67,
                                  68, 69,   70,   71,   72,   73,   74,   75, 76, 80, 81, 82,  83,  84,
                                  85, 86,   87,   88,   89,   90,   92,   94, 96, 97, 98, 99};
    const double miscellaneous[] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 19, 29, 30, 98, 99, 198};
    for (System system : all_systems) {
        for (double number : preparatory) {
            INFO("G" << number << " in system " << system_letter(system));
            CHECK(has(system, 'G', number));
        }
        for (double number : miscellaneous) {
            INFO("M" << number << " in system " << system_letter(system));
            CHECK(has(system, 'M', number));
        }
    }
}

TEST_CASE("Codes of one system are not found in another") {
    struct Only {
        double number;
        std::string systems;
    };
    // Common practice, no source.
    const Only rows[] = {{32, "A"}, {33, "BC"}, {50, "A"},  {24, "C"},  {77, "BC"}, {78, "BC"},
                         {79, "B"}, {91, "BC"}, {93, "BC"}, {95, "BC"}, {51, ""},   {100, ""},
                         {5, ""},   {14, ""},   {54.2, ""}, {60, ""},   {199.9, ""}};
    for (const Only& row : rows) {
        for (System system : all_systems) {
            INFO("G" << row.number << " in system " << system_letter(system));
            CHECK(has(system, 'G', row.number) ==
                  (row.systems.find(system_letter(system)) != std::string::npos));
        }
    }
    // The machine's maker decides about these, so nobody here may say what they are.
    for (double number : {10, 11, 14, 15, 17, 20, 25, 40, 41, 50, 68, 97, 100})
        for (System system : all_systems) CHECK_FALSE(has(system, 'M', number));
}

TEST_CASE("Numbers that are no code are not found and hurt nothing") {
    for (System system : all_systems) {
        for (double number : {-1.0, 54.15, 1e300, -1e300, 200.0, std::numeric_limits<double>::quiet_NaN(),
                              std::numeric_limits<double>::infinity()})
            CHECK_FALSE(has(system, 'G', number));
        CHECK_FALSE(has(system, 'X', 1));
        CHECK(find(system, 'g', 1) == find(system, 'G', 1));
    }
}

TEST_CASE("The same number means what its system says") {
    struct Row {
        double number;
        Meaning a, b, c;
    };
    // Common practice, no source.
    const Row rows[] = {
        {90, M::single_turning, M::absolute, M::absolute},
        {92, M::single_threading, M::speed_limit, M::speed_limit},
        {94, M::single_facing, M::feed_per_minute, M::feed_per_minute},
        {98, M::feed_per_minute, M::return_initial_level, M::return_initial_level},
        {99, M::feed_per_rev, M::return_r_level, M::return_r_level},
        {20, M::inch, M::inch, M::single_turning},
        {21, M::millimetre, M::millimetre, M::single_threading},
        {70, M::finish_cycle, M::finish_cycle, M::inch},
        {71, M::rough_turning, M::rough_turning, M::millimetre},
        {72, M::rough_facing, M::rough_facing, M::finish_cycle},
        {73, M::pattern_repeat, M::pattern_repeat, M::rough_turning},
        {74, M::peck_face, M::peck_face, M::rough_facing},
        {75, M::groove_side, M::groove_side, M::pattern_repeat},
        {76, M::thread_cycle, M::thread_cycle, M::peck_face},
    };
    for (const Row& row : rows) {
        INFO("G" << row.number);
        CHECK(find(System::A, 'G', row.number)->meaning == row.a);
        CHECK(find(System::B, 'G', row.number)->meaning == row.b);
        CHECK(find(System::C, 'G', row.number)->meaning == row.c);
    }
    CHECK(find(System::B, 'G', 77)->meaning == M::single_turning);
    CHECK(find(System::C, 'G', 77)->meaning == M::groove_side);
    CHECK(find(System::B, 'G', 78)->meaning == M::single_threading);
    CHECK(find(System::C, 'G', 78)->meaning == M::thread_cycle);
    CHECK(find(System::B, 'G', 79)->meaning == M::single_facing);
    CHECK(find(System::C, 'G', 24)->meaning == M::single_facing);
}

TEST_CASE("Each system writes a meaning in its own way") {
    struct Row {
        Meaning meaning;
        const char *a, *b, *c;
    };
    // Common practice, no source.
    const Row rows[] = {
        {M::feed_per_rev, "G99", "G95", "G95"},
        {M::feed_per_minute, "G98", "G94", "G94"},
        {M::thread, "G32", "G33", "G33"},
        {M::speed_limit, "G50", "G92", "G92"},
        {M::work_shift, "G50", "G92", "G92"},
        {M::single_turning, "G90", "G77", "G20"},
        {M::single_threading, "G92", "G78", "G21"},
        {M::single_facing, "G94", "G79", "G24"},
        {M::rough_turning, "G71", "G71", "G73"},
        {M::thread_cycle, "G76", "G76", "G78"},
        {M::inch, "G20", "G20", "G70"},
        {M::millimetre, "G21", "G21", "G71"},
        {M::absolute, "", "G90", "G90"},
        {M::return_r_level, "", "G99", "G99"},
        {M::polar_on, "G12.1", "G12.1", "G12.1"},
        {M::cylindrical, "G07.1", "G07.1", "G07.1"},
        {M::datum_extended, "G54.1", "G54.1", "G54.1"},
        {M::machine_specific, "", "", ""},
        {M::spindle_forward, "M03", "M03", "M03"},
        {M::thread_arc_clockwise, "G35", "G35", "G35"},
        {M::datum_preset, "G50.3", "G92.1", "G92.1"},
        {M::polygon_on, "G51.2", "G51.2", "G51.2"},
    };
    for (const Row& row : rows) {
        INFO(title(row.meaning));
        CHECK(written_as(System::A, row.meaning) == row.a);
        CHECK(written_as(System::B, row.meaning) == row.b);
        CHECK(written_as(System::C, row.meaning) == row.c);
    }
}

TEST_CASE("What a system writes for a meaning is read back as that meaning") {
    std::size_t tried = 0;
    for (System system : all_systems) {
        for (std::size_t group = 0; group < group_count; ++group) {
            for (Meaning meaning : members(static_cast<Group>(group))) {
                const std::string written = written_as(system, meaning);
                if (written.empty()) continue;
                ++tried;
                INFO(written << " in system " << system_letter(system));
                const double number = std::stod(written.substr(1));
                const Code* code = find(system, written[0], number);
                REQUIRE(code);
                if (meaning == M::work_shift) { // one code with the speed limit: the words decide
                    const char words[] = {'X', 'Z'};
                    code = find_with_words(system, written[0], number, words);
                }
                CHECK(code->meaning == meaning);
                CHECK(code_for(system, meaning)->meaning == meaning);
            }
        }
    }
    CHECK(tried > 250);
}

TEST_CASE("A row is fit to be shown to a person") {
    REQUIRE(all_codes().size() > 120);
    for (const Code& code : all_codes()) {
        INFO(code.written() << " systems " << int(code.systems));
        CHECK(sentences(code.text) == 2);
        CHECK(code.text.english().find(" Watch ") != std::string_view::npos);
        CHECK(std::isupper(static_cast<unsigned char>(code.title.english().front())));
        CHECK(code.title.english().back() != '.');
        CHECK_FALSE(code.source.empty());
        CHECK((code.systems != 0 && code.systems <= in_all));
        // The short name and the row's heading are the same words, so hover and warnings agree.
        const std::string_view name = title(code.meaning);
        std::string heading(code.title);
        heading.front() = static_cast<char>(std::tolower(static_cast<unsigned char>(heading.front())));
        CHECK(heading.substr(0, name.size()) == name);
        std::set<char> seen;
        for (const WordUse& word : code.words) {
            INFO("word " << word.letter);
            CHECK(seen.insert(word.letter).second);
            CHECK(letter(word.letter));
            CHECK_FALSE(word.meaning.empty());
            CHECK(word.meaning.english().back() != '.');
        }
    }
}

TEST_CASE("Titles fit into a sentence and every meaning has one of its own") {
    std::set<std::string_view> seen;
    std::size_t count = 0;
    for (std::size_t group = 0; group < group_count; ++group) {
        CHECK_FALSE(group_title(static_cast<Group>(group)).empty());
        for (Meaning meaning : members(static_cast<Group>(group))) {
            ++count;
            const std::string_view name = title(meaning);
            INFO(name);
            CHECK(std::islower(static_cast<unsigned char>(name.front())));
            CHECK(seen.insert(name).second);
        }
    }
    CHECK(count == 137); // enumerators of Meaning in codes.h
    CHECK(title(static_cast<Meaning>(0xffff)) == "unknown function");
}

TEST_CASE("Members of a modal group fit into its sixteen places and follow each other") {
    for (std::size_t group = 0; group < group_count; ++group) {
        const auto all = members(static_cast<Group>(group));
        REQUIRE_FALSE(all.empty());
        if (static_cast<Group>(group) != Group::one_shot) CHECK(all.size() <= 16);
        for (std::size_t place = 0; place < all.size(); ++place) {
            CHECK(group_of(all[place]) == static_cast<Group>(group));
            CHECK(member_of(all[place]) == place);
            CHECK(meaning_of(static_cast<Group>(group), static_cast<unsigned>(place)) == all[place]);
        }
    }
}

TEST_CASE("No system has two usual power-on states in one group") {
    for (System system : all_systems) {
        std::map<Group, Meaning> states;
        for (const Code& code : all_codes()) {
            if (!code.power_on || !(code.systems & (1U << static_cast<unsigned>(system)))) continue;
            REQUIRE(code.is_modal());
            const auto [place, fresh] = states.emplace(code.group(), code.meaning);
            INFO(code.written());
            CHECK((fresh || place->second == code.meaning));
        }
        CHECK(states.count(Group::units) == 0); // differs from shop to shop
        CHECK(states.at(Group::plane) == M::plane_zx);
    }
}

TEST_CASE("Rows stand in order and a system's rows of one number share their meaning or their words decide") {
    const auto rows = all_codes();
    for (std::size_t row = 1; row < rows.size(); ++row) {
        const Code &before = rows[row - 1], &here = rows[row];
        CHECK((before.letter < here.letter ||
               (before.letter == here.letter && before.number_tenths <= here.number_tenths)));
        const bool same = before.letter == here.letter && before.number_tenths == here.number_tenths &&
                          (before.systems & here.systems);
        if (!same || before.meaning == here.meaning) continue;
        CHECK(before.meaning == M::speed_limit);
        CHECK(here.meaning == M::work_shift);
    }
}

// What the words of a block are, by the code that stands with them.
#include "codes/codes.h"

#include <catch2/catch.hpp>

#include <string_view>

using namespace turnwright::codes;
using M = Meaning;
using Q = Quantity;

namespace {
const Code* with(System system, double number, std::string_view letters) {
    return find_with_words(system, 'G', number, std::span<const char>(letters.data(), letters.size()));
}
} // namespace

TEST_CASE("A letter without a code of its own is what the letter table says") {
    CHECK(quantity_in(nullptr, 'X') == Q::length_x);
    CHECK(quantity_in(nullptr, 'U') == Q::increment_x);
    CHECK(quantity_in(nullptr, 'S') == Q::speed);
    CHECK(quantity_in(nullptr, '@') == Q::none);
    CHECK(letter('@') == nullptr);
    CHECK(letter('x') == letter('X'));
    for (char each : std::string_view("XZYCUWVHIJKRFESTNOPQDLABMG")) {
        INFO(each);
        REQUIRE(letter(each));
        CHECK(letter(each)->letter == each);
        CHECK_FALSE(letter(each)->title.empty());
        CHECK(letter(each)->text.english().back() == '.');
        CHECK_FALSE(letter(each)->source.empty());
    }
    CHECK(all_letters().size() == 26);
}

TEST_CASE("A dwell's X is a time and no position") {
    const Code* dwell = find(System::A, 'G', 4);
    CHECK(quantity_in(dwell, 'X') == Q::seconds);
    CHECK(quantity_in(dwell, 'U') == Q::seconds);
    CHECK(quantity_in(dwell, 'P') == Q::milliseconds);
    CHECK(quantity_in(dwell, 'Z') == Q::length_z); // its letter's own
    CHECK(is_whole(Q::milliseconds));
    CHECK_FALSE(is_whole(Q::seconds));
}

TEST_CASE("F is a lead where a thread is cut") {
    CHECK(quantity_in(find(System::A, 'G', 1), 'F') == Q::feed);
    CHECK(quantity_in(find(System::A, 'G', 32), 'F') == Q::lead);
    CHECK(quantity_in(find(System::B, 'G', 33), 'F') == Q::lead);
    CHECK(quantity_in(find(System::A, 'G', 92), 'F') == Q::lead);
    CHECK(quantity_in(find(System::B, 'G', 78), 'F') == Q::lead);
    CHECK(quantity_in(find(System::C, 'G', 21), 'F') == Q::lead);
}

TEST_CASE("Distances by U and W belong to system A") {
    for (double number : {0, 1, 2, 3, 28, 30, 31, 34}) {
        CHECK(word_use(find(System::A, 'G', number), 'U'));
        CHECK_FALSE(word_use(find(System::B, 'G', number), 'U'));
        CHECK_FALSE(word_use(find(System::C, 'G', number), 'U'));
    }
}

TEST_CASE("The speed limit and the work shift are told apart by their words") {
    CHECK(with(System::A, 50, "S")->meaning == M::speed_limit);
    CHECK(with(System::A, 50, "XZ")->meaning == M::work_shift);
    CHECK(with(System::A, 50, "U")->meaning == M::work_shift);
    CHECK(with(System::A, 50, "")->meaning == M::speed_limit);
    CHECK(with(System::A, 50, "NST")->meaning == M::speed_limit);
    const Code* both = with(System::B, 92, "XZS");
    CHECK(both->meaning == M::work_shift);
    CHECK(quantity_in(both, 'S') == Q::speed_rpm); // and the limit is set as well
    CHECK(with(System::A, 92, "XF")->meaning == M::single_threading);
    CHECK(quantity_in(with(System::C, 92, "S"), 'S') == Q::speed_rpm);
    CHECK(with(System::B, 50, "S") == nullptr);
}

TEST_CASE("A roughing cycle's U is a depth in its first line and an allowance in the line that calls") {
    struct Row {
        System system;
        double number;
        char depth;
        Quantity first, call;
    };
    const Row rows[] = {
        {System::A, 71, 'U', Q::radius_x, Q::increment_x}, {System::B, 71, 'U', Q::radius_x, Q::increment_x},
        {System::C, 73, 'U', Q::radius_x, Q::increment_x}, {System::A, 72, 'W', Q::length, Q::increment_z},
        {System::C, 74, 'W', Q::length, Q::increment_z},   {System::A, 73, 'U', Q::radius_x, Q::increment_x},
        {System::C, 75, 'U', Q::radius_x, Q::increment_x},
    };
    for (const Row& row : rows) {
        INFO("G" << row.number << " in system " << system_letter(row.system));
        const std::string first{row.depth, 'R'};
        const Code* line = with(row.system, row.number, first);
        CHECK(quantity_in(line, row.depth) == row.first);
        CHECK_FALSE(word_use(line, 'P')->required);
        CHECK(with(row.system, row.number, std::string{row.depth}) == line);
        // Two lines, one line, one label forgotten, and one of the two forms mixed.
        for (const char* letters : {"PQUWF", "PQUWDF", "PUW", "QUW", "PQUWDFS", "PQUWIKD", "PQUWR"}) {
            INFO(letters);
            const Code* call = with(row.system, row.number, letters);
            CHECK(quantity_in(call, row.depth) == row.call);
            CHECK(word_use(call, 'P')->required);
            CHECK(word_use(call, 'Q')->required);
            CHECK(quantity_in(call, 'P') == Q::label);
        }
        // Without the words nothing is known, and nothing is asked for.
        const Code* plain = find(row.system, 'G', row.number);
        for (const WordUse& word : plain->words) CHECK_FALSE(word.required);
        CHECK(word_use(plain, 'P'));
        CHECK(word_use(plain, 'D'));
    }
    CHECK(quantity_in(with(System::A, 73, "UWR"), 'R') == Q::count);
    CHECK(word_use(find(System::A, 'G', 70), 'P')->required);
    CHECK(word_use(find(System::C, 'G', 72), 'Q')->required);
}

TEST_CASE("The threading cycle's P is packed, a height or a way of infeed by its form") {
    for (auto [system, number] : {std::pair{System::A, 76.0}, {System::B, 76.0}, {System::C, 78.0}}) {
        const Code* first = with(system, number, "PQR");
        CHECK(quantity_in(first, 'P') == Q::packed);
        CHECK(quantity_in(first, 'R') == Q::length);
        const Code* second = with(system, number, "XZPQF");
        CHECK(quantity_in(second, 'P') == Q::length_units);
        CHECK(quantity_in(second, 'R') == Q::radius_x);
        CHECK(word_use(second, 'F')->required);
        CHECK(with(system, number, "XZRPQF") == second);
        CHECK(with(system, number, "UWPQF") == second);
        CHECK(with(system, number, "XZPQ") == second); // the lead forgotten
        const Code* one = with(system, number, "XZKDF");
        CHECK(quantity_in(one, 'P') == Q::count);
        CHECK(quantity_in(one, 'Q') == Q::angle_units);
        CHECK(with(system, number, "XZIKDFA") == one);
        CHECK(with(system, number, "XZKDFAP") == one);
        CHECK(find(system, 'G', number) == first);
    }
}

TEST_CASE("R of a drilling cycle is a distance in A and a level in B and C") {
    CHECK(quantity_in(find(System::A, 'G', 83), 'R') == Q::increment_z);
    CHECK(quantity_in(find(System::B, 'G', 83), 'R') == Q::length_z);
    CHECK(quantity_in(find(System::A, 'G', 87), 'R') == Q::radius_x);
    CHECK(quantity_in(find(System::C, 'G', 87), 'R') == Q::length_x);
}

TEST_CASE("What a control reads in least increments when no point is written") {
    for (Quantity quantity : {Q::length_x, Q::length_z, Q::increment_x, Q::increment_z, Q::radius_x,
                              Q::length, Q::length_units, Q::angle, Q::angle_units})
        CHECK(reads_in_increments(quantity));
    for (Quantity quantity : {Q::none, Q::speed, Q::speed_rpm, Q::milliseconds, Q::count, Q::label,
                              Q::program, Q::tool, Q::offset_number, Q::packed})
        CHECK_FALSE(reads_in_increments(quantity));
}

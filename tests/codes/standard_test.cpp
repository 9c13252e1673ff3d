// Codes that the published standards name. From memory: nobody here could read the tables again.
#include "codes/codes.h"

#include <catch2/catch.hpp>

using namespace turnwright::codes;
using M = Meaning;

namespace {
constexpr System systems[] = {System::A, System::B, System::C};
struct Row {
    char letter;
    double number;
    Meaning meaning;
};
} // namespace

TEST_CASE("Shared codes mean what RS-274-D and ISO 6983-1:1982 say, from memory") {
    const Row rows[] = {
        {'G', 0, M::rapid},
        {'G', 1, M::feed_line},
        {'G', 2, M::arc_clockwise},
        {'G', 3, M::arc_counterclockwise},
        {'G', 4, M::dwell},
        {'G', 17, M::plane_xy},
        {'G', 18, M::plane_zx},
        {'G', 19, M::plane_yz},
        {'G', 40, M::compensation_off},
        {'G', 41, M::compensation_left},
        {'G', 42, M::compensation_right},
        {'G', 54, M::datum_1},
        {'G', 55, M::datum_2},
        {'G', 56, M::datum_3},
        {'G', 57, M::datum_4},
        {'G', 58, M::datum_5},
        {'G', 59, M::datum_6},
        {'G', 80, M::drill_cycle_off},
        {'G', 81, M::drill_spot},
        {'G', 82, M::drill_dwell},
        {'G', 83, M::drill_face},
        {'G', 84, M::tap_face},
        {'G', 85, M::bore_face},
        {'G', 86, M::bore_stop},
        {'G', 96, M::surface_speed},
        {'G', 97, M::constant_rpm},
        {'M', 0, M::program_stop},
        {'M', 1, M::optional_stop},
        {'M', 2, M::program_end},
        {'M', 3, M::spindle_forward},
        {'M', 4, M::spindle_reverse},
        {'M', 5, M::spindle_stop},
        {'M', 6, M::tool_change},
        {'M', 7, M::coolant_mist},
        {'M', 8, M::coolant_on},
        {'M', 9, M::coolant_off},
        {'M', 30, M::program_end_rewind},
    };
    for (const Row& row : rows) {
        for (System system : systems) {
            INFO(row.letter << row.number << " in system " << system_letter(system));
            REQUIRE(find(system, row.letter, row.number));
            CHECK(find(system, row.letter, row.number)->meaning == row.meaning);
        }
    }
}

TEST_CASE("Systems B and C keep the standard's G33, G90, G91, G93, G94 and G95, from memory") {
    for (System system : {System::B, System::C}) {
        CHECK(find(system, 'G', 33)->meaning == M::thread);
        CHECK(find(system, 'G', 90)->meaning == M::absolute);
        CHECK(find(system, 'G', 91)->meaning == M::incremental);
        CHECK(find(system, 'G', 93)->meaning == M::feed_inverse_time);
        CHECK(find(system, 'G', 94)->meaning == M::feed_per_minute);
        CHECK(find(system, 'G', 95)->meaning == M::feed_per_rev);
    }
}

TEST_CASE("Inch and metric are the standard's G70 and G71 in system C only, RS-274-D from memory") {
    CHECK(find(System::C, 'G', 70)->meaning == M::inch);
    CHECK(find(System::C, 'G', 71)->meaning == M::millimetre);
    CHECK(find(System::A, 'G', 70)->meaning != M::inch);
    CHECK(find(System::B, 'G', 71)->meaning != M::millimetre);
}

TEST_CASE("Codes of one modal group put each other out, groups as in NISTIR 6556, from memory") {
    // NISTIR 6556 is about machining centres; these groups are the same on a lathe. Its motion group also
    // holds the canned cycles, which turning controls keep apart, so those are left out here.
    const std::vector<std::vector<double>> groups = {
        {0, 1, 2, 3}, {17, 18, 19}, {90, 91}, {93, 94}, {40, 41, 42}, {98, 99}, {54, 55, 56, 57, 58, 59},
        {61, 64},
    };
    for (System system : {System::B, System::C}) {
        for (const auto& numbers : groups) {
            const Group group = find(system, 'G', numbers.front())->group();
            CHECK(group != Group::one_shot);
            for (double number : numbers) {
                INFO("G" << number);
                CHECK(find(system, 'G', number)->group() == group);
            }
        }
        // Acting in their block only, from the same list.
        for (double number : {4.0, 10.0, 28.0, 30.0, 53.0})
            CHECK_FALSE(find(system, 'G', number)->is_modal());
        CHECK(find(system, 'M', 3)->group() == find(system, 'M', 5)->group());
        CHECK(find(system, 'M', 7)->group() == find(system, 'M', 9)->group());
        CHECK_FALSE(find(system, 'M', 0)->is_modal());
    }
    CHECK(find(System::B, 'G', 20)->group() == find(System::B, 'G', 21)->group());
}

TEST_CASE("A source is one of those the project names") {
    for (const Code& code : all_codes()) {
        INFO(code.written());
        CHECK((code.source == "ISO 6983-1:1982" || code.source == "RS-274-D" ||
               code.source == "common practice"));
    }
}

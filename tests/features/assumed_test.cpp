#include "features/assumed.h"
#include "features/hints.h"
#include "features/hover.h"
#include "features/open.h"
#include "features/speech.h"
#include "features/warnings.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <random>

using namespace turnwright;
using namespace turnwright::features;
using namespace turnwright::features::test;
using Catch::Matchers::Contains;
using codes::Group;

namespace {

std::shared_ptr<const shop::Shop> no_shop() {
    return std::make_shared<const shop::Shop>(shop::default_shop());
}

constexpr std::string_view programs[] = {
    "O1 (SPACER 1.25 BAR)\nT0101\nG50 S2400\nG96 S500 M03\nG00 X1.3 Z.1 M08\nG01 X-.06 F.006\nG00 X1.1255 "
    "Z.1\n"
    "G01 Z-.8125 F.008\nX1.2505\nG28 U0 W0\nT0404\nS900\nG97\nS900 M03\nG00 X0 Z.2\nG01 Z-1.25 F.007\nG28 "
    "W0\nM30\n",
    "O2\nG92 S2800\nT0101\nG96 S160 M03\nG00 X26. Z2.\nG01 Z-42. F.25\nX28.\nG02 X40. Z-48. R6. F.1\n"
    "G33 X30. Z-50. F2.\nG00 X90. Z80.\nM30\n",
    "O3\nT0101\nM03 S800\nG00 X52. Z2.\nG01 Z-90. F160.\nX56.\nG00 Z2.\nG04 P500\nM98 P4\nM30\nO4\n"
    "G01 U-8. F80.\nU8.\nM99\n",
    "O5\n#1=96.\nG97 S450 M03\nT0202\nWHILE[#1GE90.]DO1\nG00 X#1 Z2.\nG01 Z-18. F.25\nG00 U1. "
    "Z2.\n#1=#1-2.\nEND1\n"
    "M30\n",
};

std::string with_all_stated(const Document& document) {
    std::vector<CodeAction> actions;
    add_stating_actions(document, {}, actions);
    REQUIRE_FALSE(actions.empty());
    const bool one_alone = !actions.back().title.starts_with("State all");
    return with_edits(document, (one_alone ? actions.front() : actions.back()).edits);
}

std::vector<machine::State> states_of(const Document& document) {
    std::vector<machine::State> states;
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) { states.push_back(view.after); });
    return states;
}

std::vector<motion::BlockPath> paths_of(const Document& document) {
    std::vector<motion::BlockPath> paths;
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) {
            paths.push_back(motion::path_of(view, document.analysis()));
        });
    return paths;
}

std::string hovered(const Open& open) {
    const auto found = hover(open.document, open.cursor());
    REQUIRE(found);
    return found->markdown;
}

/// Programs with no shop file: those of tests/bare, and the right ones that are at hand whole. Without the
/// lines that mark warnings.
std::vector<std::pair<std::string, std::string>> programs_of_shops() {
    std::vector<std::pair<std::string, std::string>> all;
    for (const std::string_view folder :
         {"bare/programs", "judged/right", "corpus/system_a", "corpus/system_b", "corpus/system_c",
          "corpus/stocked", "corpus/family"})
        for (const auto& entry :
             std::filesystem::directory_iterator(std::filesystem::path(SOURCE_DIR) / "tests" / folder)) {
            if (entry.path().extension() != ".nc") continue;
            std::ifstream file(entry.path(), std::ios::binary);
            std::string text;
            for (std::string line; std::getline(file, line);) {
                const std::size_t mark = line.find_first_not_of("; \t");
                const bool is_mark = line.starts_with(';') && mark != std::string::npos && line[mark] == '^';
                if (!is_mark) text += line + '\n';
            }
            all.emplace_back(entry.path().filename().string(), std::move(text));
        }
    return all;
}

/// A shop file that says what is assumed of a program, and nothing else.
std::string agreeing(const Document& document) {
    const machine::Settings& settings = document.settings();
    std::string text = "units = \"mm\"\n[[machine]]\nname = \"m\"\n", codes;
    text += fmt::format("system = \"{}\"\n", codes::system_letter(settings.system));
    for (const machine::Assumption& assumption : settings.assumed.all()) {
        if (assumption.by == machine::Sign::none) continue;
        const bool units = codes::group_of(assumption.meaning) == Group::units;
        const std::string code = codes::written_as(settings.system, assumption.meaning);
        if (units)
            text += fmt::format("power_on_units = \"{}\"\n",
                                assumption.meaning == codes::Meaning::inch ? "inch" : "mm");
        else if (!code.empty())
            codes += fmt::format("{}\"{}\"", codes.empty() ? "" : ", ", code);
    }
    if (!codes.empty()) text += fmt::format("power_on = [{}]\n", codes);
    for (const ShopEntry& entry : assumed_shop_entries(document))
        if (entry.key != "system") text += fmt::format("{} = {}\n", entry.key, entry.mm);
    return text;
}

/// How many segments were compared.
std::size_t compare_moves(const Document& bare, const Document& known) {
    const auto a = paths_of(bare), b = paths_of(known);
    REQUIRE(a.size() == b.size());
    std::size_t segments = 0;
    for (std::size_t line = 0; line < a.size(); ++line) {
        INFO("line " << line + 1);
        CHECK(a[line].complete == b[line].complete);
        REQUIRE(a[line].segments.size() == b[line].segments.size());
        for (std::size_t s = 0; s < a[line].segments.size(); ++s) {
            const motion::Segment &one = a[line].segments[s], &other = b[line].segments[s];
            CHECK(one.from == other.from);
            CHECK(one.to == other.to);
            CHECK(one.feed.mode == other.feed.mode);
            CHECK(one.feed.mm == other.feed.mm);
            ++segments;
        }
    }
    return segments;
}

/// How many modes were assumed before and are stated now, all else being the same.
std::size_t compare_states(const Document& bare, const Document& stated) {
    const std::vector<machine::State> before = states_of(bare);
    std::vector<machine::State> after = states_of(stated);
    REQUIRE(after.size() == before.size() + 1);
    std::size_t head = 0; // The line that came in
    while (bare.buffer().line(head) == stated.buffer().line(head)) ++head;
    after.erase(after.begin() + static_cast<std::ptrdiff_t>(head));
    std::size_t assumed = 0;
    for (std::size_t line = head; line < before.size(); ++line) {
        INFO("line " << line + 1);
        machine::State expected = before[line];
        for (Group group :
             {Group::units, Group::feed_mode, Group::spindle_mode, Group::plane, Group::distance}) {
            const machine::Modal& was = before[line].of(group);
            const machine::Modal& is = after[line].of(group);
            // What nothing reads is not written.
            if (!was.is_assumed() || is.is_assumed()) continue;
            ++assumed;
            CHECK(is.possible == was.possible);
            CHECK(is.why == machine::Why::known);
            expected.of(group) = is;
        }
        CHECK(after[line] == expected);
    }
    return assumed;
}

} // namespace

TEST_CASE("stating what is assumed changes no value, only assumed to known") {
    for (std::string_view program : programs) {
        INFO(program);
        const Document bare(program, no_shop());
        const Document stated(with_all_stated(bare), no_shop());
        CHECK(compare_states(bare, stated) > 0);
        // And then nothing is left to state.
        for (const AssumedHere& left : assumed_here(stated)) CHECK((left.code.empty() || left.stated_alone));
    }
}

TEST_CASE("a shop file that agrees changes no move") {
    const std::string_view agrees[] = {
        "units = \"mm\"\n[[machine]]\nsystem = \"A\"\npower_on_units = \"inch\"\npower_on = [\"G99\", "
        "\"G97\", \"G18\"]\n",
        "units = \"mm\"\n[[machine]]\nsystem = \"B\"\npower_on_units = \"mm\"\npower_on = [\"G95\", \"G97\", "
        "\"G18\", \"G90\"]\n",
        "units = \"mm\"\n[[machine]]\nsystem = \"A\"\npower_on_units = \"mm\"\npower_on = [\"G98\", \"G97\", "
        "\"G18\"]\n",
        "units = \"mm\"\n[[machine]]\nsystem = \"A\"\npower_on_units = \"mm\"\npower_on = [\"G99\", \"G97\", "
        "\"G18\"]\n",
    };
    std::size_t segments = 0;
    for (std::size_t i = 0; i < std::size(programs); ++i) {
        INFO(programs[i]);
        const auto shop = shop_of(agrees[i]);
        for (const shop::Problem& problem : shop->problems) FAIL(problem.message);
        const Document bare(programs[i], no_shop()), known(programs[i], shop);
        segments += compare_moves(bare, known);
    }
    CHECK(segments > 10);
}

namespace {

/// What is known of the program as it is, is the same where what is assumed is stated. More may be known:
/// what was set under an assumption may have been meant otherwise, and what is stated leaves no doubt.
std::size_t compare_known(const Document& bare, const Document& stated) {
    using machine::State;
    constexpr machine::Value State::*values[] = {&State::feed,        &State::speed,
                                                 &State::speed_limit, &State::tool,
                                                 &State::offset,      &State::x_radius,
                                                 &State::z,           &State::y,
                                                 &State::c,           &State::machine_x_radius,
                                                 &State::machine_z,   &State::cycle_x_radius,
                                                 &State::cycle_z,     &State::cycle_r,
                                                 &State::cycle_q,     &State::cycle_p};
    const std::vector<State> before = states_of(bare);
    const std::vector<State> with_codes = states_of(stated);
    REQUIRE(with_codes.size() > before.size());
    std::vector<State> after; // But for the lines that came in, one in each program
    std::size_t head = 0;     // The first of them
    for (std::size_t line = 0; line < with_codes.size(); ++line) {
        const std::string was(after.size() < before.size() ? bare.buffer().line(after.size()) : "");
        if (was.ends_with(std::string(stated.buffer().line(line)))) // Behind its N number
            after.push_back(with_codes[line]);
        else if (after.size() == line)
            head = line;
    }
    REQUIRE(after.size() == before.size());
    std::size_t assumed = 0;
    for (std::size_t line = head; line < before.size(); ++line) {
        INFO("line " << line + 1);
        for (const auto value : values)
            if ((before[line].*value).known()) CHECK(before[line].*value == after[line].*value);
        for (std::size_t group = 0; group < before[line].modal.size(); ++group) {
            const machine::Modal &was = before[line].modal[group], &is = after[line].modal[group];
            if (was.known()) CHECK(is.possible == was.possible);
            if (was.is_assumed() && is.why == machine::Why::known) ++assumed;
        }
    }
    return assumed;
}

} // namespace

TEST_CASE("stating what is assumed changes no value of any program that is at hand") {
    std::size_t programs_stated = 0;
    for (const auto& [name, program] : programs_of_shops()) {
        INFO(name);
        const Document bare(program, no_shop());
        std::vector<CodeAction> actions;
        add_stating_actions(bare, {}, actions);
        // Which datum is in force the program does not tell.
        std::erase_if(actions,
                      [](const CodeAction& action) { return action.title.starts_with("State G54"); });
        if (actions.empty()) continue;
        const auto whole = std::find_if(actions.begin(), actions.end(), [](const CodeAction& action) {
            return action.title.starts_with("State all");
        });
        const Document stated(with_edits(bare, (whole == actions.end() ? actions.front() : *whole).edits),
                              no_shop());
        if (compare_known(bare, stated) > 0) ++programs_stated;
    }
    CHECK(programs_stated > 30);
}

TEST_CASE("a shop file that agrees changes no move of any program that is at hand") {
    std::size_t segments = 0;
    for (const auto& [name, program] : programs_of_shops()) {
        INFO(name);
        const Document bare(program, no_shop());
        const auto shop = shop_of(agreeing(bare));
        INFO(agreeing(bare));
        for (const shop::Problem& problem : shop->problems) FAIL(problem.message);
        segments += compare_moves(bare, Document(program, shop));
    }
    CHECK(segments > 3000);
}

TEST_CASE("a value that rests on an assumption says so with its reason") {
    const Open open("O1\nT0101\nG97 S900 M03\nG00 X1.3 Z.1\nG01 Z-.8125 $0F.008\nX1.2505\nM30\n", no_shop());
    const std::string text = hovered(open);
    CHECK_THAT(text, Contains("0.008 in a turn"));
    CHECK_THAT(text, Contains("(assumed: inch, feed per turn by its feeds)"));
    CHECK_THAT(text, Contains("inch (assumed), X is a diameter"));
    const Open stated("O1\nG20 G99\nT0101\nG97 S900 M03\nG00 X1.3 Z.1\nG01 Z-.8125 $0F.008\nM30\n",
                      no_shop());
    CHECK_THAT(hovered(stated), !Contains("assumed: "));
}

TEST_CASE("what is assumed is called so once") {
    const Open open("O1\nG20\nT0101\nG97 S900 M03\nG00 X1.3 Z.1\nG01 Z-.8125 $0F.008\nM30\n",
                    shop_of("[machine]\nsystem = \"B\"\n"));
    CHECK_THAT(hovered(open), Contains("absolute positions (assumed: common practice)") &&
                                  !Contains("common practice) (assumed)"));
}

TEST_CASE("the head lists what is assumed and where it comes from") {
    const Open open("$0O1\nT0101\nG97 S900 M03\nG00 X1.3 Z.1\nG01 Z-.8125 F.008\nM30\n", no_shop());
    const std::string text = hovered(open);
    CHECK_THAT(text, Contains("Assumed here"));
    CHECK_THAT(text, Contains("units: inch"));
    CHECK_THAT(text, Contains("F.008 in line 5"));
    CHECK_THAT(text, Contains("to state it write G20"));
    CHECK_THAT(text, Contains("a lathe of middle size"));
    // Signs against each other are told, and nothing is assumed.
    const Open torn("$0O1\nT0101\nG97 S30 M03\nG00 X120. Z2.\nG01 Z-90. F.006\nM30\n", no_shop());
    CHECK_THAT(hovered(torn), Contains("its signs speak against each other"));
}

TEST_CASE("behind a program that is not at hand the spindle turns on, as assumed") {
    const std::string head = "O1\nG21 G99\nN1 T0101\nG97 S900 M03\nG00 X40. Z2.\nG01 Z-40. F.2\nG00 X60.\n"
                             "M98 P9000\nN2 T0202\nG00 X30. Z2.\n";
    const Open cut(head + "G01 Z-20. $0F.2\nG00 X60.\nM30\n", no_shop());
    CHECK_THAT(hovered(cut), Contains("G97 900 rpm (assumed)"));
    // 22 mm at 0.2 mm and 900 turns a minute.
    machine::State behind = cut.document.analysis().before(cut.document.place_of_line(10));
    CHECK_FALSE(behind.speed.known());
    CHECK(behind.speed.is_assumed());
    CHECK(behind.is(codes::Meaning::spindle_forward));
    bool timed = false;
    for (const AssumedHere& assumed : assumed_here(cut.document))
        CHECK(assumed.name != "spindle mode"); // It is stated, and nothing is to be stated at the head
    for (const AssumedHere& assumed : assumed_here(cut.document))
        if (assumed.name == "spindle behind line 8") {
            timed = true;
            CHECK(assumed.value == "G97 S900 M03");
            CHECK_THAT(assumed.reason, Contains("line 8 calls, which is not at hand"));
        }
    CHECK(timed);
    // Rules see what is stated.
    behind = cut.document.analysis().before(cut.document.place_of_line(10), machine::Assumed::left_out);
    CHECK(behind.speed == machine::Value::unknown(machine::Why::other_program));
    CHECK(behind.of(Group::spindle_direction) == machine::Modal::unknown(machine::Why::other_program));
    // Stated anew it is known; another mode leaves no speed.
    const Document again(head + "G97 S700 M03\nG01 Z-20. F.2\nM30\n", no_shop());
    CHECK(again.analysis().before(again.place_of_line(11)).speed.is(700));
    const Document other(head + "G96 M03\nG01 Z-20. F.2\nM30\n", no_shop());
    CHECK_FALSE(other.analysis().before(other.place_of_line(11)).speed.is_assumed());
    // Where the spindle was stopped before the call it is not assumed to turn.
    std::string stopped = head;
    stopped.replace(stopped.find("G00 X60.\n"), 9, "G00 X60. M05\n");
    const Document still(stopped + "G01 Z-20. F.2\nM30\n", no_shop());
    CHECK_FALSE(still.analysis().before(still.place_of_line(10)).of(Group::spindle_direction).is_assumed());
}

TEST_CASE("behind a program that is not at hand the speed limit holds on, as assumed") {
    const std::string head = "O1\nG21 G99\nG50 S2500\nN1 T0101\nG96 S200 M03\nG00 X40. Z2.\nG01 Z-40. F.2\n"
                             "G00 X60.\nM98 P9000\nN2 T0202\nG96 S200 M03\nG00 X10. Z2.\n";
    const Open cut(head + "G01 Z-20. $0F.2\nG00 X60.\nM30\n", no_shop());
    // 200 m/min at 10 mm would be 6366 turns.
    CHECK_THAT(hovered(cut), Contains("2500 rpm at X10.,"));
    CHECK_THAT(hovered(cut), Contains("limit 2500 (assumed)"));
    const auto place = cut.document.place_of_line(12);
    CHECK(cut.document.analysis().before(place).speed_limit.is_assumed());
    CHECK(cut.document.analysis().before(place, machine::Assumed::left_out).speed_limit ==
          machine::Value::unknown(machine::Why::other_program));
    bool listed = false;
    for (const AssumedHere& assumed : assumed_here(cut.document))
        if (assumed.name == "spindle behind line 9") {
            listed = true;
            CHECK(assumed.value == "G96 S200 M03, limit 2500");
        }
    CHECK(listed);
    // At turns that are stated it holds nothing, and a new one is known.
    const Document constant(head.substr(0, head.find("N2")) +
                                "N2 T0202\nG97 S800 M03\nG00 X10. Z2.\nG01 Z-20. F.2\nM30\n",
                            no_shop());
    for (const AssumedHere& assumed : assumed_here(constant)) CHECK(assumed.name != "spindle behind line 9");
    const Document again(head + "G50 S1800\nG01 Z-20. F.2\nM30\n", no_shop());
    CHECK(again.analysis().before(again.place_of_line(13)).speed_limit.is(1800));
}

TEST_CASE("the head lists what notes tell of stock and tools") {
    const Open open(
        "$0O1 (BAR D50 C45)\nG21 G99\nN1 (DRILL 20)\nT0202\nG97 S900 M03\nG00 X0. Z2.\nG01 Z-40. F.2\n"
        "G00 Z60.\nM30\n",
        no_shop());
    const std::string text = hovered(open);
    CHECK_THAT(text, Contains("stock: diameter 50 mm, C45 (note BAR D50 C45)"));
    CHECK_THAT(text, Contains("T02: drill, diameter 20 mm"));
}

TEST_CASE("one line tells all that is assumed, in the same words as the list at the head") {
    const Document bare("O1 (BAR D50 C45)\nN1 (DRILL 20)\nT0202\nG97 S900 M03\nG00 X0. Z2.\nG01 Z-40. F.2\n"
                        "G00 Z60.\nM30\n",
                        no_shop());
    CHECK(assumed_in_short(bare) == "millimetre (by its feeds: F.2 in line 6); feed per turn (by its feeds: "
                                    "F.2 in line 6); stock, T02 by "
                                    "notes; system A, the datum in force at the machine, X as a diameter, "
                                    "rapid rates and tool change of a "
                                    "lathe of middle size");
    std::vector<std::string> names;
    for (const AssumedHere& assumed : assumed_here(bare)) names.push_back(assumed.name);
    for (const AssumedHere& noted : noted_here(bare)) names.push_back(noted.name);
    CHECK(names == std::vector<std::string>{"G-code system", "units", "feed mode", "datum",
                                            "diameter or radius", "rapid rates and tool change", "stock",
                                            "T02"});
    // What a shop file leaves open is told beside it, and of rates told by halves only the other half.
    const Document known("O1\nG21 G99 G54\nT0202\nG97 S900 M03\nG00 X0. Z2.\nG01 Z-40. F.2\nM30\n",
                         shop_of("[[machine]]\nsystem = \"A\"\nx = \"diameter\"\n"));
    CHECK(assumed_in_short(known) == "rapid rates and tool change of a lathe of middle size");
    const std::string told_rapids =
        "units = \"mm\"\n[[machine]]\nsystem = \"A\"\nx = \"diameter\"\nrapid_x = 5000\nrapid_z = 8000\n";
    const std::string program = "O1\nG21 G99 G54\nT0202\nG97 S900 M03\nG00 X0. Z2.\nG01 Z-40. F.2\nM30\n";
    const std::vector<AssumedHere> left = assumed_here(Document(program, shop_of(told_rapids)));
    REQUIRE(left.size() == 1);
    CHECK(left[0].name == "tool change");
    CHECK(left[0].value == "1.5 s, 1000 rpm gained in a second");
    CHECK(assumed_in_short(
              Document(program, shop_of(told_rapids + "tool_change_seconds = 2\nspindle_ramp = 900\n")))
              .empty());
}

TEST_CASE("a length says what it rests on: its unit, X, and a number without a point") {
    const std::string at_x =
        hovered(Open("O1\nT0101\nG97 S900 M03\nG00 X5$00. Z2.\nG01 Z-40. F.2\nM30\n", no_shop()));
    CHECK_THAT(at_x, Contains("(assumed: millimetre by its feeds, X as a diameter)"));
    CHECK_THAT(at_x, Contains("X is a diameter (assumed)"));
    const std::string stated =
        hovered(Open("O1\nG21 G99\n(X IS DIAMETER)\nT0101\nG97 S900 M03\nG00 X5$00. Z2.\n"
                     "G01 Z-40. F.2\nM30\n",
                     no_shop()));
    CHECK_THAT(stated, !Contains("assumed: millimetre"));
}

TEST_CASE("times that rest on something assumed say about") {
    const Document bare("O1\nN1 T0101\nG97 S900 M03\nG00 X40. Z2.\nG01 Z-40. F.2\nG00 X60.\nM30\n",
                        no_shop());
    const auto lenses = code_lenses(bare);
    REQUIRE(lenses.size() == 1);
    CHECK_THAT(lenses.front().title, Contains("about 1"));
    CHECK_THAT(lenses.front().title, !Contains("at least"));
}

TEST_CASE("each assumption is written into the head by one action") {
    const Document bare(
        "%\nO1 (PIN)\nN1 T0101\nG97 S900 M03\nG00 X40. Z2.\nG01 Z-40. F.2\nG00 X60.\nM30\n%\n", no_shop());
    std::vector<CodeAction> actions;
    add_stating_actions(bare, {{1, 0}, {1, 0}}, actions);
    REQUIRE(actions.size() == 6);
    CHECK_THAT(actions[0].title, Contains("State G21 at the head"));
    CHECK_THAT(actions[1].title, Contains("State G99 at the head"));
    // Which datum is in force the machine knows: it is stated by itself, and not with all the rest.
    CHECK(actions[2].title ==
          "State G54 at the head: the datum in force at the machine is assumed, whichever that is");
    CHECK_THAT(with_edits(bare, actions[5].edits), Contains("G21 G99\n"));
    // One that is wrong is overruled in one step.
    CHECK(actions[3].title == "State G20 at the head: inch, and not millimetre as assumed");
    CHECK(actions[4].title == "State G98 at the head: feed per minute, and not feed per turn as assumed");
    const Document overruled(with_edits(bare, actions[3].edits), no_shop());
    CHECK(states_of(overruled).back().of(Group::units).stated().is(codes::Meaning::inch));
    // Further down nobody wants them.
    actions.clear();
    add_stating_actions(bare, {{5, 0}, {5, 0}}, actions);
    CHECK(actions.empty());
}

TEST_CASE("where signs speak against each other, either reading is stated by one action") {
    for (const char* system : {"G92 S2000\nG90\n", ""}) {
        const Document torn("O1\n" + std::string(system) +
                                "T0101\nG97 S900 M03\nG00 X40. Z2.\nG01 Z-40. F.2\nX50. F200.\nM30\n",
                            no_shop());
        INFO(assumed_in_short(torn));
        CHECK_THAT(assumed_in_short(torn), Contains("feed mode not known"));
        std::vector<CodeAction> actions;
        add_stating_actions(torn, {{0, 0}, {0, 0}}, actions);
        const bool a = torn.settings().system == codes::System::A;
        for (const std::string code : {a ? "G99" : "G95", a ? "G98" : "G94"}) {
            const auto found = std::find_if(actions.begin(), actions.end(), [&](const CodeAction& action) {
                return action.title.starts_with("State " + code + " at the head");
            });
            REQUIRE(found != actions.end());
            CHECK_THAT(found->title, Contains("what is written speaks for both"));
            const Document stated(with_edits(torn, found->edits), no_shop());
            CHECK_THAT(assumed_in_short(stated), !Contains("feed mode"));
        }
    }
}

namespace {

std::string of_programs(std::string_view first, std::string_view second) {
    constexpr std::string_view inch = "T0101\nG97 S800 M03\nG00 X1. Z.1\nG01 Z-1. F.006\nG00 X5. Z5.\nM30\n";
    constexpr std::string_view mm =
        "T0101\nG97 S800 M03\nG00 X50. Z2.\nG01 Z-20. F.2\nG00 X150. Z150.\nM30\n";
    const auto body = [&](std::string_view unit) { return std::string(unit == "inch" ? inch : mm); };
    return "O1 (ONE)\n" + body(first) + "O2 (TWO)\n" + body(second);
}

} // namespace

TEST_CASE("two programs of two units in one file: the unit is not known, and that is told") {
    for (const auto& [first, second] : {std::pair{"inch", "mm"}, std::pair{"mm", "inch"}}) {
        const Document both(of_programs(first, second), no_shop());
        CHECK(both.settings().assumed.units.conflict);
        CHECK_THAT(assumed_in_short(both), Contains("units not known (its signs speak against each other)"));
    }
    for (const char* unit : {"inch", "mm"}) {
        const Document alike(of_programs(unit, unit), no_shop());
        CHECK(alike.settings().assumed.units.meaning ==
              (std::string_view(unit) == "inch" ? codes::Meaning::inch : codes::Meaning::millimetre));
    }
    // A program that is called goes with its caller.
    const Document called("O1\nT0101\nG97 S800 M03\nG00 X50. Z2.\nM98 P2\nG00 X150. Z150.\nM30\n"
                          "O2\nG01 Z-.5 F.006\nM99\n",
                          no_shop());
    CHECK_FALSE(called.settings().assumed.units.conflict);
    // By edits as from the start.
    Document edited(of_programs("mm", "mm"), no_shop());
    edited.edit({{3, 0}, {6, 0}}, "G00 X1. Z.1\nG01 Z-1. F.006\nG00 X5. Z5.\n");
    edited.evaluate();
    CHECK(edited.settings().assumed == Document(edited.buffer().whole(), no_shop()).settings().assumed);
    CHECK(edited.settings().assumed.units.conflict);
}

TEST_CASE("what is assumed is stated in each program of the file that does not state it") {
    const std::string text = of_programs("mm", "mm");
    const Document bare(text, no_shop());
    std::vector<CodeAction> actions;
    add_stating_actions(bare, {{0, 0}, {0, 0}}, actions);
    const auto all = std::find_if(actions.begin(), actions.end(), [](const CodeAction& action) {
        return action.title.starts_with("State all");
    });
    REQUIRE(all != actions.end());
    const std::string stated = with_edits(bare, all->edits);
    CHECK_THAT(stated, Contains("O1 (ONE)\nG21 G99\nT0101") && Contains("O2 (TWO)\nG21 G99\nT0101"));
    const std::size_t second = text.find("O2 (TWO)\n") + 9;
    const Document one(text.substr(0, second) + "G21\n" + text.substr(second), no_shop());
    actions.clear();
    add_stating_actions(one, {{0, 0}, {0, 0}}, actions);
    const auto unit = std::find_if(actions.begin(), actions.end(), [](const CodeAction& action) {
        return action.title.starts_with("State G21");
    });
    REQUIRE(unit != actions.end());
    CHECK_THAT(with_edits(one, unit->edits), Contains("O2 (TWO)\nG21\nT0101"));
}

TEST_CASE("where nothing tells the unit, that is told, and either is stated by one action") {
    const Document untold("O216\nN1 T0101\nG50 S2000\nG96 S150 M03\nG00 X52000 Z0\nG01 X-1600 F200\n"
                          "G00 X48000 Z2000\nG01 Z-30000 F200\nX52000\nG00 X150000 Z100000\nM30\n",
                          no_shop());
    CHECK_THAT(assumed_in_short(untold), Contains("units not known (nothing in the program tells)"));
    std::vector<CodeAction> actions;
    add_stating_actions(untold, {{0, 0}, {0, 0}}, actions);
    for (const char* code : {"State G20 ", "State G21 "})
        CHECK(std::any_of(actions.begin(), actions.end(),
                          [&](const CodeAction& action) { return action.title.starts_with(code); }));
    const Document stated("O216\nG21 G99\nT0101\nG97 S800 M03\nG00 X52000 Z0\nM30\n", no_shop());
    CHECK_THAT(assumed_in_short(stated), !Contains("units"));
}

TEST_CASE("an edit that changes the evidence changes what is assumed, as a fresh start would") {
    Document edited("O1\nT0101\nS900 M03\nG00 X40. Z2.\nG01 Z-40. F.2\nM30\n", no_shop());
    CHECK(edited.settings().assumed.units.meaning == codes::Meaning::millimetre);
    edited.edit({{3, 0}, {5, 0}}, "G00 X1.1255 Z.1\nG01 Z-.8125 F.006\n");
    edited.evaluate();
    const Document fresh(edited.buffer().whole(), no_shop());
    CHECK(edited.settings().assumed == fresh.settings().assumed);
    CHECK(edited.settings().assumed.units.meaning == codes::Meaning::inch);
    CHECK(states_of(edited) == states_of(fresh));
}

TEST_CASE("lengths and other words without a point are told with the reading that is taken") {
    const std::string many = "G21 G99\nT0101\nG97 S500 M03\nG00 X42. Z1.\nG01 Z-20. F.2\nX40.\nZ-30.\nX44.\n";
    const auto told = [&](const std::string& body) {
        return assumed_in_short(Document(many + body + "G00 X100. Z80.\nM30\n", no_shop()));
    };
    CHECK_THAT(told("X28\n"), Contains("whole numbers as they stand (by those that have one: X28 in line 9"));
    CHECK_THAT(told("G04 X2\n"), Contains("as their size allows"));
    CHECK_THAT(told("G04 X2.\n"), !Contains("as their size allows") && !Contains("whole numbers"));
}

TEST_CASE("when what is assumed changes, all is told as of a fresh document", "[property]") {
    constexpr std::string_view heads[] = {"",
                                          "G20",
                                          "G21",
                                          "G20 G98",
                                          "S600 G96",
                                          "G95",
                                          "(3/8 DRILL)",
                                          "F200.",
                                          "X2.1255",
                                          "Z-.0625 F.004",
                                          "G04 P500",
                                          "G04 X2",
                                          "X400.",
                                          "G00 X52",
                                          "Z-3",
                                          "G01 Z-30000 X20000",
                                          "(X IS RADIUS)",
                                          "G02 U2. W-2. R2.",
                                          "G02 U2. W-2. I2.",
                                          "G03 U4. W-2. R2."};
    std::string body;
    for (int i = 0; i < 300; ++i) {
        if (i % 60 == 0) body += fmt::format("T0{0}0{0}\nG97 S800 M03\nG00 X30. Z.1\n", i / 60 + 1);
        body += fmt::format("G01 X{:.2f} Z-{:.2f}{}\n", 20 + i * .01, i * .02, i % 7 ? "" : " F.1");
        if (i % 90 == 50) body += "G28 U0 W0\nM01\n";
        if (i % 100 == 70) body += "X25\n"; // Read by how the others are written
    }
    const std::string_view stock = GENERATE("", "(STOCK D60 L80 FACE 0 JAW Z-60)\n");
    Document followed("O1\n\n" + std::string(stock) + body + "M30\n", no_shop());
    std::mt19937 random(11);
    for (int edit = 0; edit < 80; ++edit) {
        // Mostly at the top; some further down, with the top at the same time.
        const auto replace = [&](std::uint32_t line) {
            const auto end = static_cast<std::uint32_t>(followed.buffer().line(line).size());
            followed.edit({{line, 0}, {line, end}}, heads[random() % std::size(heads)]);
        };
        replace(1);
        if (random() % 4 == 0) replace(static_cast<std::uint32_t>(2 + random() % 300));
        followed.evaluate();
        const Document fresh(followed.buffer().whole(), no_shop());
        INFO("edit " << edit << ": " << followed.buffer().line(1));
        REQUIRE(states_of(followed) == states_of(fresh));
        const std::vector<Warning> is = all_warnings(followed), wanted = all_warnings(fresh);
        REQUIRE(is.size() == wanted.size());
        for (std::size_t i = 0; i < is.size(); ++i) {
            CHECK(is[i].message == wanted[i].message);
            CHECK(is[i].range.begin.line == wanted[i].range.begin.line);
        }
        const std::vector<AssumedHere> assumed = assumed_here(followed), as_fresh = assumed_here(fresh);
        REQUIRE(assumed.size() == as_fresh.size());
        for (std::size_t i = 0; i < assumed.size(); ++i)
            CHECK(assumed_line(assumed[i]) == assumed_line(as_fresh[i]));
    }
}

TEST_CASE("X is a radius where a note says so, and that is told") {
    const Document noted("O1 (HUB)\n(ALL X VALUES ARE RADIUS)\nG21 G99\nG00 X45. Z1.\n", no_shop());
    CHECK(noted.settings().machine.x == shop::XReading::radius);
    CHECK(assumed_in_short(noted).find("X as a radius (by the note in line 2)") != std::string::npos);
    CHECK(states_of(noted).back().x_radius.number == 45);
}

TEST_CASE("X is a radius where arcs close in no other way, and that is told") {
    constexpr std::string_view hub = "O1 (HUB)\nG21 G99\nT0101\nG97 S500 M03\nG00 X10. Z2.\nG01 Z-8. F.2\n"
                                     "G02 X12. Z-10. R2.\nG01 X18.\nG03 X20. Z-12. R2.\nG00 X60. Z50.\nM30\n";
    const Document arcs(hub, no_shop());
    CHECK(arcs.settings().machine.x == shop::XReading::radius);
    CHECK_THAT(assumed_in_short(arcs), Contains("X as a radius (by its arcs: G02 X12. Z-10. R2. in line 7)"));
    CHECK(states_of(arcs)[8].x_radius.number == 20);
    // A note says more than they, and so does the shop file.
    const Document noted("(ALL X VALUES ARE DIAMETER)\n" + std::string(hub), no_shop());
    CHECK(noted.settings().machine.x == shop::XReading::diameter);
    CHECK(Document(hub, shop_of("[[machine]]\nx = \"diameter\"\n")).settings().machine.x ==
          shop::XReading::diameter);
}

TEST_CASE("what no code states is listed as keys of the shop file, until it stands there") {
    const auto keys = [](const Document& document) {
        std::string text;
        for (const ShopEntry& entry : assumed_shop_entries(document))
            text += fmt::format("{}={}/{};", entry.key, entry.mm, entry.inch);
        return text;
    };
    constexpr std::string_view pin = "O1\nG21 G99\nT0101\nG97 S500 M03\nG00 X20. Z2.\nG01 Z-8. F.2\nM30\n";
    CHECK(keys(Document(pin, no_shop())) == "system=\"A\"/\"A\";rapid_x=12000/472.4;rapid_z=16000/"
                                            "629.9;tool_change_seconds=1.5/1.5;spindle_ramp=1000/1000;"
                                            "x=\"diameter\"/\"diameter\";");
    CHECK(keys(Document(pin, shop_of("units = \"mm\"\n[[machine]]\nrapid_x = 8000\nx = \"diameter\"\n"))) ==
          "system=\"A\"/\"A\";rapid_z=16000/629.9;tool_change_seconds=1.5/1.5;spindle_ramp=1000/1000;");
    // Written down as they are, nothing is left, and no time changes.
    const Document known(
        pin, shop_of("units = \"mm\"\n[[machine]]\nsystem = \"A\"\nrapid_x = 12000\nrapid_z = 16000\n"
                     "tool_change_seconds = 1.5\nspindle_ramp = 1000\nx = \"diameter\"\n"));
    CHECK(keys(known).empty());
    const Document bare(pin, no_shop());
    const auto seconds = [](const Document& document) {
        const motion::Totals all = document.times().between({0, 0}, {0, 6});
        return all.rapid_seconds + all.cut_seconds + all.change_seconds;
    };
    CHECK(seconds(bare) == Approx(seconds(known)));
    // The spindle's run-up to 500 rpm is in it: half a second.
    CHECK(bare.times().between({0, 3}, {0, 3}).change_seconds == Approx(0.5));
}

TEST_CASE("a warning about the stock says what it holds for where the program does not say it") {
    const auto told = [](const std::string& program, std::string_view id,
                         std::shared_ptr<const shop::Shop> shop) {
        for (const Warning& warning : all_warnings(Document(program, std::move(shop))))
            if (warning.id == id) return warning.message;
        return std::string();
    };
    const std::string note = "(STOCK D60 L80 FACE 0 JAW Z-60)\n",
                      inside = "T0101\nM03 S800\nG00 X40. Z-20.\n",
                      cut = "G00 X70.\nZ5.\nX50.\nG01 Z-30. F0.3\nM30\n";
    const std::string holds = "This holds if the program, which does not say so, means ";
    CHECK_THAT(told(note + inside + cut, "rapid_ends_in_stock", no_shop()), Contains(holds + "millimetre."));
    const std::string stated = told(note + "(ALL X VALUES ARE DIAMETER)\nG21\n" + inside + cut, "rapid_ends_in_stock", no_shop());
    CHECK_THAT(stated, !Contains("This holds if"));
    CHECK_FALSE(stated.empty());
    CHECK_THAT(told(note + "G92 S2000\nG95 G71\n" + inside + cut, "rapid_ends_in_stock", no_shop()),
               Contains(holds + "absolute positions."));
    // What a cut asks for rests on feed and speed, too.
    const std::string_view weak = R"(units = "mm"
[[machine]]
max_power_kw = 1
power_efficiency = 0.8
[stock]
diameter = 60
bore = 0
front_z = 0
back_z = -80
jaw_front_z = -60
material = "C45"
[[tool]]
station = 1
kind = "turning"
nose_radius = 0.8
tip_direction = 3
approach_angle = 95
back_angle = 5
)";
    const std::string heavy = "G00 X70. Z5.\nX50.\nG01 Z-30. F0.3\nX70.\nM30\n";
    CHECK_THAT(told("G21\nT0101\nM03 S800\n" + heavy, "power_over_machine", shop_of(weak)),
               Contains(holds + "feed per turn and constant spindle speed."));
    CHECK_THAT(told("G21 G99 G97\nT0101\nM03 S800\n" + heavy, "power_over_machine", shop_of(weak)),
               !Contains("This holds if") && Contains("kW"));
    // And so does the estimate in the hover.
    const std::string in_hover = hovered(
        Open("G21\nT0101\nM03 S800\nG00 X70. Z5.\nX50.\n$0G01 Z-30. F0.3\nX70.\nM30\n", shop_of(weak)));
    CHECK_THAT(in_hover, Contains("kW at the spindle") && Contains("(assumed: feed per turn by its feeds"));
}

TEST_CASE("the list of a usual program stands in the hover whole, in the program's unit") {
    std::string program = "$0%\nO0001 (BUSHING)\n(.75 DIAMETER BRASS)\nT0101 (80 DEG R.031)\nG92 S3000\n"
                          "G96 S400 M03\nG00 X.8 Z.1 M08\nG01 X-.063 F.005\nG00 X.6875 Z.1\n"
                          "G01 Z-1.25 F.008\nX.8\nG00 X4. Z4.\nM01\nT0202 (3/8 DRILL)\nG97 S1200 M03\n"
                          "G00 X0 Z.2\nG01 Z-1.5 F.006\nG00 Z.2\nG00 X4. Z4.\n";
    const std::string end = "M30\n%\n", part_off = "T0303 (PART OFF .125)\nG96 S200 M03\nG00 X.8 Z-1.25\n"
                                                   "G01 X.3 F.003\nG00 X4. Z4.\n";
    const Open open(program + part_off + end, no_shop());
    const std::string text = hovered(open);
    INFO(text);
    CHECK(lines_shown(text, 76) <= 20);
    CHECK_THAT(text, Contains("- units: inch"));
    CHECK_THAT(text, !Contains(" more: "));
    for (const char* point :
         {"- G-code system: ", "- units: inch (", "- datum: ", "- rapid rates", "- stock: diameter 0.75 in",
          "- T01: turning", "- T02: drill, diameter 0.375 in", "- T03: parting, width 0.125"})
        CHECK_THAT(text, Contains(point));
    // What is still too long begins so and names the rest.
    std::string more = program;
    for (int tool = 3; tool < 20; ++tool)
        more += fmt::format(
            "T{0:02}{0:02} (DRILL .{1})\nG97 S1200 M03\nG00 X0 Z.2\nG01 Z-1. F.006\nG00 Z.2\nG00 X4. Z4.\n",
            tool, 100 + tool);
    const std::string long_text = hovered(Open(more + end, no_shop()));
    INFO(long_text);
    CHECK(lines_shown(long_text, 76) <= 20);
    CHECK_THAT(long_text, Contains("- units: inch") && Contains(" more"));
}

TEST_CASE("a length without a point that nothing tells the reading of stands in the list") {
    const std::string program = "$0O4\nG20 G99\nT0101\nG97 S900 M03\nG00 X1.25 Z.1\nG01 Z-2 F.006\nX1.4\n"
                                "G00 X5 Z5\nM30\n";
    const std::string text = hovered(Open(program, no_shop()));
    INFO(text);
    CHECK_THAT(text, Contains("lengths without a point: not known (Z-2 in line 6 stands for itself or counts "
                              "least increments"));
    // Where it is told, or nothing is open, no such point.
    CHECK_THAT(hovered(Open(program, shop_of("[machine]\nno_point = \"whole units\"\n"))),
               !Contains("lengths without a point"));
    CHECK_THAT(
        hovered(Open("$0O4\nG20 G99\nT0101\nG97 S900 M03\nG00 X1.25 Z0\nG01 Z-2. F.006\nM30\n", no_shop())),
        !Contains("lengths without a point"));
}

TEST_CASE("stock and tools of notes are told in the unit of the program") {
    const Open open(
        "$0O0001\n(.75 DIAMETER BRASS)\nG20 G95 G90 G18 G97 G54\nT0202 (3/8 DRILL)\nG97 S1200 M03\n"
        "G00 X0 Z.2\nG01 Z-1.5 F.006\nG00 X4. Z4.\nM30\n",
        shop_of("[machine]\nsystem = \"B\"\nrapid_x = 12000\nrapid_z = 16000\n"));
    const std::string text = hovered(open);
    INFO(text);
    CHECK_THAT(text, Contains("stock: diameter 0.75 in"));
    CHECK_THAT(text, Contains("T02: drill, diameter 0.375 in"));
    CHECK_THAT(text, !Contains(" more"));
}

TEST_CASE("a warning that goes where X or the unit is meant otherwise says what it holds for") {
    const auto told = [](const std::string& program, std::string_view id,
                         std::shared_ptr<const shop::Shop> shop = no_shop()) {
        for (const Warning& warning : all_warnings(Document(program, std::move(shop))))
            if (warning.id == id) return warning.message;
        return std::string();
    };
    const std::string holds = "This holds if the program, which does not say so, means ";
    // M20x1.5: on radius the height 0.92 and the root fit the blank; on diameter they do not.
    const std::string thread =
        "G21 G99\nT0101 (TURN)\nG97 S600 M03\nG00 X11. Z2.\nX10.\nG01 Z-30. F.2\nG00 X15. Z60.\n"
        "M01\nT0303 (THREAD)\nG97 S600 M03\nG00 X12. Z4.\nG76 P020060 Q50 R.03\n"
        "G76 X9.08 Z-20. P920 Q250 F1.5\nG00 X15. Z60.\nM30\n";
    CHECK_THAT(told(thread, "thread_unlike_blank"), Contains(holds + "X as a diameter."));
    CHECK(told("(X IS RADIUS)\n" + thread, "thread_unlike_blank").empty());
    const std::string as_diameter = told("(ALL X VALUES ARE DIAMETER)\n" + thread, "thread_unlike_blank");
    CHECK_FALSE(as_diameter.empty());
    CHECK_THAT(as_diameter, !Contains("This holds if"));
    const std::string by_shop =
        told(thread, "thread_unlike_blank", shop_of("[[machine]]\nx = \"diameter\"\n"));
    CHECK_FALSE(by_shop.empty());
    CHECK_THAT(by_shop, !Contains("This holds if"));
    // What is wrong in any reading stands as it is.
    CHECK_THAT(told("G21 G99\nT0101\nG97 S600 M03\nG00 X30 Z2.\nG01 Z-O.5 F.2\nM30\n", "letter_for_nought"),
               !Contains("This holds if"));
    // An arbor in mm whose only sign is a feed that may be one in inch.
    const std::string arbor =
        "G99\nT0101\nG97 S900 M03\nG00 X2. Z.1\nG01 Z-.5 F.008\nX2.2\nZ-1.\nG00 X5. Z3.\n"
        "M05\nT0202\nG97 S900 M03\nG00 X3. Z.1\nX1.9\nG01 Z-4.5 F.008\nG00 X5. Z3.\nM30\n";
    const std::string far = told(arbor, "cut_far_from_rest");
    if (!far.empty()) CHECK_THAT(far, Contains(holds));
    CHECK_THAT(told("G20\n" + arbor, "cut_far_from_rest"), !Contains("means inch"));
}

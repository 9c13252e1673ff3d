// The truth test: whole programs as shops have them, every warning that must be given marked in place.
// An unmarked warning is a false alarm, a mark with no warning is a miss; both fail.
#include "checks/marked_program.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <sstream>

using namespace turnwright;
using namespace turnwright::checks;

namespace {

struct CorpusProgram {
    std::string name;
    codes::System system;
    MarkedProgram marked;
    std::string shop_file; ///< Its text; empty: none
};

std::string read_file(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::stringstream whole;
    whole << file.rdbuf();
    return whole.str();
}

/// Programs with their stock and tools, each beside a shop file of its name. The system is told by the note
/// at their head; without one it is A.
std::vector<CorpusProgram> read_stocked() {
    std::vector<CorpusProgram> programs;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::filesystem::path(SOURCE_DIR) / "tests/corpus/stocked")) {
        if (entry.path().extension() != ".nc") continue;
        std::filesystem::path shop_file = entry.path();
        shop_file.replace_extension(".toml");
        const std::string text = read_file(entry.path());
        const codes::System system = text.find("SYSTEM B") != std::string::npos   ? codes::System::B
                                     : text.find("SYSTEM C") != std::string::npos ? codes::System::C
                                                                                  : codes::System::A;
        programs.push_back(
            {"stocked/" + entry.path().filename().string(), system, read_marked(text), read_file(shop_file)});
    }
    std::sort(programs.begin(), programs.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
    return programs;
}

/// The programs of a folder, for each other.
struct FamilyFiles : machine::ProgramLibrary {
    std::map<std::int32_t, std::shared_ptr<const syntax::Forest>> programs;
    std::vector<std::unique_ptr<text::Buffer>> buffers;

    void add(const std::string& text) {
        const std::size_t at = text.find("O7");
        REQUIRE(at != std::string::npos);
        buffers.push_back(std::make_unique<text::Buffer>(text));
        programs[std::stoi(text.substr(at + 1, 4))] = std::make_shared<const syntax::Forest>(*buffers.back());
    }
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const override {
        const auto at = programs.find(number);
        return at == programs.end() ? nullptr : at->second;
    }
    std::uint64_t stamp() const override { return 1; }
};

/// Notes and hints need their marks here too.
void check_that_all_is_marked(const MarkedProgram& marked, const CheckedProgram& checked) {
    const std::string wrong = differences(marked, checked);
    if (!wrong.empty()) FAIL_CHECK(wrong);
    for (const auto& finding : checked.found()) {
        const bool is_marked = std::any_of(marked.marks.begin(), marked.marks.end(), [&](const Mark& mark) {
            return mark.line == finding.line && mark.id == finding.finding->check->id;
        });
        INFO("line " << finding.line + 1 << ": " << finding.finding->check->id << ": "
                     << finding.finding->message);
        CHECK(is_marked);
    }
}

std::vector<CorpusProgram> read_corpus() {
    std::vector<CorpusProgram> programs;
    const std::pair<const char*, codes::System> folders[] = {
        {"system_a", codes::System::A}, {"system_b", codes::System::B}, {"system_c", codes::System::C}};
    for (const auto& [folder, system] : folders) {
        const auto path = std::filesystem::path(SOURCE_DIR) / "tests/corpus" / folder;
        for (const auto& entry : std::filesystem::directory_iterator(path)) {
            if (entry.path().extension() != ".nc") continue;
            programs.push_back({std::string(folder) + "/" + entry.path().filename().string(),
                                system,
                                read_marked(read_file(entry.path())),
                                {}});
        }
    }
    std::sort(programs.begin(), programs.end(), [](const auto& a, const auto& b) { return a.name < b.name; });
    return programs;
}

/// Lines that hold a word, note or statement.
std::size_t count_blocks(const CheckedProgram& checked) {
    std::size_t count = 0;
    for (const auto& run : checked.forest.runs())
        for (const syntax::Block& block : run->blocks) count += block.item_count > 0;
    return count;
}

} // namespace

TEST_CASE("whole programs get every marked warning and no other") {
    std::size_t blocks = 0, marks = 0, clean = 0;
    std::map<std::string, int> kinds;
    const auto corpus = read_corpus();
    REQUIRE(corpus.size() >= 40);
    for (const CorpusProgram& program : corpus) {
        INFO(program.name);
        const CheckedProgram checked(program.marked.text, std::nullopt);
        CHECK(checked.settings_for(std::nullopt).system == program.system); // by the program's own codes
        const std::size_t size = count_blocks(checked);
        CHECK(size >= 50);
        CHECK(size <= 600);
        check_that_all_is_marked(program.marked, checked);
        blocks += size;
        marks += program.marked.marks.size();
        clean += program.marked.marks.empty();
        for (const Mark& mark : program.marked.marks) ++kinds[mark.id];
    }
    std::cout << corpus.size() << " programs, " << blocks << " blocks, " << marks << " marked warnings of "
              << kinds.size() << " kinds, " << clean << " programs with none\n";
}

TEST_CASE("programs followed through their stock get every marked warning and no other") {
    std::map<std::string, int> kinds;
    const auto corpus = read_stocked();
    REQUIRE(corpus.size() >= 4);
    for (const CorpusProgram& program : corpus) {
        INFO(program.name);
        const CheckedProgram checked(program.marked.text, std::nullopt, program.shop_file);
        CHECK(checked.shop->problems.empty());
        CHECK(checked.settings_for(std::nullopt).system == program.system);
        REQUIRE(!checked.results.stock().programs().empty());
        CHECK(checked.results.stock().programs().front().setup.has_value());
        check_that_all_is_marked(program.marked, checked);
        for (const Mark& mark : program.marked.marks) ++kinds[mark.id];
    }
    for (const char* id :
         {"rapid_through_stock", "depth_over_tool_limit", "bar_wider_than_hole", "deeper_than_reach",
          "cut_into_jaws", "cut_into_tailstock", "back_edge_rubs", "part_off_with_tailstock",
          "part_off_past_centre", "power_over_machine", "nothing_removed", "stock_not_followed"}) {
        INFO(id);
        CHECK(kinds[id] > 0);
    }
}

TEST_CASE("a family of parts gets every marked warning and no other, whatever loops its library has") {
    const auto family = std::make_shared<FamilyFiles>();
    std::vector<std::pair<std::string, MarkedProgram>> members;
    for (const auto& entry :
         std::filesystem::directory_iterator(std::filesystem::path(SOURCE_DIR) / "tests/corpus/family")) {
        members.emplace_back(entry.path().filename().string(), read_marked(read_file(entry.path())));
        family->add(members.back().second.text);
    }
    REQUIRE(members.size() >= 6);
    for (const auto& [name, marked] : members) {
        INFO(name);
        const CheckedProgram checked(marked.text, codes::System::A, {}, family);
        check_that_all_is_marked(marked, checked);
    }
}

TEST_CASE("the example that hits everything is told all of it, and the shaft with its job file nothing") {
    const auto example = [](const std::string& name) {
        return read_file(std::filesystem::path(SOURCE_DIR) / "docs/examples" / name);
    };
    const MarkedProgram shaft = read_marked(example("pump-shaft.nc"));
    const CheckedProgram clean(shaft.text, std::nullopt, example("pump-shaft.turnwright.toml"));
    CHECK(differences(shaft, clean) == "");
    for (const stock::SequenceCourse& sequence : clean.results.stock().programs().front().sequences)
        CHECK(sequence.stop == stock::Stop::none);
    const CheckedProgram hits(example("hub-hits.nc"), std::nullopt, example("hub-hits.turnwright.toml"));
    std::map<std::string_view, int> kinds;
    for (const auto& found : hits.found()) ++kinds[found.finding->check->id];
    // What docs/examples/README.md lists.
    for (const char* id : {"rapid_through_stock", "depth_over_tool_limit", "deeper_than_reach",
                           "bar_wider_than_hole", "nothing_removed", "cut_into_jaws"}) {
        INFO(id);
        CHECK(kinds[id] > 0);
    }
}

TEST_CASE("the clean examples for users are clean, and the faulty one is not") {
    const auto read = [](const char* name) {
        std::ifstream file(std::filesystem::path(SOURCE_DIR) / "docs/examples" / name, std::ios::binary);
        std::stringstream whole;
        whole << file.rdbuf();
        return read_marked(whole.str());
    };
    for (const char* name : {"pump-shaft.nc", "wear-bushing.nc"}) {
        INFO(name);
        const MarkedProgram program = read(name);
        const CheckedProgram checked(program.text, std::nullopt);
        CHECK(differences(program, checked) == "");
    }
    const MarkedProgram faulty = read("pump-shaft-faulty.nc");
    std::map<std::string_view, int> kinds;
    const CheckedProgram checked(faulty.text, std::nullopt);
    for (const auto& found : checked.found()) ++kinds[found.finding->check->id];
    // What docs/examples/README.md lists.
    for (const char* id :
         {"units_missing", "speed_limit_missing", "decimal_point_missing", "feed_missing",
          "centre_work_under_surface_speed", "compensation_active_at_tool_call", "feed_with_spindle_stopped",
          "codes_of_one_group", "optional_stop_missing", "sequence_number_twice", "note_unclosed",
          "sequence_number_not_tool", "program_end_missing"}) {
        INFO(id);
        CHECK(kinds.count(id) > 0);
    }
}

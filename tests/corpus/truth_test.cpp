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
};

std::vector<CorpusProgram> read_corpus() {
    std::vector<CorpusProgram> programs;
    const std::pair<const char*, codes::System> folders[] = {
        {"system_a", codes::System::A}, {"system_b", codes::System::B}, {"system_c", codes::System::C}};
    for (const auto& [folder, system] : folders) {
        const auto path = std::filesystem::path(SOURCE_DIR) / "tests/corpus" / folder;
        for (const auto& entry : std::filesystem::directory_iterator(path)) {
            if (entry.path().extension() != ".nc") continue;
            std::ifstream file(entry.path(), std::ios::binary);
            std::stringstream whole;
            whole << file.rdbuf();
            programs.push_back({std::string(folder) + "/" + entry.path().filename().string(), system,
                                read_marked(whole.str())});
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
        const std::string wrong = differences(program.marked, checked);
        if (!wrong.empty()) FAIL_CHECK(wrong);
        // Notes and hints need their marks here too.
        const auto found = checked.found();
        for (const auto& finding : found) {
            const auto& marks_here = program.marked.marks;
            const bool marked = std::any_of(marks_here.begin(), marks_here.end(), [&](const Mark& mark) {
                return mark.line == finding.line && mark.id == finding.finding->check->id;
            });
            INFO("line " << finding.line + 1 << ": " << finding.finding->check->id << ": "
                         << finding.finding->message);
            CHECK(marked);
        }
        blocks += size;
        marks += program.marked.marks.size();
        clean += program.marked.marks.empty();
        for (const Mark& mark : program.marked.marks) ++kinds[mark.id];
    }
    std::cout << corpus.size() << " programs, " << blocks << " blocks, " << marks << " marked warnings of "
              << kinds.size() << " kinds, " << clean << " programs with none\n";
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

// docs/warnings is made from the checks: TURNWRIGHT_UPDATE_DOCS=1 writes it, else it must be equal.
#include "checks/fixed_text.h"
#include "checks/marked_program.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

using namespace turnwright::checks;
namespace fs = std::filesystem;

namespace {

/// The first fix that is offered in the example that the page shows.
std::optional<MendedExample> mended(const Check& check) {
    const Example* bad = shown_example(check);
    if (!bad) return std::nullopt;
    const CheckedProgram program(read_marked(bad->program).text, bad->system, bad->shop_file);
    for (std::size_t run = 0; run < program.analysis.size(); ++run)
        for (const Report::Placed& placed : program.results.with_fixes(run))
            if (placed.finding.check == &check && !placed.finding.fixes.empty()) {
                const Fix& fix = placed.finding.fixes.front();
                return MendedExample{fix.title, apply_edits(program.buffer, fix.edits)};
            }
    return std::nullopt;
}

} // namespace

TEST_CASE("the pages of docs/warnings say what the checks say") {
    fs::path folder = fs::path(SOURCE_DIR) / "docs" / "warnings";
    bool update = std::getenv("TURNWRIGHT_UPDATE_DOCS") != nullptr;
    std::set<std::string> expected;
    auto compare = [&](const std::string& name, const std::string& text) {
        expected.insert(name);
        if (update) std::ofstream(folder / name, std::ios::binary) << text;
        std::ifstream file(folder / name, std::ios::binary);
        std::stringstream held;
        held << file.rdbuf();
        INFO("docs/warnings/" << name << " is out of step: run test_checks with TURNWRIGHT_UPDATE_DOCS=1");
        CHECK((held.str() == text));
    };
    compare("README.md", check_index_markdown());
    for (const Check* check : all_checks())
        compare(std::string(check->id) + ".md", check_markdown(*check, mended(*check)));
    for (const auto& entry : fs::directory_iterator(folder)) {
        std::string name = entry.path().filename().string();
        if (update && !expected.count(name))
            fs::remove(entry.path());
        else
            CHECK(expected.count(name) == 1);
    }
}

TEST_CASE("what a machinist reads tells of no sources that help nobody at a machine") {
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(SOURCE_DIR) / "docs")) {
        const std::string name = entry.path().generic_string();
        if (!entry.is_regular_file() || name.find("/tried/") != std::string::npos) continue;
        std::ifstream file(entry.path(), std::ios::binary);
        std::stringstream held;
        held << file.rdbuf();
        std::string text = held.str();
        std::replace(text.begin(), text.end(), '\n', ' '); // A line may end within the words
        for (const char* words :
             {"from memory", "no source", "NIST", "imaginary", "University", "TURNWRIGHT: ALLOW"}) {
            // The page of the older word shows it.
            if (name.find("older_note_word") != std::string::npos) continue;
            INFO(name << ": " << words);
            CHECK((text.find(words) == std::string::npos));
        }
    }
}

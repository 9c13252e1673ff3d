// docs/warnings is made from the checks: TURNWRIGHT_UPDATE_DOCS=1 writes it, else it must be equal.
#include "checks/fixed_text.h"
#include "checks/marked_program.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <set>
#include <sstream>

using namespace turnwright::checks;
namespace fs = std::filesystem;

namespace {

struct Edited {
    char what; ///< '-', '=' or '+'
    std::string line;
};
using Mends = std::map<std::string, std::vector<Edited>, std::less<>>;

/// mends.txt: how an example is mended that no fix mends.
Mends read_mends() {
    std::ifstream file(fs::path(SOURCE_DIR) / "tests/checks/mends.txt");
    Mends mends;
    std::vector<Edited>* of_check = nullptr;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line[0] == '#') continue;
        if (line.size() > 2 && line[1] == ' ') {
            REQUIRE(of_check);
            of_check->push_back({line[0], line.substr(2)});
        } else {
            INFO(line);
            REQUIRE(mends.count(line) == 0);
            of_check = &mends[line];
        }
    }
    return mends;
}

std::vector<std::string> lines_in(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

bool is_line(const std::string& line, const std::string& wanted) {
    if (wanted.ends_with("...")) return line.starts_with(wanted.substr(0, wanted.size() - 3));
    return line == wanted;
}

/// The program with these edits; empty where a line of them is not there.
std::string mended_by(const std::string& program, const std::vector<Edited>& edits) {
    std::vector<std::string> lines = lines_in(program);
    std::size_t at = 0;
    for (const Edited& edit : edits) {
        const auto place = lines.begin() + static_cast<std::ptrdiff_t>(at);
        if (edit.what == '+') {
            lines.insert(place, edit.line);
            ++at;
            continue;
        }
        const auto found =
            std::find_if(place, lines.end(), [&](const auto& l) { return is_line(l, edit.line); });
        if (found == lines.end()) return {};
        at = static_cast<std::size_t>(found - lines.begin()) + (edit.what == '=' ? 1 : 0);
        if (edit.what == '-') lines.erase(found);
    }
    std::string out;
    for (const std::string& line : lines) out += line + "\n";
    return out;
}

/// The warnings and errors of a program, by id.
std::map<std::string, int> warned_of(const Example& example, std::string_view program) {
    const CheckedProgram checked(program, example.system, example.shop_file);
    std::map<std::string, int> ids;
    for (const Results::Placed& placed : checked.results.all())
        if (placed.finding->severity >= Severity::warning) ++ids[std::string(placed.finding->check->id)];
    return ids;
}

/// What mends the example that the page shows: the first fix that is offered, else what mends.txt says.
std::optional<MendedExample> mended(const Check& check, const Mends& mends) {
    const Example* bad = shown_example(check);
    if (!bad) return std::nullopt;
    const std::string text = read_marked(bad->program).text;
    const CheckedProgram program(text, bad->system, bad->shop_file);
    for (std::size_t run = 0; run < program.analysis.size(); ++run)
        for (const Report::Placed& placed : program.results.with_fixes(run))
            if (placed.finding.check == &check && !placed.finding.fixes.empty()) {
                const Fix& fix = placed.finding.fixes.front();
                return MendedExample{fix.title, apply_edits(program.buffer, fix.edits)};
            }
    const auto by_hand = mends.find(check.id);
    if (by_hand == mends.end()) return std::nullopt;
    return MendedExample{{}, mended_by(text, by_hand->second)};
}

} // namespace

TEST_CASE("the pages show a mend that mends") {
    const Mends mends = read_mends();
    std::string without;
    std::size_t count = 0;
    for (const Check* check : all_checks()) {
        const auto after = mended(*check, mends);
        if (!after) {
            without += (++count > 1 ? ", " : "") + std::string(check->id);
            continue;
        }
        INFO(check->id << " in tests/checks/mends.txt\n" << after->program);
        // What a fix leaves is the business of the tests of fixes.
        if (!after->fix.empty()) continue;
        REQUIRE(!after->program.empty()); // else a line of it is not in the example
        const Example& bad = *shown_example(*check);
        const CheckedProgram checked(after->program, bad.system, bad.shop_file);
        for (const Results::Placed& placed : checked.results.all())
            if (placed.finding->check == check) FAIL_CHECK(placed.finding->message);
        auto before = warned_of(bad, read_marked(bad.program).text);
        for (const auto& [id, times] : warned_of(bad, after->program)) {
            INFO(id);
            CHECK(times <= before[id]);
        }
    }
    for (const auto& [id, edits] : mends) {
        INFO(id);
        REQUIRE(find_check(id));
        CHECK(mended(*find_check(id), mends)->fix.empty()); // else a fix does it
    }
    INFO("no mend in tests/checks/mends.txt: " << without);
    CHECK(count * 20 <= all_checks().size());
}

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
    const Mends mends = read_mends();
    compare("README.md", check_index_markdown());
    for (const Check* check : all_checks())
        compare(std::string(check->id) + ".md", check_markdown(*check, mended(*check, mends)));
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
             {"from memory", "no source", " NIST", "imaginary", "University", "TURNWRIGHT: ALLOW"}) {
            // The page of the older word shows it.
            if (name.find("older_note_word") != std::string::npos) continue;
            INFO(name << ": " << words);
            CHECK((text.find(words) == std::string::npos));
        }
    }
}

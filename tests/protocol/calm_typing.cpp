// Right programs typed letter by letter, in the time a hand takes: what is shown and goes again was never
// meant.
#include "protocol/calm.h"
#include "thorough.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>

using namespace turnwright;
using namespace turnwright::protocol;
using features::Warning;
using std::chrono::milliseconds;

namespace {

std::string read(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    REQUIRE(!text.empty());
    return text;
}

std::string example(const std::string& name) {
    return read(std::string(SOURCE_DIR) + "/docs/examples/" + name);
}

/// Without the lines that mark what is expected.
std::string without_marks(const std::string& text) {
    std::string out;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);)
        if (!line.starts_with(';') || line.find('^') == std::string::npos) out += line + '\n';
    return out;
}

std::string first_lines(const std::string& text, int count) {
    std::size_t end = 0;
    while (count-- > 0 && end != std::string::npos) end = text.find('\n', end + 1);
    return text.substr(0, end);
}

using Names = std::multiset<std::string>;

/// Types into a document and looks after every `together` letters, as an editor that waits a little does.
struct Typing {
    features::Document document;
    Calm calm;
    Calm::Clock::time_point now{};
    Names shown;
    int vanished = 0;
    std::string what;
    std::size_t together = 1;
    milliseconds a_key{150};

    explicit Typing(const std::string& text = {})
        : document(text, std::make_shared<const shop::Shop>(shop::default_shop()), "typed.nc") {
        look();
    }

    void look() {
        document.evaluate();
        Names names;
        const Calm::Open open = calm.is_typing() ? Calm::open_at(document, calm.typed_line()) : Calm::Open{};
        for (const Warning& warning : calm.shown(features::warnings(document), open, now))
            names.insert(warning.id + ": " + warning.message);
        Names rest = names;
        for (const std::string& name : shown) {
            const auto still = rest.find(name);
            if (still != rest.end()) {
                rest.erase(still);
                continue;
            }
            ++vanished;
            what += "line " + std::to_string(calm.typed_line() + 1) + ": " + name + "\n";
        }
        shown = std::move(names);
    }

    void type(text::Position at, const std::string& text) {
        std::size_t waiting = 0;
        for (const char letter : text) {
            const text::Position end =
                letter == '\n' ? text::Position{at.line + 1, 0} : text::Position{at.line, at.column + 1};
            calm.edited({at, at, end}, now);
            document.edit({at, at}, std::string_view(&letter, 1));
            at = end;
            now += a_key;
            if (++waiting < together) continue;
            waiting = 0;
            look();
        }
    }

    void pause() {
        now += milliseconds(2000);
        look();
    }
    void save() {
        calm.release();
        look();
    }
};

} // namespace

TEST_CASE("a right program of 66 lines is typed in peace") {
    const std::string text = first_lines(example("pump-shaft.nc"), 66);
    for (const int key : {40, 150, 400})
        for (const std::size_t together : {1u, 3u}) {
            Typing typing;
            typing.a_key = milliseconds(key);
            typing.together = together;
            typing.type({0, 0}, text);
            CAPTURE(key, together, typing.what);
            CHECK(typing.vanished <= 5);
        }
}

TEST_CASE("the right examples are typed in peace, and at rest all is told") {
    for (const char* name : {"pump-shaft.nc", "wear-bushing.nc", "hub-hits.nc"}) {
        const std::string text = example(name);
        Typing typing;
        typing.type({0, 0}, text);
        CAPTURE(name, typing.what);
        CHECK(typing.vanished <= 5);
        typing.save();
        CHECK(typing.shown == Typing(text).shown);
    }
}

TEST_CASE("who looks at the drawing behind every word and block is left in peace") {
    for (const char* name : {"pump-shaft.nc", "wear-bushing.nc"}) {
        const std::string text = example(name);
        Typing typing;
        typing.together = text.size(); // Only the pauses are looked at
        text::Position at{0, 0};
        for (std::size_t begin = 0; begin < text.size();) {
            const std::size_t blank = text.find_first_of(" \n", begin);
            const std::size_t end = blank == std::string::npos ? text.size() : blank + 1;
            const std::string word = text.substr(begin, end - begin);
            typing.type(at, word);
            at = word.back() == '\n'
                     ? text::Position{at.line + 1, 0}
                     : text::Position{at.line, at.column + static_cast<std::uint32_t>(word.size())};
            typing.pause();
            begin = end;
        }
        CAPTURE(name, typing.what);
        CHECK(typing.vanished <= 3);
        typing.save();
        CHECK(typing.shown == Typing(text).shown);
    }
}

TEST_CASE("the programs of the corpus are typed in peace") {
    std::vector<std::filesystem::path> programs;
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(std::string(SOURCE_DIR) + "/tests/corpus"))
        if (entry.path().extension() == ".nc" && entry.file_size() <= 6000) programs.push_back(entry.path());
    CHECK(programs.size() > 20);
    std::sort(programs.begin(), programs.end());
    for (std::size_t i = 0; i < programs.size(); i += static_cast<std::size_t>(stride(11))) {
        Typing typing;
        typing.type({0, 0}, without_marks(read(programs[i])));
        CAPTURE(programs[i], typing.what);
        CHECK(typing.vanished <= 5);
    }
}

TEST_CASE("a sequence put into the middle of a program is typed in peace") {
    const std::string text = example("pump-shaft.nc");
    const std::size_t begin = text.find("N5 "), end = text.find("\nN7 ");
    Typing typing(text.substr(0, begin) + text.substr(end));
    typing.type({static_cast<std::uint32_t>(std::count(text.begin(), text.begin() + begin, '\n')), 0},
                text.substr(begin, end - begin));
    CAPTURE(typing.what);
    CHECK(typing.vanished <= 5);
}

TEST_CASE("a subprogram typed below its caller says nothing of the caller meanwhile") {
    const std::string text =
        "%\n:1500 (RING GROOVES BY CALL)\nG21 G18 G90 G95 G40\nG53 G00 X200. Z300.\nT0101\nG92 S2200\n"
        "G96 S190 M04\nG00 X84. Z3. M08\nG77 X78. Z-60. F.3\nX74.\nG00 G53 X200. Z300. M09\nM01\nT0404\n"
        "G97 S450 M04\nG00 X73. Z-14. M08\nM98 P31501\nG90 G00 X73. Z5.\nG53 X200. Z300. M09\nM05\nM30\n"
        ":1501 (ONE GROOVE AND ON)\nG91 G01 X-9. F.06\nG04 X.4\nG00 X9.\nZ-10.\nG90\nM99\n%\n";
    Typing typing;
    typing.type({0, 0}, text);
    CAPTURE(typing.what);
    CHECK(typing.vanished == 0);
    typing.save();
    CHECK(typing.shown == Typing(text).shown);
}

TEST_CASE("every fault that is typed is told within two seconds after its line is left") {
    const std::string text = example("pump-shaft.nc");
    const auto mistyped = [&](const std::string& right, const std::string& wrong) {
        std::string out = text;
        return out.replace(out.find(right), right.size(), wrong);
    };
    const std::pair<std::string, std::string> faults[] = {
        {mistyped("G01 X24. Z-2.", "G01 X24 Z-2."), "decimal_point_missing"},
        {mistyped("G50 S2500\n", ""), "speed_limit_missing"},
        {mistyped("G97 S1150 M03", "G97 S1150 M3 ("), "note_unclosed"}};
    for (const auto& [program, id] : faults) {
        CAPTURE(id);
        // Where a fresh look finds it once the lines up to there are written.
        const features::Document whole(program, std::make_shared<const shop::Shop>(shop::default_shop()));
        std::uint32_t line = 0;
        for (const Warning& warning : features::warnings(whole))
            if (warning.id == id) line = warning.range.end.line;
        REQUIRE(line > 0);
        Typing typing;
        // The next lines are typed on without a pause.
        typing.type({0, 0}, first_lines(program, static_cast<int>(line) + 5));
        CHECK(std::any_of(typing.shown.begin(), typing.shown.end(),
                          [&id = id](const std::string& name) { return name.starts_with(id); }));
    }
}

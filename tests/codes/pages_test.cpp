// docs/codes is what the table says. TURNWRIGHT_UPDATE_DOCS=1 writes the pages anew.
#include "codes/codes.h"
#include "codes/glossary.h"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <sstream>

using namespace turnwright::codes;

namespace {
std::string read(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

void same_as_file(const std::string& name, const std::string& page) {
    const std::string path = SOURCE_DIR "/docs/" + name;
    if (std::getenv("TURNWRIGHT_UPDATE_DOCS")) std::ofstream(path, std::ios::binary) << page;
    INFO("docs/" << name << " differs from the table: run test_codes with TURNWRIGHT_UPDATE_DOCS=1");
    CHECK((read(path) == page)); // no diff of whole pages in the log
}
} // namespace

TEST_CASE("The pages of the codes agree with the table") {
    same_as_file("codes/README.md", codes_index_markdown());
    same_as_file("codes/system-a.md", codes_markdown(System::A));
    same_as_file("codes/system-b.md", codes_markdown(System::B));
    same_as_file("codes/system-c.md", codes_markdown(System::C));
}

TEST_CASE("The glossary agrees with its table, which is in order and has its pictures") {
    same_as_file("glossary.md", glossary_markdown());
    std::string_view last;
    for (const Term& term : glossary()) {
        INFO(term.name);
        const auto small = [](std::string_view text) { return text.starts_with("G-") ? "g" : text; };
        CHECK(small(last) <= small(term.name));
        last = term.name;
        CHECK(find_term(term.name) == &term);
        CHECK(term.text.english().size() > 40);
        if (!term.picture.empty())
            CHECK(read(SOURCE_DIR "/docs/pictures/" + std::string(term.picture)).find("<svg") == 0);
    }
    CHECK(find_term("Surface Speed") == find_term("constant_surface_speed"));
    CHECK(find_term("pitch") == find_term("lead"));
    CHECK(find_term("") == nullptr);
    CHECK(find_term("nonsense") == nullptr);
}

TEST_CASE("A page names every code of its system and no other") {
    for (System system : {System::A, System::B, System::C}) {
        const std::string page = codes_markdown(system);
        for (const Code& code : all_codes()) {
            const bool holds = code.systems & (1U << static_cast<unsigned>(system));
            const std::string heading = "\n### " + code.written() + ": " + std::string(code.title) + "\n";
            INFO(heading);
            if (holds)
                CHECK(page.find(heading) != std::string::npos);
            else if (!code_for(system, code.meaning))
                CHECK(page.find(heading) == std::string::npos);
        }
    }
}

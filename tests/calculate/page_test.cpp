// docs/calculators.md is what the table says. TURNWRIGHT_UPDATE_DOCS=1 writes it anew.
#include "calculate/calculate.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <sstream>

TEST_CASE("The page of the calculators agrees with the table") {
    const std::string path = SOURCE_DIR "/docs/calculators.md", page = turnwright::calculate::page();
    if (std::getenv("TURNWRIGHT_UPDATE_DOCS")) std::ofstream(path, std::ios::binary) << page;
    std::ifstream file(path, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    INFO("docs/calculators.md differs: run test_calculate with TURNWRIGHT_UPDATE_DOCS=1");
    CHECK((text.str() == page));
}

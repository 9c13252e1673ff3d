// docs/shop-file.md and its schema are what the table of keys says. TURNWRIGHT_UPDATE_DOCS=1 writes them
// anew.
#include "shop/shop.h"

#include <catch2/catch.hpp>

#include <cstdlib>
#include <fstream>
#include <sstream>

using namespace turnwright::shop;

namespace {
void same_as_file(const std::string& name, const std::string& text) {
    const std::string path = SOURCE_DIR "/docs/" + name;
    if (std::getenv("TURNWRIGHT_UPDATE_DOCS")) std::ofstream(path, std::ios::binary) << text;
    std::ifstream file(path, std::ios::binary);
    std::ostringstream read;
    read << file.rdbuf();
    INFO("docs/" << name << " differs from the table of keys: run test_shop with TURNWRIGHT_UPDATE_DOCS=1");
    CHECK((read.str() == text)); // no diff of whole pages in the log
}
} // namespace

TEST_CASE("The page and the schema agree with the table of keys") {
    same_as_file("shop-file.md", page_markdown());
    same_as_file("shop-file.schema.json", schema_json());
}

TEST_CASE("Every key is explained for people in the page and in the schema") {
    const std::string page = page_markdown();
    const std::string schema = schema_json();
    CHECK(all_keys().size() > 70);
    for (const KeyHelp& key : all_keys()) {
        INFO(key.path);
        const std::string name = key.path.substr(key.path.find('.') + 1);
        CHECK(schema.find('"' + name + '"') != std::string::npos);
        if (name != "checks") CHECK(page.find('`' + name + '`') != std::string::npos);
        CHECK(page.find(key.text) != std::string::npos);
        CHECK(key.text.back() == '.');
        CHECK_FALSE(key.kind.empty());
    }
}

// The outline's text, whose pieces are kept between edits, is that of the whole outline written anew.
#include "protocol/document_outline.h"

#include "protocol/open_document.h"

#include <catch2/catch.hpp>
#include <random>

using namespace turnwright;
using namespace turnwright::protocol;

namespace {

std::string written_anew(const OpenDocument& document) {
    std::string out;
    for (const DocumentSymbol& symbol : symbols_of(document)) {
        out += out.empty() ? "[" : ",";
        write(out, symbol);
    }
    return out.empty() ? "[]" : out + "]";
}

std::string some_sequences(int count) {
    std::string text = "%\nO1001 (SHAFT)\nG21 G18 G40 G80 G99\n";
    for (int i = 1; i <= count; ++i)
        text += "N" + std::to_string(i) + (i % 7 ? " (CUT " + std::to_string(i) + ")\n" : "\n") +
                "T0303\nG97 S400 M03\nG00 X20. Z2.\nG01 Z-30. F0.2\nG00 X90.\nZ90.\nM01\n";
    return text + "M30\nO2001 (GROOVE \xc3\x98)\nG01 X18. F0.1\nM99\n%\n";
}

} // namespace

TEST_CASE("the outline follows every edit") {
    OpenDocument document("file:///shaft.nc", 1, some_sequences(400), text::Encoding::utf16, nullptr);
    document.evaluated();
    OutlineText outline;
    REQUIRE(outline.write(document) == written_anew(document));
    std::mt19937 random(5);
    std::size_t changes = 0;
    std::string before;
    for (int edit = 0; edit < 200; ++edit) {
        const text::Buffer& buffer = document.as_it_is().buffer();
        const std::uint32_t line = random() % static_cast<std::uint32_t>(buffer.line_count());
        constexpr std::string_view with[] = {
            "(NOTE \xc3\xb8)", "N9 (NEW)\nT0505\n",  "1", "T0707 ", "\n", "", "M01\n", "O3001 (MORE)\n",
            "M30\n",           "(\xf0\x9f\x94\xa9) "};
        const std::uint32_t taken = random() % 3;
        const Json change{{"range", Json{{"start", Json{{"line", line}, {"character", random() % 5}}},
                                         {"end", Json{{"line", line + taken}, {"character", 5}}}}},
                          {"text", with[random() % std::size(with)]}};
        const Json changes_json = Json::array({change});
        REQUIRE(document.change(edit + 2, In(changes_json, "contentChanges")) == ChangeOutcome::applied);
        document.evaluated();
        INFO("edit " << edit << ": " << change.dump());
        const std::string text = outline.write(document);
        REQUIRE(text == written_anew(document));
        changes += text != before;
        before = text;
    }
    CHECK(changes > 100);
}

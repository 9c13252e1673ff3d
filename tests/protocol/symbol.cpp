// The outline as JSON text: nothing of it may be lost or added on the way.
#include "protocol/symbol.h"

#include <catch2/catch.hpp>

using namespace turnwright::protocol;

TEST_CASE("the outline's text is the protocol's tree") {
    DocumentSymbol sequence{"N1 T0101",         "ROUGH \"OD\" \\", SymbolKind::method,
                            {{3, 0}, {40, 12}}, {{3, 0}, {3, 24}}, {}};
    DocumentSymbol bare{"Sequence", "", SymbolKind::method, {{41, 0}, {50, 0}}, {{41, 0}, {41, 5}}, {}};
    const DocumentSymbol program{"O1001",         "", SymbolKind::file, {{0, 0}, {50, 0}}, {{0, 0}, {0, 5}},
                                 {sequence, bare}};
    const DocumentSymbol subprogram{
        "O2001", "GROOVE", SymbolKind::function, {{51, 0}, {60, 1}}, {{51, 2}, {51, 7}}, {}};
    const Json expected = Json::parse(R"([
        {"name": "O1001", "kind": 1,
         "range": {"start": {"line": 0, "character": 0}, "end": {"line": 50, "character": 0}},
         "selectionRange": {"start": {"line": 0, "character": 0}, "end": {"line": 0, "character": 5}},
         "children": [
            {"name": "N1 T0101", "detail": "ROUGH \"OD\" \\", "kind": 6,
             "range": {"start": {"line": 3, "character": 0}, "end": {"line": 40, "character": 12}},
             "selectionRange": {"start": {"line": 3, "character": 0}, "end": {"line": 3, "character": 24}}},
            {"name": "Sequence", "kind": 6,
             "range": {"start": {"line": 41, "character": 0}, "end": {"line": 50, "character": 0}},
             "selectionRange": {"start": {"line": 41, "character": 0}, "end": {"line": 41, "character": 5}}}]},
        {"name": "O2001", "detail": "GROOVE", "kind": 12,
         "range": {"start": {"line": 51, "character": 0}, "end": {"line": 60, "character": 1}},
         "selectionRange": {"start": {"line": 51, "character": 2}, "end": {"line": 51, "character": 7}}}])");
    std::string text;
    write(text, program);
    CHECK(Json::parse(text) == expected[0]);
    text.clear();
    write(text, subprogram);
    CHECK(Json::parse(text) == expected[1]);
}

// Every ability on text that is no program, at every position, throws nothing and keeps its promises.
#include "features/open.h"

#include <catch2/catch.hpp>
#include <random>

using namespace turnwright;
using namespace turnwright::features;

namespace {

std::string random_text(std::mt19937& random) {
    static const std::string letters =
        "GMXZUWNTOPQRFSIKgx0123456789.-+#[]()/%;, \n\n\r\t=*ABCDEHL\xC3\xA9\xFF";
    std::string text;
    const auto size = random() % 160;
    for (unsigned i = 0; i < size; ++i) text += letters[random() % letters.size()];
    return text;
}

/// Edits in order, apart from each other and inside the text.
void check_edits(const Document& document, const std::vector<TextEdit>& edits) {
    Position last{0, 0};
    for (const TextEdit& edit : edits) {
        REQUIRE(edit.range.begin <= edit.range.end);
        REQUIRE(last <= edit.range.begin);
        REQUIRE(edit.range.end <= document.buffer().end());
        last = edit.range.end;
    }
}

} // namespace

TEST_CASE("every ability holds on broken text") {
    std::mt19937 random(11);
    for (int round = 0; round < 120; ++round) {
        const std::string text = random_text(random);
        INFO("round " << round << "\n" << text);
        const Document document(text, nullptr);
        const Range whole{{0, 0}, document.buffer().end()};
        REQUIRE_NOTHROW(warnings(document));
        REQUIRE_NOTHROW(document_symbols(document));
        REQUIRE_NOTHROW(inlay_hints(document, whole));
        REQUIRE_NOTHROW(code_lenses(document));
        REQUIRE_NOTHROW(restart_report(document));
        REQUIRE_NOTHROW(semantic_tokens(document));
        check_edits(document, format(document));
        for (const FoldingRange& fold : folding_ranges(document)) {
            REQUIRE(fold.first_line < fold.last_line);
            REQUIRE(fold.last_line < document.buffer().line_count());
        }
        for (const std::string& name : command_names())
            for (const char* argument : {"", "mm", "inch", "A", "B", "C", "radius", "all_blocks"}) {
                const Rewrite rewrite = run_command(document, name, {argument});
                REQUIRE(rewrite.done() == !rewrite.files.empty()); // done, or refused with nothing half made
                for (const FileEdits& file : rewrite.files) check_edits(document, file.edits);
            }
        for (int probe = 0; probe < 12; ++probe) {
            const Position at{static_cast<std::uint32_t>(random() % (document.buffer().line_count() + 1)),
                              static_cast<std::uint32_t>(random() % 40)};
            REQUIRE_NOTHROW(hover(document, at));
            REQUIRE_NOTHROW(complete(document, at));
            REQUIRE_NOTHROW(signature_help(document, at));
            REQUIRE_NOTHROW(definition(document, at));
            REQUIRE_NOTHROW(references(document, at, true));
            REQUIRE_NOTHROW(rename(document, at, "77"));
            REQUIRE_NOTHROW(code_actions(document, {at, at}));
            const std::vector<Range> nested = selection_ranges(document, at);
            for (std::size_t i = 1; i < nested.size(); ++i) {
                REQUIRE(nested[i].begin <= nested[i - 1].begin);
                REQUIRE(nested[i - 1].end <= nested[i].end);
                REQUIRE(nested[i] != nested[i - 1]);
            }
        }
    }
}

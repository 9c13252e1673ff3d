// Any bytes as a program, in systems A, B and C and with several shop files: state, moves, stock, checks,
// every editor ability at places of the input's choosing, reports. Nothing crashes or throws, every place
// lies in the text, formatting is done after once, and what rewrites the text keeps the moves or refuses.
//
// Input: a program; its last bytes choose the shop file, the abilities and the places.
#include "features/equal_moves.h"
#include "features/features.h"
#include "fuzz/fuzz.h"
#include "fuzz/shops.h"
#include "report/report.h"

using namespace turnwright;
using namespace turnwright::features;
using fuzz::require;

namespace {

void require_in(const Document& document, const Range& range, const char* claim) {
    const text::Buffer& buffer = document.buffer();
    require(range.begin <= range.end && buffer.clamp(range.begin) == range.begin &&
                buffer.clamp(range.end) == range.end,
            claim);
}

void require_edits(const Document& document, const std::vector<TextEdit>& edits, const char* claim) {
    for (const TextEdit& edit : edits) require_in(document, edit.range, claim);
    std::vector<Range> ranges;
    for (const TextEdit& edit : edits) ranges.push_back(edit.range);
    std::sort(ranges.begin(), ranges.end());
    for (std::size_t i = 1; i < ranges.size(); ++i) require(ranges[i - 1].end <= ranges[i].begin, claim);
}

void require_rewrite(const Document& document, const Rewrite& rewrite, const char* claim) {
    require(rewrite.done() || rewrite.files.empty(), claim);
    for (const FileEdits& file : rewrite.files) require_edits(document, file.edits, claim);
}

Position some_position(const Document& document, fuzz::Choices& choices) {
    const auto line = static_cast<std::uint32_t>(choices.below(document.buffer().line_count()));
    return document.buffer().clamp({line, choices.byte()});
}

void check_warnings(const Document& document) {
    for (const Warning& warning : warnings(document)) {
        require_in(document, warning.range, "a warning lies in the text");
        require(!warning.message.empty(), "a warning has a message", warning.id);
        for (const RelatedWarning& related : warning.related)
            require_in(document, related.range, "where a warning comes from lies in the text");
    }
}

void check_actions(const Document& document, Range range) {
    for (const CodeAction& action : code_actions(document, range)) {
        require(!action.title.empty(), "an action has a title");
        require_edits(document, action.edits, action.title.c_str());
        if (action.command)
            require_rewrite(document, run_command(document, action.command->name, action.command->arguments),
                            "a command's edits lie in the text");
    }
}

void check_place(const Document& document, Position at) {
    if (const auto shown = hover(document, at))
        require_in(document, shown->range, "a hover lies in the text");
    for (const CompletionItem& item : complete(document, at)) {
        require_in(document, item.edit.range, "a completion lies in the text");
        if (!item.key.empty()) (void)completion_documentation(document, item.key);
    }
    (void)signature_help(document, at);
    for (const Location& place : definition(document, at))
        require_in(document, place.range, "a definition lies in the text");
    for (const Location& place : references(document, at, true))
        require_in(document, place.range, "a use lies in the text");
    for (const Highlight& place : highlights(document, at))
        require_in(document, place.range, "a highlight lies in the text");
    for (const Range& range : linked_ranges(document, at))
        require_in(document, range, "a link lies in the text");
    if (const auto start = prepare_rename(document, at)) {
        require_in(document, start->range, "what is renamed lies in the text");
        require_rewrite(document, rename(document, at, "17"), "a rename lies in the text");
    }
    const std::vector<Range> around = selection_ranges(document, at);
    for (std::size_t i = 0; i < around.size(); ++i) {
        require_in(document, around[i], "a selection lies in the text");
        if (i > 0)
            require(around[i].begin <= around[i - 1].begin && around[i - 1].end <= around[i].end,
                    "a selection holds the smaller one");
    }
    if (const auto item = prepare_calls(document, at)) {
        (void)incoming_calls(document, *item);
        (void)outgoing_calls(document, *item);
    }
    (void)sequence_report(document, at.line);
    (void)format_on_type(document, at, "\n");
}

void check_symbols(const Document& document, const std::vector<Symbol>& symbols) {
    for (const Symbol& symbol : symbols) {
        require_in(document, symbol.range, "a symbol lies in the text");
        require(symbol.range.begin <= symbol.selection.begin && symbol.selection.end <= symbol.range.end,
                "a symbol's name lies in it");
        require(!symbol.name.empty(), "a symbol has a name");
        check_symbols(document, symbol.children);
    }
}

void check_whole(const Document& document, Range range) {
    check_symbols(document, document_symbols(document));
    for (const FoldingRange& fold : folding_ranges(document))
        require(fold.first_line < fold.last_line && fold.last_line < document.buffer().line_count(),
                "a fold lies in the text");
    const std::vector<Token> tokens = semantic_tokens(document);
    for (std::size_t i = 0; i < tokens.size(); ++i) {
        require_in(document, {tokens[i].at, {tokens[i].at.line, tokens[i].at.column + tokens[i].length}},
                   "a token lies in its line");
        if (i == 0) continue;
        const Position behind{tokens[i - 1].at.line, tokens[i - 1].at.column + tokens[i - 1].length};
        require(behind <= tokens[i].at, "tokens stand one behind another");
    }
    (void)semantic_tokens(document, range);
    for (const InlayHint& hint : inlay_hints(document, range))
        require_in(document, {hint.at, hint.at}, "a hint lies in the text");
    for (const CodeLens& lens : code_lenses(document))
        require_in(document, lens.range, "a lens lies in the text");
    (void)restart_report(document);
    (void)workspace_symbols(document, "t1");
    (void)document_links(document, nullptr);
}

void check_format(const Document& document, Range range) {
    const std::vector<TextEdit> edits = format(document);
    require_edits(document, edits, "formatting edits lie in the text");
    require_edits(document, format(document, range), "formatting edits of a range lie in the text");
    const std::string once = edited(document, edits);
    const Document after(once, document.shop_pointer());
    require(format(after).empty(), "formatting twice is formatting once", once);
    require(!first_difference(document, after), "formatting keeps the moves", once);
}

void check_commands(const Document& document, fuzz::Choices& choices) {
    static const std::vector<std::string> names = command_names();
    static const std::vector<std::string> arguments[] = {{},
                                                         {"sequences"},
                                                         {"all_blocks", "10", "5"},
                                                         {"by_tool"},
                                                         {"inch"},
                                                         {"mm"},
                                                         {"A"},
                                                         {"B"},
                                                         {"C"},
                                                         {"diameter"},
                                                         {"radius"},
                                                         {"absolute", "0", "20"},
                                                         {"incremental", "0", "20"},
                                                         {"feed_missing"}};
    const Rewrite rewrite = run_command(document, names[choices.below(names.size())],
                                        arguments[choices.below(std::size(arguments))]);
    require_rewrite(document, rewrite, "a command's edits lie in the text");
    for (const FileEdits& file : rewrite.files) {
        const Document after(edited(document, file.edits), document.shop_pointer());
        check_warnings(after);
    }
}

void check_reports(const Document& document) {
    (void)report::picture_page(document);
    (void)report::sheet_markdown(document);
    (void)report::sheet_page(document);
    require(report::compare(document, document).same(), "a program is the same as itself");
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    fuzz::Choices choices({reinterpret_cast<const char*>(data), size});
    const auto& shop = fuzz::shop_number(choices.byte());
    const std::uint8_t what = choices.byte();
    fuzz::Choices places(choices.rest().substr(0, std::min<std::size_t>(choices.rest().size(), 8)));
    const Document document(choices.rest(), shop);
    check_warnings(document);
    const Range range{some_position(document, places), document.buffer().end()};
    if (what & 1)
        for (int i = 0; i < 2; ++i) check_place(document, some_position(document, choices));
    if (what & 2) check_whole(document, range);
    if (what & 4) check_format(document, range);
    if (what & 8) check_reports(document);
    if (what & 16) check_actions(document, {range.begin, {range.begin.line + 3, 0}});
    if (what & 32) check_commands(document, choices);
    return 0;
}

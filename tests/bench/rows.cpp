#include "bench/rows.h"

#include "bench/one_tree.h"
#include "bench/typist.h"

#include <algorithm>
#include <cstdio>

namespace bench {
namespace {

constexpr const char* start_row = "start to initialized";
constexpr const char* open_row = "open to first warnings";
constexpr const char* whole_row = "open to all warnings";
constexpr const char* block_memory_row = "resident memory for each block, bytes";
constexpr const char* key_row = "key to warnings, a digit";
constexpr const char* block_row = "key to warnings, a block typed and taken away";
constexpr const char* tool_row = "tool call put in or taken away to warnings";
constexpr const char* program_row = "O line put in or taken away to warnings";
constexpr const char* top_row = "key to warnings, units at the top";
constexpr const char* burst_row = "20 keys at once to the last one's warnings";
constexpr const char* hover_row = "hover";
constexpr const char* completion_row = "completion";
constexpr const char* outline_row = "outline";
constexpr const char* tokens_row = "semantic tokens, whole file";
constexpr const char* pull_row = "pull: key to warnings, a digit";
constexpr const char* tree_row = "one tree-sitter tree: same digits, parse alone";
constexpr const char* open_memory_row = "resident memory after open, MB";
constexpr const char* end_memory_row = "resident memory after all keys, MB";
constexpr const char* warnings_row = "warnings held";

/// Collects samples of `measure` until there are enough or time is up; a server in trouble is named, not
/// hidden.
template <typename Measure>
void collect(const Plan& plan, Samples& samples, std::size_t count, Measure measure) {
    const auto stop = Clock::now() + plan.row_limit;
    try {
        for (std::size_t i = 0; i < count && (i == 0 || Clock::now() < stop); ++i)
            for (const double value : measure()) samples.values.push_back(value);
    } catch (const NoAnswer& trouble) {
        samples.trouble = trouble.what();
    }
}

double resident_mb(const Session& session) {
    return static_cast<double>(session.memory().resident_kb) / 1000;
}

json position(Position at) {
    return {{"line", at.line}, {"character", at.column}};
}

/// A digit is changed and settled before each request, so that no answer comes from an earlier one.
void measure_request(const Plan& plan, Samples& samples, Session& session, Typist& typist, std::size_t count,
                     const std::string& method, bool at_place) {
    collect(plan, samples, count, [&] {
        session.key(typist.digit());
        json parameters = {{"textDocument", session.document()}};
        if (at_place) parameters["position"] = position(typist.place());
        return std::vector{session.request(method, parameters)};
    });
}

} // namespace

bool Plan::wants(const std::string& part) const {
    return only.empty() || std::find(only.begin(), only.end(), part) != only.end();
}

void measure_start(const Plan& plan, Table& table, std::size_t blocks) {
    collect(plan, table.at(start_row, blocks), 20, [&] {
        return std::vector{Session(plan.server, Diagnostics::push, "turning", "untitled:part.nc").start_ms()};
    });
}

void measure_push(const Plan& plan, Table& table, std::size_t blocks) {
    const std::string text = generate(plan.style, blocks);
    Session session(plan.server, Diagnostics::push, "turning", "file:///tmp/bench/part.nc");
    Typist typist(text, "XZ");
    const double empty_mb = resident_mb(session);
    collect(plan, table.at(open_row, blocks), 1, [&] { return std::vector{session.open(text)}; });
    collect(plan, table.at(whole_row, blocks), 1, [&] { return std::vector{session.opened_whole()}; });
    const double open_mb = resident_mb(session);
    table.at(open_memory_row, blocks).values = {open_mb};
    table.at(block_memory_row, blocks).values = {(open_mb - empty_mb) * 1e6 / static_cast<double>(blocks)};
    collect(plan, table.at(key_row, blocks), plan.keys,
            [&] { return std::vector{session.key(typist.digit())}; });
    table.at(warnings_row, blocks).values = {static_cast<double>(session.warning_count())};
    const auto one_by_one = [&](const std::vector<Edit>& edits) {
        std::vector<double> times;
        for (const Edit& edit : edits) times.push_back(session.key(edit));
        return times;
    };
    collect(plan, table.at(block_row, blocks), plan.keys / 16 + 1,
            [&] { return one_by_one(typist.typed_block()); });
    // What changes the shape of a program: its sequences, its programs.
    collect(plan, table.at(tool_row, blocks), plan.keys / 16 + 1,
            [&] { return one_by_one(typist.line("N9998 T0101")); });
    collect(plan, table.at(program_row, blocks), plan.keys / 16 + 1,
            [&] { return one_by_one(typist.line("O9998")); });
    collect(plan, table.at(top_row, blocks), plan.keys / 10 + 2,
            [&] { return std::vector{session.key(typist.units())}; });
    collect(plan, table.at(burst_row, blocks), plan.keys / 10 + 1, [&] {
        std::vector<Edit> edits;
        for (int i = 0; i < 20; ++i) edits.push_back(typist.digit());
        return std::vector{session.keys(edits)};
    });
    table.at(end_memory_row, blocks).values = {resident_mb(session)};
}

void measure_requests(const Plan& plan, Table& table, std::size_t blocks) {
    const std::string text = generate(plan.style, blocks);
    Session session(plan.server, Diagnostics::push, "turning", "file:///tmp/bench/part.nc");
    Typist typist(text, "XZ", 2);
    session.open(text);
    session.opened_whole();
    const struct {
        const char* row;
        const char* method;
        bool at_place;
        std::size_t count;
    } requests[] = {{hover_row, "textDocument/hover", true, plan.keys},
                    {completion_row, "textDocument/completion", true, plan.keys},
                    {outline_row, "textDocument/documentSymbol", false, plan.keys / 4 + 1},
                    {tokens_row, "textDocument/semanticTokens/full", false, plan.keys / 10 + 1}};
    for (const auto& request : requests)
        measure_request(plan, table.at(request.row, blocks), session, typist, request.count, request.method,
                        request.at_place);
}

void measure_pull(const Plan& plan, Table& table, std::size_t blocks) {
    const std::string text = generate(plan.style, blocks);
    Session session(plan.server, Diagnostics::pull, "turning", "file:///tmp/bench/part.nc");
    Typist typist(text, "XZ");
    session.open(text);
    session.opened_whole();
    collect(plan, table.at(pull_row, blocks), plan.keys,
            [&] { return std::vector{session.key(typist.digit())}; });
}

void measure_one_tree(const Plan& plan, Table& table, std::size_t blocks) {
    const std::string text = generate(plan.style, blocks);
    Typist typist(text, "XZ");
    OneTree tree(typist.buffer());
    collect(plan, table.at(tree_row, blocks), plan.keys, [&] {
        const Edit edit = typist.digit();
        return std::vector{tree.key_ms(edit.range, edit.text)};
    });
    table.at("one tree-sitter tree: first parse", blocks).values = {tree.first_parse_ms()};
    if (tree.has_error()) table.at(tree_row, blocks).trouble = "the tree holds an error";
}

void measure_clangd(const Plan& plan, Table& table, std::size_t lines) {
    const std::string text = generate_c(lines);
    Session session(plan.clangd, Diagnostics::push, "c", "file:///tmp/bench/part.c");
    Typist typist(text, "*");
    collect(plan, table.at("clangd, C file: open to first warnings", lines), 1,
            [&] { return std::vector{session.open(text)}; });
    collect(plan, table.at("clangd, C file: key to warnings, a digit", lines), plan.keys / 10 + 1,
            [&] { return std::vector{session.key(typist.digit())}; });
    // It waits on purpose before it compiles; a hover right behind the key does not.
    collect(plan, table.at("clangd, C file: key and hover to the answer", lines), plan.keys / 10 + 1, [&] {
        const Edit edit = typist.digit();
        return std::vector{session.key_then(
            edit, "textDocument/hover",
            {{"textDocument", session.document()}, {"position", position(edit.range.begin)}})};
    });
}

std::vector<Target> targets() {
    return {{start_row, 0, 95, 30, "ms", ""},        {key_row, 2000, 95, 2, "ms", ""},
            {key_row, 100000, 95, 5, "ms", ""},      {top_row, 100000, 95, 60, "ms", ""},
            {open_row, 1000000, 50, 1500, "ms", ""}, {open_memory_row, 1000000, 50, 350, "MB", ""},
            {hover_row, 100000, 95, 5, "ms", ""},    {completion_row, 100000, 95, 5, "ms", ""},
            {outline_row, 100000, 95, 5, "ms", ""},  {pull_row, 2000, 50, 0.3, "ms", ""},
            {tool_row, 1000000, 95, 20, "ms", ""},   {key_row, 50000, 50, 1, "", tree_row},
            {key_row, 1000000, 50, 20, "", tree_row}};
}

} // namespace bench

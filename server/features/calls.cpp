// Which program calls which: in this file and the other files of the workspace.
#include "features/outline.h"
#include "features/speech.h"
#include "features/uses.h"
#include "language/said.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <unordered_map>

namespace turnwright::features {

namespace {

std::string name_of(std::int32_t number) {
    return number > 0 ? fmt::format("O{:04}", number) : said("Program");
}

CallItem item_of(const Document& document, const machine::ProgramPart& program) {
    CallItem item;
    item.number = program.number;
    item.name = name_of(program.number);
    item.range = lines_between(document, program.first, program.last);
    item.selection = document.range_of(program.first);
    const std::size_t first = document.line_of(program.first);
    const std::size_t last = document.line_of(program.last);
    for (std::size_t line = first; line <= std::min(last, first + 8); ++line) {
        const BlockPlace place = document.place_of_line(line);
        for (const syntax::Item& word : document.items(place))
            if (word.letter == 'O' && word.is_word()) {
                item.selection = document.range_of(place, word);
                item.detail = note_of(document, place);
                return item;
            }
    }
    return item;
}

/// The programs of another file by their O words, each up to the next.
struct OtherProgram {
    CallItem item;
    BlockPlace first;
};
std::vector<OtherProgram> programs_in(const WorkspaceFile& file, codes::System system) {
    std::vector<OtherProgram> programs;
    for (const Use& use : program_starts(file, system)) {
        CallItem item;
        item.number = use.named.number;
        item.name = name_of(item.number);
        item.path = file.path;
        item.selection = word_range(file, use);
        item.range = {item.selection.begin, file.buffer->end()};
        if (!programs.empty()) programs.back().item.range.end = item.selection.begin;
        programs.push_back({std::move(item), use.place});
    }
    return programs;
}

std::vector<WorkspaceFile> others(const Document& document, const Workspace* workspace) {
    std::vector<WorkspaceFile> files = workspace ? workspace->files() : std::vector<WorkspaceFile>{};
    std::erase_if(files, [&](const WorkspaceFile& file) { return file.path == document.path(); });
    return files;
}

template <class Visit>
void for_each_call(const Document& document, BlockPlace first, BlockPlace last, Visit&& visit) {
    for (std::size_t run = first.run; run <= last.run && run < document.analysis().size(); ++run)
        for (const machine::Landmark& mark : document.analysis().result(run)->shape->landmarks) {
            const BlockPlace place{run, mark.block};
            if (mark.kind != machine::Landmark::Kind::call || place < first || last < place) continue;
            for (const Use& use : uses_in_block(document.run(run), place, document.settings().system))
                if (use.named.kind == NamedKind::program && !use.defines) visit(use);
        }
}

/// The call words of a span of the document, by the number they call.
void add_calls(const Document& document, BlockPlace first, BlockPlace last,
               std::vector<std::pair<std::int32_t, Range>>& calls) {
    for_each_call(document, first, last,
                  [&](const Use& use) { calls.emplace_back(use.named.number, word_range(document, use)); });
}

/// The programs that calls may lead to, by number: of the document before those of other files, and the first
/// where one stands twice.
std::unordered_map<std::int32_t, CallItem> all_programs(const Document& document,
                                                        const Workspace* workspace) {
    std::unordered_map<std::int32_t, CallItem> all;
    for (const machine::ProgramPart& program : document.outline().programs)
        if (!all.contains(program.number)) all.emplace(program.number, item_of(document, program));
    for (const WorkspaceFile& file : others(document, workspace))
        for (OtherProgram& program : programs_in(file, document.settings().system))
            all.emplace(program.item.number, std::move(program.item));
    return all;
}

/// Calls put together by the program at their other end, in the order in which these come first.
class CallList {
public:
    void add(const CallItem& item, Range range) {
        const auto [at, is_new] = places_.try_emplace({item.path, item.number}, calls.size());
        if (is_new) calls.push_back({item, {}});
        calls[at->second].ranges.push_back(range);
    }
    std::vector<Call> calls;

private:
    std::map<std::pair<std::filesystem::path, std::int32_t>, std::size_t> places_;
};

} // namespace

std::vector<Use> program_calls(const Document& document) {
    std::vector<Use> calls;
    constexpr std::size_t last = static_cast<std::size_t>(-1);
    for_each_call(document, {0, 0}, {last, 0}, [&](const Use& use) { calls.push_back(use); });
    return calls;
}

std::optional<CallItem> prepare_calls(const Document& document, Position at) {
    const BlockPlace place = document.place_of_line(document.buffer().clamp(at).line);
    const std::optional<Use> use = use_at(document, at);
    if (use && use->named.kind == NamedKind::program)
        for (const machine::ProgramPart& program : document.outline().programs)
            if (program.number == use->named.number) return item_of(document, program);
    const machine::ProgramPart* program = program_at(document, place);
    return program ? std::optional(item_of(document, *program)) : std::nullopt;
}

std::vector<Call> incoming_calls(const Document& document, const CallItem& item, const Workspace* workspace) {
    CallList calls;
    if (item.number <= 0) return {};
    for (const machine::ProgramPart& program : document.outline().programs) {
        std::vector<std::pair<std::int32_t, Range>> words;
        add_calls(document, program.first, program.last, words);
        for (const auto& [number, range] : words)
            if (number == item.number) calls.add(item_of(document, program), range);
    }
    for (const WorkspaceFile& file : others(document, workspace)) {
        const std::vector<OtherProgram> programs = programs_in(file, document.settings().system);
        for (const Use& use : program_uses(file, document.settings().system, item.number)) {
            if (use.defines) continue;
            CallItem caller;
            caller.name = file.path.filename().string();
            caller.path = file.path;
            caller.range = {{0, 0}, file.buffer->end()};
            const auto behind = std::upper_bound(
                programs.begin(), programs.end(), use.place,
                [](BlockPlace place, const OtherProgram& program) { return place < program.first; });
            if (behind != programs.begin()) caller = std::prev(behind)->item;
            calls.add(caller, word_range(file, use));
        }
    }
    return std::move(calls.calls);
}

std::vector<Call> outgoing_calls(const Document& document, const CallItem& item, const Workspace* workspace) {
    CallList calls;
    std::vector<std::pair<std::int32_t, Range>> words;
    if (item.path.empty() || item.path == document.path()) {
        for (const machine::ProgramPart& program : document.outline().programs)
            if (program.number == item.number && document.range_of(program.first).begin == item.range.begin)
                add_calls(document, program.first, program.last, words);
    } else {
        for (const WorkspaceFile& file : others(document, workspace)) {
            if (file.path != item.path) continue;
            for (std::size_t run = 0; run < file.forest->size(); ++run)
                for (std::size_t block = 0; block < file.forest->run(run)->blocks.size(); ++block)
                    for (const Use& use :
                         uses_in_block(*file.forest->run(run), {run, block}, document.settings().system)) {
                        const Range range = word_range(file, use);
                        if (use.named.kind == NamedKind::program && !use.defines &&
                            item.range.begin <= range.begin && range.end <= item.range.end)
                            words.emplace_back(use.named.number, range);
                    }
        }
    }
    if (words.empty()) return {};
    const std::unordered_map<std::int32_t, CallItem> programs = all_programs(document, workspace);
    for (const auto& [number, range] : words)
        if (const auto called = programs.find(number); called != programs.end())
            calls.add(called->second, range);
    return std::move(calls.calls);
}

} // namespace turnwright::features

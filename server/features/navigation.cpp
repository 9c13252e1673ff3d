#include "features/navigation.h"
#include "language/said.h"

#include "features/speech.h"
#include "features/two_paths.h"
#include "features/uses.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <unordered_map>

namespace turnwright::features {

namespace {

std::vector<WorkspaceFile> files_of(const Workspace* workspace) {
    return workspace ? workspace->files() : std::vector<WorkspaceFile>{};
}

struct Found {
    Location location;
    bool defines;
};

std::vector<Found> find_all(const Document& document, const Use& use, const Workspace* workspace) {
    std::vector<Found> found;
    for (const Use& other : uses_of(document, use.named, scope_of(document, use)))
        found.push_back({{{}, word_range(document, other)}, other.defines});
    if (use.named.kind != NamedKind::program) return found;
    for (const WorkspaceFile& file : files_of(workspace))
        if (file.path != document.path())
            for (const Use& other : program_uses(file, document.settings().system, use.named.number))
                found.push_back({{file.path, word_range(file, other)}, other.defines});
    return found;
}

} // namespace

std::vector<Location> definition(const Document& document, Position at, const Workspace* workspace) {
    std::vector<Location> places;
    if (document.settings().machine.has_paths()) {
        const syntax::Item* item = item_at(document, document.buffer().clamp(at));
        if (item && (item->letter == 'M' || item->letter == 'O'))
            places = partner_places(document, document.place_of_line(document.buffer().clamp(at).line),
                                    files_of(workspace));
        if (!places.empty()) return places;
    }
    const std::optional<Use> use = use_at(document, at);
    if (!use) return places;
    for (const Found& found : find_all(document, *use, workspace))
        if (found.defines) places.push_back(found.location);
    // A common variable may be assigned in many blocks: the last one above is what holds here.
    if (use->named.kind == NamedKind::variable && !use->defines) {
        const Range here = word_range(document, *use);
        const auto behind = std::find_if(places.begin(), places.end(), [&](const Location& place) {
            return here.begin <= place.range.begin;
        });
        if (behind != places.begin()) return {*std::prev(behind)};
    }
    return places;
}

std::vector<Location> references(const Document& document, Position at, bool with_definition,
                                 const Workspace* workspace) {
    std::vector<Location> places;
    const std::optional<Use> use = use_at(document, at);
    if (!use) return places;
    for (const Found& found : find_all(document, *use, workspace))
        if (with_definition || !found.defines) places.push_back(found.location);
    return places;
}

std::vector<Highlight> highlights(const Document& document, Position at) {
    std::vector<Highlight> all;
    const std::optional<Use> use = use_at(document, at);
    if (!use) return all;
    for (const Use& other : uses_of(document, use->named, scope_of(document, *use)))
        all.push_back({word_range(document, other), other.defines});
    return all;
}

// --- Rename -----------------------------------------------------------------------------------------------

namespace {

bool can_be_renamed(const Use& use) {
    return use.named.kind == NamedKind::label || use.named.kind == NamedKind::program ||
           use.named.kind == NamedKind::variable;
}

/// The number in "102", "N102", "#102", "O1002"; -1 when it is none.
std::int32_t number_in(std::string_view name) {
    while (!name.empty() && (name.front() == ' ' || name.front() == '\t')) name.remove_prefix(1);
    while (!name.empty() && (name.back() == ' ' || name.back() == '\t')) name.remove_suffix(1);
    if (!name.empty() && std::string_view("NOPQnopq#").find(name.front()) != std::string_view::npos)
        name.remove_prefix(1);
    std::int32_t number = -1;
    const auto [end, error] = std::from_chars(name.data(), name.data() + name.size(), number);
    return error == std::errc{} && end == name.data() + name.size() ? number : -1;
}

struct Limits {
    std::int32_t least, most;
    std::string_view title;
};
Limits limits_of(NamedKind kind) {
    switch (kind) {
    case NamedKind::label:
        return {1, 99999, said("A block number")};
    case NamedKind::program:
        return {1, 9999, said("A program number")};
    default:
        return {1, 999, said("A variable")};
    }
}

/// Why a rename would change what the program does; empty when it would not.
std::string danger(const Document& document, const Use& use, std::int32_t number,
                   const Workspace* workspace) {
    const Scope scope = scope_of(document, use);
    if (!uses_of(document, {use.named.kind, number}, scope).empty())
        return said("{} is used in this program already.", number);
    if (use.named.kind == NamedKind::label)
        if (const auto place = computed_jump(document, scope))
            return said("Line {} jumps to a computed number, so it cannot be told which blocks it means.",
                        document.line_of(*place) + 1);
    if (use.named.kind == NamedKind::variable) {
        const machine::ProgramPart* program = program_at(document, use.place);
        if ((use.named.number <= 33 || number <= 33) && program && program->is_subprogram)
            return said(
                "Local variables of a subprogram get their values from the letters of its call; renaming "
                "one "
                "would break the calls.");
        for (const syntax::RunPointer& run : document.forest().runs())
            for (const syntax::Expression& node : run->expressions)
                if (node.operation == syntax::Operation::variable && node.left >= 0 &&
                    run->expressions[static_cast<std::size_t>(node.left)].operation !=
                        syntax::Operation::number)
                    return said(
                        "The program uses variables whose number is computed, so it cannot be told which "
                        "ones.");
    }
    if (use.named.kind == NamedKind::program)
        for (const WorkspaceFile& file : files_of(workspace))
            for (const Use& other : program_uses(file, document.settings().system, number))
                if (other.defines)
                    return said("O{:04} is a program in {} already.", number, file.path.filename().string());
    return {};
}

/// The new number with as many digits as the old one was written with.
std::string written_like(std::uint32_t digits, std::int32_t number) {
    return fmt::format("{:0{}}", number, digits);
}

std::vector<TextEdit> edits_for(const std::vector<Use>& uses, std::int32_t number, const auto& range_of) {
    std::vector<TextEdit> edits;
    edits.reserve(uses.size());
    for (const Use& use : uses)
        edits.push_back(
            {range_of(use),
             written_like(use.named.kind == NamedKind::program ? use.number_end - use.number_begin : 1,
                          number)});
    return edits;
}

} // namespace

std::optional<RenameStart> prepare_rename(const Document& document, Position at) {
    const std::optional<Use> use = use_at(document, at);
    if (!use || !can_be_renamed(*use)) return std::nullopt;
    const Range range = number_range(document, *use);
    return RenameStart{range, document.buffer().slice(range)};
}

Rewrite rename(const Document& document, Position at, std::string_view new_name, const Workspace* workspace) {
    Rewrite rewrite;
    const std::optional<Use> use = use_at(document, at);
    if (!use || !can_be_renamed(*use)) {
        rewrite.refused = said("Only N numbers, programs and variables can be renamed.");
        return rewrite;
    }
    const std::int32_t number = number_in(new_name);
    const Limits limits = limits_of(use->named.kind);
    if (number < limits.least || number > limits.most) {
        rewrite.refused =
            said("{} is a whole number from {} to {}.", limits.title, limits.least, limits.most);
        return rewrite;
    }
    if (number == use->named.number) return rewrite;
    rewrite.refused = danger(document, *use, number, workspace);
    if (!rewrite.done()) return rewrite;
    rewrite.files.push_back({{},
                             edits_for(uses_of(document, use->named, scope_of(document, *use)), number,
                                       [&](const Use& u) { return number_range(document, u); })});
    if (use->named.kind != NamedKind::program) return rewrite;
    for (const WorkspaceFile& file : files_of(workspace)) {
        if (file.path == document.path()) continue;
        std::vector<TextEdit> edits =
            edits_for(program_uses(file, document.settings().system, use->named.number), number,
                      [&](const Use& u) { return number_range(file, u); });
        if (!edits.empty()) rewrite.files.push_back({file.path, std::move(edits)});
    }
    return rewrite;
}

Rewrite rename_program(const Workspace& workspace, std::int32_t number, std::int32_t new_number) {
    Rewrite rewrite;
    const Limits limits = limits_of(NamedKind::program);
    if (new_number < limits.least || new_number > limits.most) {
        rewrite.refused =
            said("{} is a whole number from {} to {}.", limits.title, limits.least, limits.most);
        return rewrite;
    }
    // The words that name programs are the same in every system.
    constexpr codes::System any = codes::System::A;
    for (const WorkspaceFile& file : workspace.files()) {
        const std::vector<Use> taken = program_uses(file, any, new_number);
        if (std::any_of(taken.begin(), taken.end(), [](const Use& use) { return use.defines; })) {
            rewrite.files.clear();
            rewrite.refused = said("O{:04} is already in {}.", new_number, file.path.filename().string());
            return rewrite;
        }
        std::vector<TextEdit> edits = edits_for(program_uses(file, any, number), new_number,
                                                [&](const Use& use) { return number_range(file, use); });
        if (!edits.empty()) rewrite.files.push_back({file.path, std::move(edits)});
    }
    return rewrite;
}

std::vector<Range> linked_ranges(const Document& document, Position at) {
    std::vector<Range> ranges;
    const std::optional<Use> use = use_at(document, at);
    if (!use || use->named.kind != NamedKind::label) return ranges;
    const Scope scope = scope_of(document, *use);
    const std::vector<Use> uses = uses_of(document, use->named, scope);
    const auto definitions = std::count_if(uses.begin(), uses.end(), [](const Use& u) { return u.defines; });
    if (definitions != 1 || uses.size() < 2 || computed_jump(document, scope)) return ranges;
    for (const Use& other : uses) ranges.push_back(number_range(document, other));
    return ranges;
}

namespace {
/// The first file that holds each program, gone through once however many calls ask.
std::unordered_map<std::int32_t, const WorkspaceFile*> holders_of(const std::vector<WorkspaceFile>& files,
                                                                  codes::System system) {
    std::unordered_map<std::int32_t, const WorkspaceFile*> holders;
    for (const WorkspaceFile& file : files)
        for (const Use& use : program_starts(file, system)) holders.emplace(use.named.number, &file);
    return holders;
}
} // namespace

std::vector<DocumentLink> document_links(const Document& document, const Workspace* workspace) {
    std::vector<DocumentLink> links;
    const codes::System system = document.settings().system;
    std::optional<std::vector<WorkspaceFile>> files; // asked for only when the program calls another one
    std::unordered_map<std::int32_t, const WorkspaceFile*> holders;
    for (std::size_t run = 0; run < document.analysis().size(); ++run)
        for (const machine::Landmark& mark : document.analysis().result(run)->shape->landmarks) {
            if (mark.kind != machine::Landmark::Kind::call || mark.number < 0) continue;
            if (document.analysis().program(mark.number)) continue;
            if (!files) {
                files = files_of(workspace);
                holders = holders_of(*files, system);
            }
            const auto holder = holders.find(mark.number);
            if (holder == holders.end()) continue;
            const std::filesystem::path& path = holder->second->path;
            for (const Use& use : uses_in_block(document.run(run), {run, mark.block}, system))
                if (use.named == Named{NamedKind::program, mark.number})
                    links.push_back({word_range(document, use), path,
                                     fmt::format("O{:04} in {}", mark.number, path.filename().string())});
        }
    return links;
}

} // namespace turnwright::features

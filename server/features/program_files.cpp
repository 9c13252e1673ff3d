#include "features/program_files.h"

#include "host/host.h"

#include <algorithm>
#include <charconv>
#include <fstream>
#include <iterator>
#include <system_error>

namespace turnwright::features {

namespace {

/// 1234 for O1234.nc and 1234.nc; nullopt for other names.
std::optional<std::int32_t> number_in_name(const std::filesystem::path& path) {
    std::string stem = path.stem().string();
    std::size_t from = !stem.empty() && (stem[0] == 'O' || stem[0] == 'o') ? 1 : 0;
    std::int32_t number = 0;
    auto [end, failed] = std::from_chars(stem.data() + from, stem.data() + stem.size(), number);
    if (failed != std::errc{} || end != stem.data() + stem.size() || from == stem.size()) return std::nullopt;
    return number;
}

/// O numbers of a file's programs.
std::vector<std::int32_t> numbers_in(const syntax::Forest& forest) {
    std::vector<std::int32_t> numbers;
    for (const auto& run : forest.runs())
        for (const syntax::Block& block : run->blocks) {
            auto items = run->items_of(block);
            if (items.empty()) continue;
            const syntax::Item& first = items.front();
            if (first.kind == syntax::ItemKind::word && first.letter == 'O' && first.value >= 0 &&
                first.value < 1e9)
                numbers.push_back(static_cast<std::int32_t>(first.value));
        }
    return numbers;
}

std::optional<std::string> read(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return std::nullopt;
    return std::string{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

WorkspaceFile parse(const std::filesystem::path& path, std::string_view text) {
    auto buffer = std::make_shared<text::Buffer>(text);
    auto forest = std::make_shared<syntax::Forest>(*buffer);
    return {path, std::move(buffer), std::move(forest)};
}

} // namespace

bool has_program_ending(const std::filesystem::path& path) {
    static constexpr std::string_view endings[] = {".nc", ".cnc", ".tap", ".eia"};
    std::string ending = path.extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return std::find(std::begin(endings), std::end(endings), ending) != std::end(endings);
}

void ProgramFiles::set_folders(std::vector<std::filesystem::path> folders) {
    std::lock_guard lock(mutex_);
    folders_.clear();
    for (const auto& folder : folders) {
        std::error_code failed;
        auto real = host::canonical(folder, failed);
        if (!failed) folders_.push_back(std::move(real));
    }
    std::erase_if(entries_, [](const auto& entry) { return !entry.second.open; });
    indexed_ = false;
    looked_ = false;
    ++stamp_;
}

void ProgramFiles::open(const std::filesystem::path& path, const text::Buffer& buffer,
                        const syntax::Forest& forest) {
    std::lock_guard lock(mutex_);
    Entry& entry = entries_[path];
    entry.file = {path, std::make_shared<text::Buffer>(buffer), std::make_shared<syntax::Forest>(forest)};
    entry.open = true;
    indexed_ = false;
    ++stamp_;
}

void ProgramFiles::close(const std::filesystem::path& path) {
    std::lock_guard lock(mutex_);
    entries_.erase(path);
    indexed_ = false;
    looked_ = false;
    ++stamp_;
}

void ProgramFiles::refresh() {
    std::lock_guard lock(mutex_);
    looked_ = false;
}

void ProgramFiles::read_folders() const {
    if (looked_) return;
    looked_ = true;
    std::uintmax_t bytes = 0;
    std::size_t count = 0;
    bool changed = false;
    std::map<std::filesystem::path, Entry> found;
    for (const auto& folder : folders_) {
        std::error_code failed;
        std::filesystem::recursive_directory_iterator at(
            folder, std::filesystem::directory_options::skip_permission_denied, failed);
        for (; !failed && at != std::filesystem::recursive_directory_iterator(); at.increment(failed)) {
            const auto& path = at->path();
            bool hidden = path.filename().string().starts_with(".");
            if (at->is_directory(failed) &&
                (hidden || at.depth() >= deepest_folder || host::is_link(*at)))
                at.disable_recursion_pending();
            // A link may lead out of the folder.
            if (hidden || host::is_link(*at) || !at->is_regular_file(failed) || !has_program_ending(path))
                continue;
            Entry entry;
            entry.size = at->file_size(failed);
            entry.changed = host::last_change(*at, failed);
            if (failed || entry.size > largest_file) continue;
            if (++count > most_files || (bytes += entry.size) > most_bytes) break;
            auto known = entries_.find(path);
            if (known != entries_.end() && (known->second.open || (known->second.size == entry.size &&
                                                                   known->second.changed == entry.changed))) {
                found.insert(*known);
                continue;
            }
            auto text = read(path);
            if (!text) continue;
            entry.file = parse(path, *text);
            found.emplace(path, std::move(entry));
            changed = true;
        }
    }
    for (const auto& entry : entries_) {
        if (entry.second.open)
            found.insert(entry);
        else if (!found.contains(entry.first))
            changed = true;
    }
    if (!changed) return;
    entries_ = std::move(found);
    indexed_ = false;
    ++stamp_;
}

void ProgramFiles::index() const {
    read_folders();
    if (indexed_) return;
    indexed_ = true;
    by_number_.clear();
    // An O number in the text counts before the file's name, and the first file by path before later ones.
    for (const auto& [path, entry] : entries_)
        for (std::int32_t number : numbers_in(*entry.file.forest)) by_number_.try_emplace(number, &entry);
    for (const auto& [path, entry] : entries_)
        if (auto number = number_in_name(path)) by_number_.try_emplace(*number, &entry);
}

const ProgramFiles::Entry* ProgramFiles::entry_of(std::int32_t number) const {
    index();
    auto at = by_number_.find(number);
    return at == by_number_.end() ? nullptr : at->second;
}

std::vector<WorkspaceFile> ProgramFiles::files() const {
    std::lock_guard lock(mutex_);
    read_folders();
    std::vector<WorkspaceFile> all;
    for (const auto& entry : entries_) all.push_back(entry.second.file);
    return all;
}

std::shared_ptr<const syntax::Forest> ProgramFiles::find_program(std::int32_t number) const {
    std::lock_guard lock(mutex_);
    const Entry* entry = entry_of(number);
    return entry ? entry->file.forest : nullptr;
}

std::optional<std::filesystem::path> ProgramFiles::file_of(std::int32_t number) const {
    std::lock_guard lock(mutex_);
    const Entry* entry = entry_of(number);
    if (!entry) return std::nullopt;
    return entry->file.path;
}

std::uint64_t ProgramFiles::stamp() const {
    std::lock_guard lock(mutex_);
    // The folders are read when a call needs them; until then nothing depends on them.
    if (!entries_.empty()) read_folders();
    return stamp_;
}

} // namespace turnwright::features

#include "features/program_files.h"

#include "host/file.h"
#include "host/host.h"
#include "text/letters.h"

#include <algorithm>
#include <cctype>
#include <set>
#include <system_error>

namespace turnwright::features {

namespace {

/// The name of a file for the index, whichever way it was opened.
std::filesystem::path real_name(const std::filesystem::path& path) {
    std::error_code failed;
    auto real = host::weakly_canonical(path, failed);
    return failed ? path : real;
}

/// What a text costs while it is kept.
std::uintmax_t weight_of(std::string_view text) {
    const auto lines = static_cast<std::uintmax_t>(std::count(text.begin(), text.end(), '\n') +
                                                   std::count(text.begin(), text.end(), '\r'));
    return std::max<std::uintmax_t>(text.size(), lines * ProgramFiles::bytes_of_a_line);
}

WorkspaceFile parse(const std::filesystem::path& path, std::string_view text) {
    auto buffer = std::make_shared<text::Buffer>(text);
    auto forest = std::make_shared<syntax::Forest>(*buffer);
    return {path, std::move(buffer), std::move(forest)};
}

/// The lines that may begin with an O number: all that no other sign begins.
std::string heads_of(std::string_view text) {
    std::string heads;
    while (!text.empty()) {
        // One sign at a time: of 400 MB that takes a second less.
        std::string_view line = text.substr(0, text.find('\n'));
        line = line.substr(0, line.find('\r'));
        text.remove_prefix(std::min(line.size() + 1, text.size()));
        const auto first = std::find_if(line.begin(), line.end(), [](char c) { return !text::is_blank(c); });
        if (first == line.end()) continue;
        const bool is_other =
            *first > ' ' && *first <= '~' && *first != 'O' && *first != 'o' && *first != ':';
        if (!is_other) heads.append(line) += '\n';
    }
    return heads;
}

/// Programs that do not change any more.
class HeldPrograms : public machine::ProgramLibrary {
public:
    bool cut_short = false;
    std::map<std::int32_t, std::shared_ptr<const syntax::Forest>> programs;
    std::map<std::filesystem::path, std::shared_ptr<const syntax::Forest>>
        files; ///< By where they really lie
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const override {
        const auto found = programs.find(number);
        return found == programs.end() ? nullptr : found->second;
    }
    std::shared_ptr<const syntax::Forest> find_file(const std::filesystem::path& path) const override {
        const auto found = files.find(real_name(path));
        return found == files.end() ? nullptr : found->second;
    }
    std::uint64_t stamp() const override { return 1; }
    bool is_cut_short() const override { return cut_short; }
};

} // namespace

bool is_program_name(const std::filesystem::path& path, std::span<const std::string> more) {
    static constexpr std::string_view endings[] = {".nc", ".cnc", ".tap", ".eia"};
    std::string ending = path.extension().string();
    if (ending.empty()) {
        const std::string name = path.filename().string();
        return name.size() > 1 && name.size() < 10 && name.front() == 'O' &&
               name.find_first_not_of("0123456789", 1) == name.npos;
    }
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return std::find(std::begin(endings), std::end(endings), ending) != std::end(endings) ||
           std::find(more.begin(), more.end(), ending) != more.end();
}

void ProgramFiles::set_folders(const std::vector<std::filesystem::path>& folders,
                               std::vector<std::string> endings, std::size_t most) {
    std::lock_guard lock(mutex_);
    most_ = most;
    endings_ = std::move(endings);
    folders_.clear();
    for (const auto& folder : folders) {
        std::error_code failed;
        auto real = host::canonical(folder, failed);
        if (!failed) folders_.push_back(std::move(real));
    }
    for (auto at = entries_.begin(); at != entries_.end();)
        if (auto here = at++; !here->second.open) remove(here);
    looked_ = ever_looked_ = false;
    ++stamp_;
}

void ProgramFiles::put(Entries::iterator at, WorkspaceFile file,
                       std::shared_ptr<const syntax::Forest> indexed) const {
    Entry& entry = at->second;
    index_.change(at->first, entry.indexed.get(), indexed.get());
    forget_whole(entry);
    entry.file = std::move(file);
    entry.indexed = std::move(indexed);
    ++stamp_;
}

void ProgramFiles::forget_whole(Entry& entry) const {
    if (!entry.open && entry.file.forest) kept_ -= entry.weight;
    entry.file.forest.reset();
}

const std::shared_ptr<const syntax::Forest>& ProgramFiles::whole(Entries::iterator at) const {
    Entry& entry = at->second;
    if (entry.file.forest) return entry.file.forest;
    if (kept_ + entry.weight > most_kept) {
        cut_short_ = true;
        return entry.file.forest;
    }
    const auto read = host::read_file_in(entry.folder, at->first, largest_file);
    if (!read.problem.empty()) return entry.file.forest;
    entry.weight = weight_of(read.bytes);
    kept_ += entry.weight;
    entry.file = parse(at->first, read.bytes);
    index_.change(at->first, entry.indexed.get(), entry.file.forest.get()); // Should it be another one by now
    entry.indexed = entry.file.forest;
    return entry.file.forest;
}

void ProgramFiles::remove(Entries::iterator at) const {
    index_.change(at->first, at->second.indexed.get(), nullptr);
    forget_whole(at->second);
    entries_.erase(at);
    ++stamp_;
}

void ProgramFiles::open(const std::filesystem::path& path, const text::Buffer& buffer,
                        const syntax::Forest& forest) {
    std::lock_guard lock(mutex_);
    const auto at = entries_.try_emplace(real_name(path)).first;
    if (at->second.indexed) whole(at);
    // An opened file that reads as it did is the same program for all who call it.
    const bool same = !at->second.open && at->second.file.buffer &&
                      at->second.file.buffer->byte_count() == buffer.byte_count() &&
                      at->second.file.buffer->whole() == buffer.whole();
    if (!same) {
        auto now = std::make_shared<syntax::Forest>(forest);
        put(at, {path, std::make_shared<text::Buffer>(buffer), now}, now);
    } else {
        kept_ -= at->second.weight;
    }
    at->second.open = true;
}

void ProgramFiles::close(const std::filesystem::path& path) {
    std::lock_guard lock(mutex_);
    const auto at = entries_.find(real_name(path));
    if (at == entries_.end() || !at->second.open) return;
    // Its file is read again, or the entry goes when there is none.
    at->second.weight = weight_of(at->second.file.buffer->whole());
    kept_ += at->second.weight;
    at->second.open = looked_ = false;
    at->second.changed = {};
    ++stamp_;
}

std::shared_ptr<const machine::ProgramLibrary> ProgramFiles::as_it_is() const {
    std::lock_guard lock(mutex_);
    read_folders();
    auto held = std::make_shared<HeldPrograms>();
    for (const auto& [number, path] : index_.files())
        if (const auto& forest = whole(entries_.find(path))) held->programs.emplace(number, forest);
    for (const auto& [path, entry] : entries_)
        if (entry.file.forest) held->files.emplace(path, entry.file.forest);
    held->cut_short = cut_short_;
    return held;
}

bool ProgramFiles::is_listened_to() const {
    std::lock_guard lock(mutex_);
    return files_asked_for_ || index_.is_listened_to();
}

void ProgramFiles::tell(std::int32_t number, const ProgramIndex::Flag& flag) const {
    std::lock_guard lock(mutex_);
    index_.tell(number, flag);
}

void ProgramFiles::refresh() {
    std::lock_guard lock(mutex_);
    looked_ = false;
}

void ProgramFiles::read_folders() const {
    if (looked_) return;
    looked_ = true;
    cut_short_ = false;
    const std::uint64_t before = stamp_;
    std::uintmax_t bytes = 0;
    std::size_t count = 0;
    std::set<std::filesystem::path> found;
    for (const auto& folder : folders_) {
        std::error_code failed;
        std::filesystem::recursive_directory_iterator at(
            folder, std::filesystem::directory_options::skip_permission_denied, failed);
        for (; !failed && at != std::filesystem::recursive_directory_iterator(); at.increment(failed)) {
            const auto& path = at->path();
            std::error_code of_entry; // A file that just went away is not the end of the folder.
            bool hidden = path.filename().string().starts_with(".");
            if (at->is_directory(of_entry) && (hidden || at.depth() >= deepest_folder || host::is_link(*at)))
                at.disable_recursion_pending();
            // A link may lead out of the folder.
            if (hidden || host::is_link(*at) || !at->is_regular_file(of_entry) ||
                !is_program_name(path, endings_))
                continue;
            Entry entry;
            entry.size = at->file_size(of_entry);
            if (of_entry || entry.size > largest_file) continue;
            entry.changed = host::last_change(*at, of_entry);
            if (of_entry) continue;
            if (++count > most_ || bytes + entry.size > most_bytes) {
                cut_short_ = true;
                break;
            }
            auto known = entries_.find(path);
            if (known != entries_.end() && (known->second.open || (known->second.size == entry.size &&
                                                                   known->second.changed == entry.changed))) {
                bytes += entry.size;
                found.insert(path);
                continue;
            }
            const auto read = host::read_file_in(folder, path, largest_file);
            if (!read.problem.empty()) continue;
            bytes += entry.size;
            found.insert(path);
            known = entries_.try_emplace(path).first;
            const auto& held = known->second.file.buffer;
            if (!held || held->whole() != read.bytes)
                put(known, {path, {}, {}}, parse(path, heads_of(read.bytes)).forest);
            if (!known->second.file.forest) known->second.weight = weight_of(read.bytes);
            known->second.size = entry.size;
            known->second.changed = entry.changed;
            known->second.folder = folder;
        }
    }
    for (auto at = entries_.begin(); at != entries_.end();)
        if (auto here = at++; !here->second.open && !found.contains(here->first)) remove(here);
    // Nothing was asked of these folders before: who has the stamp from then knows nothing else of them.
    if (!std::exchange(ever_looked_, true)) stamp_ = before;
}

std::vector<WorkspaceFile> ProgramFiles::files() const {
    std::lock_guard lock(mutex_);
    read_folders();
    std::vector<WorkspaceFile> all;
    for (auto at = entries_.begin(); at != entries_.end(); ++at)
        if (whole(at)) all.push_back(at->second.file);
    return all;
}

std::shared_ptr<const syntax::Forest> ProgramFiles::find_program(std::int32_t number) const {
    std::lock_guard lock(mutex_);
    read_folders();
    // A file that is read now may be another one than the folder held.
    while (const auto* path = index_.file_of(number)) {
        const auto at = entries_.find(*path);
        if (at->second.file.forest) return at->second.file.forest;
        if (!whole(at)) break;
    }
    return nullptr;
}

std::shared_ptr<const syntax::Forest> ProgramFiles::find_file(const std::filesystem::path& path) const {
    std::lock_guard lock(mutex_);
    files_asked_for_ = true;
    read_folders();
    const std::filesystem::path real = real_name(path);
    if (const auto found = entries_.find(real); found != entries_.end()) return whole(found);
    for (const std::filesystem::path& folder : beside_) {
        if (real.parent_path() != folder) continue;
        const auto [at, is_new] = found_beside_.try_emplace(real);
        if (!is_new) return at->second;
        const auto read = host::read_file_in(folder, real, largest_file);
        if (read.problem.empty()) at->second = parse(real, read.bytes).forest;
        return at->second;
    }
    return nullptr;
}

void ProgramFiles::look_beside(const std::filesystem::path& folder) {
    std::lock_guard lock(mutex_);
    std::error_code failed;
    auto real = host::canonical(folder, failed);
    if (!failed) beside_.push_back(std::move(real));
}

std::optional<std::filesystem::path> ProgramFiles::file_of(std::int32_t number) const {
    std::lock_guard lock(mutex_);
    read_folders();
    const auto* path = index_.file_of(number);
    if (!path) return std::nullopt;
    return entries_.at(*path).file.path; // as it was opened
}

std::uint64_t ProgramFiles::stamp() const {
    std::lock_guard lock(mutex_);
    // The folders are read when a call needs them; until then nothing depends on them.
    if (!entries_.empty()) read_folders();
    return stamp_;
}

bool ProgramFiles::is_cut_short() const {
    const std::lock_guard lock(mutex_);
    return cut_short_;
}

} // namespace turnwright::features

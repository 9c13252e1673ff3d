#include "features/program_index.h"

#include <algorithm>
#include <charconv>
#include <span>
#include <string>
#include <system_error>

namespace turnwright::features {

namespace {

template <class Visit>
void for_each_number(std::span<const syntax::RunPointer> runs, Visit&& visit) {
    for (const syntax::RunPointer& run : runs)
        for (const syntax::Block& block : run->blocks) {
            const auto items = run->items_of(block);
            if (items.empty()) continue;
            const syntax::Item& first = items.front();
            if (first.kind == syntax::ItemKind::word && first.letter == 'O' && first.value >= 0 &&
                first.value < 1e9)
                visit(static_cast<std::int32_t>(first.value));
        }
}

} // namespace

std::optional<std::int32_t> number_in_name(const std::filesystem::path& path) {
    std::string stem = path.stem().string();
    std::size_t from = !stem.empty() && (stem[0] == 'O' || stem[0] == 'o') ? 1 : 0;
    std::int32_t number = 0;
    auto [end, failed] = std::from_chars(stem.data() + from, stem.data() + stem.size(), number);
    if (failed != std::errc{} || end != stem.data() + stem.size() || from == stem.size()) return std::nullopt;
    return number;
}

void ProgramIndex::change(const std::filesystem::path& path, const syntax::Forest* before,
                          const syntax::Forest* after) {
    std::span<const syntax::RunPointer> old_runs, new_runs;
    if (before) old_runs = before->runs();
    if (after) new_runs = after->runs();
    // Runs that stayed say nothing new.
    const auto same = std::mismatch(old_runs.begin(), old_runs.end(), new_runs.begin(), new_runs.end());
    const auto front = static_cast<std::size_t>(same.first - old_runs.begin());
    old_runs = old_runs.subspan(front);
    new_runs = new_runs.subspan(front);
    while (!old_runs.empty() && !new_runs.empty() && old_runs.back() == new_runs.back()) {
        old_runs = old_runs.first(old_runs.size() - 1);
        new_runs = new_runs.first(new_runs.size() - 1);
    }
    std::map<std::int32_t, int> more;
    for_each_number(old_runs, [&](std::int32_t number) { --more[number]; });
    for_each_number(new_runs, [&](std::int32_t number) { ++more[number]; });

    std::map<std::int32_t, int>& counts = counts_[path];
    for (const auto& [number, added] : more) {
        int& count = counts[number];
        if (count == 0 && added > 0) places_[number].insert({false, path});
        count += added;
        if (count > 0) continue;
        counts.erase(number);
        places_[number].erase({false, path});
    }
    const auto named = number_in_name(path);
    if (named && !before) places_[*named].insert({true, path});
    if (named && !after) places_[*named].erase({true, path});
    for (auto& [number, flags] : listeners_)
        if (number == named || more.contains(number) || counts.contains(number))
            for (const auto& listener : flags)
                if (const auto flag = listener.lock()) *flag = true;
    if (!after) counts_.erase(path);
}

const std::filesystem::path* ProgramIndex::file_of(std::int32_t number) const {
    const auto found = places_.find(number);
    return found == places_.end() || found->second.empty() ? nullptr : &found->second.begin()->path;
}

std::map<std::int32_t, std::filesystem::path> ProgramIndex::files() const {
    std::map<std::int32_t, std::filesystem::path> files;
    for (const auto& [number, places] : places_)
        if (!places.empty()) files.emplace(number, places.begin()->path);
    return files;
}

void ProgramIndex::tell(std::int32_t number, const Flag& flag) {
    auto& all = listeners_[number];
    std::erase_if(all, [](const auto& listener) { return listener.expired(); });
    all.push_back(flag);
}

} // namespace turnwright::features

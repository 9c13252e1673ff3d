// Which programs exist, by number, and who wants to be told when one of them changes.
#pragma once

#include "syntax/syntax.h"

#include <atomic>
#include <filesystem>
#include <map>
#include <memory>
#include <set>
#include <vector>

namespace turnwright::features {

/// 1234 for O1234.nc and 1234.nc; nullopt for other names.
std::optional<std::int32_t> number_in_name(const std::filesystem::path& path);

/// An O number in a text counts before a file's name, and the first file by path before later ones.
class ProgramIndex {
public:
    /// Set when something that was asked for has changed; whoever reads it clears it.
    using Flag = std::shared_ptr<std::atomic<bool>>;

    /// A file's text changed from `before` (nullptr: there was none) to `after` (nullptr: there is none
    /// more). Of a text that follows an edit only the runs that are others now are read.
    void change(const std::filesystem::path& path, const syntax::Forest* before, const syntax::Forest* after);
    /// The file with the program; nullptr when there is none.
    const std::filesystem::path* file_of(std::int32_t number) const;
    std::map<std::int32_t, std::filesystem::path> files() const;
    /// From now on `flag` is set when a file that holds, held or will hold the number changes.
    void tell(std::int32_t number, const Flag& flag);
    bool is_listened_to() const { return !listeners_.empty(); }

private:
    struct Place {
        bool by_name;
        std::filesystem::path path;
        auto operator<=>(const Place&) const = default;
    };

    std::map<std::filesystem::path, std::map<std::int32_t, int>> counts_; ///< O words of each file
    std::map<std::int32_t, std::set<Place>> places_;
    std::map<std::int32_t, std::vector<std::weak_ptr<std::atomic<bool>>>> listeners_;
};

} // namespace turnwright::features

// The shop files that hold for the open programs, read once and again when they change.
#pragma once

#include "host/file.h"
#include "shop/shop.h"

#include <filesystem>
#include <map>
#include <memory>
#include <vector>

namespace turnwright::protocol {

class ShopFiles {
public:
    /// Only files inside these folders are read; links that lead out of them are not followed.
    void set_roots(const std::vector<std::filesystem::path>& roots);
    const std::vector<std::filesystem::path>& roots() const { return roots_; }
    /// Whether a file lies in one of them, whatever links and `..` its path holds.
    bool hold(const std::filesystem::path& file) const { return !root_of(file).first.empty(); }
    /// A file that lies in one of them, whatever links and `..` its path holds.
    host::FileRead read(const std::filesystem::path& file, std::uintmax_t largest) const;

    /// The shop for a program, with the job file beside it; the one without a file when there is none or the
    /// program lies outside the roots.
    std::shared_ptr<const shop::Shop> shop_for(const std::filesystem::path& program);
    /// Reads again what is asked for from now on.
    void forget();
    /// A program is no longer open: files that only its shop was read from are dropped, and what is wrong in
    /// them.
    void close(const std::filesystem::path& program);
    /// What is wrong in the files that were read since, by their paths.
    const std::map<std::filesystem::path, std::vector<shop::Problem>>& problems() const { return problems_; }
    /// Moves whenever `problems` may be others.
    std::uint64_t stamp() const { return stamp_; }

private:
    /// The root that holds a file, and where the file really lies; empty when none does.
    std::pair<std::filesystem::path, std::filesystem::path> root_of(const std::filesystem::path& file) const;
    /// Adds the file to those read for the program.
    std::shared_ptr<const shop::Shop> shop_file_for(const std::filesystem::path& real_program,
                                                    const std::filesystem::path& root,
                                                    std::vector<std::filesystem::path>& files);

    std::vector<std::filesystem::path> roots_; ///< Canonical
    std::shared_ptr<const shop::Shop> without_file_;
    std::map<std::filesystem::path, std::shared_ptr<const shop::Shop>> read_;
    std::map<std::filesystem::path, std::vector<shop::Problem>> problems_;
    std::map<std::filesystem::path, std::vector<std::filesystem::path>> read_for_; ///< By program
    std::uint64_t stamp_ = 1;

    void keep_problems(const std::filesystem::path& path, const std::vector<shop::Problem>& problems);
};

/// Whether `path` lies in `folder`, both canonical.
bool lies_in(const std::filesystem::path& path, const std::filesystem::path& folder);

} // namespace turnwright::protocol

#include "protocol/shop_files.h"

#include "shop/job_file.h"

#include "host/host.h"

#include <algorithm>
#include <system_error>

namespace turnwright::protocol {
namespace {

// A person writes this file; something far larger is something else.
constexpr std::uintmax_t largest_shop_file = 4 << 20;

} // namespace

bool lies_in(const std::filesystem::path& path, const std::filesystem::path& folder) {
    const auto [at, unused] = std::mismatch(folder.begin(), folder.end(), path.begin(), path.end());
    return at == folder.end();
}

void ShopFiles::set_roots(const std::vector<std::filesystem::path>& roots) {
    roots_.clear();
    for (const auto& root : roots) {
        std::error_code failed;
        auto real = host::canonical(root, failed);
        if (!failed) roots_.push_back(std::move(real));
    }
    forget();
}

std::pair<std::filesystem::path, std::filesystem::path>
ShopFiles::root_of(const std::filesystem::path& file) const {
    std::error_code failed;
    auto real = host::canonical(file, failed);
    for (const auto& root : roots_)
        if (!failed && lies_in(real, root)) return {root, std::move(real)};
    return {};
}

host::FileRead ShopFiles::read(const std::filesystem::path& file, std::uintmax_t largest) const {
    const auto [root, real] = root_of(file);
    if (root.empty()) return {{}, "no such file in the workspace folders"};
    return host::read_file_in(root, real, largest);
}

void ShopFiles::keep_problems(const std::filesystem::path& path, const std::vector<shop::Problem>& problems) {
    if (problems.empty()) return;
    problems_[path] = problems;
    ++stamp_;
}

void ShopFiles::forget() {
    read_.clear();
    problems_.clear();
    read_for_.clear();
    ++stamp_;
}

void ShopFiles::close(const std::filesystem::path& program) {
    const auto of_program = read_for_.find(program);
    if (of_program == read_for_.end()) return;
    const std::vector<std::filesystem::path> files = std::move(of_program->second);
    read_for_.erase(of_program);
    for (const auto& file : files) {
        const bool is_used = std::any_of(read_for_.begin(), read_for_.end(), [&](const auto& other) {
            return std::find(other.second.begin(), other.second.end(), file) != other.second.end();
        });
        if (is_used) continue;
        read_.erase(file);
        if (problems_.erase(file) > 0) ++stamp_;
    }
}

std::shared_ptr<const shop::Shop> ShopFiles::shop_for(const std::filesystem::path& program) {
    if (!without_file_) without_file_ = std::make_shared<const shop::Shop>(shop::default_shop());
    if (program.empty()) return without_file_;
    std::error_code failed;
    const auto real_program = host::weakly_canonical(program, failed);
    if (failed) return without_file_;
    // The innermost root, where one lies in another.
    const std::filesystem::path* root = nullptr;
    for (const auto& candidate : roots_)
        if (lies_in(real_program, candidate) && (!root || lies_in(candidate, *root))) root = &candidate;
    if (!root) return without_file_;
    std::vector<std::filesystem::path>& files = read_for_[program];
    files.clear();
    auto shop = shop_file_for(real_program, *root, files);
    const auto job = shop::find_job_file(real_program, *root);
    if (job.empty()) return shop;
    files.push_back(job);
    const auto known = read_.find(job);
    if (known != read_.end()) return known->second;
    const host::FileRead file = read(job, largest_shop_file);
    if (!file.problem.empty()) return shop;
    const shop::Job held = shop::parse_job(file.bytes, job, *shop);
    keep_problems(job, held.problems);
    shop = std::make_shared<const shop::Shop>(shop::with_job(*shop, held));
    return read_.emplace(job, std::move(shop)).first->second;
}

std::shared_ptr<const shop::Shop> ShopFiles::shop_file_for(const std::filesystem::path& real_program,
                                                           const std::filesystem::path& root,
                                                           std::vector<std::filesystem::path>& files) {
    const auto found = shop::find_shop_file(real_program, root);
    if (found.empty()) return without_file_;
    std::error_code failed;
    const auto real = host::canonical(found, failed);
    if (failed || !lies_in(real, root)) return without_file_;
    files.push_back(real);
    const auto known = read_.find(real);
    if (known != read_.end()) return known->second;
    const host::FileRead file = host::read_file_in(root, real, largest_shop_file);
    if (!file.problem.empty()) return without_file_;
    auto shop = std::make_shared<const shop::Shop>(shop::parse_shop(file.bytes, real));
    keep_problems(real, shop->problems);
    return read_.emplace(real, std::move(shop)).first->second;
}

} // namespace turnwright::protocol

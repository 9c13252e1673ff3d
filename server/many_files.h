// Work on many files at once, with what a person sees of it.
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>

namespace turnwright::shop {
struct Shop;
}

namespace turnwright::commands {

/// Calls `work` once for every index below `count`, on so many threads (0: one a processor). From some twenty
/// files on a terminal shows how far it is.
void for_each_file(std::size_t count, unsigned jobs, const std::function<void(std::size_t)>& work);

/// The shop file that is to be used for all of them; nullptr: each has its nearest, or `problem` says why not.
std::shared_ptr<const shop::Shop> shop_for_all(const std::string& path, std::string& problem);

} // namespace turnwright::commands

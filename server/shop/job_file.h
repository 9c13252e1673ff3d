// The job file: stock and tools of one program, beside it and named after it.
#pragma once

#include "shop/shop.h"

namespace turnwright::shop {

/// "O1001.turnwright.toml" beside O1001.nc. Empty when there is none, when it leads out of `root` by a link,
/// or is larger than a shop file may be.
std::filesystem::path find_job_file(const std::filesystem::path& program, const std::filesystem::path& root);

/// What is wrong with a job file, in its own lines, for whoever shows it.
struct Job {
    Shop shop; ///< `stock` and `tools` only
    std::vector<Problem> problems;
};
/// Reads a job file's text. Never throws. It holds `units`, [stock] and [[tool]]; other tables are a problem
/// and left out.
Job parse_job(std::string_view toml, const std::filesystem::path& path);

/// The shop as it is for this job: a [stock] in the job file takes the place of the shop's, whole, so that no
/// bore or jaw of another job is left in it; a tool takes the place of the one at its station.
Shop with_job(Shop shop, const Job& job);

} // namespace turnwright::shop

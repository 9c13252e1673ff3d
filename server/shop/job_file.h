// The job file: stock and tools of one program, and how its control reads it, beside it and named after it.
#pragma once

#include "shop/shop.h"

namespace turnwright::shop {

/// "O1001.turnwright.toml" beside O1001.nc. Empty when there is none, when it leads out of `root` by a link,
/// or is larger than a shop file may be.
std::filesystem::path find_job_file(const std::filesystem::path& program, const std::filesystem::path& root);

/// What a job file states, and what is wrong with it, in its own lines, for whoever shows it.
struct Job {
    Shop shop; ///< `stock`, `tools`, and of its machine the keys of `job_machine_keys`
    std::vector<Problem> problems;
};
/// Of [machine] in a job file: how the control reads the program, and nothing of the machine's size.
inline constexpr std::string_view job_machine_keys[] = {"system", "power_on_units", "power_on",
                                                        "x",      "no_point",       "tool_digits"};
/// Reads a job file's text. Never throws. It holds `units`, [stock], [[tool]] and [machine] with its few
/// keys; other tables and keys are a problem and left out. Where it states no system, codes are read by the
/// one that all machines of `shop` have.
Job parse_job(std::string_view toml, const std::filesystem::path& path, const Shop& shop);

/// The shop as it is for this job: a [stock] in the job file takes the place of the shop's, whole, so that no
/// bore or jaw of another job is left in it; a tool takes the place of the one at its station. What it says
/// of the control goes into `for_job`: each key for itself, and of the codes in force after switching on each
/// group.
Shop with_job(Shop shop, const Job& job);

} // namespace turnwright::shop

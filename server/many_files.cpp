#include "many_files.h"
#include "language/said.h"

#include "host/host.h"
#include "report/report.h"

#include <algorithm>
#include <atomic>
#include <iostream>
#include <string>
#include <thread>
#include <vector>

namespace turnwright::commands {

void for_each_file(std::size_t count, unsigned jobs, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next = 0;
    const bool shows_progress = count > 20 && host::errors_go_to_a_terminal();
    const auto turn = [&] {
        for (std::size_t i; (i = next++) < count;) {
            work(i);
            if (shows_progress && i % 10 == 0)
                std::cerr << "\r" + std::to_string(i) + said(" of ") + std::to_string(count) +
                                 said(" files ");
        }
    };
    if (jobs == 0) jobs = std::max(1u, std::thread::hardware_concurrency());
    jobs = static_cast<unsigned>(std::min<std::size_t>({jobs, count, 64}));
    std::vector<std::thread> threads;
    for (unsigned i = 1; i < jobs; ++i) threads.emplace_back(turn);
    turn();
    for (std::thread& thread : threads) thread.join();
    if (shows_progress) std::cerr << "\r                              \r";
}

std::shared_ptr<const shop::Shop> shop_for_all(const std::string& path, std::string& problem) {
    if (path.empty()) return nullptr;
    const report::FileText read = report::read_program(host::path_of(path));
    if (read.problem.empty()) return report::load_shop(host::path_of(path));
    problem = said("shop file: ") + read.problem;
    return nullptr;
}

} // namespace turnwright::commands

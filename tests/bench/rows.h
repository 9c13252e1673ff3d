// The rows of the table: what is measured at one size.
#pragma once

#include "bench/generate.h"
#include "bench/table.h"

#include <chrono>
#include <string>
#include <vector>

namespace bench {

struct Plan {
    std::vector<std::string> server;
    std::vector<std::string> clangd; ///< Empty: not there.
    Style style = Style::hand;
    std::size_t keys = 200;
    std::size_t clangd_limit = 100000;  ///< Lines; beyond it one key takes minutes.
    std::chrono::seconds row_limit{20}; ///< A row stops early rather than take longer.
    std::vector<std::string> only;      ///< Parts to measure; empty: all.

    bool wants(const std::string& part) const;
};

void measure_start(const Plan& plan, Table& table, std::size_t blocks);
void measure_push(const Plan& plan, Table& table, std::size_t blocks);
void measure_requests(const Plan& plan, Table& table, std::size_t blocks);
void measure_pull(const Plan& plan, Table& table, std::size_t blocks);
void measure_one_tree(const Plan& plan, Table& table, std::size_t blocks);
void measure_clangd(const Plan& plan, Table& table, std::size_t lines);

std::vector<Target> targets();

} // namespace bench

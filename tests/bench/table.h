// Samples in, Markdown out.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace bench {

struct Samples {
    std::vector<double> values;
    std::string trouble; ///< Why there are none, or not all.

    /// By nearest rank: p50 of 3 values is the second.
    double percentile(double p) const;
    double max() const { return percentile(100); }
};

/// What must hold for one row at one size.
struct Target {
    std::string row;
    std::size_t blocks = 0; ///< 0: holds at every size.
    double percentile = 95;
    double limit = 0;
    std::string unit;
    /// When set, the limit is times this row's p50 at the same size, and the first row's p50 is compared.
    std::string against;
};

class Table {
public:
    Samples& at(const std::string& row, std::size_t blocks);
    const Samples* find(const std::string& row, std::size_t blocks) const;

    std::string markdown() const;
    std::string judged(const std::vector<Target>& targets) const;

private:
    std::string judge(const Target& target, std::size_t size) const;

    std::vector<std::string> order_;
    std::vector<std::size_t> sizes_;
    std::map<std::pair<std::string, std::size_t>, Samples> cells_;
};

/// 2000 as 2,000.
std::string grouped(std::size_t number);

} // namespace bench

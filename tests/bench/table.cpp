#include "bench/table.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace bench {
namespace {

std::string figure(double value) {
    char text[32];
    std::snprintf(text, sizeof text, value < 10 ? "%.3f" : value < 1000 ? "%.1f" : "%.0f", value);
    return text;
}

std::string cell(const Samples* samples) {
    if (samples == nullptr) return "";
    if (samples->values.empty()) return samples->trouble;
    std::string text = figure(samples->percentile(50));
    if (samples->values.size() > 1)
        text += " / " + figure(samples->percentile(95)) + " / " + figure(samples->max()) + " (" +
                std::to_string(samples->values.size()) + ")";
    if (!samples->trouble.empty()) text += ", then " + samples->trouble;
    return text;
}

} // namespace

std::string grouped(std::size_t number) {
    const std::string digits = std::to_string(number);
    std::string text;
    for (std::size_t i = 0; i < digits.size(); ++i) {
        if (i > 0 && (digits.size() - i) % 3 == 0) text += ',';
        text += digits[i];
    }
    return text;
}

double Samples::percentile(double p) const {
    if (values.empty()) return std::nan("");
    std::vector<double> sorted = values;
    std::sort(sorted.begin(), sorted.end());
    const auto rank = static_cast<std::size_t>(std::ceil(p / 100 * static_cast<double>(sorted.size())));
    return sorted[std::clamp<std::size_t>(rank, 1, sorted.size()) - 1];
}

Samples& Table::at(const std::string& row, std::size_t blocks) {
    if (std::find(order_.begin(), order_.end(), row) == order_.end()) order_.push_back(row);
    if (std::find(sizes_.begin(), sizes_.end(), blocks) == sizes_.end()) sizes_.push_back(blocks);
    return cells_[{row, blocks}];
}

const Samples* Table::find(const std::string& row, std::size_t blocks) const {
    const auto found = cells_.find({row, blocks});
    return found == cells_.end() ? nullptr : &found->second;
}

std::string Table::markdown() const {
    std::string text = "| ms, p50 / p95 / max (samples) |";
    std::string rule = "|---|";
    for (const std::size_t size : sizes_) {
        text.append(" ").append(grouped(size)).append(" blocks |");
        rule.append("---|");
    }
    text.append("\n").append(rule).append("\n");
    for (const auto& row : order_) {
        text.append("| ").append(row).append(" |");
        for (const std::size_t size : sizes_) text.append(" ").append(cell(find(row, size))).append(" |");
        text.append("\n");
    }
    return text;
}

std::string Table::judge(const Target& target, std::size_t size) const {
    const Samples* samples = find(target.row, size);
    if (samples == nullptr) return "";
    double measured = samples->percentile(target.percentile);
    bool reached = measured <= target.limit; // not a number, when nothing was measured, is a miss
    std::string asked = "p";
    asked.append(std::to_string(static_cast<int>(target.percentile))).append(" at most ");
    asked.append(figure(target.limit)).append(" ").append(target.unit);
    if (!target.against.empty()) {
        const Samples* other = find(target.against, size);
        if (other == nullptr || other->values.empty()) return "";
        measured = other->percentile(50) / samples->percentile(50);
        reached = measured >= target.limit;
        asked = figure(target.limit);
        asked.append(" times as fast, by p50, as ").append(target.against);
    }
    std::string text = "| ";
    text.append(target.row).append(" | ").append(grouped(size)).append(" | ").append(asked).append(" | ");
    return text.append(figure(measured)).append(reached ? " | reached |\n" : " | missed |\n");
}

std::string Table::judged(const std::vector<Target>& targets) const {
    std::string text = "| what | blocks | asked | measured | |\n|---|---|---|---|---|\n";
    for (const Target& target : targets)
        for (const std::size_t size : sizes_)
            if (target.blocks == 0 || target.blocks == size) text += judge(target, size);
    return text;
}

} // namespace bench

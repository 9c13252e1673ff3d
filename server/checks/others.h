// What the other tools or cuts of a program do, for rules that look for the one that differs.
#pragma once

#include <algorithm>

namespace turnwright::checks {

struct Others {
    double least = 1e9, most = 0;
    int count = 0;
    void add(double value) {
        ++count;
        least = std::min(least, value);
        most = std::max(most, value);
    }
    void add(const Others& more) {
        count += more.count;
        least = std::min(least, more.least);
        most = std::max(most, more.most);
    }
    bool differ() const { return most > least * 1.01; }
};

} // namespace turnwright::checks

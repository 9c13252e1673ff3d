// A program's text with the edits of a fix done to it.
#pragma once

#include "checks/checks.h"

#include <algorithm>
#include <string>
#include <vector>

namespace turnwright::checks {

inline std::string apply_edits(const text::Buffer& buffer, std::vector<Edit> edits) {
    text::Buffer out = buffer;
    auto line_of = [&](const Edit& edit) {
        return buffer.first_line_of_leaf(edit.block.run) + edit.block.block;
    };
    std::stable_sort(edits.begin(), edits.end(), [&](const Edit& a, const Edit& b) {
        return std::pair(line_of(a), a.begin_column) < std::pair(line_of(b), b.begin_column);
    });
    for (auto edit = edits.rbegin(); edit != edits.rend(); ++edit) {
        auto line = static_cast<std::uint32_t>(line_of(*edit));
        out.replace({{line, edit->begin_column}, {line, edit->end_column}}, edit->text);
    }
    return out.whole();
}

} // namespace turnwright::checks

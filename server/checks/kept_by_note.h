// What a note says, kept by its text: many rules ask for the same few notes, and again with every key.
#pragma once

#include <cstddef>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>

namespace turnwright::checks {

/// For what hangs on the text of a note, a program's unit and a station alone. Of any number of threads.
template <class Value>
class KeptByNote {
public:
    template <class ReadNote>
    Value of(std::string_view note, std::optional<double> mm_per_unit, int station, ReadNote&& read) {
        constexpr std::size_t longest_kept = 200, most_kept = 500;
        if (note.size() > longest_kept) return read();
        Key key(note, mm_per_unit, station);
        {
            const std::lock_guard lock(taken_);
            if (const auto known = kept_.find(key); known != kept_.end()) return known->second;
        }
        Value value = read();
        const std::lock_guard lock(taken_);
        if (kept_.size() >= most_kept) kept_.clear();
        kept_.emplace(std::move(key), value);
        return value;
    }

private:
    using Key = std::tuple<std::string, std::optional<double>, int>;
    std::mutex taken_;
    std::map<Key, Value> kept_;
};

} // namespace turnwright::checks

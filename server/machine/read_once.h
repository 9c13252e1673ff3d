// For a program that is read and told of once: what is kept of it is not asked whether it still holds.
#pragma once

#include <cstdint>

namespace turnwright::machine {

/// Programs that are evaluated from their text on this thread, while one is there, log nothing that is read
/// of them. After an edit all of such a program is worked out anew, whoever edits it.
class ReadOnce {
public:
    ReadOnce();
    ~ReadOnce();
    ReadOnce(const ReadOnce&) = delete;
    ReadOnce& operator=(const ReadOnce&) = delete;
    static bool is_here();
    /// In the version of a text that was read so.
    static constexpr std::uint64_t mark = std::uint64_t{1} << 63;

private:
    bool outer_;
};

} // namespace turnwright::machine

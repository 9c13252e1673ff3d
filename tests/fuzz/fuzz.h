// What the fuzzing targets share: choices made from the input's bytes, and a claim that must hold.
//
// Each target is one file with the entry point that libFuzzer calls. The same file is linked with
// replay_main.cpp for the normal tests, which play the kept inputs and some thousand changes of them.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace turnwright::fuzz {

/// Ends the program, as a sanitizer does, when a claim does not hold.
inline void require(bool holds, const char* claim, const std::string& seen = {}) {
    if (holds) return;
    std::fprintf(stderr, "does not hold: %s\n%s\n", claim, seen.c_str());
    std::abort();
}

/// Choices taken from the end of the input, so that what stands before them is plain text: any program is an
/// input as it is. Zeros when the input is used up.
class Choices {
public:
    explicit Choices(std::string_view bytes) : bytes_(bytes) {}

    std::uint8_t byte() {
        if (bytes_.empty()) return 0;
        const auto last = static_cast<std::uint8_t>(bytes_.back());
        bytes_.remove_suffix(1);
        return last;
    }
    bool flag() { return byte() & 1; }
    /// Below `count`, which is not 0.
    std::size_t below(std::size_t count) {
        const std::size_t low = byte();
        return (count > 256 ? low << 8 | byte() : low) % count;
    }
    /// What is not used yet.
    std::string_view rest() const { return bytes_; }

private:
    std::string_view bytes_;
};

} // namespace turnwright::fuzz

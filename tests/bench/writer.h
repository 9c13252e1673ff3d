// Writes blocks and counts them; random values that do not depend on the C++ library.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace bench {

class Writer {
public:
    Writer(std::size_t blocks, std::uint32_t seed) : left_(blocks), random_(seed * 2654435761U + 1) {}

    std::size_t left() const { return left_; }
    std::string take() { return std::move(text_); }

    /// Joins the pieces into one line.
    template <typename... Pieces>
    void block(const Pieces&... pieces) {
        (text_.append(pieces), ...);
        text_ += '\n';
        --left_;
    }

    /// From `low` up to and with `high`.
    int between(int low, int high) {
        random_ = random_ * 6364136223846793005ULL + 1442695040888963407ULL;
        return low + static_cast<int>((random_ >> 33) % static_cast<std::uint64_t>(high - low + 1));
    }

private:
    std::size_t left_;
    std::uint64_t random_;
    std::string text_;
};

/// A value in thousandths as a programmer writes it: 42. -0.25 12.5
inline std::string value(int thousandths) {
    const int whole = (thousandths < 0 ? -thousandths : thousandths);
    std::string digits = std::to_string(whole / 1000) + '.';
    std::string fraction = std::to_string(1000 + whole % 1000).substr(1);
    while (!fraction.empty() && fraction.back() == '0') fraction.pop_back();
    return (thousandths < 0 ? "-" : "") + digits + fraction;
}

inline std::string word(char letter, int thousandths) {
    return letter + value(thousandths);
}
inline std::string number(char letter, int whole) {
    return letter + std::to_string(whole);
}

} // namespace bench

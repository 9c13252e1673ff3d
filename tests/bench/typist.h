// Chooses keys at random places and keeps the text as the server should have it.
#pragma once

#include "bench/session.h"

#include <deque>
#include <random>

namespace bench {

class Typist {
public:
    /// `letters`: a number may be edited when it stands behind one of these ("XZ"; "*" in C).
    Typist(const std::string& text, std::string_view letters, std::uint32_t seed = 1)
        : buffer_(text), letters_(letters), random_(seed) {}

    const turnwright::text::Buffer& buffer() const { return buffer_; }

    /// The last digit of a number at a random place becomes another; every second call puts it back, so that
    /// the text stays what it was over a long run.
    Edit digit();
    /// G21 in the first block that has it becomes G20 and the other way round.
    Edit units();
    /// The keys that write a block after a random line and take it away again.
    std::vector<Edit> typed_block();
    /// A line put in after a random one, and taken away again.
    std::vector<Edit> line(std::string_view text);
    /// A position inside a word at a random place.
    Position place();

    void apply(const Edit& edit) { buffer_.replace(edit.range, edit.text); }

private:
    bool is_changed(std::uint32_t line) const;
    std::uint32_t random_line() { return static_cast<std::uint32_t>(random_() % buffer_.line_count()); }

    turnwright::text::Buffer buffer_;
    std::string letters_;
    std::mt19937 random_;
    std::deque<Edit> put_back_; ///< Oldest first.
};

} // namespace bench

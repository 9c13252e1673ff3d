// The text of a program, as lines in leaves, and the one place that converts positions.
//
// A buffer is a row of immutable leaves of about 64 whole lines. An edit makes new leaves for the lines it
// touches and tells which leaves it replaced; every later room keeps a row of results beside the leaves and
// replaces the same span. Copying a buffer shares all leaves, so a snapshot is cheap.
#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::text {

/// Position in the text: line from 0, column in bytes from the start of the line.
struct Position {
    std::uint32_t line = 0;
    std::uint32_t column = 0;
    auto operator<=>(const Position&) const = default;
};

/// Half-open: `begin` is in, `end` is out.
struct Range {
    Position begin;
    Position end;
    auto operator<=>(const Range&) const = default;
};

/// What a client counts characters in (LSP positionEncoding).
enum class Encoding : std::uint8_t { utf8, utf16, utf32 };

/// Some whole lines of text. The last line of the last leaf may lack a line end. Lines end at LF, CR LF or a
/// lone CR; a CR LF is never split between two leaves.
struct Leaf {
    std::string bytes;
    std::vector<std::uint32_t> line_starts; ///< Byte offset of each line; never empty, first is 0.

    std::size_t line_count() const { return line_starts.size(); }
    /// Line `i` of the leaf without its line end.
    std::string_view line(std::size_t i) const;
};
using LeafPointer = std::shared_ptr<const Leaf>;

/// Leaves `[first, first + removed)` of the old row became `[first, first + inserted)` of the new one.
struct Splice {
    std::size_t first = 0;
    std::size_t removed = 0;
    std::size_t inserted = 0;
};

class Buffer {
public:
    /// Lines a fresh leaf gets; a leaf that grows past twice this splits, one below half of it joins a
    /// neighbour.
    static constexpr std::size_t target_lines = 64;

    Buffer() : Buffer(std::string_view{}) {}
    /// Any bytes are accepted, also invalid UTF-8 and NUL.
    explicit Buffer(std::string_view whole);

    std::size_t line_count() const; ///< At least 1; text that ends with a line end has an empty last line.
    std::size_t byte_count() const;
    std::size_t leaf_count() const;
    const LeafPointer& leaf(std::size_t index) const;
    std::size_t first_line_of_leaf(std::size_t index) const;
    std::size_t leaf_of_line(std::size_t line) const;

    /// A line without its line end; empty when past the end.
    std::string_view line(std::size_t line) const;
    std::string whole() const;
    std::string slice(Range range) const;

    /// Nearest valid position: lines past the end go to the end of the text, columns past the end of a line
    /// to its end (before the line end), as LSP asks.
    Position clamp(Position position) const;
    Position end() const;

    /// Replaces `range` (clamped; begin and end swapped when out of order).
    Splice replace(Range range, std::string_view with);

    /// From a client's line and character. Past the end is clamped; a character inside a surrogate pair or a
    /// multi-byte sequence goes to its start. A byte that is no valid UTF-8 counts as one character.
    Position from_client(std::uint32_t line, std::uint32_t character, Encoding encoding) const;
    /// The client's character count of a position in its line.
    std::uint32_t to_client(Position position, Encoding encoding) const;

private:
    struct Span;
    Span find_span(Range range) const;
    void put_leaves(Splice splice, std::vector<LeafPointer> made, std::size_t lines_added);

    std::vector<LeafPointer> leaves_;
    std::vector<std::uint32_t> first_line_; ///< Parallel to leaves_.
    std::size_t lines_ = 1;
    std::size_t bytes_ = 0;
};

/// Bytes `[0, column)` of `line` counted in `encoding`, and back; both clamp. Used where only a line is at
/// hand.
std::uint32_t count_characters(std::string_view line, std::uint32_t column, Encoding encoding);
std::uint32_t find_column(std::string_view line, std::uint32_t characters, Encoding encoding);

} // namespace turnwright::text

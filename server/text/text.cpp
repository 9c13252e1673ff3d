#include "text/text.h"

#include <algorithm>
#include <cstring>
#include <iterator>
#include <utility>

namespace turnwright::text {
namespace {

/// Whether none of the eight bytes is CR or below, as LF is: then no line ends in them.
bool no_line_end(const char* eight) {
    std::uint64_t word = 0;
    std::memcpy(&word, eight, sizeof word);
    return ((word - 0x0e0e0e0e0e0e0e0eU) & ~word & 0x8080808080808080U) == 0;
}

/// Byte offsets of the lines of `bytes`. Only the tail of a buffer has a line after its last line end.
std::vector<std::size_t> find_line_starts(std::string_view bytes, bool is_tail) {
    std::vector<std::size_t> starts;
    // Growing it by and by would take the memory of millions of lines once more.
    starts.reserve(static_cast<std::size_t>(1 + std::count(bytes.begin(), bytes.end(), '\n') +
                                            std::count(bytes.begin(), bytes.end(), '\r')));
    starts.push_back(0);
    const char* data = bytes.data();
    const std::size_t size = bytes.size();
    for (std::size_t i = 0; i < size; ++i) {
        while (i + 8 <= size && no_line_end(data + i)) i += 8;
        while (i<size&& static_cast<unsigned char>(data[i])> '\r') ++i;
        if (i == size) break;
        if (data[i] == '\r') {
            if (i + 1 < size && data[i + 1] == '\n') ++i;
        } else if (data[i] != '\n') {
            continue;
        }
        starts.push_back(i + 1);
    }
    if (!is_tail && starts.size() > 1 && starts.back() == size) starts.pop_back();
    return starts;
}

LeafPointer make_leaf(std::string_view bytes, const std::size_t* starts, std::size_t count) {
    auto leaf = std::make_shared<Leaf>();
    leaf->bytes.assign(bytes);
    leaf->line_starts.resize(count);
    for (std::size_t i = 0; i < count; ++i)
        leaf->line_starts[i] = static_cast<std::uint32_t>(starts[i] - starts[0]);
    return leaf;
}

/// Cuts whole lines into leaves of target_lines; what is left over and too small joins the last one.
std::vector<LeafPointer> cut_leaves(std::string_view bytes, const std::vector<std::size_t>& starts) {
    constexpr std::size_t target = Buffer::target_lines;
    std::vector<LeafPointer> leaves;
    leaves.reserve(starts.size() / target + 1);
    for (std::size_t line = 0; line < starts.size();) {
        std::size_t count = std::min(target, starts.size() - line);
        const std::size_t left = starts.size() - line - count;
        if (left < target / 2) count += left;
        const std::size_t next = line + count;
        const std::size_t stop = next < starts.size() ? starts[next] : bytes.size();
        leaves.push_back(make_leaf(bytes.substr(starts[line], stop - starts[line]), &starts[line], count));
        line = next;
    }
    return leaves;
}

} // namespace

std::string_view Leaf::line(std::size_t i) const {
    if (i >= line_starts.size()) return {};
    const std::size_t begin = line_starts[i];
    std::size_t stop = i + 1 < line_starts.size() ? line_starts[i + 1] : bytes.size();
    if (stop > begin && bytes[stop - 1] == '\n') --stop;
    // A CR anywhere else in the line would have ended it.
    if (stop > begin && bytes[stop - 1] == '\r') --stop;
    return std::string_view(bytes).substr(begin, stop - begin);
}

Buffer::Buffer(std::string_view whole) {
    const auto starts = find_line_starts(whole, true);
    leaves_ = cut_leaves(whole, starts);
    lines_ = starts.size();
    bytes_ = whole.size();
    first_line_.resize(leaves_.size());
    std::uint32_t line = 0;
    for (std::size_t i = 0; i < leaves_.size(); ++i) {
        first_line_[i] = line;
        line += static_cast<std::uint32_t>(leaves_[i]->line_count());
    }
}

std::size_t Buffer::line_count() const {
    return lines_;
}
std::size_t Buffer::byte_count() const {
    return bytes_;
}
std::size_t Buffer::leaf_count() const {
    return leaves_.size();
}
const LeafPointer& Buffer::leaf(std::size_t index) const {
    return leaves_[index];
}
std::size_t Buffer::first_line_of_leaf(std::size_t index) const {
    return first_line_[index];
}

std::size_t Buffer::leaf_of_line(std::size_t line) const {
    const auto after = std::upper_bound(first_line_.begin(), first_line_.end(), line);
    return static_cast<std::size_t>(after - first_line_.begin()) - 1;
}

std::string_view Buffer::line(std::size_t line) const {
    if (line >= lines_) return {};
    const std::size_t index = leaf_of_line(line);
    return leaves_[index]->line(line - first_line_[index]);
}

std::string Buffer::whole() const {
    std::string all;
    all.reserve(bytes_);
    for (const auto& leaf : leaves_) all += leaf->bytes;
    return all;
}

Position Buffer::end() const {
    const auto last = static_cast<std::uint32_t>(lines_ - 1);
    return {last, static_cast<std::uint32_t>(line(last).size())};
}

Position Buffer::clamp(Position position) const {
    if (position.line >= lines_) return end();
    const auto length = static_cast<std::uint32_t>(line(position.line).size());
    return {position.line, std::min(position.column, length)};
}

/// Where the clamped, ordered range begins and ends in its leaves.
struct Buffer::Span {
    std::size_t first_leaf, last_leaf;
    std::size_t from, to; ///< Byte offsets in the first and in the last leaf.
};

Buffer::Span Buffer::find_span(Range range) const {
    Position begin = clamp(range.begin);
    Position stop = clamp(range.end);
    if (stop < begin) std::swap(begin, stop);
    const std::size_t first = leaf_of_line(begin.line);
    const std::size_t last = leaf_of_line(stop.line);
    return {first, last, leaves_[first]->line_starts[begin.line - first_line_[first]] + begin.column,
            leaves_[last]->line_starts[stop.line - first_line_[last]] + stop.column};
}

std::string Buffer::slice(Range range) const {
    const Span span = find_span(range);
    const std::string& head = leaves_[span.first_leaf]->bytes;
    if (span.first_leaf == span.last_leaf) return head.substr(span.from, span.to - span.from);
    std::string piece = head.substr(span.from);
    for (std::size_t i = span.first_leaf + 1; i < span.last_leaf; ++i) piece += leaves_[i]->bytes;
    piece.append(leaves_[span.last_leaf]->bytes, 0, span.to);
    return piece;
}

Splice Buffer::replace(Range range, std::string_view with) {
    const Span span = find_span(range);
    std::size_t first = span.first_leaf;
    std::size_t last = span.last_leaf;
    const std::string_view head = std::string_view(leaves_[first]->bytes).substr(0, span.from);
    const std::string_view tail = std::string_view(leaves_[last]->bytes).substr(span.to);
    std::string bytes;
    bytes.reserve(head.size() + with.size() + tail.size());
    bytes.append(head).append(with).append(tail);

    // A CR that ended the leaf before and an LF that now comes first are one line end.
    if (first > 0 && !bytes.empty() && bytes.front() == '\n' && leaves_[first - 1]->bytes.back() == '\r')
        bytes.insert(0, leaves_[--first]->bytes);

    auto starts = find_line_starts(bytes, last + 1 == leaves_.size());
    if (starts.size() < target_lines / 2) {
        if (last + 1 < leaves_.size()) {
            bytes += leaves_[++last]->bytes;
            starts = find_line_starts(bytes, last + 1 == leaves_.size());
        } else if (first > 0) {
            bytes.insert(0, leaves_[--first]->bytes);
            starts = find_line_starts(bytes, true);
        }
    }

    std::vector<LeafPointer> made;
    if (starts.size() <= 2 * target_lines)
        made.push_back(make_leaf(bytes, starts.data(), starts.size()));
    else
        made = cut_leaves(bytes, starts);

    const Splice splice{first, last + 1 - first, made.size()};
    std::size_t old_bytes = 0;
    std::size_t old_lines = 0;
    for (std::size_t i = first; i <= last; ++i) {
        old_bytes += leaves_[i]->bytes.size();
        old_lines += leaves_[i]->line_count();
    }
    bytes_ = bytes_ - old_bytes + bytes.size();
    lines_ = lines_ - old_lines + starts.size();
    put_leaves(splice, std::move(made), starts.size() - old_lines);
    return splice;
}

void Buffer::put_leaves(Splice splice, std::vector<LeafPointer> made, std::size_t lines_added) {
    const std::size_t common = std::min(splice.removed, splice.inserted);
    const auto row = leaves_.begin() + static_cast<std::ptrdiff_t>(splice.first);
    const auto lines = first_line_.begin() + static_cast<std::ptrdiff_t>(splice.first);
    const auto kept = static_cast<std::ptrdiff_t>(common);
    const auto removed = static_cast<std::ptrdiff_t>(splice.removed);
    std::move(made.begin(), made.begin() + kept, row);
    if (splice.removed > common) {
        leaves_.erase(row + kept, row + removed);
        first_line_.erase(lines + kept, lines + removed);
    } else if (splice.inserted > common) {
        leaves_.insert(row + kept, std::make_move_iterator(made.begin() + kept),
                       std::make_move_iterator(made.end()));
        first_line_.insert(lines + kept, splice.inserted - common, 0);
    }
    // Leaves after the new ones are not read, which would cost a cache miss each: their first lines all move
    // alike. `lines_added` wraps round when lines went away, and so does the sum.
    const std::size_t changed_end = splice.first + splice.inserted;
    for (std::size_t i = std::max<std::size_t>(splice.first, 1); i < changed_end; ++i)
        first_line_[i] = first_line_[i - 1] + static_cast<std::uint32_t>(leaves_[i - 1]->line_count());
    if (lines_added == 0) return;
    for (std::size_t i = changed_end; i < first_line_.size(); ++i)
        first_line_[i] += static_cast<std::uint32_t>(lines_added);
}

Position Buffer::from_client(std::uint32_t line, std::uint32_t character, Encoding encoding) const {
    if (line >= lines_) return end();
    return {line, find_column(this->line(line), character, encoding)};
}

std::uint32_t Buffer::to_client(Position position, Encoding encoding) const {
    if (position.line >= lines_) position = end();
    if (position.column == 0) return 0;
    const std::string_view text = line(position.line);
    return count_characters(text, std::min<std::size_t>(position.column, text.size()), encoding);
}

} // namespace turnwright::text

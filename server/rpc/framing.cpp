#include "rpc/framing.h"

#include <algorithm>
#include <charconv>
#include <utility>

namespace turnwright::rpc {
namespace {

constexpr std::string_view length_header = "content-length:";
// Larger than any text; a number like this is noise, not a size to be skipped.
constexpr std::uint64_t absurd_length = std::uint64_t{1} << 32;

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

bool same_letters(char a, char b) {
    return lower(a) == lower(b);
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

bool is_header_name(std::string_view name) {
    return !name.empty() && std::all_of(name.begin(), name.end(), [](char c) {
        return c > ' ' && c < 0x7f &&
               std::string_view("()<>@,;:\\\"/[]?={}").find(c) == std::string_view::npos;
    });
}

std::optional<std::uint64_t> whole_number(std::string_view text) {
    std::uint64_t value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (text.empty() || problem != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

} // namespace

std::string frame(std::string body) {
    // A large answer is moved up rather than copied.
    body.insert(0, "Content-Length: " + std::to_string(body.size()) + "\r\n\r\n");
    return body;
}

void FrameReader::feed(std::string_view bytes) {
    if (state_ == State::skip) {
        const auto skipped = std::min<std::uint64_t>(skip_left_, bytes.size());
        skip_left_ -= skipped;
        bytes.remove_prefix(skipped);
    }
    bytes_ += bytes;
}

std::optional<FrameReader::Event> FrameReader::next() {
    for (;;) {
        std::optional<Event> event;
        switch (state_) {
        case State::dead:
            return std::nullopt;
        case State::header:
            event = read_header();
            break;
        case State::body:
            event = read_body();
            break;
        case State::skip:
            if (skip_left_ > 0) return std::nullopt;
            state_ = State::header;
            continue;
        case State::search:
            if (!search()) return std::nullopt;
            continue;
        }
        if (event && event->kind == Event::Kind::malformed && told_) continue;
        if (event) {
            told_ = event->kind == Event::Kind::malformed;
            return event;
        }
        if (state_ != State::body && state_ != State::search) return std::nullopt;
        if (state_ == State::body && bytes_.size() - at_ < *length_) return std::nullopt;
    }
}

std::optional<FrameReader::Event> FrameReader::read_header() {
    while (state_ == State::header) {
        const std::size_t end = bytes_.find('\n', std::max(looked_, line_));
        if (std::min(end, bytes_.size()) - at_ > limits_.header_bytes) return fail("header too long");
        if (end == std::string::npos) {
            looked_ = bytes_.size();
            return std::nullopt;
        }
        std::string_view line(bytes_.data() + line_, end - line_);
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        const bool first = line_ == at_;
        line_ = looked_ = end + 1;
        if (!line.empty()) {
            if (auto problem = read_header_line(line)) return problem;
        } else if (first) {
            at_ = line_; // blank lines between frames hurt nobody
            drop_consumed();
        } else {
            return end_header();
        }
    }
    return std::nullopt;
}

std::optional<FrameReader::Event> FrameReader::read_header_line(std::string_view line) {
    const std::size_t colon = line.find(':');
    if (colon == std::string_view::npos || !is_header_name(line.substr(0, colon)))
        return fail("a line that is no header");
    if (!std::equal(line.begin(), line.begin() + colon + 1, length_header.begin(), length_header.end(),
                    same_letters))
        return std::nullopt;
    const auto value = whole_number(trimmed(line.substr(colon + 1)));
    if (!value || *value >= absurd_length) return fail("Content-Length is no usable number");
    if (length_ && *length_ != *value)
        fault_ = "two different Content-Length headers";
    else
        length_ = value;
    return std::nullopt;
}

std::optional<FrameReader::Event> FrameReader::end_header() {
    if (!length_ && fault_.empty()) fault_ = "a header without Content-Length";
    at_ = line_;
    if (!fault_.empty()) {
        --at_; // this header is passed over whole; the search begins behind it
        return fail(std::exchange(fault_, {}));
    }
    if (*length_ <= limits_.body_bytes) {
        state_ = State::body;
        return std::nullopt;
    }
    const std::string told = "a message of " + std::to_string(*length_) + " bytes is over the limit of " +
                             std::to_string(limits_.body_bytes);
    const auto here = std::min<std::uint64_t>(*length_, bytes_.size() - at_);
    skip_left_ = *length_ - here;
    at_ += here;
    drop_consumed();
    state_ = State::skip;
    return Event{Event::Kind::skipped, told};
}

std::optional<FrameReader::Event> FrameReader::read_body() {
    if (bytes_.size() - at_ < *length_) return std::nullopt;
    Event event{Event::Kind::body, bytes_.substr(at_, *length_)};
    at_ += *length_;
    drop_consumed();
    state_ = State::header;
    return event;
}

// Puts `at_` on the next thing that could be a header; keeps only what could be the start of one.
bool FrameReader::search() {
    const auto from = bytes_.begin() + static_cast<std::ptrdiff_t>(at_);
    const auto found =
        std::search(from, bytes_.end(), length_header.begin(), length_header.end(), same_letters);
    if (found == bytes_.end()) {
        const std::size_t keep = std::min(bytes_.size() - at_, length_header.size() - 1);
        at_ = bytes_.size() - keep;
        drop_consumed();
        return false;
    }
    at_ = static_cast<std::size_t>(found - bytes_.begin());
    drop_consumed();
    state_ = State::header;
    return true;
}

std::optional<FrameReader::Event> FrameReader::fail(std::string problem) {
    if (limits_.resynchronise) {
        ++at_; // the same place would be found again
        line_ = looked_ = at_;
        length_.reset();
        fault_.clear();
        state_ = State::search;
    } else {
        bytes_.clear();
        at_ = 0;
        state_ = State::dead;
    }
    return Event{Event::Kind::malformed, std::move(problem)};
}

void FrameReader::drop_consumed() {
    line_ = looked_ = at_;
    length_.reset();
    fault_.clear();
    if (at_ == bytes_.size()) {
        // One huge message must not hold its memory for ever.
        if (bytes_.capacity() > (std::size_t{1} << 20))
            std::string().swap(bytes_);
        else
            bytes_.clear();
    } else if (at_ > (std::size_t{64} << 10)) {
        bytes_.erase(0, at_);
    } else {
        return;
    }
    at_ = line_ = looked_ = 0;
}

} // namespace turnwright::rpc

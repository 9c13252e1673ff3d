#include "features/block_writer.h"

#include "features/speech.h"
#include "features/word_edits.h"
#include "text/letters.h"

#include <cmath>
#include <fmt/format.h>

namespace turnwright::features {

using calculate::Written;
using codes::Meaning;

std::string snippet_text(std::string_view text) {
    std::string out;
    for (char c : text) {
        if (c == '$' || c == '}' || c == '\\') out += '\\';
        out += c;
    }
    return out;
}

std::string without_fields(std::string_view snippet) {
    std::string out;
    for (std::size_t i = 0; i < snippet.size(); ++i) {
        if (snippet[i] == '\\' && i + 1 < snippet.size()) {
            out += snippet[++i];
        } else if (snippet[i] == '$' && i + 1 < snippet.size() && snippet[i + 1] == '{') {
            const std::size_t colon = snippet.find(':', i), end = snippet.find('}', i);
            if (end == std::string_view::npos) break;
            if (colon != std::string_view::npos && colon < end)
                out += snippet.substr(colon + 1, end - colon - 1);
            i = end;
        } else if (snippet[i] == '$') {
            ++i; // $0
        } else {
            out += snippet[i];
        }
    }
    return out;
}

bool writes_inch(const Typing& typing) {
    const machine::State& state = typing.block.before;
    return state.is(Meaning::inch) ||
           (!state.is(Meaning::millimetre) && typing.settings().machine.units == Meaning::inch);
}

std::string BlockWriter::number(double value, int places) const {
    std::string text = checks::written(rounded(value, places));
    if (text == "-0.") text = "0.";
    if (typing_.habits.zero_behind_point && text.ends_with('.')) text += '0';
    return text;
}

std::string BlockWriter::code(Meaning meaning) const {
    std::string written = codes::written_as(system_, meaning);
    if (!typing_.habits.leading_zeros && written.size() == 3 && written[1] == '0') written.erase(1, 1);
    return written;
}
std::string BlockWriter::x(double radius_mm) const {
    return "X" + field(value({'X', Written::x, radius_mm}));
}
std::string BlockWriter::z(double at_mm) const {
    return "Z" + field(value({'Z', Written::z, at_mm}));
}
std::string BlockWriter::length(double mm, int places) const {
    return number(inch_ ? mm / motion::mm_per_inch : mm, places);
}
std::string BlockWriter::feed(double mm) const {
    return "F" + field(length(mm, places()));
}

std::string BlockWriter::increments(double mm) const {
    const shop::Machine& machine = typing_.settings().machine;
    return fmt::format("{:.0f}", inch_ ? mm / motion::mm_per_inch / machine.least_increment_inch
                                       : mm / machine.least_increment_mm);
}

std::optional<double> BlockWriter::feed_scale() const {
    const machine::State& state = typing_.block.before;
    if (state.is(Meaning::feed_per_rev)) return 1.0;
    const motion::Spindle spindle = motion::spindle_of(state, typing_.settings());
    if (state.is(Meaning::feed_per_minute) && spindle.surface_speed == false && spindle.rpm)
        return *spindle.rpm;
    return std::nullopt;
}

std::string BlockWriter::value(const calculate::Word& word) const {
    switch (word.as) {
    case Written::x:
        return number(
            checks::x_as_written(inch_ ? word.value / motion::mm_per_inch : word.value, typing_.settings()),
            places());
    case Written::z:
        return length(word.value, places());
    case Written::length:
        return length(word.value, 4);
    case Written::increments:
        return increments(word.value);
    case Written::lead:
        return with_point(inch_ ? word.value / motion::mm_per_inch : word.value, 6);
    case Written::feed:
        return length(word.value * feed_scale().value_or(1), places());
    case Written::whole:
        return fmt::format("{:.0f}", word.value);
    case Written::text:
        break;
    }
    return word.digits;
}

std::string BlockWriter::text(const calculate::Block& block) const {
    std::string out;
    const auto add = [&](const std::string& word) {
        if (!out.empty() && blanks_) out += ' ';
        out += word;
    };
    if (block.number > 0) add(fmt::format("N{}", block.number));
    if (block.code) add(code(*block.code));
    for (const calculate::Word& word : block.words)
        if (word.as != Written::feed || knows_feed()) add(word.letter + field(value(word)));
    if (lower_case_)
        for (char& c : out) c = text::lower(c);
    return out;
}

} // namespace turnwright::features

#include "features/speech.h"
#include "language/said.h"

#include "checks/checks.h"
#include "text/capitals.h"
#include "text/letters.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <fmt/format.h>
#include <initializer_list>

namespace turnwright::features {

namespace {

/// Length of a valid UTF-8 sequence at the start of `bytes`; 0 when it is none.
std::size_t sequence_length(std::string_view bytes) {
    const auto lead = static_cast<unsigned char>(bytes[0]);
    std::size_t length = lead < 0x80                   ? 1
                         : lead >= 0xC2 && lead < 0xE0 ? 2
                         : lead >= 0xE0 && lead < 0xF0 ? 3
                         : lead >= 0xF0 && lead < 0xF5 ? 4
                                                       : 0;
    if (length == 0 || length > bytes.size()) return 0;
    for (std::size_t i = 1; i < length; ++i)
        if ((static_cast<unsigned char>(bytes[i]) & 0xC0) != 0x80) return 0;
    const auto second = length > 1 ? static_cast<unsigned char>(bytes[1]) : 0;
    const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
    const bool beyond = (lead == 0xED && second > 0x9F) || (lead == 0xF4 && second > 0x8F);
    return overlong || beyond ? 0 : length;
}

} // namespace

std::string readable(std::string_view bytes) {
    const bool plain = std::all_of(bytes.begin(), bytes.end(), [](char c) { return c >= ' ' && c < 0x7F; });
    if (plain) return std::string(bytes);
    std::string out;
    out.reserve(bytes.size());
    while (!bytes.empty()) {
        const auto byte = static_cast<unsigned char>(bytes[0]);
        std::size_t length = sequence_length(bytes);
        if (length == 0) { // Latin-1
            out += static_cast<char>(0xC0 | byte >> 6);
            out += static_cast<char>(0x80 | (byte & 0x3F));
            length = 1;
        } else if (byte < 0x20 || byte == 0x7F) {
            out += ' ';
        } else {
            out += bytes.substr(0, length);
        }
        bytes.remove_prefix(length);
    }
    return out;
}

namespace {

bool begins_with_any(std::string_view text, std::initializer_list<std::string_view> words) {
    return std::any_of(words.begin(), words.end(), [&](std::string_view word) {
        return text.size() >= word.size() &&
               std::equal(word.begin(), word.end(), text.begin(), [](char a, char b) {
                   return a == (b >= 'A' && b <= 'Z' ? static_cast<char>(b - 'A' + 'a') : b);
               });
    });
}

/// What acts only at the front of a line: a list, a rule, a heading's underline.
std::size_t acting_front(std::string_view text) {
    if (text.empty()) return std::string_view::npos;
    if (std::string_view("-+=").find(text[0]) != std::string_view::npos) return 0;
    const std::size_t after = text.find_first_not_of("0123456789");
    const bool list =
        after != 0 && after != std::string_view::npos && (text[after] == '.' || text[after] == ')');
    return list ? after : std::string_view::npos;
}

std::size_t longest_ticks(std::string_view text) {
    std::size_t longest = 0, now = 0;
    for (char c : text) longest = std::max(longest, now = c == '`' ? now + 1 : 0);
    return longest;
}

} // namespace

std::string in_markdown(std::string_view bytes) {
    const std::string text = readable(bytes);
    const std::size_t begin = std::min(text.find_first_not_of(' '), text.size());
    const std::string_view shown = std::string_view(text).substr(begin);
    const std::size_t front = acting_front(shown);
    std::string out;
    for (std::size_t i = 0; i < shown.size(); ++i) {
        const std::string_view rest = shown.substr(i);
        // Addresses are made links of by themselves: "://" and "www." and a name with @ in it.
        const bool acts =
            i == front || std::string_view("\\`*_{}[]<>#|~!&@").find(rest[0]) != std::string_view::npos ||
            rest.starts_with("://") || (i >= 3 && begins_with_any(shown.substr(i - 3), {"www."}));
        if (acts) out += '\\';
        out += rest[0];
    }
    return out;
}

std::string clipped(std::string text, std::size_t columns) {
    std::size_t shown = 0;
    for (std::size_t at = 0; at < text.size(); ++at) {
        if ((static_cast<unsigned char>(text[at]) & 0xC0) == 0x80) continue;
        if (++shown <= columns) continue;
        return text.substr(0, at) + "...";
    }
    return text;
}

std::size_t lines_shown(std::string_view markdown, std::size_t columns) {
    std::size_t lines = 0;
    bool in_fence = false;
    while (!markdown.empty()) {
        const std::size_t end = std::min(markdown.find('\n'), markdown.size());
        const std::string_view line = markdown.substr(0, end);
        markdown.remove_prefix(std::min(end + 1, markdown.size()));
        if (line.starts_with("```")) {
            in_fence = !in_fence;
            continue;
        }
        std::size_t shown = 0;
        for (const char c : line)
            shown += (static_cast<unsigned char>(c) & 0xC0) != 0x80 && (in_fence || c != '\\');
        lines += std::max<std::size_t>(1, (shown + columns - 1) / columns);
    }
    return lines;
}

std::string code_in_markdown(std::string_view bytes) {
    const std::string text = readable(bytes);
    const std::string ticks(longest_ticks(text) + 1, '`');
    // A blank keeps a tick of the text from the fence's own; both are taken off when it is shown.
    const std::string_view gap = ticks.size() > 1 || text.starts_with(' ') ? " " : "";
    return fmt::format("{0}{1}{2}{1}{0}", ticks, gap, text);
}

std::string fenced(std::string_view lines) {
    const std::string ticks(std::max<std::size_t>(3, longest_ticks(lines) + 1), '`');
    return fmt::format("{0}text\n{1}{0}\n", ticks, lines);
}

std::string compact(std::string_view word) {
    std::string out;
    for (char c : word)
        if (c != ' ' && c != '\t') out += text::upper(c);
    return readable(out);
}

std::string_view length_unit(const machine::State& state) {
    if (state.is(codes::Meaning::millimetre)) return "mm";
    if (state.is(codes::Meaning::inch)) return "in";
    return "";
}

std::string_view surface_unit(const machine::State& state) {
    if (state.is(codes::Meaning::millimetre)) return "m/min";
    if (state.is(codes::Meaning::inch)) return "ft/min";
    return "";
}

std::string plain(double number, int places) {
    if (!std::isfinite(number)) return "?";
    std::string text = fmt::format("{:.{}f}", number, places);
    if (text.find('.') != std::string::npos) {
        while (text.back() == '0') text.pop_back();
        if (text.back() == '.') text.pop_back();
    }
    return text == "-0" ? "0" : text;
}

std::string point_text(const machine::Value& x_radius, const machine::Value& z,
                       const machine::Settings& settings) {
    std::string text = "X";
    text += x_radius.known() ? checks::written(checks::x_as_written(x_radius.number, settings)) : "?";
    text += " Z";
    text += z.known() ? checks::written(z.number) : "?";
    return text;
}

std::string unknown_text(machine::Why why) {
    return said("not known here: {}", machine::explain(why));
}

std::string modal_text(const machine::Modal& modal, codes::Group group, const machine::Settings& settings) {
    if (modal.possible == 0) return unknown_text(modal.why);
    std::string text;
    for (unsigned member = 0; member < 16; ++member) {
        if (!(modal.possible >> member & 1u)) continue;
        const codes::Meaning meaning = codes::meaning_of(group, member);
        if (!text.empty()) text += said(" or ");
        const std::string code = codes::written_as(settings.system, meaning);
        if (!code.empty()) text += code + ' ';
        text += codes::title(meaning);
    }
    if (const machine::Assumption* assumption = settings.assumed.of(group);
        assumption && assumption->by != machine::Sign::none && modal.is_assumed())
        text += said(" (assumed: {}{})", assumption->by == machine::Sign::practice ? "" : said("by "),
                     machine::sign_title(assumption->by));
    return text;
}

double from_mm(double mm, const machine::State& state) {
    return state.is(codes::Meaning::inch) ? mm / motion::mm_per_inch : mm;
}
double to_mm(double length, const machine::State& state) {
    return state.is(codes::Meaning::inch) ? length * motion::mm_per_inch : length;
}

std::string aligned(const std::vector<std::pair<std::string, std::string>>& rows) {
    std::size_t width = 0;
    for (const auto& row : rows) width = std::max(width, row.first.size());
    std::string text;
    for (const auto& [name, value] : rows) text += fmt::format("{:<{}}  {}\n", name, width, readable(value));
    return text;
}

std::string in_capitals(std::string text) {
    return text::in_capitals(text);
}

} // namespace turnwright::features

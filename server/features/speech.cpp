#include "features/speech.h"

#include "checks/checks.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <fmt/format.h>

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

std::string escaped(std::string_view text) {
    std::string out;
    for (char c : text) {
        if (std::string_view("\\`*_{}[]<>#|~!&").find(c) != std::string_view::npos) out += '\\';
        out += c;
    }
    return out;
}

std::string compact(std::string_view word) {
    std::string out;
    for (char c : word)
        if (c != ' ' && c != '\t') out += c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
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
    return fmt::format("not known here: {}", machine::explain(why));
}

std::string modal_text(const machine::Modal& modal, codes::Group group, const machine::Settings& settings) {
    if (modal.possible == 0) return unknown_text(modal.why);
    std::string text;
    for (unsigned member = 0; member < 16; ++member) {
        if (!(modal.possible >> member & 1u)) continue;
        const codes::Meaning meaning = codes::meaning_of(group, member);
        if (!text.empty()) text += " or ";
        const std::string code = codes::written_as(settings.system, meaning);
        if (!code.empty()) text += code + ' ';
        text += codes::title(meaning);
    }
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
    for (const auto& [name, value] : rows) text += fmt::format("{:<{}}  {}\n", name, width, value);
    return text;
}

} // namespace turnwright::features

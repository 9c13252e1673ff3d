#include "report/markup.h"

#include "features/speech.h"

namespace turnwright::report {

std::string markup_escaped(std::string_view text) {
    std::string out;
    const std::string safe = features::readable(text);
    out.reserve(safe.size());
    for (char c : safe) {
        switch (c) {
        case '&':
            out += "&amp;";
            break;
        case '<':
            out += "&lt;";
            break;
        case '>':
            out += "&gt;";
            break;
        case '"':
            out += "&quot;";
            break;
        case '\'':
            out += "&#39;";
            break;
        default:
            out += c;
        }
    }
    return out;
}

std::string script_safe(std::string_view json) {
    std::string out;
    out.reserve(json.size());
    for (char c : json) {
        if (c == '<')
            out += "\\u003c";
        else if (c == '>')
            out += "\\u003e";
        else if (c == '&')
            out += "\\u0026";
        else
            out += c;
    }
    return out;
}

std::string wrapped(std::string_view text, std::size_t margin) {
    std::string out(margin, ' ');
    std::size_t used = margin;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find_first_of(" \n"), text.size());
        const std::string_view word = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (used > margin && used + 1 + word.size() > text_columns) {
            out += "\n" + std::string(margin, ' ');
            used = margin;
        } else if (used > margin) {
            out += ' ';
            ++used;
        }
        out += word;
        used += word.size();
    }
    return out + "\n";
}

std::string markdown_cell(std::string_view text) {
    return features::in_markdown(text);
}

} // namespace turnwright::report

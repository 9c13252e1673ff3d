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

std::string markdown_cell(std::string_view text) {
    return features::in_markdown(text);
}

} // namespace turnwright::report

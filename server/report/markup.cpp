#include "report/markup.h"
#include "language/language.h"

#include "features/speech.h"

#include <algorithm>

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

bool begins_as_said(std::string_view text, std::string_view english) {
    const auto ways = language::each_way(english);
    return std::any_of(ways.begin(), ways.end(),
                       [&](std::string_view way) { return text.starts_with(way.substr(0, way.find('{'))); });
}

bool holds_as_said(std::string_view text, std::string_view english) {
    const auto ways = language::each_way(english);
    return std::any_of(ways.begin(), ways.end(), [&](std::string_view way) {
        return text.find(way.substr(0, way.find('{'))) != text.npos;
    });
}

std::string html_in_language(std::string_view html) {
    if (language::chosen() == "en") return std::string(html);
    std::string out;
    const auto add_text = [&](std::string_view text) {
        const std::size_t begin = std::min(text.find_first_not_of(" \n"), text.size());
        const std::size_t end = text.find_last_not_of(" \n") + 1;
        out += text.substr(0, begin);
        if (end > begin) out += language::look_up(text.substr(begin, end - begin));
        out += text.substr(std::max(begin, end));
    };
    for (std::size_t at = 0; at < html.size();) {
        const std::size_t tag = std::min(html.find('<', at), html.size());
        add_text(html.substr(at, tag - at));
        at = std::min(html.find('>', tag), html.size() - 1) + 1;
        std::string_view rest = html.substr(tag, at - tag);
        for (const std::string_view name : {"aria-label=\"", "title=\"", "aria-roledescription=\""}) {
            const std::size_t value = rest.find(name);
            if (value == std::string_view::npos) continue;
            const std::size_t begin = value + name.size();
            out += rest.substr(0, begin);
            rest.remove_prefix(begin);
            const std::size_t length = std::min(rest.find('"'), rest.size());
            out += language::look_up(rest.substr(0, length));
            rest.remove_prefix(length);
        }
        out += rest;
    }
    return out;
}

} // namespace turnwright::report

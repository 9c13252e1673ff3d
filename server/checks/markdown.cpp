// The pages of docs/warnings.

#include "checks/checks.h"

#include <algorithm>
#include <fmt/core.h>

namespace turnwright::checks {

namespace {

std::string_view severity_word(Severity severity) {
    switch (severity) {
    case Severity::off:
        return "off";
    case Severity::hint:
        return "hint";
    case Severity::information:
        return "information";
    case Severity::warning:
        return "warning";
    case Severity::error:
        return "error";
    }
    return "";
}

bool is_mark(std::string_view line) {
    std::size_t at = line.find_first_not_of(" \t");
    return at != std::string_view::npos && line[at] == ';' && line.find('^', at) != std::string_view::npos &&
           line.find_first_not_of(" ^", at + 1) > line.find('^', at);
}

bool has_mark(std::string_view program) {
    return program.find('^') != std::string_view::npos;
}

/// The program as a reader of the page sees it: found words are marked by a line of carets.
std::string shown(std::string_view program) {
    std::string out;
    while (!program.empty()) {
        std::size_t end = program.find('\n');
        std::string line(program.substr(0, end));
        program.remove_prefix(end == std::string_view::npos ? program.size() : end + 1);
        if (is_mark(line)) {
            std::size_t colon = line.rfind('^');
            line = line.substr(0, colon + 1);
            line[line.find(';')] = ' ';
        }
        if (!out.empty() || !line.empty()) out += line + "\n";
    }
    return out;
}

void add_example(std::string& page, const Example& example, std::string_view heading) {
    page += fmt::format("\n{} (system {}):\n\n```\n{}```\n", heading, codes::system_letter(example.system),
                        shown(example.program));
    if (!example.shop_file.empty())
        page += fmt::format("\nwith this in the shop file:\n\n```toml\n{}```\n", example.shop_file);
}

std::string wrapped(std::string_view text) {
    std::string out;
    std::size_t width = 0;
    while (!text.empty()) {
        std::size_t end = text.find(' ');
        std::string_view word = text.substr(0, end);
        text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
        if (width > 0 && width + 1 + word.size() > 100) {
            out += '\n';
            width = 0;
        } else if (width > 0) {
            out += ' ';
            ++width;
        }
        out += word;
        width += word.size();
    }
    return out;
}

} // namespace

const Example* shown_example(const Check& check) {
    const auto lines = [](const Example& example) {
        return std::count(example.program.begin(), example.program.end(), '\n');
    };
    const Example* shortest = nullptr;
    for (const Example& example : check.examples)
        if (has_mark(example.program) && (!shortest || lines(example) < lines(*shortest)))
            shortest = &example;
    return shortest;
}

std::string check_markdown(const Check& check, const std::optional<MendedExample>& mended) {
    std::string page =
        fmt::format("# {}\n\n`{}` · {} · {}\n\n{}\n", check.title, check.id, severity_word(check.severity),
                    family_title(check.family), wrapped(check.documentation));
    if (const Example* bad = shown_example(check)) add_example(page, *bad, mended ? "Before" : "Reported");
    if (mended)
        page += fmt::format("\nAfter{}:\n\n```\n{}```\n",
                            mended->fix.empty() ? "" : fmt::format(" \"{}\"", mended->fix),
                            shown(mended->program));
    for (const Example& example : check.examples)
        if (!has_mark(example.program)) {
            add_example(page, example, "Not reported");
            break;
        }
    page += fmt::format(
        "\nTo silence it here: `{}` in the block or alone on the line above. To silence it for the "
        "shop:\n\n```toml\n[checks]\n{} = \"off\"\n```\n",
        allowance_note(check.id), check.id);
    page += "\nNo warning is no proof: prove every program out at the machine.\n";
    return page;
}

std::string check_index_markdown() {
    std::string page = "# Warnings\n\nEvery check has a page. Severities: *error*, the control will alarm or "
                       "the move is wrong for "
                       "certain; *warning*,\nlikely scrap, breakage or injury; *information*, a house rule; "
                       "*hint*, tidiness. A "
                       "program without a warning is\nnot proven: dry run, single block and a qualified "
                       "person decide.\n\nA shop "
                       "file sets the severity of each or turns it off; a note such as\n`(TURNWRIGHT: ACCEPT "
                       "feed_missing)` silences "
                       "one in its own block or, alone on its line, in the next block with "
                       "words;\n`(TURNWRIGHT: ACCEPT IN FILE "
                       "feed_missing)` above the first tool call silences it for the file.\n";
    for (int f = 0; f <= static_cast<int>(Family::stock); ++f) {
        std::string rows;
        for (const Check* check : all_checks())
            if (static_cast<int>(check->family) == f)
                rows += fmt::format("| [{}]({}.md) | {} | {} |\n", check->id, check->id,
                                    severity_word(check->severity), check->title);
        if (rows.empty()) continue;
        page += fmt::format("\n## {}\n\n| check | severity | what it reports |\n|---|---|---|\n{}",
                            family_title(static_cast<Family>(f)), rows);
    }
    return page;
}

} // namespace turnwright::checks

// The learnt shop file as text, tried on the programs it was learnt from.
#include "report/learn.h"
#include "language/said.h"

#include "features/speech.h"
#include "report/compare.h"
#include "report/report.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

/// What is told of a program: kinds of findings at their lines.
using Told = std::map<std::pair<std::string, std::size_t>, std::size_t>;

Told told_of(const features::Document& document) {
    Told told;
    for (const features::Warning& warning : features::all_warnings(document))
        ++told[{warning.id, warning.range.begin.line}];
    return told;
}

bool is_tool(const LearntEntry& entry) {
    return entry.section.starts_with("tool ");
}
bool is_structure(const LearntEntry& entry) {
    return entry.section.empty() || entry.key == "station";
}

/// Tries a learnt file on its own programs, and leaves to a person what makes them noisier.
class Trial {
public:
    /// `before`: what is told of each program with no shop file.
    Trial(const std::vector<ProgramText>& programs, const std::vector<Told>& before, LearntParts& parts,
          const std::filesystem::path& shop_file,
          const std::shared_ptr<const machine::ProgramLibrary>& library)
        : programs_(programs), before_(before), parts_(parts), path_(shop_file), library_(library) {}

    void run() {
        std::vector<std::size_t> noisy = noisier({});
        if (noisy.empty()) return;
        std::vector<LearntEntry*> tried;
        for (LearntEntry& entry : parts_.entries)
            if (entry.active && !is_structure(entry)) tried.push_back(&entry);
        for (LearntEntry* entry : tried) entry->active = false;
        std::vector<LearntEntry*> quiet;
        for (LearntEntry* entry : tried) {
            entry->active = true;
            const std::vector<std::size_t> by_it = noisier(noisy);
            entry->active = false;
            if (by_it.empty())
                quiet.push_back(entry);
            else
                entry->why += said("; more would be told of {}", names_of(by_it));
        }
        for (LearntEntry* entry : quiet) entry->active = true;
        // What is quiet alone may not be so with others.
        while (!quiet.empty() && !(noisy = noisier({})).empty()) {
            quiet.back()->active = false;
            quiet.back()->why += said("; with the rest more would be told of {}", names_of(noisy));
            quiet.pop_back();
        }
    }

private:
    /// Of all programs, or of some, those that are told of more than without a shop file.
    std::vector<std::size_t> noisier(const std::vector<std::size_t>& some) const {
        const auto shop = std::make_shared<const shop::Shop>(
            shop::parse_shop(shop_file_text(parts_, programs_.size()), path_));
        std::vector<std::size_t> noisy;
        for (std::size_t i = 0; i < programs_.size(); ++i) {
            if (!some.empty() && std::find(some.begin(), some.end(), i) == some.end()) continue;
            const features::Document document(programs_[i].text, shop, programs_[i].path, library_);
            for (const auto& [finding, times] : told_of(document)) {
                const auto before = before_[i].find(finding);
                if (before != before_[i].end() && before->second >= times) continue;
                noisy.push_back(i);
                break;
            }
        }
        return noisy;
    }

    std::string names_of(const std::vector<std::size_t>& which) const {
        constexpr std::size_t most = 3;
        std::string names;
        for (std::size_t i = 0; i < std::min(most, which.size()); ++i)
            names += (i == 0 ? "" : ", ") + features::readable(programs_[which[i]].name);
        return names + (which.size() > most ? said(" and {} others", which.size() - most) : "");
    }

    const std::vector<ProgramText>& programs_;
    const std::vector<Told>& before_;
    LearntParts& parts_;
    const std::filesystem::path& path_;
    const std::shared_ptr<const machine::ProgramLibrary>& library_;
};

std::string line_of(const LearntEntry& entry, bool active) {
    std::string line =
        (active ? "" : "# ") + entry.key + " =" + (entry.value.empty() ? "" : " " + entry.value);
    if (entry.why.empty()) return line + "\n";
    constexpr std::size_t column = 34;
    if (line.size() < column) line.resize(column, ' ');
    return line + "  # " + entry.why + "\n";
}

std::string heading_of(const std::string& section) {
    if (section.starts_with("tool ")) return "[[tool]]";
    if (section == "machine") return "[[machine]]";
    return "[" + section + "]";
}

std::string wrapped(std::string_view text, std::size_t width, std::string_view first,
                    std::string_view others) {
    std::string out(first), line;
    std::size_t at = 0;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::string_view word = text.substr(at, end - at);
        if (!line.empty() && line.size() + 1 + word.size() > width) {
            out += line + "\n" + std::string(others);
            line.clear();
        }
        line += (line.empty() ? "" : " ") + std::string(word);
        at = end + 1;
    }
    return out + line + "\n";
}

} // namespace

std::string shop_file_text(const LearntParts& parts, std::size_t programs) {
    constexpr std::size_t width = 96;
    std::string text = wrapped(
        said("Learnt from {}: read every line before you rely on it. What the programs do not agree on, "
             "and what only somebody at the machine knows, is a comment.",
             programs == 1 ? said("{} program", programs) : said("{} programs", programs)),
        width, "# ", "# ");
    if (!parts.questions.empty())
        text += "#\n" + wrapped(said("Only a person can answer, the most useful first:"), width, "# ", "# ");
    std::size_t number = 0;
    for (const ShopQuestion& question : parts.questions)
        text += wrapped(question.text, width, fmt::format("# {}. ", ++number), "#    ");
    text += "\n";
    // Where no tool says more than its station, a list of them would only tell which are missing.
    const bool tools = std::any_of(parts.entries.begin(), parts.entries.end(), [](const LearntEntry& entry) {
        return is_tool(entry) && !is_structure(entry) && entry.active;
    });
    std::string section;
    for (std::size_t i = 0; i < parts.entries.size(); ++i) {
        const LearntEntry& entry = parts.entries[i];
        if (entry.section != section) {
            section = entry.section;
            const bool counts =
                std::any_of(parts.entries.begin(), parts.entries.end(), [&](const LearntEntry& other) {
                    const bool within = other.section == section || other.section.starts_with(section + ".");
                    return within && other.active && (tools || !is_tool(other));
                });
            text += (counts ? "\n" : "\n# ") + heading_of(section) + "\n";
        }
        text += line_of(entry, entry.active && (tools || !is_tool(entry)));
    }
    return text;
}

LearntShop learn_shop(const std::vector<ProgramText>& programs, const std::filesystem::path& shop_file,
                      const std::shared_ptr<const machine::ProgramLibrary>& library) {
    LearntShop learnt;
    const auto bare = std::make_shared<const shop::Shop>(shop::default_shop());
    std::vector<ProgramText> read;
    std::vector<ProgramShows> shown;
    std::vector<Told> told;
    for (const ProgramText& program : programs) {
        if (read.size() == most_learnt_from || !why_not_a_program(program.text).empty()) {
            ++learnt.left_out;
            continue;
        }
        const features::Document document(program.text, bare, program.path, library);
        shown.push_back(shown_by(document, program.name));
        told.push_back(told_of(document));
        read.push_back(program);
    }
    learnt.programs = read.size();
    if (read.empty()) return learnt;
    LearntParts parts = learnt_from(shown);
    Trial(read, told, parts, shop_file, library).run();
    learnt.text = shop_file_text(parts, read.size());
    for (const LearntEntry& entry : parts.entries)
        if (!is_structure(entry)) ++(entry.active ? learnt.active : learnt.commented);
    for (const ShopQuestion& question : parts.questions)
        if (learnt.top.size() < 3) learnt.top.push_back(question.text);
    return learnt;
}

std::string line_changes(std::string_view before, std::string_view after) {
    const auto lines_of = [](std::string_view text) {
        std::vector<std::string_view> lines;
        while (!text.empty()) {
            const std::size_t end = std::min(text.find('\n'), text.size());
            std::string_view line = text.substr(0, end);
            if (line.ends_with('\r')) line.remove_suffix(1);
            lines.push_back(line);
            text.remove_prefix(std::min(end + 1, text.size()));
        }
        return lines;
    };
    const std::vector<std::string_view> a = lines_of(before), b = lines_of(after);
    auto pairs = common_row(a.size(), b.size(), [&](std::size_t i, std::size_t j) { return a[i] == b[j]; });
    if (pairs.size() == a.size() && pairs.size() == b.size()) return {};
    pairs.emplace_back(a.size(), b.size());
    constexpr std::size_t around = 2;
    std::string text;
    std::size_t i = 0, j = 0, kept_from = 0; // Kept lines that are not told yet
    bool any = false;
    for (const auto& [x, y] : pairs) {
        if (x == i && y == j) {
            ++i, ++j;
            continue;
        }
        const std::size_t behind = any ? std::min(kept_from + around, i) : kept_from;
        for (std::size_t k = kept_from; k < behind; ++k) text += fmt::format("  {}\n", a[k]);
        const std::size_t from = std::max(behind, i > around ? i - around : 0);
        if (from > behind) text += "  ...\n";
        for (std::size_t k = from; k < i; ++k) text += fmt::format("  {}\n", a[k]);
        for (; i < x; ++i) text += fmt::format("- {}\n", a[i]);
        for (; j < y; ++j) text += fmt::format("+ {}\n", b[j]);
        kept_from = i;
        any = true;
        ++i, ++j;
    }
    for (std::size_t k = kept_from; any && k < std::min(kept_from + around, a.size()); ++k)
        text += fmt::format("  {}\n", a[k]);
    return text;
}

} // namespace turnwright::report

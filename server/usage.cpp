#include "usage.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <functional>
#include <memory>
#include <optional>
#include <string_view>

namespace turnwright::commands {
namespace {

/// Words that stand for what a person writes there.
constexpr TableText place_words[] = {"file", "folder", "lesson", "new", "old", "question", "word"};

std::string shown_place(const std::string& name) {
    for (const TableText& word : place_words)
        if (word.english() == name) return word;
    return name;
}

/// "UINT > 0" -> "NUMBER > 0", "TEXT:{a,b}" stays as it is but for the first word.
std::string shown_type(const std::string& type) {
    const std::size_t colon = std::min(type.find(':'), type.size());
    const std::string_view kind = std::string_view(type).substr(0, colon);
    std::string rest = type.substr(colon);
    if (!rest.empty() && !rest.starts_with(":{")) rest.erase(0, 1);
    return std::string(kind == "TEXT" ? said("TEXT") : said("NUMBER")) + rest;
}

class SpokenHelp : public CLI::Formatter {
public:
    SpokenHelp() {
        label("Usage", said("Usage"));
        label("OPTIONS", said("OPTIONS"));
        label("SUBCOMMAND", said("COMMAND"));
        label("Positionals", said("What the words mean"));
    }
    std::string make_group(std::string group, bool is_positional,
                           std::vector<const CLI::Option*> options) const override {
        return Formatter::make_group(group == "Options" ? said("Options") : group, is_positional, options);
    }
    std::string make_subcommands(const CLI::App* app, CLI::AppFormatMode mode) const override {
        std::string out = Formatter::make_subcommands(app, mode);
        constexpr std::string_view heading = "\nSubcommands:";
        if (out.starts_with(heading))
            out.replace(0, heading.size(), "\n" + std::string(said("Commands")) + ":");
        return out;
    }
    std::string make_option_name(const CLI::Option* option, bool is_positional) const override {
        return is_positional ? shown_place(option->get_name(true, false)) : option->get_name(false, true);
    }
    std::string make_option_opts(const CLI::Option* option) const override {
        std::string out;
        if (option->get_type_size() != 0) {
            if (!option->get_type_name().empty()) out += " " + shown_type(option->get_type_name());
            if (option->get_expected_max() == CLI::detail::expected_max_vector_size) out += " ...";
            if (option->get_required()) out += " " + said("REQUIRED");
        }
        for (const CLI::Option* other : option->get_excludes())
            out += said(" (not with {})", other->get_name());
        return out;
    }
    /// In columns of letters: the parser counts bytes.
    std::string make_option(const CLI::Option* option, bool is_positional) const override {
        const std::string left = "  " + make_option_name(option, is_positional) + make_option_opts(option);
        const auto letters = static_cast<std::size_t>(
            std::count_if(left.begin(), left.end(), [](char c) { return (c & 0xC0) != 0x80; }));
        const std::size_t width = get_column_width();
        const std::string gap =
            letters < width ? std::string(width - letters, ' ') : "\n" + std::string(width, ' ');
        return left + gap + make_option_desc(option) + "\n";
    }
    std::string make_option_usage(const CLI::Option* option) const override {
        std::string out = make_option_name(option, true);
        if (option->get_expected_max() > 1 || option->get_items_expected_max() > 1) out += "...";
        return option->get_required() ? out : "[" + out + "]";
    }
};

std::optional<std::string> between(const std::string& text, std::string_view before,
                                   std::string_view behind) {
    if (text.size() < before.size() + behind.size() || !text.starts_with(before) || !text.ends_with(behind))
        return std::nullopt;
    return text.substr(before.size(), text.size() - before.size() - behind.size());
}

/// "a: b" in two; nullopt when it is no such text.
std::optional<std::pair<std::string, std::string>> apart(const std::string& text, std::string_view sign) {
    const std::size_t at = text.find(sign);
    if (at == text.npos) return std::nullopt;
    return std::pair{text.substr(0, at), text.substr(at + sign.size())};
}

CLI::Validator number_where(std::function<bool(double)> fits, std::string wrong, std::string shown) {
    return CLI::Validator(
        [fits = std::move(fits), wrong = std::move(wrong)](std::string& given) {
            double number = 0;
            if (!CLI::detail::lexical_cast(given, number))
                return said("{} is no number", host::shown_name(given));
            return fits(number) ? std::string() : wrong;
        },
        std::move(shown));
}

} // namespace

void speak_help(CLI::App& app) {
    app.formatter(std::make_shared<SpokenHelp>());
    app.set_help_flag("-h,--help", said("Print this help and end"));
}

std::string why_wrong(const CLI::App& command, const CLI::Error& problem) {
    const std::string text = problem.what();
    // The parser has its errors as English sentences alone.
    if (const auto name = between(text, "", " is required"))
        return said("{} is required", shown_place(*name));
    if (const auto both = between(text, "Could not convert: ", ""))
        if (const auto parts = apart(*both, " = "))
            return said("{}: {} is no number that can be taken", parts->first,
                        host::shown_name(parts->second));
    if (const auto parts = apart(text, ": ")) {
        if (const auto chosen = apart(parts->second, " not in {"); chosen && parts->second.ends_with('}')) {
            std::string choices;
            for (const char c : chosen->second.substr(0, chosen->second.size() - 1))
                choices += c == ',' ? ", " : std::string(1, c);
            return said("{}: {} is none of {}", parts->first, host::shown_name(chosen->first), choices);
        }
        if (parts->second.ends_with(" missing")) return said("{} needs a value behind it", parts->first);
        if (text.starts_with("The following argument")) {
            std::string left;
            for (const std::string& word : command.remaining())
                left += (left.empty() ? "" : " ") + host::shown_name(word);
            return said("there is no place for {}", left.empty() ? parts->second : left);
        }
    }
    if (const auto names = apart(text, " excludes "))
        return said("{} and {} do not go together", names->first, names->second);
    return text;
}

CLI::Validator above_zero() {
    return number_where([](double number) { return number > 0; }, said("must be above 0"), "> 0");
}
CLI::Validator zero_or_more() {
    return number_where([](double number) { return number >= 0; }, said("must be 0 or more"), ">= 0");
}
CLI::Validator from_to(int least, int most) {
    return number_where([least, most](double number) { return number >= least && number <= most; },
                        said("must be from {} to {}", least, most), fmt::format("{}..{}", least, most));
}

} // namespace turnwright::commands

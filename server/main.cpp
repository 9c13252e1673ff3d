#include "commands.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "paths.h"
#include "shop/keys.h"
#include "usage.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <iostream>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>
#ifdef __GLIBC__
#include <malloc.h>
#endif

namespace {

using turnwright::said;

constexpr turnwright::commands::AddCommand all_commands[] = {
    turnwright::commands::add_serve,    turnwright::commands::add_check,
    turnwright::commands::add_sheet,    turnwright::commands::add_picture,
    turnwright::commands::add_compare,  turnwright::commands::add_explain,
    turnwright::commands::add_format,   turnwright::commands::add_learn,
    turnwright::commands::add_library,  turnwright::commands::add_rewrite,
    turnwright::commands::add_lot,      turnwright::commands::add_offsets,
    turnwright::commands::add_tell,     turnwright::commands::add_lesson,
    turnwright::commands::add_restart,  turnwright::commands::add_calculate,
    turnwright::commands::add_transfer, turnwright::commands::add_paths,
#ifdef _WIN32
    turnwright::commands::add_path,
#endif
};

constexpr int bad_usage = 2;

/// What is wrong with the first word when it is no command; empty when it is one or an option.
std::string why_no_command(const CLI::App& app, const std::string& word) {
    if (word.empty() || word.front() == '-') return {};
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
    if (std::find(names.begin(), names.end(), word) != names.end()) return {};
    std::string text = said("turnwright: there is no command ") + turnwright::host::shown_name(word) + ": ";
    std::error_code failed;
    if (std::filesystem::exists(turnwright::host::path_of(word), failed))
        return text + said("did you mean turnwright check ") + turnwright::host::shown_name(word) + "?\n";
    const std::vector<std::string_view> known(names.begin(), names.end());
    const std::string_view near = turnwright::shop::nearest(word, known);
    if (!near.empty()) return text + said("did you mean ") + std::string(near) + "?\n";
    for (const std::string& name : names) text += (name == names.front() ? "" : ", ") + name;
    return text + said(" are the commands\n");
}

/// What is wrong with the rest of the line, in one line.
std::string why_not_parsed(const CLI::App& app, const CLI::Error& problem) {
    const CLI::App* command = app.get_subcommands().empty() ? &app : app.get_subcommands().front();
    const std::string name = command == &app ? "turnwright" : "turnwright " + command->get_name();
    std::string why = turnwright::commands::why_wrong(*command, problem);
    for (const std::string& word : command->remaining()) {
        if (word.front() != '-') continue;
        why = said("there is no option ") + turnwright::host::shown_name(word);
        std::vector<std::string> names;
        for (const CLI::Option* option : command->get_options())
            for (const std::string& known : option->get_lnames()) names.push_back("--" + known);
        const std::vector<std::string_view> known(names.begin(), names.end());
        const std::string_view near = turnwright::shop::nearest(word, known);
        if (word.starts_with("--") && !near.empty()) why += said(": did you mean ") + std::string(near) + "?";
        break;
    }
    if (app.get_subcommands().empty() && app.remaining().empty())
        why = said("a command is needed, such as check");
    return name + ": " + why + (why.ends_with('?') ? " " : ". ") + name + said(" --help tells more.\n");
}

/// Freed memory stays with the program, some of it: paths of thousands of cycles are made and thrown away,
/// and giving each back to the system took two thirds of the time.
void keep_freed_memory() {
#ifdef __GLIBC__
    ::mallopt(M_TRIM_THRESHOLD, 32 << 20);
    ::mallopt(M_MMAP_THRESHOLD, 32 << 20);
    // An arena of a thread grows by small pages, each with a call of the system.
    ::mallopt(M_ARENA_MAX, 1);
#endif
}

/// A server, a folder, a long program, or a picture, which a short one can fill with a million moves: all
/// else ends before starting anew would have cost less.
bool works_on_much(int count, char** words) {
    constexpr std::uintmax_t much = 1u << 20;
    const std::string_view command = count > 1 ? words[1] : "";
    if (command == "serve" || command == "picture") return true;
    return std::any_of(words + 1, words + std::max(1, count), [](const char* word) {
        std::error_code failed;
        if (std::filesystem::is_directory(word, failed)) return true;
        const std::uintmax_t size = std::filesystem::file_size(word, failed);
        return !failed && size >= much;
    });
}

std::string chosen_language;

/// Takes --language out of the words, wherever it stands: help itself is told in that language. Without it
/// the environment counts, but not for an editor's server, which is told by the editor. What is wrong, in one
/// line.
std::string choose_language(std::vector<std::string>& words) {
    namespace language = turnwright::language;
    constexpr std::string_view option = "--language";
    for (std::size_t i = 1; i < words.size(); ++i) {
        const bool apart = words[i] == option && i + 1 < words.size();
        if (!apart && !words[i].starts_with(std::string(option) + "=")) continue;
        chosen_language = apart ? words[i + 1] : words[i].substr(option.size() + 1);
        const auto at = words.begin() + static_cast<std::ptrdiff_t>(i);
        words.erase(at, at + (apart ? 2 : 1));
        if (language::choose(chosen_language)) return {};
        std::string known;
        for (const std::string_view name : language::known())
            known += (known.empty() ? "" : ", ") + std::string(name);
        return said("turnwright: there is no language ") + turnwright::host::shown_name(chosen_language) +
               said(": there are ") + known + "\n";
    }
    if (words.size() > 1 && words[1] == "serve") return {};
    for (const char* variable : {"LC_ALL", "LC_MESSAGES", "LANG"})
        if (const char* value = std::getenv(variable); value && *value) {
            language::choose(value);
            break;
        }
    return {};
}

} // namespace

namespace turnwright::commands {

const std::string& language_option() {
    return chosen_language;
}

} // namespace turnwright::commands

namespace {

int take_command(int argument_count, char** arguments) {
    std::vector<std::string> words;
    try {
        turnwright::host::prepare_streams();
        words = turnwright::host::arguments(argument_count, arguments);
    } catch (const std::exception& failure) {
        std::cerr << "turnwright: " << failure.what() << '\n';
        return bad_usage;
    }
    if (const std::string why = choose_language(words); !why.empty()) {
        std::cerr << why;
        return bad_usage;
    }
    CLI::App app(said("Turnwright: a language server and checker for CNC lathe part programs."),
                 "turnwright");
    turnwright::commands::speak_help(app);
    app.set_version_flag("--version", TURNWRIGHT_VERSION, said("Print the version and end"));
    app.require_subcommand(1);
    app.failure_message(
        [](const CLI::App* all, const CLI::Error& problem) { return why_not_parsed(*all, problem); });
    int status = 0;
    keep_freed_memory();
    for (const auto add : all_commands) add(app, status);
    std::string shown_language; // Taken out of the words before
    app.add_option("--language", shown_language,
                   said("Language of what is told: en, de or es (default: that of the environment)"));
    try {
        if (words.empty()) return bad_usage;
        if (words.size() > 1) {
            if (const std::string why = why_no_command(app, words[1]); !why.empty()) {
                std::cerr << why;
                return bad_usage;
            }
        }
        std::reverse(words.begin(), words.end()); // as the parser wants them
        words.pop_back();                         // the program's name
        app.parse(std::move(words));
    } catch (const CLI::ParseError& problem) {
        if (app.exit(problem) != 0) return bad_usage;
    } catch (const std::exception& failure) {
        std::cerr << "turnwright: " << failure.what() << '\n';
        return bad_usage;
    }
    // What could not be written (a full disk) is no success, whatever the words were.
    if (std::cout.flush()) return status;
    std::cerr << said("turnwright: standard output: cannot be written\n");
    return bad_usage;
}

} // namespace

int main(int argument_count, char** arguments) {
    try {
        if (works_on_much(argument_count, arguments)) turnwright::host::use_large_pages(arguments);
        return take_command(argument_count, arguments);
    } catch (...) { // With no memory left, say: no word of it could be written
        return bad_usage;
    }
}

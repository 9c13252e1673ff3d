#include "commands.h"
#include "host/host.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <exception>
#include <iostream>
#include <string>
#include <vector>

namespace {

constexpr turnwright::commands::AddCommand all_commands[] = {
    turnwright::commands::add_serve,   turnwright::commands::add_check,   turnwright::commands::add_sheet,
    turnwright::commands::add_picture, turnwright::commands::add_compare, turnwright::commands::add_explain,
    turnwright::commands::add_format,
};

constexpr int bad_usage = 2;

} // namespace

int main(int argument_count, char** arguments) {
    CLI::App app("Turnwright: a language server and checker for CNC lathe part programs.", "turnwright");
    app.set_version_flag("--version", TURNWRIGHT_VERSION);
    app.require_subcommand(1);
    int status = 0;
    for (const auto add : all_commands) add(app, status);
    try {
        turnwright::host::prepare_streams();
        std::vector<std::string> words = turnwright::host::arguments(argument_count, arguments);
        if (words.empty()) return bad_usage;
        std::reverse(words.begin(), words.end()); // as the parser wants them
        words.pop_back();                         // the program's name
        app.parse(std::move(words));
    } catch (const CLI::ParseError& problem) {
        return app.exit(problem) == 0 ? 0 : bad_usage;
    } catch (const std::exception& failure) {
        std::cerr << "turnwright: " << failure.what() << '\n';
        return bad_usage;
    }
    return status;
}

#include "commands.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <exception>
#include <iostream>

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
        app.parse(argument_count, arguments);
    } catch (const CLI::ParseError& problem) {
        return app.exit(problem) == 0 ? 0 : bad_usage;
    } catch (const std::exception& failure) {
        std::cerr << "turnwright: " << failure.what() << '\n';
        return bad_usage;
    }
    return status;
}

// The command line: each subcommand is a file of its own that adds itself to the parser.
#pragma once

#include <string>

namespace CLI {
class App;
}

namespace turnwright::commands {

/// Adds a subcommand; when it is called it sets `status`, the exit status of the program.
using AddCommand = void (*)(CLI::App& app, int& status);

/// What --language said; empty when it is not there.
const std::string& language_option();

void add_calculate(CLI::App& app, int& status);
void add_check(CLI::App& app, int& status);
void add_compare(CLI::App& app, int& status);
void add_explain(CLI::App& app, int& status);
void add_format(CLI::App& app, int& status);
void add_learn(CLI::App& app, int& status);
void add_lesson(CLI::App& app, int& status);
void add_library(CLI::App& app, int& status);
void add_lot(CLI::App& app, int& status);
void add_offsets(CLI::App& app, int& status); ///< And `correct`
void add_path(CLI::App& app, int& status);    ///< On Windows alone
void add_picture(CLI::App& app, int& status);
void add_restart(CLI::App& app, int& status);
void add_rewrite(CLI::App& app, int& status);
void add_serve(CLI::App& app, int& status);
void add_sheet(CLI::App& app, int& status);
void add_tell(CLI::App& app, int& status);
void add_transfer(CLI::App& app, int& status);

} // namespace turnwright::commands

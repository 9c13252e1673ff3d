// The help of the command line and what is wrong with its words, in the chosen language.
#pragma once

#include <CLI/App.hpp>
#include <string>

namespace turnwright::commands {

/// Names and texts of the help. Called before subcommands are added, which take them over.
void speak_help(CLI::App& app);
/// What is wrong with an option or a word of a command: one sentence without its stop.
std::string why_wrong(const CLI::App& command, const CLI::Error& problem);

/// Numbers that an option takes; what is wrong is said.
CLI::Validator above_zero();
CLI::Validator zero_or_more();
CLI::Validator from_to(int least, int most);

} // namespace turnwright::commands

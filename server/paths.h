// The subcommand that follows the two programs of a lathe with two turrets.
#pragma once

namespace CLI {
class App;
}

namespace turnwright::commands {

void add_paths(CLI::App& app, int& status);

} // namespace turnwright::commands

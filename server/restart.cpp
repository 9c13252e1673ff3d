// turnwright restart: how a program goes on at a block after a break.
#include "report/restart.h"
#include "commands.h"
#include "features/equal_moves.h"
#include "features/program_files.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "usage.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>

namespace turnwright::commands {
namespace {

struct RestartOptions {
    std::string file, shop, out, reached;
    std::optional<std::size_t> done;
    std::size_t line = 1;
    int number = 0;
    bool repeat = false, insert = false, force = false;
};

constexpr int no_head = 1;

int write_program(const RestartOptions& options, const shop::Shop& shop, const std::string& text) {
    if (options.out.empty() || options.out == "-") return write_out(text);
    const std::filesystem::path path = host::path_of(options.out);
    std::error_code failed;
    if (std::filesystem::equivalent(path, host::path_of(options.file), failed))
        return say_trouble(options.out, said("the program itself: nothing takes its place"));
    if (path.has_extension() && !features::is_program_name(path, shop.house.endings))
        return say_trouble(options.out, said("the ending is none of programs: name it as one"));
    if (std::filesystem::exists(path, failed) && !options.force)
        return say_trouble(options.out, said("is there: --force writes over it"));
    return write_back(options.out, text);
}

int run_restart(const RestartOptions& options) {
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    const features::Document& document = *opened.document;
    if (options.line > document.buffer().line_count())
        return say_trouble(options.file, said("has no such line"));
    const report::Restart restart =
        report::restart_at(document, {options.line - 1, options.repeat, options.done, options.reached});
    const bool as_program = options.insert || !options.out.empty();
    if (!as_program || restart.head.empty()) {
        const int written = write_out(report::restart_text(document, restart));
        return written != done || !restart.head.empty() ? written : no_head;
    }
    if (options.insert)
        return write_program(
            options, document.shop(),
            features::edited(document, report::insert_restart(document, restart).files[0].edits));
    const report::FileText program = report::restart_program(document, restart, options.number);
    if (!program.problem.empty()) return say_trouble(options.file, program.problem);
    return write_program(options, document.shop(), program.text);
}

} // namespace

void add_restart(CLI::App& app, int& status) {
    auto options = std::make_shared<RestartOptions>();
    CLI::App* restart = app.add_subcommand(
        "restart",
        said("Tell how to go on at a block after a break: what holds there, the safe entries before "
             "it, and blocks to key in that lead into it; with --out they are a program of its own, with "
             "--insert they stand in the program behind block delete. In a cycle only the passes that "
             "remain. Exit status: 0 told, 1 no such blocks can be "
             "written, 2 the file could not be read or written"));
    restart->add_option("file", options->file, said("Program; - reads standard input"))->required();
    restart->add_option("--line", options->line, said("Line of the block, from 1"))
        ->required()
        ->check(above_zero());
    restart->add_flag("--repeat", options->repeat,
                      said("To the end of its sequence alone: one cut once more, of a thread its last pass"));
    auto* passes = restart->add_option("--done", options->done, said("Passes of the cycle that are done"));
    restart
        ->add_option("--reached", options->reached,
                     said("The same by the X or Z that the tool had come down to, as X42.5 or Z-30"))
        ->excludes(passes);
    restart->add_option("-o,--out", options->out,
                        said("Write a program of its own to this file; - shows it"));
    restart->add_option("--number", options->number, said("O number of that program (default: one more)"))
        ->check(from_to(1, 9999));
    restart->add_flag("--insert", options->insert,
                      said("The program itself with the blocks behind block delete, to --out or shown"));
    restart->add_flag("--force", options->force, said("Write over a file that is there"));
    restart->add_option("--shop", options->shop,
                        said("Shop file to use instead of the nearest turnwright.toml"));
    restart->callback([options, &status] { status = run_restart(*options); });
}

} // namespace turnwright::commands

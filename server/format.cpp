// turnwright format: a program written by the shop file's rules.
#include "commands.h"
#include "features/equal_moves.h"
#include "features/formatting.h"
#include "host/host.h"
#include "language/said.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>

namespace turnwright::commands {
namespace {

struct FormatOptions {
    std::string file, shop;
    bool write = false;
};

int run_format(const FormatOptions& options) {
    if (options.write && options.file == "-")
        return say_trouble("-", said("cannot be written back: leave --write out"));
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    const std::vector<features::TextEdit> edits = features::format(*opened.document);
    if (options.write && edits.empty()) return done; // A file that needs nothing keeps its time
    const std::string text = features::edited(*opened.document, edits);
    return options.write ? write_back(options.file, text) : write_out(text);
}

} // namespace

void add_format(CLI::App& app, int& status) {
    auto options = std::make_shared<FormatOptions>();
    CLI::App* format = app.add_subcommand(
        "format",
        said("Write a program by the [format] rules of the shop file; what it does stays the same"));
    format->add_option("file", options->file, said("Program; - reads standard input"))->required();
    format->add_flag("--write", options->write, said("Write the file itself (default: standard output)"));
    format->add_option("--shop", options->shop,
                       said("Shop file to use instead of the nearest turnwright.toml"));
    format->callback([options, &status] { status = run_format(*options); });
}

} // namespace turnwright::commands

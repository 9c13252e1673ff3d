// turnwright offsets: offsets as blocks and as a table. turnwright correct: an offset from a measured part.
#include "report/offsets.h"
#include "commands.h"
#include "features/speech.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "report/report.h"
#include "usage.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <fmt/format.h>
#include <iostream>
#include <memory>

namespace turnwright::commands {
namespace {

struct OffsetOptions {
    std::string file, shop;
    std::vector<std::string> wanted, measured, wanted_length, measured_length;
    int station = 0;
};

int run_offsets(const OffsetOptions& options) {
    const report::FileText read = report::read_program(host::path_of(options.file));
    if (!read.problem.empty()) return say_trouble(options.file, read.problem);
    const bool is_table = report::is_offset_csv(read.text);
    report::OffsetTable table;
    if (is_table) {
        table = report::offsets_of_csv(read.text);
    } else {
        const auto path = options.file == "-" ? std::filesystem::path() : host::path_of(options.file);
        const report::OpenedProgram opened =
            report::open_program_text(read.text, path, host::path_of(options.shop));
        if (!opened.document) return say_trouble(options.file, opened.problem);
        table = report::offsets_of_program(*opened.document);
    }
    if (!is_table && table.rows.empty() && table.left_out.empty())
        std::cerr << said("turnwright: the program sets no offsets with G10\n");
    for (const std::string& line : table.left_out)
        std::cerr << said("turnwright: left out: ") << line << '\n';
    // Half a table in the control would be worse than none.
    if (is_table && !table.left_out.empty())
        return say_trouble(options.file, said("nothing was written of it"));
    return write_out(is_table ? report::offset_blocks(table.rows) : report::offset_csv(table.rows));
}

/// "29.96", and "29,96" as it is written in many shops; nullopt: no number.
std::optional<double> size_of(std::string text) {
    std::replace(text.begin(), text.end(), ',', '.');
    const std::size_t sign = text.starts_with('+') ? 1 : 0;
    double number = 0;
    const char* const end = text.data() + text.size();
    const auto [at, bad] = std::from_chars(text.data() + sign, end, number, std::chars_format::fixed);
    if (bad != std::errc() || at != end || !std::isfinite(number)) return std::nullopt;
    return number;
}

/// Why a size cannot be taken; empty when it can.
std::string read_sizes(std::string_view option, const std::vector<std::string>& written, bool length,
                       std::vector<double>& sizes) {
    for (const std::string& text : written) {
        const std::optional<double> size = size_of(text);
        if (!size) return said("{} {}: that is no number: write it as 29.96", option, host::shown_name(text));
        if (length && *size < 0)
            return said("{} {}: a length has no minus: it is counted from Z0 towards the chuck, {} for "
                        "Z{}",
                        option, text, features::plain(-*size), features::plain(*size));
        sizes.push_back(*size);
    }
    return {};
}

int run_correct(const OffsetOptions& options) {
    if (options.wanted.size() != options.measured.size() ||
        options.wanted_length.size() != options.measured_length.size() ||
        options.wanted.size() + options.wanted_length.size() == 0)
        return say_trouble("correct", said("say for every size what was wanted and what was measured"));
    std::vector<double> wanted, measured, wanted_length, measured_length;
    for (const std::string& why :
         {read_sizes("--wanted", options.wanted, false, wanted),
          read_sizes("--measured", options.measured, false, measured),
          read_sizes("--wanted-length", options.wanted_length, true, wanted_length),
          read_sizes("--measured-length", options.measured_length, true, measured_length)})
        if (!why.empty()) return say_trouble("correct", why);
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    std::vector<report::Measured> sizes;
    for (std::size_t i = 0; i < wanted.size(); ++i) sizes.push_back({wanted[i], measured[i], false});
    for (std::size_t i = 0; i < wanted_length.size(); ++i)
        sizes.push_back({wanted_length[i], measured_length[i], true});
    return write_out(
        report::corrections_text(report::correct_offsets(*opened.document, sizes, options.station)));
}

} // namespace

void add_offsets(CLI::App& app, int& status) {
    auto options = std::make_shared<OffsetOptions>();
    CLI::App* offsets = app.add_subcommand(
        "offsets", said("Tool offsets that a program sets with G10 as a table in CSV; of such a "
                        "table the G10 blocks"));
    offsets->add_option("file", options->file, said("Program or table; - reads standard input"))->required();
    offsets->add_option("--shop", options->shop,
                        said("Shop file to use instead of the nearest turnwright.toml"));
    offsets->callback([options, &status] { status = run_offsets(*options); });

    auto sizes = std::make_shared<OffsetOptions>();
    CLI::App* correct = app.add_subcommand(
        "correct",
        said("Tell from measured sizes which offset to correct, by how much and with which sign. Sizes in "
             "the program's unit; say --wanted and --measured once for each"));
    correct->add_option("file", sizes->file, said("Program that made the part; - reads standard input"))
        ->required();
    correct->add_option("--wanted", sizes->wanted, said("Diameter as it is wanted"))->expected(1)->take_all();
    correct->add_option("--measured", sizes->measured, said("Diameter as it was measured"))
        ->expected(1)
        ->take_all();
    correct->add_option("--wanted-length", sizes->wanted_length, said("Length from Z0 as it is wanted"))
        ->expected(1)
        ->take_all();
    correct->add_option("--measured-length", sizes->measured_length, said("The length as it was measured"))
        ->expected(1)
        ->take_all();
    correct->add_option("--tool", sizes->station, said("Only cuts of this station"))->check(above_zero());
    correct->add_option("--shop", sizes->shop,
                        said("Shop file to use instead of the nearest turnwright.toml"));
    correct->callback([sizes, &status] { status = run_correct(*sizes); });
}

} // namespace turnwright::commands

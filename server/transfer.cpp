// turnwright transfer: programs written for another lathe of the shop file, with what a person must look at.
#include "commands.h"
#include "host/file.h"
#include "host/host.h"
#include "language/said.h"
#include "many_files.h"
#include "report/folder_programs.h"
#include "report/learn.h"
#include "report/transferred.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <charconv>
#include <filesystem>
#include <memory>
#include <set>

namespace turnwright::commands {
namespace {

namespace fs = std::filesystem;

struct TransferOptions {
    std::vector<std::string> files, stations;
    std::string from, to, into, shop;
    bool keep_units = false, write = false, short_form = false;
    unsigned jobs = 0;
};

/// "3=5" or "T03=T05"; false when it is neither.
bool read_stations(const std::vector<std::string>& given, std::map<int, int>& stations, std::string& wrong) {
    const auto number = [](std::string_view text, int& value) {
        if (!text.empty() && (text.front() == 'T' || text.front() == 't')) text.remove_prefix(1);
        const auto [end, bad] = std::from_chars(text.data(), text.data() + text.size(), value);
        return bad == std::errc{} && end == text.data() + text.size() && value > 0 && value < 100;
    };
    for (const std::string& text : given) {
        const std::size_t equals = text.find('=');
        int here = 0, there = 0;
        if (equals == std::string::npos || !number(std::string_view(text).substr(0, equals), here) ||
            !number(std::string_view(text).substr(equals + 1), there)) {
            wrong = text;
            return false;
        }
        stations[here] = there;
    }
    return true;
}

/// Where the program goes.
fs::path place_of(const fs::path& path, const TransferOptions& options) {
    return options.into.empty() ? path : host::path_of(options.into) / path.filename();
}

/// Why it was not written; empty when it was.
std::string put(const fs::path& path, const report::TransferredFile& file, const TransferOptions& options) {
    const fs::path place = place_of(path, options);
    std::error_code failed;
    if (options.into.empty() || fs::equivalent(path, place, failed)) {
        if (!options.write) return {};
        // Whoever saved it meanwhile keeps what was saved.
        if (report::read_program(path).text != file.before)
            return said("changed while it was transferred: left as it is");
    } else if (!options.write && fs::exists(place, failed)) {
        return host::shown_name(place.string()) + said(" is there: --write takes its place");
    }
    return host::replace_file(place, file.made.text);
}

int run_transfer(const TransferOptions& options) {
    features::TransferOrder order;
    order.keep_units = options.keep_units;
    std::string problem;
    if (!read_stations(options.stations, order.stations, problem))
        return say_trouble(problem, said("is no pair of stations such as 3=5"));
    const std::shared_ptr<const shop::Shop> shop = shop_for_all(options.shop, problem);
    if (!problem.empty()) return say_trouble(options.shop, problem);
    if (std::error_code failed;
        !options.into.empty() && !fs::is_directory(host::path_of(options.into), failed))
        return say_trouble(options.into, said("no such folder"));
    const std::vector<std::string> files = report::files_meant(options.files).files;
    std::vector<report::TransferredFile> transferred(files.size());
    std::vector<fs::path> paths;
    paths.reserve(files.size());
    for (const std::string& file : files) paths.push_back(host::path_of(file));
    report::FolderPrograms folders;
    for_each_file(files.size(), options.jobs, [&](std::size_t i) {
        const report::OpenedProgram opened = report::open_program(paths[i], shop, folders);
        transferred[i].name = host::shown_name(files[i]);
        transferred[i].problem = opened.problem;
        if (!opened.document) return;
        const auto beside = folders.beside(paths[i], opened.document->shop());
        report::transfer(*opened.document, options.from, options.to, order, transferred[i], beside.get());
    });
    report::join_called(transferred, paths);
    // One after the other: two programs of one name must not meet in the folder.
    std::set<fs::path> places;
    for (std::size_t i = 0; i < transferred.size(); ++i) {
        report::TransferredFile& file = transferred[i];
        if (!file.is_made() || !file.problem.empty()) continue;
        file.problem = places.insert(place_of(paths[i], options)).second
                           ? put(paths[i], file, options)
                           : said("another program of this name goes to the same place");
    }
    const bool writes = options.write || !options.into.empty();
    const int written = write_out(report::transfer_text(transferred, !writes && !options.short_form, writes));
    if (written != done) return written;
    return report::transfer_status(transferred);
}

} // namespace

void add_transfer(CLI::App& app, int& status) {
    auto options = std::make_shared<TransferOptions>();
    CLI::App* transfer = app.add_subcommand(
        "transfer",
        said("Write programs for another lathe of the shop file. Shows what would change and what to "
             "look at; writes only with --into or --write. Exit status: 0 nothing to look at, 1 "
             "something to look at or refused, 2 a file could not be read or written"));
    transfer
        ->add_option("file", options->files, said("Programs, folders or patterns such as \"jobs/**/*.nc\""))
        ->required();
    transfer->add_option("--to", options->to, said("Name of the machine that they go to"))->required();
    transfer->add_option("--from", options->from,
                         said("Name of the machine that they are for (default: as the shop file tells)"));
    transfer->add_option("--station", options->stations, said("A tool that goes to another station: 3=5"));
    transfer->add_flag("--keep-units", options->keep_units, said("Leave them in inch or mm as they are"));
    transfer->add_option("--into", options->into,
                         said("Folder for the new programs; one that is there stays"));
    transfer->add_flag("--write", options->write,
                       said("Write the files themselves, or with --into over those that are there"));
    transfer->add_flag("--short", options->short_form, said("Leave the changed lines out of the report"));
    transfer->add_option("--shop", options->shop,
                         said("Shop file to use instead of the nearest turnwright.toml"));
    transfer->add_option("--jobs", options->jobs,
                         said("Files transferred at once (default: one a processor)"));
    transfer->callback([options, &status] { status = run_transfer(*options); });
}

} // namespace turnwright::commands

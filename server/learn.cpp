// turnwright learn: a commented shop file from the programs of a folder.
#include "report/learn.h"
#include "commands.h"
#include "features/program_files.h"
#include "host/file.h"
#include "host/host.h"
#include "host/new_file.h"
#include "language/said.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <iostream>
#include <memory>

namespace turnwright::commands {
namespace {

namespace fs = std::filesystem;

struct LearnOptions {
    std::string folder, out;
};

std::vector<report::ProgramText> programs_in(const std::string& folder) {
    const fs::path top = host::path_of(folder);
    std::vector<report::ProgramText> programs;
    for (const std::string& name : report::files_meant({folder}).files) {
        const fs::path path = host::path_of(name);
        report::FileText read = report::read_program(path);
        if (!read.problem.empty()) continue;
        programs.push_back({path, path.lexically_relative(top).generic_string(), std::move(read.text)});
    }
    return programs;
}

/// Told beside the file itself, which may go to standard output.
void tell(const report::LearntShop& learnt, const std::string& where) {
    std::cerr << "turnwright: " << where << said(": learnt from ") << learnt.programs
              << (learnt.programs == 1 ? said(" program") : said(" programs")) << ", " << learnt.active
              << said(" entries that count, ") << learnt.commented << said(" left to you as comments\n");
    if (!learnt.top.empty()) std::cerr << said("Most useful to answer:\n");
    for (const std::string& question : learnt.top) std::cerr << "  " << question << '\n';
}

int run_learn(const LearnOptions& options) {
    const fs::path folder = host::path_of(options.folder);
    std::error_code failed;
    if (!fs::is_directory(folder, failed)) return say_trouble(options.folder, said("no folder"));
    const bool to_output = options.out == "-";
    const fs::path target =
        options.out.empty() || to_output ? folder / "turnwright.toml" : host::path_of(options.out);
    const fs::path absolute = fs::absolute(folder, failed);
    const auto beside = std::make_shared<features::ProgramFiles>();
    beside->set_folders({absolute}, report::nearest_shop(absolute / "program")->house.endings);
    const report::LearntShop learnt = report::learn_shop(programs_in(options.folder), target, beside);
    if (learnt.programs == 0) return say_trouble(options.folder, said("a folder with no part program in it"));
    if (to_output) {
        tell(learnt, options.folder);
        return write_out(learnt.text);
    }
    // One in a folder above holds for these programs too, and would not any more.
    const fs::path there = options.out.empty()          ? report::nearest_shop(absolute / "program")->path
                           : fs::exists(target, failed) ? target
                                                        : fs::path();
    if (there.empty()) {
        const std::string problem = host::create_file(target, learnt.text);
        if (!problem.empty()) return say_trouble(target.string(), problem);
        tell(learnt, host::shown_name(target.string()));
        return done;
    }
    const host::FileRead old = host::read_file(there, shop::largest_file);
    if (!old.problem.empty()) return say_trouble(there.string(), old.problem);
    const std::string changes = report::line_changes(old.bytes, learnt.text);
    if (changes.empty())
        return write_out(host::shown_name(there.string()) + said(" says all of it already.\n"));
    tell(learnt, options.folder);
    const int written =
        write_out(host::shown_name(there.string()) +
                  said(" is there and was left as it is. - stands in it, + was learnt:\n") + changes);
    return written == done ? 1 : written;
}

} // namespace

void add_learn(CLI::App& app, int& status) {
    auto options = std::make_shared<LearnOptions>();
    CLI::App* learn = app.add_subcommand(
        "learn",
        said("Write a commented shop file, turnwright.toml, from the programs of a folder. One that is there "
             "is never changed: what differs is shown. Exit status: 0 written or nothing new, 1 one is there "
             "and differs, 2 it could not be done"));
    learn->add_option("folder", options->folder, said("Folder with programs, and those below it"))
        ->required();
    learn->add_option("-o,--out", options->out,
                      said("File to write (default: turnwright.toml in the folder); - is standard output"));
    learn->callback([options, &status] { status = run_learn(*options); });
}

} // namespace turnwright::commands

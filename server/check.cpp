// turnwright check: the warnings of files, folders or standard input, for people and other programs.
#include "commands.h"
#include "host/host.h"
#include "report/report.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <algorithm>
#include <atomic>
#include <iostream>
#include <iterator>
#include <memory>
#include <thread>

namespace turnwright::commands {
namespace {

struct CheckOptions {
    std::vector<std::string> files;
    std::string format = "text";
    std::string shop;
    std::string name = "<standard input>";
    unsigned jobs = 0;
    bool silenced = false;
};

report::CheckedFile check_one(const std::string& name, const CheckOptions& options,
                              const std::shared_ptr<const shop::Shop>& shop) {
    if (name == "-") {
        std::string text{std::istreambuf_iterator<char>(std::cin), std::istreambuf_iterator<char>()};
        auto used = shop ? shop : report::nearest_shop(std::filesystem::current_path() / "program");
        return report::check_text(options.name, text, used);
    }
    const std::filesystem::path path = host::path_of(name);
    report::CheckedFile checked = report::check_file(path, shop);
    std::error_code failed;
    if (std::filesystem::is_directory(path, failed)) checked.problem = "a folder with no part program in it";
    return checked;
}

std::vector<report::CheckedFile> check_all(const std::vector<std::string>& files, const CheckOptions& options,
                                           const std::shared_ptr<const shop::Shop>& shop) {
    std::vector<report::CheckedFile> checked(files.size());
    std::atomic<std::size_t> next = 0;
    bool shows_progress = files.size() > 20 && host::errors_go_to_a_terminal();
    auto work = [&] {
        for (std::size_t i; (i = next++) < files.size();) {
            checked[i] = check_one(files[i], options, shop);
            if (shows_progress && i % 10 == 0)
                std::cerr << "\r" + std::to_string(i) + " of " + std::to_string(files.size()) + " files ";
        }
    };
    unsigned jobs = options.jobs > 0 ? options.jobs : std::max(1u, std::thread::hardware_concurrency());
    jobs = static_cast<unsigned>(std::min<std::size_t>({jobs, files.size(), 64}));
    std::vector<std::thread> threads;
    for (unsigned i = 1; i < jobs; ++i) threads.emplace_back(work);
    work();
    for (std::thread& thread : threads) thread.join();
    if (shows_progress) std::cerr << "\r                              \r";
    return checked;
}

int run_check(const CheckOptions& options) {
    std::shared_ptr<const shop::Shop> shop;
    std::vector<report::CheckedFile> checked;
    if (!options.shop.empty()) {
        report::FileText read = report::read_program(host::path_of(options.shop));
        if (!read.problem.empty()) {
            std::cerr << "turnwright: shop file " << options.shop << ": " << read.problem << '\n';
            return 2;
        }
        shop = report::load_shop(host::path_of(options.shop));
    }
    checked = check_all(report::files_meant(options.files), options, shop);
    const std::size_t files_checked = checked.size();
    // What is wrong with a shop file is told once, beside the programs it is used for.
    std::vector<std::string> shops;
    for (const auto& file : checked)
        if (!file.shop_file.empty() && std::find(shops.begin(), shops.end(), file.shop_file) == shops.end())
            shops.push_back(file.shop_file);
    for (const std::string& path : shops) {
        report::CheckedFile problems = report::check_shop(*report::load_shop(host::path_of(path)));
        if (!problems.warnings.empty()) checked.push_back(std::move(problems));
    }
    for (std::size_t i = 0; i < files_checked; ++i) {
        if (checked[i].job_file.empty()) continue;
        report::CheckedFile problems = report::check_job(host::path_of(checked[i].job_file));
        if (!problems.warnings.empty()) checked.push_back(std::move(problems));
    }
    std::string out = options.format == "json"    ? report::as_json(checked)
                      : options.format == "sarif" ? report::as_sarif(checked)
                      : options.format == "junit" ? report::as_junit(checked)
                      : options.silenced          ? report::silenced_text(checked)
                                                  : report::as_text(checked);
    std::cout << out << std::flush;
    return report::exit_status(report::count(checked));
}

} // namespace

void add_check(CLI::App& app, int& status) {
    auto options = std::make_shared<CheckOptions>();
    CLI::App* check = app.add_subcommand(
        "check",
        "Print the warnings of programs. Exit status: 0 none, 1 some, 2 a file could not be checked");
    check
        ->add_option("files", options->files,
                     "Files, folders or patterns such as \"jobs/**/*.nc\"; - reads standard input")
        ->required();
    check->add_option("--format", options->format, "text, json, sarif or junit")
        ->check(CLI::IsMember({"text", "json", "sarif", "junit"}));
    check->add_option("--shop", options->shop, "Shop file to use instead of the nearest turnwright.toml");
    check->add_option("--name", options->name, "Name to show for standard input");
    check->add_option("--jobs", options->jobs, "Files checked at once (default: one a processor)");
    check->add_flag("--silenced", options->silenced, "List what notes in the programs silence instead");
    check->callback([options, &status] { status = run_check(*options); });
}

} // namespace turnwright::commands

// Drives the real server over pipes as an editor would and prints a table. See run.sh.
#include "bench/rows.h"

#include <CLI/CLI.hpp>

#include <cstdio>
#include <ctime>
#include <exception>
#include <fstream>
#include <functional>
#include <sys/utsname.h>
#include <thread>

namespace {

std::string machine() {
    std::string model = "processor not named";
    std::ifstream cpu("/proc/cpuinfo");
    for (std::string line; std::getline(cpu, line);)
        if (line.starts_with("model name")) {
            model = line.substr(line.find(':') + 2);
            break;
        }
    utsname system{};
    uname(&system);
    char day[16];
    const std::time_t now = std::time(nullptr);
    std::strftime(day, sizeof day, "%Y-%m-%d", std::gmtime(&now));
    return model + ", " + std::to_string(std::thread::hardware_concurrency()) + " cores, " + system.sysname +
           ' ' + system.release + ", " + day;
}

/// One part of the table at one size; a server that dies there is told of and the rest goes on.
void part(const bench::Plan& plan, const char* name, std::size_t blocks, const std::function<void()>& measure,
          std::vector<std::string>& troubles) {
    if (!plan.wants(name)) return;
    std::fprintf(stderr, "%s, %s blocks ...\n", name, bench::grouped(blocks).c_str());
    try {
        measure();
    } catch (const std::exception& error) {
        troubles.push_back(std::string(name) + " at " + bench::grouped(blocks) + " blocks: " + error.what());
    }
}

} // namespace

int main(int argc, char** argv) {
    bench::Plan plan;
    std::string server;
    std::string clangd = "clangd";
    std::string style = "hand";
    std::vector<std::size_t> sizes{1000, 2000, 10000, 50000, 100000, 1000000};
    int seconds = 20;
    CLI::App app{"Measures the server as an editor sees it"};
    app.add_option("--server", server, "The turnwright program, or another command that speaks LSP")
        ->required();
    app.add_option("--sizes", sizes, "Blocks, with commas between")
        ->delimiter(',')
        ->check(CLI::Range(40, 20000000));
    app.add_option("--keys", plan.keys, "Keys a row");
    app.add_option("--style", style, "hand, post or macro");
    app.add_option("--only", plan.only, "start, push, requests, pull, tree, clangd")->delimiter(',');
    app.add_option("--seconds", seconds, "A row stops after so long");
    app.add_option("--clangd", clangd, "The yardstick's program; empty leaves it out");
    app.add_option("--clangd-limit", plan.clangd_limit, "Largest C file, in lines");
    CLI11_PARSE(app, argc, argv);
    const auto chosen = bench::style_of(style);
    if (!chosen) {
        std::fputs("--style is hand, post or macro\n", stderr);
        return 2;
    }
    plan.style = *chosen;
    plan.row_limit = std::chrono::seconds(seconds);
    plan.server = CLI::detail::split(server, ' ');
    if (plan.server.size() == 1) plan.server.emplace_back("serve");
    if (!clangd.empty()) plan.clangd = {clangd, "--log=error", "--background-index=false"};

    bench::Table table;
    std::vector<std::string> troubles;
    for (const std::size_t blocks : sizes) {
        part(
            plan, "start", blocks, [&] { bench::measure_start(plan, table, blocks); }, troubles);
        part(
            plan, "push", blocks, [&] { bench::measure_push(plan, table, blocks); }, troubles);
        part(
            plan, "requests", blocks, [&] { bench::measure_requests(plan, table, blocks); }, troubles);
        part(
            plan, "pull", blocks, [&] { bench::measure_pull(plan, table, blocks); }, troubles);
        part(
            plan, "tree", blocks, [&] { bench::measure_one_tree(plan, table, blocks); }, troubles);
        if (!plan.clangd.empty() && blocks <= plan.clangd_limit)
            part(
                plan, "clangd", blocks, [&] { bench::measure_clangd(plan, table, blocks); }, troubles);
    }
    std::printf("%s\nStyle of the programs: %s.\n\n%s\n%s", machine().c_str(), style.c_str(),
                table.markdown().c_str(), table.judged(bench::targets()).c_str());
    for (const auto& trouble : troubles) std::printf("\nNot measured: %s\n", trouble.c_str());
    return troubles.empty() ? 0 : 1;
}

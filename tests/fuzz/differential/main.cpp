// A server that follows edits gives every answer that a fresh one gives.
//
//   fuzz_differential [--seed FIRST] [--batches N] [--keep FOLDER] [--go-on] [--samples FOLDER]... [FILE...]
//
// Plays the scenarios in the files, then those of the seeds from FIRST on until N batches were compared. One
// that differs is made shorter and written as a file into FOLDER (the current one), which plays it again; the
// first one ends the run, unless it is to go on. Samples are programs that scenarios begin with beside
// made-up ones.
#include "fuzz/differential/play.h"
#include "fuzz/differential/programs.h"
#include "fuzz/differential/shrink.h"
#include "rpc/message.h"

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <unistd.h>

using namespace turnwright;
using namespace turnwright::fuzz;

namespace {

namespace files = std::filesystem;

char playing[256]; // Where a signal handler finds it

void tell_playing(int signal) {
    std::signal(signal, SIG_DFL);
    const ssize_t written = write(STDERR_FILENO, playing, std::char_traits<char>::length(playing));
    (void)written; // Nothing else can be done here
    std::raise(signal);
}

std::vector<std::string> read_files(const files::path& path, const std::vector<std::string>& endings) {
    std::vector<files::path> found;
    if (files::is_directory(path)) {
        for (const auto& entry : files::recursive_directory_iterator(path))
            if (std::ranges::count(endings, entry.path().extension().string()) > 0)
                found.push_back(entry.path());
        std::sort(found.begin(), found.end());
    } else {
        found.push_back(path);
    }
    std::vector<std::string> texts;
    for (const files::path& file : found) {
        std::ifstream in(file, std::ios::binary);
        texts.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
    }
    return texts;
}

struct Run {
    files::path keep = ".";
    bool go_on = false;
    std::size_t batches = 0, differences = 0;

    /// False ends it.
    bool play_one(const Scenario& scenario, const std::string& name) {
        std::snprintf(playing, sizeof playing, "playing %s\n", name.c_str());
        const auto differs = play(scenario, batches);
        if (!differs) return true;
        ++differences;
        std::printf("%s differs: %s", name.c_str(), shown(*differs).c_str());
        std::fflush(stdout);
        const Scenario shorter = shrink(scenario, *differs, std::chrono::seconds(60));
        const files::path file = keep / ("differs-" + std::to_string(scenario.seed) + ".json");
        std::ofstream(file) << written(shorter).dump(1) << '\n';
        std::size_t ignored = 0;
        if (const auto again = play(shorter, ignored)) std::printf("shorter, %s", shown(*again).c_str());
        std::printf("kept in %s\n", file.c_str());
        std::fflush(stdout);
        return go_on;
    }
};

} // namespace

int main(int count, char** given) {
    std::size_t wanted = 0;
    std::uint32_t seed = 1;
    Run run;
    std::vector<std::string> samples;
    std::vector<files::path> scenarios;
    for (int i = 1; i < count; ++i) {
        const std::string argument = given[i];
        const auto value = [&] { return std::string(i + 1 < count ? given[++i] : "0"); };
        if (argument == "--seed")
            seed = static_cast<std::uint32_t>(std::stoul(value()));
        else if (argument == "--batches")
            wanted = std::stoul(value());
        else if (argument == "--keep")
            run.keep = value();
        else if (argument == "--go-on")
            run.go_on = true;
        else if (argument == "--samples")
            for (std::string& text : read_files(value(), {".nc", ".cnc"})) {
                // A client sends text, and these may hold bytes of another kind.
                const Json clean =
                    Json::parse(Json(text).dump(-1, ' ', false, Json::error_handler_t::replace));
                samples.push_back(clean.get<std::string>());
            }
        else
            scenarios.emplace_back(argument);
    }
    for (const int signal : {SIGABRT, SIGSEGV, SIGFPE, SIGBUS, SIGILL, SIGTERM})
        std::signal(signal, tell_playing);
    std::size_t kept = 0;
    bool goes = true;
    for (const files::path& path : scenarios)
        for (const std::string& text : read_files(path, {".json"}))
            if (goes)
                goes = run.play_one(read_scenario(Json::parse(text)),
                                    path.string() + ' ' + std::to_string(++kept));
    const std::uint32_t first = seed;
    for (; goes && run.batches < wanted; ++seed)
        goes = run.play_one(make_scenario(seed, samples), "seed " + std::to_string(seed));
    std::printf("%zu kept scenarios and %u seeds, %zu batches, %zu differences\n", kept, seed - first,
                run.batches, run.differences);
    return run.differences == 0 ? 0 : 1;
}

// Plays a fuzzing target without a fuzzer, for the normal tests: every kept input, then random changes of
// them.
//
//   replay [--changes N] [--seed S] [--longest BYTES] [--dictionary FILE] FILE-OR-FOLDER...
//
// The same seed gives the same inputs. When the target ends the program, the input that did it is in the file
// failed-input in the current folder; put it into tests/fuzz/findings/<target>.
#include "fuzz/fuzz.h"

#include <algorithm>
#include <csignal>
#include <fcntl.h>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <unistd.h>
#include <vector>

namespace {

std::string playing; // Where a signal handler finds it

void keep_input(int signal) {
    std::signal(signal, SIG_DFL);
    const int file = open("failed-input", O_WRONLY | O_CREAT | O_TRUNC, 0644);
    if (file >= 0) {
        const ssize_t written = write(file, playing.data(), playing.size());
        (void)written; // Nothing else can be done here
        close(file);
    }
    std::raise(signal);
}

void play(std::string input) {
    playing = std::move(input);
    LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(playing.data()), playing.size());
}

std::string content(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

std::vector<std::string> read_inputs(const std::filesystem::path& path) {
    std::vector<std::filesystem::path> files;
    if (std::filesystem::is_directory(path)) {
        for (const auto& entry : std::filesystem::recursive_directory_iterator(path))
            if (entry.is_regular_file()) files.push_back(entry.path());
        std::sort(files.begin(), files.end());
    } else {
        files.push_back(path);
    }
    std::vector<std::string> inputs;
    for (const auto& file : files) inputs.push_back(content(file));
    return inputs;
}

/// Words of a libFuzzer dictionary: "..." with \\, \" and \xAB.
std::vector<std::string> read_dictionary(const std::filesystem::path& path) {
    std::vector<std::string> words;
    std::ifstream file(path);
    for (std::string line; std::getline(file, line);) {
        const std::size_t first = line.find('"'), last = line.rfind('"');
        if (line.starts_with('#') || first == last) continue;
        std::string word;
        for (std::size_t i = first + 1; i < last; ++i) {
            if (line[i] == '\\' && line[i + 1] == 'x') {
                word += static_cast<char>(std::stoi(line.substr(i + 2, 2), nullptr, 16));
                i += 3;
            } else {
                word += line[i] == '\\' ? line[++i] : line[i];
            }
        }
        words.push_back(std::move(word));
    }
    return words;
}

class Changer {
public:
    Changer(std::vector<std::string> inputs, std::vector<std::string> words, unsigned seed,
            std::size_t longest)
        : inputs_(std::move(inputs)), words_(std::move(words)), random_(seed), longest_(longest) {}

    std::string next() {
        std::string input = pick(inputs_).substr(0, longest_);
        for (std::size_t changes = 1 + below(4); changes > 0; --changes) change(input);
        return input.substr(0, longest_);
    }

private:
    // Not std::uniform_int_distribution, whose results each library makes its own way.
    std::size_t below(std::size_t count) { return random_() % count; }
    const std::string& pick(const std::vector<std::string>& from) { return from[below(from.size())]; }

    void change(std::string& input) {
        const std::size_t at = below(input.size() + 1);
        switch (below(7)) {
        case 0: // a byte
            if (at < input.size()) input[at] = static_cast<char>(below(256));
            break;
        case 1:
            if (at < input.size()) input[at] ^= static_cast<char>(1 << below(8));
            break;
        case 2: // less
            input.erase(at, 1 + below(20));
            break;
        case 3: // the same again
            input.insert(below(input.size() + 1), std::string(input, at, 1 + below(60)));
            break;
        case 4: { // part of another
            const std::string& other = pick(inputs_);
            input.insert(at, other.substr(below(other.size() + 1), 1 + below(200)));
            break;
        }
        default:
            if (!words_.empty()) input.insert(at, pick(words_));
        }
    }

    std::vector<std::string> inputs_, words_;
    std::mt19937 random_;
    std::size_t longest_;
};

} // namespace

int main(int count, char** given) {
    std::size_t changes = 0, longest = 4096;
    unsigned seed = 1;
    std::vector<std::string> inputs, words;
    for (int i = 1; i < count; ++i) {
        const std::string argument = given[i];
        const auto value = [&] { return i + 1 < count ? given[++i] : ""; };
        if (argument == "--changes")
            changes = std::stoul(value());
        else if (argument == "--seed")
            seed = static_cast<unsigned>(std::stoul(value()));
        else if (argument == "--longest")
            longest = std::stoul(value());
        else if (argument == "--dictionary")
            words = read_dictionary(value());
        else
            for (std::string& input : read_inputs(argument)) inputs.push_back(std::move(input));
    }
    if (inputs.empty()) {
        std::fprintf(stderr, "no inputs\n");
        return 2;
    }
    for (const int signal : {SIGABRT, SIGSEGV, SIGFPE, SIGBUS, SIGILL, SIGTERM})
        std::signal(signal, keep_input);
    for (const std::string& input : inputs) play(input);
    const std::size_t kept = inputs.size();
    Changer changer(std::move(inputs), std::move(words), seed, longest);
    for (std::size_t i = 0; i < changes; ++i) play(changer.next());
    std::printf("%zu kept inputs and %zu changes of them\n", kept, changes);
    return 0;
}

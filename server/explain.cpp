// turnwright explain: what a code, a letter or a check is.
#include "commands.h"
#include "language/said.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>
#include <string>
#include <vector>

namespace turnwright::commands {
namespace {

struct ExplainOptions {
    std::vector<std::string> words;
    std::string system;
};

/// A block is written without quotes, too.
std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& word : words) out += (out.empty() ? "" : " ") + word;
    return out;
}

int run_explain(const ExplainOptions& options) {
    std::optional<codes::System> system;
    if (!options.system.empty()) system = static_cast<codes::System>(options.system[0] - 'A');
    const std::string word = joined(options.words);
    const std::string text = report::explain_word(word, system);
    if (!text.empty()) return write_out(text);
    if (system && !report::explain_word(word, {}).empty())
        return say_trouble(word, said("system ") + options.system +
                                     said(" has no such code; without --system all three are told"));
    if (!word.empty() && word.find_first_not_of("0123456789.+-") == word.npos)
        return say_trouble(word, said("a number alone: with its letter it is told, as X") + word);
    const std::string near = report::nearest_to_explain(word);
    return say_trouble(word, said("not known. ") +
                                 (near.empty() ? std::string(said("Ask for a code (G76), a letter (X), a "
                                                                  "whole block (G71 U2. R1.), a thread "
                                                                  "(M24x1.5), a word of the trade (datum) "
                                                                  "or a warning (speed_limit_missing)"))
                                               : near));
}

} // namespace

void add_explain(CLI::App& app, int& status) {
    auto options = std::make_shared<ExplainOptions>();
    CLI::App* explain =
        app.add_subcommand("explain", said("Tell what a code, an address letter, a word of the macro "
                                           "language or of the trade, or a check is"));
    explain
        ->add_option(
            "word", options->words,
            said("G76, M03, X, GOTO, #100, %, STOCK, datum, M24x1.5, a block such as G71 U2. R1., or a check "
                 "such as speed_limit_missing"))
        ->required();
    explain->add_option("--system", options->system, said("G-code system A, B or C (default: all three)"))
        ->transform(CLI::IsMember({"A", "B", "C"}, CLI::ignore_case));
    explain->callback([options, &status] { status = run_explain(*options); });
}

} // namespace turnwright::commands

// turnwright explain: what a code, a letter or a check is.
#include "commands.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <memory>

namespace turnwright::commands {
namespace {

struct ExplainOptions {
    std::string word, system;
};

int run_explain(const ExplainOptions& options) {
    std::optional<codes::System> system;
    if (!options.system.empty()) system = static_cast<codes::System>(options.system[0] - 'A');
    const std::string text = report::explain_word(options.word, system);
    if (!text.empty()) return write_out(text);
    if (system && !report::explain_word(options.word, {}).empty())
        return say_trouble(options.word, "system " + options.system +
                                             " has no such code; without --system all three are told");
    const std::string near = report::nearest_to_explain(options.word);
    return say_trouble(
        options.word,
        near.empty()
            ? "neither a code of the table (G76, M03), nor an address letter (X), nor a word of the macro "
              "language (GOTO, #100), nor a word of the trade (datum), nor a check (speed_limit_missing)"
            : "not known; " + near);
}

} // namespace

void add_explain(CLI::App& app, int& status) {
    auto options = std::make_shared<ExplainOptions>();
    CLI::App* explain = app.add_subcommand(
        "explain",
        "Tell what a code, an address letter, a word of the macro language or of the trade, or a check is");
    explain
        ->add_option("word", options->word,
                     "G76, M03, X, GOTO, #100, %, STOCK, datum, or a check such as speed_limit_missing")
        ->required();
    explain->add_option("--system", options->system, "G-code system A, B or C (default: all three)")
        ->transform(CLI::IsMember({"A", "B", "C"}, CLI::ignore_case));
    explain->callback([options, &status] { status = run_explain(*options); });
}

} // namespace turnwright::commands

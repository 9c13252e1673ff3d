// turnwright calculate: from a drawing's numbers to blocks.
#include "commands.h"
#include "host/host.h"
#include "language/said.h"
#include "report/calculation.h"
#include "report/report.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <iostream>
#include <memory>

namespace turnwright::commands {
namespace {

struct CalculateOptions {
    std::vector<std::string> question;
    std::string program, shop, system = "A";
    std::size_t line = 0;
    report::Writing writing;
};

int run_calculate(CalculateOptions& options) {
    if (options.question.empty()) return write_out(report::calculators_text());
    std::string question;
    for (const std::string& word : options.question) question += (question.empty() ? "" : " ") + word;
    report::Calculated made;
    if (options.program.empty()) {
        options.writing.system = options.system == "B"   ? codes::System::B
                                 : options.system == "C" ? codes::System::C
                                                         : codes::System::A;
        made = report::calculate_alone(question, options.writing);
    } else {
        const report::OpenedProgram opened =
            report::open_program(host::path_of(options.program), host::path_of(options.shop));
        if (!opened.document) return say_trouble(options.program, opened.problem);
        made = report::calculate_in(*opened.document, options.line, question);
    }
    if (made.problem.empty()) return write_out(made.text);
    std::cerr << made.problem << '\n';
    return in_trouble;
}

} // namespace

void add_calculate(CLI::App& app, int& status) {
    auto options = std::make_shared<CalculateOptions>();
    CLI::App* calculate = app.add_subcommand(
        "calculate", said("From a drawing's numbers to blocks: thread, taper, tangent points, groove "
                          "and more. With no question it lists the calculators, with a name alone "
                          "its places. Exit status: 0 answered, 2 there is no answer"));
    calculate->add_option("question", options->question, said("Such as: thread M24x1.5 length 20"))
        ->allow_extra_args();
    calculate->positionals_at_end(false);
    calculate->add_option("--in", options->program, said("Program that the blocks are for"));
    calculate->add_option("--line", options->line, said("Its line that they stand after, from 1"));
    calculate->add_option("--shop", options->shop,
                          said("Shop file to use instead of the nearest turnwright.toml"));
    calculate->add_option("--system", options->system, said("G-code system where no program is given (A)"))
        ->check([](const std::string& given) {
            return given == "A" || given == "B" || given == "C" ? std::string()
                                                                : std::string(said("A, B or C"));
        });
    calculate->add_flag("--inch", options->writing.inch, said("Inch where no program is given"));
    calculate->add_flag("--radius", options->writing.radius, said("X on radius where no program is given"));
    calculate->callback([options, &status] { status = run_calculate(*options); });
}

} // namespace turnwright::commands

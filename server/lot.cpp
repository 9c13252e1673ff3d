// turnwright lot: how many parts an edge and a bar make, and how long a lot takes.
#include "report/lot.h"
#include "commands.h"
#include "host/host.h"
#include "language/said.h"
#include "usage.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <charconv>
#include <memory>

namespace turnwright::commands {
namespace {

struct LotOptions {
    std::string file, shop;
    std::size_t parts = 0;
    std::vector<std::string> lives, trials;
    std::optional<double> bar, remnant, step;
    report::LotQuestion question;
};

/// "T03=15" or "3=15" into the map; false when it is neither.
bool read_pairs(const std::vector<std::string>& given, std::map<int, double>& values, std::string& wrong) {
    for (const std::string& text : given) {
        const std::size_t from = !text.empty() && (text[0] == 'T' || text[0] == 't') ? 1 : 0;
        const std::size_t equals = text.find('=');
        int station = 0;
        double value = 0;
        wrong = text;
        if (equals == std::string::npos) return false;
        const char* const begin = text.data();
        const auto [at, bad] = std::from_chars(begin + from, begin + equals, station);
        const auto [end, unread] = std::from_chars(begin + equals + 1, begin + text.size(), value);
        const bool whole = at == begin + equals && end == begin + text.size();
        if (bad != std::errc{} || unread != std::errc{} || !whole || station < 1 || !(value > 0))
            return false;
        values[station] = value;
    }
    return true;
}

int run_lot(LotOptions& options) {
    std::string wrong;
    if (!read_pairs(options.lives, options.question.life_minutes, wrong) ||
        !read_pairs(options.trials, options.question.trial_parts, wrong))
        return say_trouble(wrong, said("is no station with a number above zero, such as T03=15"));
    const report::OpenedProgram opened =
        report::open_program(host::path_of(options.file), host::path_of(options.shop));
    if (!opened.document) return say_trouble(options.file, opened.problem);
    const bool inch = report::unit_of(*opened.document) == report::LengthUnit::inch;
    const auto mm = [&](const std::optional<double>& length) {
        return length ? std::optional(*length * (inch ? motion::mm_per_inch : 1)) : std::nullopt;
    };
    options.question.parts = options.parts;
    options.question.bar_mm = mm(options.bar);
    options.question.remnant_mm = mm(options.remnant);
    options.question.step_mm = mm(options.step);
    return write_out(report::lot_text(report::reckon_lot(*opened.document, options.question)));
}

} // namespace

void add_lot(CLI::App& app, int& status) {
    auto options = std::make_shared<LotOptions>();
    CLI::App* lot = app.add_subcommand(
        "lot", said("Reckon how many parts an edge and a bar make and how long a lot takes. Lengths in the "
                    "program's unit"));
    lot->add_option("file", options->file, said("Program; - reads standard input"))->required();
    lot->add_option("--parts", options->parts, said("Parts of the lot"));
    lot->add_option("--life", options->lives, said("Minutes that an edge of a station cuts: T03=15"));
    lot->add_option("--trial", options->trials,
                    said("Parts that an edge of a station made in a trial: T03=120"));
    lot->add_option("--bar", options->bar, said("Length of a bar"))->check(above_zero());
    lot->add_option("--remnant", options->remnant, said("What must be left of a bar"))->check(zero_or_more());
    lot->add_option("--step", options->step,
                    said("What a part takes of the bar (default: from the stock's front to the part-off)"))
        ->check(above_zero());
    lot->add_option("--edge-change", options->question.edge_change_minutes, said("Minutes to change an edge"))
        ->check(zero_or_more());
    lot->add_option("--bar-change", options->question.bar_change_minutes, said("Minutes to load a bar"))
        ->check(zero_or_more());
    lot->add_option("--part-change", options->question.part_change_seconds,
                    said("Seconds from part to part beside the program"))
        ->check(zero_or_more());
    lot->add_option("--shop", options->shop, said("Shop file to use instead of the nearest turnwright.toml"));
    lot->callback([options, &status] { status = run_lot(*options); });
}

} // namespace turnwright::commands

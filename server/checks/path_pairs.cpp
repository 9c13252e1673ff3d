#include "checks/path_pairs.h"
#include "language/said.h"

#include "text/letters.h"

#include <fmt/format.h>

namespace turnwright::checks {
namespace {

using machine::Analysis;
using machine::Outline;
using machine::ProgramPart;

constexpr std::size_t most_pairs = 200; ///< Of one file

/// In capitals, without blanks.
std::string squeezed(std::string_view written) {
    std::string out;
    for (const char c : written)
        if (c != ' ' && c != '\t' && c != '\r') out += text::upper(c);
    return out;
}

std::string program_name(std::int32_t number) {
    return fmt::format("O{:04}", number);
}

/// In the system of the file that asks, where nothing in its own text tells another one.
machine::Settings settings_of(const syntax::Forest& forest, const machine::Settings& asker) {
    machine::SystemEvidence evidence;
    machine::SignCounts signs;
    for (const syntax::RunPointer& run : forest.runs()) {
        evidence += machine::evidence_in(*run);
        signs += machine::signs_in(*run);
    }
    machine::Settings settings = machine::choose_settings(asker.machine, evidence, signs);
    if (settings.system_from == machine::SystemFrom::assumed && settings.system != asker.system) {
        settings.system = asker.system;
        settings.assumed = machine::choose_assumptions(asker.system, signs);
    }
    return settings;
}

class Pairing {
public:
    Pairing(const Analysis& analysis, const Outline& outline, OtherPrograms& others)
        : analysis_(analysis), outline_(outline), others_(others), lathe_(analysis.settings().machine) {}

    std::vector<PathPair> pairs() {
        if (!lathe_.path_marks.empty()) by_marks();
        if (pairs_.empty() && lathe_.path_numbers) by_numbers(*lathe_.path_numbers);
        if (pairs_.empty() && !lathe_.path_endings.empty()) by_endings();
        if (pairs_.empty() && !lathe_.path_folders.empty()) by_folders();
        return std::move(pairs_);
    }

private:
    void by_marks() {
        std::array<std::string, 2> marks{squeezed(lathe_.path_marks[0]), squeezed(lathe_.path_marks[1])};
        struct Part {
            std::size_t path;
            BlockPlace first;
        };
        std::vector<Part> parts;
        for (std::size_t run = 0; run < analysis_.size(); ++run) {
            const syntax::Run& text = *analysis_.forest().run(run);
            for (std::size_t block = 0; block < text.blocks.size(); ++block) {
                const syntax::Block& line = text.blocks[block];
                const std::string written = squeezed(
                    std::string_view(text.text->bytes).substr(line.begin, std::min(line.length, 400u)));
                for (std::size_t path = 0; path < 2; ++path)
                    if (written.find(marks[path]) != std::string::npos &&
                        (parts.empty() || parts.back().path != path))
                        parts.push_back({path, {run, block}});
            }
        }
        for (std::size_t i = 0; i + 1 < parts.size() && pairs_.size() < most_pairs; ++i) {
            if (parts[i].path == parts[i + 1].path || (i > 0 && parts[i].path == 1)) continue;
            const auto end_of = [&](std::size_t part) {
                return part + 1 < parts.size() ? before(parts[part + 1].first) : end();
            };
            PathPair pair;
            for (const std::size_t part : {i, i + 1}) {
                PathProgram& program = pair[parts[part].path];
                program.analysis = &analysis_;
                program.first = parts[part].first;
                program.last = end_of(part);
                program.name = said("the program behind ") + lathe_.path_marks[parts[part].path];
            }
            pairs_.push_back(std::move(pair));
            ++i;
        }
    }

    void by_numbers(int step) {
        for (const ProgramPart& part : outline_.programs) {
            if (part.number <= 0 || part.is_subprogram || pairs_.size() == most_pairs) continue;
            // In a row of numbers each second one belongs to the one before.
            std::int32_t below = part.number;
            std::size_t row = 0;
            while (row < most_pairs && below > step && find(below - step)) {
                below -= step;
                ++row;
            }
            const bool is_first = row % 2 == 0;
            const std::int32_t other = is_first ? part.number + step : part.number - step;
            std::optional<PathProgram> partner = find(other);
            if (!partner || (!is_first && partner->is_here())) continue;
            PathProgram own = here(part, program_name(part.number));
            if (is_first)
                pairs_.push_back({std::move(own), std::move(*partner)});
            else
                pairs_.push_back({std::move(*partner), std::move(own)});
        }
    }

    void by_endings() {
        const std::string name = analysis_.settings().file.filename().string();
        for (std::size_t path = 0; path < 2; ++path) {
            const std::string &own = lathe_.path_endings[path], &other = lathe_.path_endings[1 - path];
            if (name.size() <= own.size() || !same_letters(name.substr(name.size() - own.size()), own))
                continue;
            const std::string stem = name.substr(0, name.size() - own.size());
            pair_with(path, analysis_.settings().file.parent_path() / (stem + other));
            return;
        }
    }

    void by_folders() {
        const std::filesystem::path& file = analysis_.settings().file;
        const std::filesystem::path folder = file.parent_path();
        for (std::size_t path = 0; path < 2; ++path) {
            if (!same_letters(folder.filename().string(), lathe_.path_folders[path])) continue;
            pair_with(path, folder.parent_path() / lathe_.path_folders[1 - path] / file.filename());
            return;
        }
    }

    void pair_with(std::size_t own_path, const std::filesystem::path& file) {
        if (!analysis_.library()) return;
        const auto forest = analysis_.library()->find_file(file);
        if (!forest) return;
        const ProgramPart* own = main_of(outline_);
        const std::shared_ptr<const OtherProgram> held = followed(forest, file);
        const ProgramPart* others = main_of(held->outline);
        if (!own || !others) return;
        PathPair pair;
        pair[own_path] = here(*own, analysis_.settings().file.filename().string());
        pair[1 - own_path] = there(held, *others, file.filename().string());
        pairs_.push_back(std::move(pair));
    }

    static const ProgramPart* main_of(const Outline& outline) {
        for (const ProgramPart& part : outline.programs)
            if (!part.is_subprogram) return &part;
        return nullptr;
    }

    std::optional<PathProgram> find(std::int32_t number) {
        for (const ProgramPart& part : outline_.programs)
            if (part.number == number && !part.is_subprogram) return here(part, program_name(number));
        if (!analysis_.library()) return std::nullopt;
        const auto forest = analysis_.library()->find_program(number);
        if (!forest) return std::nullopt;
        const std::shared_ptr<const OtherProgram> held = followed(forest, {});
        for (const ProgramPart& part : held->outline.programs)
            if (part.number == number && !part.is_subprogram) return there(held, part, program_name(number));
        // A file that has its number as its name.
        const ProgramPart* main = main_of(held->outline);
        if (main && main->number == 0) return there(held, *main, program_name(number));
        return std::nullopt;
    }

    std::shared_ptr<const OtherProgram> followed(const std::shared_ptr<const syntax::Forest>& forest,
                                                 const std::filesystem::path& file) {
        std::shared_ptr<const OtherProgram>& held = others_.held[forest.get()];
        if (held) return held;
        auto made = std::make_shared<OtherProgram>();
        made->forest = forest;
        made->file = file;
        machine::Settings settings = settings_of(*forest, analysis_.settings());
        settings.file = file;
        made->analysis.rebuild(*forest, settings, analysis_.library());
        made->outline = machine::outline(made->analysis);
        return held = std::move(made);
    }

    PathProgram here(const ProgramPart& part, std::string name) const {
        return {nullptr, &analysis_, part.first, part.last, part.number, std::move(name)};
    }
    static PathProgram there(const std::shared_ptr<const OtherProgram>& held, const ProgramPart& part,
                             std::string name) {
        return {held, &held->analysis, part.first, part.last, part.number, std::move(name)};
    }

    BlockPlace end() const {
        const std::size_t run = analysis_.size() - 1;
        return {run, analysis_.forest().run(run)->blocks.size() - 1};
    }
    BlockPlace before(BlockPlace place) const {
        if (place.block > 0) return {place.run, place.block - 1};
        return {place.run - 1, analysis_.forest().run(place.run - 1)->blocks.size() - 1};
    }
    static bool same_letters(std::string_view a, std::string_view b) { return squeezed(a) == squeezed(b); }

    const Analysis& analysis_;
    const Outline& outline_;
    OtherPrograms& others_;
    const shop::Machine& lathe_;
    std::vector<PathPair> pairs_;
};

} // namespace

const motion::Times& OtherProgram::times() const {
    if (!times_) times_.emplace().rebuild(analysis);
    return *times_;
}

std::string OtherProgram::text() const {
    std::string whole;
    for (const syntax::RunPointer& run : forest->runs()) whole += run->text->bytes;
    return whole;
}

namespace {

std::vector<std::int32_t> numbers_in(const Analysis& analysis) {
    std::vector<std::int32_t> numbers;
    for (std::size_t run = 0; run < analysis.size(); ++run)
        for (const machine::Landmark& mark : analysis.shape(run).landmarks)
            if (mark.kind == machine::Landmark::Kind::program_start && mark.number > 0)
                numbers.push_back(mark.number);
    return numbers;
}

} // namespace

std::optional<int> own_path(const Analysis& analysis) {
    const shop::Machine& lathe = analysis.settings().machine;
    if (!lathe.path_marks.empty()) return std::nullopt;
    if (lathe.path_numbers) {
        const std::vector<std::int32_t> numbers = numbers_in(analysis);
        if (numbers.empty() || !analysis.library()) return std::nullopt;
        const int step = *lathe.path_numbers;
        const std::int32_t own = numbers.front();
        for (const std::int32_t number : numbers)
            if (std::abs(number - own) == step) return std::nullopt;
        const auto is_there = [&](std::int32_t number) {
            return number > 0 && analysis.library()->find_program(number);
        };
        // In a row of numbers each second one belongs to the one before.
        std::size_t row = 0;
        for (std::int32_t below = own - step; row < most_pairs && is_there(below); below -= step) ++row;
        if (row % 2 == 1) return 2;
        return is_there(own + step) ? std::optional(1) : std::nullopt;
    }
    const std::filesystem::path& file = analysis.settings().file;
    const std::string name = squeezed(file.filename().string()),
                      folder = squeezed(file.parent_path().filename().string());
    for (std::size_t path = 0; path < 2; ++path) {
        if (!lathe.path_endings.empty() && name.ends_with(squeezed(lathe.path_endings[path])))
            return static_cast<int>(path) + 1;
        if (!lathe.path_folders.empty() && folder == squeezed(lathe.path_folders[path]))
            return static_cast<int>(path) + 1;
    }
    return std::nullopt;
}

std::vector<PathPair> path_pairs(const Analysis& analysis, const Outline& outline, OtherPrograms& others) {
    if (!analysis.settings().machine.has_paths() || analysis.size() == 0) return {};
    return Pairing(analysis, outline, others).pairs();
}

PathProgram whole_file(const Analysis& analysis, std::string name) {
    PathProgram program;
    program.analysis = &analysis;
    const std::size_t run = analysis.size() - 1;
    program.last = {run, analysis.forest().run(run)->blocks.size() - 1};
    program.name = std::move(name);
    return program;
}

} // namespace turnwright::checks

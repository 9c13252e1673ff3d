#include "report/job_text.h"
#include "language/said.h"
#include "report/picture.h"

#include "features/noted.h"
#include "features/speech.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace turnwright::report {

namespace {

using shop::Tool;

/// The keys of one table, lengths in the program's unit.
class JobTable {
public:
    explicit JobTable(double mm_per_unit) : mm_per_unit_(mm_per_unit) {}
    void length(std::string_view key, const std::optional<double>& mm) {
        if (mm) line(key, features::plain(*mm / mm_per_unit_, 4));
    }
    void degrees(std::string_view key, const std::optional<double>& value) {
        if (value) line(key, features::plain(*value, 1));
    }
    void text(std::string_view key, std::string_view value) {
        if (value.empty()) return;
        std::string quoted = "\"";
        for (const char c : features::readable(value)) {
            if (c == '"' || c == '\\') quoted += '\\';
            quoted += c;
        }
        line(key, quoted + '"');
    }
    /// What nothing tells: taken as it is drawn, or a comment for a person to put right.
    void guess(std::string_view key, const std::optional<double>& mm, bool counts) {
        if (mm) guessed(key, features::plain(*mm / mm_per_unit_, 4), counts);
    }
    void guess_degrees(std::string_view key, const std::optional<double>& value) {
        if (value) guessed(key, features::plain(*value, 1), true);
    }
    void guessed(std::string_view key, const std::string& value, bool counts) {
        lines_ +=
            counts ? fmt::format("{} = {}  # assumed\n", key, value) : fmt::format("# {} = {}\n", key, value);
    }
    void line(std::string_view key, const std::string& value) {
        lines_ += fmt::format("{} = {}\n", key, value);
    }
    const std::string& lines() const { return lines_; }

private:
    double mm_per_unit_;
    std::string lines_;
};

std::string_view hand_word(shop::ToolHand hand) {
    constexpr std::string_view words[] = {"", "right", "left", "neutral"};
    return words[static_cast<std::size_t>(hand)];
}

/// In front of the line, so that whoever reads it sees on what it rests.
std::string as_comment(std::string_view reason) {
    return "# " + features::readable(reason) + "\n";
}

bool is_told(const features::Document& document, int station) {
    const Tool* tool = document.shop().tool(station);
    return tool && tool->kind != shop::ToolKind::unknown;
}

bool stock_is_told(const features::Document& document) {
    if (document.shop().stock.diameter_mm) return true;
    const auto& courses = document.results().stock().programs();
    return std::any_of(courses.begin(), courses.end(),
                       [](const auto& course) { return course.setup.has_value(); });
}

} // namespace

bool may_write_job(const features::Document& document) {
    if (!stock_is_told(document)) return true;
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences)
            if (sequence.tool > 0 && !is_told(document, sequence.tool)) return true;
    return false;
}

std::string job_file_text(const features::Document& document) {
    const Picture picture = make_picture(document);
    const DrawnStock drawn = drawn_stock(document, picture);
    if (drawn.assumed.empty() || !drawn.shop) return {};
    const double mm_per_unit = features::mm_per_unit_of(document).value_or(1);
    std::string out = as_comment(said("Assumed until somebody wrote it here: put what is true of this job."));
    out += as_comment(said("What stands behind # was made up for the drawing, or is a bound: put the true "
                           "value and take the # away."));
    out += fmt::format("units = \"{}\"\n", mm_per_unit > 1 ? "inch" : "mm");
    if (!drawn.assumed_stock.empty()) {
        const shop::Stock& stock = drawn.shop->stock;
        const features::StockInNotes noted = features::noted_stock(document, mm_per_unit);
        JobTable table(mm_per_unit);
        // Round stock of a hexagon's corners, and a bound by the moves, is true of no bar.
        if (drawn.stock_by_note)
            table.length("diameter", stock.diameter_mm);
        else
            table.guess("diameter", stock.diameter_mm, false);
        if (drawn.stock_by_note && noted.stock.bore_mm)
            table.length("bore", stock.bore_mm);
        else
            table.guess("bore", stock.bore_mm, drawn.stock_by_note);
        table.guess("front_z", stock.front_z_mm, drawn.stock_by_note);
        table.guess("back_z", stock.back_z_mm, drawn.stock_by_note);
        table.text("material", !stock.material.empty() ? stock.material : noted.stock.material);
        out += "\n" + as_comment(said("stock") + drawn.assumed_stock) + "[stock]\n" + table.lines();
    }
    std::set<int> written;
    for (const Tool& tool : drawn.shop->tools) {
        const auto found = drawn.kinds.find(tool.station);
        const shop::ToolKind kind = found == drawn.kinds.end() ? tool.kind : found->second;
        if (tool.station <= 0 || is_told(document, tool.station) || kind == shop::ToolKind::unknown) continue;
        written.insert(tool.station);
        const Tool noted = features::noted_tool(document, tool.station, mm_per_unit).tool;
        JobTable table(mm_per_unit);
        table.line("station", std::to_string(tool.station));
        table.text("kind", shop::kind_word(kind));
        // Of a stock that is not stated nothing is cut: a width made up for the drawing need not stand there.
        const bool counts = drawn.stock_by_note || drawn.assumed_stock.empty();
        const auto length = [&](std::string_view key, std::optional<double> Tool::*of) {
            if (noted.*of)
                table.length(key, noted.*of);
            else
                table.guess(key, tool.*of, counts);
        };
        const auto degrees = [&](std::string_view key, std::optional<double> Tool::*of) {
            if (noted.*of)
                table.degrees(key, noted.*of);
            else
                table.guess_degrees(key, tool.*of);
        };
        table.text("hand", hand_word(tool.hand));
        length("nose_radius", &Tool::nose_radius_mm);
        if (noted.tip_direction)
            table.line("tip_direction", std::to_string(*noted.tip_direction));
        else if (tool.tip_direction)
            table.guessed("tip_direction", std::to_string(*tool.tip_direction), true);
        length("width", &Tool::width_mm);
        length("diameter", &Tool::diameter_mm);
        degrees("point_angle", &Tool::point_angle_deg);
        degrees("approach_angle", &Tool::approach_angle_deg);
        degrees("back_angle", &Tool::back_angle_deg);
        const std::string name = fmt::format("T{:02} ", tool.station);
        const auto reason = std::find_if(drawn.assumed.begin(), drawn.assumed.end(),
                                         [&](const std::string& one) { return one.starts_with(name); });
        out += "\n" + (reason == drawn.assumed.end() ? std::string() : as_comment(*reason)) + "[[tool]]\n" +
               table.lines();
    }
    // A bar stop or what only moves: it is in the turret, too.
    for (const machine::ProgramPart& program : document.outline().programs)
        for (const machine::Sequence& sequence : program.sequences)
            if (sequence.tool > 0 && !document.shop().tool(sequence.tool) &&
                written.insert(sequence.tool).second)
                out += fmt::format("\n[[tool]]\nstation = {}\n", sequence.tool);
    return out;
}

} // namespace turnwright::report

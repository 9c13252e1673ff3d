// Offsets in a program's G10 blocks and in a table.
#include "report/offsets.h"
#include "language/said.h"

#include "features/speech.h"
#include "machine/whole_number.h"

#include <charconv>
#include <cmath>
#include <fmt/format.h>

namespace turnwright::report {
namespace {

using codes::Meaning;

constexpr std::string_view csv_columns = "kind,offset,x,z,x_added,z_added,nose_radius,tip_direction";
// P of geometry is so much more than the number of the offset (common practice, no source).
constexpr int geometry_from = 10'000, most_offsets = 999;

std::optional<double> number_in(std::string_view text) {
    while (text.starts_with(' ')) text.remove_prefix(1);
    while (text.ends_with(' ') || text.ends_with('\r')) text.remove_suffix(1);
    if (text.starts_with('+')) text.remove_prefix(1);
    double number = 0;
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (failed != std::errc{} || end != text.data() + text.size() || !std::isfinite(number))
        return std::nullopt;
    return number;
}

std::vector<std::string_view> cells_of(std::string_view line) {
    std::vector<std::string_view> cells;
    for (;;) {
        const std::size_t comma = line.find(',');
        cells.push_back(line.substr(0, comma));
        if (comma == line.npos) return cells;
        line.remove_prefix(comma + 1);
    }
}

std::string_view next_line(std::string_view& text) {
    std::string_view line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(line.size() + 1, text.size()));
    if (line.ends_with('\r')) line.remove_suffix(1);
    return line;
}

std::string_view without_mark(std::string_view text) {
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    return text;
}

bool is_whole(double number, double least, double most) {
    return number == std::floor(number) && number >= least && number <= most;
}

/// Fills a row from the cells of a line; false when one is no number or says two things at once.
bool read_row(std::span<const std::string_view> cells, OffsetRow& row) {
    if (cells.size() != 8 || (cells[0] != "wear" && cells[0] != "geometry")) return false;
    row.wear = cells[0] == "wear";
    std::optional<double> numbers[8];
    for (std::size_t i = 1; i < 8; ++i) {
        const bool is_empty = cells[i].find_first_not_of(" \r") == std::string_view::npos;
        if (!is_empty && !(numbers[i] = number_in(cells[i]))) return false;
    }
    if (!numbers[1] || !is_whole(*numbers[1], 1, most_offsets)) return false;
    if (numbers[7] && !is_whole(*numbers[7], 0, 9)) return false;
    if (numbers[6] && *numbers[6] < 0) return false;
    row.number = machine::whole_number(*numbers[1]);
    row.x = numbers[2], row.z = numbers[3], row.x_added = numbers[4], row.z_added = numbers[5];
    row.nose_radius = numbers[6];
    if (numbers[7]) row.tip_direction = machine::whole_number(*numbers[7]);
    return !(row.x && row.x_added) && !(row.z && row.z_added) &&
           (row.x || row.z || row.x_added || row.z_added || row.nose_radius || row.tip_direction);
}

class BlockReader {
public:
    OffsetTable read(const features::Document& document) {
        walk(document, [this](const WalkedBlock& block) { look(block); });
        return std::move(table_);
    }

private:
    void leave_out(const WalkedBlock& block, std::string_view why) {
        table_.left_out.push_back(said("line {}: {}", block.line + 1, why));
    }

    void look(const WalkedBlock& block) {
        const machine::Reading& reading = block.view.reading;
        if (!reading.code(Meaning::data_setting)) return;
        if (reading.has('L')) return leave_out(block, said("G10 with L sets other data than tool offsets"));
        const machine::Value p = reading.value('P');
        if (!reading.has('P') || !p.known())
            return leave_out(block, said("the number of the offset is not known"));
        OffsetRow row;
        row.wear = p.number < geometry_from;
        const double number = row.wear ? p.number : p.number - geometry_from;
        if (!is_whole(number, 1, most_offsets)) return leave_out(block, said("P names no tool offset"));
        row.number = machine::whole_number(number);
        bool known = true;
        const auto value = [&](char letter) -> std::optional<double> {
            if (!reading.has(letter)) return std::nullopt;
            const machine::Value held = reading.value(letter);
            known = known && held.known();
            return held.number;
        };
        row.x = value('X'), row.z = value('Z'), row.x_added = value('U'), row.z_added = value('W');
        row.nose_radius = value('R');
        if (const auto tip = value('Q'); tip && is_whole(*tip, 0, 9))
            row.tip_direction = static_cast<int>(*tip);
        if (!known) return leave_out(block, said("a value is not known here"));
        if (reading.has('C') || reading.has('Y') || reading.has('V'))
            leave_out(block, said("C, Y and V are not in the table"));
        if (!row.x && !row.z && !row.x_added && !row.z_added && !row.nose_radius && !row.tip_direction)
            return;
        table_.rows.push_back(row);
    }

    OffsetTable table_;
};

} // namespace

OffsetTable offsets_of_program(const features::Document& document) {
    return BlockReader().read(document);
}

bool is_offset_csv(std::string_view text) {
    text = without_mark(text);
    return next_line(text) == csv_columns;
}

OffsetTable offsets_of_csv(std::string_view csv) {
    OffsetTable table;
    csv = without_mark(csv);
    next_line(csv);
    for (std::size_t line = 2; !csv.empty(); ++line) {
        const std::string_view text = next_line(csv);
        if (text.find_first_not_of(" ,") == text.npos) continue;
        OffsetRow row;
        if (read_row(cells_of(text), row))
            table.rows.push_back(row);
        else
            table.left_out.push_back(said("line {}: no row of offsets", line));
    }
    return table;
}

std::string offset_csv(std::span<const OffsetRow> rows) {
    std::string out = std::string(csv_columns) + "\n";
    const auto cell = [](const auto& held) {
        return held ? features::plain(static_cast<double>(*held), 4) : std::string();
    };
    for (const OffsetRow& row : rows)
        out += fmt::format("{},{},{},{},{},{},{},{}\n", row.wear ? "wear" : "geometry", row.number,
                           cell(row.x), cell(row.z), cell(row.x_added), cell(row.z_added),
                           cell(row.nose_radius), cell(row.tip_direction));
    return out;
}

std::string offset_blocks(std::span<const OffsetRow> rows) {
    std::string out;
    for (const OffsetRow& row : rows) {
        out += fmt::format("G10 P{}", row.wear ? row.number : row.number + geometry_from);
        const std::pair<char, const std::optional<double>&> words[] = {
            {'X', row.x}, {'Z', row.z}, {'U', row.x_added}, {'W', row.z_added}, {'R', row.nose_radius}};
        for (const auto& [letter, value] : words)
            if (value) out += fmt::format(" {}{}", letter, checks::written(*value));
        if (row.tip_direction) out += fmt::format(" Q{}", *row.tip_direction);
        out += "\n";
    }
    return out;
}

} // namespace turnwright::report

// Where findings are put, and how numbers are written in messages.

#include "checks/mend.h"
#include "checks/most_findings.h"

#include <cmath>
#include <fmt/core.h>

namespace turnwright::checks {

Report::Entry Report::add(BlockPlace place, std::uint32_t begin, std::uint32_t length) {
    // Of one rule in a row.
    if (found.size() >= most_findings && found[found.size() - most_findings].finding.check == current)
        throw FoundTooMany{};
    Placed placed{place.run, {}};
    placed.finding.check = current;
    placed.finding.severity = current->severity;
    placed.finding.block = static_cast<std::uint16_t>(place.block);
    placed.finding.begin = begin - reader_.line(place).blocks[place.block].begin;
    placed.finding.length = length;
    found.push_back(std::move(placed));
    return {found.back().finding, reader_, want_fixes_};
}

Report::Entry& Report::Entry::message(std::string text) {
    for (std::size_t at = text.find(".."); at != std::string::npos; at = text.find("..", at + 1)) {
        const bool behind_digit = at > 0 && text[at - 1] >= '0' && text[at - 1] <= '9';
        const bool ends = at + 2 == text.size() || text[at + 2] == ' ';
        if (behind_digit && ends) text.erase(at, 1);
    }
    finding.message = std::move(text);
    return *this;
}

Report::Entry Report::at(const machine::BlockView& view, const syntax::Item& item) {
    return add({view.run_index, view.block}, item.begin, item.length);
}

Report::Entry Report::at(const machine::BlockView& view) {
    return at(BlockPlace{view.run_index, view.block});
}

Report::Entry Report::at(const machine::BlockView& view, std::uint32_t begin, std::uint32_t length) {
    return add({view.run_index, view.block}, begin, length);
}

Report::Entry Report::at(BlockPlace place) {
    const syntax::Run& run = reader_.line(place);
    const syntax::Block& block = run.blocks[place.block];
    auto items = run.items_of(block);
    if (items.empty()) return add(place, block.begin, block.length);
    return add(place, items.front().begin, items.back().end() - items.front().begin);
}

Report::Entry Report::at(BlockPlace place, const syntax::Item& item) {
    return add(place, item.begin, item.length);
}

Report::Entry Report::at_letter(BlockPlace place, char letter) {
    const syntax::Item* item = find_letter(reader_, place, letter);
    return item ? at(place, *item) : at(place);
}

motion::BlockPath path_in_any_unit(const machine::BlockView& view, const machine::Reader& reader) {
    if (!view.after.of(codes::Group::units).surely_unset()) return motion::path_of(view, reader);
    machine::State before = view.before, after = view.after;
    before.set(codes::Meaning::millimetre);
    after.set(codes::Meaning::millimetre);
    return motion::path_of(
        {view.run, view.run_index, view.block, view.text, before, after, view.reading, view.settings},
        reader);
}

const motion::BlockPath& Report::path(const machine::BlockView& view) {
    if (!path_) path_ = std::make_unique<motion::BlockPath>(path_in_any_unit(view, reader_));
    return *path_;
}

std::string spoken(double number) {
    if (!std::isfinite(number)) return "?";
    std::string text = fmt::format("{:.4f}", number);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

std::string written(double number) {
    std::string text = spoken(number);
    return text.find('.') == std::string::npos ? text + "." : text;
}

double x_as_written(double x_radius, const machine::Settings& settings) {
    return settings.machine.x == shop::XReading::diameter ? 2 * x_radius : x_radius;
}

std::string_view length_unit(const machine::State& state) {
    if (state.is(codes::Meaning::millimetre)) return "mm";
    if (state.is(codes::Meaning::inch)) return "in";
    return "";
}

} // namespace turnwright::checks

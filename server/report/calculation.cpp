#include "report/calculation.h"
#include "language/said.h"

#include "shop/shop.h"

#include <fmt/format.h>

namespace turnwright::report {

using codes::Meaning;

namespace {

std::string places_text(const calculate::Calculator& calculator) {
    std::string text =
        fmt::format("{}: {}\n\n  {}\n\n", calculator.name, calculator.title, calculate::form_of(calculator));
    for (const calculate::Place& place : calculator.places)
        text += fmt::format("  {:10}{}{}\n", place.word.empty() ? "..." : place.word, place.meaning,
                            place.required ? said(", must be there") : "");
    return text + fmt::format("\n{}\n", calculator.formula);
}

Calculated answered(const features::Document& document, std::size_t line, std::string_view text, bool inch) {
    if (const calculate::Calculator* row = calculate::find(text)) return {places_text(*row), {}};
    const calculate::Read read = calculate::read_question(text, inch ? motion::mm_per_inch : 1);
    if (!read.trouble.empty()) return {{}, read.trouble};
    if (!read.question)
        return {{}, said("There is no such calculator. These are there:\n") + calculators_text()};
    const machine::BlockPlace place = document.place_of_line(line);
    const features::Calculation made =
        features::calculate_at(document, *read.question, place,
                               read.question->calculator->at_corner ? std::optional(place) : std::nullopt);
    if (!made.answer.refused.empty()) return {{}, made.answer.refused};
    return {features::calculation_text(*read.question, made), {}};
}

} // namespace

Calculated calculate_alone(std::string_view question, const Writing& writing) {
    const calculate::Read read = calculate::read_question(question, 1);
    if (read.question && read.question->calculator->at_corner)
        return {{},
                said("It stands at a corner of a program: give --in and --line, the block that ends there.")};
    auto shop = std::make_shared<shop::Shop>(shop::default_shop());
    shop->machines.front().system = writing.system;
    if (writing.radius) shop->machines.front().x = shop::XReading::radius;
    std::string head;
    for (const Meaning meaning : {writing.inch ? Meaning::inch : Meaning::millimetre, Meaning::feed_per_rev})
        head += codes::written_as(writing.system, meaning) + ' ';
    if (writing.system != codes::System::A) head += codes::written_as(writing.system, Meaning::absolute);
    // A drawing's face is its Z0.
    features::Document document(head + "\nG00 Z0.\n\n", std::move(shop));
    document.evaluate();
    return answered(document, 2, question, writing.inch);
}

Calculated calculate_in(const features::Document& document, std::size_t line, std::string_view question) {
    if (line == 0 || line > document.buffer().line_count())
        return {{}, said("There is no line {}: it has {}.", line, document.buffer().line_count())};
    const machine::State state = document.analysis().after(document.place_of_line(line - 1));
    return answered(document, line - 1, question, state.is(Meaning::inch));
}

std::string calculators_text() {
    std::string text;
    for (const calculate::Calculator* row : calculate::all())
        text += fmt::format("  {:9}{}\n  {:9}{}\n", row->name, row->title, "", calculate::form_of(*row));
    return text;
}

} // namespace turnwright::report

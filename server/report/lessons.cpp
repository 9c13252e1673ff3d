#include "report/lessons.h"

#include "language/language.h"

#include <charconv>
#include <fmt/format.h>

namespace turnwright::report {

namespace {

constexpr std::string_view fence = "\n```";

/// What stands in the fences that say what they hold, in order.
std::vector<std::string> fenced_as(std::string_view page, std::string_view sort) {
    std::vector<std::string> found;
    const std::string opening = std::string(fence) + std::string(sort) + "\n";
    for (std::size_t at = page.find(opening); at != page.npos; at = page.find(opening, at)) {
        at += opening.size();
        const std::size_t end = page.find(fence, at);
        found.emplace_back(page.substr(at, end == page.npos ? end : end + 1 - at));
        if (end == page.npos) break;
        at = end;
    }
    return found;
}

int number_of(std::string_view name) {
    int number = 0;
    std::from_chars(name.data(), name.data() + name.size(), number);
    return number;
}

/// The page of an English one in the chosen language, itself where there is none.
const LessonPage& as_chosen(const LessonPage& english) {
    for (const LessonPage& page : lesson_pages())
        if (page.language == language::chosen() && page.name == english.name) return page;
    return english;
}

} // namespace

Lesson read_lesson(const LessonPage& page) {
    Lesson lesson;
    lesson.number = number_of(page.name);
    lesson.name = page.name;
    lesson.page = page.text;
    const std::string_view heading = page.text.substr(0, page.text.find('\n'));
    const std::size_t colon = heading.find(": ");
    lesson.title = heading.substr(colon == heading.npos ? 0 : colon + 2);
    const std::vector<std::string> programs = fenced_as(page.text, "nc"), jobs = fenced_as(page.text, "toml");
    if (!programs.empty()) lesson.faulty = programs[0];
    if (programs.size() > 1) lesson.mended = programs[1];
    if (!jobs.empty()) lesson.job = jobs[0];
    return lesson;
}

std::optional<Lesson> find_lesson(std::string_view wanted) {
    for (const LessonPage& page : lesson_pages()) {
        if (page.language != "en") continue;
        const bool is_number = wanted.find_first_not_of("0123456789") == wanted.npos && !wanted.empty();
        if (page.name == wanted || (is_number && number_of(page.name) == number_of(wanted)))
            return read_lesson(as_chosen(page));
    }
    return std::nullopt;
}

std::string list_of_lessons() {
    std::string out;
    for (const LessonPage& page : lesson_pages()) {
        if (page.language != "en") continue;
        const Lesson lesson = read_lesson(as_chosen(page));
        out += fmt::format("{:>3}  {}\n", lesson.number, lesson.title);
    }
    return out;
}

} // namespace turnwright::report

// Small programs with planted mistakes, to learn by the warnings. The pages of docs/lessons are in the
// program.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::report {

struct LessonPage {
    std::string_view language; ///< "en", or "de" as its folder in docs/lessons
    std::string_view name;     ///< "03-speed-limit", as its file in docs/lessons
    std::string_view text;     ///< Markdown
};
/// Of all languages, each in order; made by the build.
std::span<const LessonPage> lesson_pages();

struct Lesson {
    int number = 0;
    std::string_view name, page;
    std::string title; ///< "The missing point"
    std::string faulty, mended;
    std::string job; ///< Its job file; empty: it needs none
};
Lesson read_lesson(const LessonPage& page);
/// "3", "03" or "03-speed-limit", in the chosen language where it has the page, else in English; nullopt when
/// there is none.
std::optional<Lesson> find_lesson(std::string_view wanted);
/// Number and title, a line each.
std::string list_of_lessons();

} // namespace turnwright::report

# The pages of docs/lessons as one source file: cmake -DPAGES=a;b -DOUT=x.cpp -P embed_lessons.cmake
set(rows "")
foreach(file ${PAGES})
    file(READ ${file} text)
    get_filename_component(name ${file} NAME_WE)
    string(APPEND rows "    {\"${name}\", R\"LESSON(${text})LESSON\"},\n")
endforeach()
file(CONFIGURE OUTPUT ${OUT} CONTENT [[// Made by embed_lessons.cmake from the files in docs/lessons.
#include "report/lessons.h"

namespace turnwright::report {

static constexpr LessonPage pages_of_lessons[] = {
@rows@};

std::span<const LessonPage> lesson_pages() {
    return pages_of_lessons;
}

} // namespace turnwright::report
]] @ONLY)

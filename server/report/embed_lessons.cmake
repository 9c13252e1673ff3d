# The pages of docs/lessons as one source file: cmake -DPAGES=a;de/a -DOUT=x.cpp -P embed_lessons.cmake. A page in a
# folder of a language is of that language.
set(rows "")
foreach(file ${PAGES})
    file(READ ${file} text)
    get_filename_component(name ${file} NAME_WE)
    get_filename_component(folder ${file} DIRECTORY)
    get_filename_component(language ${folder} NAME)
    if(language STREQUAL "lessons")
        set(language en)
    endif()
    string(APPEND rows "    {\"${language}\", \"${name}\", R\"LESSON(${text})LESSON\"},\n")
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

// turnwright lesson: lists the lessons and copies one into a folder.
#include "commands.h"
#include "host/file.h"
#include "host/host.h"
#include "host/new_file.h"
#include "language/said.h"
#include "report/lessons.h"
#include "writing.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <filesystem>
#include <memory>

namespace turnwright::commands {
namespace {

namespace fs = std::filesystem;

struct LessonOptions {
    std::string wanted, folder = ".";
    bool mended = false;
};

int copy_lesson(const report::Lesson& lesson, const std::string& folder) {
    std::error_code failed;
    const fs::path place = host::path_of(folder);
    fs::create_directories(place, failed);
    if (!fs::is_directory(place, failed)) return say_trouble(folder, said("no folder"));
    const std::string name(lesson.name);
    std::vector<std::pair<fs::path, std::string>> files{
        {place / host::path_of(name + ".nc"), lesson.faulty},
        {place / host::path_of(name + ".md"), std::string(lesson.page)}};
    if (!lesson.job.empty()) files.emplace_back(place / host::path_of(name + ".turnwright.toml"), lesson.job);
    // None of them is written where one is there: a half copied lesson would say other things.
    for (const auto& [path, text] : files)
        if (fs::symlink_status(path, failed).type() != fs::file_type::not_found)
            return say_trouble(path.string(), said("is there and stays as it is: give another folder"));
    std::string told = said("Lesson ") + std::to_string(lesson.number) + ": " + lesson.title + "\n";
    for (const auto& [path, text] : files) {
        if (const std::string problem = host::create_file(path, text); !problem.empty())
            return say_trouble(path.string(), problem);
        told += "  " + host::shown_name(path.string()) + "\n";
    }
    return write_out(
        told + said("Open the .nc file in your editor and look at its warnings. The .md page has the task, "
                    "hints and, at its end, the answer.\n"));
}

int run_lesson(const LessonOptions& options) {
    if (options.wanted.empty())
        return write_out(report::list_of_lessons() +
                         said("\nturnwright lesson 1 FOLDER copies the first.\n"));
    const auto lesson = report::find_lesson(options.wanted);
    if (!lesson) return say_trouble(options.wanted, said("no such lesson: turnwright lesson lists them"));
    if (options.mended) return write_out(lesson->mended);
    return copy_lesson(*lesson, options.folder);
}

} // namespace

void add_lesson(CLI::App& app, int& status) {
    auto options = std::make_shared<LessonOptions>();
    CLI::App* lesson = app.add_subcommand(
        "lesson",
        said("List the lessons, or copy one into a folder: a small program with a planted mistake"));
    lesson->add_option("lesson", options->wanted, said("Number of the lesson (default: list them)"));
    lesson->add_option("folder", options->folder, said("Folder to copy it into (default: this one)"));
    lesson->add_flag("--mended", options->mended, said("Print the mended program and copy nothing"));
    lesson->callback([options, &status] { status = run_lesson(*options); });
}

} // namespace turnwright::commands

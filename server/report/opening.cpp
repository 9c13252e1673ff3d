#include "language/said.h"
#include "report/report.h"

#include "machine/read_once.h"
#include "report/folder_programs.h"

namespace turnwright::report {

namespace {

/// `problem`: why it is none.
OpenedProgram open_unless(std::string problem, std::string_view text, const std::filesystem::path& path,
                          const std::filesystem::path& shop_file) {
    OpenedProgram opened;
    opened.problem = std::move(problem);
    if (!opened.problem.empty()) return opened;
    std::shared_ptr<const shop::Shop> shop;
    if (shop_file.empty()) {
        shop = nearest_shop(path.empty() ? std::filesystem::current_path() / "program" : path);
    } else {
        const FileText read = read_program(shop_file);
        if (!read.problem.empty()) {
            opened.problem = said("shop file ") + shop_file.string() + ": " + read.problem;
            return opened;
        }
        shop = load_shop(shop_file);
    }
    if (!path.empty()) shop = shop_for_job(path, std::move(shop));
    // Calls find the programs beside the file, as the editor finds them in its folders.
    std::shared_ptr<features::ProgramFiles> beside;
    if (!path.empty()) beside = FolderPrograms().beside(path, *shop);
    const machine::ReadOnce here; // Nobody edits what is opened for a report
    opened.document = std::make_unique<features::Document>(text, std::move(shop), path, std::move(beside));
    return opened;
}

} // namespace

OpenedProgram open_program_text(std::string_view text, const std::filesystem::path& path,
                                const std::filesystem::path& shop_file) {
    return open_unless(why_not_a_program(text), text, path, shop_file);
}

OpenedProgram open_program(const std::filesystem::path& path, const std::filesystem::path& shop_file) {
    FileText read = read_program(path);
    if (!read.problem.empty()) {
        OpenedProgram failed;
        failed.problem = std::move(read.problem);
        return failed;
    }
    return open_unless(why_text_is_no_program(read.text), read.text,
                       path == "-" ? std::filesystem::path() : path, shop_file);
}

} // namespace turnwright::report

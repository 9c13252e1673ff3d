#include "report/folder_programs.h"

#include <system_error>

namespace turnwright::report {

// As many as the command line takes of a folder; how many bytes is bounded as in an editor.
constexpr std::size_t most_of_a_library = 100'000;

std::shared_ptr<features::ProgramFiles> FolderPrograms::beside(const std::filesystem::path& program,
                                                               const shop::Shop& shop) {
    std::error_code failed;
    const std::filesystem::path folder = std::filesystem::absolute(program, failed).parent_path();
    const std::lock_guard lock(mutex_);
    std::shared_ptr<features::ProgramFiles>& held = folders_[folder];
    if (!held) {
        held = std::make_shared<features::ProgramFiles>();
        held->set_folders({folder}, shop.house.endings, most_of_a_library);
        for (const shop::Machine& lathe : shop.machines)
            for (const std::string& path_folder : lathe.path_folders)
                held->look_beside(folder.parent_path() / path_folder);
    }
    return held;
}

OpenedProgram open_program(const std::filesystem::path& path, std::shared_ptr<const shop::Shop> shop,
                           FolderPrograms& folders) {
    OpenedProgram opened;
    FileText read = read_program(path);
    opened.problem = std::move(read.problem);
    if (opened.problem.empty()) opened.problem = why_not_a_program(read.text);
    if (!opened.problem.empty()) return opened;
    shop = shop_for_job(path, std::move(shop));
    auto beside = folders.beside(path, *shop);
    opened.document =
        std::make_unique<features::Document>(read.text, std::move(shop), path, std::move(beside));
    return opened;
}

} // namespace turnwright::report

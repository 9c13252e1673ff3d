// The programs beside each program, for work on many: a folder is read once, whoever calls into it.
#pragma once

#include "features/program_files.h"
#include "report/report.h"

#include <map>
#include <mutex>

namespace turnwright::report {

/// Safe for several threads.
class FolderPrograms {
public:
    std::shared_ptr<features::ProgramFiles> beside(const std::filesystem::path& program,
                                                   const shop::Shop& shop);

private:
    std::mutex mutex_;
    std::map<std::filesystem::path, std::shared_ptr<features::ProgramFiles>> folders_;
};

/// `shop` nullptr: the nearest shop file. With the job file beside the program.
OpenedProgram open_program(const std::filesystem::path& path, std::shared_ptr<const shop::Shop> shop,
                           FolderPrograms& folders);

} // namespace turnwright::report

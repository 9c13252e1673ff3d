// Programs written for another lathe, as a report of one or many.
#pragma once

#include "features/program_files.h"
#include "features/transfer.h"
#include "report/report.h"

namespace turnwright::report {

struct TransferredFile {
    std::string name;    ///< As shown
    std::string problem; ///< Why it was not read or written
    std::string from, to;
    std::string before; ///< Its text
    features::Transfer made;
    std::vector<std::filesystem::path> called; ///< Files of `made.called`, in their order
    std::vector<std::string> called_before;    ///< And their texts as they were
    bool is_made() const { return !made.text.empty() && made.refused.empty(); }
};
/// `from` empty: the machine that the shop file gives the program. Programs of `beside` that it calls are
/// written with it.
void transfer(const features::Document& document, std::string_view from, std::string_view to,
              features::TransferOrder order, TransferredFile& file,
              const features::ProgramFiles* beside = nullptr);
/// A program that others call is what they make of it: `paths` are those of `files`, and called ones that are
/// not among them come behind. Where two would have it otherwise it is not written.
void join_called(std::vector<TransferredFile>& files, std::vector<std::filesystem::path>& paths);

/// `with_lines`: with the lines that change. `written`: and that they were written.
std::string transfer_text(std::span<const TransferredFile> files, bool with_lines, bool written);
/// 0: nothing to look at; 1: something is, or was refused; 2: a file could not be read or written.
int transfer_status(std::span<const TransferredFile> files);

} // namespace turnwright::report

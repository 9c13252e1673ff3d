// Programs written for another lathe, as a report of one or many.
#pragma once

#include "features/transfer.h"
#include "report/report.h"

namespace turnwright::report {

struct TransferredFile {
    std::string name;    ///< As shown
    std::string problem; ///< Why it was not read or written
    std::string from, to;
    std::string before; ///< Its text
    features::Transfer made;
    bool is_made() const { return !made.text.empty() && made.refused.empty(); }
};
/// `from` empty: the machine that the shop file gives the program.
void transfer(const features::Document& document, std::string_view from, std::string_view to,
              const features::TransferOrder& order, TransferredFile& file);

/// `with_lines`: with the lines that change. `written`: and that they were written.
std::string transfer_text(std::span<const TransferredFile> files, bool with_lines, bool written);
/// 0: nothing to look at; 1: something is, or was refused; 2: a file could not be read or written.
int transfer_status(std::span<const TransferredFile> files);

} // namespace turnwright::report

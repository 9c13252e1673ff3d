#include "report/transferred.h"

#include "features/speech.h"
#include "report/learn.h"

#include <algorithm>
#include <fmt/format.h>

namespace turnwright::report {

using features::readable;

namespace {

std::string machine_names(const shop::Shop& shop) {
    std::string names;
    for (const shop::Machine& machine : shop.machines)
        if (!machine.name.empty()) names += (names.empty() ? "" : ", ") + readable(machine.name);
    return names.empty() ? "the shop file names no machine" : "the shop file has " + names;
}

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) text += (text.empty() ? "" : "; ") + part;
    return text;
}

void tell(const TransferredFile& file, bool with_lines, std::string& out) {
    if (!file.problem.empty()) out += file.name + ": " + file.problem + "\n";
    if (!file.made.refused.empty()) out += file.name + ": refused: " + file.made.refused + "\n";
    if (!file.is_made()) return;
    out += fmt::format("{}: from {} to {}: {}.\n", file.name, file.from, file.to,
                       file.made.changes.empty() ? "nothing to change" : joined(file.made.changes));
    for (const features::TransferRemark& remark : file.made.remarks)
        out += "  " + features::remark_text(remark) + "\n";
    if (with_lines) out += line_changes(file.before, file.made.text);
}

} // namespace

void transfer(const features::Document& document, std::string_view from, std::string_view to,
              const features::TransferOrder& order, TransferredFile& file) {
    const shop::Shop& shop = document.shop();
    const shop::Machine* here = from.empty() ? &document.settings().machine : shop.machine_named(from);
    const shop::Machine* there = shop.machine_named(to);
    const auto missing = [&](std::string_view name) {
        file.made.refused = fmt::format("no machine is named {}: {}.", readable(name), machine_names(shop));
    };
    if (!there) return missing(to);
    if (!here) return missing(from);
    if (here->name.empty()) {
        file.made.refused =
            fmt::format("which machine it is for is not told: name it with --from; {}.", machine_names(shop));
        return;
    }
    file.from = readable(here->name);
    file.to = readable(there->name);
    if (here->name == there->name) {
        file.made.refused = fmt::format("it is for {} already.", file.to);
        return;
    }
    file.before = document.buffer().whole();
    file.made = features::transfer(document, *here, *there, order);
}

std::string transfer_text(std::span<const TransferredFile> files, bool with_lines, bool written) {
    std::string out;
    std::size_t made = 0, alike = 0, refused = 0, trouble = 0, clean = 0;
    for (const TransferredFile& file : files) {
        tell(file, with_lines, out);
        refused += !file.made.refused.empty();
        trouble += !file.problem.empty();
        if (!file.is_made() || !file.problem.empty()) continue;
        ++made;
        alike += file.made.does_the_same();
        clean += file.made.remarks.empty();
    }
    out += fmt::format("{} of {} {}: {} {} the same block by block, {} with nothing to look at.", made,
                       plural(files.size(), "program"), written ? "written" : "would be written", alike,
                       alike == 1 ? "does" : "do", clean);
    if (refused > 0) out += fmt::format(" {} refused.", refused);
    if (trouble > 0) out += fmt::format(" {} not done.", trouble);
    if (!written && made > 0) out += " Nothing was written: --into FOLDER or --write writes them.";
    return out + " Tools, offsets and datum are those of the other lathe: prove each program out.\n";
}

int transfer_status(std::span<const TransferredFile> files) {
    int status = 0;
    for (const TransferredFile& file : files) {
        if (!file.problem.empty()) return 2;
        if (!file.made.refused.empty() || !file.made.remarks.empty()) status = 1;
    }
    return status;
}

} // namespace turnwright::report

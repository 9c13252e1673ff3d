#include "report/transferred.h"
#include "language/said.h"

#include "features/speech.h"
#include "host/file.h"
#include "host/host.h"
#include "report/learn.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>
#include <set>

namespace turnwright::report {

using features::readable;

namespace {

std::string machine_names(const shop::Shop& shop) {
    std::string names;
    for (const shop::Machine& machine : shop.machines)
        if (!machine.name.empty()) names += (names.empty() ? "" : ", ") + readable(machine.name);
    return names.empty() ? said("the shop file names no machine") : said("the shop file has ") + names;
}

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) text += (text.empty() ? "" : "; ") + part;
    return text;
}

void tell(const TransferredFile& file, bool with_lines, std::string& out) {
    if (!file.problem.empty()) out += file.name + ": " + file.problem + "\n";
    if (!file.made.refused.empty()) out += file.name + said(": refused: ") + file.made.refused + "\n";
    if (!file.is_made()) return;
    out += said("{}: from {} to {}: {}.\n", file.name, file.from, file.to,
                file.made.changes.empty() ? said("nothing to change") : joined(file.made.changes));
    for (const features::TransferRemark& remark : file.made.remarks)
        out += "  " + features::remark_text(remark) + "\n";
    if (with_lines) out += line_changes(file.before, file.made.text);
}

} // namespace

namespace {

/// The programs that a program calls, and those that they call, as far as they are files beside it.
void find_called(const features::Document& document, const features::ProgramFiles& beside,
                 features::TransferOrder& order, TransferredFile& file) {
    const auto read = [](const std::filesystem::path& path) -> std::optional<std::string> {
        FileText text = read_program(path);
        if (!text.problem.empty()) return std::nullopt;
        return std::move(text.text);
    };
    for (features::CalledFile& called : features::called_files(document, beside, read)) {
        file.called.push_back(std::move(called.path));
        file.called_before.push_back(called.program.text);
        order.called.push_back(std::move(called.program));
    }
}

} // namespace

void transfer(const features::Document& document, std::string_view from, std::string_view to,
              features::TransferOrder order, TransferredFile& file, const features::ProgramFiles* beside) {
    const shop::Shop& shop = document.shop();
    const shop::Machine* here = from.empty() ? &document.settings().machine : shop.machine_named(from);
    const shop::Machine* there = shop.machine_named(to);
    const auto missing = [&](std::string_view name) {
        file.made.refused = said("no machine is named {}: {}.", readable(name), machine_names(shop));
    };
    if (!there) return missing(to);
    if (!here) return missing(from);
    if (here->name.empty()) {
        file.made.refused =
            said("which machine it is for is not told: name it with --from; {}.", machine_names(shop));
        return;
    }
    file.from = readable(here->name);
    file.to = readable(there->name);
    if (here->name == there->name) {
        file.made.refused = said("it is for {} already.", file.to);
        return;
    }
    file.before = document.buffer().whole();
    if (beside) find_called(document, *beside, order, file);
    file.made = features::transfer(document, *here, *there, order);
}

void join_called(std::vector<TransferredFile>& files, std::vector<std::filesystem::path>& paths) {
    struct Called {
        std::size_t by;
        std::string name, before, text;
        bool differs = false;
    };
    std::error_code failed;
    std::map<std::filesystem::path, Called> called;
    const auto key = [&](const std::filesystem::path& path) { return host::weakly_canonical(path, failed); };
    // One that is called itself is written as it is called, and so is what it calls.
    std::set<std::filesystem::path> is_called;
    for (const TransferredFile& file : files)
        for (const std::filesystem::path& path : file.called) is_called.insert(key(path));
    for (std::size_t i = 0; i < files.size(); ++i)
        for (std::size_t k = 0;
             files[i].is_made() && !is_called.contains(key(paths[i])) && k < files[i].made.called.size();
             ++k) {
            const features::CalledProgram& program = files[i].made.called[k];
            const auto [at, is_new] = called.try_emplace(
                key(files[i].called[k]), Called{i, program.name, files[i].called_before[k], program.text});
            at->second.differs = at->second.differs || at->second.text != program.text;
        }
    const auto take = [&](const Called& from, TransferredFile& file) {
        const TransferredFile& caller = files[from.by];
        file.from = caller.from;
        file.to = caller.to;
        file.before = from.before;
        file.made = {};
        if (from.differs) {
            file.made.refused =
                said("several programs call it, and it would be another one for each of them: {} is one.",
                     caller.name);
            return;
        }
        file.made.text = from.text;
        file.made.changes = {said("written as ") + caller.name + said(" calls it")};
    };
    const std::size_t given = files.size();
    for (std::size_t i = 0; i < given; ++i)
        if (const auto at = called.find(key(paths[i])); at != called.end()) {
            take(at->second, files[i]);
            called.erase(at);
        }
    for (const auto& [path, program] : called) {
        TransferredFile file;
        file.name = host::shown_name(path.string());
        take(program, file);
        files.push_back(std::move(file));
        paths.push_back(path);
    }
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
    out += said("{} of {} {}: {} {} the same block by block, {} with nothing to look at.", made,
                plural(files.size(), "program"), written ? said("written") : said("would be written"), alike,
                alike == 1 ? said("does") : said("do"), clean);
    if (refused > 0) out += said(" {} refused.", refused);
    if (trouble > 0) out += said(" {} not done.", trouble);
    if (!written && made > 0) out += said(" Nothing was written: --into FOLDER or --write writes them.");
    return out + said(" Tools, offsets and datum are those of the other lathe: prove each program out.\n");
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

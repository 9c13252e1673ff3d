#include "protocol/called_programs.h"

namespace turnwright::protocol {

std::shared_ptr<const syntax::Forest> CalledPrograms::find_program(std::int32_t number) const {
    if (!files_) return nullptr;
    auto program = files_->find_program(number);
    found_.insert_or_assign(number, program);
    return program;
}

std::uint64_t CalledPrograms::stamp() const {
    if (found_.empty()) return stamp_;
    const std::uint64_t now = files_->stamp();
    if (now == stamp_of_files_) return stamp_;
    stamp_of_files_ = now;
    bool changed = false;
    for (auto& [number, program] : found_) {
        auto held = files_->find_program(number);
        changed |= held != program;
        program = std::move(held);
    }
    if (changed) ++stamp_;
    return stamp_;
}

} // namespace turnwright::protocol

#include "protocol/called_programs.h"

namespace turnwright::protocol {

std::shared_ptr<const syntax::Forest> CalledPrograms::find_program(std::int32_t number) const {
    if (!files_) return nullptr;
    const auto [at, is_new] = found_.try_emplace(number);
    if (is_new) files_->tell(number, told_);
    at->second = files_->find_program(number);
    return at->second;
}

std::uint64_t CalledPrograms::stamp() const {
    if (found_.empty()) return stamp_;
    files_->bring_up_to_date();
    if (!told_->exchange(false)) return stamp_;
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

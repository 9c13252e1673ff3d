#include "protocol/called_programs.h"

#include <algorithm>
#include <utility>

namespace turnwright::protocol {
namespace {

bool is_read(const syntax::Item& item) {
    return item.kind != syntax::ItemKind::note;
}

/// Whether both do the same, line for line: only what stands in notes differs.
bool does_the_same(const syntax::Run& before, const syntax::Run& after) {
    const auto same_item = [&](const syntax::Item& a, const syntax::Item& b) {
        return a.kind == b.kind && before.text_of(a) == after.text_of(b);
    };
    const auto same_block = [&](const syntax::Block& a, const syntax::Block& b) {
        const auto old_items = before.items_of(a), new_items = after.items_of(b);
        auto one = old_items.begin();
        auto other = new_items.begin();
        std::uint32_t old_end = a.begin, new_end = b.begin; // Of the item before: words may stand in one
        for (;; old_end = one->end(), new_end = other->end(), ++one, ++other) {
            one = std::find_if(one, old_items.end(), is_read);
            other = std::find_if(other, new_items.end(), is_read);
            if (one == old_items.end() || other == new_items.end())
                return one == old_items.end() && other == new_items.end();
            if (!same_item(*one, *other) || (one->begin == old_end) != (other->begin == new_end))
                return false;
        }
    };
    return std::equal(before.blocks.begin(), before.blocks.end(), after.blocks.begin(), after.blocks.end(),
                      same_block);
}

bool does_the_same(const syntax::Forest* before, const syntax::Forest* after) {
    if (before == after) return true;
    if (!before || !after) return false;
    return std::equal(before->runs().begin(), before->runs().end(), after->runs().begin(),
                      after->runs().end(),
                      [](const auto& a, const auto& b) { return a == b || does_the_same(*a, *b); });
}

} // namespace

std::shared_ptr<const syntax::Forest> CalledPrograms::find_program(std::int32_t number) const {
    if (!files_) return nullptr;
    const auto [at, is_new] = found_.try_emplace(number);
    if (is_new) files_->tell(number, told_);
    at->second = files_->find_program(number);
    cut_short_ = is_cut_short();
    return at->second;
}

std::shared_ptr<const syntax::Forest> CalledPrograms::find_file(const std::filesystem::path& path) const {
    if (!files_) return nullptr;
    return found_files_[path] = files_->find_file(path);
}

std::uint64_t CalledPrograms::stamp() const {
    if (!was_asked()) return stamp_;
    files_->bring_up_to_date();
    const bool is_cut = is_cut_short();
    bool changed = std::exchange(cut_short_, is_cut) != is_cut;
    for (auto& [path, program] : found_files_) {
        auto held = files_->find_file(path);
        changed |= !does_the_same(program.get(), held.get());
        program = std::move(held);
    }
    if (changed) ++stamp_;
    if (!told_->exchange(false)) return stamp_;
    changed = false;
    for (auto& [number, program] : found_) {
        auto held = files_->find_program(number);
        changed |= !does_the_same(program.get(), held.get());
        program = std::move(held);
    }
    if (changed) ++stamp_;
    return stamp_;
}

} // namespace turnwright::protocol

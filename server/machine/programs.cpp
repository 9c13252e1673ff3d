// Programs of other files, made ready to run.
#include "machine/course.h"

namespace turnwright::machine {

const Body* Programs::find(std::int32_t number) {
    if (!library_) return nullptr;
    const std::lock_guard lock(mutex_);
    const auto [at, is_new] = found_.try_emplace(number, nullptr);
    if (!is_new) return at->second;
    auto forest = library_->find_program(number);
    if (!forest) return nullptr;
    std::unique_ptr<Loaded>& loaded = loaded_[forest.get()];
    if (!loaded) {
        loaded = std::make_unique<Loaded>();
        loaded->forest = std::move(forest);
        for (const auto& run : loaded->forest->runs())
            loaded->shapes.push_back(std::make_shared<RunShape>(shape_of(*run, settings_)));
        loaded->plan = make_plan(loaded->shapes, nullptr);
        loaded->body = {loaded->forest.get(), &loaded->shapes, &loaded->plan};
    }
    return at->second = &loaded->body;
}

} // namespace turnwright::machine

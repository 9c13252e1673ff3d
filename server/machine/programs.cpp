// Programs of other files, made ready to run.
#include "machine/course.h"

namespace turnwright::machine {

const Body* Programs::find(std::int32_t number) {
    if (!library_) return nullptr;
    const std::lock_guard lock(mutex_);
    auto [at, is_new] = loaded_.try_emplace(number);
    if (is_new) {
        auto forest = library_->find_program(number);
        if (forest) {
            auto loaded = std::make_unique<Loaded>();
            loaded->forest = std::move(forest);
            for (const auto& run : loaded->forest->runs())
                loaded->shapes.push_back(std::make_shared<RunShape>(shape_of(*run, settings_)));
            loaded->plan = make_plan(loaded->shapes, settings_, nullptr);
            loaded->body = {loaded->forest.get(), &loaded->shapes, &loaded->plan};
            at->second = std::move(loaded);
        }
    }
    return at->second ? &at->second->body : nullptr;
}

} // namespace turnwright::machine

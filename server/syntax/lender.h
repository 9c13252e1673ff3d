// Things that cost much to make, used again and again.
#pragma once

#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace turnwright::syntax {

/// Lends a `Thing` to whoever needs one for a while, on any thread; no more are made than are out at once.
/// Not thread_local: GCC's programs for Windows give back the memory of such a variable at a thread's end
/// before they destroy it.
template <class Thing>
class Lender {
public:
    class Loan {
    public:
        Loan(Lender& lender, std::unique_ptr<Thing> thing) : lender_(&lender), thing_(std::move(thing)) {}
        ~Loan() {
            if (thing_) lender_->take_back(std::move(thing_));
        }
        Loan(Loan&&) noexcept = default;
        Loan& operator=(Loan&&) = delete;
        Thing& operator*() const { return *thing_; }
        Thing* operator->() const { return thing_.get(); }

    private:
        Lender* lender_;
        std::unique_ptr<Thing> thing_;
    };

    Loan lend() {
        {
            const std::lock_guard lock(mutex_);
            if (!idle_.empty()) {
                std::unique_ptr<Thing> thing = std::move(idle_.back());
                idle_.pop_back();
                return {*this, std::move(thing)};
            }
        }
        return {*this, std::make_unique<Thing>()};
    }

private:
    void take_back(std::unique_ptr<Thing> thing) noexcept {
        const std::lock_guard lock(mutex_);
        try {
            idle_.push_back(std::move(thing));
        } catch (...) { // No room to keep it: it goes
        }
    }

    std::mutex mutex_;
    std::vector<std::unique_ptr<Thing>> idle_;
};

} // namespace turnwright::syntax

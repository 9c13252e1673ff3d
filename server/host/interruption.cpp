#include "host/interruption.h"

namespace turnwright::host {
namespace {

thread_local const std::atomic<bool>* asked_here = nullptr;

} // namespace

Interruptible::Interruptible(const std::atomic<bool>& asked) {
    asked_here = &asked;
}
Interruptible::~Interruptible() {
    asked_here = nullptr;
}

void stop_here_if_asked() {
    if (asked_here && asked_here->load(std::memory_order_relaxed)) throw Stopped();
}

} // namespace turnwright::host

// What a test does of its work: all of it for whoever has the time (TURNWRIGHT_THOROUGH), a part in each run
// of the tests.
#pragma once

#include <cstdlib>

namespace turnwright {

inline bool thorough() {
    return std::getenv("TURNWRIGHT_THOROUGH") != nullptr;
}
/// How far to go on to the next of many alike.
inline int stride(int usual) {
    return thorough() ? 1 : usual;
}

} // namespace turnwright

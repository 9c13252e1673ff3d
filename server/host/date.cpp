#include "host/host.h"

#include <ctime>

namespace turnwright::host {

std::string today() {
    const std::time_t now = std::time(nullptr);
    char day[16];
    return {day, std::strftime(day, sizeof day, "%Y-%m-%d", std::localtime(&now))};
}

} // namespace turnwright::host

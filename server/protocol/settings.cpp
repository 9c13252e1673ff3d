#include "protocol/settings.h"

namespace turnwright::protocol {

Settings::Settings(const Json& given) {
    if (!given.is_object()) return;
    const auto section = given.find("turnwright");
    if (section == given.end())
        tree_ = given;
    else if (section->is_object())
        tree_ = *section;
}

} // namespace turnwright::protocol

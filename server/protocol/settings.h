// The client's settings: a tree of switches under "turnwright". Whatever is missing, empty or of a wrong type
// means its default; nothing is ever switched off by an empty answer.
#pragma once

#include "protocol/in.h"

namespace turnwright::protocol {

class Settings {
public:
    Settings() = default;
    /// From `initializationOptions`, `didChangeConfiguration` or `workspace/configuration`; the section name
    /// may be around it or not.
    explicit Settings(const Json& given);

    bool flag(std::initializer_list<std::string_view> path, bool otherwise) const {
        return look_flag(tree_, path, otherwise);
    }
    /// "" where there is none.
    std::string text(std::string_view key) const {
        const auto found = tree_.find(key);
        return found != tree_.end() && found->is_string() ? found->get<std::string>() : std::string();
    }
    /// The texts of a list; anything else in it is left out.
    std::vector<std::string> texts(std::string_view key) const { return look_strings(tree_, {key}); }
    bool operator==(const Settings&) const = default;

private:
    Json tree_ = Json::object();
};

} // namespace turnwright::protocol

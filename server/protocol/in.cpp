#include "protocol/in.h"

namespace turnwright::protocol {

void In::fail(std::string_view expected) const {
    throw rpc::Error(rpc::code::invalid_params,
                     path_ + ": expected " + std::string(expected) + ", got " + value_->type_name());
}

In In::operator[](std::string_view key) const {
    if (!value_->is_object()) fail("an object");
    const auto found = value_->find(key);
    if (found == value_->end())
        throw rpc::Error(rpc::code::invalid_params, path_ + "." + std::string(key) + " is missing");
    return In(*found, path_ + "." + std::string(key));
}

std::optional<In> In::find(std::string_view key) const {
    if (!value_->is_object()) fail("an object");
    const auto found = value_->find(key);
    if (found == value_->end() || found->is_null()) return std::nullopt;
    return In(*found, path_ + "." + std::string(key));
}

std::string In::string() const {
    if (!value_->is_string()) fail("a string");
    return value_->get<std::string>();
}

bool In::boolean() const {
    if (!value_->is_boolean()) fail("true or false");
    return value_->get<bool>();
}

std::int64_t In::integer() const {
    if (value_->is_number_unsigned() && value_->get<std::uint64_t>() > INT64_MAX) fail("an integer");
    if (value_->is_number_integer()) return value_->get<std::int64_t>();
    // Some clients write whole numbers as 1.0.
    if (value_->is_number_float()) {
        const double number = value_->get<double>();
        if (number > -9e15 && number < 9e15 &&
            static_cast<double>(static_cast<std::int64_t>(number)) == number)
            return static_cast<std::int64_t>(number);
    }
    fail("an integer");
}

std::uint32_t In::uinteger() const {
    const std::int64_t number = integer();
    if (number < 0) throw rpc::Error(rpc::code::invalid_params, path_ + ": must not be negative");
    return number > INT32_MAX ? INT32_MAX : static_cast<std::uint32_t>(number);
}

std::vector<In> In::array() const {
    if (!value_->is_array()) fail("an array");
    std::vector<In> elements;
    elements.reserve(value_->size());
    for (std::size_t i = 0; i < value_->size(); ++i)
        elements.emplace_back((*value_)[i], path_ + "[" + std::to_string(i) + "]");
    return elements;
}

const Json* look(const Json& from, std::initializer_list<std::string_view> keys) {
    const Json* at = &from;
    for (const std::string_view key : keys) {
        if (!at->is_object()) return nullptr;
        const auto found = at->find(key);
        if (found == at->end()) return nullptr;
        at = &*found;
    }
    return at;
}

bool look_flag(const Json& from, std::initializer_list<std::string_view> keys, bool otherwise) {
    const Json* found = look(from, keys);
    return found && found->is_boolean() ? found->get<bool>() : otherwise;
}

std::vector<std::string> look_strings(const Json& from, std::initializer_list<std::string_view> keys) {
    std::vector<std::string> strings;
    if (const Json* found = look(from, keys); found && found->is_array())
        for (const Json& element : *found)
            if (element.is_string()) strings.push_back(element.get<std::string>());
    return strings;
}

} // namespace turnwright::protocol

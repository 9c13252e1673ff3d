// The folder that a session works in, with programs on disk that call each other.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::fuzz {

class SessionFolder {
public:
    static constexpr std::size_t file_count = 7;

    SessionFolder();
    ~SessionFolder();
    SessionFolder(const SessionFolder&) = delete;
    SessionFolder& operator=(const SessionFolder&) = delete;

    /// As it is at the beginning of every session.
    void begin();
    void write(std::size_t file, std::string_view bytes);
    const std::string& uri() const { return uri_; }
    const std::string& uri_of(std::size_t file) const { return uris_[file]; }

private:
    void put(std::size_t file, std::string_view bytes);

    std::filesystem::path path_;
    std::string uri_;
    std::array<std::string, file_count> uris_;
    std::array<bool, file_count> changed_{};
    std::filesystem::file_time_type last_ = std::filesystem::file_time_type::clock::now();
};
/// One for the process.
SessionFolder& session_folder();

/// Of one of the documents that a session opens: most are files of the folder.
const std::string& uri_of_session(std::uint8_t document);

} // namespace turnwright::fuzz

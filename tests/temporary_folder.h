// A folder for one test, which goes away with it.
#pragma once

#include "host/host.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <string_view>
#include <system_error>

struct TemporaryFolder {
    std::filesystem::path path; ///< Canonical

    TemporaryFolder() {
        std::random_device random;
        std::error_code failed;
        const auto made = std::filesystem::temp_directory_path() /
                          ("turnwright-test-" + std::to_string(random()) + std::to_string(random()));
        REQUIRE(std::filesystem::create_directory(made));
        path = turnwright::host::canonical(made, failed);
        REQUIRE_FALSE(failed);
    }
    ~TemporaryFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path, ignored);
    }
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;

    std::filesystem::path make(const std::string& folder) const {
        std::filesystem::create_directories(path / folder);
        return path / folder;
    }
    std::filesystem::path write(const std::string& file, std::string_view text) const {
        std::ofstream(path / file, std::ios::binary) << text;
        return path / file;
    }
};

/// Windows lets only some people make links, and this compiler's library nobody.
inline bool links_can_be_made() {
#ifdef _WIN32
    WARN("no links can be made here: not tested");
    return false;
#else
    return true;
#endif
}

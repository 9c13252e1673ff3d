#include "fuzz/session_folder.h"

#include "fuzz/fuzz.h"
#include "protocol/uri.h"

#include <chrono>
#include <fstream>
#include <iterator>
#include <system_error>

namespace turnwright::fuzz {
namespace {

namespace files = std::filesystem;

struct File {
    const char* name;
    std::string_view bytes; ///< None: it is not there at the beginning
};
constexpr File at_the_beginning[] = {
    {"shaft.nc", "O0001\nG21 G99\nM98 P9\nG65 P2000 A3.\nM30\n"},
    {"O9.nc", "O0009\nWHILE[#1LT3]DO1\n#1=#1+1\nM98 P3 L2\nEND1\nM99\n"},
    {"long bed/\xC3\xA9.nc", ""},
    {"O3.nc", "O0003\r\nG66 P2000 A1.\r\nG01 X10. F.2\r\nG67\r\nM99\r\n"},
    {"library.cnc", "O2000\nIF[#1EQ0]GOTO 9\nG01 U-1. W-#1\nN9 M99\nO2001 (H\xFCLSE)\nM98 P9\nM99\n"},
    {"turnwright.toml", "units = \"mm\"\n[[machine]]\nname = \"long bed\"\nsystem = \"A\"\nmax_rpm = 2000\n"},
    {"shaft.turnwright.toml", ""},
};
static_assert(std::size(at_the_beginning) == SessionFolder::file_count);

} // namespace

SessionFolder::SessionFolder() {
    std::string name = (files::temp_directory_path() / "turnwright-session-XXXXXX").string();
    require(mkdtemp(name.data()) != nullptr, "a folder can be made", name);
    path_ = files::canonical(name);
    files::create_directory(path_ / "long bed");
    uri_ = protocol::uri_of_path(path_);
    for (std::size_t i = 0; i < file_count; ++i)
        uris_[i] = protocol::uri_of_path(path_ / at_the_beginning[i].name);
    changed_.fill(true);
}

SessionFolder::~SessionFolder() {
    std::error_code ignored;
    files::remove_all(path_, ignored);
}

void SessionFolder::begin() {
    for (std::size_t i = 0; i < file_count; ++i)
        if (changed_[i]) put(i, at_the_beginning[i].bytes);
    changed_.fill(false);
}

void SessionFolder::write(std::size_t file, std::string_view bytes) {
    changed_[file] = true;
    put(file, bytes);
}

void SessionFolder::put(std::size_t file, std::string_view bytes) {
    const files::path path = path_ / at_the_beginning[file].name;
    std::error_code ignored;
    if (bytes.empty()) return void(files::remove(path, ignored));
    std::ofstream(path, std::ios::binary | std::ios::trunc) << bytes;
    // Two writes in a moment may leave the time as it was.
    files::last_write_time(path, last_ += std::chrono::seconds(2), ignored);
}

SessionFolder& session_folder() {
    static SessionFolder folder;
    return folder;
}

const std::string& uri_of_session(std::uint8_t document) {
    static const std::array<std::string, 4> uris{session_folder().uri_of(0), session_folder().uri_of(1),
                                                 "untitled:one", session_folder().uri_of(2)};
    return uris[document % uris.size()];
}

} // namespace turnwright::fuzz

#include "host/host.h"

#include "temporary_folder.h"

#include <chrono>
#include <cstdlib>
#include <thread>

#ifdef _WIN32
#include <windows.h>
#endif

using namespace turnwright;
namespace fs = std::filesystem;

TEST_CASE("a path that is there has one spelling") {
    const TemporaryFolder folder;
    std::error_code failed;
    folder.make("Jobs/Shafts");
    const fs::path file = folder.write("Jobs/Shafts/Long One.nc", "M30\n");
    CHECK(host::canonical(file, failed) == file);
    CHECK(host::canonical(folder.path / "Jobs/./Shafts/../Shafts//Long One.nc", failed) == file);
    CHECK_FALSE(failed);
    CHECK(host::canonical(folder.path / "Jobs/missing.nc", failed).empty());
    CHECK(failed);
    CHECK(host::canonical(host::root_of(file), failed) == host::root_of(file));
    CHECK(host::weakly_canonical(host::root_of(file), failed) == host::root_of(file));
    CHECK(host::weakly_canonical(file, failed) == file);
    CHECK(host::weakly_canonical(folder.path / "Jobs/x/../New Folder/new.nc", failed) ==
          folder.path / "Jobs/New Folder/new.nc");
    CHECK_FALSE(failed);
}

TEST_CASE("names are UTF-8 on every system") {
    const TemporaryFolder folder;
    std::error_code failed;
    const std::string name = "W\xc3\xa4lzlager \xe8\xbd\xb4 \xf0\x9f\x94\xa7.nc";
    const fs::path file = folder.path / host::path_of(name);
    std::ofstream(file, std::ios::binary) << "M30\n";
    CHECK(fs::is_regular_file(file));
    const fs::path found = fs::directory_iterator(folder.path)->path();
    CHECK(found == file);
    CHECK(found.filename().string() == name);
    CHECK(host::canonical(file, failed).filename().string() == name);
}

TEST_CASE("links are told from files and folders") {
    const TemporaryFolder folder;
    folder.write("a.nc", "M30\n");
    folder.make("jobs");
    CHECK_FALSE(host::is_link(fs::directory_entry(folder.path / "a.nc")));
    CHECK_FALSE(host::is_link(fs::directory_entry(folder.path / "jobs")));
    CHECK_FALSE(host::is_link(fs::directory_entry(folder.path / "missing.nc")));
    if (!links_can_be_made()) return;
    fs::create_symlink(folder.path / "a.nc", folder.path / "link.nc");
    fs::create_directory_symlink(folder.path / "jobs", folder.path / "link");
    CHECK(host::is_link(fs::directory_entry(folder.path / "link.nc")));
    CHECK(host::is_link(fs::directory_entry(folder.path / "link")));
    std::error_code failed;
    CHECK(host::canonical(folder.path / "link.nc", failed) == folder.path / "a.nc");
}

TEST_CASE("two changes within a second are two") {
    const TemporaryFolder folder;
    std::error_code failed;
    const fs::path file = folder.write("a.nc", "G00 X1.\n");
    const auto first = host::last_change(fs::directory_entry(file), failed);
    CHECK_FALSE(failed);
    CHECK(host::last_change(fs::directory_entry(file), failed) == first);
    std::this_thread::sleep_for(std::chrono::milliseconds(50));
    folder.write("a.nc", "G00 X2.\n");
    CHECK(host::last_change(fs::directory_entry(file), failed) != first);
    fs::remove(file);
    host::last_change(fs::directory_entry(), failed);
    CHECK(failed);
}

TEST_CASE("the program knows its own file and how it was called") {
    CHECK(host::program_file().stem() == "test_host");
    CHECK(fs::is_regular_file(host::program_file()));
    char name[] = "turnwright", word[] = "check";
    char* given[] = {name, word};
    const auto words = host::arguments(2, given);
    REQUIRE_FALSE(words.empty());
#ifdef _WIN32 // asked of the system, whatever main() was given
    CHECK(words.front().find("test_host") != std::string::npos);
#else
    CHECK(words == std::vector<std::string>{"turnwright", "check"});
#endif
}

#ifdef _WIN32

TEST_CASE("many spellings name one file on Windows") {
    const TemporaryFolder folder;
    std::error_code failed;
    folder.make("Jobs");
    const fs::path file = folder.write("Jobs/O1000.nc", "M30\n");
    REQUIRE(file.root_name().string().size() == 2);
    const char drive = file.root_name().string()[0];
    CHECK(drive >= 'a');
    CHECK(drive <= 'z');
    std::string shouted = file.string();
    for (char& c : shouted)
        c = c == '\\' ? '/' : static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    CHECK(shouted != file.generic_string());
    CHECK(host::canonical(shouted, failed).generic_string() == file.generic_string());
    // Where the rest is not there yet, what is there has its spelling all the same.
    const fs::path beside = fs::path(shouted).parent_path() / "New.nc";
    CHECK(host::weakly_canonical(beside, failed).generic_string() ==
          (folder.path / "Jobs/New.nc").generic_string());
    CHECK(host::weakly_canonical("Q:\\no\\such\\drive.nc", failed).string() == "q:\\no\\such\\drive.nc");
    CHECK_FALSE(failed);
    CHECK(host::root_of(file) == host::root_of(folder.path));
    CHECK(host::root_of("C:/shop/a.nc").string() == "c:\\");
    CHECK(host::root_of("//server/share/jobs/a.nc").string() == "\\\\server\\share\\");
    CHECK(host::root_of("\\\\server\\share").string() == "\\\\server\\share");
}

TEST_CASE("devices are no files on Windows") {
    for (const char* device : {"\\\\.\\pipe\\a", "//./pipe/a", "\\\\?\\c:\\", "nul", "c:\\shop\\nul"}) {
        INFO(device);
        std::error_code failed;
        const fs::path found = host::weakly_canonical(device, failed);
        CHECK((failed || found.filename() == "nul"));
        CHECK_FALSE(fs::is_regular_file(found, failed));
    }
}

#endif

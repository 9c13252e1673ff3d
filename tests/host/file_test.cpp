#include "host/file.h"

#include "temporary_folder.h"

#include <atomic>
#include <thread>

#ifndef _WIN32
#include <sys/stat.h>
#include <unistd.h>
#endif

using namespace turnwright;
namespace fs = std::filesystem;

namespace {

constexpr std::uintmax_t enough = 1 << 20;

std::string read(const fs::path& path) {
    return host::read_file(path, enough).bytes;
}

std::size_t entries_of(const fs::path& folder) {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

} // namespace

TEST_CASE("a file is read whole, or it is said why not") {
    const TemporaryFolder folder;
    const fs::path file = folder.write("a.nc", std::string(70'000, 'x'));
    CHECK(read(file).size() == 70'000);
    CHECK(host::read_file(file, 69'999).problem == "too large: 68 KB, at most 68 KB are read");
    CHECK(read(folder.write("empty.nc", "")).empty());
    CHECK(host::read_file(folder.path / "missing.nc", enough).problem == "no such file");
    CHECK(host::read_file(folder.path, enough).problem == "a folder, not a program");
}

TEST_CASE("a new text takes the place of the old, and nothing else is left") {
    const TemporaryFolder folder;
    const fs::path file = folder.write("a.nc", "old");
    CHECK(host::replace_file(file, "new").empty());
    CHECK(read(file) == "new");
    CHECK(host::replace_file(folder.path / "b.nc", "first").empty());
    CHECK(read(folder.path / "b.nc") == "first");
    CHECK(entries_of(folder.path) == 2);
    CHECK(host::replace_file(folder.path, "x") == "a folder, not a file to write");
    CHECK(host::replace_file(folder.path / "no/such/a.nc", "x").find("cannot be written") == 0);
}

TEST_CASE("a file protected against writing stays") {
    const TemporaryFolder folder;
    const fs::path file = folder.write("a.nc", "old");
    fs::permissions(file, fs::perms::owner_read);
    CHECK(host::replace_file(file, "new").find("protected against writing") == 0);
    CHECK(read(file) == "old");
    CHECK(entries_of(folder.path) == 1);
    fs::permissions(file, fs::perms::owner_all);
}

TEST_CASE("a name shows its control characters and does not act by them") {
    CHECK(host::shown_name("plain W\xc3\xa4lz.nc") == "plain W\xc3\xa4lz.nc");
    CHECK(host::shown_name("a\x1b[31m\nb\x7f.nc") == "a\\x1b[31m\\x0ab\\x7f.nc");
    CHECK(host::shown_name("c\xc2\x9b"
                           "1m\xc2\xb5\xc2") == "c\\x9b1m\xc2\xb5\xc2");
}

#ifndef _WIN32

TEST_CASE("a pipe in the place of a file is refused at once") {
    const TemporaryFolder folder;
    const fs::path pipe = folder.path / "a.nc";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    CHECK(host::read_file(pipe, enough).problem == "not a regular file");
    CHECK(host::read_file_in(folder.path, pipe, enough).problem == "not a regular file");
    CHECK(host::read_file("/dev/zero", enough).problem == "not a regular file");
}

TEST_CASE("inside a folder no link is followed, at no level") {
    const TemporaryFolder folder, outside;
    outside.write("secret.nc", "SECRET");
    folder.make("jobs");
    const fs::path file = folder.write("jobs/a.nc", "M30");
    CHECK(host::read_file_in(folder.path, file, enough).bytes == "M30");
    fs::create_symlink(outside.path / "secret.nc", folder.path / "jobs/link.nc");
    fs::create_directory_symlink(outside.path, folder.path / "elsewhere");
    CHECK(host::read_file_in(folder.path, folder.path / "jobs/link.nc", enough).bytes.empty());
    CHECK(host::read_file_in(folder.path, folder.path / "elsewhere/secret.nc", enough).bytes.empty());
    CHECK(host::read_file_in(folder.path, outside.path / "secret.nc", enough).bytes.empty());
    CHECK(host::read_file_in(folder.path, folder.path / "jobs/../elsewhere/secret.nc", enough).bytes.empty());
}

TEST_CASE("a folder that is swapped for a link while it is read shows nothing from outside") {
    const TemporaryFolder folder, outside;
    outside.write("a.nc", "SECRET");
    folder.make("jobs");
    folder.write("jobs/a.nc", "M30");
    fs::create_directory_symlink(outside.path, folder.path / "link");
    std::atomic<bool> stop = false;
    std::thread swapping([&] {
        while (!stop) {
            ::rename((folder.path / "jobs").c_str(), (folder.path / "kept").c_str());
            ::rename((folder.path / "link").c_str(), (folder.path / "jobs").c_str());
            ::rename((folder.path / "jobs").c_str(), (folder.path / "link").c_str());
            ::rename((folder.path / "kept").c_str(), (folder.path / "jobs").c_str());
        }
    });
    std::size_t read_inside = 0, read_outside = 0;
    for (int i = 0; i < 20'000; ++i) {
        const std::string bytes = host::read_file_in(folder.path, folder.path / "jobs/a.nc", enough).bytes;
        read_inside += bytes == "M30";
        read_outside += bytes == "SECRET";
    }
    stop = true;
    swapping.join();
    CHECK(read_inside > 0);
    CHECK(read_outside == 0);
}

TEST_CASE("a file that is swapped for a pipe while it is read is read or refused, and never waited for") {
    const TemporaryFolder folder;
    const fs::path file = folder.write("a.nc", "M30"), kept = folder.path / "kept",
                   pipe = folder.path / "pipe";
    REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
    std::atomic<bool> stop = false;
    std::thread swapping([&] {
        while (!stop) {
            ::rename(file.c_str(), kept.c_str());
            ::rename(pipe.c_str(), file.c_str());
            ::rename(file.c_str(), pipe.c_str());
            ::rename(kept.c_str(), file.c_str());
        }
    });
    std::size_t whole = 0, refused = 0;
    for (int i = 0; i < 20'000; ++i) {
        const host::FileRead read = host::read_file_in(folder.path, file, enough);
        whole += read.bytes == "M30";
        refused += read.problem == "not a regular file" || read.problem == "no such file";
    }
    stop = true;
    swapping.join();
    CHECK(whole > 0);
    CHECK(whole + refused == 20'000);
}

TEST_CASE("nothing that was prepared beside a file is written to") {
    const TemporaryFolder folder, outside;
    const fs::path victim = outside.write("victim", "mine");
    const fs::path file = folder.write("p.nc", "old");
    fs::create_symlink(victim, folder.path / "p.nc.turnwright-new");
    CHECK(host::replace_file(file, "new").empty());
    CHECK(read(victim) == "mine");
    CHECK(read(file) == "new");
    CHECK(fs::is_symlink(folder.path / "p.nc.turnwright-new"));
    CHECK(host::unguessable_name() != host::unguessable_name());
}

TEST_CASE("mode and links of a file are kept, other names of it are not cut off") {
    const TemporaryFolder folder;
    const fs::path file = folder.write("a.nc", "old");
    ::chmod(file.c_str(), 0640);
    fs::create_symlink("a.nc", folder.path / "link.nc");
    CHECK(host::replace_file(folder.path / "link.nc", "new").empty());
    CHECK(fs::is_symlink(folder.path / "link.nc"));
    CHECK(read(file) == "new");
    CHECK(fs::status(file).permissions() == static_cast<fs::perms>(0640));
    fs::create_hard_link(file, folder.path / "other.nc");
    CHECK(host::replace_file(file, "newer").find("2 names (hard links)") != std::string::npos);
    CHECK(read(file) == "new");
    CHECK(entries_of(folder.path) == 3);
    if (::geteuid() != 0) return; // only root can make a file of somebody else
    fs::remove(folder.path / "other.nc");
    REQUIRE(::chown(file.c_str(), 65534, 65534) == 0);
    CHECK(host::replace_file(file, "newest").empty());
    struct stat is {};
    REQUIRE(::stat(file.c_str(), &is) == 0);
    CHECK(is.st_uid == 65534);
    CHECK(is.st_gid == 65534);
}

TEST_CASE("a full device is told") {
    CHECK(host::replace_file("/dev/full", "x").find("cannot be written") == 0);
    CHECK(host::replace_file("/dev/null", "x").empty());
}

TEST_CASE("a folder for oneself is for nobody else") {
    const TemporaryFolder folder;
    CHECK(host::make_private_folder(folder.path / "own"));
    CHECK(fs::status(folder.path / "own").permissions() == fs::perms::owner_all);
    CHECK_FALSE(host::make_private_folder(folder.path / "own"));
}

#endif

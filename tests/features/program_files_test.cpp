#include "features/program_files.h"

#include <catch2/catch.hpp>
#include <fstream>

using namespace turnwright;

namespace {
struct Folder {
    std::filesystem::path path;
    Folder() {
        path =
            std::filesystem::temp_directory_path() / ("turnwright-programs-" + std::to_string(std::rand()));
        std::filesystem::create_directories(path);
    }
    ~Folder() { std::filesystem::remove_all(path); }
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(path / name, std::ios::binary) << text;
    }
};
} // namespace

TEST_CASE("a call finds the program of another file, and follows its changes") {
    Folder folder;
    folder.write("main.nc", "O1\nG00 X40. Z2.\nM98 P7\nM01\nM30\n");
    folder.write("deep-groove.nc", "O7\nG00 Z-5.\nM99\n");
    auto files = std::make_shared<features::ProgramFiles>();
    files->set_folders({folder.path});
    auto shop = std::make_shared<const shop::Shop>(shop::default_shop());
    features::Document document("O1\nG00 X40. Z2.\nM98 P7\nM01\nM30\n", shop, folder.path / "main.nc", files);
    document.evaluate();
    CHECK(document.analysis().before({0, 3}).z.is(-5));
    CHECK(document.analysis().flow_problems().empty());
    folder.write("deep-groove.nc", "O7\nG00 Z-12.5\nM99\n");
    files->refresh();
    document.evaluate();
    CHECK(document.analysis().before({0, 3}).z.is(-12.5));
    std::filesystem::remove(folder.path / "deep-groove.nc");
    files->refresh();
    document.evaluate();
    CHECK_FALSE(document.analysis().before({0, 3}).z.known());
    CHECK(document.analysis().flow_problems().size() == 1);
}

TEST_CASE("a program is found by its file's name, and links out of the folder are not followed") {
    Folder folder, outside;
    folder.write("O0123.NC", "G00 Z-1.\nM99\n");
    outside.write("o9.nc", "O9\nM99\n");
    std::filesystem::create_symlink(outside.path / "o9.nc", folder.path / "o9.nc");
    std::filesystem::create_directory_symlink(outside.path, folder.path / "elsewhere");
    features::ProgramFiles files;
    files.set_folders({folder.path});
    CHECK(files.find_program(123) != nullptr);
    CHECK(files.find_program(9) == nullptr);
    CHECK(files.files().size() == 1);
}

TEST_CASE("a program opened by its name and by a link is one, and a link to nothing ends no folder") {
    Folder folder;
    folder.write("o0123.nc", "O123\nG00 Z-1.\nM99\n");
    folder.write("z.nc", "O7\nM99\n");
    std::filesystem::create_symlink("o0123.nc", folder.path / "link.nc");
    std::filesystem::create_symlink("nowhere", folder.path / "a.nc");
    features::ProgramFiles files;
    files.set_folders({folder.path});
    CHECK(files.files().size() == 2);
    const text::Buffer buffer("O123\nG00 Z-2.\nM99\n");
    files.open(folder.path / "link.nc", buffer, syntax::Forest(buffer));
    CHECK(files.files().size() == 2);
    REQUIRE(files.find_program(123) != nullptr);
    CHECK(files.find_program(123)->run(0)->text_of(files.find_program(123)->run(0)->blocks[1]) == "G00 Z-2.");
    files.close(folder.path / "link.nc");
    CHECK(files.find_program(123)->run(0)->text_of(files.find_program(123)->run(0)->blocks[1]) == "G00 Z-1.");
}

TEST_CASE("of files that nothing calls yet the same programs are found as of those that are read whole") {
    Folder folder;
    const std::string text = "%\nO1(A)\n o2\n\tO 3\nG00 X1.\nN5 O4\n/O5\n(O6)\nO7 G00 X1.\r:8\r\nX1.O9\nO10\n"
                             "\xef\xbb\xbfO11\n<O12>\n;O13\n[O14]\n-O15\nO#1\nO16.5\n\0O17\nZ-O.5\nO[18]\n";
    folder.write("some.nc", text);
    features::ProgramFiles by_heads, whole;
    by_heads.set_folders({folder.path});
    whole.set_folders({folder.path});
    REQUIRE(whole.files().size() == 1); // Reads them
    for (std::int32_t number = 0; number < 20; ++number) {
        INFO(number);
        CHECK(by_heads.file_of(number) == whole.file_of(number));
    }
    CHECK(by_heads.file_of(2) == folder.path / "some.nc");
    CHECK_FALSE(by_heads.file_of(6));
}

TEST_CASE("where there are more programs than are read it is not said that one is missing") {
    Folder folder;
    for (const char* name : {"a.nc", "b.nc", "c.nc"}) folder.write(name, "G00 X1.\n");
    auto files = std::make_shared<features::ProgramFiles>();
    auto shop = std::make_shared<const shop::Shop>(shop::default_shop());
    const auto told = [&] {
        features::Document document("G21 G99\nT0101\nM98 P7\nM30\n", shop, folder.path / "main.nc", files);
        document.evaluate();
        for (const auto& one : document.results().all())
            if (one.finding->check->id == "program_not_found") return one.finding->message;
        return std::string();
    };
    files->set_folders({folder.path});
    CHECK(told().starts_with("O0007 is not in this file or the folder:"));
    CHECK_FALSE(files->is_cut_short());
    files->set_folders({folder.path}, {}, 2);
    CHECK(told().starts_with("O0007 is not in this file, and there are more programs"));
    CHECK(files->is_cut_short());
}

TEST_CASE("the names that the trade gives programs") {
    for (const char* name : {"a.nc", "A.NC", "jobs/b.tap", "O1234", "O12345678"})
        CHECK(features::is_program_name(name));
    for (const char* name : {"a.txt", "nc", "O", "Other", "O123456789", "1234", "O12.svg"})
        CHECK_FALSE(features::is_program_name(name));
}

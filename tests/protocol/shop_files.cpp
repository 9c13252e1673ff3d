// No file outside the workspace folders is read, by whatever way a program's path leads out of them.
#include "protocol/shop_files.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>

using namespace turnwright::protocol;
namespace fs = std::filesystem;

namespace {

struct Folders {
    fs::path top;
    Folders() {
        std::string name = (fs::temp_directory_path() / "turnwright-test-XXXXXX").string();
        top = fs::canonical(::mkdtemp(name.data()));
        fs::create_directories(top / "shop/lathe");
        fs::create_directories(top / "elsewhere");
    }
    ~Folders() { fs::remove_all(top); }
    void write(const fs::path& path, std::string_view text) const { std::ofstream(top / path) << text; }
};

} // namespace

TEST_CASE_METHOD(Folders, "the nearest shop file inside the workspace folder") {
    write("shop/turnwright.toml", "");
    write("elsewhere/turnwright.toml", "");
    ShopFiles files;
    files.set_roots({top / "shop"});
    CHECK(files.shop_for(top / "shop/lathe/a.nc")->path == top / "shop/turnwright.toml");
    CHECK(files.shop_for(top / "elsewhere/a.nc")->path.empty());
    CHECK(files.shop_for(top / "shop/../elsewhere/a.nc")->path.empty());
    CHECK(files.shop_for("")->path.empty());
    CHECK(files.shop_for("a.nc")->path.empty());
    // One object for all programs of a folder.
    CHECK(files.shop_for(top / "shop/lathe/a.nc") == files.shop_for(top / "shop/b.nc"));
}

TEST_CASE_METHOD(Folders, "a folder whose name begins with the workspace folder's is another") {
    fs::create_directories(top / "shop2");
    write("shop2/turnwright.toml", "");
    ShopFiles files;
    files.set_roots({top / "shop"});
    CHECK(files.shop_for(top / "shop2/a.nc")->path.empty());
}

TEST_CASE_METHOD(Folders, "links that lead out are not followed") {
    write("elsewhere/turnwright.toml", "");
    fs::create_symlink(top / "elsewhere/turnwright.toml", top / "shop/turnwright.toml");
    fs::create_directory_symlink(top / "elsewhere", top / "shop/link");
    ShopFiles files;
    files.set_roots({top / "shop"});
    CHECK(files.shop_for(top / "shop/a.nc")->path.empty());
    CHECK(files.shop_for(top / "shop/link/a.nc")->path.empty());
}

TEST_CASE_METHOD(Folders, "a file lies in the folders by where it really is") {
    write("shop/a.nc", "");
    write("elsewhere/a.nc", "");
    fs::create_symlink(top / "elsewhere/a.nc", top / "shop/link.nc");
    fs::create_symlink(top / "shop/a.nc", top / "elsewhere/inward.nc");
    fs::create_directory_symlink(top / "elsewhere", top / "shop/link");
    ShopFiles files;
    CHECK_FALSE(files.hold(top / "shop/a.nc")); // no folder, no file
    files.set_roots({top / "shop"});
    CHECK(files.hold(top / "shop/a.nc"));
    CHECK(files.hold(top / "shop/lathe/../a.nc"));
    CHECK(files.hold(top / "elsewhere/inward.nc"));
    for (const char* outside : {"elsewhere/a.nc", "shop/../elsewhere/a.nc", "shop/link.nc", "shop/link/a.nc",
                                "shop/missing.nc", "shop/lathe/../../elsewhere/a.nc"}) {
        INFO(outside);
        CHECK_FALSE(files.hold(top / outside));
    }
    CHECK_FALSE(files.hold(""));
}

TEST_CASE_METHOD(Folders, "what is no file or far too large is passed over") {
    fs::create_directories(top / "shop/turnwright.toml");
    ShopFiles files;
    files.set_roots({top / "shop"});
    CHECK(files.shop_for(top / "shop/a.nc")->path.empty());
    fs::remove(top / "shop/turnwright.toml");
    write("shop/turnwright.toml", "# small\n");
    fs::resize_file(top / "shop/turnwright.toml", 5 << 20);
    files.forget();
    CHECK(files.shop_for(top / "shop/a.nc")->path.empty());
}

TEST_CASE_METHOD(Folders, "a changed file is read again after forget") {
    write("shop/turnwright.toml", "");
    ShopFiles files;
    files.set_roots({top / "shop"});
    const auto before = files.shop_for(top / "shop/a.nc");
    CHECK(files.shop_for(top / "shop/a.nc") == before);
    files.forget();
    CHECK(files.shop_for(top / "shop/a.nc") != before);
}

TEST_CASE_METHOD(Folders, "the job file beside a program, for that program alone") {
    write("shop/turnwright.toml",
          "units = \"mm\"\n[machine]\nname = \"lathe\"\n[stock]\ndiameter = 20\nbore = 5\n");
    write("shop/lathe/a.turnwright.toml", "units = \"mm\"\n[stock]\ndiameter = 50\n");
    write("elsewhere/b.turnwright.toml", "units = \"mm\"\n[stock]\ndiameter = 90\n");
    fs::create_symlink(top / "elsewhere/b.turnwright.toml", top / "shop/lathe/b.turnwright.toml");
    ShopFiles files;
    files.set_roots({top / "shop"});
    const auto job = files.shop_for(top / "shop/lathe/a.nc");
    CHECK(job->stock.diameter_mm == 50);
    CHECK(!job->stock.bore_mm);
    CHECK(job->machines.front().name == "lathe");
    CHECK(job->path == top / "shop/turnwright.toml");
    CHECK(files.shop_for(top / "shop/lathe/c.nc")->stock.diameter_mm == 20);
    CHECK(files.shop_for(top / "shop/lathe/b.nc")->stock.diameter_mm == 20); // A link that leads out
    CHECK(files.shop_for(top / "shop/lathe/a.nc") == job);
    write("shop/lathe/a.turnwright.toml", "units = \"mm\"\n[stock]\ndiameter = 60\n");
    files.forget();
    CHECK(files.shop_for(top / "shop/lathe/a.nc")->stock.diameter_mm == 60);
    // Without a shop file too.
    fs::remove(top / "shop/turnwright.toml");
    files.forget();
    CHECK(files.shop_for(top / "shop/lathe/a.nc")->stock.diameter_mm == 60);
}

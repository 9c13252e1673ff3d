// Which file, which machine.
#include "shop/shop.h"

#include "temporary_folder.h"

using namespace turnwright;
using namespace turnwright::shop;
namespace fs = std::filesystem;

namespace {
struct Folder : TemporaryFolder {
    fs::path write(const std::string& file) const { return TemporaryFolder::write(file, "# shop\n"); }
};
} // namespace

TEST_CASE("The nearest shop file upward is found, and none above the root") {
    const Folder folder;
    folder.make("root/jobs/shafts");
    const fs::path outside = folder.write("turnwright.toml");
    const fs::path root = folder.path / "root";
    const fs::path program = root / "jobs/shafts/p.nc"; // not saved yet
    CHECK(find_shop_file(program, root).empty());
    const fs::path top = folder.write("root/turnwright.toml");
    CHECK(find_shop_file(program, root) == top);
    CHECK(find_shop_file(root / "p.nc", root) == top);
    const fs::path near = folder.write("root/jobs/turnwright.toml");
    CHECK(find_shop_file(program, root) == near);
    CHECK(find_shop_file(root / "p.nc", root) == top);
    CHECK(find_shop_file(program, folder.path) == near);
    CHECK(find_shop_file(folder.path / "p.nc", folder.path) == outside);
    // Outside the root, by any spelling.
    CHECK(find_shop_file(folder.path / "p.nc", root).empty());
    CHECK(find_shop_file(root / ".." / "p.nc", root).empty());
    CHECK(find_shop_file(folder.path / "root2" / "p.nc", root).empty());
    CHECK(find_shop_file(root / "jobs" / ".." / "p.nc", root) == top);
    CHECK(find_shop_file("", root).empty());
    CHECK(find_shop_file(program, "").empty());
    CHECK(find_shop_file(program, folder.path / "no-such-folder").empty());
    CHECK(find_shop_file(root / "no/such/folder/p.nc", root) == top);
}

TEST_CASE("A folder called like the shop file is none") {
    const Folder folder;
    folder.make("root/jobs/turnwright.toml");
    const fs::path top = folder.write("root/turnwright.toml");
    CHECK(find_shop_file(folder.path / "root/jobs/p.nc", folder.path / "root") == top);
}

TEST_CASE("Symbolic links out of the root are not followed") {
    if (!links_can_be_made()) return;
    const Folder folder;
    folder.make("root/jobs");
    folder.make("elsewhere");
    const fs::path secret = folder.write("elsewhere/turnwright.toml");
    const fs::path root = folder.path / "root";
    fs::create_symlink(secret, root / "jobs/turnwright.toml");
    CHECK(find_shop_file(root / "jobs/p.nc", root).empty());
    fs::create_directory_symlink(folder.path / "elsewhere", root / "link");
    CHECK(find_shop_file(root / "link/p.nc", root).empty());
    // A link that stays inside is an ordinary file; a link to nowhere is none.
    const fs::path top = folder.write("root/real.toml");
    fs::create_symlink("real.toml", root / "turnwright.toml");
    CHECK(find_shop_file(root / "jobs/p.nc", root) == root / "turnwright.toml");
    fs::remove(top);
    CHECK(find_shop_file(root / "jobs/p.nc", root).empty());
    fs::remove(root / "turnwright.toml");
    fs::create_symlink("turnwright.toml", root / "turnwright.toml");
    CHECK(find_shop_file(root / "jobs/p.nc", root).empty());
}

TEST_CASE("The machine is the one named in the program, else the one whose folder holds it") {
    const Shop shop = parse_shop("[[machine]]\nname = \"long bed\"\nfolders = [\"long\", \"jobs/long/\"]\n"
                                 "[[machine]]\nname = \"short bed\"\nfolders = [\"jobs\"]\n"
                                 "[[machine]]\nname = \"any\"\n",
                                 "/shop/turnwright.toml");
    REQUIRE(shop.problems.empty());
    const auto name = [&](const char* program, const char* named = "") {
        return shop.machine_for(program, named).name;
    };
    CHECK(name("/shop/long/a.nc") == "long bed");
    CHECK(name("/shop/long/deep/er/a.nc") == "long bed");
    CHECK(name("/shop/jobs/a.nc") == "short bed");
    CHECK(name("/shop/jobs/long/a.nc") == "long bed"); // the longest match
    CHECK(name("/shop/jobs/longer/a.nc") == "short bed");
    CHECK(name("/shop/longer/a.nc") == "any");
    CHECK(name("/shop/jobs/../long/a.nc") == "long bed");
    CHECK(name("/elsewhere/long/a.nc") == "any");
    CHECK(name("") == "any");
    CHECK(name("/shop/long/a.nc", "Short Bed") == "short bed");
    CHECK(name("/shop/long/a.nc", "nobody") == "long bed");
}

TEST_CASE("Of several machines none is guessed") {
    const Shop shop = parse_shop("[[machine]]\nname = \"a\"\nfolders = [\"a\"]\nmax_rpm = 3000\n"
                                 "[[machine]]\nname = \"b\"\nfolders = [\"b\"]\nmax_rpm = 2000\n",
                                 "/shop/turnwright.toml");
    CHECK(shop.machine_for("/shop/c/p.nc", "").name.empty());
    CHECK_FALSE(shop.machine_for("/shop/c/p.nc", "").max_rpm);
    CHECK(shop.machine_for("/shop/c/p.nc", "B").max_rpm == 2000.0);
    // A shop with one machine runs everything on it.
    const Shop one = parse_shop("[[machine]]\nname = \"a\"\nfolders = [\"a\"]\n", "/shop/turnwright.toml");
    CHECK(one.machine_for("/shop/c/p.nc", "").name == "a");
    CHECK(default_shop().machine_for("/x/p.nc", "").name.empty());
    CHECK(Shop{}.machine_for("/x/p.nc", "").name.empty());
}

TEST_CASE("A folder of this file's own and a relative path are understood") {
    const Shop shop =
        parse_shop("[[machine]]\nname = \"here\"\nfolders = [\".\"]\n[[machine]]\nname = \"sub\"\nfolders "
                   "= [\"sub\"]\n",
                   "turnwright.toml");
    CHECK(shop.machine_for("p.nc", "").name == "here");
    CHECK(shop.machine_for("sub/p.nc", "").name == "sub");
}

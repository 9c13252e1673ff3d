// RFC 3986 (percent encoding) and RFC 8089 (file URIs, appendix E for drive letters).
#include "protocol/uri.h"

#include <catch2/catch.hpp>

using namespace turnwright::protocol;

TEST_CASE("file URIs to paths") {
    CHECK(path_of_uri("file:///shop/a.nc") == "/shop/a.nc");
    CHECK(path_of_uri("file:///shop/a%20b%23.nc") == "/shop/a b#.nc");
    CHECK(path_of_uri("file://localhost/shop/a.nc") == "/shop/a.nc");
    CHECK(path_of_uri("file:/shop/a.nc") == "/shop/a.nc"); // RFC 8089: the minimal form
    CHECK(path_of_uri("FILE:///shop/a.nc") == "/shop/a.nc");
    CHECK(path_of_uri("file:///shop/%C3%A9.nc") == "/shop/\xc3\xa9.nc");
    CHECK(path_of_uri("file:///shop/a.nc?x#y") == "/shop/a.nc");
}

TEST_CASE("what is no path of this computer") {
    for (const char* uri : {"untitled:Untitled-1", "http://x/y", "", "file:", "file://", "file:a.nc",
                            "file:///a%", "file:///a%4", "file:///a%zz", "file:///a%00b", "c:\\a.nc"})
        CHECK_FALSE(path_of_uri(uri));
}

TEST_CASE("spellings of one document") {
    const std::string one = normal_uri("file:///c%3A/Shop/a%20b.nc");
    CHECK(normal_uri("file:///C:/Shop/a b.nc") == one);
    CHECK(normal_uri("file:///c:/Shop/a%20b.nc") == one);
    CHECK(normal_uri("file:///C%3a/Shop/a%20b.nc") == one);
    CHECK(normal_uri("file:///c:/shop/a%20b.nc") != one);
    CHECK(normal_uri(one) == one);
    for (const char* opaque :
         {"untitled:Untitled-1", "untitled:C%3A\\x", "", "file:///a%zz", "vscode-vfs://host/a%20b"})
        CHECK(normal_uri(opaque) == opaque);
    // A host is part of the name.
    CHECK(normal_uri("file://server/share/a.nc") != normal_uri("file:///share/a.nc"));
}

TEST_CASE("paths to URIs and back") {
    CHECK(uri_of_path("/shop/a b#%.nc") == "file:///shop/a%20b%23%25.nc");
    for (const char* path : {"/shop/a b.nc", "/shop/\xc3\xa9?*.nc", "/%41", "/\xff"})
        CHECK(path_of_uri(uri_of_path(path)) == path);
}

// RFC 8089, appendix E.2 (drive letters) and E.3 (shares), and the spellings that editors are seen to send.
// The functions are the same on every system, so Linux tests what Windows does.
TEST_CASE("file URIs to paths on Windows") {
    const auto path = [](const char* uri) {
        return path_text_of_uri(uri, PathStyle::windows).value_or("nothing");
    };
    for (const char* uri :
         {"file:///c%3A/shop/O1000.nc", "file:///C:/shop/O1000.nc", "file:///c:/shop/O1000.nc",
          "file:///C%3a/shop/O1000.nc", "file:/C:/shop/O1000.nc", "file://LocalHost/C:/shop/O1000.nc",
          "file:///C:%5Cshop%5CO1000.nc", "file:///c:\\shop\\O1000.nc"})
        CHECK(path(uri) == "c:/shop/O1000.nc");
    CHECK(path("file:///D:/Two%20words/%C3%A9%20%23.NC") == "d:/Two words/\xc3\xa9 #.NC");
    CHECK(path("file:///c%3A") == "c:/");
    CHECK(path("file:///c:/") == "c:/");
    CHECK(path("file:///shop/a.nc") == "/shop/a.nc"); // on the drive that is the present one
    CHECK(path("file://Server/Share/a.nc") == "//server/Share/a.nc");
    CHECK(path("file:////server/Share/a.nc") == "//server/Share/a.nc");
    CHECK(path("file://wsl%24/shop/a.nc") == "//wsl$/shop/a.nc");
    CHECK(path("file://server/c%3A/a.nc") == "//server/c:/a.nc"); // no drive of this computer
}

TEST_CASE("what is no file on Windows") {
    for (const char* uri :
         {"file://./pipe/a", "file://%3F/c:/a", "file:////./pipe/a", "file:////%3F/c:/a",
          "file:///%5C.%5Cpipe%5Ca", "file://a%2Fb/c.nc", "file://a%zz/c.nc", "file:///%5C%5C.%5Cpipe%5Ca",
          "file:////", "file:////%2e/a", "file:///c:/%ff.nc", "file:///c:/%C3.nc", "file:///c:/%ED%A0%80.nc",
          "file:///c:/%C0%AF.nc", "file:///c:/%F4%90%80%80.nc", "untitled:c:/a.nc", "c:\\a.nc",
          "file:c:/a.nc", "file:///c:/a%00.nc"}) {
        INFO(uri);
        CHECK_FALSE(path_text_of_uri(uri, PathStyle::windows));
    }
}

TEST_CASE("paths on Windows to URIs and back") {
    const auto uri = [](const char* path) { return uri_of_path_text(path, PathStyle::windows); };
    CHECK(uri("c:\\shop\\a b#%.nc") == "file:///c:/shop/a%20b%23%25.nc");
    CHECK(uri("\\\\server\\share\\a.nc") == "file://server/share/a.nc");
    CHECK(uri("\\shop\\a.nc") == "file:///shop/a.nc");
    for (const char* path :
         {"c:/shop/a b.nc", "c:/", "//server/share/\xc3\xa9.nc", "/shop/a.nc", "z:/%41.nc"})
        CHECK(path_text_of_uri(uri_of_path_text(path, PathStyle::windows), PathStyle::windows) == path);
    // What is told about a document is told by the name that finds it.
    CHECK(normal_uri("file:///c%3A/shop/a.nc") == normal_uri(uri("c:\\shop\\a.nc")));
    CHECK(normal_uri("file://SERVER/share/a.nc") == normal_uri("file:////server/share/a.nc"));
}

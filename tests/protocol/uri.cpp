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

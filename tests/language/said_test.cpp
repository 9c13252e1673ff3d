// Texts in the language of whoever reads them: which catalogue is taken, and what a translation may not do.
#include "language/said.h"

#include <catch2/catch.hpp>

using namespace turnwright;

namespace {

/// What a test chose is taken back.
class In {
public:
    explicit In(std::string_view name) : known(language::choose(name)) {}
    ~In() { language::choose("en"); }
    const bool known;
};

constexpr TableText listed = "not known";

} // namespace

TEST_CASE("a language is chosen by its name, with or without a country") {
    for (const char* name : {"de", "de-AT", "de_DE.UTF-8", "DE"}) {
        const In in(name);
        CHECK(in.known);
        CHECK(language::chosen() == "de");
    }
    const In spanish("es-MX");
    CHECK(language::chosen() == "es");
}

TEST_CASE("a language without a catalogue is English") {
    for (const char* name : {"", "C", "POSIX", "xx", "d", "deu"}) {
        const In in(name);
        CHECK_FALSE(in.known);
        CHECK(language::chosen() == "en");
        CHECK(said("not known") == "not known");
    }
    CHECK(In("en-GB").known);
}

TEST_CASE("what a catalogue lacks is said in English") {
    const In german("de");
    CHECK(said("a text that no catalogue holds") == "a text that no catalogue holds");
    CHECK(said("{} of a text that no catalogue holds", 3) == "3 of a text that no catalogue holds");
}

TEST_CASE("a text of a table is looked up when it is read") {
    CHECK(std::string_view(listed) == "not known");
    CHECK(fmt::format("{}", listed) == "not known");
    const In german("de");
    CHECK(std::string_view(listed) == "nicht bekannt");
    CHECK(fmt::format("{}", listed) == "nicht bekannt");
    CHECK(std::string(translated("not known")) == "nicht bekannt");
    CHECK(listed.english() == "not known");
}

TEST_CASE("numbers keep the point that programs use") {
    for (const char* name : {"en", "de", "es"}) {
        const In in(name);
        CHECK(said("{:.2f} rpm of a text that no catalogue holds", 1234.5).starts_with("1234.50 "));
    }
}

TEST_CASE("a translation has the places of the English, in any order") {
    using language::why_not;
    CHECK(why_not("{} at {}", "bei {1}: {0}") == "");
    CHECK(why_not("{} at {}", "{} bei {}") == "");
    CHECK(why_not("{0} and {0}", "{0}") == "");
    CHECK(why_not("X{:.{}f} of {:.0f}", "{2:.0f}: X{0:.{1}f}") == "");
    CHECK(why_not("{{}} {}", "{{}} {}") == "");
    CHECK(why_not("m_codes = { name }", "anything") != "");

    CHECK(why_not("{} at {}", "{} bei") != "");
    CHECK(why_not("{} at {}", "{} bei {} und {}") != "");
    CHECK(why_not("{:.1f}", "{}") != "");
    CHECK(why_not("{}", "{:d}") != "");
    CHECK(why_not("{} {}", "{0} {}") != "");
    CHECK(why_not("{}", "{} {") != "");
    CHECK(why_not("{}", "{} }") != "");
    CHECK(why_not("plain", "{}") != "");
}

TEST_CASE("a text of ours is known again in each language") {
    const auto ways = language::each_way("not known");
    CHECK(ways.size() == language::known().size());
    CHECK(ways.front() == "not known");
}

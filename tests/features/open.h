// A program as a test writes it: `$0` marks the cursor and is no part of the program.
#pragma once

#include "features/features.h"

#include <algorithm>
#include <memory>
#include <string>

namespace turnwright::features::test {

inline std::shared_ptr<const shop::Shop> shop_of(std::string_view toml) {
    return std::make_shared<const shop::Shop>(shop::parse_shop(toml, "turnwright.toml"));
}
inline std::shared_ptr<const shop::Shop> shop_of(codes::System system) {
    shop::Shop shop = shop::default_shop();
    shop.machines.front().system = system;
    return std::make_shared<const shop::Shop>(std::move(shop));
}

/// The program without its cursor, and where that stood. A leading line end is dropped, so that a raw string
/// can start on a line of its own.
struct Marked {
    std::string text;
    Position cursor;
};
inline Marked marked(std::string_view source) {
    if (!source.empty() && source.front() == '\n') source.remove_prefix(1);
    Marked result;
    result.text = source;
    const std::size_t at = result.text.find("$0");
    if (at == std::string::npos) return result;
    result.text.erase(at, 2);
    for (std::size_t i = 0; i < at; ++i) {
        if (result.text[i] == '\n') {
            ++result.cursor.line;
            result.cursor.column = 0;
        } else {
            ++result.cursor.column;
        }
    }
    return result;
}

/// A document with a cursor.
struct Open {
    Marked source;
    Document document;
    Open(std::string_view program, std::shared_ptr<const shop::Shop> shop,
         std::shared_ptr<const machine::ProgramLibrary> library = nullptr, const char* path = "job.nc")
        : source(marked(program)), document(source.text, std::move(shop), path, std::move(library)) {}
    Open(std::string_view program, codes::System system) : Open(program, shop_of(system)) {}
    Position cursor() const { return source.cursor; }
};

/// The text with edits made; they must not overlap.
inline std::string with_edits(const Document& document, std::vector<TextEdit> edits) {
    std::sort(edits.begin(), edits.end(),
              [](const TextEdit& a, const TextEdit& b) { return a.range < b.range; });
    text::Buffer buffer(document.buffer().whole());
    for (auto edit = edits.rbegin(); edit != edits.rend(); ++edit) buffer.replace(edit->range, edit->text);
    return buffer.whole();
}

} // namespace turnwright::features::test

#include "bench/generate.h"

#include "bench/generate_styles.h"

#include <array>
#include <utility>

namespace bench {
namespace {

constexpr std::array<std::pair<Style, std::string_view>, 3> names{
    {{Style::hand, "hand"}, {Style::post, "post"}, {Style::macro, "macro"}}};

} // namespace

std::optional<Style> style_of(std::string_view name) {
    for (const auto& [style, text] : names)
        if (text == name) return style;
    return std::nullopt;
}

std::string_view name_of(Style style) {
    for (const auto& [known, text] : names)
        if (known == style) return text;
    return "";
}

std::string generate(Style style, std::size_t blocks, std::uint32_t seed) {
    Writer writer(blocks, seed);
    switch (style) {
    case Style::hand:
        write_hand(writer);
        break;
    case Style::post:
        write_post(writer);
        break;
    case Style::macro:
        write_macro(writer);
        break;
    }
    return writer.take();
}

std::string generate_c(std::size_t lines, std::uint32_t seed) {
    Writer writer(lines, seed);
    writer.block("/* Lines of code to measure against. */");
    int function = 0;
    while (writer.left() > 30) {
        writer.block("static double part_", std::to_string(++function), "(double x, double z) {");
        writer.block("    double path = 0.0;");
        const int rows = writer.between(8, 20);
        for (int i = 0; i < rows; ++i)
            writer.block("    path += x * ", value(writer.between(1000, 90000)), " - z * ",
                         value(writer.between(1000, 50000)), ";");
        writer.block("    if (path > ", value(writer.between(1000, 9000)), ") return x;");
        writer.block("    return path;");
        writer.block("}");
    }
    writer.block("int main(void) {");
    while (writer.left() > 2)
        writer.block("    (void)part_", std::to_string(writer.between(1, function > 0 ? function : 1)),
                     "(1., 2.);");
    writer.block("    return 0;");
    writer.block("}");
    return writer.take();
}

} // namespace bench

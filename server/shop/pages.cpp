// The schema and the page of the shop file, written from the table of keys.
#include "shop/keys.h"

#include <fmt/format.h>

namespace turnwright::shop {
namespace {
std::string quoted(std::string_view text) {
    std::string result = "\"";
    for (char each : text) {
        if (each == '"' || each == '\\') result += '\\';
        result += each;
    }
    return result + '"';
}

std::string quoted_list(std::span<const std::string_view> words) {
    std::string list;
    for (std::string_view word : words) list += (list.empty() ? "" : ", ") + quoted(word);
    return "[" + list + "]";
}

/// Bounds hold in mm, so a length's are left to the reader except for its sign.
std::string bounds(const Key& key) {
    const Range& range = key.range;
    std::string text;
    if (range.least > -1e6)
        text += fmt::format(", \"{}\": {}", range.above_least ? "exclusiveMinimum" : "minimum", range.least);
    if (range.most < 1e6 && !follows_units(key.unit)) text += fmt::format(", \"maximum\": {}", range.most);
    return text;
}

std::string type_of(const Key& key) {
    switch (key.kind) {
    case Kind::text:
        return "\"type\": \"string\"";
    case Kind::number:
        return "\"type\": \"number\"" + bounds(key);
    case Kind::whole:
        return "\"type\": \"integer\"" + bounds(key);
    case Kind::yes_no:
        return "\"type\": \"boolean\"";
    case Kind::choice:
        return "\"enum\": " + quoted_list(key.choices);
    case Kind::texts:
        return "\"type\": \"array\", \"items\": {\"type\": \"string\"}";
    case Kind::wholes:
        return "\"type\": \"array\", \"items\": {\"type\": \"integer\"" + bounds(key) + "}";
    case Kind::points:
        return "\"type\": \"array\", \"minItems\": 3, \"items\": {\"type\": \"array\", \"minItems\": 2, "
               "\"maxItems\": 2, \"items\": {\"type\": \"number\"}}";
    case Kind::code_names:
        return fmt::format(
            "\"type\": \"object\", \"patternProperties\": {{\"^[{0}{1}]?[0-9]+(-[{0}{1}]?[0-9]+)?$\": "
            "{{\"anyOf\": [{{\"type\": \"string\"}}, {{\"type\": \"object\", \"properties\": {{\"name\": "
            "{{\"type\": \"string\"}}, \"does\": {{\"type\": \"string\"}}, \"calls\": {{\"type\": "
            "\"string\", "
            "\"pattern\": \"^[Oo][0-9]+$\"}}}}, \"additionalProperties\": false}}]}}}}, "
            "\"additionalProperties\": false",
            letter_of(key), key.name.front());
    case Kind::severities:
        return "\"type\": \"object\", \"additionalProperties\": {\"enum\": " + quoted_list(key.choices) + "}";
    }
    return {};
}

std::string property(const Key& key) {
    return fmt::format("{}: {{\"description\": {}, {}}}", quoted(key.name), quoted(key.text), type_of(key));
}

std::string object_of(const Section& section, std::string_view indent) {
    std::string properties;
    for (const Key* key : section.keys)
        properties += fmt::format("{}\n{}  {}", properties.empty() ? "" : ",", indent, property(*key));
    return fmt::format("\"type\": \"object\", \"additionalProperties\": false,{} \"properties\": {{{}\n{}}}",
                       section.name == "tool" ? " \"required\": [\"station\"]," : "", properties, indent);
}

std::string section_schema(const Section& section) {
    const std::string object = object_of(section, "    ");
    const std::string head =
        fmt::format("    {}: {{\"description\": {}, ", quoted(section.name), quoted(section.text));
    if (!section.repeats) return head + object + "}";
    return head + "\"type\": \"array\", \"items\": {" + object + "}}";
}

/// A pipe would end the cell.
std::string cell(std::string_view text) {
    std::string result;
    for (char each : text) {
        if (each == '|') result += '\\';
        result += each;
    }
    return result;
}

void write_keys(std::string& page, const std::vector<const Key*>& keys) {
    page += "\n| key | value | what it is |\n|---|---|---|\n";
    for (const Key* key : keys)
        page += fmt::format("| `{}` | {} | {} |\n", key->name, cell(kind_title(*key)), cell(key->text));
}
} // namespace

std::string schema_json() {
    std::string text = "{\n  \"$schema\": \"http://json-schema.org/draft-07/schema#\",\n"
                       "  \"title\": \"Turnwright shop file\",\n"
                       "  \"type\": \"object\",\n  \"additionalProperties\": false,\n  \"properties\": {\n";
    text += "    " + property(units_key()) + ",\n";
    for (const Section& section : sections()) text += section_schema(section) + ",\n";
    return text + "    " + property(checks_key()) + "\n  }\n}\n";
}

std::string page_markdown() {
    std::string page =
        "# The shop file\n\n"
        "Written from the server's own table of keys; change the table, not this page.\n\n"
        "`turnwright.toml` tells the server about the machines, the turret and the habits of "
        "one shop. Put it in the "
        "folder of the programs or in any folder above it, up to the folder that is open in "
        "the editor: the nearest "
        "one counts. It is [TOML](https://toml.io), and every key may be left out. What is "
        "left out is unknown, and "
        "what needs it is not checked, or is said to be unknown, or assumed with its reason where "
        "the program has evidence for it. A value that is wrong is shown in "
        "the file and counts as left out.\n\n"
        "Limits in this file make warnings; they do not make a machine safe. Keep to the "
        "limits marked on chuck, "
        "jaws and machine, and prove out every program (dry run, single block, reduced rapid) "
        "by a qualified person "
        "and by the shop's own rules.\n\n"
        "## Which machine\n\n"
        "With one `[[machine]]` every program runs on it. With several, a program runs on the "
        "one whose `name` it "
        "gives, else on the one whose `folders` hold it (the longest match), else on the "
        "first without `folders`, "
        "else on one of which nothing is known.\n\n"
        "## One program alone\n\n"
        "A [job file](stock.md#the-stock) beside a program, `O1001.turnwright.toml` for `O1001.nc`, holds "
        "`[stock]` and `[[tool]]` of that job, and of `[machine]` the keys that say how the control reads "
        "this "
        "one program: `system`, `power_on_units`, `power_on`, `x`, `no_point` and `tool_digits`. They count "
        "over this file, and over what is assumed.\n\n"
        "## Example\n\n```toml\n";
    page += example();
    page += "```\n\n## At the top\n";
    write_keys(page, {&units_key()});
    for (const Section& section : sections()) {
        page += section.repeats ? fmt::format("\n## [[{}]]\n\n", section.name)
                                : fmt::format("\n## [{}]\n\n", section.name);
        page += section.text;
        page += '\n';
        write_keys(page, section.keys);
    }
    page += "\n## [checks]\n\n";
    page += checks_key().text;
    page += "\n\nFor an editor's TOML support there is a JSON schema of all this: "
            "[shop-file.schema.json](shop-file.schema.json).\n";
    return page;
}

} // namespace turnwright::shop

// Inside the report room: program text made harmless for what it is written into.
#pragma once

#include <string>
#include <string_view>

namespace turnwright::report {

/// For XML and HTML, between tags and in quoted attributes: markup escaped, bytes that are no UTF-8 taken as
/// Latin-1, control characters as blanks.
std::string markup_escaped(std::string_view text);
/// JSON that may stand inside a <script> element: no `<`, `>` or `&` is left in it.
std::string script_safe(std::string_view json);
constexpr std::size_t text_columns = 100;
/// Words of at most so many columns a line, each line with `margin` blanks in front.
std::string wrapped(std::string_view text, std::size_t margin);
/// Whether a text of ours begins with, or holds, this text (up to its first place for a value) in whatever
/// language it was written.
bool begins_as_said(std::string_view text, std::string_view english);
bool holds_as_said(std::string_view text, std::string_view english);
/// HTML of our own with its texts between tags, and those of title and aria-label, in the chosen language.
std::string html_in_language(std::string_view html);
/// One cell of a Markdown table.
std::string markdown_cell(std::string_view text);

} // namespace turnwright::report

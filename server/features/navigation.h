// From a number to where it is defined and used: N labels, programs, variables, tools, offsets.
#pragma once

#include "features/document.h"

namespace turnwright::features {

std::vector<Location> definition(const Document& document, Position at, const Workspace* workspace = nullptr);
std::vector<Location> references(const Document& document, Position at, bool with_definition,
                                 const Workspace* workspace = nullptr);

struct Highlight {
    Range range;
    bool written; ///< A definition, an assignment; else a use
};
std::vector<Highlight> highlights(const Document& document, Position at);

struct RenameStart {
    Range range;             ///< The number to be changed
    std::string placeholder; ///< As written: "101"
};
std::optional<RenameStart> prepare_rename(const Document& document, Position at);
/// `new_name`: a number, with or without its letter or #. Refused with the reason when it is taken or no
/// number.
Rewrite rename(const Document& document, Position at, std::string_view new_name,
               const Workspace* workspace = nullptr);

/// Gives a program another number in every file that defines or calls it. Refused when the number is taken.
Rewrite rename_program(const Workspace& workspace, std::int32_t number, std::int32_t new_number);

/// The number and all its uses when they can be typed over together; fewer than two: nothing to link.
std::vector<Range> linked_ranges(const Document& document, Position at);

struct DocumentLink {
    Range range;
    std::filesystem::path target;
    std::string tooltip;
};
/// Calls of programs that stand in other files.
std::vector<DocumentLink> document_links(const Document& document, const Workspace* workspace);

} // namespace turnwright::features

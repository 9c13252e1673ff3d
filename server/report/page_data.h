// Inside the report room: what the picture's page draws from, as JSON.
#pragma once

#include "report/picture.h"

namespace turnwright::report {

/// A page larger than about 5 MB is slow to send and to open: a long program is cut where a sequence ends.
struct PagePart {
    std::string
        json; ///< Safe inside a script element. Thousandths of a millimetre, X as radius, lines from 0
    std::string file;                          ///< Name of its file; empty where there is one part
    std::size_t first_line = 0, last_line = 0; ///< From 0, both in
};
/// `whole` false: only the first part, which says where it ends. `file`: name of the first part's file.
std::vector<PagePart> page_parts(const features::Document& document, const Picture& picture,
                                 const DrawnStock& stock, std::string_view file, bool whole);

} // namespace turnwright::report

// Codes that only another G-code system means so as they stand.
#pragma once

#include "machine/machine.h"

namespace turnwright::machine {

struct ForeignSign {
    const syntax::Item* item; ///< Of the run
    std::string_view text;    ///< "G92 with S is the speed limit of systems B and C"
    codes::System system;     ///< The first whose sign it is
};
/// The G code of a block that stands as it does in other systems and, so written, means nothing of use in
/// this one; nullopt: there is none.
std::optional<ForeignSign> foreign_sign(const syntax::Run& run, const syntax::Block& block,
                                        codes::System system);

} // namespace turnwright::machine

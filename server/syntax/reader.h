// A grammar tree to the compact run.
#pragma once

#include "syntax/language.h"
#include "syntax/syntax.h"

namespace turnwright::syntax {

RunPointer read_run(const text::LeafPointer& leaf, std::string_view prepared, const TSTree& tree);

} // namespace turnwright::syntax

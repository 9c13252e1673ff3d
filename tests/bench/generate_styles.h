// The three styles, one file each. Every one writes blocks until the writer has none left.
#pragma once

#include "bench/writer.h"

namespace bench {

void write_hand(Writer& writer);
void write_post(Writer& writer);
void write_macro(Writer& writer);

} // namespace bench

// bench_generate STYLE BLOCKS [SEED]: writes a program to standard output.
#include "bench/generate.h"

#include <cstdio>
#include <cstdlib>

int main(int argc, char** argv) {
    const auto style = argc > 2 ? bench::style_of(argv[1]) : std::nullopt;
    const unsigned long blocks = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 0;
    if (!style || blocks < 40) {
        std::fputs("usage: bench_generate hand|post|macro BLOCKS [SEED]   (BLOCKS at least 40)\n", stderr);
        return 2;
    }
    const auto seed = static_cast<std::uint32_t>(argc > 3 ? std::strtoul(argv[3], nullptr, 10) : 1);
    const std::string text = bench::generate(*style, blocks, seed);
    return std::fwrite(text.data(), 1, text.size(), stdout) == text.size() ? 0 : 1;
}

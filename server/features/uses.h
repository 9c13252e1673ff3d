// Every place where a number names something: N labels, programs, variables, tools, offsets.
#pragma once

#include "features/block_at.h"

#include <functional>

namespace turnwright::features {

enum class NamedKind : std::uint8_t { label, program, variable, tool, offset };
struct Named {
    NamedKind kind;
    std::int32_t number;
    bool operator==(const Named&) const = default;
};

/// One place where it stands. Bytes in the run.
struct Use {
    Named named;
    BlockPlace place;
    std::uint32_t begin, end;               ///< The word
    std::uint32_t number_begin, number_end; ///< Its digits
    bool defines = false;                   ///< N and O words, assignments, the first call of a tool
};

/// All of a block, but for tools and offsets, in order.
std::vector<Use> uses_in_block(const syntax::Run& run, BlockPlace place, codes::System system);
/// What stands under a position, tools and offsets as well.
std::optional<Use> use_at(const Document& document, Position at);
/// Where the name holds: a label and a local variable in their program, the rest in the whole file.
struct Scope {
    BlockPlace first, last; ///< Both in
};
Scope scope_of(const Document& document, const Use& use);
/// All uses of a name in its scope, in order.
std::vector<Use> uses_of(const Document& document, Named named, Scope scope);
Range word_range(const Document& document, const Use& use);
Range number_range(const Document& document, const Use& use);

/// Every word of the document that calls a program whose number is written there, in order.
std::vector<Use> program_calls(const Document& document);
/// Uses of programs in another file.
std::vector<Use> program_uses(const WorkspaceFile& file, codes::System system, std::int32_t number);
/// The O words of another file, in order.
std::vector<Use> program_starts(const WorkspaceFile& file, codes::System system);
Range word_range(const WorkspaceFile& file, const Use& use);
Range number_range(const WorkspaceFile& file, const Use& use);

/// A jump in this span whose target is computed: labels there must not be renamed blindly.
std::optional<BlockPlace> computed_jump(const Document& document, Scope scope);

} // namespace turnwright::features

// The editor abilities that are served. A new one: its function in features/, an adapter beside this file,
// its name in this list.
#include "protocol/feature.h"

#include <array>

namespace turnwright::protocol {

#define FEATURES(FEATURE)                                                                                    \
    FEATURE(hover, hover_feature)                                                                            \
    FEATURE(document_symbol, document_symbol_feature)                                                        \
    FEATURE(pull_diagnostics, pull_diagnostics_feature)                                                      \
    FEATURE(workspace_diagnostic, workspace_diagnostic_feature)                                              \
    FEATURE(formatting, will_save_feature)                                                                   \
    FEATURE(will_rename_files, will_rename_files_feature)                                                    \
    FEATURE(code_action, code_action_feature)                                                                \
    FEATURE(code_action, code_action_resolve_feature)                                                        \
    FEATURE(completion, completion_feature)                                                                  \
    FEATURE(completion, completion_resolve_feature)                                                          \
    FEATURE(signature_help, signature_help_feature)                                                          \
    FEATURE(definition, definition_feature)                                                                  \
    FEATURE(definition, references_feature)                                                                  \
    FEATURE(document_highlight, document_highlight_feature)                                                  \
    FEATURE(rename, rename_feature)                                                                          \
    FEATURE(rename, prepare_rename_feature)                                                                  \
    FEATURE(formatting, formatting_feature)                                                                  \
    FEATURE(formatting, range_formatting_feature)                                                            \
    FEATURE(formatting, on_type_formatting_feature)                                                          \
    FEATURE(semantic_tokens, semantic_tokens_feature)                                                        \
    FEATURE(semantic_tokens, semantic_tokens_delta_feature)                                                  \
    FEATURE(semantic_tokens, semantic_tokens_range_feature)                                                  \
    FEATURE(folding_range, folding_range_feature)                                                            \
    FEATURE(selection_range, selection_range_feature)                                                        \
    FEATURE(inlay_hint, inlay_hint_feature)                                                                  \
    FEATURE(code_lens, code_lens_feature)                                                                    \
    FEATURE(document_link, document_link_feature)                                                            \
    FEATURE(linked_editing, linked_editing_feature)                                                          \
    FEATURE(call_hierarchy, prepare_calls_feature)                                                           \
    FEATURE(call_hierarchy, incoming_calls_feature)                                                          \
    FEATURE(call_hierarchy, outgoing_calls_feature)                                                          \
    FEATURE(workspace_symbol, workspace_symbol_feature)                                                      \
    FEATURE(execute_command, execute_command_feature)                                                        \
    FEATURE(beside, state_feature)                                                                           \
    FEATURE(beside, sequences_feature)                                                                       \
    FEATURE(beside, paths_feature)

#define DECLARED(ability, feature)                                                                           \
    namespace ability {                                                                                      \
    extern const Feature feature;                                                                            \
    }
FEATURES(DECLARED)
#undef DECLARED

std::span<const Feature* const> feature_table() {
    static constexpr std::array table{
#define LISTED(ability, feature) &ability::feature,
        FEATURES(LISTED)
#undef LISTED
    };
    return table;
}

#undef FEATURES

} // namespace turnwright::protocol

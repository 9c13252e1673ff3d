// The editor abilities that are served. A new one: its function in features/, an adapter beside this file,
// its name in this list.
#include "protocol/feature.h"

#include <array>

namespace turnwright::protocol {

extern const Feature hover_feature;
extern const Feature document_symbol_feature;
extern const Feature pull_diagnostics_feature;
extern const Feature workspace_diagnostic_feature;
extern const Feature will_save_feature;
extern const Feature will_rename_files_feature;
extern const Feature code_action_feature;
extern const Feature code_action_resolve_feature;
extern const Feature completion_feature;
extern const Feature completion_resolve_feature;
extern const Feature signature_help_feature;
extern const Feature definition_feature;
extern const Feature references_feature;
extern const Feature document_highlight_feature;
extern const Feature rename_feature;
extern const Feature prepare_rename_feature;
extern const Feature formatting_feature;
extern const Feature range_formatting_feature;
extern const Feature on_type_formatting_feature;
extern const Feature semantic_tokens_feature;
extern const Feature semantic_tokens_delta_feature;
extern const Feature semantic_tokens_range_feature;
extern const Feature folding_range_feature;
extern const Feature selection_range_feature;
extern const Feature inlay_hint_feature;
extern const Feature code_lens_feature;
extern const Feature document_link_feature;
extern const Feature linked_editing_feature;
extern const Feature prepare_calls_feature;
extern const Feature incoming_calls_feature;
extern const Feature outgoing_calls_feature;
extern const Feature workspace_symbol_feature;
extern const Feature execute_command_feature;

std::span<const Feature* const> feature_table() {
    static constexpr std::array table{
        &hover_feature,
        &document_symbol_feature,
        &pull_diagnostics_feature,
        &workspace_diagnostic_feature,
        &will_save_feature,
        &will_rename_files_feature,
        &code_action_feature,
        &code_action_resolve_feature,
        &completion_feature,
        &completion_resolve_feature,
        &signature_help_feature,
        &definition_feature,
        &references_feature,
        &document_highlight_feature,
        &rename_feature,
        &prepare_rename_feature,
        &formatting_feature,
        &range_formatting_feature,
        &on_type_formatting_feature,
        &semantic_tokens_feature,
        &semantic_tokens_delta_feature,
        &semantic_tokens_range_feature,
        &folding_range_feature,
        &selection_range_feature,
        &inlay_hint_feature,
        &code_lens_feature,
        &document_link_feature,
        &linked_editing_feature,
        &prepare_calls_feature,
        &incoming_calls_feature,
        &outgoing_calls_feature,
        &workspace_symbol_feature,
        &execute_command_feature,
    };
    return table;
}

} // namespace turnwright::protocol

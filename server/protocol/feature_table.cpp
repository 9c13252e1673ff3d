// The editor abilities that are served. A new one: its function in features/, an adapter beside this file,
// its name in this list.
#include "protocol/feature.h"

#include <array>

namespace turnwright::protocol {

extern const Feature hover_feature;
extern const Feature document_symbol_feature;
extern const Feature pull_diagnostics_feature;
extern const Feature code_action_feature;

std::span<const Feature* const> feature_table() {
    static constexpr std::array table{
        &hover_feature,
        &document_symbol_feature,
        &pull_diagnostics_feature,
        &code_action_feature,
    };
    return table;
}

} // namespace turnwright::protocol

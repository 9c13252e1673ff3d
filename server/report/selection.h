// Which findings of many are shown: by check, by severity, and without those that were there before.
#pragma once

#include "report/report.h"

#include <map>

namespace turnwright::report {

struct Selection {
    std::vector<std::string> only;    ///< Ids of checks; empty: all
    std::vector<std::string> without; ///< Ids of checks
    checks::Severity at_least = checks::Severity::hint;
};
/// Takes away what is not wanted; also from what is silenced.
void select(CheckedFile& file, const Selection& selection);
/// Why an id is none; empty when it is one. "there is no check feed_misssing: did you mean feed_missing?"
std::string why_no_check(std::string_view id);

/// The findings of an older state, to be told apart from new ones by file, check and the words of the block:
/// lines may come and go above them. A text with a finding a line.
class Baseline {
public:
    /// `folder`: where the text stands, for the names of files are written from there. Lines of another kind
    /// are left out.
    Baseline(std::string_view text, std::filesystem::path folder);
    static bool is_baseline(std::string_view text);
    static std::string written(std::span<const CheckedFile> files, const std::filesystem::path& folder);

    /// Takes away what it holds; each finding counts once.
    void take_from(CheckedFile& file);
    /// What it holds that was never found: mended since.
    std::size_t left() const;

private:
    std::filesystem::path folder_;
    std::map<std::string, std::size_t> held_;
};

} // namespace turnwright::report

// What a person or another program reads outside an editor: check output in several forms.
#pragma once

#include "features/document.h"
#include "features/warnings.h"

#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace turnwright::report {

/// A warning as people count: lines and columns from 1, columns in characters.
struct CheckedWarning {
    std::size_t line = 1, column = 1;
    std::size_t end_line = 1, end_column = 1; ///< Behind the last character
    checks::Severity severity = checks::Severity::warning;
    std::string id;
    std::string message;
    struct Related {
        std::size_t line = 1, column = 1;
        std::string message;
    };
    std::vector<Related> related;
};

struct CheckedFile {
    std::string name;      ///< As the user gave it
    std::string problem;   ///< Why it could not be checked; empty when it was
    std::string shop_file; ///< Empty: none found
    char system = 'A';
    bool system_assumed = false; ///< Nothing in the program or the shop file tells the system
    std::size_t blocks = 0;
    std::vector<CheckedWarning> warnings;
};

/// The largest file that is checked; more is surely no program written at a machine.
inline constexpr std::uintmax_t largest_file_bytes = 128u << 20;

/// Text of a file, or why it cannot be a program: missing, unreadable, empty, not text, too large.
struct FileText {
    std::string text;
    std::string problem;
};
FileText read_program(const std::filesystem::path& path);
/// The same checks for text from elsewhere; empty when it can be checked.
std::string why_not_a_program(std::string_view text);

CheckedFile check_text(std::string name, std::string_view text, std::shared_ptr<const shop::Shop> shop,
                       const std::filesystem::path& path = {});
/// `shop` nullptr: the nearest shop file from the program's folder upward.
CheckedFile check_file(const std::filesystem::path& path, std::shared_ptr<const shop::Shop> shop);
/// Reads a shop file; its problems become warnings of a CheckedFile of its own.
CheckedFile check_shop(const shop::Shop& shop);
std::shared_ptr<const shop::Shop> load_shop(const std::filesystem::path& path);
std::shared_ptr<const shop::Shop> nearest_shop(const std::filesystem::path& program);

struct Counts {
    std::size_t files = 0, not_checked = 0, errors = 0, warnings = 0, notes = 0;
};
Counts count(std::span<const CheckedFile> files);

/// 0: nothing of severity warning or error; 1: something; 2: a file could not be checked.
int exit_status(const Counts& counts);

std::string as_text(std::span<const CheckedFile> files);
std::string as_json(std::span<const CheckedFile> files);
std::string as_sarif(std::span<const CheckedFile> files); ///< SARIF 2.1.0
std::string as_junit(std::span<const CheckedFile> files); ///< JUnit XML, a test case a file

std::string_view severity_name(checks::Severity severity); ///< "warning"

/// The lines that go with every result: what a check cannot do.
extern const std::string_view caution;

} // namespace turnwright::report

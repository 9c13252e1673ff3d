#include "report/report.h"

#include "host/host.h"

#include "shop/job_file.h"

#include <algorithm>
#include <fstream>
#include <system_error>

namespace turnwright::report {

namespace {

constexpr std::size_t looked_at = 64 * 1024;

/// Control bytes that no program holds; NUL padding and tape controls from old transfers are let through.
bool is_foreign(unsigned char byte) {
    if (byte >= 0x20 || byte == '\t' || byte == '\n' || byte == '\r' || byte == 0) return false;
    return !(byte >= 0x11 && byte <= 0x14) && byte != 0x1a && byte != 0x0c;
}

std::string megabytes(std::uintmax_t bytes) {
    return std::to_string((bytes + (1u << 19)) >> 20) + " MB";
}

std::string too_large(std::uintmax_t bytes) {
    return "too large to check: " + megabytes(bytes) + ", at most " + megabytes(largest_file_bytes) +
           " are read";
}

} // namespace

std::string why_not_a_program(std::string_view text) {
    if (text.empty()) return "empty: there is nothing to check";
    if (text.size() > largest_file_bytes) return too_large(text.size());
    std::string_view head = text.substr(0, looked_at);
    if (head.starts_with("\xff\xfe") || head.starts_with("\xfe\xff"))
        return "UTF-16 text, which no control reads: save it as plain text (ASCII or UTF-8)";
    auto foreign = std::count_if(head.begin(), head.end(),
                                 [](char byte) { return is_foreign(static_cast<unsigned char>(byte)); });
    if (static_cast<std::size_t>(foreign) * 50 > head.size())
        return "not a text file: it holds bytes that no part program has";
    if (std::all_of(text.begin(), text.end(), [](char byte) { return byte == 0; }))
        return "nothing but NUL bytes: there is nothing to check";
    return {};
}

FileText read_program(const std::filesystem::path& path) {
    std::error_code failed;
    auto status = std::filesystem::status(path, failed);
    if (!std::filesystem::exists(status)) return {{}, "no such file"};
    if (std::filesystem::is_directory(status)) return {{}, "a folder, not a program"};
    if (!std::filesystem::is_regular_file(status)) return {{}, "not a regular file"};
    auto size = std::filesystem::file_size(path, failed);
    if (!failed && size > largest_file_bytes) return {{}, too_large(size)};
    std::ifstream file(path, std::ios::binary);
    if (!file) return {{}, "cannot be read (permission denied?)"};
    FileText read;
    read.text.resize(failed ? 0 : static_cast<std::size_t>(size));
    file.read(read.text.data(), static_cast<std::streamsize>(read.text.size()));
    if (file.bad()) return {{}, "cannot be read"};
    read.text.resize(static_cast<std::size_t>(file.gcount()));
    read.problem = why_not_a_program(read.text);
    return read;
}

std::shared_ptr<const shop::Shop> load_shop(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    return std::make_shared<const shop::Shop>(shop::parse_shop(text, path));
}

std::shared_ptr<const shop::Shop> nearest_shop(const std::filesystem::path& program) {
    std::error_code failed;
    auto whole = std::filesystem::absolute(program, failed);
    auto found = shop::find_shop_file(whole, host::root_of(whole));
    if (found.empty()) return std::make_shared<const shop::Shop>(shop::default_shop());
    return load_shop(found);
}

std::shared_ptr<const shop::Shop> shop_for_job(const std::filesystem::path& program,
                                               std::shared_ptr<const shop::Shop> shop) {
    if (!shop) shop = nearest_shop(program);
    std::error_code failed;
    const auto whole = std::filesystem::absolute(program, failed);
    const auto beside = shop::find_job_file(whole, host::root_of(whole));
    if (beside.empty()) return shop;
    std::ifstream file(beside, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    return std::make_shared<const shop::Shop>(shop::with_job(*shop, shop::parse_job(text, beside)));
}

} // namespace turnwright::report

#include "language/said.h"
#include "report/report.h"

#include "host/file.h"
#include "host/host.h"
#include "report/prose.h"
#include "report/why_no_program.h"
#include "shop/job_file.h"

#include <algorithm>
#include <fmt/format.h>
#include <system_error>

namespace turnwright::report {

namespace {

constexpr std::size_t looked_at = std::size_t{64} * 1024;
// A block with one coordinate holds more, and a program of a million blocks two of them in most.
constexpr std::size_t many_lines = 800'000, fewest_bytes = 8;

/// Control bytes that no program holds; NUL padding and tape controls from old transfers are let through.
bool is_foreign(unsigned char byte) {
    if (byte >= 0x20 || byte == '\t' || byte == '\n' || byte == '\r' || byte == 0) return false;
    return !(byte >= 0x11 && byte <= 0x14) && byte != 0x1a && byte != 0x0c;
}

/// A shop or a job file's text; what keeps it from being read is a problem of it.
std::string read_settings(const std::filesystem::path& path, std::vector<shop::Problem>& problems) {
    host::FileRead read = host::read_file(path, shop::largest_file);
    if (!read.problem.empty()) problems.push_back({0, 0, 0, said("nothing of it holds: ") + read.problem});
    return std::move(read.bytes);
}

} // namespace

std::string why_not_text(std::string_view text) {
    if (text.empty()) return said("empty: there is nothing to check");
    if (text.size() > largest_file_bytes) return host::too_large(text.size(), largest_file_bytes);
    std::string_view head = text.substr(0, looked_at);
    if (head.starts_with("\xff\xfe") || head.starts_with("\xfe\xff"))
        return said("UTF-16 text, which no control reads: save it as plain text (ASCII or UTF-8)");
    auto foreign = std::count_if(head.begin(), head.end(),
                                 [](char byte) { return is_foreign(static_cast<unsigned char>(byte)); });
    if (static_cast<std::size_t>(foreign) * 50 > head.size())
        return said("not a text file: it holds bytes that no part program has");
    if (std::all_of(text.begin(), text.end(), [](char byte) { return byte == 0; }))
        return said("nothing but NUL bytes: there is nothing to check");
    return why_too_many_lines(text);
}

std::string why_too_many_lines(std::string_view text) {
    if (text.size() <= many_lines) return {};
    const auto lines = static_cast<std::size_t>(
        std::max(std::count(text.begin(), text.end(), '\n'), std::count(text.begin(), text.end(), '\r')));
    if (lines <= many_lines || text.size() >= lines * fewest_bytes) {
        const std::string why = why_lines_are_no_program(text);
        return why.empty() ? why : said("not a part program: ") + why;
    }
    return said("not a part program: {} lines that hold fewer than {} characters on average", lines,
                fewest_bytes);
}

std::string why_not_a_program(std::string_view text) {
    std::string why = why_not_text(text);
    return why.empty() ? why_text_is_no_program(text) : why;
}

std::string why_text_is_no_program(std::string_view text) {
    return is_prose(text) ? said("not a part program: most of its lines are words and no blocks") : "";
}

FileText read_program(const std::filesystem::path& path) {
    host::FileRead read = path == "-" ? host::read_standard_input(largest_file_bytes)
                                      : host::read_file(path, largest_file_bytes);
    FileText program{std::move(read.bytes), std::move(read.problem)};
    if (program.problem.empty()) program.problem = why_not_text(program.text);
    return program;
}

std::shared_ptr<const shop::Shop> load_shop(const std::filesystem::path& path) {
    std::vector<shop::Problem> problems;
    shop::Shop shop = shop::parse_shop(read_settings(path, problems), path);
    shop.problems.insert(shop.problems.begin(), problems.begin(), problems.end());
    return std::make_shared<const shop::Shop>(std::move(shop));
}

shop::Job load_job(const std::filesystem::path& path, const shop::Shop& of) {
    std::vector<shop::Problem> problems;
    shop::Job job = shop::parse_job(read_settings(path, problems), path, of);
    job.problems.insert(job.problems.begin(), problems.begin(), problems.end());
    return job;
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
    return std::make_shared<const shop::Shop>(shop::with_job(*shop, load_job(beside, *shop)));
}

} // namespace turnwright::report

// What one open program calls in other files.
#pragma once

#include "features/program_files.h"

#include <map>
#include <memory>

namespace turnwright::protocol {

/// The library as one document sees it: its stamp moves only when a program that was looked for is another
/// one now, so that keys typed in one file cost the others nothing.
class CalledPrograms : public machine::ProgramLibrary {
public:
    explicit CalledPrograms(std::shared_ptr<const features::ProgramFiles> files) : files_(std::move(files)) {}

    std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const override;
    bool is_cut_short() const override { return files_ && files_->is_cut_short(); }
    std::shared_ptr<const syntax::Forest> find_file(const std::filesystem::path& path) const override;
    std::uint64_t stamp() const override;
    /// Whether anything outside of the document was ever looked for.
    bool was_asked() const { return !found_.empty() || !found_files_.empty(); }

private:
    std::shared_ptr<const features::ProgramFiles> files_;
    features::ProgramIndex::Flag told_ = std::make_shared<std::atomic<bool>>(false);
    mutable std::map<std::int32_t, std::shared_ptr<const syntax::Forest>> found_;
    mutable std::map<std::filesystem::path, std::shared_ptr<const syntax::Forest>> found_files_;
    mutable bool cut_short_ = false; ///< When it was asked last
    mutable std::uint64_t stamp_ = 1;
};

} // namespace turnwright::protocol

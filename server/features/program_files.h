// The part programs of some folders: what calls and renames across files may reach.
#pragma once

#include "features/document.h"
#include "features/program_index.h"

#include <map>
#include <mutex>
#include <span>

namespace turnwright::features {

/// True for the names that the trade gives part programs: .nc .cnc .tap .eia at the end, any case; O and a
/// number with no ending. `more`: further endings, in small letters.
bool is_program_name(const std::filesystem::path& path, std::span<const std::string> more = {});

/// Reads lazily and only inside its folders; links are not followed. Bounded: a folder of something else
/// neither hangs nor fills memory. Safe for several threads.
class ProgramFiles : public Workspace, public machine::ProgramLibrary {
public:
    static constexpr std::size_t most_files = 4000;
    static constexpr std::uintmax_t largest_file = 8u << 20;
    /// Looked through for the numbers of programs; what is called, or asked for as a whole, is kept.
    static constexpr std::uintmax_t most_bytes = 512u << 20, most_kept = 96u << 20;
    /// A line costs so much memory beside its bytes; files of hardly anything but line ends are counted by
    /// it.
    static constexpr std::uintmax_t bytes_of_a_line = 16;
    static constexpr int deepest_folder = 8;

    /// `endings`: of programs beside the usual ones. `most`: files read; a command over a whole library waits
    /// for more than an editor.
    void set_folders(const std::vector<std::filesystem::path>& folders, std::vector<std::string> endings = {},
                     std::size_t most = most_files);
    /// Text of an open document takes the place of its file until it is closed.
    void open(const std::filesystem::path& path, const text::Buffer& buffer, const syntax::Forest& forest);
    void close(const std::filesystem::path& path);
    /// Looks at the folders again when next asked; the stamp moves when files came, went or changed.
    void refresh();
    void bring_up_to_date() const { stamp(); }
    /// What it holds now, for work on another thread.
    std::shared_ptr<const machine::ProgramLibrary> as_it_is() const;
    /// Whether anybody has asked for `tell`: until then nothing hangs on what is open.
    bool is_listened_to() const;
    /// From now on `flag` is set as soon as the program with this number is another one, or the folders are.
    void tell(std::int32_t number, const ProgramIndex::Flag& flag) const;

    std::vector<WorkspaceFile> files() const override;
    std::shared_ptr<const syntax::Forest> find_program(std::int32_t number) const override;
    /// In its folders, or in one that `look_beside` named.
    std::shared_ptr<const syntax::Forest> find_file(const std::filesystem::path& path) const override;
    /// A folder whose files are found by their paths alone.
    void look_beside(const std::filesystem::path& folder);
    std::uint64_t stamp() const override;
    bool is_cut_short() const override;
    /// The file that holds a program, by O number or file name.
    std::optional<std::filesystem::path> file_of(std::int32_t number) const;

private:
    /// By where a file really lies: opened by its name and by a link it is one.
    struct Entry {
        WorkspaceFile file; ///< Of a file that nobody asked for yet its path alone
        /// What the index holds of it: of such a file the lines that may begin with a program's number.
        std::shared_ptr<const syntax::Forest> indexed;
        std::filesystem::path folder;
        std::filesystem::file_time_type changed{};
        std::uintmax_t size = 0, weight = 0;
        bool open = false;
    };
    using Entries = std::map<std::filesystem::path, Entry>;
    void read_folders() const;
    void put(Entries::iterator at, WorkspaceFile file, std::shared_ptr<const syntax::Forest> indexed) const;
    /// Read now if it was not before; nothing where no more is kept.
    const std::shared_ptr<const syntax::Forest>& whole(Entries::iterator at) const;
    void forget_whole(Entry& entry) const;
    void remove(Entries::iterator at) const;

    std::vector<std::filesystem::path> folders_, beside_;
    mutable std::map<std::filesystem::path, std::shared_ptr<const syntax::Forest>> found_beside_;
    std::vector<std::string> endings_;
    std::size_t most_ = most_files;
    mutable Entries entries_;
    mutable ProgramIndex index_;
    mutable bool looked_ = false, ever_looked_ = false; ///< Into these folders
    mutable bool cut_short_ = false;       ///< There is more than is looked through, or kept
    mutable std::uintmax_t kept_ = 0;      ///< Of files on the disk that were asked for
    mutable bool files_asked_for_ = false; ///< By their paths
    mutable std::uint64_t stamp_ = 1;
    mutable std::recursive_mutex mutex_;
};

} // namespace turnwright::features

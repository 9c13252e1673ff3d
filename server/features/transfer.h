// A program of one lathe written for another one of the shop file, and what a person must look at there.
#pragma once

#include "features/program_files.h"
#include "features/rewriting.h"

#include <functional>
#include <map>

namespace turnwright::features {

struct TransferRemark {
    enum class Sort : std::uint8_t {
        left,    ///< The block stays as it is written: what it would be on the other lathe is not known
        differs, ///< The block does something else there
        look,    ///< Out of the other lathe's reach, or to be thought of before it runs
    } sort = Sort::look;
    std::optional<std::size_t> line; ///< From 0, of the program as it was; none: the whole program
    std::string text;
    std::string called{}; ///< The called program in another file that the line is in; empty: this one
};
/// A program in another file that is written with the one that calls it, in the states that its calls give
/// it.
struct CalledProgram {
    std::int32_t number = 0;
    std::string name; ///< As remarks name it: "O0002.nc"
    std::string text; ///< The whole file; in a result as it is to be
};
struct TransferOrder {
    std::map<int, int> stations; ///< Station here -> station there; the others keep theirs
    bool keep_units = false; ///< Else the program goes into the unit that the other lathe is switched on in
    std::vector<CalledProgram> called{}; ///< All that are at hand
};
struct Transfer {
    std::string refused;                 ///< Why nothing was written; empty when something was
    std::string text;                    ///< The whole program
    std::vector<std::string> changes;    ///< What was written otherwise, in a few words each
    std::vector<TransferRemark> remarks; ///< By their lines
    std::vector<CalledProgram> called;   ///< In the order's order
    bool does_the_same() const;          ///< No block is left or differs
};
/// `from` and `to` are machines of the document's shop. A note at the head names the other lathe, so that the
/// program is read by its table from then on; blocks that are left or differ carry a note that says so.
/// Programs in other files are written when the order holds them.
Transfer transfer(const Document& document, const shop::Machine& from, const shop::Machine& to,
                  const TransferOrder& order = {});

/// A program in another file of its folders.
struct CalledFile {
    std::filesystem::path path;
    CalledProgram program;
};
/// The programs in other files that a program calls, and those that they call, each file once. `read` gives a
/// file's text; nullopt: it has none.
std::vector<CalledFile>
called_files(const Document& document, const ProgramFiles& beside,
             const std::function<std::optional<std::string>(const std::filesystem::path&)>& read);

/// For an editor: to the machine of that name with the programs that it calls, and with what is to be looked
/// at as `told`.
Rewrite transfer_to(const Document& document, std::string_view name, std::span<const CalledFile> called = {});
/// Numbers that blocks of a program call and that no program of its own file has, in order, each once.
std::vector<std::int32_t> called_elsewhere(const Document& document);
/// "Line 12: left as it is: M21 (chuck opens) has no like on long bed."
std::string remark_text(const TransferRemark& remark);

/// What a code of one machine is on another: "M60", "M03 M08".
struct Counterpart {
    std::string written;  ///< Empty: none
    std::string reason;   ///< Why there is none
    bool harmful = false; ///< With none: the number does something else there, as `reason` tells
};
/// `number` of a letter G or M in the system of `to`.
Counterpart counterpart_of(char letter, int number, const shop::Machine& from, const shop::Machine& to);

// --- Between the parts of it -----------------------------------------------------------------------------

/// The document's shop with this machine alone.
std::shared_ptr<const shop::Shop> shop_with_machine(const Document& document, const shop::Machine& machine);

/// Values without a point and in least increments, for a control that reads them otherwise.
Rewrite write_points(const Document& document, const shop::Machine& to, LeftBlocks& left);

struct WordsTransfer {
    const shop::Machine& to;
    const TransferOrder& order;
    LeftBlocks& left;
    std::vector<TransferRemark>& remarks;
    const machine::ProgramLibrary* library; ///< Of the program as it was; nullptr: none
    std::map<std::string, int> renamed{};   ///< "M21 is M60 (part catcher out)" -> how often
    bool names_machine = false;             ///< A note names the machine, now the other one
};
/// Codes of the builder, T words, the change position, arcs and compensation of a mirrored plane. The
/// document is in the system, unit and reading of X of `to`.
Rewrite transfer_words(const Document& document, WordsTransfer& work);

/// States in the head what `from` is switched on in and the other is not.
Rewrite state_power_on(const Document& document, const shop::Machine& to, std::string& stated);

/// Where the program does something else on the other lathe, block by block; the texts have the same lines.
void compare_lathes(const Document& here, const Document& there, const TransferOrder& order,
                    std::vector<TransferRemark>& remarks);
/// What the other lathe cannot do or does the other way.
void look_at_limits(const Document& here, const Document& there, std::vector<TransferRemark>& remarks);

/// Cycles that the other control has not as single moves, with the line that each new line was made of.
struct Unrolled {
    std::string text; ///< Empty: there was nothing to unroll
    std::vector<std::size_t> line_was;
    int cycles = 0;
};
/// `left` is by the lines of the new text.
Unrolled unroll_cycles(const Document& document, const std::vector<codes::Meaning>& lacks, LeftBlocks& left);

} // namespace turnwright::features

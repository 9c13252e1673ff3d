// To another lathe: the conversions of system, units and X one after the other, then the words that each
// lathe has its own of, then a look at every block on both.
#include "features/transfer.h"
#include "language/said.h"

#include "features/equal_moves.h"
#include "features/speech.h"
#include "features/word_edits.h"
#include "host/file.h"
#include "host/host.h"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <tuple>

namespace turnwright::features {

using Sort = TransferRemark::Sort;

std::shared_ptr<const shop::Shop> shop_with_machine(const Document& document, const shop::Machine& machine) {
    shop::Shop copy = document.shop();
    copy.machines.assign(1, machine);
    copy.for_job.clear();
    return std::make_shared<const shop::Shop>(std::move(copy));
}

bool Transfer::does_the_same() const {
    return std::none_of(remarks.begin(), remarks.end(),
                        [](const TransferRemark& remark) { return remark.sort != Sort::look; });
}

namespace {

class TransferMaker {
public:
    TransferMaker(const Document& document, const shop::Machine& from, const shop::Machine& to,
                  const TransferOrder& order)
        : document_(document), from_(from), to_(to), order_(order) {}

    Transfer make() {
        go_to(document_.buffer().whole(), from_, document_.library());
        name_systems();
        unroll();
        here_ = at_;
        points();
        system();
        units();
        x_reading();
        head();
        words();
        if (result_.refused.empty()) look();
        return std::move(result_);
    }
    /// The line that each new line was made of; empty: the lines are the same.
    const std::vector<std::size_t>& line_was() const { return line_was_; }

private:
    /// `library` for the first reading alone: called programs are written for the lathe that they were.
    void go_to(const std::string& text, shop::Machine machine,
               std::shared_ptr<const machine::ProgramLibrary> library = nullptr) {
        machine_ = std::move(machine);
        at_ = std::make_shared<const Document>(text, shop_with_machine(document_, machine_), document_.path(),
                                               std::move(library));
    }
    bool go_on(const Rewrite& rewrite, shop::Machine machine) {
        const bool changed = rewrite.done() && !rewrite.files.empty();
        go_to(changed ? edited(*at_, rewrite.files[0].edits) : at_->buffer().whole(), std::move(machine));
        return changed;
    }

    /// Both are known from here on; what a table leaves out is taken from the other side and told.
    void name_systems() {
        from_.system = at_->settings().system;
        if (!to_.system) {
            to_.system = from_.system;
            look_at(said("The shop file does not say which G-code system {} has: {} is taken, as here.",
                         to_.name, codes::system_letter(*to_.system)));
        }
        machine_ = from_;
    }

    void unroll() {
        Unrolled unrolled = unroll_cycles(*at_, to_.lacks, left_);
        line_was_ = std::move(unrolled.line_was);
        keep_left();
        if (unrolled.text.empty()) return;
        result_.changes.push_back(said("{} {} written as single moves", unrolled.cycles,
                                       unrolled.cycles == 1 ? said("cycle is") : said("cycles are")));
        go_to(unrolled.text, from_);
    }

    void points() {
        shop::Machine next = machine_;
        next.no_point = to_.no_point;
        next.least_increment_mm = to_.least_increment_mm;
        next.least_increment_inch = to_.least_increment_inch;
        if (go_on(write_points(*at_, next, left_), next))
            result_.changes.push_back(said("numbers without a decimal point"));
        keep_left();
    }

    void system() {
        if (*to_.system == *from_.system) return;
        shop::Machine next = machine_;
        next.system = to_.system;
        go_on(convert_system(*at_, *to_.system, &left_), next);
        result_.changes.push_back(said("G-code system {} to {}", codes::system_letter(*from_.system),
                                       codes::system_letter(*to_.system)));
        keep_left();
    }

    /// In whole or not at all: with the unit code changed, a block that is left would move by 25.4 times.
    void units() {
        if (order_.keep_units || !to_.units) return;
        const Rewrite rewrite = convert_units(*at_, *to_.units);
        if (go_on(rewrite, machine_) && !rewrite.told.empty()) look_at(rewrite.told);
        if (rewrite.done())
            result_.changes.push_back(said(
                "written in {}", *to_.units == codes::Meaning::inch ? said("inches") : said("millimetres")));
        else if (rewrite.refused != written_so_already())
            look_at(said("The program stays in its own unit. ") + rewrite.refused);
    }

    void x_reading() {
        if (to_.x == machine_.x) return;
        shop::Machine next = machine_;
        next.x = to_.x;
        const Rewrite rewrite = convert_x_reading(*at_, to_.x, &left_);
        go_on(rewrite, next);
        if (!rewrite.told.empty()) look_at(rewrite.told);
        result_.changes.push_back(to_.x == shop::XReading::diameter ? said("X as diameter")
                                                                    : said("X as radius"));
        keep_left();
    }

    void head() {
        std::string stated;
        const Rewrite rewrite = state_power_on(*at_, to_, stated);
        if (stated.empty()) return;
        go_on(rewrite, machine_);
        result_.changes.push_back(said("{} at the head: {} is switched on otherwise", stated, to_.name));
    }

    void words() {
        std::vector<TransferRemark> remarks;
        WordsTransfer work{to_, order_, left_, remarks, document_.library().get()};
        const Rewrite rewrite = transfer_words(*at_, work);
        if (!rewrite.done() && rewrite.refused != written_so_already()) {
            result_.refused = rewrite.refused;
            return;
        }
        go_on(rewrite, to_);
        names_machine_ = work.names_machine;
        for (TransferRemark& remark : remarks) add(std::move(remark));
        for (const auto& [change, count] : work.renamed)
            result_.changes.push_back(count == 1 ? change : said("{}, {} times", change, count));
        keep_left();
    }

    void look() {
        std::vector<TransferRemark> remarks;
        const Document here(here_->buffer().whole(), shop_with_machine(document_, from_), document_.path());
        compare_lathes(here, *at_, order_, remarks);
        look_at_limits(here, *at_, remarks);
        for (TransferRemark& remark : remarks) {
            // Of a block that is left nothing else is wanted.
            const bool known = remark.sort == Sort::differs && is_left(*remark.line);
            if (!known) add(std::move(remark));
        }
        std::stable_sort(result_.remarks.begin(), result_.remarks.end(),
                         [](const TransferRemark& a, const TransferRemark& b) { return a.line < b.line; });
        result_.text = with_notes();
    }

    /// The text with a note in every block that is not as it should be, and one that names the lathe.
    std::string with_notes() const {
        std::map<std::size_t, std::string> notes;
        if (!names_machine_ && to_.name.find_first_of("()") == std::string::npos)
            notes[head_line()] = fmt::format(" (MACHINE: {})", to_.name);
        for (const auto& [line, sort] : open_)
            notes[line] += sort == Sort::left ? " (TRANSFER: LEFT AS IT WAS)" : " (TRANSFER: DIFFERS)";
        std::vector<TextEdit> edits;
        for (const auto& [line, note] : notes) {
            const std::string text(at_->buffer().line(line));
            const bool open_note =
                text.rfind('(') != std::string::npos &&
                (text.rfind(')') == std::string::npos || text.rfind(')') < text.rfind('('));
            if (open_note) continue;
            std::size_t end = text.find_last_not_of(" \t\r\n;");
            end = end == std::string::npos ? 0 : end + 1;
            const Position at{static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(end)};
            edits.push_back({{at, at}, std::string(note)});
        }
        return edited(*at_, edits);
    }

    /// The program's number, or the first line that is no tape mark.
    std::size_t head_line() const {
        const auto& programs = at_->outline().programs;
        if (programs.empty()) return 0;
        const std::size_t line = at_->line_of(programs.front().first);
        const std::string text(at_->buffer().line(line));
        return text.find_first_not_of(" %\t\r\n") == std::string::npos ? line + 1 : line;
    }

    bool is_left(std::size_t line) const {
        const auto found = open_.find(line);
        return found != open_.end() && found->second == Sort::left;
    }

    void keep_left() {
        for (LeftBlock& block : left_) add({Sort::left, block.line, std::move(block.reason)});
        left_.clear();
    }
    void look_at(std::string text) { result_.remarks.push_back({Sort::look, std::nullopt, std::move(text)}); }
    /// Lines come as they stand in the text with its cycles unrolled.
    void add(TransferRemark remark) {
        if (remark.line) {
            if (remark.sort != Sort::look) open_.emplace(*remark.line, remark.sort);
            if (*remark.line < line_was_.size()) remark.line = line_was_[*remark.line];
        }
        result_.remarks.push_back(std::move(remark));
    }

    const Document& document_;
    shop::Machine from_, to_, machine_;
    const TransferOrder& order_;
    std::shared_ptr<const Document> at_;   ///< The program as far as it is written
    std::shared_ptr<const Document> here_; ///< As it was, with its cycles unrolled
    std::vector<std::size_t> line_was_;    ///< Of each line; empty: nothing was unrolled
    std::map<std::size_t, Sort> open_;     ///< Lines of blocks that are left or differ
    LeftBlocks left_;
    bool names_machine_ = false;
    Transfer result_;
};

/// The lines that are others, as one edit.
TextEdit edit_to(const Document& document, const std::string& text) {
    const std::string before = document.buffer().whole();
    std::size_t same = 0, end = 0;
    for (std::size_t i = 0; i < std::min(before.size(), text.size()) && before[i] == text[i]; ++i)
        if (before[i] == '\n') same = i + 1;
    const std::size_t most = std::min(before.size(), text.size()) - same;
    for (std::size_t i = 1; i <= most && before[before.size() - i] == text[text.size() - i]; ++i)
        if (before[before.size() - i] == '\n') end = i - 1;
    const auto line_at = [&](std::size_t byte) {
        return static_cast<std::uint32_t>(
            std::count(before.begin(), before.begin() + static_cast<std::ptrdiff_t>(byte), '\n'));
    };
    const Position from{line_at(same), 0};
    const Position to = end == 0 ? document.buffer().end() : Position{line_at(before.size() - end), 0};
    return {{from, to}, text.substr(same, text.size() - end - same)};
}

} // namespace

namespace {

std::vector<std::string_view> lines_in(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
        lines.push_back(text.substr(0, end));
        text.remove_prefix(end);
    }
    return lines;
}

bool is_blank_or_mark(std::string_view line) {
    return line.find_first_not_of("% \t\r\n") == std::string_view::npos;
}

/// A program with those that it calls behind it, as one file: each is then reached in the states of its
/// calls. Tape marks around each stay out of it.
class JoinedPrograms {
public:
    JoinedPrograms(const Document& document, const std::vector<CalledProgram>& called) {
        add({0, {}, document.buffer().whole()}, false);
        for (const CalledProgram& program : called) add(program, true);
    }

    std::string text;

    /// What was made of it, each in its own file again.
    void part(Transfer& made, const std::vector<std::size_t>& line_was, std::string_view note) const {
        std::vector<std::string> texts(parts_.size());
        std::size_t line = 0;
        for (const std::string_view each : lines_in(made.text)) {
            const std::size_t was = line_was.empty() ? line : line_was[std::min(line, line_was.size() - 1)];
            texts[part_of(was)] += each;
            ++line;
        }
        made.refused = with_own_line(std::move(made.refused));
        for (TransferRemark& remark : made.remarks) {
            if (!remark.line) {
                remark.text = with_own_line(std::move(remark.text));
                continue;
            }
            const std::size_t at = part_of(*remark.line);
            remark.line = *remark.line - parts_[at].first + parts_[at].head_lines - parts_[at].added;
            remark.called = parts_[at].name;
        }
        std::stable_sort(made.remarks.begin(), made.remarks.end(),
                         [](const TransferRemark& a, const TransferRemark& b) {
                             return std::tie(a.called, a.line) < std::tie(b.called, b.line);
                         });
        for (std::size_t i = 0; i < parts_.size(); ++i) {
            const Part& part = parts_[i];
            std::string& own = texts[i];
            if (part.added > 0) own.erase(0, std::min(own.find('\n'), own.size() - 1) + 1);
            if (part.ends_open && own.ends_with('\n')) own.pop_back();
            if (i > 0 && own.find("(MACHINE") == std::string::npos && !note.empty())
                own.insert(std::min(own.find_first_of("\r\n"), own.size()), note);
            own.insert(0, part.head);
            own += part.tail;
        }
        made.text = std::move(texts.front());
        for (std::size_t i = 1; i < parts_.size(); ++i)
            made.called.push_back({parts_[i].number, parts_[i].name, std::move(texts[i])});
    }

private:
    struct Part {
        std::int32_t number;
        std::string name, head, tail; ///< Tape marks and what stands behind the last
        std::size_t first = 0, head_lines = 0;
        std::size_t added = 0;  ///< A line with its number, where the file's name alone gives it
        bool ends_open = false; ///< The last line had no end
    };

    void add(const CalledProgram& program, bool is_called) {
        Part part{program.number, program.name, {}, {}, lines_, 0, 0, false};
        std::vector<std::string_view> lines = lines_in(program.text);
        std::size_t first = 0, end = lines.size();
        // What is told of the calling program names its lines as they are.
        while (is_called && first < end && is_blank_or_mark(lines[first])) part.head += lines[first++];
        part.head_lines = first;
        std::size_t begin = first;
        while (begin < end && is_blank_or_mark(lines[begin])) ++begin;
        for (std::size_t i = end; i-- > begin;)
            if (lines[i].starts_with('%')) {
                end = i;
                break;
            }
        for (std::size_t i = end; i < lines.size(); ++i) part.tail += lines[i];
        std::string own;
        for (std::size_t i = first; i < end; ++i) own += lines[i];
        const bool has_number = own.starts_with('O') || own.starts_with('o') || own.starts_with(':');
        if (is_called && !has_number) {
            own.insert(0, fmt::format("O{}\n", program.number));
            part.added = 1;
        }
        part.ends_open = !own.empty() && own.back() != '\n';
        if (part.ends_open) own += '\n';
        lines_ += static_cast<std::size_t>(std::count(own.begin(), own.end(), '\n'));
        text += own;
        parts_.push_back(std::move(part));
    }

    /// A reason that names a line of all of them: "Line 12: ..." names it in its own file.
    std::string with_own_line(std::string text) const {
        const std::string_view word = translated("Line ");
        const std::size_t at = text.find(word);
        std::size_t line = 0;
        if (at == text.npos) return text;
        const char* const begin = text.data() + at + word.size();
        const auto [end, failed] = std::from_chars(begin, text.data() + text.size(), line);
        if (failed != std::errc{} || line == 0 || line > lines_) return text;
        const Part& part = parts_[part_of(line - 1)];
        if (part.name.empty()) return text;
        const std::string own =
            said("{} line {}", readable(part.name), line - part.first + part.head_lines - part.added);
        return text.replace(at, static_cast<std::size_t>(end - text.data()) - at, own);
    }

    std::size_t part_of(std::size_t line) const {
        std::size_t part = parts_.size() - 1;
        while (part > 0 && line < parts_[part].first) --part;
        return part;
    }

    std::vector<Part> parts_;
    std::size_t lines_ = 0;
};

} // namespace

Transfer transfer(const Document& document, const shop::Machine& from, const shop::Machine& to,
                  const TransferOrder& order) {
    if (order.called.empty()) return TransferMaker(document, from, to, order).make();
    const JoinedPrograms joined(document, order.called);
    const Document all(joined.text, document.shop_pointer(), document.path(), document.library());
    TransferMaker maker(all, from, to, order);
    Transfer made = maker.make();
    const bool can_name = to.name.find_first_of("()") == std::string::npos;
    joined.part(made, maker.line_was(), can_name ? fmt::format(" (MACHINE: {})", to.name) : std::string());
    return made;
}

std::vector<std::int32_t> called_elsewhere(const Document& document) {
    std::vector<std::int32_t> numbers;
    const auto& programs = document.outline().programs;
    for (std::size_t run = 0; run < document.forest().size(); ++run)
        document.analysis().visit(run, [&](const machine::BlockView& view) {
            const machine::Value& target = view.reading.flow_target;
            if (!machine::calls_program(view.reading.flow) || !target.known() || target.number < 1 ||
                target.number >= 1e9)
                return;
            const auto number = static_cast<std::int32_t>(target.number);
            const bool here = std::any_of(programs.begin(), programs.end(),
                                          [&](const auto& program) { return program.number == number; });
            if (!here && std::find(numbers.begin(), numbers.end(), number) == numbers.end())
                numbers.push_back(number);
        });
    return numbers;
}

std::string remark_text(const TransferRemark& remark) {
    const std::string_view sort = remark.sort == Sort::left      ? said("left as it is: ")
                                  : remark.sort == Sort::differs ? said("does something else: ")
                                                                 : "";
    if (!remark.line) return std::string(sort) + remark.text;
    return said("{}ine {}: {}{}", remark.called.empty() ? "L" : readable(remark.called) + " l",
                *remark.line + 1, sort, remark.text);
}

std::vector<CalledFile>
called_files(const Document& document, const ProgramFiles& beside,
             const std::function<std::optional<std::string>(const std::filesystem::path&)>& read) {
    // Enough for any job; a chain of programs that is longer is no job's.
    constexpr std::size_t most_called = 100;
    std::error_code failed;
    const std::filesystem::path own = host::weakly_canonical(document.path(), failed);
    std::vector<CalledFile> files;
    std::vector<std::int32_t> wanted = called_elsewhere(document);
    for (std::size_t i = 0; i < wanted.size() && files.size() < most_called; ++i) {
        const auto path = beside.file_of(wanted[i]);
        if (!path || host::weakly_canonical(*path, failed) == own) continue;
        // Of one file with several programs it is written once.
        if (std::any_of(files.begin(), files.end(),
                        [&](const CalledFile& file) { return file.path == *path; }))
            continue;
        std::optional<std::string> text = read(*path);
        if (!text) continue;
        const Document called(*text, document.shop_pointer(), *path);
        for (const std::int32_t number : called_elsewhere(called))
            if (std::find(wanted.begin(), wanted.end(), number) == wanted.end()) wanted.push_back(number);
        files.push_back({*path, {wanted[i], host::shown_name(path->filename().string()), *std::move(text)}});
    }
    return files;
}

Rewrite transfer_to(const Document& document, std::string_view name, std::span<const CalledFile> called) {
    const shop::Machine* to = document.shop().machine_named(name);
    if (!to) return {{}, said("The shop file has no machine with the name {}.", readable(name))};
    const shop::Machine& from = document.settings().machine;
    if (from.name == to->name) return {{}, said("The program is for {} already.", to->name)};
    TransferOrder order;
    for (const CalledFile& file : called) order.called.push_back(file.program);
    const Transfer made = transfer(document, from, *to, order);
    if (!made.refused.empty()) return {{}, made.refused};
    Rewrite rewrite;
    rewrite.files.push_back({{}, {edit_to(document, made.text)}});
    std::string names;
    for (std::size_t i = 0; i < called.size() && i < made.called.size(); ++i) {
        const CalledFile& file = called[i];
        if (made.called[i].text == file.program.text) continue;
        const Document was(file.program.text, document.shop_pointer(), file.path);
        rewrite.files.push_back({file.path, {edit_to(was, made.called[i].text)}});
        names += (names.empty() ? "" : ", ") + readable(file.program.name);
    }
    if (!names.empty())
        rewrite.told = said("Written with it, as it calls them: {}. Other programs that call them find "
                            "them written for {}.{}",
                            names, readable(to->name), made.remarks.empty() ? "" : "\n");
    constexpr std::size_t most_told = 20;
    for (std::size_t i = 0; i < made.remarks.size() && i < most_told; ++i)
        rewrite.told += (i > 0 ? "\n" : "") + remark_text(made.remarks[i]);
    if (made.remarks.size() > most_told)
        rewrite.told +=
            said("\nand {} more: turnwright transfer lists them.", made.remarks.size() - most_told);
    return rewrite;
}

} // namespace turnwright::features

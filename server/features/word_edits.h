// The words of a program written anew, one by one, until one cannot be.
#pragma once

#include "features/block_at.h"
#include "features/rewriting.h"

#include <functional>

namespace turnwright::features {

/// Collects edits of words; the first reason against the whole is kept and ends it. With `left` a block
/// that has a reason against it stays as it is written and is listed there.
class WordEdits {
public:
    explicit WordEdits(const Document& document, LeftBlocks* left = nullptr)
        : document_(document), left_(left) {}

    /// Visits every block that holds words, in order, until one is refused.
    void each(const std::function<void(const machine::BlockView&)>& look);
    void each_in(BlockPlace first, BlockPlace last,
                 const std::function<void(const machine::BlockView&)>& look);

    void refuse(const machine::BlockView& view, std::string_view reason); ///< "Line 12: <reason>"
    void refuse(std::string reason);
    bool refused() const { return !refused_.empty(); }

    /// The word's letter stays, its number changes.
    void number(const machine::BlockView& view, const syntax::Item& item, std::string written);
    void word(const machine::BlockView& view, const syntax::Item& item, std::string written);
    /// A computed word reckons on: "X#1" by "/2" is "X[#1/2]".
    void computed(const machine::BlockView& view, const syntax::Item& item, std::string_view by);
    void remove(const machine::BlockView& view, const syntax::Item& item); ///< With the blanks behind it
    /// In front of the first word behind block delete and N.
    void insert(const machine::BlockView& view, std::string written);
    bool empty() const { return edits_.empty(); }

    /// Done when the program with these edits, read by `shop`, makes the same moves; where blocks may be left
    /// whoever asked looks at the moves.
    Rewrite finish(std::shared_ptr<const shop::Shop> shop) const;

private:
    Range range(const machine::BlockView& view, std::uint32_t begin, std::uint32_t end) const;
    void add(Range range, std::string text);

    const Document& document_;
    LeftBlocks* left_;
    std::vector<TextEdit> edits_;
    std::string refused_;
};

/// With a decimal point, at most `places` digits behind it: "40.", "0.25", "-12.5".
std::string with_point(double number, int places);
double rounded(double number, int places);
/// Decimals of a written length in the block's unit.
int places_in(const machine::BlockView& view);
/// A rapid, line, arc or thread: X and Z are its own end.
bool is_plain_move(machine::MotionKind kind);
/// Whether the block holds macro statements or computed values.
bool computes(const machine::BlockView& view);
/// Why computed words may not be reckoned on: the block reads or writes what the control itself holds in
/// lengths, or a variable that cannot be told. Empty: they may.
/// `letters`: of the words that would be; empty: any.
std::string why_not_reckoned(const machine::BlockView& view, std::string_view letters = {});
/// Why a word that is not in the reading matters: its variable is empty as far as blocks tell, so that it is
/// passed over, and the operator may have set it. Empty: no word of these letters is passed over.
std::string why_passed_over(const machine::BlockView& view, std::string_view letters);
/// Whether the values of a macro call go to a program of this document, which is written along with it.
bool calls_own_program(const Document& document, const machine::BlockView& view);
/// "Variables keep their numbers: 3 words take them /25.4."; empty for none.
std::string reckoned_text(std::size_t words, std::string_view by);

} // namespace turnwright::features

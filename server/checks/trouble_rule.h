// A rule that turns one kind of trouble with a block's path into a finding.
#pragma once

#include "checks/rule.h"

namespace turnwright::checks {

/// Blocks whose path is more than a straight line between two known points.
inline bool has_path_to_check(const BlockView& view) {
    using machine::MotionKind;
    const machine::Reading& reading = view.reading;
    switch (reading.motion) {
    case MotionKind::arc:
    case MotionKind::thread:
    case MotionKind::single_cycle:
    case MotionKind::drill_cycle:
    case MotionKind::contour_cycle:
    case MotionKind::peck_cycle:
    case MotionKind::thread_cycle:
        return true;
    case MotionKind::feed:
        for (const machine::Word& word : reading.words)
            if (word.after_comma || word.letter == 'R' || word.letter == 'C' || word.letter == 'I' ||
                word.letter == 'K' || word.letter == 'A')
                return true;
        [[fallthrough]];
    case MotionKind::rapid: {
        const machine::Modal& on = view.after.of(codes::Group::nose_compensation);
        const machine::Modal& was = view.before.of(codes::Group::nose_compensation);
        auto compensates = [](const machine::Modal& modal) {
            return modal.is(codes::Meaning::compensation_left) ||
                   modal.is(codes::Meaning::compensation_right);
        };
        return compensates(on) || compensates(was);
    }
    default:
        return reading.code(codes::Meaning::dwell) != nullptr;
    }
}

using TroubleText = std::string (*)(const motion::TroubleAt& trouble, const BlockView& view);

template <motion::Trouble kind, TroubleText text>
void report_troubles(const BlockView& view, Report& report) {
    if (!has_path_to_check(view)) return;
    for (const motion::TroubleAt& trouble : report.path(view).troubles) {
        if (trouble.trouble != kind || trouble.block != BlockPlace{view.run_index, view.block}) continue;
        const machine::Word* word = trouble.letter ? view.reading.word(trouble.letter) : nullptr;
        if (!word) word = view.reading.code(view.reading.motion_meaning);
        auto entry = word ? report.at(view, *word->item) : report.at(view);
        entry.message(text(trouble, view));
    }
}

/// A length of a trouble in the program's unit, with its unit: "0.5 mm".
inline std::string spoken_length(double mm, const machine::State& state) {
    bool inch = state.is(codes::Meaning::inch);
    return spoken(inch ? mm / motion::mm_per_inch : mm) + (inch ? " in" : " mm");
}

} // namespace turnwright::checks

// A rule that turns one kind of trouble with a block's path into a finding.
#pragma once

#include "checks/rule.h"

namespace turnwright::checks {

/// Blocks whose path is more than a straight line between two known points.
inline bool has_path_to_check(const BlockView& view) {
    using machine::MotionKind;
    const machine::Reading& reading = view.reading;
    if (machine::is_cycle(reading.motion) || reading.motion == MotionKind::arc ||
        reading.motion == MotionKind::thread)
        return true;
    if (reading.motion != MotionKind::feed) return reading.code(codes::Meaning::dwell) != nullptr;
    return std::any_of(reading.words.begin(), reading.words.end(), [](const machine::Word& word) {
        return word.after_comma || word.letter == 'R' || word.letter == 'C' || word.letter == 'I' ||
               word.letter == 'K' || word.letter == 'A';
    });
}

using TroubleText = std::string (*)(const motion::TroubleAt& trouble, const BlockView& view);

template <motion::Trouble kind, TroubleText text>
void report_troubles(const BlockView& view, Report& report) {
    if (!has_path_to_check(view)) return;
    // With J the plane is not that of turning, whatever is in force: arc_of_other_plane tells that.
    const bool of_arc = kind == motion::Trouble::arc_radius_mismatch || kind == motion::Trouble::zero_radius;
    if (of_arc && view.reading.has('J')) return;
    for (const motion::TroubleAt& trouble : report.path(view).troubles) {
        if (trouble.trouble != kind || trouble.block != BlockPlace{view.run_index, view.block}) continue;
        const machine::Word* word = trouble.letter ? view.reading.word(trouble.letter) : nullptr;
        if (!word) word = view.reading.code(view.reading.motion_meaning);
        auto entry = word ? report.at(view, *word->item) : report.at(view);
        entry.message(text(trouble, view));
    }
}

using NoseText = std::string (*)(const motion::TroubleAt& trouble, const Step& step);

/// Troubles of nose radius compensation, found along a whole sequence.
template <motion::Trouble kind, NoseText text>
void report_nose_troubles(const SequenceContext& context, Report& report) {
    for (const motion::TroubleAt& trouble : context.nose_troubles) {
        if (trouble.trouble != kind) continue;
        for (const Step& step : context.steps)
            if (step.place == trouble.block) report.at(step.place).message(text(trouble, step));
    }
}

/// A length of a trouble in the program's unit, with its unit: "0.5 mm"; "0.5" where nothing states it.
inline std::string spoken_length(double mm, const machine::Modal& units) {
    if (units.surely_unset()) return spoken(mm);
    bool inch = units.is(codes::Meaning::inch);
    return spoken(inch ? mm / motion::mm_per_inch : mm) + (inch ? " in" : " mm");
}
inline std::string spoken_length(double mm, const machine::State& state) {
    return spoken_length(mm, state.of(codes::Group::units));
}
inline std::string spoken_length(double mm, const Step& step) {
    return spoken_length(mm, step.of(codes::Group::units));
}

} // namespace turnwright::checks

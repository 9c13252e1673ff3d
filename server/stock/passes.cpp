#include "stock/passes.h"

#include "stock/follow.h"

namespace turnwright::stock {

PassesEnd follow_passes(const machine::Analysis& analysis, const shop::Shop& shop,
                        const ProgramCourse& course, std::size_t most, SeePass see, bool sees_flanks) {
    PassesEnd end;
    if (!course.setup) return end;
    Onlooker onlooker{std::move(see), {}, sees_flanks};
    Entering entering{std::make_shared<const Region>(raw_stock(*course.setup)), {}};
    RegionPointer fallen;
    std::size_t moves = 0;
    for (const SequenceCourse& sequence : course.sequences) {
        const std::size_t lines = lines_between(analysis, sequence.first, sequence.last) + 1;
        if (entering.profile && entering.held.lines_run >= lines) {
            entering.held.lines_run -= lines;
            continue;
        }
        // Nothing of it is followed; what was made before the program begins holds up nothing.
        const bool is_left_out = !sequence.in && sequence.stop != Stop::none &&
                                 sequence.stop != Stop::above && sequence.stop != Stop::taken_over;
        if (is_left_out) {
            end.stop = sequence.stop;
            end.at = sequence.first;
            return end;
        }
        if (sequence.in_by_both && sequence.in)
            entering.profile = sequence.in;
        else
            entering = turned_round_at(std::move(entering), *course.setup, sequence.first, fallen);
        if (!entering.profile) continue; // Made before the program begins
        Followed followed = follow_sequence(analysis, shop, *course.setup, entering, sequence.first,
                                            sequence.last, most - std::min(most, moves), &onlooker);
        moves += followed.moves;
        end.exact = end.exact && followed.course.exact;
        if (followed.course.stop != Stop::none) {
            end.stop = followed.course.stop;
            end.at = placed(analysis, sequence.first, followed.course.stopped_at);
            return end;
        }
        entering = {followed.course.out, followed.held};
        if (followed.course.fallen) fallen = followed.course.fallen;
    }
    return end;
}

} // namespace turnwright::stock

// Datum, machine datum, reference points, offsets set by the program, speed limit and work shift.
#include "codes/families.h"

namespace turnwright::codes {
namespace {
using Q = Quantity;
using M = Meaning;

constexpr WordUse data_words[] = {
    {'L', Q::count, false, "kind of data"},
    {'P', Q::offset_number, false, "offset or datum number"},
    {'X', Q::length_x, false, "offset in X"},
    {'Z', Q::length_z, false, "offset in Z"},
    {'Y', Q::length_z, false, "offset in Y"},
    {'U', Q::increment_x, false, "added to the offset in X"},
    {'W', Q::increment_z, false, "added to the offset in Z"},
    {'V', Q::increment_z, false, "added to the offset in Y"},
    {'R', Q::length, false, "nose radius"},
    {'C', Q::length, false, "added to the nose radius"},
    {'Q', Q::count, false, "tip direction, 0 to 9"},
};
constexpr WordUse return_a[] = {
    {'X', Q::length_x, false, "point on the way, X"},
    {'Z', Q::length_z, false, "point on the way, Z"},
    {'Y', Q::length_z, false, "point on the way, Y"},
    {'C', Q::angle, false, "angle on the way, C axis"},
    {'U', Q::increment_x, false, "distance to the point on the way, X"},
    {'W', Q::increment_z, false, "distance to the point on the way, Z"},
    {'V', Q::increment_z, false, "distance to the point on the way, Y"},
    {'H', Q::angle, false, "turn to the angle on the way, C axis"},
};
constexpr WordUse return_bc[] = {
    {'X', Q::length_x, false, "point on the way, X, or distance under G91"},
    {'Z', Q::length_z, false, "point on the way, Z, or distance under G91"},
    {'Y', Q::length_z, false, "point on the way, Y, or distance under G91"},
    {'C', Q::angle, false, "angle on the way, C axis, or turn under G91"},
};
constexpr WordUse second_a[] = {
    {'P', Q::count, false, "which point: 2, 3 or 4, and 2 when left out"},
    {'X', Q::length_x, false, "point on the way, X"},
    {'Z', Q::length_z, false, "point on the way, Z"},
    {'Y', Q::length_z, false, "point on the way, Y"},
    {'C', Q::angle, false, "angle on the way, C axis"},
    {'U', Q::increment_x, false, "distance to the point on the way, X"},
    {'W', Q::increment_z, false, "distance to the point on the way, Z"},
    {'V', Q::increment_z, false, "distance to the point on the way, Y"},
    {'H', Q::angle, false, "turn to the angle on the way, C axis"},
};
constexpr WordUse second_bc[] = {
    {'P', Q::count, false, "which point: 2, 3 or 4, and 2 when left out"},
    {'X', Q::length_x, false, "point on the way, X, or distance under G91"},
    {'Z', Q::length_z, false, "point on the way, Z, or distance under G91"},
    {'Y', Q::length_z, false, "point on the way, Y, or distance under G91"},
    {'C', Q::angle, false, "angle on the way, C axis, or turn under G91"},
};
constexpr WordUse point_a[] = {
    {'X', Q::length_x, false, "point in X"},
    {'Z', Q::length_z, false, "point in Z"},
    {'U', Q::increment_x, false, "distance in X"},
    {'W', Q::increment_z, false, "distance in Z"},
};
constexpr WordUse point_bc[] = {
    {'X', Q::length_x, false, "point in X, or distance under G91"},
    {'Z', Q::length_z, false, "point in Z, or distance under G91"},
};
constexpr WordUse measure_x_words[] = {{'X', Q::length_x, true, "position of the sensor in X"}};
constexpr WordUse measure_z_words[] = {{'Z', Q::length_z, true, "position of the sensor in Z"}};
constexpr WordUse limit_words[] = {{'S', Q::speed_rpm, true, "highest turns a minute"}};
constexpr WordUse shift_a[] = {
    {'X', Q::length_x, false, "what the present X is called"},
    {'Z', Q::length_z, false, "what the present Z is called"},
    {'Y', Q::length_z, false, "what the present Y is called"},
    {'C', Q::angle, false, "what the present angle of the C axis is called"},
    {'U', Q::increment_x, false, "shift in X"},
    {'W', Q::increment_z, false, "shift in Z"},
    {'V', Q::increment_z, false, "shift in Y"},
    {'H', Q::angle, false, "shift of the C axis"},
    {'S', Q::speed_rpm, false, "highest turns a minute, set as well"},
};
constexpr WordUse shift_bc[] = {
    {'X', Q::length_x, false, "what the present X is called"},
    {'Z', Q::length_z, false, "what the present Z is called"},
    {'Y', Q::length_z, false, "what the present Y is called"},
    {'C', Q::angle, false, "what the present angle of the C axis is called"},
    {'S', Q::speed_rpm, false, "highest turns a minute, set as well"},
};
constexpr WordUse local_words[] = {
    {'X', Q::length_x, false, "shift in X"},
    {'Z', Q::length_z, false, "shift in Z"},
    {'Y', Q::length_z, false, "shift in Y"},
    {'C', Q::angle, false, "shift of the C axis"},
};
constexpr WordUse machine_words[] = {
    {'X', Q::length_x, false, "position in X, machine datum"},
    {'Z', Q::length_z, false, "position in Z, machine datum"},
    {'Y', Q::length_z, false, "position in Y, machine datum"},
    {'C', Q::angle, false, "angle of the C axis, machine datum"},
};
constexpr WordUse extended_words[] = {{'P', Q::count, true, "number of the datum"}};

constexpr std::string_view check_text = "The slides go in rapid to the point, and the control alarms if that "
                                        "is not the reference point. Watch that "
                                        "tool offset and compensation are off, or the check fails.";
constexpr std::string_view return_text = "The slides go in rapid first to the written point and from there "
                                         "to the machine's reference point. Watch the "
                                         "point on the way: with U0 and W0 each axis leaves straight from "
                                         "where it stands, which in a bore hits the "
                                         "part unless Z goes first.";
constexpr std::string_view leave_text =
    "From the reference point the slides go in rapid by way of the last point on the way to the written "
    "point. "
    "Watch that this last point is the one you think, because any return since then has changed it.";
constexpr std::string_view second_text =
    "The slides go in rapid by way of the written point to the second, third or fourth reference point, "
    "often the "
    "place for tool change. Watch that the place depends on the machine's settings and that the way there is "
    "free.";
constexpr std::string_view limit_text =
    "The spindle is never asked for more than this speed while constant surface speed is on. Watch that it "
    "is "
    "given before the first surface speed and is no higher than chuck, jaws, part and bar can bear.";
constexpr std::string_view shift_text =
    "The present position gets the written numbers, or is shifted by them, and nothing moves. Watch that the "
    "whole program then depends on where the turret stood, so a restart in the middle can be wrong by any "
    "amount.";
constexpr std::string_view datum_text = "Positions are counted from this stored work datum from here on. "
                                        "Watch that the stored values belong to this "
                                        "job, and that the datum is named again after a restart.";

constexpr WordUse polygon_words[] = {
    {'P', Q::count, true, "turns of the main spindle"},
    {'Q', Q::count, true, "turns of the tool meanwhile, with sign"},
};
constexpr std::string_view preset_title = "Datum set back";
constexpr std::string_view preset_text = "Shifts made by hand or by a work shift are taken back, and the "
                                         "datum counts from the machine's own point "
                                         "again. Watch that positions after it are other numbers.";

constexpr Code position_rows[] = {
    {'G', 100, in_all, M::data_setting, "Set offsets from the program",
     "The program writes a tool offset, a datum or a setting into the control, with L and P saying which. "
     "Watch "
     "that it overwrites what the setter put in, and that the value stays after the program has ended.",
     data_words, practice},
    {'G',
     110,
     in_all,
     M::data_setting_off,
     "End of setting offsets",
     "Words are read as moves again after a stretch that wrote settings. Watch that it is there, since the "
     "blocks "
     "after it would otherwise be taken as settings.",
     {},
     practice},
    {'G', 270, in_a, M::reference_check, "Check of the reference point", check_text, point_a, practice},
    {'G', 270, in_bc, M::reference_check, "Check of the reference point", check_text, point_bc, practice},
    {'G', 280, in_a, M::reference_return, "Return to the reference point", return_text, return_a, practice},
    {'G', 280, in_bc, M::reference_return, "Return to the reference point", return_text, return_bc, practice},
    {'G', 290, in_a, M::reference_leave, "Leave the reference point", leave_text, point_a, practice},
    {'G', 290, in_bc, M::reference_leave, "Leave the reference point", leave_text, point_bc, practice},
    {'G', 300, in_a, M::reference_return_second, "Return to a further reference point", second_text, second_a,
     practice},
    {'G', 300, in_bc, M::reference_return_second, "Return to a further reference point", second_text,
     second_bc, practice},
    {'G', 360, in_all, M::automatic_offset_x, "Automatic tool offset in X",
     "The tool feeds onto the sensor in X and the control corrects the tool's offset by the difference. "
     "Watch that "
     "the sensor stands at the written place and that the tool is the right one, or it runs into it.",
     measure_x_words, practice},
    {'G', 370, in_all, M::automatic_offset_z, "Automatic tool offset in Z",
     "The tool feeds onto the sensor in Z and the control corrects the tool's offset by the difference. "
     "Watch that "
     "the sensor stands at the written place and that the tool is the right one, or it runs into it.",
     measure_z_words, practice},
    {'G', 500, in_a, M::speed_limit, "Speed limit", limit_text, limit_words, practice},
    {'G', 500, in_a, M::work_shift, "Work shift", shift_text, shift_a, practice},
    {'G', 920, in_bc, M::speed_limit, "Speed limit", limit_text, limit_words, practice},
    {'G', 920, in_bc, M::work_shift, "Work shift", shift_text, shift_bc, iso_6983},
    {'G', 520, in_all, M::local_datum, "Local datum",
     "All work datums are shifted by the written amounts until G52 is given with zeros. Watch that it is "
     "taken "
     "back before the end, or the next tool works in the wrong place.",
     local_words, practice},
    {'G', 530, in_all, M::machine_datum, "Move in the machine datum",
     "The positions of this block are counted from the machine datum, past any work datum. Watch that it "
     "holds for "
     "this block only and wants the rapid or feed code and absolute positions.",
     machine_words, practice},
    {'G', 540, in_all, M::datum_1, "Datum 1", datum_text, {}, iso_6983, true},
    {'G', 550, in_all, M::datum_2, "Datum 2", datum_text, {}, iso_6983},
    {'G', 560, in_all, M::datum_3, "Datum 3", datum_text, {}, iso_6983},
    {'G', 570, in_all, M::datum_4, "Datum 4", datum_text, {}, iso_6983},
    {'G', 580, in_all, M::datum_5, "Datum 5", datum_text, {}, iso_6983},
    {'G', 590, in_all, M::datum_6, "Datum 6", datum_text, {}, iso_6983},
    {'G', 541, in_all, M::datum_extended, "Further datum",
     "Positions are counted from the further work datum whose number is P. Watch that the control has that "
     "many, "
     "and that P is written in the same block.",
     extended_words, practice},
    {'G',
     502,
     in_all,
     M::polygon_off,
     "Polygon turning off",
     "The tool spindle no longer follows the main spindle. Watch that it stands after the last flat.",
     {},
     practice},
    {'G', 512, in_all, M::polygon_on, "Polygon turning",
     "The tool spindle turns in the ratio of P to Q with the main spindle and cuts flats in passing. Watch "
     "that "
     "both turn at a constant speed and that G50.2 ends it.",
     polygon_words, practice},
    {'G', 503, in_a, M::datum_preset, preset_title, preset_text, {}, practice},
    {'G', 921, in_bc, M::datum_preset, preset_title, preset_text, {}, practice},
};
} // namespace

std::span<const Code> position_codes() {
    return position_rows;
}

} // namespace turnwright::codes

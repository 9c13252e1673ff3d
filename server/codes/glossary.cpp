#include "codes/glossary.h"

#include "text/letters.h"

#include <algorithm>

namespace turnwright::codes {

namespace {

constexpr Term terms[] = {
    {"absolute", "incremental",
     "An absolute value is a place, counted from the part's zero. An incremental value is a distance, "
     "counted "
     "from where the tool stands now. In system A X and Z are places and U and W are distances; in B and C "
     "the codes G90 and G91 decide.",
     ""},
    {"allowance", "",
     "What roughing leaves on the part for the finish cut, usually a few tenths of a millimetre. On an "
     "outside "
     "diameter it has a plus, in a bore a minus.",
     ""},
    {"approach", "",
     "The way from the tool change to the first cut. It is made at rapid in two steps: first to a place well "
     "clear of the part, then close to it, so that a wrong offset shows while there is still room.",
     ""},
    {"block", "",
     "One line of a program. The control reads it as a whole, does what it says, and goes on to the next.",
     ""},
    {"block delete", "",
     "A switch at the machine. While it is on, blocks that begin with a slash are left out.", ""},
    {"burr", "", "The sharp rim that a cut leaves at an edge. A small chamfer in the program takes it off.",
     ""},
    {"chatter", "",
     "The tool or the part swings, and the surface shows waves. Less rpm, more feed, a shorter overhang, a "
     "smaller nose radius or a tailstock take it away.",
     ""},
    {"chips", "swarf",
     "What the tool takes off. Long ones wrap around the part and cut hands: stop the spindle, and take them "
     "with a hook, never by hand. More feed or less depth breaks them.",
     ""},
    {"compensation", "nose radius compensation",
     "With G41 or G42 the control shifts the tool by its nose radius, so that slopes and arcs come out as "
     "they "
     "are written. G41 puts the tool left of its path and G42 right of it, looking the way it goes. G40 "
     "switches it off again.",
     "glossary-compensation.svg"},
    {"constant surface speed", "surface speed",
     "The spindle turns faster on a small diameter and slower on a large one, so that the metal always "
     "passes "
     "the edge at the same speed. Without a limit it would turn without end at the centre, so a speed limit "
     "belongs to it.",
     "glossary-surface-speed.svg"},
    {"contour", "",
     "The line that the finished part has, as blocks one after another. Roughing cycles read it and cut down "
     "to it.",
     ""},
    {"cycle", "",
     "One or two blocks that make the machine do many moves, such as all passes of a thread or all roughing "
     "cuts down to a contour. It saves writing, and the moves are not seen in the text.",
     ""},
    {"datum", "part zero, zero",
     "The place from which X and Z are counted. X is zero on the centre line of the spindle; Z is zero "
     "mostly "
     "on the finished face of the part. G54 to G59 choose one of the datums that were set at the machine.",
     "glossary-axes.svg"},
    {"diameter programming", "",
     "X is written as the diameter that is cut, not as the distance from the centre: X40. stands 20 mm from "
     "the centre line. Some words, such as the depth of cut of a cycle, are on radius all the same.",
     "glossary-axes.svg"},
    {"dwell", "",
     "A wait. The slides stand still for the written time while the spindle goes on turning, for instance at "
     "the bottom of a groove, to make it round.",
     ""},
    {"feed", "",
     "How fast the tool moves while it cuts. By the turn it is a distance in each turn of the spindle; by "
     "the "
     "minute it does not depend on the spindle.",
     ""},
    {"G-code system", "system A, system B, system C",
     "Lathe controls give some numbers different meanings, in three sets called A, B and C. G90 is a turning "
     "cycle in A and absolute places in B and C, so a program for one of them can be dangerous on another.",
     ""},
    {"home", "reference point",
     "The place at the end of the axes where the machine finds its own zero. Tools are mostly changed there, "
     "because it is far from the part.",
     ""},
    {"infeed", "depth of cut",
     "How much deeper one pass goes than the one before it. In a thread each infeed is smaller than the "
     "last, "
     "because the edge cuts on more and more of its width.",
     "glossary-thread.svg"},
    {"knurl", "knurling",
     "A pattern of ridges that rolls press into the part for the grip. It is pressed and not cut: slow, with "
     "much coolant, and the diameter grows a little.",
     ""},
    {"lead", "pitch",
     "How far a thread goes along in one turn. With one start it is the same as the pitch, the distance from "
     "one crest to the next; with two starts it is twice that.",
     "glossary-thread.svg"},
    {"live tool", "",
     "A tool with a drive of its own, such as a drill for cross holes. It turns while the spindle stands "
     "still "
     "or is held at an angle.",
     ""},
    {"macro", "",
     "A program that reckons with variables, such as #101, and decides with IF and WHILE. One macro can make "
     "parts of many sizes.",
     ""},
    {"modal", "",
     "A modal code stays in force until another of its group takes its place. G01 written once holds for all "
     "moves after it. What is not modal acts in its own block alone.",
     ""},
    {"nose radius", "tip radius, tool nose",
     "The rounding at the tip of an insert, for instance 0.8 mm. The control counts from a tip that is "
     "sharp, "
     "so on slopes and arcs the rounded one leaves metal or takes too much, unless compensation is on.",
     "glossary-nose-radius.svg"},
    {"note", "", "Text in parentheses for people. The control does nothing with it.", ""},
    {"offset", "tool offset, wear",
     "What tells the control where the tip of a tool is. In T0303 the first 03 is the place in the turret "
     "and "
     "the second the number of the offset. A small change of it corrects a diameter that came out wrong.",
     ""},
    {"optional stop", "",
     "M01 stops the program only while a switch at the machine is on. It stands between tools, so that one "
     "can "
     "measure there.",
     ""},
    {"part-off", "parting, parting off, cut-off",
     "Cutting the finished part off the bar with a narrow blade that goes in along X to the centre or a "
     "little "
     "past it. Slower towards the middle, and something has to catch the part.",
     ""},
    {"pass", "", "One run of the tool along the part. A cycle makes as many as it needs.", ""},
    {"peck", "",
     "Drilling step by step: the drill goes some way, comes back to break or clear the chips, and goes on.",
     ""},
    {"rapid", "",
     "A move as fast as the machine can go, through the air only. Both axes may start together and the way "
     "is "
     "not always a straight line.",
     ""},
    {"restart", "",
     "Starting again in the middle of a program, for instance after a tool broke. It is safe only where the "
     "sequence gives all that it needs itself.",
     ""},
    {"roughing", "finishing",
     "Roughing takes most of the metal off, fast and not exact. Finishing takes the last thin cut, which "
     "makes "
     "the size and the surface.",
     ""},
    {"safety line", "",
     "A block at the start of each sequence that puts every mode to a known state, so that nothing is left "
     "over "
     "from before: units, datum, compensation off, cycle off, kind of feed.",
     ""},
    {"sequence", "",
     "All blocks of one tool, from its call to the stop after it. One starts again at a sequence.", ""},
    {"speed limit", "",
     "The most turns in a minute that the spindle may make under constant surface speed: G50 S in system A, "
     "G92 "
     "S in B and C. The grip of the jaws gets less with the square of the speed.",
     ""},
    {"spindle", "",
     "What turns the part. M03 turns it forward, M04 in reverse, M05 stops it. Which one is right for a tool "
     "depends on how the tool is mounted.",
     ""},
    {"stock", "blank",
     "The piece of metal before it is cut: diameter, length, and how far it stands out of the jaws.", ""},
    {"subprogram", "",
     "A program that another one calls with M98, once or many times. M99 at its end goes back to the block "
     "after the call.",
     ""},
    {"tailstock", "quill",
     "Holds the free end of a long part with a point in its centre. With it in place a tool may not go "
     "straight "
     "to the end of the part in Z.",
     ""},
    {"taper", "cone",
     "A part whose diameter grows along Z. On a drawing it stands as two diameters and a length, as an angle "
     "or as 1 in so many.",
     ""},
    {"turret", "station",
     "The wheel that holds the tools. Each place in it is a station, and T03 turns station 3 to the front.",
     ""},
    {"word", "", "A letter with a number, such as X40. or G01. Words make up a block.", ""},
};

std::string small(std::string_view text) {
    std::string out;
    for (const char c : text) out += c == '_' ? ' ' : text::lower(c);
    return out;
}

bool is_named(std::string_view names, std::string_view word) {
    while (!names.empty()) {
        const std::size_t comma = std::min(names.find(", "), names.size());
        if (small(names.substr(0, comma)) == word) return true;
        names.remove_prefix(std::min(comma + 2, names.size()));
    }
    return false;
}

} // namespace

std::span<const Term> glossary() {
    return terms;
}

const Term* find_term(std::string_view word) {
    const std::string wanted = small(word);
    for (const Term& term : terms)
        if (small(term.name) == wanted || is_named(term.also, wanted)) return &term;
    return nullptr;
}

std::string glossary_markdown() {
    std::string out =
        "# Words of the lathe\n\n"
        "The words that the warnings, the hover and the reports use, in plain words. "
        "`turnwright explain WORD` tells the same on the command line. In every picture Z goes to "
        "the right, away from the chuck, and X goes up.\n";
    for (const Term& term : terms) {
        out += "\n## " + std::string(term.name) + "\n\n" + std::string(term.text) + "\n";
        if (!term.also.empty()) out += "\nAlso: " + std::string(term.also) + ".\n";
        if (!term.picture.empty())
            out += "\n![" + std::string(term.name) + "](pictures/" + std::string(term.picture) + ")\n";
    }
    return out;
}

} // namespace turnwright::codes

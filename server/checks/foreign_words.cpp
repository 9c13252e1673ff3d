#include "checks/foreign_words.h"

namespace turnwright::checks {

using shop::ToolKind;

namespace {

struct KindFront {
    std::string_view front;
    ToolKind kind;
};
// Fronts of words of German, Spanish, French and Italian shops, and short ones; the longest that fits counts.
// Trade words, common practice, no source.
constexpr KindFront fronts[] = {
    {"ZENTRIER", ToolKind::centre_drill},
    {"ANBOHR", ToolKind::centre_drill},
    {"NC-ANBOHR", ToolKind::centre_drill},
    {"GEWINDEBOHR", ToolKind::tap},
    {"GEWINDESCHNEID", ToolKind::threading},
    {"GEWINDE", ToolKind::threading},
    {"INNENGEWINDE", ToolKind::threading}, // Inside by its own name
    {"INNENGEWINDEBOHR", ToolKind::tap},
    {"AUSSENGEWINDE", ToolKind::threading},
    {"SPIRALBOHR", ToolKind::drill},
    {"BOHRSTANGE", ToolKind::boring},
    {"BOHRSTAHL", ToolKind::boring},
    {"BOHRMEISSEL", ToolKind::boring},
    {"INNENSTAHL", ToolKind::boring},
    {"INNENMEISSEL", ToolKind::boring},
    {"BOHR", ToolKind::drill},
    {"U-DRILL", ToolKind::drill}, // With inserts
    {"UDRILL", ToolKind::drill},
    {"U-BOHR", ToolKind::drill},
    {"REIBAHLE", ToolKind::reamer},
    {"REIBEN", ToolKind::reamer},
    {"EINSTECH", ToolKind::grooving},
    {"EINSTICH", ToolKind::grooving},
    {"ABSTECH", ToolKind::parting},
    {"ABSTICH", ToolKind::parting},
    {"SCHRUPP", ToolKind::turning},
    {"SCHLICHT", ToolKind::turning},
    {"PLANDREH", ToolKind::turning},
    {"PLANEN", ToolKind::turning},
    {"INNENDREH", ToolKind::boring},
    {"AUSDREH", ToolKind::boring},
    {"RANDEL", ToolKind::knurl},
    {"RAENDEL", ToolKind::knurl},
    {"BROCA", ToolKind::drill},
    {"TALADR", ToolKind::drill},
    {"CENTRADO", ToolKind::centre_drill},
    {"PUNTEAD", ToolKind::centre_drill},
    {"MACHO", ToolKind::tap},
    {"MACHUEL", ToolKind::tap},
    {"ROSCA", ToolKind::threading},
    {"ESCARIA", ToolKind::reamer},
    {"RANURA", ToolKind::grooving},
    {"TRONZA", ToolKind::parting},
    {"DESBAST", ToolKind::turning},
    {"ACABAD", ToolKind::turning},
    {"CILINDR", ToolKind::turning},
    {"REFRENT", ToolKind::turning},
    {"MANDRINA", ToolKind::boring},
    {"MOLETE", ToolKind::knurl},
    {"MOLETAGE", ToolKind::knurl},
    {"FORET", ToolKind::drill},
    {"PERCAGE", ToolKind::drill},
    {"POINTAGE", ToolKind::centre_drill},
    {"CENTRAGE", ToolKind::centre_drill},
    {"TARAUD", ToolKind::tap},
    {"FILETAGE", ToolKind::threading},
    {"FILETER", ToolKind::threading},
    {"ALESOIR", ToolKind::reamer},
    {"ALESER", ToolKind::boring},
    {"ALESAGE", ToolKind::boring},
    {"GORGE", ToolKind::grooving},
    {"RAINUR", ToolKind::grooving},
    {"TRONCONN", ToolKind::parting},
    {"EBAUCHE", ToolKind::turning},
    {"FINITION", ToolKind::turning},
    {"CHARIOT", ToolKind::turning},
    {"DRESSAGE", ToolKind::turning},
    {"FORATURA", ToolKind::drill},
    {"CENTRINO", ToolKind::centre_drill},
    {"MASCHI", ToolKind::tap},
    {"FILETTA", ToolKind::threading},
    {"ALESATOR", ToolKind::reamer},
    {"ALESATURA", ToolKind::boring},
    {"BARENO", ToolKind::boring},
    {"GOLA", ToolKind::grooving},
    {"GOLE", ToolKind::grooving},
    {"SCANALATUR", ToolKind::grooving},
    {"TRONCATURA", ToolKind::parting},
    {"SGROSSA", ToolKind::turning},
    {"FINITURA", ToolKind::turning},
    {"SFACCIA", ToolKind::turning},
    {"TORNITURA", ToolKind::turning},
    {"ZIGRINA", ToolKind::knurl},
    {"KNURL", ToolKind::knurl},
    {"MOLETTE", ToolKind::knurl},
    {"MOLETTAGE", ToolKind::knurl},
    {"GODRON", ToolKind::knurl},
    {"PUNTA", ToolKind::drill},
    {"FILET", ToolKind::threading},
    {"FILETTO", ToolKind::threading},
    {"TRAPEZ", ToolKind::threading},
    {"TRONCA", ToolKind::parting},
    {"STECHE", ToolKind::grooving},
    {"NUTSTAHL", ToolKind::grooving},
    {"NUTENSTAHL", ToolKind::grooving},
    {"PLANEINSTICH", ToolKind::face_grooving},
    {"PLANEINSTECH", ToolKind::face_grooving},
    {"PLANSTECH", ToolKind::face_grooving},
    {"AXIALEINST", ToolKind::face_grooving},
    {"AXIALSTECH", ToolKind::face_grooving},
    {"STECHPLATTE", ToolKind::grooving},
    {"GRV", ToolKind::grooving},
    {"LAMA", ToolKind::grooving},
    {"THD", ToolKind::threading},
    {"DRL", ToolKind::drill},
    {"MECHE", ToolKind::drill},
    {"STECHSTAHL", ToolKind::grooving},
    {"STECHMEISSEL", ToolKind::grooving},
};

// Ends of German words that are put together: "WENDEPLATTENBOHRER", "MASCHINENREIBAHLE".
constexpr KindFront ends[] = {
    {"GEWINDEBOHRER", ToolKind::tap},
    {"BOHRER", ToolKind::drill},
    {"REIBAHLE", ToolKind::reamer},
};

} // namespace

bool centres(std::string_view word) {
    for (const std::string_view known :
         {"CENTRER", "CENTRO", "CENTROS", "CENTRAR", "CENTRARE", "CENTRI", "POINTER", "PUNTEAR"})
        if (word == known) return true;
    return false;
}

bool joins_tool(std::string_view word) {
    return word == "WITH" || word == "MIT" || word == "CON" || word == "AVEC";
}

bool denies(std::string_view word) {
    for (const std::string_view known : {"NO", "WITHOUT", "OHNE", "KEIN", "KEINE", "SIN", "SANS", "SENZA"})
        if (word == known) return true;
    return false;
}

ToolKind foreign_kind(std::string_view word) {
    if (word == "MECHE") return ToolKind::drill; // Of French; MECHANISM is none
    const KindFront* best = nullptr;
    for (const KindFront& known : fronts)
        if (word.starts_with(known.front) && (!best || known.front.size() > best->front.size()))
            best = &known;
    for (const KindFront& known : ends)
        if (word.ends_with(known.front) && (!best || known.front.size() > best->front.size())) best = &known;
    return best ? best->kind : ToolKind::unknown;
}

} // namespace turnwright::checks

#include "report/page_words.hpp"

namespace tracehold {
namespace {

constexpr PageWords kEnglish = {
    .skip = "Skip to the content",
    .chart_numbers = "The figures of this chart",
    .work = "work window (cue to contract until cue to relax)",
    .found = "contraction found (no cue is known)",
    .masked = "masked: no valid signal",
    .mask_begins = "masked from here",
    .mask_ends = "masked up to here",
    .unseen = "asked for, no contraction seen",
    .onset = "onset",
    .release = "end of the contraction",
    .threshold = "threshold",
    .target = "target",
    .highest_lowest = "envelope, highest and lowest of each stretch",
    .row_of = "{} to {} s, row {} of {}",
    .time_axis = "time from the start of the recording",
    .time = "Time",
    .what = "What",
    .envelope = "Envelope",
    .contract_cue = "cue to contract",
    .relax_cue = "cue to relax",
    .week = "Week of",
    .done = "Done",
    .done_of_planned = "Done of planned",
    .counting = "Contractions that count",
    .not_given = "not given",
    .source = "Source:",
    .days = {"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"},
    .months = {"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"},
    .day_month = "{0} {1}",
    .day_month_year = "{0} {1} {2}",
    .decimal_mark = ".",
};

constexpr PageWords kGerman = {
    .skip = "Zum Inhalt springen",
    .chart_numbers = "Die Zahlen dieses Diagramms",
    .work = "Arbeitszeit (vom Signal zum Anspannen bis zum Signal zum Loslassen)",
    .found = "gefundene Anspannung (kein Signal bekannt)",
    .masked = "ausgeblendet: kein gültiges Signal",
    .mask_begins = "ab hier ausgeblendet",
    .mask_ends = "bis hier ausgeblendet",
    .unseen = "Anspannung verlangt, keine erkannt",
    .onset = "Beginn",
    .release = "Ende der Anspannung",
    .threshold = "Schwelle",
    .target = "Ziel",
    .highest_lowest = "Hüllkurve, Höchst- und Tiefstwert jedes Abschnitts",
    .row_of = "{} bis {} s, Zeile {} von {}",
    .time_axis = "Zeit ab Beginn der Aufnahme",
    .time = "Zeit",
    .what = "Was",
    .envelope = "Hüllkurve",
    .contract_cue = "Signal zum Anspannen",
    .relax_cue = "Signal zum Loslassen",
    .week = "Woche vom",
    .done = "Geübt",
    .done_of_planned = "Geübt von geplant",
    .counting = "Gezählte Anspannungen",
    .not_given = "nicht angegeben",
    .source = "Quelle:",
    .days = {"Mo", "Di", "Mi", "Do", "Fr", "Sa", "So"},
    .months = {"1.", "2.", "3.", "4.", "5.", "6.", "7.", "8.", "9.", "10.", "11.", "12."},
    .day_month = "{0}.{1}",
    .day_month_year = "{0}.{1}{2}",
    .decimal_mark = ",",
};

constexpr PageWords kFrench = {
    .skip = "Aller au contenu",
    .chart_numbers = "Les chiffres de ce graphique",
    .work = "temps de travail (du signal de contraction au signal de relâchement)",
    .found = "contraction trouvée (aucune consigne connue)",
    .masked = "masqué : pas de signal valable",
    .mask_begins = "masqué à partir d'ici",
    .mask_ends = "masqué jusqu'ici",
    .unseen = "contraction demandée, non détectée",
    .onset = "début",
    .release = "fin de la contraction",
    .threshold = "seuil",
    .target = "objectif",
    .highest_lowest = "enveloppe, valeurs la plus haute et la plus basse de chaque intervalle",
    .row_of = "{} à {} s, ligne {} sur {}",
    .time_axis = "temps depuis le début de l'enregistrement",
    .time = "Temps",
    .what = "Quoi",
    .envelope = "Enveloppe",
    .contract_cue = "signal de contraction",
    .relax_cue = "signal de relâchement",
    .week = "Semaine du",
    .done = "Faites",
    .done_of_planned = "Faites sur prévues",
    .counting = "Contractions comptées",
    .not_given = "non donné",
    .source = "Source :",
    .days = {"lun.", "mar.", "mer.", "jeu.", "ven.", "sam.", "dim."},
    .months = {"janv.", "févr.", "mars", "avr.", "mai", "juin", "juil.", "août", "sept.", "oct.", "nov.", "déc."},
    .day_month = "{0} {1}",
    .day_month_year = "{0} {1} {2}",
    .decimal_mark = ",",
};

}  // namespace

const PageWords& page_words(std::string_view language) {
    if (language.starts_with("de")) return kGerman;
    if (language.starts_with("fr")) return kFrench;
    return kEnglish;
}

}  // namespace tracehold

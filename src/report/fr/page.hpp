#pragma once
// What stands around the content of any page.
#include "report/page_words.hpp"

namespace tracehold {

inline constexpr PageWords kPageFr = {
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
    .all_two = {{{"les 2 ", "les deux "}}},
};

}  // namespace tracehold

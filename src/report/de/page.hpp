#pragma once
// What stands around the content of any page.
#include "report/page_words.hpp"

namespace tracehold {

inline constexpr PageWords kPageDe = {
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
    .all_two = {{{"alle 2 ", "beide "}, {"Alle 2 ", "Beide "}, {"allen 2 ", "beiden "}}},
};

}  // namespace tracehold

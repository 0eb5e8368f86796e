#pragma once
// What stands around the content of any page.
#include "report/page_words.hpp"

namespace tracehold {

inline constexpr PageWords kPageEn = {
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
    .all_two = {{{"all 2 ", "both "}}},
};

}  // namespace tracehold

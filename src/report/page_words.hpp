#pragma once
// The fixed words of a page that belong to no Report: what a reader of any page meets around its content.
#include <array>
#include <string_view>

namespace tracehold {

// "all 2 " is said as "both ".
struct AllTwo {
    std::string_view all, both;
};

// {} stands for a figure. German and French were not reviewed by a clinician.
struct PageWords {
    std::string_view skip;           // to the content
    std::string_view chart_numbers;  // opens the table of a chart
    std::string_view work, found, masked, mask_begins, mask_ends, unseen, onset, release, threshold, target;
    std::string_view highest_lowest;  // of a line that is drawn as an area
    std::string_view row_of;          // a long trace in rows
    std::string_view time_axis;       // from the start of the recording
    std::string_view time, what, envelope, contract_cue, relax_cue;
    std::string_view week, done, done_of_planned, counting;
    std::string_view not_given;  // for those who hear a dash
    std::string_view source;
    std::array<std::string_view, 7> days;     // Monday first
    std::array<std::string_view, 12> months;  // as short as people write them beside a day
    std::string_view day_month;               // {0} the day, {1} the month
    std::string_view day_month_year;          // ... {2} the year
    std::string_view decimal_mark;
    std::array<AllTwo, 3> all_two;
};

// English for any language that is not there.
const PageWords& page_words(std::string_view language);

}  // namespace tracehold

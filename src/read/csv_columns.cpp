#include "read/csv_columns.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "read/csv_dialect.hpp"
#include "read/decimal.hpp"
#include "read/text_cell.hpp"
#include "read/voltage_unit.hpp"

namespace tracehold {
namespace {

using Words = std::initializer_list<std::string_view>;

bool contains_any(std::string_view text, Words words) {
    return std::any_of(words.begin(), words.end(),
                       [&](auto word) { return text.find(word) != std::string_view::npos; });
}

// Words of the trade in the three languages of the program.
bool is_time_word(std::string_view name) {
    return is_one_of(
        name, {"time", "t", "timestamp", "timestamps", "time stamp", "clock", "datetime", "date time", "date/time",
               "elapsed", "elapsed time", "zeit", "zeitstempel", "uhrzeit", "temps", "heure", "horodatage"});
}
bool is_day_word(std::string_view name) { return is_one_of(name, {"date", "day", "datum"}); }
bool is_counter_word(std::string_view name) {
    return is_one_of(name, {"sample", "samples", "sample number", "sample no", "index", "n", "no", "no.", "nr", "nr.",
                            "#", "row", "frame", "counter"});
}
bool is_marker_word(std::string_view name) {
    return is_one_of(name, {"marker",   "markers",  "mark",   "marks",     "event",      "events",      "cue",
                            "cues",     "phase",    "phases", "trigger",   "annotation", "annotations", "label",
                            "comment",  "state",    "task",   "work/rest", "work",       "marke",       "markierung",
                            "ereignis", "marqueur", "repère", "évènement", "événement"});
}
bool is_count_unit(std::string_view unit) {
    return is_one_of(unit, {"counts", "count", "adc", "lsb", "digits", "a.u.", "au"});
}

bool is_known_unit(std::string_view unit) {
    return microvolts_per(unit) || seconds_per(unit) > 0.0 || is_other_unit(unit);
}

struct NameParts {
    std::string label;
    std::string unit;
    std::string unit_above = {};
};

// 'EMG (uV)', 'EMG [µV]', 'emg_mV', 'emg mV', 'EMG/uV', 'mV'. In brackets at the end any word is a unit, elsewhere only
// known ones.
NameParts split_name(std::string_view name) {
    name = trimmed(name);
    if (!name.empty() && (name.back() == ')' || name.back() == ']')) {
        const std::size_t open = name.rfind(name.back() == ')' ? '(' : '[');
        if (open != std::string_view::npos) {
            std::string_view label = trimmed(name.substr(0, open));
            while (label.ends_with('_')) label.remove_suffix(1);
            return {std::string(label), std::string(trimmed(name.substr(open + 1, name.size() - open - 2)))};
        }
    }
    if (is_known_unit(name) && lower_case(name) != "min") return {"", std::string(name)};
    const std::size_t word = name.find_last_of("_ ");
    const bool with_slash = word != std::string_view::npos && is_other_unit(name.substr(word + 1));
    const std::size_t cut = with_slash ? word : name.find_last_of("_ /");
    const bool unit_behind = cut != std::string_view::npos && cut > 0 && is_known_unit(name.substr(cut + 1));
    if (!unit_behind) return {std::string(name), ""};
    return {std::string(trimmed(name.substr(0, cut))), std::string(name.substr(cut + 1))};
}

bool same_unit(std::string_view a, std::string_view b) {
    return (seconds_per(a) > 0.0 && seconds_per(a) == seconds_per(b)) || (microvolts_per(a) && microvolts_per(a) == microvolts_per(b));
}

// 'EMG (uV) [uV]': a name that has its unit already, over a row of units.
NameParts parts_of(std::string_view name) {
    NameParts parts = split_name(name);
    if (!is_known_unit(parts.unit) || is_known_unit(parts.label)) return parts;
    NameParts above = split_name(parts.label);
    const bool same = same_unit(above.unit, parts.unit), two = microvolts_per(above.unit) && microvolts_per(parts.unit);
    if (same || two) return {above.label, parts.unit, same ? std::string() : above.unit};
    return parts;
}

// With a blank before and behind each word.
std::string words_of(std::string_view lower) {
    std::string words(lower);
    std::replace_if(
        words.begin(), words.end(), [](char c) { return c == '_' || c == '-' || c == '(' || c == '['; }, ' ');
    return " " + words + " ";
}

bool is_envelope_name(std::string_view lower) {
    if (contains_any(lower, {"envelope", "rectified", "hüllkurve", "enveloppe"})) return true;
    return contains_any(words_of(lower), {" rms ", " env "});
}

bool is_other_quantity(std::string_view lower) {
    if (contains_any(words_of(lower), {" acc ", " accx ", " accy ", " accz "})) return true;
    return contains_any(lower, {"angle", "force", "torque", "pressure", "temperature", "accel", "gyro", "goniometer",
                                "winkel", "druck", "kraft", "pression"});
}

CsvColumn value_column(const NameParts& parts, std::string_view name) {
    const std::string lower = lower_case(name);
    CsvColumn column{.role = ColumnRole::value, .label = parts.label, .unit = parts.unit, .unit_above = parts.unit_above};
    if (is_count_unit(lower_case(parts.unit))) return column;  // a voltage of unknown size
    if (lower_case(parts.unit) == "raw") column.unit.clear();  // no unit at all
    column.voltage = column.unit.empty() ? !is_other_quantity(lower) : microvolts_per(parts.unit).has_value();
    column.envelope = column.voltage && is_envelope_name(lower);
    return column;
}

CsvColumn named_column(std::string_view name, ColumnLook look) {
    const NameParts parts = parts_of(name);
    const std::string word = lower_case(parts.label);
    const bool time_unit = seconds_per(parts.unit) > 0.0;
    const bool cells_fit = look == ColumnLook::number || look == ColumnLook::stamp;
    if (cells_fit && (is_time_word(word) || (word.empty() && time_unit))) {
        return {
            .role = ColumnRole::time, .label = parts.label, .unit = parts.unit, .stamps = look == ColumnLook::stamp};
    }
    if (look == ColumnLook::stamp && is_day_word(word)) return {.role = ColumnRole::day, .label = parts.label};
    if (look == ColumnLook::stamp) return {.role = ColumnRole::time, .label = parts.label, .stamps = true};
    if (is_marker_word(word)) return {.role = ColumnRole::marker, .label = parts.label};
    if (look == ColumnLook::word) return {.role = ColumnRole::marker, .label = parts.label};
    if (is_counter_word(word) && parts.unit.empty()) {
        return {.role = ColumnRole::ignored, .label = parts.label, .why_ignored = "it counts rows and is no signal"};
    }
    if (look == ColumnLook::empty && name.empty()) return {.role = ColumnRole::ignored};
    return value_column(parts, name);
}

// Steps of the numbers in a column over the sampled rows; empty if one of them is no number.
std::vector<double> steps_of(const CsvLayout& layout, std::size_t column) {
    std::vector<double> steps;
    std::optional<double> last;
    for (const SampleLine& row : layout.rows) {
        const auto cells = cells_of(row.text, layout.delimiter);
        const auto value = cells.size() > column ? decimal_value(cells[column].text, layout.decimal) : std::nullopt;
        if (!value) continue;
        if (last) steps.push_back(*value - *last);
        last = value;
    }
    return steps;
}

enum class Rise { uneven, even, by_ones };

// Even: at least 19 of 20 steps within a half of the median step, all forward (a tremor of the clock is no signal, a
// gap here and there is no tremor).
Rise rise_of(std::vector<double> steps) {
    if (steps.size() < 3 || *std::min_element(steps.begin(), steps.end()) <= 0.0) return Rise::uneven;
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    const double median = *middle;
    const auto even = [&](double step) { return std::abs(step - median) <= 0.5 * median; };
    const auto count = static_cast<std::size_t>(std::count_if(steps.begin(), steps.end(), even));
    if (20 * count < 19 * steps.size()) return Rise::uneven;
    return median == 1.0 ? Rise::by_ones : Rise::even;
}

const CsvColumn kCounter{.role = ColumnRole::ignored,
                         .why_ignored = "it counts 0, 1, 2 without a unit, which tells no rate"};

// Keeps the first time column and the first day column; a first column that rises evenly becomes the time if there is
// none.
void settle_time(std::vector<CsvColumn>& columns, const CsvLayout& layout) {
    bool time = false, day = false;
    for (CsvColumn& column : columns) {
        bool* const taken = column.role == ColumnRole::time ? &time : column.role == ColumnRole::day ? &day : nullptr;
        if (taken && *taken)
            column = {.role = ColumnRole::ignored,
                      .label = column.label,
                      .why_ignored = "the time is taken from an earlier column"};
        if (taken) *taken = true;
    }
    if (columns.size() < 2) return;
    CsvColumn& first = columns[0];
    const bool unnamed = !time && first.role == ColumnRole::value && first.unit.empty() && !first.envelope;
    const bool plain_time = first.role == ColumnRole::time && first.unit.empty() && !first.stamps;
    if (!unnamed && !plain_time) return;
    const Rise rise = rise_of(steps_of(layout, 0));
    const std::string label = first.label;
    if (rise == Rise::by_ones) first = kCounter;
    if (rise == Rise::even) first = {.role = ColumnRole::time};
    first.label = label;
}

}  // namespace

bool is_other_unit(std::string_view unit) {
    return is_one_of(lower_case(trimmed(unit)),
                     {"deg", "degree", "degrees", "rad", "nm", "kg", "mmhg", "kpa", "hpa", "cmh2o", "bpm", "hz", "pct", "%",
                      "\xC2\xB0",
                      "\xC2\xB0"
                      "c",
                      "g", "mg", "m/s2", "m/s^2", "m/s\xC2\xB2", "ua", "ma", "ohm", "kohm"});
}

double seconds_per(std::string_view unit) {
    const std::string name = lower_case(trimmed(unit));
    if (is_one_of(name, {"s", "sec", "secs", "second", "seconds"})) return 1.0;
    if (is_one_of(name, {"ms", "msec", "millisecond", "milliseconds"})) return 1e-3;
    if (is_one_of(name, {"us", "\xC2\xB5s", "\xCE\xBCs", "usec", "microsecond", "microseconds"})) return 1e-6;
    if (is_one_of(name, {"min", "minute", "minutes"})) return 60.0;
    return 0.0;
}

bool is_time_name(std::string_view name) {
    const NameParts parts = split_name(name);
    const std::string word = lower_case(parts.label);
    return is_time_word(word) || (word.empty() && seconds_per(parts.unit) > 0.0);
}

bool names_a_voltage(std::string_view name) {
    return microvolts_per(split_name(name).unit).has_value() || contains_any(lower_case(name), {"emg"});
}

std::string bare_unit(std::string_view text) {
    text = trimmed(text);
    const bool brackets = text.size() >= 2 &&
                          ((text.front() == '[' && text.back() == ']') || (text.front() == '(' && text.back() == ')'));
    return std::string(brackets ? trimmed(text.substr(1, text.size() - 2)) : text);
}

bool is_unit_text(std::string_view text) { return is_known_unit(bare_unit(text)); }

std::vector<CsvColumn> name_columns(const CsvLayout& layout) {
    std::vector<CsvColumn> columns;
    for (std::size_t c = 0; c < layout.width; ++c) {
        columns.push_back(named_column(layout.names.empty() ? "" : layout.names[c], layout.looks[c]));
    }
    settle_time(columns, layout);
    return columns;
}

}  // namespace tracehold

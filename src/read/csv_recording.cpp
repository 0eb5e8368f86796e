// CSV recordings: text -> layout -> columns -> rows -> even axis -> channels and marks.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "read/csv_channels.hpp"
#include "read/csv_clock.hpp"
#include "read/csv_clock_change.hpp"
#include "read/csv_columns.hpp"
#include "read/csv_dialect.hpp"
#include "read/csv_layout.hpp"
#include "read/csv_rows.hpp"
#include "read/csv_sayings.hpp"
#include "read/decimal.hpp"
#include "read/text_encoding.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/read/read_recording.hpp"

namespace tracehold {
namespace {

struct Reading {
    const std::string& source;
    const ReadSettings& settings;
    CsvLayout layout;
    CsvSayings sayings;
    std::vector<CsvColumn> columns;
    std::vector<ColumnUnit> units;
    CsvRows rows;
};

struct Timing {
    Hertz rate{1.0};
    double tolerance = 0.0;                   // of the rate, relative, as in EvenAxis
    std::vector<TimeJump> jumps;
    std::vector<std::size_t> missing_before;  // of each jump: samples missing at the jumps before it
};

void append(std::vector<Note>& notes, const std::vector<Note>& more) {
    notes.insert(notes.end(), more.begin(), more.end());
}

// Without Ctrl-Z, as some programs end their text, and what is blank around it.
std::string_view without_end_mark(std::string_view text) {
    const auto is_end = [](char c) { return is_line_end(c) || c == ' ' || c == '\x1A'; };
    std::string_view cut = text;
    while (!cut.empty() && is_end(cut.back())) cut.remove_suffix(1);
    const bool has_mark = text.substr(cut.size()).find('\x1A') != std::string_view::npos;
    return has_mark ? cut : text;
}

// Names that the lines above the data give, where there is no header; one fewer than columns leaves the first unnamed.
void name_from_sayings(CsvLayout& layout, CsvSayings& sayings) {
    auto& names = sayings.channels;
    if (names.empty() || !layout.names.empty()) return;
    if (names.size() + 1 == layout.width) names.insert(names.begin(), "");
    if (names.size() == layout.width) {
        layout.names = names;
        return;
    }
    sayings.notes.push_back(
        {"channel_lines_unused", "",
         fmt::format("the text above the data names {} channels, the rows have {} columns; the names were not used",
                     names.size(), layout.width)});
}

void note_layout(const Reading& reading, std::vector<Note>& notes) {
    const CsvLayout& layout = reading.layout;
    if (layout.decimal == ',') notes.push_back({"decimal_comma", "", "numbers are written with a decimal comma"});
    const bool unusual = layout.delimiter == '|' || layout.delimiter == ' ';
    if (layout.width > 1 && unusual)
        notes.push_back({"delimiter", "", fmt::format("columns are separated by {}", layout.delimiter == '|' ? "bars" : "blanks")});
    const auto prose =
        std::count_if(layout.said.begin(), layout.said.end(), [](const auto& line) { return line.key.empty(); });
    if (prose > 0)
        notes.push_back(
            {"text_above_data", "", fmt::format("lines of text above the data that were not understood: {}", prose)});
    if (layout.names.empty()) notes.push_back({"no_header", "", "no header row; columns are known by their place"});
    for (std::size_t c = 0; c < reading.columns.size(); ++c) {
        const CsvColumn& column = reading.columns[c];
        const std::string name =
            column.label.empty() ? fmt::format("column {}", c + 1) : "column '" + shown(column.label) + "'";
        if (!column.why_ignored.empty())
            notes.push_back({"column_ignored", "", name + " was left out: " + column.why_ignored});
        const bool assumed =
            column.role == ColumnRole::time && !column.stamps && column.unit.empty() && !is_time_name(column.label);
        if (assumed)
            notes.push_back({"time_column_assumed", "", name + " rises by even steps and was taken as the time"});
    }
}

const CsvColumn* time_column(const Reading& reading) {
    const auto is_time = [](const CsvColumn& column) { return column.role == ColumnRole::time; };
    const auto found = std::find_if(reading.columns.begin(), reading.columns.end(), is_time);
    return found == reading.columns.end() ? nullptr : &*found;
}

// One unit of the last decimal that the time column writes.
double resolution_of(const Reading& reading, std::size_t column) {
    int decimals = 0;
    for (const SampleLine& row : reading.layout.rows) {
        const auto cells = cells_of(row.text, reading.layout.delimiter);
        if (column < cells.size()) decimals = std::max(decimals, decimals_of(cells[column].text));
    }
    return std::pow(10.0, -decimals);
}

// The shortest decimal that the resolution of the stamps allows; the rate that the file says, if that is one.
double plain_rate(double rate_hz, double tolerance, std::optional<double> said) {
    const double slack_hz = rate_hz * std::max(tolerance, 1e-12);
    if (said && std::abs(*said - rate_hz) <= slack_hz) return *said;
    for (double scale = 1.0; scale <= 1e6; scale *= 10.0) {
        const double rounded = std::round(rate_hz * scale) / scale;
        if (rounded > 0.0 && std::abs(rounded - rate_hz) <= slack_hz) return rounded;
    }
    return rate_hz;
}

// Seconds in one unit of the time column. Without a unit in the name: seconds if that gives a rate above 2 Hz, as no
// recorder keeps less; else what the said rate fits; else milliseconds, or microseconds where even these would be too
// slow.
double time_scale(const CsvColumn& column, double step, std::optional<double> said, std::vector<Note>& notes) {
    constexpr double kSlowestStep_s = 0.5;
    if (column.stamps) return 1.0;
    if (const double known = seconds_per(column.unit); known > 0.0) return known;
    const auto fits = [&](double scale) { return said && std::abs(1.0 / (step * scale) - *said) <= 0.02 * *said; };
    if (step < kSlowestStep_s || fits(1.0)) return 1.0;
    const bool milli = fits(1e-3) || (!fits(1e-6) && step * 1e-3 < kSlowestStep_s);
    notes.push_back({"time_unit_assumed", "",
                     fmt::format("the time column names no unit; steps of {} were taken as {}", number_text(step),
                                 milli ? "milliseconds" : "microseconds")});
    return milli ? 1e-3 : 1e-6;
}

// tolerance: relative, what the stamps leave open.
bool differ(double rate_hz, double other_hz, double tolerance) {
    constexpr double kWorthSaying = 1e-3;  // our choice: clocks of recorders and computers differ by less
    return std::abs(other_hz - rate_hz) > std::max(kWorthSaying, tolerance) * rate_hz;
}

void note_rate_said(const Timing& timing, std::optional<double> said, std::vector<Note>& notes) {
    if (!said || !differ(timing.rate.value, *said, timing.tolerance)) return;
    notes.push_back({"rate_differs", "",
                     fmt::format("the file says {} Hz, its time column runs at {} Hz; the time column was followed",
                                 number_text(*said), number_text(timing.rate.value)),
                     true});
}

Timing timing_from_column(const Reading& reading, const CsvColumn& column, std::vector<Note>& notes) {
    const auto index = static_cast<std::size_t>(&column - reading.columns.data());
    const double resolution = resolution_of(reading, index);
    std::optional<std::vector<double>> settled;
    if (column.stamps && reading.rows.first_stamp && !reading.rows.first_stamp->utc_offset)
        settled = without_clock_changes(reading.rows.time.view(), resolution, notes);
    EvenAxis axis = even_axis(settled ? TimesView(*settled) : reading.rows.time.view(), {resolution, reading.source});
    const double scale = time_scale(column, axis.step, reading.sayings.rate_hz, notes);
    Timing timing{Hertz{plain_rate(1.0 / (axis.step * scale), axis.tolerance, reading.sayings.rate_hz)},
                  axis.tolerance,
                  std::move(axis.jumps),
                  {}};
    std::size_t missing = 0;
    for (const TimeJump& jump : timing.jumps) {
        timing.missing_before.push_back(missing);
        missing += jump.missing;
    }
    append(notes, axis.notes);
    note_rate_said(timing, reading.sayings.rate_hz, notes);
    return timing;
}

constexpr double kFastest_hz = 1e6;  // as for EDF: no recorder of surface signals comes near

// A column that says its unit and runs like a recorder is right, and the rate that the user gave belongs to another file.
void refuse_other_rate(const Reading& reading, const CsvColumn& column, const Timing& timing) {
    const double rate_hz = timing.rate.value, given_hz = reading.settings.rate->value;
    const bool trusted = (column.stamps || seconds_per(column.unit) > 0.0) && rate_hz >= kSlowestRate_hz && rate_hz <= kFastest_hz;
    if (!trusted || !differ(rate_hz, given_hz, timing.tolerance)) return;
    throw Error(ErrorKind::bad_setting, reading.source, "",
                fmt::format("the rate given is not that of the file: saw {} Hz, expected {} Hz as its time column runs",
                            number_text(given_hz), number_text(rate_hz)),
                "leave out --rate; if the time column is wrong, take it out of the file");
}

// The user's rate stands where no time column contradicts it; gaps in the column stay.
Timing timing_as_told(const Reading& reading, std::vector<Note>& notes) {
    Timing timing;
    std::string file_says = "the file says none";
    if (reading.sayings.rate_hz) file_says = "the file says " + number_text(*reading.sayings.rate_hz) + " Hz";
    bool doubt = reading.sayings.rate_hz && differ(*reading.sayings.rate_hz, reading.settings.rate->value, 0.0);
    if (const CsvColumn* column = time_column(reading)) {
        try {
            std::vector<Note> unused;
            timing = timing_from_column(reading, *column, unused);
            file_says = "the time column runs at " + number_text(timing.rate.value) + " Hz";
            doubt = differ(timing.rate.value, reading.settings.rate->value, timing.tolerance);
        } catch (const Error&) {
            file_says = "the time column tells none";
            doubt = true;
        }
        refuse_other_rate(reading, *column, timing);
    }
    timing.rate = *reading.settings.rate;
    notes.push_back({"rate_given", "",
                     "a rate of " + number_text(timing.rate.value) + " Hz was given by the user; " + file_says, doubt});
    return timing;
}

// As for EDF: the time column or the line that says the rate is damaged.
void check_rate(const Timing& timing, const std::string& source) {
    const double rate_hz = timing.rate.value;
    if (rate_hz > 0.0 && rate_hz <= kFastest_hz) return;
    throw Error(ErrorKind::unsupported, source, "",
                fmt::format("no rate of a recorder: saw {} Hz, expected at most 1 MHz", number_text(rate_hz)),
                "is the time column in other units? --rate HZ says the rate");
}

Timing timing_of(const Reading& reading, std::vector<Note>& notes) {
    if (reading.settings.rate) return timing_as_told(reading, notes);
    if (const CsvColumn* column = time_column(reading)) return timing_from_column(reading, *column, notes);
    if (reading.sayings.rate_hz) return {Hertz{*reading.sayings.rate_hz}, 0.0, {}, {}};
    throw Error(ErrorKind::bad_setting, reading.source, "",
                "no rate: saw neither a time column nor a line that says one", "--rate HZ");
}

std::size_t missing_samples(const Timing& timing) {
    return timing.jumps.empty() ? 0 : timing.missing_before.back() + timing.jumps.back().missing;
}

// A few bytes of text must not ask for gigabytes of gap.
void check_size(const Reading& reading, const Timing& timing) {
    constexpr std::size_t kAlwaysFine = std::size_t{1} << 21;  // samples: half an hour at 1 kHz, a day at 20 Hz. Our choice
    const std::size_t total = reading.rows.count + missing_samples(timing), columns = reading.columns.size();
    if (total <= std::max(kAlwaysFine / columns, 8 * reading.rows.count)) return;
    const double missing_s = time_of(missing_samples(timing), timing.rate);
    throw Error(ErrorKind::unsupported, reading.source, "",
                fmt::format("gaps of {} s in the time column, far longer than the {} rows", fixed_text(missing_s, 0),
                            reading.rows.count),
                "split the file at the gaps");
}

// Where row stands on the axis.
std::size_t place_of(std::size_t row, const Timing& timing) {
    const auto behind = std::upper_bound(timing.jumps.begin(), timing.jumps.end(), row,
                                         [](std::size_t r, const TimeJump& jump) { return r < jump.row; });
    if (behind == timing.jumps.begin()) return row;
    const auto last = static_cast<std::size_t>(behind - timing.jumps.begin()) - 1;
    return row + timing.missing_before[last] + timing.jumps[last].missing;
}

std::vector<float> on_axis(std::vector<float> samples, const Timing& timing) {
    if (timing.jumps.empty()) return samples;
    std::vector<float> placed;
    placed.reserve(samples.size() + missing_samples(timing));
    std::size_t done = 0;
    for (const TimeJump& jump : timing.jumps) {
        placed.insert(placed.end(), samples.begin() + static_cast<std::ptrdiff_t>(done),
                      samples.begin() + static_cast<std::ptrdiff_t>(jump.row));
        placed.insert(placed.end(), jump.missing, std::numeric_limits<float>::quiet_NaN());
        done = jump.row;
    }
    placed.insert(placed.end(), samples.begin() + static_cast<std::ptrdiff_t>(done), samples.end());
    return placed;
}

void add_gaps(Recording& recording, const Timing& timing) {
    if (timing.jumps.empty()) return;
    for (std::size_t i = 0; i < timing.jumps.size(); ++i) {
        const std::size_t begin = timing.jumps[i].row + timing.missing_before[i];
        recording.gaps.push_back({time_of(begin, timing.rate), time_of(begin + timing.jumps[i].missing, timing.rate)});
    }
    const double missing_s = time_of(missing_samples(timing), timing.rate);
    recording.notes.push_back({"time_gaps", "",
                               fmt::format("gaps in the time column, kept as gaps: {}, {} s together",
                                           timing.jumps.size(), fixed_text(missing_s, 3))});
    constexpr std::size_t kMany = 100, kShort = 3;  // our choice: gaps, and rows in each, that no interruption of a recorder makes
    if (timing.jumps.size() < kMany || missing_samples(timing) >= kShort * timing.jumps.size()) return;
    recording.notes.push_back({"rows_missing_all_over", "",
                               fmt::format("single rows are missing all over, in {} places, or the times tremble: export the recording with all "
                                           "its rows; if none is missing, take out the time column and say the rate with --rate HZ",
                                           timing.jumps.size()),
                               true});
}

void add_marks(Recording& recording, const Reading& reading, const Timing& timing) {
    for (const auto& changes : reading.rows.changes) {
        for (std::size_t i = 0; i < changes.size() && changes[i].row < reading.rows.count; ++i) {
            const std::size_t last =
                i + 1 < changes.size() ? std::min(changes[i + 1].row, reading.rows.count) : reading.rows.count;
            const std::size_t begin = place_of(changes[i].row, timing);
            const std::size_t end =
                last == reading.rows.count ? place_of(last - 1, timing) + 1 : place_of(last, timing);
            if (changes[i].text.empty()) continue;
            const bool event = last - changes[i].row == 1;  // a press of a button; how long what it marks lasts is not said
            recording.marks.push_back(
                {time_of(begin, timing.rate), event ? 0.0 : time_of(end - begin, timing.rate), changes[i].text});
        }
    }
    std::stable_sort(recording.marks.begin(), recording.marks.end(),
                     [](const Mark& a, const Mark& b) { return a.time_s < b.time_s; });
}

std::string label_of(const Reading& reading, std::size_t column) {
    const auto& label = reading.columns[column].label;
    const auto same = std::count_if(reading.columns.begin(), reading.columns.end(), [&](const CsvColumn& other) {
        return other.role == ColumnRole::value && other.label == label;
    });
    const std::string whole = reading.layout.names.empty() ? "" : reading.layout.names[column];
    if (!label.empty() && same < 2) return label;
    return whole.empty() ? fmt::format("column {}", column + 1) : whole;
}

bool is_empty(const std::vector<float>& samples) {
    return std::all_of(samples.begin(), samples.end(), [](float x) { return std::isnan(x); });
}

void add_channel(Recording& recording, Reading& reading, std::size_t c, const Timing& timing) {
    const std::string label = label_of(reading, c);
    if (is_empty(reading.rows.values[c])) {
        recording.notes.push_back({"empty_channel", "", "'" + shown(label) + "' holds no value and was left out"});
        return;
    }
    if (const std::size_t missing = reading.rows.missing[c]; missing > 0) {
        recording.notes.push_back(
            {"missing_values", "",
             fmt::format("empty or non-finite cells in '{}', read as missing: {}", shown(label), missing)});
    }
    const ColumnUnit& unit = reading.units[c];
    Channel channel;
    channel.label = label;
    channel.rate = timing.rate;
    channel.unit = unit.text;
    if (const RowCount& large = reading.rows.too_large[c]; large.rows > 0) {
        channel.doubts.push_back({"numbers_too_large", std::to_string(large.first_line),
                                  fmt::format("numbers in '{}' that are too large for any sample, read as missing: {}; the first stands in line {}",
                                              shown(label), large.rows, large.first_line),
                                  true});
    }
    channel.samples = on_axis(std::move(reading.rows.values[c]), timing);
    settle_kind(channel, unit, reading.columns[c], reading.sayings, reading.settings, recording.notes);
    recording.channels.push_back(std::move(channel));
}

// Of the first stamp, where it has a date.
std::optional<CivilTime> stamped_start(const Reading& reading) {
    using namespace std::chrono;
    if (!reading.rows.first_stamp) return std::nullopt;
    const Stamp& stamp = *reading.rows.first_stamp;
    const auto day = stamp.day ? stamp.day : reading.rows.day;
    if (!day || std::isnan(reading.rows.time.view().front())) return std::nullopt;
    return CivilTime{*day + milliseconds{std::llround(stamp.clock_s * 1e3)}, stamp.utc_offset};
}

// Minutes apart are a clock that was read twice; with one offset from UTC said and the other not, hours are none either. A day
// alone says no time.
bool same_start(const CivilTime& said, const CivilTime& stamped) {
    using namespace std::chrono;
    if (floor<days>(said.local) == said.local && date_text(said) == date_text(stamped)) return true;
    const bool alike = said.utc_offset.has_value() == stamped.utc_offset.has_value();
    return std::abs(seconds_between(said, stamped)) <= (alike ? 120.0 : 14.0 * 3600.0);
}

// The said start, else the first stamp.
std::optional<CivilTime> start_of(const Reading& reading, std::vector<Note>& notes) {
    const auto stamped = stamped_start(reading);
    const auto& said = reading.sayings.start;
    if (!said) return stamped;
    if (stamped && !same_start(*said, *stamped)) {
        notes.push_back({"start_differs", "",
                         fmt::format("the file says that it began at {}, the time in its first row is {}; the first was taken",
                                     to_text(*said), to_text(*stamped)),
                         true});
    }
    return said;
}

void check_settings(const ReadSettings& settings, const std::string& source) {
    if (!settings.rate || (settings.rate->value > 0.0 && std::isfinite(settings.rate->value))) return;
    throw Error(ErrorKind::bad_setting, source, "",
                "not a rate: saw " + fmt::format("{}", settings.rate->value) + ", expected a number above 0",
                "--rate HZ");
}

void find_columns(Reading& reading) {
    name_from_sayings(reading.layout, reading.sayings);
    reading.columns = name_columns(reading.layout);
    const bool any = std::any_of(reading.columns.begin(), reading.columns.end(),
                                 [](const auto& column) { return column.role == ColumnRole::value; });
    if (!any) {
        throw Error(ErrorKind::malformed, reading.source, std::to_string(reading.layout.data_line),
                    fmt::format("no column of samples: saw {} columns of times, marks or counters only",
                                reading.columns.size()));
    }
    for (const CsvColumn& column : reading.columns) {
        const bool value = column.role == ColumnRole::value;
        reading.units.push_back(value ? unit_of(column, reading.sayings, reading.settings, reading.source) : ColumnUnit{});
    }
}

}  // namespace

Recording read_csv(std::string_view bytes, const std::string& source, const ReadSettings& settings) {
    if (bytes.empty()) throw Error(ErrorKind::too_short, source, "", "the file is empty: expected a recording", "copy or export it again");
    check_settings(settings, source);
    Recording recording;
    recording.source = source;
    recording.format = FileFormat::csv;
    std::string storage;
    const std::string_view text = without_end_mark(utf8_view(bytes, storage, recording.notes));

    Reading reading{source, settings, find_layout(text, source), {}, {}, {}, {}};
    reading.sayings = hear(reading.layout.said, source);
    find_columns(reading);
    std::vector<double> factors;
    for (const ColumnUnit& unit : reading.units) factors.push_back(unit.factor);
    reading.rows = read_rows(text, reading.layout, reading.columns, factors, source);
    hear_again(reading.sayings, reading.rows.said, source);

    note_layout(reading, recording.notes);
    append(recording.notes, reading.sayings.notes);
    append(recording.notes, reading.rows.notes);
    if (!settings.unit.empty())
        recording.notes.push_back({"unit_given", "", "the unit " + settings.unit + " was given by the user"});
    const Timing timing = timing_of(reading, recording.notes);
    check_rate(timing, source);
    check_size(reading, timing);
    recording.start = start_of(reading, recording.notes);
    recording.person = reading.sayings.person;
    recording.posture = reading.sayings.posture;
    add_gaps(recording, timing);
    add_marks(recording, reading, timing);
    for (std::size_t c = 0; c < reading.columns.size(); ++c) {
        if (reading.columns[c].role == ColumnRole::value) add_channel(recording, reading, c, timing);
    }
    if (recording.channels.empty())
        throw Error(ErrorKind::too_short, source, "", "no samples: no channel holds a number");
    return recording;
}

}  // namespace tracehold

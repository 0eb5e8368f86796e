#include "read/edf_identity.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <vector>

#include "tracehold/core/number_text.hpp"
#include "tracehold/core/utf8.hpp"

namespace tracehold {
namespace {

using namespace std::chrono;

struct ThreeNumbers {
    std::array<int, 3> value{};
    bool points = true;  // separated as the specification wants
};

// "dd.mm.yy": two digits, any one separator, two digits, any one separator, two digits.
std::optional<ThreeNumbers> three_numbers(std::string_view text) {
    if (text.size() != 8) return std::nullopt;
    ThreeNumbers out;
    for (std::size_t i = 0; i < 3; ++i) {
        const char tens = text[3 * i], ones = text[3 * i + 1];
        const bool digits = tens >= '0' && tens <= '9' && ones >= '0' && ones <= '9';
        if (!digits) return std::nullopt;
        out.value[i] = 10 * (tens - '0') + (ones - '0');
    }
    constexpr std::string_view separators = ".:/-, ";
    for (const char c : {text[2], text[5]}) {
        if (separators.find(c) == std::string_view::npos) return std::nullopt;
        out.points = out.points && c == '.';
    }
    return out;
}

std::vector<std::string_view> words(std::string_view text) {
    std::vector<std::string_view> out;
    while (true) {
        const auto begin = text.find_first_not_of(' ');
        if (begin == std::string_view::npos) return out;
        text.remove_prefix(begin);
        const auto length = std::min(text.find(' '), text.size());
        out.push_back(text.substr(0, length));
        text.remove_prefix(length);
    }
}

// "02-MAR-2002", English month names of three letters in any case.
std::optional<year_month_day> plus_date(std::string_view text) {
    constexpr std::string_view months = "JANFEBMARAPRMAYJUNJULAUGSEPOCTNOVDEC";
    if (text.size() != 11 || text[2] != '-' || text[6] != '-') return std::nullopt;
    const auto number = [](std::string_view digits) {
        int value = 0;
        for (const char c : digits) value = c >= '0' && c <= '9' && value >= 0 ? 10 * value + (c - '0') : -1;
        return value;
    };
    std::string name{text.substr(3, 3)};
    for (char& c : name) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
    const auto at = months.find(name);
    const int d = number(text.substr(0, 2)), y = number(text.substr(7));
    if (at == std::string_view::npos || at % 3 != 0 || d < 1 || y < 1) return std::nullopt;
    const year_month_day date{year{y}, month{static_cast<unsigned>(at / 3 + 1)}, day{static_cast<unsigned>(d)}};
    return date.ok() ? std::optional{date} : std::nullopt;
}

void note_separators(const EdfField& field, const ThreeNumbers& numbers, EdfNotes& notes) {
    if (numbers.points) return;
    notes.add("start_separators", field.place(),
              fmt::format("'{}' is not separated by points: read all the same", shown(field.text())));
}

std::optional<year_month_day> header_date(const EdfField& field, EdfNotes& notes) {
    const auto numbers = three_numbers(field.text());
    if (!numbers) return std::nullopt;
    const auto [d, m, y] = numbers->value;
    const year_month_day date{year{edf_year(y)}, month{static_cast<unsigned>(m)}, day{static_cast<unsigned>(d)}};
    if (!date.ok()) return std::nullopt;
    note_separators(field, *numbers, notes);
    return date;
}

// A start that somebody took out is blank or zeros.
bool says_a_day(std::string_view text) {
    return std::any_of(text.begin(), text.end(), [](char c) { return c >= '1' && c <= '9'; });
}

std::optional<seconds> header_time(const EdfField& field, EdfNotes& notes) {
    const auto numbers = three_numbers(field.text());
    if (!numbers) return std::nullopt;
    const auto [h, m, s] = numbers->value;
    if (h > 23 || m > 59 || s > 59) return std::nullopt;
    note_separators(field, *numbers, notes);
    return hours{h} + minutes{m} + seconds{s};
}

// The date subfield of "Startdate 02-MAR-2002 ..."; empty for X or where there is none.
std::optional<year_month_day> recording_date(const EdfField& recording, EdfNotes& notes) {
    const auto parts = words(recording.text());
    const bool named = parts.size() >= 2 && parts[0] == "Startdate";
    const auto date = named ? plus_date(parts[1]) : std::nullopt;
    if (!named || parts.size() < 5 || (!date && parts[1] != "X")) {
        notes.add("recording_subfields", recording.place(),
                  "not the EDF+ subfields 'Startdate', date, code, technician and equipment: the plain header fields "
                  "were used");
    }
    return date;
}

}  // namespace

int edf_year(int two_digits) { return two_digits >= 85 ? 1900 + two_digits : 2000 + two_digits; }

std::optional<CivilTime> edf_start(const EdfField& date, const EdfField& time, const EdfField& recording, bool plus,
                                   EdfNotes& notes) {
    auto on_day = header_date(date, notes);
    const auto at = header_time(time, notes);
    const auto named = plus ? recording_date(recording, notes) : std::nullopt;
    if (!on_day && named) {
        notes.add(
            "start_date_from_recording_field", date.place(),
            fmt::format("'{}' is no date dd.mm.yy: the date in the recording field was used", shown(date.text())));
        on_day = named;
    } else if (named && named != on_day) {
        notes.add("start_date_conflict", recording.place(),
                  "the date in the recording field differs from the header's start date: the header's was used", true);
    }
    if (!on_day) {
        notes.add("start_date_unknown", date.place(),
                  fmt::format("'{}' is no date dd.mm.yy: the start is unknown, a sessions list can say it", shown(date.text())),
                  says_a_day(date.text()));
    }
    if (!at) {
        notes.add("start_time_unknown", time.place(),
                  fmt::format("'{}' is no time hh.mm.ss: the start is unknown, a sessions list can say it", shown(time.text())));
    }
    if (!on_day || !at) return std::nullopt;
    if (*on_day == year_month_day{year{1985}, January, day{1}} && *at == seconds{0}) {
        notes.add("start_removed", date.place(),
                  "1 January 1985 at midnight stands for a removed start date: the start is unknown");
        return std::nullopt;
    }
    return CivilTime{sys_days{*on_day} + *at, std::nullopt};
}

std::string edf_person(const EdfField& patient, bool plus, EdfNotes& notes) {
    if (!plus) return {};
    const auto parts = words(patient.text());
    const bool four = parts.size() >= 4 && (parts[1] == "M" || parts[1] == "F" || parts[1] == "X") &&
                      (parts[2] == "X" || plus_date(parts[2]));
    if (!four) {
        notes.add("patient_subfields", patient.place(),
                  "not the EDF+ subfields code, sex, birth date and name: no person was taken from it");
        return {};
    }
    if (parts[0] == "X") return {};
    return without_controls(is_utf8(parts[0]) ? std::string{parts[0]} : latin1_to_utf8(parts[0]));
}

}  // namespace tracehold

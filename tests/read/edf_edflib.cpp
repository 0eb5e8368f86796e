// EDFlib as a reference: writes files for the EDF reader to read, and prints what it reads itself, as one line of JSON.
// usage: edf_edflib read FILE
//        edf_edflib write FILE edf|bdf SUBSECOND   (SUBSECOND: first record after the full second, in 100 ns)
#include <edflib.h>

#include <array>
#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>
#include <numbers>
#include <string>
#include <vector>

namespace {

using nlohmann::json;

constexpr double kTicks = EDFLIB_TIME_DIMENSION;

std::string trimmed(std::string text) {
    text.erase(text.find_last_not_of(' ') + 1);
    return text;
}

json signal(int handle, int index, const edf_param_struct& about, double record_s) {
    std::vector<double> samples(static_cast<std::size_t>(about.smp_in_file));
    edfread_physical_samples(handle, index, static_cast<int>(samples.size()), samples.data());
    return {{"label", trimmed(about.label)},
            {"unit", trimmed(about.physdimension)},
            {"rate_hz", about.smp_in_datarecord / record_s},
            {"physical", {about.phys_min, about.phys_max}},
            {"samples", samples}};
}

// Text bytes may be no UTF-8, so they are printed as Latin-1 letters; the comparison undoes it.
std::string as_latin1(const char* text) {
    std::string out;
    for (; *text; ++text) {
        const auto byte = static_cast<unsigned char>(*text);
        if (byte >= 0x80) out += static_cast<char>(0xC0 | (byte >> 6));
        out += byte < 0x80 ? *text : static_cast<char>(0x80 | (byte & 0x3F));
    }
    return out;
}

int read_file(const char* path) {
    edf_hdr_struct header;
    if (edfopen_file_readonly(path, &header, EDFLIB_READ_ALL_ANNOTATIONS) != 0) {
        std::cout << json{{"error", header.filetype}} << '\n';
        return 0;
    }
    json signals = json::array(), marks = json::array();
    const double record_s = static_cast<double>(header.datarecord_duration) / kTicks;
    for (int i = 0; i < header.edfsignals; ++i)
        signals.push_back(signal(header.handle, i, header.signalparam[i], record_s));
    for (int i = 0; i < header.annotations_in_file; ++i) {
        edf_annotation_struct mark;
        edf_get_annotation(header.handle, i, &mark);
        const double duration = mark.duration_l < 0 ? 0.0 : static_cast<double>(mark.duration_l) / kTicks;
        marks.push_back({static_cast<double>(mark.onset) / kTicks, duration, as_latin1(mark.annotation)});
    }
    std::cout << json{{"filetype", header.filetype},
                      {"start",
                       {header.startdate_year, header.startdate_month, header.startdate_day, header.starttime_hour,
                        header.starttime_minute, header.starttime_second}},
                      {"subsecond_s", static_cast<double>(header.starttime_subsecond) / kTicks},
                      {"person", as_latin1(header.patientcode)},
                      {"signals", signals},
                      {"marks", marks}}
              << '\n';
    edfclose_file(header.handle);
    return 0;
}

struct Made {
    const char* label;
    const char* unit;
    int rate;
    double high;
};
constexpr std::array<Made, 4> kMade{{{"EMG PFM", "uV", 1000, 800.0},
                                     {"EMG Abd", "mV", 500, 2.5},
                                     {"Pressure", "cmH2O", 20, 120.0},
                                     {"EMG envelope", "V", 10, 0.001}}};

double value(const Made& made, int i) {
    return made.high * 0.9 * std::sin(2.0 * std::numbers::pi * 7.3 * i / made.rate) * std::cos(0.011 * i);
}

int write_file(const char* path, bool bdf, int subsecond) {
    const int handle =
        edfopen_file_writeonly(path, bdf ? EDFLIB_FILETYPE_BDFPLUS : EDFLIB_FILETYPE_EDFPLUS, kMade.size());
    if (handle < 0) return 1;
    int bad = 0;
    for (int s = 0; s < static_cast<int>(kMade.size()); ++s) {
        const Made& made = kMade[static_cast<std::size_t>(s)];
        bad |= edf_set_samplefrequency(handle, s, made.rate) | edf_set_label(handle, s, made.label) |
               edf_set_physical_dimension(handle, s, made.unit) | edf_set_physical_maximum(handle, s, made.high) |
               edf_set_physical_minimum(handle, s, -made.high) | edf_set_prefilter(handle, s, "HP:20Hz LP:450Hz") |
               edf_set_digital_maximum(handle, s, bdf ? 8388607 : 32767) |
               edf_set_digital_minimum(handle, s, bdf ? -8388608 : -32768);
    }
    bad |= edf_set_startdatetime(handle, 2026, 3, 2, 7, 30, 5) | edf_set_patientcode(handle, "P-017") |
           edf_set_number_of_annotation_signals(handle, 2) | edf_set_subsecond_starttime(handle, subsecond);
    for (int record = 0; record < 12; ++record) {
        for (const Made& made : kMade) {
            std::vector<double> samples;
            for (int i = 0; i < made.rate; ++i) samples.push_back(value(made, record * made.rate + i));
            bad |= edfwrite_physical_samples(handle, samples.data());
        }
    }
    bad |= edfwrite_annotation_utf8(handle, 5000, -1, "contract");
    bad |= edfwrite_annotation_utf8(handle, 60000, 25000, "relax \xC2\xB5 \xE2\x9C\x93");
    bad |= edfwrite_annotation_latin1(handle, 115000, 5000, "\xE9tape");
    return edfclose_file(handle) | bad;
}

}  // namespace

int main(int count, char** arguments) {
    const std::vector<std::string> words(arguments + 1, arguments + count);
    if (words.size() == 2 && words[0] == "read") return read_file(arguments[2]);
    if (words.size() == 4 && words[0] == "write")
        return write_file(arguments[2], words[2] == "bdf", std::stoi(words[3]));
    std::cerr << "usage: edf_edflib read FILE | write FILE edf|bdf SUBSECOND\n";
    return 2;
}

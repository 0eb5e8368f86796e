// EDF and BDF files as they arrive from the wild, and what is decided about each: read with a note that programs can see,
// or refused by place, seen and wanted. Each kind of fault was met in public by readers of EDF.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include "malformed_outcome.hpp"
#include "support/edf_builder.hpp"

using namespace tracehold;
using namespace tracehold::test;

namespace {

std::string with(std::size_t byte, std::size_t width, std::string_view text) { return patched(small_edf().bytes(), byte, width, text); }

template <class Change>
std::string plus_with(Change change, std::string_view kind = "EDF+C") {
    BuiltEdf file = small_edf_plus(kind);
    change(file);
    return file.bytes();
}

std::string annotated(std::vector<std::string> of_records) {
    return plus_with([&](BuiltEdf& file) { file.signals[1] = annotation_signal(std::move(of_records), 40); });
}

std::string two_signals(const std::string& label, const std::string& unit = "uV") {
    BuiltEdf file = small_edf();
    file.signals.push_back(file.signals[0]);
    file.signals[1].label = label;
    file.signals[1].unit = unit;
    file.signals[1].physical_max = "250";  // or the second would have the very same samples
    return file.bytes();
}

}  // namespace

TEST_CASE("counts of records and bytes that disagree are settled by the bytes that are there") {
    const std::string good = small_edf().bytes();
    check({
        {"the recorder never closed the file", with(236, 8, "-1"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "record_count_unknown [byte 236, record count]: the recorder never wrote the count (-1): "
         "the 2 in the file are used"},
        {"more records counted than there are", with(236, 8, "9"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "doubt: record_count_wrong [byte 236, record count]: the header counts '9' records: the 2 in the "
         "file are used"},
        {"fewer records counted than there are", with(236, 8, "1"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "doubt: record_count_wrong [byte 236, record count]: the header counts '1' records: the 2 in the "
         "file are used"},
        {"the last record is cut off", good.substr(0, good.size() - 123),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 200\n"
         "last_record_cut [byte 912, last record]: the last record is cut: 277 bytes of 400 left out"},
        {"an unclosed file whose last record is cut off", with(236, 8, "-1").substr(0, good.size() - 123),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 200\n"
         "record_count_unknown [byte 236, record count]: the recorder never wrote the count (-1): the "
         "one in the file is used\n"
         "last_record_cut [byte 912, last record]: the last record is cut: 277 bytes of 400 left out"},
        {"bytes after the last record", good + std::string(77, '\0'),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "extra_bytes [byte 1312, end of records]: 77 bytes after the last record: left out"},
    });
}

TEST_CASE("starts are read where they can be and never invented") {
    check({
        {"start time with colons", with(176, 8, "09:01:17"),
         "edf 2026-03-02T09:01:17: EMG PFM raw 200 Hz 400\n"
         "start_separators [byte 176, start time]: '09:01:17' is not separated by points: read all "
         "the same"},
        {"60 seconds", with(176, 8, "09.01.60"),
         "edf: EMG PFM raw 200 Hz 400\n"
         "start_time_unknown [byte 176, start time]: '09.01.60' is no time hh.mm.ss: the start is "
         "unknown, a sessions list can say it"},
        {"an impossible hour", with(176, 8, "25.01.17"),
         "edf: EMG PFM raw 200 Hz 400\n"
         "start_time_unknown [byte 176, start time]: '25.01.17' is no time hh.mm.ss: the start is "
         "unknown, a sessions list can say it"},
        {"date of noughts", with(168, 8, "00.00.00"),
         "edf: EMG PFM raw 200 Hz 400\n"
         "start_date_unknown [byte 168, start date]: '00.00.00' is no date dd.mm.yy: the start is "
         "unknown, a sessions list can say it"},
        {"no date", with(168, 8, ""),
         "edf: EMG PFM raw 200 Hz 400\n"
         "start_date_unknown [byte 168, start date]: '' is no date dd.mm.yy: the start is unknown, "
         "a sessions list can say it"},
        {"no time", with(176, 8, ""),
         "edf: EMG PFM raw 200 Hz 400\n"
         "start_time_unknown [byte 176, start time]: '' is no time hh.mm.ss: the start is unknown, "
         "a sessions list can say it"},
    });
}

TEST_CASE("a signal without a usable scale has no samples and a file of such alone is refused") {
    check({
        {"digital limits equal", with(kDigitalMax, 8, "-2048"),
         "malformed: f:byte 376, signal 1 digital minimum: no signal can be scaled: saw physical "
         "limits '-500' and '500' and digital limits '-2048' and '-2048', expected a digital minimum below the digital maximum\n"
         "hint: export the recording again"},
        {"digital limits equal beside a good signal", [] {
             BuiltEdf file = small_edf();
             file.signals.push_back(file.signals[0]);
             file.signals[0].label = "-";
             file.signals[0].digital_min = file.signals[0].digital_max = "0";
             return file.bytes();
         }(),
         "edf 2026-03-02T07:30:05: - raw 200 Hz 400-400, EMG PFM raw 200 Hz 400\n"
         "scale_unusable [byte 464, signal 1 scale]: signal '-' has no usable scale, digital "
         "minimum and maximum are both 0: it has no valid samples"},
        {"physical limits equal", with(kPhysicalMax, 8, "-500"),
         "malformed: f:byte 360, signal 1 physical minimum: no signal can be scaled: saw physical "
         "limits '-500' and '-500' and digital limits '-2048' and '2047', expected two different "
         "numbers each that float32 can hold\n"
         "hint: export the recording again"},
        {"physical limits equal beside a good signal", [] {
             BuiltEdf file = small_edf();
             file.signals.push_back(file.signals[0]);
             file.signals[0].label = "-";
             file.signals[0].physical_min = file.signals[0].physical_max = "0";
             return file.bytes();
         }(),
         "edf 2026-03-02T07:30:05: - raw 200 Hz 400-400, EMG PFM raw 200 Hz 400\n"
         "scale_unusable [byte 464, signal 1 scale]: signal '-' has no usable scale, physical "
         "minimum and maximum are both 0: it has no valid samples"},
        {"physical limits reversed", patched(with(kPhysicalMin, 8, "500"), kPhysicalMax, 8, "-500"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "polarity_reversed [byte 360, signal 1 scale]: signal 'EMG PFM': the physical minimum 500 "
         "is above the maximum -500, an inverted amplifier: polarity kept as stated"},
        {"digital limits reversed", patched(with(kDigitalMin, 8, "2047"), kDigitalMax, 8, "-2048"),
         "malformed: f:byte 376, signal 1 digital minimum: no signal can be scaled: saw physical limits '-500' and '500' and "
         "digital limits '2047' and '-2048', expected a digital minimum below the digital maximum\n"
         "hint: export the recording again"},
        {"decimal comma", with(kPhysicalMin, 8, "-500,0"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "decimal_comma [byte 360, signal 1 physical minimum]: '-500,0' has a decimal comma: read "
         "as -500"},
        {"decimal comma and point", with(kPhysicalMin, 8, "-1.500,0"),
         "malformed: f:byte 360, signal 1 physical minimum: no signal can be scaled: saw physical "
         "limits '-1.500,0' and '500' and digital limits '-2048' and '2047', expected two different "
         "numbers each that float32 can hold\n"
         "hint: export the recording again"},
    });
}

TEST_CASE("texts beyond ASCII are read and labels are kept whole") {
    check({
        {"Latin-1 unit", two_signals("EMG Abd", "\xB5V"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, EMG Abd raw 200 Hz 400\n"
         "header_not_ascii [byte 456, signal 2 unit]: '\\xB5V' has letters beyond ASCII: read as "
         "Latin-1"},
        {"UTF-8 label", two_signals("M. p\xC3\xA9rin\xC3\xA9"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, M. périné raw 200 Hz 400\n"
         "header_not_ascii [byte 272, signal 2 label]: 'M. périné' has letters beyond ASCII: read "
         "as UTF-8"},
        {"Latin-1 label", two_signals("M. p\xE9rin\xE9"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, M. périné raw 200 Hz 400\n"
         "header_not_ascii [byte 272, signal 2 label]: 'M. p\\xE9rin\\xE9' has letters beyond ASCII: "
         "read as Latin-1"},
        {"version field damaged", with(0, 8, "\xB5"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "version_field_damaged [byte 0, version]: '\\xB5       ' is neither EDF nor BDF, the rest "
         "is consistent: read as EDF"},
        {"two signals of one label", two_signals("EMG PFM"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, EMG PFM raw 200 Hz 400\n"
         "duplicate_label [byte 272, signal 2 label]: more than one signal is named 'EMG PFM': "
         "choose by number"},
        {"labels that differ behind a prefix", two_signals("PFM"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, PFM raw 200 Hz 400"},
    });
}

TEST_CASE("the rate is samples over duration whatever the duration") {
    check({
        {"records of 2 s", with(244, 8, "2"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 100 Hz 400\n"
         "taken_as_raw [signal 1]: signal 'EMG PFM' is taken as a raw trace because 50 % of its values are negative, though a "
         "rate of 100 Hz is too low for a raw trace\n"
         "doubt: kind_doubtful [signal 1]: signal 'EMG PFM' was read as a raw trace: 50 % of its values are negative, though a rate "
         "of 100 Hz is too low for a raw trace, as an amplitude less an offset has them; --kind raw or --kind envelope settles it"},
        {"records of 0.1 s", with(244, 8, "0.1"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 2000 Hz 400"},
        {"records of no time with signals", with(244, 8, "0"),
         "malformed: f:byte 244, record duration: no sampling rate without a record duration: saw "
         "'0', expected seconds above 0\n"
         "hint: export the recording again with its sampling rate"},
        {"annotations alone", plus_with([](BuiltEdf& file) {
             file.signals.erase(file.signals.begin());
             file.duration = "0";
         }),
         "unsupported: f:byte 252, number of signals: no signal with samples in the file: saw '1', "
         "expected at least one signal that is not annotations\n"
         "hint: a file of annotations alone has nothing to measure; give the recording that it "
         "belongs to"},
        {"signals of several rates", [] {
             BuiltEdf file = small_edf();
             file.signals.push_back(file.signals[0]);
             file.signals[1].label = "Pressure";
             file.signals[1].unit = "mmHg";
             file.signals[1].samples = 25;
             return file.bytes();
         }(),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, Pressure other 25 Hz 50"},
    });
}

TEST_CASE("record times and annotations are read as far as they can be") {
    check({
        {"a gap in a discontinuous file",
         plus_with([](BuiltEdf& file) { file.signals[1] = annotation_signal({stamp("+0"), stamp("+4.5")}); }, "EDF+D"),
         "edf+d 2026-03-02T07:30:05: EMG PFM raw 200 Hz 1100-700; gap 1 to 4.5"},
        {"a jump in a file that says it is continuous", annotated({stamp("+0"), stamp("+4.5") + tal("+4.75", "", "relax")}),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 1100-700; relax@4.75; gap 1 to 4.5\n"
         "doubt: record_times_jump [byte 1248, record 2]: the file says it is continuous, but its record "
         "times leave 1 of its 2 records apart from the one ahead: read as discontinuous"},
        {"annotation not UTF-8", annotated({stamp("+0") + tal("+0.5", "", "p\xE9rin\xE9" "e"), stamp("+1")}),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400; périnée@0.5\n"
         "annotation_not_utf8 [byte 1173, annotation]: text 'p\\xE9rin\\xE9e' is not UTF-8: read as "
         "Latin-1"},
        {"an onset that is no number", annotated({stamp("+0") + tal("+x", "", "contract"), stamp("+1")}),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400\n"
         "doubt: annotation_unreadable [byte 1173, annotation]: 12 bytes '+x\\x14contract\\x14' are no "
         "annotation list with a usable time: passed over"},
        {"a duration that is no number", annotated({stamp("+0") + tal("+0.5", "long", "contract"), stamp("+1")}),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400; contract@0.5\n"
         "annotation_duration_unreadable [byte 1173, annotation]: duration 'long' is no time: taken "
         "as none"},
        {"several annotation signals", plus_with([](BuiltEdf& file) {
             file.signals.push_back(annotation_signal({tal("+0.25", "", "early"), tal("+1.5", "", "late")}));
         }),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400; early@0.25; contract@0.5; relax@1.25; "
         "late@1.5"},
        {"subfields missing", plus_with([](BuiltEdf& file) {
             file.patient = "somebody";
             file.recording = "morning";
         }),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400; contract@0.5; relax@1.25\n"
         "patient_subfields [byte 8, patient]: not the EDF+ subfields code, sex, birth date and "
         "name: no person was taken from it\n"
         "recording_subfields [byte 88, recording]: not the EDF+ subfields 'Startdate', date, code, "
         "technician and equipment: the plain header fields were used"},
        {"dates conflict", plus_with([](BuiltEdf& file) { file.recording = "Startdate 05-MAR-2026 X X X"; }),
         "edf+c 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400; contract@0.5; relax@1.25\n"
         "doubt: start_date_conflict [byte 88, recording]: the date in the recording field differs from "
         "the header's start date: the header's was used"},
    });
}

TEST_CASE("units and prefilters and sample sizes and names of files mislead nobody") {
    BuiltEdf bdf = small_edf();
    bdf.bdf = true;
    const std::string whole = bdf.bytes();
    check({
        {"the other letter mu", two_signals("EMG Abd", "\xCE\xBCV"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, EMG Abd raw 200 Hz 400\n"
         "header_not_ascii [byte 456, signal 2 unit]: 'μV' has letters beyond ASCII: read as UTF-8"},
        {"millivolts", two_signals("EMG Abd", "mV"),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400, EMG Abd raw 200 Hz 400"},
        {"prefilter unreadable", [] {
             BuiltEdf file = small_edf();
             file.signals[0].prefilter = "HP:450 LP:20 HP:?";
             return file.bytes();
         }(),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400"},
        {"a BDF cut by two bytes", whole.substr(0, whole.size() - 2),
         "bdf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 200\n"
         "last_record_cut [byte 1112, last record]: the last record is cut: 598 bytes of 600 left "
         "out"},
    });
    CHECK_EQ(outcome_of(small_edf().bytes()),
         "edf 2026-03-02T07:30:05: EMG PFM raw 200 Hz 400");
}

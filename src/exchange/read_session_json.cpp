// The inverse of session_json. Known keys are read strictly; keys and measures that a later minor version added are
// passed over.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "exchange/enum_words.hpp"
#include "exchange/plan_json.hpp"
#include "exchange/possible_values.hpp"
#include "exchange/schema_session.hpp"
#include "tracehold/core/number_text.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_session.hpp"
#include "tracehold/measures/measure_list.hpp"
#include "tracehold/measures/muscle_seen.hpp"
#include "tracehold/measures/possible_range.hpp"

namespace tracehold {
namespace {

constexpr long long kMost = 1'000'000'000;

double or_nan(std::optional<double> value) { return value.value_or(std::numeric_limits<double>::quiet_NaN()); }

std::size_t count(Fields& fields, std::string_view key) {
    return static_cast<std::size_t>(fields.whole(key, 0, kMost));
}

// A whole number or null.
std::optional<int> nullable_whole(Fields& fields, std::string_view key) {
    if (!fields.has(key)) return fields.nullable_number(key), std::nullopt;
    return static_cast<int>(fields.whole(key, 0, kMost));
}

std::optional<int> step_of(Fields& fields) {
    const auto number = nullable_whole(fields, "step");
    return number ? std::optional<int>(*number - 1) : std::nullopt;
}

std::string text_or_nothing(Fields& fields, std::string_view key) { return fields.nullable_text(key).value_or(""); }

TimeSpan span_from(const Json& pair, const Fields& fields, std::string_view key) {
    const bool is_span = pair.is_array() && pair.size() == 2 && pair[0].is_number() && pair[1].is_number();
    if (!is_span)
        fields.refuse(key, fmt::format("is no span: saw {}, expected [begin, end] in seconds", shown_json(pair)));
    const TimeSpan span{pair[0].get<double>(), pair[1].get<double>()};
    if (span.end_s < span.begin_s)
        fields.refuse(key, fmt::format("is not possible: saw the end {} before the begin {}", number_text(span.end_s),
                                       number_text(span.begin_s)));
    return span;
}

TimeSpan span_at(Fields& fields, std::string_view key) {
    return span_from(fields.required(key), fields, key);
}

std::vector<TimeSpan> spans_at(Fields& fields, std::string_view key) {
    const Json& list = fields.required(key);
    if (!list.is_array()) fields.refuse(key, "is no list of spans: expected [[begin, end], ...] in seconds");
    std::vector<TimeSpan> spans;
    for (const Json& pair : list) spans.push_back(span_from(pair, fields, key));
    return spans;
}

Given given_from(Fields fields) {
    Given given;
    given.channel = text_or_nothing(fields, "channel");
    given.accessory = text_or_nothing(fields, "accessory");
    given.rate_hz = fields.nullable_number("rate_hz");
    given.unit = text_or_nothing(fields, "unit");
    if (fields.has("kind")) given.kind = read_word(fields, "kind", kChannelKinds);
    const std::vector<std::string> listed = fields.texts("by_sessions_list");
    const auto holds = [&](const char* fact) { return std::find(listed.begin(), listed.end(), fact) != listed.end(); };
    given.person = holds("person");
    given.start = holds("start");
    given.posture = holds("posture");
    given.corrections_sha256 = hash_or_nothing(fields, "corrections_sha256");
    return given;
}

ScoreSettings settings_from(Fields fields) {
    ScoreSettings settings;
    if (const auto hz = fields.nullable_number("high_pass_hz")) settings.clean.high_pass = Hertz{*hz};
    if (const auto hz = fields.nullable_number("low_pass_hz")) settings.clean.low_pass = Hertz{*hz};
    const auto unless_null = [&](std::string_view key, auto&& read) {
        if (!fields.required(key).is_null()) read();
    };
    unless_null("order", [&] { settings.clean.order = static_cast<int>(fields.whole("order", 1, 100)); });
    unless_null("mains", [&] { settings.clean.mains = read_word(fields, "mains", kMainsRemovals); });
    settings.clean.mask = spans_at(fields, "mask_s");
    unless_null("envelope", [&] { settings.envelope.method = read_word(fields, "envelope", kEnvelopeMethods); });
    if (const auto s = fields.nullable_number("window_s")) settings.envelope.window = Seconds{*s};
    settings.envelope.subtract_noise_floor = fields.flag("subtract_noise_floor");
    settings.envelope.subtract_baseline = fields.flag("subtract_baseline");
    if (const auto start = fields.nullable_number("start_s")) settings.cycles.start = Seconds{*start};
    if (auto given = fields.optional_object("given")) settings.given = given_from(*given);
    if (fields.has("identity")) settings.identity = read_word(fields, "identity", kIdentityLevels);
    return settings;
}

RecordingFacts recording_from(Fields fields) {
    RecordingFacts recording;
    recording.source = fields.text("source");
    recording.sha256 = hash_or_nothing(fields, "sha256");
    recording.format = read_word(fields, "format", kFileFormats);
    recording.person = text_or_nothing(fields, "person");
    if (const auto start = fields.nullable_text("start")) {
        recording.start = parse_civil_time(*start);
        if (!recording.start) fields.refuse("start", fmt::format("is no date and time: saw '{}'", shown(*start)));
    }
    recording.posture = text_or_nothing(fields, "posture");
    recording.site = fields.has("site") ? fields.text("site") : "";
    recording.duration_s = fields.number("duration_s");
    Fields channel = fields.object("channel");
    recording.channel = channel.text("label");
    recording.rate_hz = channel.number("rate_hz");
    recording.kind = read_word(channel, "kind", kChannelKinds);
    recording.unit = text_or_nothing(channel, "unit");
    return recording;
}

Quality quality_from(Fields& fields) {
    Quality quality;
    quality.usable = fields.flag("usable");
    quality.masked_s = fields.number("masked_s");
    if (auto mains = fields.optional_object("mains")) {
        quality.mains = MainsHum{mains->number("hz"), mains->number("rms_uv"),
                                 mains->optional_number("share_of_power").value_or(0.0), mains->flag("removed")};
    }
    for (Fields finding : fields.objects("findings")) {
        quality.findings.push_back({finding.text("code"), read_word(finding, "severity", kSeverities),
                                    finding.text("text"), spans_at(finding, "spans_s")});
    }
    return quality;
}

std::optional<EventTime> event_from(Fields& fields, const std::string& name) {
    const auto time_s = fields.nullable_number(name + "_s");
    if (!time_s) return std::nullopt;
    return EventTime{*time_s, or_nan(fields.nullable_number(name + "_error_s")),
                     or_nan(fields.nullable_number(name + "_low_s")), or_nan(fields.nullable_number(name + "_high_s")),
                     fields.flag(name + "_corrected")};
}

std::string reason_at(Fields& reasons, std::string_view key) {
    return reasons.optional_text(key).value_or("not in this file");
}

Estimate value_from(const Measure& measure, Fields& measures, Fields& errors, Fields& reasons) {
    if (!measures.has(measure.key)) return Estimate::none(reason_at(reasons, measure.key));
    const double value =
        measure.form == MeasureForm::yes_no ? (measures.flag(measure.key) ? 1.0 : 0.0) : measures.number(measure.key);
    return {value, errors.optional_number(measure.key), {}};
}

ScoredCycle cycle_from(Fields fields) {
    ScoredCycle scored;
    Cycle& cycle = scored.cycle;
    cycle.index = static_cast<int>(fields.whole("index", 1, kMost));
    cycle.step = step_of(fields);
    cycle.kind = read_word(fields, "kind", kWorkKinds);
    cycle.work = span_at(fields, "work_s");
    cycle.rest = span_at(fields, "rest_s");
    cycle.status = read_word(fields, "status", kCycleStatuses);
    cycle.onset = event_from(fields, "onset");
    cycle.offset = event_from(fields, "offset");
    if (fields.has("begins")) cycle.begins = read_word(fields, "begins", kBegins);
    cycle.rise_20_s = fields.nullable_number("rise_20_s");
    cycle.fall_20_s = fields.nullable_number("fall_20_s");
    cycle.corrected = fields.texts("corrected");
    Fields measures = fields.object("measures"), errors = fields.object("errors"), reasons = fields.object("reasons");
    if (!cycle.onset) cycle.onset_reason = reason_at(reasons, "onset_s");
    if (!cycle.offset) cycle.offset_reason = reason_at(reasons, "offset_s");
    for (const Measure& measure : measure_list())
        scored.values.push_back(value_from(measure, measures, errors, reasons));
    return scored;
}

// What no schema can say: the numbers of a summary belong together. The mean of equal values may be off in its last digits.
void check_summary(const Summary& summary, const Fields& fields, std::size_t done) {
    if (summary.n > done)
        fields.refuse("n", fmt::format("is not possible: saw {} values, expected at most one of each of {} contractions done", summary.n, done));
    const auto only_of = [&](std::size_t least, const char* key, const std::optional<double>& value) {
        if (!value || summary.n >= least) return;
        fields.refuse(key, fmt::format("is not possible: saw {} of {} values, expected none of fewer than {}", number_text(*value), summary.n, least));
    };
    only_of(1, "mean", summary.mean);
    only_of(1, "min", summary.min);
    only_of(1, "max", summary.max);
    only_of(2, "sd", summary.sd);
    only_of(2, "cv_pct", summary.cv_pct);
    only_of(2, "ci95", summary.ci95_low);
    const auto between = [&](const std::optional<double>& low, const std::optional<double>& high, std::string_view what) {
        if (!summary.mean || !low || !high) return;
        const double slack = 1e-9 * std::max(std::abs(*low), std::abs(*high));
        if (*summary.mean >= *low - slack && *summary.mean <= *high + slack) return;
        fields.refuse("mean", fmt::format("is not possible: saw {}, expected one from {} {} to {}", number_text(*summary.mean), what,
                                          number_text(*low), number_text(*high)));
    };
    between(summary.min, summary.max, "the least and greatest value,");
    between(summary.ci95_low, summary.ci95_high, "its own interval,");
}

Summary summary_from(Fields fields, std::size_t done) {
    Summary summary;
    summary.n = count(fields, "n");
    summary.mean = fields.nullable_number("mean");
    summary.sd = fields.nullable_number("sd");
    summary.cv_pct = fields.nullable_number("cv_pct");
    summary.min = fields.nullable_number("min");
    summary.max = fields.nullable_number("max");
    if (fields.has("ci95")) {
        const TimeSpan interval = span_at(fields, "ci95");
        summary.ci95_low = interval.begin_s;
        summary.ci95_high = interval.end_s;
    }
    check_summary(summary, fields, done);
    return summary;
}

std::vector<Summary> summaries_from(Fields fields, std::size_t done) {
    std::vector<Summary> summaries;
    for (const Measure& measure : measure_list()) {
        summaries.push_back(fields.has(measure.key) ? summary_from(fields.object(measure.key), done) : Summary{});
    }
    return summaries;
}

// Counts of a session or of one step: more than were cued, or added by a clinician, cannot have been done.
template <class Counts>
void read_counts(Counts& counts, Fields& fields, const SessionScore& score) {
    counts.planned = count(fields, "planned");
    counts.done = count(fields, "done");
    counts.missed = count(fields, "missed");
    counts.unusable = count(fields, "unusable");
    const auto added = std::count_if(score.corrections.begin(), score.corrections.end(),
                                     [](const Correction& correction) { return correction.action == CorrectionAction::add_cycle; });
    const std::size_t most = counts.planned + static_cast<std::size_t>(added);
    const std::size_t cued = counts.done + counts.missed + counts.unusable;
    if (score.cues == CueSource::trace || cued <= most) return;
    fields.refuse("done", fmt::format("is not possible: saw {} done, {} missed and {} unusable, expected at most {} in all", counts.done,
                                      counts.missed, counts.unusable, most));
}

StepScore step_from(Fields fields, const SessionScore& score) {
    StepScore step;
    step.step = step_of(fields);
    step.kind = read_word(fields, "kind", kWorkKinds);
    read_counts(step, fields, score);
    step.measures = summaries_from(fields.object("measures"), step.done);
    return step;
}

Estimate session_value(Fields& fields, std::string_view key, Fields& errors, Fields& reasons) {
    const auto value = fields.nullable_number(key);
    if (!value) return Estimate::none(reason_at(reasons, key));
    return {value, errors.optional_number(key), {}};
}

RestScore rest_from(Fields fields) {
    RestScore rest{.step = static_cast<int>(fields.whole("step", 1, kMost)) - 1, .window = {}, .mean_uv = {}, .cv_pct = {}};
    if (fields.has("window_s")) rest.window = span_at(fields, "window_s");
    Fields errors = fields.object("errors"), reasons = fields.object("reasons");
    rest.mean_uv = session_value(fields, "rest_mean_uv", errors, reasons);
    rest.cv_pct = session_value(fields, "rest_cv_pct", errors, reasons);
    return rest;
}

// The schema says it of the plan's own targets.
void refuse_impossible_limit(const Target& target, const Fields& fields) {
    const auto index = measure_index(target.measure);
    if (!index || is_possible_limit(target, measure_list()[*index])) return;
    const PossibleRange range = possible_range(measure_list()[*index]);
    const bool below = target.below.has_value();
    fields.refuse(below ? "below" : "above",
                  fmt::format("is not possible: saw {}, expected a number from {} to {}",
                              number_text(below ? *target.below : target.above.value_or(0.0)), number_text(range.low),
                              number_text(range.high)));
}

TargetOutcome target_from(Fields fields) {
    TargetOutcome outcome;
    outcome.target = {fields.text("measure"), fields.optional_number("below"), fields.optional_number("above")};
    outcome.value = {fields.nullable_number("value"), fields.nullable_number("error"), {}};
    refuse_impossible_limit(outcome.target, fields);
    if (!outcome.value) outcome.value.reason = reason_at(fields, "reason");
    if (fields.has("met")) outcome.met = fields.flag("met");
    return outcome;
}

void read_session_part(SessionScore& score, Fields fields) {
    read_counts(score, fields, score);
    score.extra = count(fields, "extra");
    if (fields.has("muscle_seen") && fields.flag("muscle_seen") != muscle_seen(score))
        fields.refuse("muscle_seen", "does not agree with what was found in the signal: one of the two was changed");
    Fields errors = fields.object("errors"), reasons = fields.object("reasons");
    score.reference_uv = session_value(fields, "reference_uv", errors, reasons);
    score.reference_cycle = nullable_whole(fields, "reference_cycle");
    score.threshold_uv = session_value(fields, "threshold_uv", errors, reasons);
    score.summary_kind = read_word(fields, "measures_over", kWorkKinds);
    score.measures = summaries_from(fields.object("measures"), score.done);
    for (const Fields& step : fields.objects("steps")) score.steps.push_back(step_from(step, score));
    if (fields.has("rests")) {
        for (const Fields& rest : fields.objects("rests")) score.rests.push_back(rest_from(rest));
    }
    for (const Fields& target : fields.objects("targets")) score.targets.push_back(target_from(target));
}

Correction correction_from(Fields fields) {
    return {text_or_nothing(fields, "file"),
            read_word(fields, "action", kCorrectionActions),
            nullable_whole(fields, "cycle"),
            fields.nullable_number("from_s").value_or(0.0),
            fields.nullable_number("to_s").value_or(0.0),
            fields.text("who"),
            fields.text("when"),
            text_or_nothing(fields, "why")};
}

void read_schema(Fields& fields) {
    const std::string schema = fields.text("schema");
    if (schema == kSessionSchema) return;
    throw Error(ErrorKind::unsupported, fields.source(), fields.place("schema"),
                fmt::format("not a result read here: saw schema '{}', expected '{}'", shown(schema), kSessionSchema),
                "score the recording again with this version");
}

// Numbers of another meaning beside each other would look like a change of the person's.
void read_measures_version(Fields tool) {
    const std::string version = tool.text("measures_version");
    if (version == kMeasuresVersion) return;
    throw Error(
        ErrorKind::unsupported, tool.source(), tool.place("measures_version"),
        fmt::format("numbers by other definitions: saw measures {}, expected {}", shown(version), kMeasuresVersion),
        "score the recording again with this version");
}

std::string version_from(Fields tool) {
    const std::string version = tool.text("version");
    const bool plain = !version.empty() && version.find_first_not_of("0123456789.") == std::string::npos;
    if (!plain) tool.refuse("version", fmt::format("is no version: saw '{}', expected one like {}", shown(version, 40), kVersion));
    return version;
}

void read_processing(SessionScore& score, Fields fields) {
    score.envelope_method = read_word(fields, "envelope", kEnvelopeMethods);
    score.envelope_window_s = fields.number("window_s");
    if (!fields.has("band_hz")) return;
    const TimeSpan band = span_at(fields, "band_hz");
    score.low_hz = band.begin_s;
    score.high_hz = band.end_s;
}

SessionScore score_from(const Json& json, const std::string& source) {
    static const PossibleValues possible{schema::session()};
    Fields fields(json, source);
    read_schema(fields);
    read_measures_version(fields.object("tool"));
    SessionScore score;
    score.tool_version = version_from(fields.object("tool"));
    score.settings = settings_from(fields.object("tool").object("settings"));
    score.recording = recording_from(fields.object("recording"));
    if (auto plan = fields.optional_object("plan")) score.plan = plan_from_json(*plan);
    Fields cues = fields.object("cues");
    score.cues = read_word(cues, "from", kCueSources);
    score.cue_offset_s = cues.nullable_number("offset_s");
    score.cue_confidence = cues.nullable_number("confidence");
    read_processing(score, fields.object("processing"));
    Fields quality = fields.object("quality");
    score.quality = quality_from(quality);
    score.noise_floor_uv = or_nan(quality.nullable_number("noise_floor_uv"));
    for (const Fields& cycle : fields.objects("cycles")) score.cycles.push_back(cycle_from(cycle));
    for (const Fields& correction : fields.objects("corrections"))
        score.corrections.push_back(correction_from(correction));
    read_session_part(score, fields.object("session"));
    for (Fields note : fields.objects("notes"))
        score.notes.push_back({note.text("code"), text_or_nothing(note, "place"), note.text("text")});
    possible.require(json, source);
    return score;
}

}  // namespace

SessionScore read_session_json(std::string_view text, const std::string& source) {
    const Json json = parse_json(text, source, kResultLimits);
    try {
        return score_from(json, source);
    } catch (const Error& error) {
        if (error.kind != ErrorKind::bad_setting) throw;  // nobody set anything: a program wrote it, and something changed it
        throw Error(ErrorKind::malformed, error.source, error.place, error.message, error.hint);
    }
}

}  // namespace tracehold

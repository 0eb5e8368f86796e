#pragma once
// The words that stand for enumerators in files: the same list writes them, reads them back and goes into the schemas.
#include <array>
#include <cstddef>
#include <string_view>

#include "core/json_fields.hpp"
#include "tracehold/clean/clean.hpp"
#include "tracehold/core/identity_level.hpp"
#include "tracehold/course/measure_change.hpp"
#include "tracehold/cycles/cycles.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/read/corrections.hpp"
#include "tracehold/read/recording.hpp"

namespace tracehold {

inline constexpr std::string_view kSessionSchema = "tracehold.session/1";
inline constexpr std::string_view kPlanSchema = "tracehold.plan/1";
inline constexpr std::string_view kCourseSchema = "tracehold.course/1";
inline constexpr std::string_view kAuditSchema = "tracehold.audit/1";

// As the command line spells them.
inline constexpr std::string_view to_string(MainsRemoval removal) {
    constexpr std::array<std::string_view, 4> kWords = {"off", "auto", "50", "60"};
    return kWords[static_cast<std::size_t>(removal)];
}

inline constexpr std::array kMainsRemovals = {MainsRemoval::off, MainsRemoval::automatic, MainsRemoval::hz50,
                                              MainsRemoval::hz60};
inline constexpr std::array kFileFormats = {FileFormat::csv,        FileFormat::edf,      FileFormat::edf_plus_c,
                                            FileFormat::edf_plus_d, FileFormat::bdf,      FileFormat::bdf_plus_c,
                                            FileFormat::bdf_plus_d, FileFormat::simulated};
inline constexpr std::array kChannelKinds = {ChannelKind::raw, ChannelKind::envelope, ChannelKind::other};
inline constexpr std::array kSeverities = {Severity::note, Severity::caution, Severity::reject};
inline constexpr std::array kEnvelopeMethods = {EnvelopeMethod::moving_rms, EnvelopeMethod::rectified,
                                                EnvelopeMethod::as_exported};
inline constexpr std::array kCueSources = {CueSource::marks, CueSource::start, CueSource::aligned, CueSource::trace};
inline constexpr std::array kStepKinds = {StepKind::rest, StepKind::hold, StepKind::rapid, StepKind::endurance};
inline constexpr std::array kWorkKinds = {StepKind::hold, StepKind::rapid, StepKind::endurance};
inline constexpr std::array kPlanPurposes = {PlanPurpose::training, PlanPurpose::assessment};
inline constexpr std::array kCycleStatuses = {CycleStatus::done, CycleStatus::missed, CycleStatus::extra,
                                              CycleStatus::unusable};
inline constexpr std::array kBegins = {Begins::as_usual, Begins::early, Begins::late};
inline constexpr std::array kCorrectionActions = {CorrectionAction::move_contract_cue,
                                                  CorrectionAction::move_relax_cue,
                                                  CorrectionAction::move_onset,
                                                  CorrectionAction::move_offset,
                                                  CorrectionAction::drop_cycle,
                                                  CorrectionAction::add_cycle,
                                                  CorrectionAction::mask};
inline constexpr std::array kIdentityLevels = {IdentityLevel::keep, IdentityLevel::pseudonym, IdentityLevel::anonymous};
inline constexpr std::array kStatements = {Statement::more, Statement::less, Statement::no_change_shown,
                                           Statement::not_enough};
inline constexpr std::array kErrorSources = {ErrorSource::own_repeats, ErrorSource::published};

template <class Enum, std::size_t count>
std::array<std::string_view, count> words_of(const std::array<Enum, count>& values) {
    std::array<std::string_view, count> words;
    for (std::size_t i = 0; i < count; ++i) words[i] = to_string(values[i]);
    return words;
}

// Error: bad_setting at the member, naming the words that were expected.
template <class Enum, std::size_t count>
Enum read_word(Fields& fields, std::string_view key, const std::array<Enum, count>& values) {
    const auto words = words_of(values);
    return values[fields.choice(key, words)];
}

}  // namespace tracehold

#pragma once
// What a command line asks for, spelt out. Which options a command knows stands in its table: see command.hpp.
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "app/console.hpp"
#include "tracehold/audit/audit_settings.hpp"
#include "tracehold/clean/clean.hpp"
#include "tracehold/core/identity_level.hpp"
#include "tracehold/envelope/envelope.hpp"
#include "tracehold/exchange/write_fhir.hpp"
#include "tracehold/read/recording.hpp"
#include "tracehold/report/language.hpp"
#include "tracehold/report/render_html.hpp"

namespace tracehold {

enum class Format { text, json, ndjson, csv, md, html, fhir, weeks };

// What 'export' writes.
enum class ExportFormat { edf, events, csv, bids };

// Whom pages (text, md, html) are for; files for programs are the same for all.
enum class Reader { clinician, patient, referrer };

// The part K of N parts, from 1.
struct Shard {
    unsigned part = 1, parts = 1;
};

struct Options {
    std::vector<std::string> inputs;  // files, folders, "-"
    std::string plan;                 // paths; "" = not given
    std::string sessions;
    std::string corrections;
    std::string channel;    // label or number from 1
    std::string accessory;  // label or number from 1
    std::optional<double> rate_hz;
    std::string unit;
    std::optional<ChannelKind> kind;
    std::optional<double> start_s;
    std::optional<MainsRemoval> mains;
    EnvelopeMethod envelope = EnvelopeMethod::moving_rms;
    bool subtract_noise = false;
    bool subtract_baseline = false;
    std::vector<Format> formats;  // never empty once read
    std::vector<ExportFormat> exports;  // export: never empty once read
    Reader reader = Reader::clinician;
    Language language = Language::en;
    bool with_microvolts = false;  // on the patient's page
    Paper paper = Paper::a4;       // of pages as HTML
    std::string out = "-";
    unsigned jobs = 0;  // 0 = all cores
    std::string files_from;      // a file that names inputs, one a line; "" = none, "-" = standard input
    std::optional<Shard> shard;  // only the people of this part
    bool resume = false;         // score: leave what is done already
    bool dry_run = false;        // say what would be done, and do it not
    std::string recordings;      // verify, audit: the folder to find recordings in
    std::optional<double> tolerance;  // verify: largest relative difference of two numbers that counts as none
    bool quiet = false;
    ColorUse color = ColorUse::automatic;
    std::string person;      // course: the one to chart
    bool by_person = false;  // course: one course each
    std::string rules;       // course: a service's own table of questions
    AuditSettings audit;     // audit: what is asked of the service
    std::string performed_plan;      // plan threshold: what was performed in the reference recording
    std::optional<double> percent;   // plan threshold: of the reference
    FhirForm fhir = FhirForm::collection;
    IdentityLevel identity = IdentityLevel::keep;
    std::string key_file;               // "" = the user's own
    std::string name;                   // of a measure or schema
    std::optional<std::uint64_t> seed;  // simulate
};

}  // namespace tracehold

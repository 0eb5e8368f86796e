#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "manual/man_pages.hpp"
#include "tracehold/core/version.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold {
namespace {

using Json = nlohmann::ordered_json;

struct Item {
    std::string_view name, text;
};

// Read by own readers, not by a schema: what README and the headers of the readers say.
constexpr Item kRecordings[] = {
    {"CSV",
     "Comma, semicolon, tab or blanks; decimal point or comma; UTF-8, UTF-16 or Latin-1; a header row, '# key: value' "
     "lines (person, start, posture, rate_hz, unit, kind), or neither. Columns are known by name and unit: time_s, "
     "emg_uV, marker. Without a time column --rate says the rate."},
    {"EDF, EDF+, BDF, BDF+", "Continuous or not, with cue marks as annotations. Gaps stay gaps."}};

constexpr Item kSessions[] = {{"file", "Name of the recording, as in its folder; empty of a person who has none, whom an audit counts"},
                              {"person", "A code, never a name"},
                              {"start", "Date and time it began, as 2026-03-02T07:40"},
                              {"posture", "lying, sitting, standing ..."},
                              {"plan", "File of the plan, from the folder of the list"},
                              {"channel", "Channel to score, by label or number"},
                              {"site", "Where the person is treated"}};

constexpr Item kCorrections[] = {
    {"file", "Name of the recording; empty for all"},
    {"action", "move_contract_cue, move_relax_cue, move_onset, move_offset, drop_cycle, add_cycle or mask"},
    {"cycle", "Number of the contraction as on the page, the same with corrections and without; one that is added gets the next after the last, "
              "in order of the list"},
    {"from_s, to_s", "Seconds of the recording"},
    {"who, when, why", "Stand in every result that rests on the correction"}};

std::string list_of(std::span<const Item> items) {
    std::string out;
    for (const Item& item : items)
        out += fmt::format(".TP\n\\fB{}\\fR\n{}\n", roff_text(item.name), roff_text(item.text));
    return out;
}

std::string described(const Json& property) {
    return property.contains("description") ? property["description"].get<std::string>()
                                            : std::string("See the schema");
}

// The keys of a file as its schema describes them.
std::string keys_of(std::string_view name) {
    const Json schema = Json::parse(schema_text(name));
    std::string out;
    if (schema.contains("description")) out += roff_text(schema["description"].get<std::string>()) + "\n";
    if (!schema.contains("properties")) return out;
    for (const auto& [key, property] : schema["properties"].items())
        out += fmt::format(".TP\n\\fB{}\\fR\n{}\n", roff_text(key), roff_text(described(property)));
    return out;
}

// The promise of what may change, with the number that each schema has now: that of "urn:tracehold:session:1" is 1.
std::string promise() {
    std::string out =
        ".SH WHAT MAY CHANGE\nWithin one minor version keys of JSON and columns of CSV are only added, never renamed or given another meaning: "
        "readers pass over keys they don't know. A change of meaning raises the number behind the slash of the schema's name. A number that is "
        "computed in another way raises measures_version, which stands in every result: results by other definitions are refused, and those of "
        "another version of the program are named by \\fBverify\\fR, \\fBcourse\\fR and \\fBaudit\\fR.\n.PP\n";
    out += fmt::format("This is version {}, measures_version {}. The schemas now:\n.nf\n", kVersion, kMeasuresVersion);
    for (const std::string_view name : schema_names()) {
        const Json schema = Json::parse(schema_text(name), nullptr, false);
        if (!schema.contains("$id")) continue;
        const std::string id = schema["$id"].get<std::string>();
        out += roff_text(fmt::format("tracehold.{}/{}", name, id.substr(id.rfind(':') + 1))) + "\n";
    }
    return out + ".fi\n";
}

}  // namespace

std::string formats_page() {
    std::string out =
        fmt::format(".TH TRACEHOLD-FORMATS 5 \"{}\" \"tracehold {}\" \"File formats\"\n", kPageDate, kVersion);
    out += ".SH NAME\ntracehold\\-formats \\- files that tracehold reads and writes\n";
    out += ".SH RECORDINGS\nThe format is recognised by content, never by name. The name, the birth date and the serial number that a header "
           "holds in their own fields are never shown; a mark's text, a channel's label or another word in a recording is quoted as it "
           "stands, a name in it too, unless identities are hidden.\n" +
           list_of(kRecordings);
    out +=
        ".SH SESSIONS LIST\nA CSV file with these columns; it speaks for recordings that do not say it themselves, and "
        "beats what they say.\n" +
        list_of(kSessions);
    out += ".SH CORRECTIONS\nA CSV file with these columns.\n" + list_of(kCorrections);
    for (const std::string_view name : schema_names()) {
        const Json schema = Json::parse(schema_text(name), nullptr, false);
        if (schema.is_discarded() || !schema.contains("properties")) continue;
        out +=
            fmt::format(".SH {}\nPrinted whole by \\fBtracehold schema {}\\fR.\n", roff_text(name), roff_text(name)) +
            keys_of(name);
    }
    return out + promise() + ".SH SEE ALSO\n\\fBtracehold\\fR(1), \\fBtracehold\\-measures\\fR(7)\n";
}

}  // namespace tracehold

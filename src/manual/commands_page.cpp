#include <fmt/format.h>

#include "manual/man_pages.hpp"
#include "tracehold/core/version.hpp"

namespace tracehold {
namespace {

// "-f, --format json|csv" with the names in bold.
std::string head_of(const Option& option) {
    std::string out;
    for (const std::string& name : option.names)
        out += fmt::format("{}{}{}\\fR", out.empty() ? "" : ", ", option.is_positional() ? "\\fI" : "\\fB",
                           roff_text(name));
    return option.argument.empty() ? out : out + " " + roff_text(option.argument);
}

std::string options_of(const ManualCommand& command) {
    std::string out;
    for (const Option& option : command.options)
        out += ".TP\n" + head_of(option) + "\n" + roff_text(option.text) + ".\n";
    return out;
}

// The footer of --help keeps its lines.
std::string verbatim(const std::string& text) { return text.empty() ? "" : ".PP\n.nf\n" + roff_text(text) + "\n.fi\n"; }

// "INPUT...", "[FILE]", as --help has them.
std::string positional(const Option& option) {
    const std::string name = "\\fI" + roff_text(option.names[0]) + "\\fR" + (option.repeatable ? "..." : "");
    return option.required ? name : "[" + name + "]";
}

std::string synopsis(std::span<const ManualCommand> commands) {
    std::string out = ".SH SYNOPSIS\n.nf\n";
    for (const ManualCommand& command : commands) {
        if (command.words.empty()) continue;
        out += "\\fB" + roff_text(command.name()) + "\\fR [options]";
        for (const Option& option : command.options)
            if (option.is_positional()) out += " " + positional(option);
        if (!command.command.commands.empty()) out += " \\fICOMMAND\\fR";
        out += "\n";
    }
    return out + ".fi\n";
}

}  // namespace

std::string commands_page(std::span<const ManualCommand> commands) {
    std::string out = fmt::format(".TH TRACEHOLD 1 \"{}\" \"tracehold {}\" \"User commands\"\n", kPageDate, kVersion);
    out += ".SH NAME\ntracehold \\- contraction sessions of the pelvic floor, scored from surface\\-EMG recordings\n";
    out += synopsis(commands);
    out +=
        ".SH DESCRIPTION\nReads what a surface\\-EMG recorder kept of a training session, says whether the signal can "
        "be "
        "trusted, finds every contraction, measures it with its uncertainty, and writes a page for people and a record "
        "for other programs. Results go to standard output, everything else to standard error.\n";
    for (const ManualCommand& command : commands) {
        if (command.words.empty()) continue;
        out += ".SS \"" + roff_text(command.name()) + "\"\n" + roff_text(command.command.summary) + ".\n";
        out += options_of(command) + verbatim(command.command.footer);
    }
    out +=
        ".SH EXIT STATUS\n.TP\n0\nAll done.\n.TP\n1\nSome input was refused, could not be scored, or did not verify. Score and export "
        "end so too where a signal was rejected; inspect shows such a recording, course and audit count it, and they end with 0.\n"
        ".TP\n2\nWrong use.\n.TP\n3\nAn output could not be written.\n.TP\n70\nA fault of the program.\n";
    out +=
        ".SH ENVIRONMENT\n.TP\nNO_COLOR\nIf set and not empty, no colour on a terminal.\n"
        ".TP\nTERM\nIf \"dumb\", no colour on a terminal.\n"
        ".TP\nSOURCE_DATE_EPOCH\nSeconds since 1970, taken for now in place of the clock. In FHIR it is the time at which each "
        "Provenance was recorded. In course and audit it is today: the weeks of a plan with count_all_weeks count up to it, and a later date "
        "of a session is taken for wrong.\n"
        ".TP\nXDG_CONFIG_HOME\nAn absolute path: the key for pseudonyms is tracehold/clinic.key in this folder, unless a call names another.\n"
        ".TP\nHOME\nWithout XDG_CONFIG_HOME the key is .config/tracehold/clinic.key in this folder.\n";
    out +=
        ".SH CAVEATS\nThe figures describe electrical activity. They are no diagnosis, and they compare only within "
        "one "
        "person under the same conditions. Local rules and licensed practice come first.\n";
    return out + ".SH SEE ALSO\n\\fBtracehold\\-formats\\fR(5), \\fBtracehold\\-measures\\fR(7)\n";
}

}  // namespace tracehold

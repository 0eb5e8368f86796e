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

std::string synopsis(std::span<const ManualCommand> commands) {
    std::string out = ".SH SYNOPSIS\n.nf\n";
    for (const ManualCommand& command : commands) {
        if (command.words.empty()) continue;
        out += "\\fB" + roff_text(command.name()) + "\\fR [options]";
        for (const Option& option : command.options)
            if (option.is_positional()) out += " \\fI" + roff_text(option.names[0]) + "\\fR";
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
        ".SH EXIT STATUS\n.TP\n0\nAll done.\n.TP\n1\nSome input was refused, could not be scored, or did not verify.\n"
        ".TP\n2\nWrong use.\n.TP\n3\nAn output could not be written.\n.TP\n70\nA fault of the program.\n";
    out +=
        ".SH ENVIRONMENT\n.TP\nNO_COLOR\nIf set, no colour on a terminal.\n.TP\nSOURCE_DATE_EPOCH\nThe time that a "
        "page "
        "says it was made, in seconds since 1970.\n";
    out +=
        ".SH CAVEATS\nThe figures describe electrical activity. They are no diagnosis, and they compare only within "
        "one "
        "person under the same conditions. Local rules and licensed practice come first.\n";
    return out + ".SH SEE ALSO\n\\fBtracehold\\-formats\\fR(5), \\fBtracehold\\-measures\\fR(7)\n";
}

}  // namespace tracehold

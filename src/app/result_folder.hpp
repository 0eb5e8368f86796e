#pragma once
// A folder of results: a file for each recording and format.
//
// Where a recording has several files, or JSON by which it can be resumed, NAME.sha256 names them with their SHA-256, as sha256sum
// writes and checks it, with those of other runs that are there still: it is written last, so files that it does not fit were left by
// a run that was cut short, or were changed since.
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/options.hpp"
#include "app/pipeline.hpp"
#include "tracehold/core/error.hpp"
#include "tracehold/measures/session_score.hpp"

namespace tracehold {

class ResultFolder {
public:
    // Makes the folder (but not in a dry run). Errors: wrong_use (a file that would replace an input; resuming without JSON, or
    // anonymous), cannot_write.
    ResultFolder(const Options& options, const std::vector<std::string>& inputs);

    // name: see base_name. texts: one for each format of the options. Each file is replaced whole or not at all. Errors: cannot_write.
    void write(const std::string& name, const std::vector<std::string>& texts);

    // The files that write() makes.
    std::vector<std::string> paths_of(const std::string& name) const;

    // Why the score of this recording must not take the place of the one that stands there, as a result in JSON tells: that is of other
    // bytes, and of another person or time, or nothing tells; or, anonymous, says anything else (texts: as write(), none in a dry run). The same
    // recording scored anew, or mended, may. Nothing where none is there.
    std::optional<Error> another_there(const std::string& name, const RecordingFacts& here, const std::vector<std::string>& texts) const;

    // Whether files of an earlier run are there.
    bool has_older(const std::string& name) const;

    // Before writing: pages and tables of an earlier run that this one does not replace, where its result in JSON says something
    // else than these texts. In order.
    std::vector<std::string> outdated(const std::string& name, const std::vector<std::string>& texts) const;

    // After the last of them: all that was written lasts over a loss of power. Errors: cannot_write.
    void finish() const;

    // The score that stands in the folder, if the files there are, byte for byte, what scoring this recording now would
    // write, as far as that can be known without scoring: made by this version, of the same bytes, plan, corrections,
    // settings and list. Anything else, unreadable files too, is no score.
    std::optional<SessionScore> kept(const std::string& input, const std::string& sha256, const Assignment& prepared,
                                     const ScoreSettings& settings) const;

private:
    const Options& options_;
};

// A name of a file that leaves room for any ending of an output. One that is too long is cut, and ends with a part of the SHA-256
// of the whole name instead, so that names stay apart.
std::string with_room_for_ending(const std::string& name);

// What the files of a recording's results are called, without their endings: as the recording (see with_room_for_ending), or by its
// label where identities are hidden.
std::string base_name(const std::string& input, const Identity& identity, const std::string& sha256);

}  // namespace tracehold

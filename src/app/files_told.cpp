#include "app/files_told.hpp"

#include <algorithm>

namespace tracehold {
namespace {

void insert_once(std::vector<std::string>& sorted, const std::string& hash) {
    const auto at = std::lower_bound(sorted.begin(), sorted.end(), hash);
    if (!hash.empty() && (at == sorted.end() || *at != hash)) sorted.insert(at, hash);
}

}  // namespace

void add_files_of(const SessionScore& score, const Identity& identity, MadeWith& files) {
    const bool hidden = score.settings.identity != IdentityLevel::keep;
    const auto told = [&](const std::string& hash) { return hidden ? hash : shown_hash(identity, hash); };
    files.identity = std::max(files.identity, score.settings.identity);
    if (score.plan) insert_once(files.plans, told(score.plan->sha256));
    insert_once(files.corrections, told(score.settings.given.corrections_sha256));
}

MadeWith files_told(MadeWith files, const Identity& identity, ToldTo readers) {
    files.identity = std::max(files.identity, identity.level);
    if (readers == ToldTo::others || files.identity == IdentityLevel::anonymous) {
        return {.identity = files.identity, .plans = {}, .corrections = {}, .sessions = {}, .rules = {},
                .left_out = "by them whoever holds a file could tell that it is the one"};
    }
    if (files.identity != IdentityLevel::keep && !identity.hides()) {
        files.sessions = files.rules = "";
        files.left_out = "results hide identities, and no key was given to hide the list and the rules with";
        return files;
    }
    files.sessions = shown_hash(identity, files.sessions);
    files.rules = shown_hash(identity, files.rules);
    return files;
}

}  // namespace tracehold

// Pages for the clinician, the person who trained and the one who referred, as a clinic would ask for them.
#include <doctest/doctest.h>

#include <filesystem>

#include "support/run_program.hpp"

using tracehold::test::file_bytes;
using tracehold::test::holds;
using tracehold::test::home_week;
using tracehold::test::kHomePlan;
using tracehold::test::ProgramResult;
using tracehold::test::run_program;
using tracehold::test::TemporaryFolder;

namespace {

ProgramResult score(const std::string& file, std::vector<std::string> more) {
    std::vector<std::string> words = {"score", home_week().path(file), "--plan", kHomePlan, "--quiet"};
    words.insert(words.end(), more.begin(), more.end());
    return run_program(words);
}

const std::string kSound = "P-014_2026-03-03.edf", kOpen = "P-014_2026-03-04_a.csv",
                  kExported = "P-014_2026-03-05_envelope.csv";

}  // namespace

TEST_CASE("a session has a page for each reader in each language that is there") {
    CHECK(holds(score(kSound, {"--for", "patient"}).out, "You did all 15 squeezes"));
    CHECK_FALSE(holds(score(kSound, {"--for", "patient"}).out, "µV"));
    CHECK(holds(score(kSound, {"--for", "patient", "--with-microvolts"}).out, "Holding, µV"));
    CHECK(holds(score(kSound, {"--for", "patient", "--language", "de"}).out, "Ihre Übung am 3. März 2026"));
    CHECK(holds(score(kSound, {"--for", "referrer", "--language", "fr"}).out, "Résumé pour le médecin adresseur"));
    CHECK(score(kSound, {"--for", "clinician"}).out == score(kSound, {}).out);
    const std::string page = score(kSound, {"--for", "patient", "--language", "fr", "--format", "html"}).out;
    CHECK(holds(page, "<html lang=\"fr\">"));
    CHECK(holds(page, ":root{font-size:125%}"));
}

TEST_CASE("a page for patients does not cheer over a signal that cannot be trusted") {
    const ProgramResult open = score(kOpen, {"--for", "patient"});
    CHECK(open.status == 1);
    CHECK(holds(open.out, "could not be read well enough"));
    CHECK_FALSE(holds(open.out, "went well"));
    CHECK(holds(score(kExported, {"--for", "referrer"}).out, "Amplitudes as the"));
}

TEST_CASE("files for programs are the same for every reader and language") {
    for (const char* format : {"json", "ndjson", "csv"}) {
        CHECK(score(kSound, {"--for", "patient", "--language", "de", "--format", format}).out ==
              score(kSound, {"--format", format}).out);
    }
}

TEST_CASE("pages of several readers stand beside each other in a folder") {
    const TemporaryFolder out;
    CHECK(score(kSound, {"--format", "html", "--out", out.path() + "/"}).status == 0);
    CHECK(
        score(kSound, {"--format", "html", "--for", "patient", "--language", "de", "--out", out.path() + "/"}).status ==
        0);
    CHECK(score(kSound, {"--format", "html", "--for", "referrer", "--out", out.path() + "/"}).status == 0);
    for (const char* ending : {".html", ".patient.de.html", ".referrer.html"})
        CHECK(std::filesystem::exists(out.path(kSound + ending)));
}

TEST_CASE("several recordings for patients are a page each and no table") {
    const ProgramResult pages = score("", {"--for", "patient"});
    CHECK_FALSE(holds(pages.out, "recordings,"));
    CHECK(holds(pages.out, "Your session on 3 March 2026"));
    CHECK(holds(pages.out, "Your session on 7 March 2026"));
}

TEST_CASE("a course has its pages and the home sheet its languages") {
    std::vector<std::string> words = {
        "course", home_week().path(), "--plan", kHomePlan, "--sessions", SOURCE_DIR "/examples/sessions.csv", "--quiet"};
    const auto course = [&](std::vector<std::string> more) {
        std::vector<std::string> all = words;
        all.insert(all.end(), more.begin(), more.end());
        return run_program(all).out;
    };
    CHECK(holds(course({"--for", "patient"}), "Your training so far: P-014"));
    CHECK(holds(course({"--for", "patient"}), "It is too soon to say if something changed."));
    CHECK(holds(course({"--for", "referrer", "--language", "de"}), "Zu wenige vergleichbare Sitzungen"));
    CHECK(holds(course({"--format", "html"}), "How the numbers are defined"));
    CHECK(holds(run_program({"plan", "sheet", kHomePlan}).out, "Your sessions at home: Home A"));
    CHECK(holds(run_program({"plan", "sheet", kHomePlan, "--language", "de"}).out, "Ihre Übungen zu Hause: Home A"));
    CHECK(holds(run_program({"plan", "sheet", kHomePlan, "--language", "de"}).out, "13,9"));
}

TEST_CASE("no page is half in another language and microvolts have no page but the patient's") {
    const ProgramResult german = score(kSound, {"--language", "de"});
    CHECK(german.status == 2);
    CHECK(german.out.empty());
    CHECK(holds(german.err,
                "--language de: the clinician's page is there in English only; --for patient and --for referrer are "
                "there in en, de, fr"));
    CHECK(run_program({"course", "x", "--language", "fr"}).status == 2);
    CHECK(score(kSound, {"--with-microvolts"}).status == 2);
    CHECK(holds(score(kSound, {"--for", "patent"}).err,
                "--for: saw 'patent', expected one of clinician, patient, referrer; did you mean 'patient'?"));
    CHECK(holds(score(kSound, {"--for", "patient", "--language", "xx"}).err, "expected one of en, de, fr"));
}

#include "read/edf_notes.hpp"

#include <fmt/format.h>

#include <utility>

namespace tracehold {
namespace {

// How often one code is told in full. Our choice: a screen stays readable with a 140-channel file.
constexpr std::size_t kToldPerCode = 4;

}  // namespace

void EdfNotes::add(std::string code, std::string place, std::string text, bool doubt) {
    if (++found_[code] <= kToldPerCode) told_.push_back({std::move(code), std::move(place), std::move(text), doubt});
}

std::vector<Note> EdfNotes::take() const {
    std::vector<Note> notes = told_;
    std::map<std::string, std::size_t> left = found_;
    for (auto note = notes.rbegin(); note != notes.rend(); ++note) {
        std::size_t& found = left[note->code];
        if (found > kToldPerCode) note->text += fmt::format("; and {} more of this kind", found - kToldPerCode);
        found = 0;
    }
    return notes;
}

}  // namespace tracehold

#pragma once
// Collects the doubts about one EDF file and keeps them readable: a fault that sits in every channel is told a few
// times and then counted.
#include <cstddef>
#include <map>
#include <string>
#include <vector>

#include "tracehold/core/note.hpp"

namespace tracehold {

class EdfNotes {
public:
    void add(std::string code, std::string place, std::string text, bool doubt = false);

    // In order of their finding; the last one told of a code says how many more there were.
    std::vector<Note> take() const;

private:
    std::vector<Note> told_;
    std::map<std::string, std::size_t> found_;
};

}  // namespace tracehold

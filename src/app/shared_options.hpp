#pragma once
// Options that several commands share: spelt, read and described the same everywhere.
#include <initializer_list>
#include <string>
#include <vector>

#include "app/command.hpp"
#include "app/option_readers.hpp"

namespace tracehold {

using OptionList = std::vector<Option>;

OptionList joined(std::initializer_list<OptionList> lists);

Option inputs(std::string text);
Option input(std::string text);  // one
Option plan_file(std::string text);
Option sessions_list();
Option corrections_list();
Option channel();
Option format(const Choices<Format>& choices);   // one
Option formats(const Choices<Format>& choices);  // one or more
Choices<Format> page_and_data_formats();
Option output_file();
Option output();  // a file, or a folder of them
Option language();
Option paper();
Option of_format(Format format, Option option);  // refused where that format is not written
Option dry_run();

OptionList companions();  // what is said of recordings beside their own bytes
OptionList batch();       // work on many files: which, and how many at once
OptionList reading();
OptionList processing();
OptionList identity();
OptionList console();
OptionList page_for_a_reader();

}  // namespace tracehold

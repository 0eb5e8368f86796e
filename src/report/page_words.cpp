#include "report/page_words.hpp"

#include "report/de/page.hpp"
#include "report/en/page.hpp"
#include "report/fr/page.hpp"

namespace tracehold {

const PageWords& page_words(std::string_view language) {
    if (language.starts_with("de")) return kPageDe;
    if (language.starts_with("fr")) return kPageFr;
    return kPageEn;
}

}  // namespace tracehold

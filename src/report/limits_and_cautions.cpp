#include "report/limits_and_cautions.hpp"

#include "report/en/limits.hpp"
#include "report/en/session.hpp"

namespace tracehold {

Section limits_section() {
    const List limits{{words::kLimitsOfAPage.begin(), words::kLimitsOfAPage.end()}};
    return {words::kLimits, {limits}};
}

Section cautions_section() {
    const List cautions{{words::kCautionsOfAPage.begin(), words::kCautionsOfAPage.end()}};
    return {words::kCautions, {Paragraph{words::kCautionsFirst}, cautions}};
}

}  // namespace tracehold

#include "exchange/schema_course.hpp"
#include "exchange/schema_inspection.hpp"
#include "exchange/schema_plan.hpp"
#include "exchange/schema_session.hpp"
#include "tracehold/exchange/write_session.hpp"

namespace tracehold {

std::vector<std::string_view> schema_names() { return {"course", "inspection", "plan", "session"}; }

std::string_view schema_text(std::string_view name) {
    static const std::string course = written(schema::course(), 2);
    static const std::string inspection = written(schema::inspection(), 2);
    static const std::string plan = written(schema::plan_file(), 2);
    static const std::string session = written(schema::session(), 2);
    if (name == "course") return course;
    if (name == "inspection") return inspection;
    if (name == "plan") return plan;
    return name == "session" ? std::string_view(session) : std::string_view();
}

}  // namespace tracehold

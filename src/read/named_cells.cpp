#include "read/named_cells.hpp"

#include <algorithm>
#include <vector>

#include "tracehold/core/nearest_name.hpp"
#include "tracehold/core/number_text.hpp"

namespace tracehold {

std::optional<std::size_t> NamedCells::column(std::string_view name) const {
    const auto found = std::find(table.header.begin(), table.header.end(), name);
    if (found == table.header.end()) return std::nullopt;
    if (std::find(found + 1, table.header.end(), name) != table.header.end()) {
        throw Error(ErrorKind::bad_setting, source, "",
                    "two columns are named '" + std::string(name) + "', expected one");
    }
    return static_cast<std::size_t>(found - table.header.begin());
}

std::size_t NamedCells::needed(std::string_view name) const {
    if (const auto at = column(name)) return *at;
    std::string saw = "no header row";
    for (const std::string& other : table.header)
        saw = (&other == table.header.data() ? "" : saw + ", ") + shown(other, 20);
    throw Error(ErrorKind::bad_setting, source, "", "no column '" + std::string(name) + "': saw " + shown(saw, 200),
                "the first row of a list names its columns; is it another file?");
}

std::string NamedCells::text(const TableRow& row, std::string_view name) const {
    const auto at = column(name);
    return at ? row.cells[*at] : "";
}

void NamedCells::refuse(const TableRow& row, std::string_view name, ErrorKind kind, std::string message,
                        std::string hint) const {
    const auto at = column(name);
    throw Error(kind, source, at ? row.place(*at) : std::to_string(row.line), std::move(message), std::move(hint));
}

}  // namespace tracehold

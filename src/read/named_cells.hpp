#pragma once
// Lists by column name: where a column stands, and the cell of a row under it.
#include <optional>
#include <string>
#include <string_view>

#include "tracehold/core/error.hpp"
#include "tracehold/read/table.hpp"

namespace tracehold {

struct NamedCells {
    const Table& table;
    const std::string& source;

    std::optional<std::size_t> column(std::string_view name) const;

    // Errors: bad_setting (no such column; the same name twice).
    std::size_t needed(std::string_view name) const;

    // "" where there is no such column.
    std::string text(const TableRow& row, std::string_view name) const;

    [[noreturn]] void refuse(const TableRow& row, std::string_view name, ErrorKind kind, std::string message,
                             std::string hint = {}) const;
};

}  // namespace tracehold

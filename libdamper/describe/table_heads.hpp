// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/describe/measured_table.hpp"
#include "libdamper/describe/table_text.hpp"
#include "libdamper/quantity/read_quantity.hpp"

#include <optional>
#include <string>
#include <vector>

namespace damper {

/// Which cell of a row holds a wanted column, and in which unit.
struct ColumnHead {
    const WantedColumn* wanted = nullptr;
    std::optional<std::size_t> cell;  ///< Empty: the table does not have it.
    std::string heading, unit;
    ReadUnit scale;
    int column = 1;  ///< Of its name in the line of names.
};

/// The names of a table and the row of units that may follow them.
struct TableHead {
    std::vector<ColumnHead> columns;  ///< As they are asked for.
    std::vector<std::string> unused;  ///< Headings of columns that nobody asked for.
    std::size_t cells = 0;            ///< Cells that every row must have.
    std::size_t first_row = 1;        ///< Index of the first line with numbers.
    char separator = ',';
};

/// Reads the names and units. What is wrong goes to `findings`, whose places have the name `file`.
[[nodiscard]] TableHead table_head(const std::vector<TableLine>& lines, const TableRequest& request,
                                   const std::string& file, std::vector<Finding>& findings);

/// A place in a line of the table, with the line quoted.
[[nodiscard]] Place table_place(const std::string& file, const TableLine& line, int column);

}  // namespace damper

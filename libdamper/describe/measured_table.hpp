// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/base/finding.hpp"
#include "libdamper/quantity/quantity.hpp"

#include <cstddef>
#include <filesystem>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace damper {

struct MeasuredTable;

/// A column that a table is asked for.
struct WantedColumn {
    std::string key;                 ///< What the caller calls it: "twist".
    Dimension due;                   ///< What it measures.
    std::vector<std::string> names;  ///< Headings that mean it, in lower case, words parted by
                                     ///< blanks: "twist", "angle of twist".
    std::string unit = {};           ///< Unit said outside the file; empty: the file says it.
    std::string unit_option = {};    ///< How the user can say it: "--angle-unit deg".
    bool required = true;
    bool rising = false;  ///< From row to row the value must not fall.
};

/// What is wanted of a table, and what is known of it beforehand.
struct TableRequest {
    std::vector<WantedColumn> columns;
    std::size_t fewest_rows = 2;
    std::size_t fewest_columns = 2;  ///< 1: a single column needs no separator.
    char separator = 0;              ///< ',' ';' or tab; 0: found from the line of names.
    char decimal = 0;                ///< '.' or ','; 0: found from the numbers.
    bool has_options = false;        ///< The user may say --decimal; messages then name it.
    std::string example = "twist [deg]; torque [N m]";  ///< A line of names, for messages.
    /// Called with the names, before any number is looked at; throws InputError if the columns that
    /// are there are none to go on with.
    std::function<void(const MeasuredTable&)> look_at_names = {};
};

/// A column as read, in SI units.
struct MeasuredColumn {
    std::string key;
    std::string heading;  ///< As the file has it; empty if the file does not have the column.
    std::string unit;     ///< As the file or the caller has it.
    std::vector<double> values;
};

/// A table of measured values.
struct MeasuredTable {
    std::string file;
    std::string sha256;                   ///< Of the bytes of the file.
    std::vector<MeasuredColumn> columns;  ///< As they were asked for.
    std::vector<std::string> unused;      ///< Headings of columns that were not asked for.
    std::vector<int> lines;               ///< Line of the file of each row.
    char separator = ',';
    char decimal = '.';

    [[nodiscard]] bool has(std::string_view key) const;
    /// Throws std::out_of_range if no column of that name was asked for.
    [[nodiscard]] const MeasuredColumn& column(std::string_view key) const;
    /// The place of a row, for a finding about it.
    [[nodiscard]] Place place(std::size_t row) const;
};

inline constexpr std::size_t largest_table = std::size_t{64} * 1024 * 1024;  ///< [bytes]

/// Reads a table of numbers from a text file: one line of names, then one line a row.
///
/// - UTF-8 with or without byte order mark; line ends LF or CR LF; blank lines and lines that begin
///   with # or % are left out; cells may stand in quotation marks.
/// - Cells are parted by tabs, semicolons or commas: the first of these that the line of names has.
/// - The decimal sign is a point or a comma; beside a separating comma it is a point. Thousands are
///   not grouped. Where the numbers leave open what a comma or point is, that is an error.
/// - Each wanted column must have a unit: behind its name, as "twist [deg]", "twist (deg)",
///   "twist / deg" or "twist_deg"; or in a row of units below the names; or from the request. Two
///   units that differ are an error. In a column of rotating speeds, 1/min, min-1, min^-1, U/min
///   and r/min are turns a minute.
/// - Columns that are not asked for may hold anything.
///
/// Throws InputError with file, line, column, what was found, what was expected and how to mend it;
/// FileError if the file system refuses to read. At most 64 MiB.
[[nodiscard]] MeasuredTable read_measured_table(const std::filesystem::path& file,
                                                const TableRequest& request);

/// The same from the text of a file that messages call `name`.
[[nodiscard]] MeasuredTable parse_measured_table(std::string_view text, const std::string& name,
                                                 const TableRequest& request);

}  // namespace damper

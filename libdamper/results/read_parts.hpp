// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/measures/measure.hpp"
#include "libdamper/results/h5_read.hpp"
#include "libdamper/results/run_record.hpp"
#include "libdamper/results/table_io.hpp"
#include "libdamper/verdict/verdict.hpp"

#include <cstdint>
#include <string>
#include <tuple>
#include <vector>

/// What files of different kinds have in common, read back. All throw H5Failure.
namespace damper {

/// What write_identity() wrote.
[[nodiscard]] RunIdentity read_identity(const GroupIn& root);

/// What write_measures() wrote.
[[nodiscard]] std::vector<MeasureValue> read_measures(const GroupIn& root);

/// What write_verdict() wrote; bands stand elsewhere.
[[nodiscard]] Verdict read_verdict(const GroupIn& root);

/// A loop without corners.
[[nodiscard]] DiscLoop read_loop_curves(const GroupIn& group, const char* upward,
                                        const char* downward);

/// An attribute that is left out when it is empty.
[[nodiscard]] std::string read_text_if_there(hid_t object, const char* name);

/// A count that must be one: whole and from 0 to 2³¹ − 1.
[[nodiscard]] int count_of(double value, const std::string& what);
[[nodiscard]] int read_count(const GroupIn& group, const char* attribute);

/// Throws H5Failure with the sentence if it does not hold.
void expect(bool holds, const std::string& sentence);

/// A column that must have that many rows.
template <class T>
std::vector<T> read_rows_of(const GroupIn& group, const std::string& name, std::size_t rows) {
    std::vector<T> values;
    group.read_column(name, values);
    expect(values.size() == rows, name + ": has another length than its axis");
    return values;
}

/// Columns along an axis whose rows are there already.
template <class Row, class Columns>
void read_lists(const GroupIn& group, std::vector<Row>& rows, const Columns& columns) {
    const auto read_one = [&](const layout::Column<Row, double>& column) {
        const auto values = read_rows_of<double>(group, column.name, rows.size());
        for (std::size_t i = 0; i < rows.size(); ++i) rows[i].*column.member = values[i];
    };
    std::apply([&](const auto&... column) { (read_one(column), ...); }, columns);
}

/// The rows of an axis with names.
template <class Row>
std::vector<Row> read_named(const GroupIn& group, const std::string& axis) {
    std::vector<std::string> names;
    group.read_column(axis, names);
    group.take_memory(names.size() * sizeof(Row), axis);
    std::vector<Row> rows(names.size());
    for (std::size_t i = 0; i < rows.size(); ++i) rows[i].name = std::move(names[i]);
    return rows;
}

}  // namespace damper

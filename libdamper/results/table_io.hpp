// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/h5_read.hpp"
#include "libdamper/results/h5_write.hpp"
#include "libdamper/results/layout.hpp"
#include "libdamper/results/words.hpp"

#include <cstdint>
#include <string>
#include <tuple>
#include <type_traits>
#include <vector>

namespace damper {

/// How a member is kept in a column: choices as words, yes/no as 0 and 1.
template <class T>
using Stored = std::conditional_t<std::is_enum_v<T>, std::string,
                                  std::conditional_t<std::is_same_v<T, bool>, std::int8_t, T>>;

template <class T>
Stored<T> to_stored(const T& value) {
    if constexpr (std::is_enum_v<T>) {
        return to_word(value);
    } else if constexpr (std::is_same_v<T, bool>) {
        return value ? 1 : 0;
    } else {
        return value;
    }
}

template <class T>
T from_stored(Stored<T> value) {
    if constexpr (std::is_enum_v<T>) {
        return from_word<T>(value);
    } else if constexpr (std::is_same_v<T, bool>) {
        return value != 0;
    } else {
        return value;
    }
}

/// Writes a group with an index and one column a member. Returns the group for more.
template <class Row, class Columns>
GroupOut write_table(GroupOut& parent, const std::string& name, const std::vector<Row>& rows,
                     const Columns& columns) {
    GroupOut group = parent.make_group(name);
    group.write_index(rows.size());
    const auto write_one = [&]<class T>(const layout::Column<Row, T>& column) {
        std::vector<Stored<T>> values;
        values.reserve(rows.size());
        for (const Row& row : rows) values.push_back(to_stored(row.*column.member));
        group.write_column(column.name, values, {column.units, column.meaning});
    };
    std::apply([&](const auto&... column) { (write_one(column), ...); }, columns);
    return group;
}

/// Reads what write_table wrote. Throws H5Failure.
template <class Row, class Columns>
std::vector<Row> read_table(const GroupIn& parent, const std::string& name,
                            const Columns& columns) {
    const GroupIn group = parent.open_group(name);
    std::vector<std::int32_t> index;
    group.read_column("index", index);
    group.take_memory(index.size() * sizeof(Row), name);
    std::vector<Row> rows(index.size());
    const auto read_one = [&]<class T>(const layout::Column<Row, T>& column) {
        std::vector<Stored<T>> values;
        group.read_column(column.name, values);
        if (values.size() != rows.size()) {
            throw H5Failure(name + "/" + column.name + ": has another length than its table");
        }
        for (std::size_t i = 0; i < rows.size(); ++i) {
            rows[i].*column.member = from_stored<T>(std::move(values[i]));
        }
    };
    std::apply([&](const auto&... column) { (read_one(column), ...); }, columns);
    return rows;
}

/// A table with a single column of text.
inline void write_texts(GroupOut& parent, const std::string& name, const char* column,
                        const std::vector<std::string>& texts, const char* meaning) {
    GroupOut group = parent.make_group(name);
    group.write_index(texts.size());
    group.write_column(column, texts, {"", meaning});
}

[[nodiscard]] inline std::vector<std::string> read_texts(const GroupIn& parent,
                                                         const std::string& name,
                                                         const char* column) {
    std::vector<std::string> texts;
    parent.open_group(name).read_column(column, texts);
    return texts;
}

}  // namespace damper

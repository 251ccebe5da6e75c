// SPDX-License-Identifier: MIT
#include "libdamper/describe/measured_table.hpp"

#include "libdamper/base/digest.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/describe/file_bytes.hpp"
#include "libdamper/describe/table_heads.hpp"
#include "libdamper/describe/table_numbers.hpp"
#include "libdamper/describe/table_text.hpp"
#include "libdamper/describe/text_checks.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <stdexcept>
#include <utility>

namespace damper {

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
constexpr std::size_t most_findings = 20;

/// The cells of every row, as many in each as there are names.
class Rows {
  public:
    Rows(const std::vector<TableLine>& lines, const TableHead& head, const std::string& file)
        : lines_(lines), head_(head), file_(file) {}

    /// Calls `take(line, cells)` for each row; stops with a finding at one that does not fit.
    template <typename Take>
    void for_each(std::vector<Finding>& findings, Take take) const {
        for (std::size_t i = head_.first_row; i < lines_.size(); ++i) {
            auto cells = table_cells(lines_[i].text, head_.separator);
            // A separator at the end of a line makes an empty cell more.
            if (cells && cells->size() == head_.cells + 1 && cells->back().text.empty()) {
                cells->pop_back();
            }
            if (!cells || cells->size() != head_.cells) {
                findings.push_back(ragged(lines_[i], cells ? cells->size() : 0));
                return;
            }
            if (!take(lines_[i], *cells)) return;
        }
    }

  private:
    [[nodiscard]] Finding ragged(const TableLine& line, std::size_t cells) const {
        const std::string word = separator_word(head_.separator);
        std::string mend = "Every row has as many cells as there are names.";
        if (cells == 0) {
            return {table_place(file_, line, 1), "", "a quotation mark without its partner",
                    "quotation marks around a whole cell", ""};
        }
        if (head_.separator == ',' && count_outside_quotes(line.text, ';') > 0) {
            mend =
                "The names are parted by commas, the numbers by semicolons: use semicolons "
                "throughout.";
        } else if (head_.separator == ',' && cells == 2 * head_.cells) {
            mend = "A comma cannot be decimal sign and part the columns: part them by semicolons.";
        }
        return {table_place(file_, line, 1), "",
                fmt::format("{} {} parted by {}s", cells, cells == 1 ? "cell" : "cells", word),
                fmt::format("{} cells, as in the line of names", head_.cells), mend};
    }

    const std::vector<TableLine>& lines_;
    const TableHead& head_;
    const std::string& file_;
};

void find_decimal(const Rows& rows, const TableHead& head, const TableRequest& request,
                  MeasuredTable& table, std::vector<Finding>& findings) {
    if (request.decimal != 0) {
        table.decimal = request.decimal;
        if (table.decimal == ',' && head.separator == ',') {
            findings.push_back({{table.file, 0, 0, ""},
                                "",
                                "commas between the columns and as decimal sign",
                                "two different signs",
                                "Part the columns by semicolons."});
        }
        return;
    }
    DecimalSign sign;
    TableLine at_fault;
    rows.for_each(findings, [&](const TableLine& line, const std::vector<TableCell>& cells) {
        for (const ColumnHead& column : head.columns) {
            if (column.cell) sign.look_at(cells[*column.cell].text, line.number);
        }
        return true;
    });
    if (!findings.empty() || head.separator == ',') return;  // a comma then parts columns
    const DecimalSign::Answer answer = sign.answer();
    table.decimal = answer.sign;
    if (!answer.fault) return;
    rows.for_each(findings, [&](const TableLine& line, const std::vector<TableCell>&) {
        if (line.number == answer.line) at_fault = line;
        return line.number < answer.line;
    });
    std::string mend = answer.fault->mend;
    if (request.has_options && answer.in_doubt) {
        mend += " Or say which it is with --decimal comma or --decimal point.";
    }
    findings.push_back({table_place(table.file, at_fault, 1), "", answer.fault->found,
                        answer.fault->expected, std::move(mend)});
}

void read_rows(const Rows& rows, const TableHead& head, MeasuredTable& table,
               std::vector<Finding>& findings) {
    rows.for_each(findings, [&](const TableLine& line, const std::vector<TableCell>& cells) {
        for (std::size_t c = 0; c < head.columns.size(); ++c) {
            const ColumnHead& column = head.columns[c];
            if (!column.cell) continue;
            const TableCell& cell = cells[*column.cell];
            const TableNumber number = table_number(cell.text, table.decimal);
            const Place place = number.fault ? table_place(table.file, line, cell.column) : Place{};
            if (number.fault) {
                findings.push_back({place, column.wanted->key, number.fault->found,
                                    number.fault->expected, number.fault->mend});
                continue;
            }
            const ReadUnit& unit = column.scale;
            const double si = number.value * unit.numerator / unit.denominator + unit.offset;
            std::vector<double>& values = table.columns[c].values;
            if (column.wanted->rising && !values.empty() && si < values.back()) {
                findings.push_back({table_place(table.file, line, cell.column), column.wanted->key,
                                    fmt::format("\"{}\", less than in the row before", cell.text),
                                    "a value that does not fall from row to row",
                                    "Put the rows in the order in which they were measured."});
            }
            values.push_back(si);
        }
        table.lines.push_back(line.number);
        return findings.size() < most_findings;
    });
}

[[noreturn]] void refuse(std::vector<Finding> findings) {
    throw InputError(std::move(findings));
}

}  // namespace

bool MeasuredTable::has(std::string_view key) const {
    return std::ranges::any_of(columns,
                               [&](const auto& c) { return c.key == key && !c.heading.empty(); });
}

const MeasuredColumn& MeasuredTable::column(std::string_view key) const {
    const auto found = std::ranges::find(columns, key, &MeasuredColumn::key);
    if (found == columns.end()) throw std::out_of_range("no column " + std::string(key));
    return *found;
}

Place MeasuredTable::place(std::size_t row) const {
    return {file, lines.at(row), 1, ""};
}

MeasuredTable parse_measured_table(std::string_view text, const std::string& name,
                                   const TableRequest& request) {
    MeasuredTable table;
    table.file = name;
    table.sha256 = sha256_hex(text);
    if (text.starts_with(byte_order_mark)) text.remove_prefix(byte_order_mark.size());
    if (auto finding = unfit_encoding(text)) {
        finding->place.file = name;
        refuse({*finding});
    }
    const std::vector<TableLine> lines = table_lines(text);
    if (lines.empty()) {
        refuse({{{name, 0, 0, ""},
                 "",
                 text.empty() ? "an empty file" : "blank lines and comments only",
                 "a line of names and rows of numbers",
                 ""}});
    }
    if (lines.front().text.find('\r') != std::string_view::npos) {
        refuse({{{name, lines.front().number, 1, ""},
                 "",
                 "lines that end in a carriage return alone",
                 "lines that end in a line feed",
                 "Save the file again with the line ends of this system."}});
    }
    std::vector<Finding> findings;
    const TableHead head = table_head(lines, request, name, findings);
    if (!findings.empty()) refuse(std::move(findings));
    table.separator = head.separator;
    for (const ColumnHead& column : head.columns) {
        table.columns.push_back({column.wanted->key, column.heading, column.unit, {}});
    }
    table.unused = head.unused;
    if (request.look_at_names) request.look_at_names(table);
    const Rows rows(lines, head, name);
    find_decimal(rows, head, request, table, findings);
    if (findings.empty()) read_rows(rows, head, table, findings);
    if (findings.empty() && table.lines.size() < request.fewest_rows) {
        findings.push_back({{name, 0, 0, ""},
                            "",
                            table.lines.empty()       ? "names, but no row of numbers"
                            : table.lines.size() == 1 ? "one row"
                                                      : fmt::format("{} rows", table.lines.size()),
                            fmt::format("at least {} rows", request.fewest_rows),
                            ""});
    }
    if (!findings.empty()) refuse(std::move(findings));
    return table;
}

MeasuredTable read_measured_table(const std::filesystem::path& file, const TableRequest& request) {
    const std::string name = file.lexically_normal().generic_string();
    auto bytes = file_bytes(file, largest_table);
    if (const auto* none = std::get_if<NoBytes>(&bytes)) {
        refuse({{{name, 0, 0, ""}, "", none->why, "a text file with a table", ""}});
    }
    return parse_measured_table(std::get<std::string>(bytes), name, request);
}

}  // namespace damper

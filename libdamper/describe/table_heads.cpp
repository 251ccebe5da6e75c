// SPDX-License-Identifier: MIT
#include "libdamper/describe/table_heads.hpp"

#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/read_value.hpp"
#include "libdamper/describe/table_numbers.hpp"
#include "libdamper/quantity/read_unit_text.hpp"
#include "libdamper/quantity/unit_table.hpp"
#include "libdamper/quantity/write_quantity.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <utility>

namespace damper {

namespace {

constexpr std::size_t longest_quote = 160;  // bytes of a line shown under a message
constexpr std::size_t most_names_shown = 8;
constexpr double standard_gravity = 9.80665;  // [m/s2], exact by convention

struct Heading {
    std::string name;  ///< In lower case, words parted by single blanks, without the unit.
    std::string unit;
    bool in_brackets = false;  ///< [unit]: nothing else can be meant.
};

std::string as_words(std::string_view text) {
    std::string out;
    for (const char c : text) {
        const bool gap = c == ' ' || c == '_' || c == '-' || c == '\t' || c == '.';
        if (!gap) {
            out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        } else if (!out.empty() && out.back() != ' ') {
            out += ' ';
        }
    }
    if (out.ends_with(' ')) out.pop_back();
    return out;
}

/// The unit of a column that measures `due`. Nothing is counted in such a column, so that what the
/// trade writes for turns a minute can mean nothing else; nor does it hold grams.
UnitResult unit_of_column(std::string_view text, const Dimension& due) {
    constexpr std::array turns_a_minute{"1/min", "min-1", "min^-1", "min⁻¹", "/min",
                                        "U/min", "u/min", "r/min",  "RPM",   "Upm"};
    if (due == AngularSpeed::dimension &&
        std::ranges::find(turns_a_minute, text) != turns_a_minute.end()) {
        return read_unit("rpm");
    }
    if (due == Acceleration::dimension && text == "g") {
        return ReadUnit{.numerator = standard_gravity, .dimension = due};
    }
    return read_unit(text);
}

bool is_unit(std::string_view text, const Dimension& due) {
    const UnitResult unit = unit_of_column(text, due);
    const auto* read = std::get_if<ReadUnit>(&unit);
    return read != nullptr && read->dimension == due;
}

bool reads_as_unit(std::string_view text, const Dimension& due) {
    return !text.empty() && std::holds_alternative<ReadUnit>(unit_of_column(text, due));
}

/// A heading taken apart. `due`: a unit without brackets counts only if it measures that.
Heading heading_of(std::string_view text, const Dimension& due) {
    for (const auto& [open, close] : {std::pair{'[', ']'}, std::pair{'(', ')'}}) {
        if (!text.ends_with(close)) continue;
        const std::size_t begin = text.rfind(open);
        if (begin == std::string_view::npos) continue;
        const auto unit = without_blanks(text.substr(begin + 1, text.size() - begin - 2));
        if (open == '(' && !reads_as_unit(unit, due)) continue;
        return {as_words(text.substr(0, begin)), std::string(unit), true};
    }
    for (const std::string_view mark : {"/", " in ", "_", " "}) {
        const std::size_t at = mark == "/" ? text.find(mark) : text.rfind(mark);
        if (at == std::string_view::npos || at == 0) continue;
        const auto unit = without_blanks(text.substr(at + mark.size()));
        if (!unit.empty() && is_unit(unit, due)) {
            return {as_words(text.substr(0, at)), std::string(unit), false};
        }
    }
    return {as_words(text), "", false};
}

/// Tab, semicolon or comma; 0 with a finding if the line of names has none.
char separator_of(const TableLine& names, const TableRequest& request, const std::string& file,
                  std::vector<Finding>& findings) {
    if (request.separator != 0) return request.separator;
    if (std::ranges::count(names.text, '"') % 2 != 0) {
        findings.push_back({table_place(file, names, 1), "", "a quotation mark without its partner",
                            "quotation marks around a whole cell", ""});
        return 0;
    }
    const int tabs = count_outside_quotes(names.text, '\t');
    const int semicolons = count_outside_quotes(names.text, ';');
    if (tabs > 0 && semicolons > 0) {
        findings.push_back({table_place(file, names, 1), "", "tabs and semicolons between names",
                            "one separator in the whole table",
                            "Say which one it is with --separator tab or --separator semicolon."});
        return 0;
    }
    if (tabs > 0) return '\t';
    if (semicolons > 0) return ';';
    if (count_outside_quotes(names.text, ',') > 0) return ',';
    if (request.fewest_columns < 2) return ';';
    findings.push_back({table_place(file, names, 1), "", "a line of names with one column",
                        "at least two columns, parted by semicolons, commas or tabs",
                        "Part the columns by semicolons, also where blanks part them now."});
    return 0;
}

/// The wanted column's cells among the headings; more than one is an error, so is none.
void find_column(const std::vector<TableCell>& names, const TableLine& line,
                 const std::string& file, ColumnHead& head, std::vector<Finding>& findings) {
    const WantedColumn& wanted = *head.wanted;
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const Heading heading = heading_of(names[i].text, wanted.due);
        if (std::ranges::find(wanted.names, heading.name) != wanted.names.end()) found.push_back(i);
    }
    if (found.empty()) {
        if (!wanted.required) return;
        std::vector<std::string> there;
        for (const TableCell& cell : names) {
            if (there.size() < most_names_shown) there.push_back(quote(cell.text));
        }
        findings.push_back(
            {table_place(file, line, 1), wanted.key,
             fmt::format("the columns {}", fmt::join(there, ", ")),
             fmt::format("a column \"{}\"", fmt::join(wanted.names, "\" or \"")),
             "Rename the column, with its unit: " +
                 fmt::format("\"{} [{}]\".", wanted.names.front(),
                             name_of(wanted.due) != nullptr ? name_of(wanted.due)->preferred
                                                            : si_units(wanted.due))});
        return;
    }
    if (found.size() > 1) {
        findings.push_back({table_place(file, line, names[found[1]].column), wanted.key,
                            fmt::format("{} and {}, which mean the same",
                                        quote(names[found[0]].text), quote(names[found[1]].text)),
                            "one such column", "Rename the one that is not to be read."});
        return;
    }
    head.cell = found[0];
    head.heading = names[found[0]].text;
    head.column = names[found[0]].column;
    head.unit = heading_of(head.heading, wanted.due).unit;
}

/// Takes a unit unless another one is there already.
void settle_unit(ColumnHead& head, std::string_view unit, const char* where, const Place& place,
                 std::vector<Finding>& findings) {
    if (unit.empty() || head.unit == unit) return;
    if (head.unit.empty()) {
        head.unit = unit;
        return;
    }
    findings.push_back(
        {place, head.wanted->key,
         fmt::format("two units, {} and {} {}", quote(head.unit), quote(unit), where), "one unit",
         "Leave out the one that is wrong."});
}

void read_scale(ColumnHead& head, const Place& place, std::vector<Finding>& findings) {
    const WantedColumn& wanted = *head.wanted;
    const std::string example = example_of(wanted.due);
    if (head.unit.empty() && wanted.due != Dimension{}) {
        std::string mend = fmt::format("Write it behind the name: \"{} [{}]\"", head.heading,
                                       name_of(wanted.due)->preferred);
        if (!wanted.unit_option.empty()) mend += ", or say it with " + wanted.unit_option;
        findings.push_back({place, wanted.key, "no unit for the column " + quote(head.heading),
                            "the unit of " + example, mend + "."});
        return;
    }
    UnitResult unit = unit_of_column(head.unit, wanted.due);
    if (auto* fault = std::get_if<QuantityFault>(&unit)) {
        findings.push_back(
            {place, wanted.key, fault->found, "the unit of " + example, fault->mend});
        return;
    }
    head.scale = std::get<ReadUnit>(unit);
    if (head.scale.dimension == wanted.due) return;
    findings.push_back({place, wanted.key,
                        fmt::format("{}, {}", quote(head.unit), spoken(head.scale.dimension)),
                        "the unit of " + example, ""});
}

/// Whether a line is a row of units: no number in it, and a unit in a wanted column.
bool is_unit_row(const std::vector<TableCell>& cells, const TableHead& head) {
    const auto number = [](const TableCell& cell) {
        return begins_as_number(cell.text) && !cell.text.starts_with("1/");  // per minute
    };
    if (std::ranges::any_of(cells, number)) return false;
    return std::ranges::any_of(head.columns, [&](const ColumnHead& column) {
        if (!column.cell || *column.cell >= cells.size()) return false;
        std::string_view text = cells[*column.cell].text;
        if (text.size() > 2 && (text[0] == '[' || text[0] == '(')) {
            text = text.substr(1, text.size() - 2);
        }
        return reads_as_unit(without_blanks(text), column.wanted->due);
    });
}

}  // namespace

Place table_place(const std::string& file, const TableLine& line, int column) {
    Place place{file, line.number, column, ""};
    if (line.text.size() <= longest_quote) {
        for (const char c : line.text) {
            const bool control = static_cast<unsigned char>(c) < 0x20U || c == 0x7F;
            place.quote += control ? ' ' : c;
        }
    }
    return place;
}

TableHead table_head(const std::vector<TableLine>& lines, const TableRequest& request,
                     const std::string& file, std::vector<Finding>& findings) {
    TableHead head;
    const TableLine& names = lines.front();
    head.separator = separator_of(names, request, file, findings);
    if (head.separator == 0) return head;
    auto cells = table_cells(names.text, head.separator);
    if (!cells) {
        findings.push_back({table_place(file, names, 1), "", "a quotation mark without its partner",
                            "quotation marks around a whole cell", ""});
        return head;
    }
    if (std::ranges::all_of(*cells, [](const auto& c) { return begins_as_number(c.text); })) {
        findings.push_back({table_place(file, names, 1), "", "numbers in the first line",
                            "the names of the columns with their units",
                            "Add a first line such as: " + request.example});
        return head;
    }
    head.cells = cells->size();
    if (head.cells < request.fewest_columns) {
        findings.push_back(
            {table_place(file, names, 1), "", "a line of names with one column",
             fmt::format("at least two columns, parted by a {}", separator_word(head.separator)),
             ""});
        return head;
    }
    for (const WantedColumn& wanted : request.columns) {
        ColumnHead& column = head.columns.emplace_back();
        column.wanted = &wanted;
        find_column(*cells, names, file, column, findings);
    }
    for (std::size_t i = 0; i < cells->size(); ++i) {
        const bool used = std::ranges::any_of(
            head.columns, [&](const ColumnHead& column) { return column.cell == i; });
        if (!used && !(*cells)[i].text.empty()) head.unused.emplace_back((*cells)[i].text);
    }
    std::optional<std::vector<TableCell>> second;
    if (lines.size() > 1) second = table_cells(lines[1].text, head.separator);
    const bool unit_row = second && is_unit_row(*second, head);
    if (unit_row) head.first_row = 2;
    for (ColumnHead& column : head.columns) {
        if (!column.cell) continue;
        const std::size_t before = findings.size();
        const Place at_name = table_place(file, names, column.column);
        if (unit_row && *column.cell < second->size()) {
            const TableCell& cell = (*second)[*column.cell];
            std::string_view unit = cell.text;
            const bool brackets = unit.size() > 2 && (unit[0] == '[' || unit[0] == '(');
            if (brackets) unit = without_blanks(unit.substr(1, unit.size() - 2));
            settle_unit(column, unit, "in the row of units",
                        table_place(file, lines[1], cell.column), findings);
        }
        settle_unit(column, column.wanted->unit, "on the command line", at_name, findings);
        if (findings.size() == before) read_scale(column, at_name, findings);
    }
    return head;
}

}  // namespace damper

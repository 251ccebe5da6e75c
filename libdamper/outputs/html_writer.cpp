// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_writer.hpp"

#include "libdamper/outputs/html_escape.hpp"

namespace damper {

std::string html_section(std::string_view id, std::string_view heading, std::string_view body) {
    return fmt::format("<section aria-labelledby=\"{0}\"><h2 id=\"{0}\">{1}</h2>{2}</section>\n",
                       id, heading, body);
}

std::string html_list(const std::vector<std::string>& texts) {
    if (texts.empty()) return "";
    std::string out = "<ul>";
    for (const std::string& text : texts) put(out, "<li>{}</li>", html_escape(text));
    return out + "</ul>";
}

std::string html_table(std::string_view caption, const std::vector<Column>& columns,
                       const std::vector<std::vector<std::string>>& rows) {
    std::string out;
    put(out,
        R"(<div class="scroll" role="region" tabindex="0" aria-label="{0}"><table>)"
        R"(<caption>{0}</caption><thead><tr>)",
        html_escape(caption));
    for (const auto& column : columns) {
        put(out, R"(<th scope="col"{}>{}</th>)", column.numeric ? R"( class="number")" : "",
            html_escape(column.heading));
    }
    out += "</tr></thead><tbody>";
    for (const auto& row : rows) {
        out += "<tr>";
        for (std::size_t i = 0; i < columns.size(); ++i) {
            const std::string_view cell = i < row.size() ? std::string_view(row[i]) : "";
            const char* style = columns[i].numeric ? R"( class="number")" : "";
            if (i == 0) {
                put(out, R"(<th scope="row"{}>{}</th>)", style, cell);
            } else {
                put(out, R"(<td{} data-heading="{}">{}</td>)", style,
                    html_escape(columns[i].heading), cell);
            }
        }
        out += "</tr>\n";
    }
    out += "</tbody></table></div>\n";
    return out;
}

}  // namespace damper

// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_still.hpp"

#include "libdamper/outputs/base64.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/page_files.hpp"
#include "libdamper/outputs/svg_chart.hpp"

namespace damper {

std::string still_page_head(std::string_view subject, const RunIdentity& identity,
                            const std::vector<Fact>& facts) {
    std::string out = R"(<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">)";
    put(out,
        R"(<meta http-equiv="Content-Security-Policy" content="default-src 'none'; )"
        R"(style-src 'sha256-{}'; base-uri 'none'; form-action 'none'">)",
        base64_of_hex(page_style().sha256));
    out += R"(<meta name="viewport" content="width=device-width, initial-scale=1">)"
           R"(<meta name="color-scheme" content="light dark">)";
    const std::string title = html_escape(identity.title);
    put(out, "<title>{0}: {1}</title><style>{2}</style></head>\n", subject, title,
        page_style().text);
    put(out, "<body><main>\n<header><h1>{}: {}</h1>", subject, title);
    for (const auto& change : change_texts(identity)) {
        put(out, R"(<p class="changed">{}</p>)", html_escape(change));
    }
    out += "<dl class=\"facts\">";
    for (const auto& [name, value] : facts) {
        if (value.empty() || value == identity.title) continue;  // that stands above
        put(out, "<div><dt>{}</dt><dd>{}</dd></div>", html_escape(name), html_escape(value));
    }
    return out + "</dl></header>\n";
}

std::string still_page_end(const RunIdentity& identity) {
    std::string origin;
    put(origin, "<p>damper {}; <code>{}</code></p>", html_escape(identity.program_version),
        html_escape(identity.command_line));
    for (const auto& [file, hash] : identity.inputs) {
        put(origin, "<p>{} <code>{}</code></p>", html_escape(file), html_escape(hash));
    }
    return html_section("origin", "Where it comes from", origin) +
           fmt::format("</main><footer><p>{}</p></footer></body></html>\n", estimate_notice());
}

Chart still_chart(std::string id, std::string title, const Fact& x, const Fact& y) {
    Chart chart;
    chart.kind = Chart::Kind::path;
    chart.id = std::move(id);
    chart.title = std::move(title);
    chart.x_label = x.first;
    chart.x_units = x.second;
    chart.y_label = y.first;
    chart.y_units = y.second;
    return chart;
}

std::string still_figure(const Chart& chart) {
    return fmt::format("<figure><figcaption>{}</figcaption>{}</figure>", html_escape(chart.title),
                       svg_chart(chart));
}

std::string still_table(const FigureTable& table) {
    std::vector<Column> columns;
    for (std::size_t i = 0; i < table.headings.size(); ++i) {
        columns.push_back({.heading = table.headings[i], .numeric = table.is_figure(i)});
    }
    std::vector<std::vector<std::string>> rows;
    for (const auto& row : table.rows) {
        auto& cells = rows.emplace_back();
        for (const std::string& cell : row) cells.push_back(html_escape(cell));
    }
    return html_table(table.caption, columns, rows);
}

}  // namespace damper

// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_modes.hpp"

#include "libdamper/outputs/base64.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/modes_words.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/page_files.hpp"
#include "libdamper/outputs/slipping_words.hpp"
#include "libdamper/outputs/svg_modes.hpp"

#include <numbers>

namespace damper {

namespace {

constexpr std::size_t influences_shown = 3;
constexpr double rpm = std::numbers::pi / 30.0;

std::string head(const ModesRecord& record) {
    const auto hash = [](const EmbeddedFile& file) {
        return fmt::format("'sha256-{}'", base64_of_hex(file.sha256));
    };
    std::string out = R"(<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">)";
    put(out,
        R"(<meta http-equiv="Content-Security-Policy" content="default-src 'none'; )"
        R"(style-src {} {}; base-uri 'none'; form-action 'none'">)",
        hash(page_style()), hash(modes_style()));
    out += R"(<meta name="viewport" content="width=device-width, initial-scale=1">)"
           R"(<meta name="color-scheme" content="light dark">)";
    put(out, "<title>Natural modes: {}</title>", html_escape(record.identity.title));
    put(out, "<style>{}</style><style>{}</style></head>\n", page_style().text, modes_style().text);
    return out;
}

std::string banner(const ModesRecord& record) {
    const RunIdentity& identity = record.identity;
    std::string out = "<header>";
    put(out, "<h1>Natural modes: {}</h1>", html_escape(identity.title));
    for (const auto& change : change_texts(identity)) {
        put(out, R"(<p class="changed">{}</p>)", html_escape(change));
    }
    out += "<dl class=\"facts\">";
    const auto fact = [&](std::string_view name, const std::string& value) {
        if (value.empty()) return;
        put(out, "<div><dt>{}</dt><dd>{}</dd></div>", html_escape(name), html_escape(value));
    };
    fact("Vehicle", identity.vehicle);
    fact("Disc", identity.disc);
    for (const auto& [name, value] : identity.conditions) fact(name, value);
    fact("engine", fmt::format("{:.0f} to {:.0f} rpm", record.lowest_speed / rpm,
                               record.highest_speed / rpm));
    fact("firing order", fmt::format("{:g}", record.firing_order));
    fact("friction of the disc", record.friction);
    return out + "</dl></header>\n";
}

std::string overview(const ModesRecord& record) {
    std::vector<Column> columns = {{.heading = "Gear, mode"},
                                   {.heading = "Hz", .numeric = true},
                                   {.heading = "Damping", .numeric = true},
                                   {.heading = "Firing order meets it at [rpm]", .numeric = true},
                                   {.heading = "What moves it: +10 % of … make …"}};
    std::vector<std::vector<std::string>> rows;
    for (const GearModes& gear : record.gears) {
        for (std::size_t m = 0; m < modes_met(record, gear); ++m) {
            const ModeRow& mode = gear.modes[m];
            rows.push_back(
                {html_escape(fmt::format("{}: {}", gear_title(gear), mode_title(gear, m))),
                 number_text(mode.frequency), html_escape(damping_text(mode)),
                 critical_text(record, mode, record.firing_order),
                 html_escape(influence_text(gear, m, influences_shown))});
        }
    }
    std::string body = html_table("Modes that an engine order can meet", columns, rows);
    const std::string rest = rest_text(record);
    if (!rest.empty()) put(body, R"(<p class="reading">{}</p>)", html_escape(rest));
    return html_section("modes", "Modes of all gears", body);
}

std::string interference(const ModesRecord& record) {
    std::string body = "<figure>" + svg_interference(record) + "</figure>";
    body +=
        R"(<p class="reading">Dashed lines: orders of the engine; the heavy line is its firing )"
        R"(order. Level lines: natural frequencies, with a rung on the ladder of their gear )"
        R"((N: neutral). A dot: the firing order meets a mode at a speed the engine runs at. )"
        R"(Left of idle speed the ground is shaded.</p>)";
    return html_section("orders", "Natural frequencies against engine orders", body);
}

std::string gear_section(const ModesRecord& record, const GearModes& gear, std::size_t number) {
    std::string body;
    put(body, "<p>{}</p>", html_escape(point_text(gear)));
    for (std::size_t m = 0; m < modes_met(record, gear); ++m) {
        const ModeRow& mode = gear.modes[m];
        put(body,
            R"(<figure class="mode-drawing"><figcaption><b>{} Hz</b><b>{}</b>damping {}; )"
            R"(moving: {}; twisting: {}</figcaption>{}</figure>)",
            number_text(mode.frequency), html_escape(mode_title(gear, m)),
            html_escape(damping_text(mode)), html_escape(moving_text(gear, mode)),
            html_escape(twisting_text(gear, mode)), svg_mode(gear, m));
    }
    return html_section(fmt::format("gear-{}", number + 1), html_escape(gear_title(gear)), body);
}

std::string slipping_section(const ModesRecord& record) {
    if (record.slipping.empty()) return "";
    std::vector<Column> columns;
    for (const std::string heading : slipping_headings) {
        const bool words = heading == "Clamp load" || heading == "Mode" || heading == "Moving";
        columns.push_back({.heading = heading, .numeric = !words});
    }
    std::vector<std::vector<std::string>> rows = slipping_cells(record);
    for (auto& row : rows) {
        for (std::string& cell : row) cell = html_escape(cell);
    }
    std::string body;
    put(body, "<p>{}</p>", html_escape(slipping_words(record)));
    return html_section("slipping", slipping_heading,
                        body + html_table("Modes by clamp load", columns, rows));
}

std::string notes_section(const ModesRecord& record) {
    std::string body =
        "<p>Drawings: the discs stand for the inertias along the driveline, loose gears at the "
        "right; a shaft is as thick as its share of the twist energy. Above them, how far each "
        "swings, seen from the engine; a second, dashed line where left and right differ.</p><ul>";
    for (const std::string& note : reading_notes(record)) {
        put(body, "<li>{}</li>", html_escape(note));
    }
    return html_section("reading", "How to read this", body + "</ul>");
}

std::string origin_section(const ModesRecord& record) {
    const RunIdentity& identity = record.identity;
    std::string body;
    put(body, "<p>damper {}; <code>{}</code></p>", html_escape(identity.program_version),
        html_escape(identity.command_line));
    std::vector<std::vector<std::string>> rows;
    for (const auto& [file, hash] : identity.inputs) {
        rows.push_back({html_escape(file), fmt::format("<code>{}</code>", html_escape(hash))});
    }
    if (!rows.empty()) {
        body += html_table("Files read", {{.heading = "File"}, {.heading = "SHA-256"}}, rows);
    }
    return html_section("origin", "Where it comes from", body);
}

}  // namespace

std::string html_modes(const ModesRecord& record) {
    std::string out = head(record);
    out += "<body><main>\n" + banner(record);
    out += interference(record);
    out += overview(record);
    for (std::size_t g = 0; g < record.gears.size(); ++g) {
        out += gear_section(record, record.gears[g], g);
    }
    out += slipping_section(record);
    out += notes_section(record);
    out += origin_section(record);
    put(out, "</main><footer><p>{}</p></footer></body></html>\n", estimate_notice());
    return out;
}

}  // namespace damper

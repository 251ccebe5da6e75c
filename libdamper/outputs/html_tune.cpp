// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_compare.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_still.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/svg_tune_front.hpp"
#include "libdamper/outputs/tune_rows.hpp"
#include "libdamper/outputs/tune_text.hpp"
#include "libdamper/verdict/reasons.hpp"

namespace damper {

namespace {

constexpr std::size_t most_of_front = 24;

/// A table whose cells are words, not figures.
std::string word_table(const FigureTable& table) {
    std::vector<Column> columns;
    for (const std::string& heading : table.headings) columns.push_back({.heading = heading});
    std::vector<std::vector<std::string>> rows;
    for (const auto& row : table.rows) {
        auto& cells = rows.emplace_back();
        for (const std::string& cell : row) cells.push_back(html_escape(cell));
    }
    return html_table(html_escape(table.caption), columns, rows);
}

std::string found_section(const TuneRecord& record) {
    std::string body;
    put(body, "<p><strong>{}</strong></p>", html_escape(tune_headline(record)));
    const auto notes = tune_notes(record);
    if (!notes.empty()) body += html_list(notes);
    body += word_table(tune_case_table(record));
    return html_section("found", "What was found", body);
}

std::string front_section(const TuneRecord& record) {
    const std::string picture = svg_tune_front(record);
    if (picture.empty()) return "";
    std::string body =
        "<figure><figcaption>Discs by worst margin: the further up and to the right, "
        "the better</figcaption>" +
        picture;
    body +=
        "<p class=\"reading\">Each mark is a disc that was run in everything: ● good, ▲ to be "
        "watched, ■ a limit missed. The heavy lines are the limits; what lies further out stands "
        "on the edge. The stair is the front: to "
        "gain in one direction from there, a disc has to lose in the other.</p></figure>";
    body += word_table(tune_front_table(record, most_of_front));
    return html_section("front", "What can be had for what", body);
}

std::string disc_section(const TuneRecord& record) {
    std::string body = still_table(tune_key_table(record)) + still_table(tune_limit_table(record));
    put(body, "<details><summary>The disc as a description file</summary><pre>{}</pre></details>",
        html_escape(record.disc));
    return html_section("disc", "The disc", body);
}

std::string asked_section(const TuneRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (const CompareScenario& one : record.scenarios) {
        rows.push_back(
            {html_escape(one.name), "scenario", html_escape(one.title + "; " + one.vehicle)});
    }
    for (const CompareCondition& one : record.conditions) {
        std::string changes;
        for (const auto& [key, value] : one.changes) {
            changes += fmt::format("{}{} = {}", changes.empty() ? "" : ", ", key, value);
        }
        rows.push_back({html_escape(one.name.empty() ? "as described" : one.name), "condition",
                        html_escape(changes.empty() ? "as described" : changes)});
    }
    for (const TuneKeyRecord& one : record.keys) {
        rows.push_back({html_escape(one.key.key), "range", html_escape(one.why)});
    }
    std::string body =
        html_table("What was asked for",
                   {{.heading = "Name"}, {.heading = "Kind"}, {.heading = "What it is"}}, rows);
    put(body, "<p>{}</p>", html_escape(tune_search_words(record)));
    put(body, "<p>damper {}; <code>{}</code></p>", html_escape(record.identity.program_version),
        html_escape(record.identity.command_line));
    std::vector<std::vector<std::string>> files;
    for (const auto& [file, hash] : record.identity.inputs) {
        files.push_back({html_escape(file), fmt::format("<code>{}</code>", html_escape(hash))});
    }
    body += html_table("Files read of the scenarios as they stand",
                       {{.heading = "File"}, {.heading = "SHA-256"}}, files);
    return html_section("asked", "Where it comes from", body);
}

}  // namespace

std::string html_tune(const TuneRecord& record) {
    RunIdentity identity = record.identity;
    identity.title = "A disc searched for";
    identity.conditions.clear();
    identity.changes.clear();
    std::string out = page_head(identity.title);
    out += "<body><main>\n" + page_banner(identity) + scripts_off_notice();
    out += found_section(record) + front_section(record) + disc_section(record);
    if (!record.comparison.variants.empty()) {
        out +=
            compare_loops_section(record.comparison) + compare_measures_section(record.comparison);
    }
    std::vector<std::string> cautions = cautions_for("idle");
    cautions.emplace_back(
        "The disc is a wish to talk about with its maker: strength, life and wear "
        "of springs and windows were not looked at.");
    out += html_section("mind", "Mind", html_list(cautions));
    out += asked_section(record);
    return out + page_end();
}

}  // namespace damper

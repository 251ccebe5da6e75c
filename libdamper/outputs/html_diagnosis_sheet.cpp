// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_diagnosis_sheet.hpp"

#include "libdamper/outputs/diagnosis_parts_words.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/repair_words.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <cmath>

namespace damper {

namespace {

constexpr const char* box = R"(<span aria-hidden="true">☐</span> )";

/// Room for figures that are read off.
std::string blanks(const DiagnosisRecord& record, const DiagnosisTest& test) {
    std::string out;
    for (const std::size_t f : test.figures) {
        const DiagnosisFigure& figure = record.figures[f];
        if (figure.shown_by == "run") continue;  // a recording is a file, not a reading
        put(out, "<br>{}&nbsp;______&nbsp;{}", html_escape(capital(words_of(figure.name))),
            html_escape(shown_as(figure.units, std::abs(figure.healthy)).units));
    }
    return out;
}

/// Sentences behind a word, as one paragraph; nothing for none.
std::string paragraph(const char* word, const std::vector<std::string>& sentences) {
    std::string out;
    for (const std::string& one : sentences) put(out, " {}", html_escape(one));
    return out.empty() ? out : fmt::format("<p><strong>{}</strong>{}</p>", word, out);
}

std::size_t figures_seen(const DiagnosisRecord& record) {
    return static_cast<std::size_t>(std::ranges::count_if(
        record.figures, [](const DiagnosisFigure& one) { return one.seen.has_value(); }));
}

/// What is open, then what may be the cause; once a cause leads clearly that one alone.
std::string to_check(const DiagnosisRecord& record) {
    const bool tight = figures_seen(record) > 3;  // all of it is to stand on one page
    const std::size_t tests = tight ? 2 : 3, causes = tight ? 3 : 4;
    std::vector<std::vector<std::string>> rows;
    if (!is_settled(record)) {
        auto next = next_tests(record, false, tests);
        if (next.empty()) next = next_tests(record, true, 1);
        for (const DiagnosisTest* test : next) {
            std::string how = html_escape(test->how);
            if (!test->steps.empty()) how += html_list(test->steps);
            if (!test->caution.empty())
                put(how, " <strong>Mind:</strong> {}", html_escape(test->caution));
            rows.push_back({box + html_escape(test->asks), how + blanks(record, *test), "", ""});
        }
    }
    for (std::size_t i = 0; i < (is_settled(record) ? 1 : causes_told(record, causes)); ++i) {
        const DiagnosisCause& cause = record.causes[i];
        rows.push_back(
            {box + html_escape(cause.title), html_escape(cause.look), html_escape(cause.mend), ""});
    }
    const std::string table = html_table(
        "Check in this order",
        {{.heading = "What"}, {.heading = "Look"}, {.heading = "If so"}, {.heading = "Found"}},
        rows);
    std::string checks;
    for (const std::string& one : before_assembly(record)) {
        put(checks, "<br>{}{}: ____________", box, html_escape(one));
    }
    if (checks.empty()) return table;
    return table + "<p><strong>" + before_assembly_heading(record) + ":</strong>" + checks + "</p>";
}

/// What was measured of a figure since the repair; empty: nothing yet.
std::string since(const std::optional<RepairRecord>& repair, const DiagnosisFigure& figure) {
    if (!repair) return "";
    const auto& all = repair->state.figures;
    const auto found = std::ranges::find(all, figure.name, &DiagnosisFigure::name);
    return found != all.end() && found->seen ? figure_text(*found->seen, figure.units) : "";
}

/// Figures as they were, with room for those after the repair.
std::string before_and_after(const DiagnosisRecord& record,
                             const std::optional<RepairRecord>& repair) {
    constexpr std::size_t most = 8;
    std::vector<std::vector<std::string>> rows;
    for (std::size_t f = 0; f < record.figures.size(); ++f) {
        const DiagnosisFigure& figure = record.figures[f];
        if (!figure.seen || rows.size() == most) continue;
        rows.push_back(
            {html_escape(capital(words_of(figure.name))),
             sound_tells(record, f) ? html_escape(figure_text(figure.healthy, figure.units)) : "–",
             html_escape(figure_text(*figure.seen, figure.units)),
             html_escape(since(repair, figure))});
    }
    if (rows.empty()) {
        return "<p>Measured before the repair: ____________ and after it, in the same way: "
               "____________</p>";
    }
    return html_table("Measured, and after the repair in the same way",
                      {{.heading = "Figure"},
                       {.heading = "Sound vehicles", .numeric = true},
                       {.heading = "Before", .numeric = true},
                       {.heading = "After"}},
                      rows);
}

/// The vehicle as it is now: what may still be there, and what to find out.
DiagnosisRecord since_repair(const DiagnosisRecord& found, const RepairRecord& repair) {
    DiagnosisRecord out = found;
    out.figures = repair.state.figures;
    out.causes = repair.state.causes;
    std::erase_if(out.causes, [](const auto& one) { return one.name == cured_cause; });
    out.tests = repair.state.tests;
    out.open_bits = repair.state.open_bits;
    out.strange = repair.state.strange;
    return out;
}

/// What was done and whether the complaint is gone, or room to say so.
std::string outcome_of(const std::optional<RepairRecord>& repair) {
    const std::string done = repair ? repair->done : "";
    const auto boxed = [&](const char* says) {
        return repair && repair->complaint == says ? "☒" : "☐";
    };
    return fmt::format(
        "<p>Done, and parts fitted: {}<br>Complaint gone: {}&nbsp;yes {}&nbsp;no</p>",
        done.empty() ? "______________________________" : html_escape(done), boxed("gone"),
        boxed("still there"));
}

}  // namespace

std::string diagnosis_sheet(const DiagnosisRecord& found,
                            const std::optional<RepairRecord>& repair) {
    const DiagnosisRecord record = repair ? since_repair(found, *repair) : found;
    std::string body;
    put(body, "<p><strong>{}</strong><br>{}{}</p>", html_escape(record.title),
        html_escape(record.vehicle),
        record.mileage.empty() ? "" : html_escape(", " + record.mileage));
    body += "<p>Order no. ____________ Date ____________ Checked by ____________</p>";
    put(body, "<p>{}</p>",
        html_escape(repair ? repair_headline(*repair, found) : diagnosis_headline(record)));
    if (!is_closed(repair)) {
        body += paragraph("Found so far:", findings(record)) + to_check(record);
        body += paragraph("Work and parts:", parts_words(record));
        body += paragraph("Another disc?", disc_advice(record));
    }
    if (repair) body += paragraph("To be minded:", repair_remarks(*repair, found));
    body += before_and_after(found, repair) + outcome_of(repair);
    body += "<p><strong>Mind:</strong></p>" + html_list(diagnosis_cautions());
    body += R"(<p class="small">An estimate; it does not replace looking.</p>)";
    return html_section("sheet", "Sheet for the workshop", body);
}

}  // namespace damper

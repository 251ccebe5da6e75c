// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_text.hpp"

#include "libdamper/outputs/diagnosis_parts_words.hpp"
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/grade_text.hpp"
#include "libdamper/outputs/number_text.hpp"
#include "libdamper/outputs/repair_words.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/verdict/wording.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

constexpr std::size_t width = 100;
constexpr std::size_t tests_told = 4, tests_told_opened = 2;

std::string list(const std::vector<std::string>& texts, const char* first = "  - ") {
    std::string out;
    for (const std::string& text : texts) out += wrapped(text, width, first);
    return out;
}

std::string ranking(const DiagnosisRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (std::size_t i = 0; i < causes_shown(record); ++i) {
        const DiagnosisCause& cause = record.causes[i];
        rows.push_back({probability_text(cause.probability), cause.title, cause.seat,
                        cause.is_simulated ? "yes" : "by answers alone"});
    }
    return text_table({{.heading = "", .numeric = true},
                       {.heading = "Cause", .most = 56},
                       {.heading = "Seat"},
                       {.heading = "Simulated"}},
                      rows);
}

std::string case_lines(const DiagnosisRecord& record) {
    return wrapped(fmt::format("{}: {}", record.title, record.symptom), width) +
           wrapped(fmt::format("{} ({})", record.vehicle, record.vehicle_class), width, "  ");
}

std::string outcome(const DiagnosisRecord& record) {
    return fmt::format("\n{}\n{}", wrapped(diagnosis_headline(record), width), ranking(record));
}

std::string figures(const DiagnosisRecord& record) {
    std::vector<std::vector<std::string>> rows;
    for (std::size_t f = 0; f < record.figures.size(); ++f) {
        const DiagnosisFigure& figure = record.figures[f];
        if (!figure.seen) continue;
        const Shown shown = shown_as(figure.units, *figure.seen);
        std::vector<std::string> row = {
            capital(words_of(figure.name)), table_number(shown.of(*figure.seen)),
            sound_tells(record, f) ? table_number(shown.of(figure.healthy)) : "–"};
        for (std::size_t c = 0; c < std::min<std::size_t>(2, record.causes.size()); ++c) {
            row.push_back(table_number(shown.of(record.causes[c].middle[f])));
        }
        row.push_back(table_units(shown));
        rows.push_back(std::move(row));
    }
    if (rows.empty()) return "";
    return "\nMeasured, and what simulated vehicles show in the middle: sound, with 1st and 2nd "
           "cause\n" +
           text_table({{.heading = "Figure", .most = 50},
                       {.heading = "Measured", .numeric = true},
                       {.heading = "Sound", .numeric = true},
                       {.heading = "1st", .numeric = true},
                       {.heading = "2nd", .numeric = true},
                       {.heading = "Unit"}},
                      rows);
}

std::string reasons(const DiagnosisRecord& record, std::size_t number) {
    const DiagnosisCause& cause = record.causes[number - 1];
    std::string out = fmt::format("\n{}", wrapped(fmt::format("{}. {} ({})", number, cause.title,
                                                              probability_text(cause.probability)),
                                                  width));
    out += list(evidence_for(record, cause), "  + ");
    out += list(evidence_against(record, cause), "  − ");
    out += wrapped("Look: " + cause.look, width, "    ");
    out += wrapped("Mend: " + cause.mend, width, "    ");
    if (!cause.beware.empty()) out += wrapped("Beware: " + cause.beware, width, "    ");
    return out;
}

std::string ruled(const DiagnosisRecord& record) {
    const std::vector<RuledOut> all = ruled_out(record);
    if (all.empty()) return "";
    std::string out = "\nRuled out, and by what (3 % or more before any evidence, below 1 % now)\n";
    for (const RuledOut& one : all) {
        out += wrapped(fmt::format("{} ({} before): {}.", one.cause->title,
                                   probability_text(one.cause->prior), fmt::join(one.by, "; ")),
                       width, "  - ");
    }
    return out;
}

std::string test_lines(const DiagnosisRecord& record, const DiagnosisTest& test) {
    std::string out =
        wrapped(fmt::format("{} ({})", test.asks, test_words(record, test)), width, "  - ");
    if (!test.how.empty()) out += wrapped(test.how, width, "    ");
    for (const std::string& line : test.steps) out += wrapped(line, width, "      - ");
    for (const std::string& line : figure_lines(record, test)) {
        out += wrapped(line, width, "      · ");
    }
    if (!test.caution.empty()) out += wrapped("Mind: " + test.caution, width, "    ");
    for (const std::string& line : outcome_words(test)) out += wrapped(line, width, "      ");
    return out;
}

std::string tests(const DiagnosisRecord& record) {
    std::string out;
    for (const bool off : {false, true}) {
        const auto next = next_tests(record, off, off ? tests_told_opened : tests_told);
        if (next.empty()) continue;
        out += off ? "\nWith the gearbox off (its removal is counted in each)\n"
                   : "\nFind out next, most for its time first\n";
        for (const DiagnosisTest* test : next) out += test_lines(record, *test);
    }
    return out;
}

std::string work(const DiagnosisRecord& record) {
    std::string out = "\nWork and parts\n" + list(parts_words(record));
    const std::vector<std::string> checks = before_assembly(record);
    if (!checks.empty()) {
        out += fmt::format("\n{}\n", before_assembly_heading(record));
    }
    return out + list(checks);
}

std::string options(const DiagnosisRecord& record) {
    if (record.options.empty()) return "";
    std::string out = "\nDoes the disc suit, and would another?\n" + list(disc_words(record));
    if (!disc_matters(record)) return out;  // the page has the table
    out += fmt::format("\nDiscs of the class, best in {} first\n", record.disc_run);
    for (const DiagnosisOption& one : record.options) {
        std::string line =
            fmt::format("{}{}: {} there, {} in all runs", one.disc, one.fitted ? " (fitted)" : "",
                        grade_key(one.in_run), grade_key(one.grade));
        if (one.with_cause) line += fmt::format("; with the cause {}", grade_key(*one.with_cause));
        out += wrapped(line, width, "  - ");
        for (const std::string& text : one.better)
            out += wrapped("better: " + text, width, "      ");
        for (const std::string& text : one.worse) out += wrapped("worse: " + text, width, "      ");
    }
    return out;
}

}  // namespace

std::string diagnosis_text(const DiagnosisRecord& record,
                           const std::optional<RepairRecord>& repair) {
    std::string out = case_lines(record);
    if (repair) {
        out += fmt::format("\n{}", repair_text(*repair, record));
        out += tests(repair->state) + "\nBefore the repair";
    }
    out += outcome(record);
    if (!is_closed(repair)) {  // else the page keeps them
        for (std::size_t i = 0; i < causes_told(record, 3); ++i) out += reasons(record, i + 1);
        out += ruled(record) + figures(record) + tests(record) + work(record) + options(record);
    }
    if (!record.left_out.empty()) out += "\nLeft out\n" + list(record.left_out);
    if (!record.notes_on_data.empty()) out += "\nOn the data\n" + list(record.notes_on_data);
    out += "\nMind\n" + list(diagnosis_cautions());
    out += fmt::format("\n{}", wrapped(diagnosis_estimate(record), width));
    if (!record.truth.empty()) {
        out += wrapped(fmt::format("Invented case; put in was: {}.", record.truth), width);
    }
    return out;
}

std::string diagnosis_brief(const DiagnosisRecord& record,
                            const std::optional<RepairRecord>& repair) {
    constexpr std::size_t reasons_told = 2;
    std::string out = case_lines(record);
    if (repair) {
        out += fmt::format("\n{}", wrapped(repair_headline(*repair, record), width));
        out += list(repair_remarks(*repair, record));
        if (!is_closed(repair)) out += "\nBefore the repair";
    }
    if (!is_closed(repair)) {
        out += outcome(record) + "\n";
        out += list(telling_evidence(record, record.causes.front(), reasons_told));
    }
    const DiagnosisRecord& now = repair ? repair->state : record;
    if (!now.tests.empty()) {
        const DiagnosisTest& test = now.tests.front();
        out += wrapped(fmt::format("{} ({})", test.asks, test_words(now, test)), width, "Next: ");
        if (!test.caution.empty()) out += wrapped("Mind: " + test.caution, width, "      ");
    }
    if (!now.notes_on_data.empty()) out += "\nOn the data\n" + list(now.notes_on_data);
    return out + wrapped("An estimate; it does not replace looking. What to mind: without --brief.",
                         width, "");
}

}  // namespace damper

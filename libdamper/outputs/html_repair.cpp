// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/html_escape.hpp"
#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_writer.hpp"
#include "libdamper/outputs/repair_words.hpp"

namespace damper {

std::string html_repair(const RepairRecord& repair, const DiagnosisRecord& found) {
    std::string body;
    put(body, "<p><strong>{}</strong></p>", html_escape(repair_headline(repair, found)));
    if (!repair.done.empty()) put(body, "<p>Done: {}</p>", html_escape(repair.done));
    put(body, "<p>The driver says: {}</p>", html_escape(driver_words(repair)));
    std::vector<std::vector<std::string>> rows;
    for (const RepairRow& row : repair_rows(repair)) {
        rows.push_back({html_escape(row.figure), html_escape(row.units), row.before, row.after,
                        row.sound, row.sound_range, row.since});
    }
    if (!rows.empty()) {
        body += html_table("Measured before and since, and what sound vehicles show",
                           {{.heading = "Figure"},
                            {.heading = "Unit"},
                            {.heading = "Before", .numeric = true},
                            {.heading = "Since", .numeric = true},
                            {.heading = "Sound, middle", .numeric = true},
                            {.heading = "95 % of sound", .numeric = true},
                            {.heading = "As sound"}},
                           rows);
        put(body, R"(<p class="reading">{}</p>)", html_escape(repair_legend()));
    }
    const std::vector<std::string> remarks = repair_remarks(repair, found);
    if (!remarks.empty()) body += html_list(remarks);
    const std::vector<std::string> left = still_possible(repair);
    if (!left.empty()) body += "<p>What may still be there</p>" + html_list(left);
    put(body, R"(<p class="reading">{}</p>)", html_escape(repair_estimate()));
    if (!repair.state.notes_on_data.empty()) body += html_list(repair.state.notes_on_data);
    return html_section("repair", "After the repair", body);
}

}  // namespace damper

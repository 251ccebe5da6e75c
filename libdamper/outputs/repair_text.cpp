// SPDX-License-Identifier: MIT
#include "libdamper/outputs/diagnosis_words.hpp"
#include "libdamper/outputs/repair_words.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/verdict/wording.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

constexpr std::size_t width = 100;

}  // namespace

std::string repair_text(const RepairRecord& repair, const DiagnosisRecord& found) {
    std::string out = "After the repair\n";
    if (!repair.done.empty()) out += wrapped("Done: " + repair.done, width, "  ");
    out += wrapped(fmt::format("The driver says: {}", driver_words(repair)), width, "  ");
    out += wrapped(repair_headline(repair, found), width, "  ");
    std::vector<std::vector<std::string>> rows;
    for (const RepairRow& row : repair_rows(repair)) {
        rows.push_back({row.figure, row.before, row.after, row.sound_range, row.since, row.units});
    }
    if (!rows.empty()) {
        out += "\n" + text_table({{.heading = "Figure", .most = 56},
                                  {.heading = "Before", .numeric = true},
                                  {.heading = "Since", .numeric = true},
                                  {.heading = "95 % of sound"},
                                  {.heading = "As sound"},
                                  {.heading = "Unit"}},
                                 rows);
        out += wrapped(repair_legend(), width, "  ");
    }
    for (const std::string& remark : repair_remarks(repair, found)) {
        out += wrapped(remark, width, "  - ");
    }
    const std::vector<std::string> left = still_possible(repair);
    if (!left.empty()) {
        out += "\nWhat may still be there\n";
        for (const std::string& text : left) out += wrapped(text, width, "  - ");
    }
    out += wrapped(repair_estimate(), width, "  ");
    for (const std::string& note : repair.state.notes_on_data) out += wrapped(note, width, "  ");
    return out;
}

}  // namespace damper

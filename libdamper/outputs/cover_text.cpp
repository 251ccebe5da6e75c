// SPDX-License-Identifier: MIT
#include "libdamper/outputs/cover_text.hpp"

#include "libdamper/outputs/cover_rows.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/verdict_text.hpp"

#include <fmt/format.h>

namespace damper {

std::string cover_text(const CoverRecord& record) {
    std::string out = wrapped("Clamp, wear and release: " + record.identity.title, text_width);
    for (const auto& change : change_texts(record.identity)) {
        out += wrapped(change, text_width, "  * ");
    }
    out += wrapped(fmt::format("{} · {} · {}", record.cover, record.facing, cover_words(record)),
                   text_width, "  ");
    out += "\n";
    out += headline_text(record.verdict);
    out += list_text("Why", record.verdict.reasons);
    out += judgements_text(record.verdict);
    out += figure_text(state_table(record)) + figure_text(wear_table(record)) +
           figure_text(travel_table(record)) + figure_text(temperature_table(record)) +
           figure_text(case_table(record));
    for (const CoverComparison& one : record.comparisons) {
        out +=
            figure_text(comparison_table(one)) + wrapped(comparison_words(one), text_width, "  ");
    }
    if (record.pedal_force > 0.0) {
        out +=
            fmt::format("\nForce at the pedal, from its ratio and efficiency: {:.0f} N at most\n",
                        record.pedal_force);
    }
    out += list_text("Before you act on it", record.verdict.cautions);
    out += "\n";
    out += wrapped(estimate_notice(), text_width);
    return out;
}

}  // namespace damper

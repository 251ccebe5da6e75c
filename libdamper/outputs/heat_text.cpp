// SPDX-License-Identifier: MIT
#include "libdamper/outputs/heat_text.hpp"

#include "libdamper/outputs/heat_rows.hpp"
#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/verdict_text.hpp"

namespace damper {

std::string heat_text(const HeatRecord& record) {
    std::string out = wrapped("Heat of starts: " + record.identity.title, text_width);
    for (const auto& change : change_texts(record.identity)) {
        out += wrapped(change, text_width, "  * ");
    }
    out += wrapped(heat_words(record), text_width, "  ");
    out += "\n";
    out += headline_text(record.verdict);
    out += list_text("Why", record.verdict.reasons);
    out += judgements_text(record.verdict);
    out += figure_text(start_table(record)) + figure_text(step_table(record));
    out += wrapped(heat_balance_words(record), text_width, "  ");
    out += list_text("Before you act on it", record.verdict.cautions);
    out += "\n";
    out += wrapped(estimate_notice(), text_width);
    return out;
}

}  // namespace damper

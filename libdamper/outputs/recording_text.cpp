// SPDX-License-Identifier: MIT
#include "libdamper/outputs/recording_text.hpp"

#include "libdamper/outputs/html_run.hpp"
#include "libdamper/outputs/html_sections.hpp"
#include "libdamper/outputs/recording_rows.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/verdict_text.hpp"

namespace damper {

namespace {

std::string table_or_nothing(const FigureTable& table) {
    return table.rows.empty() ? std::string() : figure_text(table);
}

}  // namespace

std::string recordings_text(const std::vector<RecordingFindings>& all) {
    std::string out;
    for (const RecordingFindings& findings : all) {
        if (!out.empty()) out += "\n";
        out += wrapped(findings.name, text_width);
        out += wrapped(recording_words(findings), text_width, "  ");
        out += list_text("Quality", quality_words(findings));
        if (findings.figures.empty()) {
            out += "\nNothing to be taken from it.\n";
            continue;
        }
        out += figure_text(recording_figure_table(findings));
        constexpr std::size_t most_rows = 20;
        out += table_or_nothing(recording_track_table(findings, most_rows));
        if (!findings.run_up) out += table_or_nothing(recording_order_table(findings));
        out += table_or_nothing(recording_cylinder_table(findings));
        if (!findings.cylinder_reading.empty()) {
            out += wrapped(findings.cylinder_reading, text_width, "  ");
        }
    }
    out += list_text("Mind", recording_cautions());
    return out;
}

}  // namespace damper

// SPDX-License-Identifier: MIT
#include "libdamper/outputs/html_report.hpp"

#include "libdamper/outputs/html_page.hpp"
#include "libdamper/outputs/html_sections.hpp"

namespace damper {
std::string html_report(const RunRecord& record) {
    std::string out = page_head(record.identity.title);
    out += "<body><main>\n" + page_banner(record.identity);
    out += verdict_section(record);
    out += scripts_off_notice();
    out += disc_section(record);
    out += motion_section(record);
    out += clutch_section(record);
    out += vehicle_section(record);
    out += course_section(record);
    out += order_section(record);
    out += stage_section(record);
    out += impact_section(record);
    out += measure_section(record);
    out += energy_section(record);
    out += method_section(record);
    out += page_end();
    return out;
}

}  // namespace damper

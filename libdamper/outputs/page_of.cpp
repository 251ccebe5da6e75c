// SPDX-License-Identifier: MIT
#include "libdamper/outputs/page_of.hpp"

#include "libdamper/outputs/html_cover.hpp"
#include "libdamper/outputs/html_fit.hpp"
#include "libdamper/outputs/html_modes.hpp"
#include "libdamper/outputs/html_orbit.hpp"
#include "libdamper/outputs/html_report.hpp"
#include "libdamper/outputs/response_text.hpp"
#include "libdamper/outputs/study_text.hpp"

namespace damper {

namespace {

struct Page {
    std::string operator()(const RunRecord& record) const { return html_report(record); }
    std::string operator()(const ModesRecord& record) const { return html_modes(record); }
    std::string operator()(const ResponseRecord& record) const { return response_page(record); }
    std::string operator()(const OrbitRecord& record) const { return html_orbit(record); }
    std::string operator()(const CoverRecord& record) const { return html_cover(record); }
    std::string operator()(const HeatRecord& record) const { return html_heat(record); }
    std::string operator()(const FitRecord& record) const { return html_fit(record); }
    std::string operator()(const StudyRecord& record) const { return html_study(record); }
};

}  // namespace

std::string page_of(const AnyRecord& record) {
    return std::visit(Page{}, record);
}

}  // namespace damper

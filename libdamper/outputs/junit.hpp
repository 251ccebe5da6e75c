// SPDX-License-Identifier: MIT
#pragma once

#include "libdamper/results/check_report.hpp"

#include <string>

namespace damper {

/// When and where a check ran, which the format asks for.
struct JunitOrigin {
    std::string timestamp;  ///< ISO 8601 without zone, UTC: "2026-01-31T12:00:00".
    std::string host;
};

/// A check in the XML that CI systems read as results of JUnit: one suite, one case a scenario. A
/// band or baseline that is missed is a failure, what could not be read or solved an error, what
/// was not run is skipped.
[[nodiscard]] std::string junit_xml(const CheckReport& report, const JunitOrigin& origin);

}  // namespace damper

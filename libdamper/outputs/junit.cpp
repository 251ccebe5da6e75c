// SPDX-License-Identifier: MIT
#include "libdamper/outputs/junit.hpp"

#include "libdamper/outputs/check_words.hpp"
#include "libdamper/outputs/html_escape.hpp"

#include <fmt/format.h>
#include <sstream>

namespace damper {

namespace {

/// Characters that XML 1.0 forbids even as references are made visible by html_escape().
std::string escaped(const std::string& text) {
    std::string out;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        if (!out.empty()) out += '\n';
        out += html_escape(line);
    }
    return out;
}

/// A line end in an attribute would be read as a blank.
std::string attribute(const std::string& text) {
    return html_escape(text.substr(0, text.find('\n')));
}

/// The vehicle as one word, so that readers that split class names at points show one level.
std::string class_name(const CheckedScenario& one) {
    std::string out = "damper.check.";
    if (one.vehicle.empty()) return out + "unknown";
    for (const char c : one.vehicle) {
        out += c == '.' || c == ' ' || c == ',' ? '_' : c;
    }
    return out;
}

std::string failure_text(const CheckedScenario& one) {
    std::string out = one.message.empty() ? "" : one.message + "\n";
    for (const CheckedValue& value : one.values) {
        if (!value.kept) out += sentence_of(value) + "\n";
    }
    for (const std::string& note : one.notes) out += note + "\n";
    return out;
}

std::string inner(const CheckedScenario& one) {
    switch (one.end) {
        case CheckEnd::kept:
            return "";
        case CheckEnd::missed: {
            const std::string text = failure_text(one);
            const bool has_value = !one.values.empty() && !one.values[0].kept;
            const std::string type =
                has_value ? std::string(against_key(one.values[0].against)) : "no_baseline";
            return fmt::format("      <failure message=\"{}\" type=\"{}\">{}</failure>\n",
                               attribute(text), type, escaped(text));
        }
        case CheckEnd::bad_input:
        case CheckEnd::unsolved:
            return fmt::format("      <error message=\"{}\" type=\"{}\">{}</error>\n",
                               attribute(one.message), end_key(one.end), escaped(one.message));
        case CheckEnd::unchanged:
        case CheckEnd::not_reached:
            return fmt::format("      <skipped message=\"{}\"/>\n",
                               one.end == CheckEnd::unchanged
                                   ? "unchanged since it was last kept"
                                   : "not reached: the check was interrupted");
    }
    return "";
}

}  // namespace

std::string junit_xml(const CheckReport& report, const JunitOrigin& origin) {
    const std::size_t errors = report.count(CheckEnd::bad_input) + report.count(CheckEnd::unsolved);
    const std::size_t skipped =
        report.count(CheckEnd::unchanged) + report.count(CheckEnd::not_reached);
    std::string out = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites>\n"
        "  <testsuite name=\"damper check\" package=\"damper\" id=\"0\" tests=\"{}\" "
        "failures=\"{}\" errors=\"{}\" skipped=\"{}\" time=\"{:.3f}\" timestamp=\"{}\" "
        "hostname=\"{}\">\n",
        report.scenarios.size(), report.count(CheckEnd::missed), errors, skipped, report.seconds,
        html_escape(origin.timestamp), html_escape(origin.host));
    out += fmt::format(
        "    <properties>\n"
        "      <property name=\"program_version\" value=\"{}\"/>\n"
        "      <property name=\"command_line\" value=\"{}\"/>\n"
        "      <property name=\"baseline\" value=\"{}\"/>\n"
        "    </properties>\n",
        html_escape(report.program_version), html_escape(report.command_line),
        html_escape(report.baseline_folder));
    for (const CheckedScenario* one : by_margin(report)) {
        out += fmt::format("    <testcase classname=\"{}\" name=\"{}\" time=\"{:.3f}\"",
                           html_escape(class_name(*one)), html_escape(one->name), one->seconds);
        const std::string body = inner(*one);
        out += body.empty() ? "/>\n" : ">\n" + body + "    </testcase>\n";
    }
    std::string notes = summary_of(report) + "\n";
    for (const std::string& note : report.notes) notes += note + "\n";
    out += fmt::format("    <system-out>{}</system-out>\n    <system-err></system-err>\n",
                       escaped(notes));
    return out + "  </testsuite>\n</testsuites>\n";
}

}  // namespace damper

// SPDX-License-Identifier: MIT
#include "libdamper/describe/write_complaint.hpp"

#include "libdamper/describe/toml_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>

namespace damper {

namespace {

using Entries = std::vector<std::pair<std::string, std::string>>;

/// A comment ends with its line, whatever the text holds.
std::string on_one_line(std::string text) {
    for (char& c : text) {
        if (static_cast<unsigned char>(c) < 0x20U || c == 0x7F) c = ' ';
    }
    return text;
}

void put_open(std::string& out, const Entries& entries, const std::vector<OpenLine>& open) {
    std::string group;
    for (const OpenLine& line : open) {
        if (std::ranges::find(entries, line.key, &Entries::value_type::first) != entries.end()) {
            continue;
        }
        if (line.group != group) out += fmt::format("\n# == {} ==\n", on_one_line(line.group));
        group = line.group;
        for (std::size_t i = 0; i < line.says.size(); ++i) {
            out += fmt::format("#{}{}\n", i == 0 ? " " : "   ", on_one_line(line.says[i]));
        }
        out += fmt::format("# {} = {}\n", toml_key(line.key), toml_text(line.value));
    }
}

void put_table(std::string& out, const char* name, const Entries& entries,
               const std::vector<OpenLine>& open = {}, const std::vector<std::string>& says = {}) {
    if (entries.empty() && open.empty()) return;
    out += fmt::format("\n[{}]\n", name);
    for (const std::string& line : says) out += fmt::format("# {}\n", on_one_line(line));
    for (const auto& [key, value] : entries) {
        out += fmt::format("{} = {}\n", toml_key(key), toml_text(value));
    }
    put_open(out, entries, open);
}

void put_repair(std::string& out, const Repair& repair) {
    out += "\n[repair]\n";
    if (!repair.done.empty()) out += fmt::format("done = {}\n", toml_text(repair.done));
    if (!repair.complaint.empty()) {
        out += fmt::format("complaint = {}\n", toml_text(repair.complaint));
    }
    const bool disc = std::ranges::find(repair.renewed, "disc") != repair.renewed.end();
    std::vector<std::string> renewed;
    for (const std::string& part : repair.renewed) {
        const bool implied = disc && part == "facings";
        const std::string text = toml_text(part);
        if (!implied && std::ranges::find(renewed, text) == renewed.end()) renewed.push_back(text);
    }
    if (!renewed.empty()) out += fmt::format("renewed = [{}]\n", fmt::join(renewed, ", "));
    put_table(out, "repair.answers", repair.answers);
    put_table(out, "repair.measured", repair.measured);
    put_table(out, "repair.recordings", repair.recordings);
    put_table(out, "repair.change", repair.changes);
}

/// The repair as lines to fill in, once there is one.
void put_open_repair(std::string& out, const std::vector<OpenLine>& recordings) {
    out += fmt::format(
        "\n# == Once it is repaired: whether that cured it ==\n"
        "# [repair]\n"
        "# done = \"\"\n"
        "# New parts: clutch (disc, cover and release), or of {}\n"
        "# renewed = [\"clutch\"]\n"
        "# What the driver says since: gone, still there or unknown\n"
        "# complaint = \"unknown\"\n",
        fmt::join(renewable_parts(), ", "));
    if (recordings.empty()) {
        out += "# The same figures again, [repair.measured]\n";
        return;
    }
    out += fmt::format(
        "# The same again, into files of their own; figures under [repair.measured]\n"
        "# [repair.recordings]\n"
        "# {} = {}\n",
        recordings.front().key, toml_text("since_" + recordings.front().value));
}

}  // namespace

std::string complaint_toml(const Complaint& complaint, const OpenLines& open) {
    std::string out;
    const auto put = [&](const char* key, const std::string& value) {
        if (!value.empty()) out += fmt::format("{} = {}\n", key, toml_text(value));
    };
    put("title", complaint.title);
    put("origin", complaint.origin);
    put("vehicle", complaint.vehicle);
    put("symptom", complaint.symptom);
    put("mileage", complaint.mileage);
    put("notes", complaint.notes);
    if (complaint.flywheel_teeth > 0) {
        out += fmt::format("flywheel_teeth = {}\n", complaint.flywheel_teeth);
    }
    if (complaint.input_shaft_teeth > 0) {
        out += fmt::format("input_shaft_teeth = {}\n", complaint.input_shaft_teeth);
    }
    put("truth", complaint.truth);
    put_table(out, "answers", complaint.answers, open.answers);
    put_table(out, "measured", complaint.measured, open.measured);
    put_table(out, "recordings", complaint.recordings, open.recordings, open.on_recordings);
    put_table(out, "change", complaint.changes);
    if (complaint.repair) {
        put_repair(out, *complaint.repair);
    } else if (!open.measured.empty() || !open.recordings.empty()) {
        put_open_repair(out, open.recordings);
    }
    return out;
}

}  // namespace damper

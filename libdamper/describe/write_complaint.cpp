// SPDX-License-Identifier: MIT
#include "libdamper/describe/write_complaint.hpp"

#include "libdamper/describe/toml_text.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

void put_table(std::string& out, const char* name,
               const std::vector<std::pair<std::string, std::string>>& entries) {
    if (entries.empty()) return;
    out += fmt::format("\n[{}]\n", name);
    for (const auto& [key, value] : entries) {
        out += fmt::format("{} = {}\n", toml_text(key), toml_text(value));
    }
}

}  // namespace

std::string complaint_toml(const Complaint& complaint) {
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
    put("truth", complaint.truth);
    put_table(out, "answers", complaint.answers);
    put_table(out, "measured", complaint.measured);
    put_table(out, "recordings", complaint.recordings);
    put_table(out, "change", complaint.changes);
    return out;
}

}  // namespace damper

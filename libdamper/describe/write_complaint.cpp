// SPDX-License-Identifier: MIT
#include "libdamper/describe/write_complaint.hpp"

#include <fmt/format.h>

namespace damper {

namespace {

/// A TOML basic string (TOML 1.0.0, section "String").
std::string quoted(const std::string& text) {
    std::string out = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') {
            out += '\\';
            out += c;
        } else if (byte < 0x20 || byte == 0x7F) {
            out += fmt::format("\\u{:04X}", static_cast<unsigned>(byte));
        } else {
            out += c;
        }
    }
    return out + "\"";
}

void put_table(std::string& out, const char* name,
               const std::vector<std::pair<std::string, std::string>>& entries) {
    if (entries.empty()) return;
    out += fmt::format("\n[{}]\n", name);
    for (const auto& [key, value] : entries) {
        out += fmt::format("{} = {}\n", quoted(key), quoted(value));
    }
}

}  // namespace

std::string complaint_toml(const Complaint& complaint) {
    std::string out;
    const auto put = [&](const char* key, const std::string& value) {
        if (!value.empty()) out += fmt::format("{} = {}\n", key, quoted(value));
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

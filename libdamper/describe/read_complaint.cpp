// SPDX-License-Identifier: MIT
#include "libdamper/describe/change.hpp"
#include "libdamper/describe/knowledge_file.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/diagnosis/knowledge_fields.hpp"
#include "libdamper/diagnosis/possible_values.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <optional>
#include <system_error>

namespace damper {

namespace {

using Entries = std::vector<std::pair<std::string, std::string>>;

/// A table of the file that holds answers, figures and recordings: the file itself, or the repair.
struct ComplaintTable {
    KnowledgeFile& file;
    const TreeNode& node;
    std::string name;  ///< Of the table; empty: the file itself.
    [[nodiscard]] const TreeNode* find(const char* key) const {
        return KnowledgeFile::find(node, key);
    }
    [[nodiscard]] std::string path(const char* key) const { return join_path(name, key); }
};

Entries read_answers_given(const ComplaintTable& place, const ComplaintWords& known) {
    Entries out;
    KnowledgeFile& file = place.file;
    const TreeNode* node = place.find("answers");
    const TreeNode::Table* table =
        node != nullptr ? file.reader().table_of(*node, place.path("answers"), "answers") : nullptr;
    if (table == nullptr) return out;
    for (const TreeEntry& entry : *table) {
        const std::string path = join_path(place.path("answers"), entry.key);
        if (!file.require_word(entry.key, names_of(known.questions), "question", entry.spot,
                               path)) {
            continue;
        }
        const std::string* word = entry.node.text();
        if (word == nullptr) {
            file.refuse(entry.node.spot, path, in_words(entry.node), "a choice in quotation marks");
            continue;
        }
        if (*word == "unknown") continue;
        std::vector<std::string> choices = choices_of(*known.questions.find(entry.key));
        choices.emplace_back("unknown");
        if (file.require_word(*word, choices, "choice", entry.node.spot, path)) {
            out.emplace_back(entry.key, *word);
        }
    }
    return out;
}

Entries read_measured(const ComplaintTable& place, const ComplaintWords& known) {
    KnowledgeFile& file = place.file;
    const TreeNode* node = place.find("measured");
    Entries out = file.texts(node, place.path("measured"), "measured figures");
    std::vector<std::string> names;
    for (const auto& [name, units] : known.measures) names.push_back(name);
    for (const auto& [measure, text] : out) {
        const TreeEntry* entry = find_entry(*node->table(), measure);
        const std::string path = join_path(place.path("measured"), measure);
        if (!file.require_word(measure, names, "measure", entry->spot, path)) continue;
        const auto units =
            std::ranges::find(known.measures, measure, &std::pair<std::string, std::string>::first);
        const auto value = read_in_units(text, units->second);
        if (const auto* fault = std::get_if<QuantityFault>(&value)) {
            const PossibleValue* figure = possible_value(measure);
            std::string mend = fault->mend;
            if (figure != nullptr && !figure->how.empty()) {
                mend.append(mend.empty() ? "" : " ").append(figure->how);
            }
            file.refuse(entry->node.spot, path, fault->found, fault->expected, std::move(mend));
        } else if (const auto wrong =
                       impossible(measure, text, std::get<double>(value), units->second)) {
            file.refuse(entry->node.spot, path, wrong->found, wrong->expected, wrong->mend);
        }
    }
    return out;
}

/// Whether two recordings may be in one table: both speeds, and a speed and an acceleration. Of
/// what else there is, each has its own.
bool may_share(const std::string& one, const std::string& other) {
    return (is_speed_recording(one) &&
            (is_speed_recording(other) || is_acceleration_recording(other))) ||
           (is_acceleration_recording(one) && is_speed_recording(other));
}

/// Whether two files are one, or hold the same bytes.
bool is_same_file(const std::filesystem::path& one, const std::filesystem::path& other) {
    std::error_code error;
    if (one == other || std::filesystem::equivalent(one, other, error)) return true;
    const auto size = std::filesystem::file_size(one, error);
    if (error || size != std::filesystem::file_size(other, error) || error || size == 0) {
        return false;
    }
    std::ifstream a(one, std::ios::binary), b(other, std::ios::binary);
    using Bytes = std::istreambuf_iterator<char>;
    return std::equal(Bytes(a), Bytes(), Bytes(b), Bytes());
}

/// `before`: recordings that stand for another state of the vehicle, whose files cannot be used
/// once more.
Entries read_recordings(const ComplaintTable& place, const std::filesystem::path& folder,
                        const Entries& before) {
    Entries out;
    KnowledgeFile& file = place.file;
    const TreeNode* node = place.find("recordings");
    std::vector<std::string> kinds;
    for (const auto& [kind, what] : recording_kinds()) kinds.push_back(kind);
    for (auto& [kind, path] : file.texts(node, place.path("recordings"), "recordings")) {
        const TreeEntry* entry = find_entry(*node->table(), kind);
        const std::string key = join_path(place.path("recordings"), kind);
        if (!file.require_word(kind, kinds, "recording", entry->spot, key)) continue;
        std::error_code error;
        if (path.empty() || path.find('\0') != std::string::npos) {
            file.refuse(entry->node.spot, key, path.empty() ? "an empty name" : "a zero byte",
                        "the name of a file, seen from the complaint's folder");
        } else if (!std::filesystem::is_regular_file(folder / path, error)) {
            const bool there = std::filesystem::exists(folder / path, error);
            file.refuse(
                entry->node.spot, key,
                quote(path) + (there ? ", which is no regular file" : ", which is not there"),
                "a file, seen from the complaint's folder",
                "Put the recording there, or take the line out.");
        }
        const std::string whole = (folder / path).lexically_normal().string();
        const auto same = [&](const auto& one) { return is_same_file(one.second, whole); };
        if (std::ranges::any_of(before, same)) {
            file.refuse(entry->node.spot, key,
                        quote(path) + ", which is the recording of before, or a copy of it",
                        "the recording made after the repair",
                        "Record again into a file of its own, so that both can be compared.");
        }
        for (const auto& [other, of_other] : out) {
            if (of_other != whole || may_share(kind, other)) continue;
            file.refuse(entry->node.spot, key, quote(path) + ", as for " + other, "another file",
                        "Only a table with the speeds of both shafts may stand under flywheel and "
                        "under input_shaft, and one with speeds and an acceleration under both.");
            break;
        }
        out.emplace_back(kind, whole);
    }
    return out;
}

std::optional<Repair> read_repair(KnowledgeFile& file, const ComplaintWords& known,
                                  const std::filesystem::path& folder, const Entries& before) {
    const TreeNode* node = KnowledgeFile::find(file.root(), "repair");
    if (node == nullptr) return std::nullopt;
    Repair out;
    file.reader().read(*node, "repair", out,
                       {"renewed", "change", "answers", "measured", "recordings"});
    if (node->table() == nullptr) return out;
    const ComplaintTable place{file, *node, "repair"};
    std::vector<std::string> parts = renewable_parts();
    parts.insert(parts.begin(), "clutch");
    for (const std::string& part :
         file.words(place.find("renewed"), parts, "part", place.path("renewed"))) {
        if (part == "clutch") {
            out.renewed.insert(out.renewed.end(), {"disc", "facings", "cover", "release"});
        } else {
            out.renewed.push_back(part);
            if (part == "disc") out.renewed.emplace_back("facings");
        }
    }
    out.answers = read_answers_given(place, known);
    out.measured = read_measured(place, known);
    out.recordings = read_recordings(place, folder, before);
    out.changes = file.texts(place.find("change"), place.path("change"), "changes");
    return out;
}

}  // namespace

Complaint read_complaint(const std::filesystem::path& path, const ComplaintWords& known) {
    KnowledgeFile file(path, schema_of<Complaint>());
    Complaint complaint;
    file.reader().read(file.root(), "", complaint,
                       {"answers", "measured", "recordings", "change", "repair"});
    if (const TreeNode* node = file.find(file.root(), "mileage")) {
        if (std::holds_alternative<std::int64_t>(node->value) ||
            std::holds_alternative<double>(node->value)) {
            file.mend("mileage", fmt::format("Write it with its unit, in quotation marks: "
                                             "mileage = \"{} km\".",
                                             as_written(*node)));
        }
    }
    complaint.name = path.stem().string();
    if (!complaint.symptom.empty()) {
        const TreeNode* node = file.find(file.root(), "symptom");
        (void)file.require_word(complaint.symptom, known.symptoms, "symptom", node->spot,
                                "symptom");
    }
    const ComplaintTable whole{file, file.root(), ""};
    complaint.answers = read_answers_given(whole, known);
    complaint.measured = read_measured(whole, known);
    complaint.recordings = read_recordings(whole, path.parent_path(), {});
    complaint.changes = file.texts(whole.find("change"), "change", "changes");
    complaint.repair = read_repair(file, known, path.parent_path(), complaint.recordings);
    file.stop_if_wrong();
    return complaint;
}

}  // namespace damper

// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_knowledge.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/base/nearest_word.hpp"
#include "libdamper/describe/change.hpp"
#include "libdamper/describe/part_files.hpp"
#include "libdamper/describe/read_part.hpp"
#include "libdamper/diagnosis/knowledge_fields.hpp"
#include "libdamper/diagnosis/possible_values.hpp"
#include "libdamper/quantity/read_quantity.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <map>
#include <set>

namespace damper {

namespace {

/// A file's tree with what is needed to read it and to say what is wrong in it.
class Opened {
  public:
    Opened(const std::filesystem::path& file, const PartSchema& schema)
        : files_({}, map_, findings_),
          root_(files_.read_first(file, schema)),
          reader_(map_, findings_, provenance_, written_) {
        stop_if_wrong();
    }

    [[nodiscard]] const TreeNode& root() const { return root_; }
    [[nodiscard]] PartReader& reader() { return reader_; }
    void stop_if_wrong() {
        if (root_.broken() || !findings_.empty()) throw InputError(std::move(findings_));
    }
    [[nodiscard]] const TreeNode* find(const TreeNode& node, const char* key) const {
        const TreeEntry* entry = node.table() != nullptr ? find_entry(*node.table(), key) : nullptr;
        return entry != nullptr ? &entry->node : nullptr;
    }
    void refuse(const Spot& spot, const std::string& path, std::string found, std::string expected,
                std::string mend = "") {
        reader_.values().refuse(spot, path, std::move(found), std::move(expected), std::move(mend));
    }
    /// Says how to mend what was found at a key.
    void mend(std::string_view key, const std::string& how) {
        for (Finding& one : findings_) {
            if (one.key == key) one.mend = how;
        }
    }
    /// False, with a finding, unless `word` is one of `known`.
    bool require_word(const std::string& word, const std::vector<std::string>& known,
                      const char* noun, const Spot& spot, const std::string& path) {
        if (std::ranges::find(known, word) != known.end()) return true;
        const std::string near = nearest_word(word, known);
        refuse(spot, path, fmt::format("the unknown {} {}", noun, quote(word)),
               fmt::format("a known {}", noun),
               near.empty() ? fmt::format("There are: {}.", fmt::join(known, ", "))
                            : fmt::format("Did you mean \"{}\"?", near));
        return false;
    }
    /// Key and text of every entry of a table; numbers are taken as they are written.
    std::vector<std::pair<std::string, std::string>> texts(const TreeNode* node,
                                                           const std::string& path,
                                                           const char* noun) {
        std::vector<std::pair<std::string, std::string>> out;
        if (node == nullptr) return out;
        const TreeNode::Table* table = reader_.table_of(*node, path, noun);
        if (table == nullptr) return out;
        for (const TreeEntry& entry : *table) {
            if (entry.node.table() != nullptr) {
                refuse(entry.spot, join_path(path, entry.key), "a table", "a text",
                       "Put keys with points in quotation marks.");
                continue;
            }
            out.emplace_back(entry.key, as_written(entry.node));
        }
        return out;
    }
    std::vector<Weighted> weights(const TreeNode* node, const std::string& path, const char* noun) {
        std::vector<Weighted> out;
        if (node == nullptr) return out;
        const TreeNode::Table* table = reader_.table_of(*node, path, noun);
        if (table == nullptr) return out;
        for (const TreeEntry& entry : *table) {
            const auto weight = reader_.values().quantity(entry.node, join_path(path, entry.key),
                                                          {}, within("0", "1000"));
            if (weight) out.emplace_back(entry.key, *weight);
        }
        return out;
    }

  private:
    SourceMap map_;
    std::vector<Finding> findings_;
    PartFiles files_;
    TreeNode root_;
    std::map<std::string, std::string> provenance_, written_;
    PartReader reader_;
};

std::vector<std::string> names_of(const QuestionList& questions) {
    std::vector<std::string> out;
    for (const Question& one : questions.questions) out.push_back(one.name);
    return out;
}

std::vector<std::string> choices_of(const Question& question) {
    std::vector<std::string> out;
    for (const Choice& one : question.choices) out.push_back(one.name);
    return out;
}

void read_answers(Opened& file, const TreeNode& node, const std::string& path,
                  const QuestionList& questions, CandidateCause& cause) {
    const TreeNode::Table* table = file.reader().table_of(node, path, "answers");
    if (table == nullptr) return;
    for (const TreeEntry& entry : *table) {
        const std::string here = join_path(path, entry.key);
        if (!file.require_word(entry.key, names_of(questions), "question", entry.spot, here)) {
            continue;
        }
        CauseAnswers answers{entry.key, file.weights(&entry.node, here, "weights of choices")};
        for (const auto& [choice, weight] : answers.choices) {
            (void)file.require_word(choice, choices_of(*questions.find(entry.key)), "choice",
                                    entry.spot, join_path(here, choice));
        }
        cause.answers.push_back(std::move(answers));
    }
}

void read_causes(Opened& file, const QuestionList& questions, ComplaintKind& kind) {
    const TreeNode* list = file.find(file.root(), "causes");
    if (list == nullptr || list->array() == nullptr) {
        file.refuse(file.root().spot, "causes", "nothing", "tables [[causes]]");
        return;
    }
    std::set<std::string> seen;
    for (std::size_t i = 0; i < list->array()->size(); ++i) {
        const TreeNode& node = (*list->array())[i];
        const std::string path = fmt::format("causes[{}]", i);
        CandidateCause cause;
        file.reader().read(node, path, cause, {"classes", "ranges", "answers"});
        if (cause.cause.empty() == cause.outside.empty()) {
            file.refuse(node.spot, path, cause.cause.empty() ? "neither" : "both",
                        "either cause or outside");
        } else if (!cause.outside.empty() && (cause.title.empty() || cause.seat.empty())) {
            file.refuse(node.spot, path, "no title or no seat", "both",
                        "A cause outside the model must say what it is and where it sits.");
        }
        if (!seen.insert(cause.name()).second) {
            file.refuse(node.spot, path, quote(cause.name()) + " once more", "each cause once");
        }
        cause.classes = file.weights(file.find(node, "classes"), path + ".classes", "factors");
        cause.ranges = file.texts(file.find(node, "ranges"), path + ".ranges", "ranges");
        if (const TreeNode* answers = file.find(node, "answers")) {
            read_answers(file, *answers, path + ".answers", questions, cause);
        }
        kind.causes.push_back(std::move(cause));
    }
}

void read_runs(Opened& file, ComplaintKind& kind) {
    const TreeNode* list = file.find(file.root(), "runs");
    if (list == nullptr || list->array() == nullptr) return;
    for (std::size_t i = 0; i < list->array()->size(); ++i) {
        const TreeNode& node = (*list->array())[i];
        const std::string path = fmt::format("runs[{}]", i);
        ComplaintRun run;
        file.reader().read(node, path, run, {"change"});
        if (run.scenario.empty() == run.cover.empty()) {
            file.refuse(node.spot, path, run.cover.empty() ? "neither" : "both",
                        "either scenario or cover");
        }
        run.changes = file.texts(file.find(node, "change"), path + ".change", "changes");
        kind.runs.push_back(std::move(run));
    }
}

void read_question_names(Opened& file, const QuestionList& questions, ComplaintKind& kind) {
    const TreeNode* list = file.find(file.root(), "questions");
    if (list == nullptr || list->array() == nullptr) {
        file.refuse(file.root().spot, "questions", "nothing", "a list of names of questions");
        return;
    }
    for (const TreeNode& node : *list->array()) {
        const std::string* name = node.text();
        if (name == nullptr) {
            file.refuse(node.spot, "questions", in_words(node), "names in quotation marks");
        } else if (file.require_word(*name, names_of(questions), "question", node.spot,
                                     "questions")) {
            kind.questions.push_back(*name);
        }
    }
}

void read_given_answers(Opened& file, const ComplaintWords& known, Complaint& complaint) {
    const TreeNode* node = file.find(file.root(), "answers");
    const TreeNode::Table* table =
        node != nullptr ? file.reader().table_of(*node, "answers", "answers") : nullptr;
    if (table == nullptr) return;
    for (const TreeEntry& entry : *table) {
        const std::string path = join_path("answers", entry.key);
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
            complaint.answers.emplace_back(entry.key, *word);
        }
    }
}

void check_measured(Opened& file, const ComplaintWords& known, Complaint& complaint) {
    const TreeNode* node = file.find(file.root(), "measured");
    complaint.measured = file.texts(node, "measured", "measured figures");
    std::vector<std::string> names;
    for (const auto& [name, units] : known.measures) names.push_back(name);
    for (const auto& [measure, text] : complaint.measured) {
        const TreeEntry* entry = find_entry(*node->table(), measure);
        const std::string path = join_path("measured", measure);
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
}

void read_recordings(Opened& file, const std::filesystem::path& folder, Complaint& complaint) {
    const TreeNode* node = file.find(file.root(), "recordings");
    std::vector<std::string> kinds;
    for (const auto& [kind, what] : recording_kinds()) kinds.push_back(kind);
    for (auto& [kind, path] : file.texts(node, "recordings", "recordings")) {
        const TreeEntry* entry = find_entry(*node->table(), kind);
        if (!file.require_word(kind, kinds, "recording", entry->spot,
                               join_path("recordings", kind))) {
            continue;
        }
        const std::string key = join_path("recordings", kind);
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
        // Both speeds, and an acceleration, may be in one table; of what else there is, each has
        // its own.
        const std::string whole = (folder / path).lexically_normal().string();
        for (const auto& [other, of_other] : complaint.recordings) {
            const bool together =
                (is_speed_recording(kind) &&
                 (is_speed_recording(other) || is_acceleration_recording(other))) ||
                (is_acceleration_recording(kind) && is_speed_recording(other));
            if (of_other != whole || together) continue;
            file.refuse(entry->node.spot, key, quote(path) + ", as for " + other, "another file",
                        "Only a table with the speeds of both shafts may stand under flywheel and "
                        "under input_shaft, and one with speeds and an acceleration under both.");
            break;
        }
        complaint.recordings.emplace_back(kind, whole);
    }
}

}  // namespace

QuestionList read_questions(const std::filesystem::path& path) {
    Opened file(path, schema_of<QuestionList>());
    QuestionList list;
    file.reader().read(file.root(), "", list);
    std::set<std::string> seen;
    for (std::size_t i = 0; i < list.questions.size(); ++i) {
        if (!seen.insert(list.questions[i].name).second) {
            file.refuse(file.root().spot, fmt::format("questions[{}].name", i),
                        quote(list.questions[i].name) + " once more", "each name once");
        }
    }
    file.stop_if_wrong();
    return list;
}

ComplaintKind read_complaint_kind(const std::filesystem::path& path,
                                  const QuestionList& questions) {
    Opened file(path, schema_of<ComplaintKind>());
    ComplaintKind kind;
    file.reader().read(file.root(), "", kind, {"questions", "runs", "scatter", "causes"});
    read_question_names(file, questions, kind);
    read_runs(file, kind);
    kind.scatter = file.texts(file.find(file.root(), "scatter"), "scatter", "scatter");
    read_causes(file, questions, kind);
    file.stop_if_wrong();
    return kind;
}

Complaint read_complaint(const std::filesystem::path& path, const ComplaintWords& known) {
    Opened file(path, schema_of<Complaint>());
    Complaint complaint;
    file.reader().read(file.root(), "", complaint, {"answers", "measured", "recordings", "change"});
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
    read_given_answers(file, known, complaint);
    check_measured(file, known, complaint);
    read_recordings(file, path.parent_path(), complaint);
    complaint.changes = file.texts(file.find(file.root(), "change"), "change", "changes");
    file.stop_if_wrong();
    return complaint;
}

bool is_speed_recording(const std::string& kind) {
    return kind == "flywheel" || kind == "input_shaft";
}

bool is_acceleration_recording(const std::string& kind) {
    return kind == "acceleration" || kind == "seat_acceleration";
}

const std::vector<std::pair<std::string, std::string>>& recording_kinds() {
    static const std::vector<std::pair<std::string, std::string>> kinds{
        {"flywheel", "speed of the flywheel over time (CSV)"},
        {"input_shaft", "speed of the gearbox input over time (CSV)"},
        {"flywheel_pulses", "times of teeth that pass a pickup at the flywheel (CSV)"},
        {"input_shaft_pulses", "times of teeth that pass a pickup at the gearbox input (CSV)"},
        {"acceleration", "acceleration of the gearbox case (CSV)"},
        {"seat_acceleration", "fore-and-aft acceleration at the seat rail (CSV)"},
        {"sound", "sound (WAV)"},
        {"loop", "torque over twist of the disc on a bench (CSV)"},
        {"loop_idle", "the same about the idle stage alone, with a finer torque range (CSV)"},
        {"clamp_load", "clamp load of the cover over wear (CSV)"},
        {"release_travel", "lift of the plate over travel of the release bearing (CSV)"},
    };
    return kinds;
}

}  // namespace damper

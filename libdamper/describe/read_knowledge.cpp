// SPDX-License-Identifier: MIT
#include "libdamper/describe/read_knowledge.hpp"

#include "libdamper/describe/change.hpp"
#include "libdamper/describe/knowledge_file.hpp"
#include "libdamper/diagnosis/knowledge_fields.hpp"
#include "libdamper/quantity/read_unit_text.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <set>

namespace damper {

namespace {

void read_answers(KnowledgeFile& file, const TreeNode& node, const std::string& path,
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

void read_causes(KnowledgeFile& file, const QuestionList& questions, ComplaintKind& kind) {
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

void read_runs(KnowledgeFile& file, ComplaintKind& kind) {
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

void read_question_names(KnowledgeFile& file, const QuestionList& questions, ComplaintKind& kind) {
    const TreeNode* list = KnowledgeFile::find(file.root(), "questions");
    if (list == nullptr) {
        file.refuse(file.root().spot, "questions", "nothing", "a list of names of questions");
        return;
    }
    kind.questions = file.words(list, names_of(questions), "question", "questions");
}

}  // namespace

QuestionList read_questions(const std::filesystem::path& path) {
    KnowledgeFile file(path, schema_of<QuestionList>());
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
    KnowledgeFile file(path, schema_of<ComplaintKind>());
    ComplaintKind kind;
    file.reader().read(file.root(), "", kind, {"questions", "runs", "scatter", "causes"});
    read_question_names(file, questions, kind);
    read_runs(file, kind);
    kind.scatter = file.texts(file.find(file.root(), "scatter"), "scatter", "scatter");
    read_causes(file, questions, kind);
    file.stop_if_wrong();
    return kind;
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

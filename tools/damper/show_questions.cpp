// SPDX-License-Identifier: MIT
#include "tools/damper/show_questions.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/studies/open_lines.hpp"

#include "tools/damper/built_in.hpp"
#include "tools/damper/command_line.hpp"
#include "tools/damper/complaint_case.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>
#include <vector>

namespace damper::command {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t width = 100;

std::string plain(std::string text) {
    for (char& c : text) {
        c = c == '_' ? ' ' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
    return text;
}

const ComplaintKind& kind_of(const std::string& symptom, const Knowledge& knowledge) {
    for (const ComplaintKind& kind : knowledge.kinds) {
        if (plain(symptom) == kind.symptom) return kind;
    }
    const std::vector<std::string> known = knowledge.symptoms();
    throw InputError(fmt::format(
        "--questions: nothing is known of the symptom \"{}\"{}\n"
        "    There are: {}",
        visible_text(symptom), did_you_mean(plain(symptom), known), fmt::join(known, ", ")));
}

/// Questions of one group, each with its name, its choices to tick and what is to be known of it.
std::string asked_text(const std::vector<OpenLine>& lines, const ComplaintKind& kind,
                       const QuestionList& questions) {
    std::string out, group;
    for (const Question* question : questions_in_order(kind, questions)) {
        const auto line = std::ranges::find(lines, question->name, &OpenLine::key);
        if (line->group != group) out += fmt::format("\n{}\n", line->group);
        group = line->group;
        const std::vector<std::string> says = in_words(*question);
        out += wrapped(fmt::format("{} ({})", says.front(), question->name), width, "  ");
        for (std::size_t i = 1; i < says.size(); ++i) out += wrapped(says[i], width, "      ");
        for (const Choice& choice : question->choices) {
            out += wrapped(fmt::format("{} ({})", choice.says, choice.name), width, "    [ ] ");
        }
    }
    return out;
}

std::string figures_text(const std::vector<OpenLine>& lines) {
    std::string out, group;
    for (const OpenLine& line : lines) {
        if (line.group != group) out += fmt::format("\n{}\n", line.group);
        group = line.group;
        out += wrapped(fmt::format("{} = {}", line.key, line.value), width, "  ");
        for (const std::string& one : line.says) out += wrapped(one, width, "      ");
    }
    return out;
}

std::string recordings_text(const OpenLines& open) {
    if (open.recordings.empty()) return "";
    std::string out = "\nTo be recorded, [recordings]\n";
    for (const std::string& one : open.on_recordings) out += wrapped(one, width, "  ");
    return out + figures_text(open.recordings);
}

std::string as_text(const ComplaintKind& kind, const std::string& vehicle, const OpenLines& open,
                    const QuestionList& questions) {
    std::string out = wrapped(fmt::format("{}: {}", kind.title, kind.words), width);
    out += wrapped(fmt::format("Figures and recordings are those of {}; --vehicle NAME tells those "
                               "of another. What is not known stays open.",
                               vehicle),
                   width);
    out += asked_text(open.answers, kind, questions);
    if (!open.measured.empty()) out += "\nFigures, [measured]\n" + figures_text(open.measured);
    out += recordings_text(open);
    return out + "\n" +
           wrapped(
               "damper diagnose --ask FILE.toml asks the questions, those with the gearbox off "
               "when it goes on with a file; figures and recordings stand in it as lines to "
               "fill in.",
               width);
}

Json lines_of(const std::vector<OpenLine>& lines) {
    Json out = Json::array();
    for (const OpenLine& line : lines) {
        out.push_back({{"name", line.key},
                       {"group", line.group},
                       {"value", line.value},
                       {"says", line.says}});
    }
    return out;
}

std::string as_json(const ComplaintKind& kind, const std::string& vehicle, const OpenLines& open,
                    const QuestionList& questions) {
    Json json{{"symptom", kind.symptom},
              {"title", kind.title},
              {"words", kind.words},
              {"vehicle", vehicle},
              {"questions", Json::array()}};
    for (const Question* one : questions_in_order(kind, questions)) {
        Json choices = Json::array();
        for (const Choice& choice : one->choices) {
            choices.push_back({{"name", choice.name}, {"says", choice.says}});
        }
        json["questions"].push_back({{"name", one->name},
                                     {"asks", one->asks},
                                     {"kind", one->kind},
                                     {"minutes", one->minutes.si()},
                                     {"how", one->how},
                                     {"caution", one->caution},
                                     {"choices", std::move(choices)}});
    }
    json["figures"] = lines_of(open.measured);
    json["recordings"] = lines_of(open.recordings);
    json["on_recordings"] = open.on_recordings;
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

/// A vehicle to show figures of: that of the complaint's first run.
std::string vehicle_for(const ComplaintKind& kind, const std::filesystem::path& models) {
    for (const ComplaintRun& run : kind.runs) {
        if (!run.cover.empty()) return run.cover;
        for (const BuiltIn& one : built_in("scenarios", models)) {
            if (one.name == run.scenario) return one.detail;
        }
    }
    const std::vector<BuiltIn> all = built_in("vehicles", models);
    if (all.empty()) throw InputError("--questions: there is no vehicle in the models folder");
    return all.front().name;
}

}  // namespace

std::string questions_of(const std::string& symptom, const std::string& vehicle,
                         const Knowledge& knowledge, const std::filesystem::path& models,
                         const std::string& format) {
    const ComplaintKind& kind = kind_of(symptom, knowledge);
    Complaint complaint;
    complaint.symptom = kind.symptom;
    complaint.vehicle = vehicle.empty() ? vehicle_for(kind, models) : vehicle;
    const std::string shown = complaint.vehicle;
    complaint.vehicle = vehicle_of(complaint, "--vehicle", models);
    const OpenLines open = open_lines(complaint, knowledge, models, folder_of("scenarios", models));
    return format == "json" ? as_json(kind, shown, open, knowledge.questions)
                            : as_text(kind, shown, open, knowledge.questions);
}

}  // namespace damper::command

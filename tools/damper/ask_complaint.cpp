// SPDX-License-Identifier: MIT
#include "tools/damper/ask_complaint.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/outputs/text_layout.hpp"

#include "tools/damper/terminal.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <optional>

namespace damper::command {

namespace {

constexpr std::size_t width = 100;

/// One line without what surrounds it; nothing at the end of the input.
std::optional<std::string> line_of(std::istream& in) {
    std::string line;
    if (!std::getline(in, line)) return {};
    const auto first = line.find_first_not_of(" \t\r");
    if (first == std::string::npos) return std::string();
    return line.substr(first, line.find_last_not_of(" \t\r") - first + 1);
}

/// The number of a choice, which may be given by its name as well; nothing for the end of the
/// input, and for an empty line unless an answer is needed. Asks again for anything else.
std::optional<std::size_t> choose(const std::string& question,
                                  const std::vector<std::string>& choices, std::istream& in,
                                  const std::vector<std::string>& names = {}, bool needed = false) {
    std::string text = fmt::format("\n{}", wrapped(question, width));
    for (std::size_t i = 0; i < choices.size(); ++i) {
        text += wrapped(choices[i], width, fmt::format("  {:>2}  ", i + 1));
    }
    print_result(text + (needed ? "      (a number or a name) " : "      (Enter: not known) "));
    while (const auto line = line_of(in)) {
        if (line->empty() && !needed) return {};
        const auto named = std::ranges::find(names, *line);
        if (named != names.end()) return static_cast<std::size_t>(named - names.begin());
        std::size_t number = 0;
        const auto read = std::from_chars(line->data(), line->data() + line->size(), number);
        if (read.ec == std::errc() && read.ptr == line->data() + line->size() && number >= 1 &&
            number <= choices.size()) {
            return number - 1;
        }
        print_result(fmt::format("      A number from 1 to {}, or {}: ", choices.size(),
                                 needed ? "a name" : "Enter"));
    }
    return {};
}

std::string ask_text(const std::string& question, std::istream& in) {
    print_result(fmt::format("\n{}      ", wrapped(question, width)));
    return line_of(in).value_or("");
}

}  // namespace

Complaint ask_complaint(const Knowledge& knowledge, const std::vector<BuiltIn>& vehicles,
                        std::istream& in) {
    Complaint out;
    std::vector<std::string> symptoms, names;
    for (const ComplaintKind& kind : knowledge.kinds) {
        names.push_back(kind.symptom);
        symptoms.push_back(fmt::format("{}: {}", kind.title, kind.words));
    }
    const auto symptom = choose("What is complained of?", symptoms, in, names, true);
    if (!symptom) throw InputError("--ask: without a symptom there is nothing to ask about");
    const ComplaintKind& kind = knowledge.kinds[*symptom];
    out.symptom = kind.symptom;
    std::vector<std::string> titles;
    names.clear();
    for (const BuiltIn& one : vehicles) {
        names.push_back(one.name);
        titles.push_back(fmt::format("{}: {} ({})", one.name, one.title, one.detail));
    }
    const auto vehicle =
        choose("Which of these vehicles is nearest? (Its parts can be replaced in the file.)",
               titles, in, names, true);
    if (!vehicle) throw InputError("--ask: without a vehicle there is nothing to compare with");
    out.vehicle = names[*vehicle];
    out.title = ask_text("A title for the case:", in);
    if (out.title.empty()) out.title = kind.title;
    out.origin = "answers from a workshop";
    out.mileage = ask_text("Mileage, as text (Enter: not known):", in);
    for (const std::string& name : kind.questions) {
        const Question& question = *knowledge.questions.find(name);
        if (question.kind == "opened") continue;
        std::vector<std::string> choices;
        for (const Choice& one : question.choices) choices.push_back(one.says);
        std::string asks = question.asks;
        if (!question.how.empty()) asks += " " + question.how;
        if (!question.caution.empty()) asks += " Mind: " + question.caution;
        if (const auto chosen = choose(asks, choices, in)) {
            out.answers.emplace_back(name, question.choices[*chosen].name);
        }
    }
    out.notes = ask_text("Anything else, for the report:", in);
    print_result(
        in ? "\n"
           : "\n\nThe input ended here; what was not answered stands in the file as open.\n");
    return out;
}

}  // namespace damper::command

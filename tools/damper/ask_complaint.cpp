// SPDX-License-Identifier: MIT
#include "tools/damper/ask_complaint.hpp"

#include "libdamper/base/error.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/studies/open_lines.hpp"

#include "tools/damper/terminal.hpp"

#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <optional>

namespace damper::command {

namespace {

constexpr std::size_t width = 100;
constexpr int most_tries = 5;

/// A question with numbered choices, which may be given by their names as well.
struct Choosing {
    std::string question;
    std::vector<std::string> says, names;
    std::string needed = {};  ///< What is needed, for the message; empty: may stay open.
};

class Asker {
  public:
    explicit Asker(AnswerInput input) : input_(input) {}

    [[nodiscard]] bool ended() const { return !input_.in; }

    /// The number of a choice; nothing for the end of the input, and where it may stay open for an
    /// empty line or a few answers that are no choice.
    std::optional<std::size_t> choose(const Choosing& asked) {
        std::string text = fmt::format("\n{}", wrapped(asked.question, width));
        for (std::size_t i = 0; i < asked.says.size(); ++i) {
            text += wrapped(asked.says[i], width, fmt::format("  {:>2}  ", i + 1));
        }
        const bool open = asked.needed.empty();
        print_result(text + (open ? "      (Enter: not known) " : "      (a number or a name) "));
        for (int tries = 0; tries < most_tries; ++tries) {
            if (tries > 0) {
                print_result(fmt::format("      A number from 1 to {}, or {}: ", asked.says.size(),
                                         open ? "Enter" : "a name"));
            }
            const auto line = read_line();
            if (!line || (line->empty() && open)) return {};
            if (const auto chosen = choice_of(*line, asked)) return chosen;
        }
        if (open) {
            print_result("      None of them; it stays open.\n");
            return {};
        }
        throw InputError(
            fmt::format("--ask: {} answers in a row name no {}, so nothing was "
                        "written; expected a number from 1 to {}, or one of: {}",
                        most_tries, asked.needed, asked.says.size(), fmt::join(asked.names, ", ")));
    }

    std::string text(const std::string& question) {
        print_result(fmt::format("\n{}      ", wrapped(question, width)));
        return read_line().value_or("");
    }

  private:
    /// One line without what surrounds it; nothing at the end of the input.
    std::optional<std::string> read_line() {
        constexpr std::size_t longest = 4096;
        std::string line;
        int c = input_.in.get();
        for (; c != '\n' && input_.in; c = input_.in.get()) {
            line += static_cast<char>(c);
            if (line.size() > longest) {
                throw InputError(
                    fmt::format("--ask: an answer of more than {} characters; "
                                "expected a number, a name or a sentence",
                                longest));
            }
        }
        if (!input_.in && line.empty()) return {};
        const auto first = line.find_first_not_of(" \t\r");
        line = first == std::string::npos
                   ? std::string()
                   : line.substr(first, line.find_last_not_of(" \t\r") - first + 1);
        if (!input_.echoed) print_result(printable(line) + "\n");
        return line;
    }

    static std::optional<std::size_t> choice_of(const std::string& line, const Choosing& asked) {
        const auto named = std::ranges::find(asked.names, line);
        if (named != asked.names.end()) {
            return static_cast<std::size_t>(named - asked.names.begin());
        }
        std::size_t number = 0;
        const auto read = std::from_chars(line.data(), line.data() + line.size(), number);
        const bool all = read.ec == std::errc() && read.ptr == line.data() + line.size();
        if (!all || number < 1 || number > asked.says.size()) return {};
        return number - 1;
    }

    AnswerInput input_;
};

std::string symptom_asked(const Knowledge& knowledge, Asker& asker) {
    Choosing asked{.question = "What is complained of?",
                   .says = {},
                   .names = knowledge.symptoms(),
                   .needed = "symptom"};
    for (const ComplaintKind& kind : knowledge.kinds) {
        asked.says.push_back(fmt::format("{}: {}", kind.title, kind.words));
    }
    const auto chosen = asker.choose(asked);
    if (!chosen) throw InputError("--ask: without a symptom there is nothing to ask about");
    return asked.names[*chosen];
}

std::string vehicle_asked(const std::vector<BuiltIn>& vehicles, Asker& asker) {
    Choosing asked{
        .question =
            "Which of these vehicles is nearest? (Its parts can be replaced in the file.) "
            "What matters most: the class, the cylinders, a two-mass flywheel (what can be "
            "wrong with it is looked for only where there is one), engine mounts (where "
            "the vehicle tells none, only answers speak for bad ones), the stages of the "
            "disc (a second, soft one is for idling).",
        .says = {},
        .names = {},
        .needed = "vehicle"};
    for (const BuiltIn& one : vehicles) {
        asked.names.push_back(one.name);
        asked.says.push_back(fmt::format("{}: {} ({})", one.name, one.title, one.detail));
    }
    const auto chosen = asker.choose(asked);
    if (!chosen) throw InputError("--ask: without a vehicle there is nothing to compare with");
    return asked.names[*chosen];
}

void put_answer(const Question& question, Asker& asker, Complaint& out) {
    Choosing asked{
        .question = fmt::format("{}", fmt::join(in_words(question), " ")), .says = {}, .names = {}};
    for (const Choice& one : question.choices) {
        asked.says.push_back(one.says);
        asked.names.push_back(one.name);
    }
    if (const auto chosen = asker.choose(asked)) {
        out.answers.emplace_back(question.name, question.choices[*chosen].name);
    }
}

void put_answers(const std::vector<const Question*>& open, bool begun, Asker& asker,
                 Complaint& out) {
    for (const Question* one : open) {
        if (one->kind != "opened" && !asker.ended()) put_answer(*one, asker, out);
    }
    const auto opened = [](const Question* one) { return one->kind == "opened"; };
    if (!begun || asker.ended() || std::ranges::none_of(open, opened)) return;
    const auto off = asker.choose({.question = "Is the gearbox off, so that clutch and flywheel "
                                               "can be looked at?",
                                   .says = {"Yes", "No"},
                                   .names = {"yes", "no"}});
    if (off != std::optional<std::size_t>(0)) return;
    for (const Question* one : open) {
        if (opened(one) && !asker.ended()) put_answer(*one, asker, out);
    }
}

}  // namespace

Complaint ask_complaint(const Knowledge& knowledge, const std::vector<BuiltIn>& vehicles,
                        Complaint begun, AnswerInput input) {
    Asker asker(input);
    Complaint out = std::move(begun);
    const bool goes_on = !out.symptom.empty();
    if (!goes_on) out.symptom = symptom_asked(knowledge, asker);
    const ComplaintKind& kind = knowledge.of(out.symptom);
    if (out.vehicle.empty()) out.vehicle = vehicle_asked(vehicles, asker);
    if (out.title.empty()) out.title = asker.text("A title for the case:");
    if (out.title.empty()) out.title = kind.title;
    if (out.origin.empty()) out.origin = "answers from a workshop";
    if (out.mileage.empty() && !asker.ended())
        out.mileage = asker.text("Mileage, as text (Enter: not known):");
    std::vector<const Question*> open = questions_in_order(kind, knowledge.questions);
    std::erase_if(open, [&](const Question* one) {
        return std::ranges::any_of(out.answers,
                                   [&](const auto& given) { return given.first == one->name; });
    });
    put_answers(open, goes_on, asker, out);
    if (out.notes.empty() && !asker.ended())
        out.notes = asker.text("Anything else, for the report:");
    print_result(asker.ended() ? "\n\nThe input ended here; what was not answered stands in the "
                                 "file as open.\n"
                               : "\n");
    return out;
}

}  // namespace damper::command

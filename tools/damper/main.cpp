// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/base/version.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/ranks.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <fmt/format.h>
#include <string>
#include <vector>

namespace damper::command {

const std::vector<Verb>& verbs() {
    static const std::vector<Verb> all{
        {"run", "Run scenarios and judge them", run},
        {"show", "Show what is built in, or the values of a scenario or vehicle and their places",
         show},
        {"loop", "Torque over twist of a disc, turned slowly to and fro", loop},
        {"fit", "Disc from torque and twist measured on a bench", fit},
        {"modes", "Natural frequencies of the driveline, gear by gear", modes},
        {"response", "What of the engine's swing reaches the gearbox, and where it resonates",
         response},
        {"orbit", "Steady motions over engine speed: where it swings, rattles or jumps", orbit},
        {"recording", "What workshop recordings show: orders, isolation, knocks, swings",
         recording},
        {"cover", "Clamp, wear, release and torque of a clutch, new and worn", cover},
        {"heat", "Heat of starts: slip energy, temperatures, repeated starts on a hill", heat},
        {"compare", "Discs in scenarios and conditions: which is best, and why", compare},
        {"tune", "Search stages of a disc for the best worst margin, within what it has room for",
         tune},
        {"vary", "Vary keys of a scenario: tables, maps, and which key matters", vary},
        {"scatter", "Scatter of a series: share of vehicles beyond each limit, and why", scatter},
        {"gather", "Put the shards of a study together into one file", gather},
        {"check", "Hold scenarios against their bands and against what they gave before", check},
        {"diagnose", "From a complaint to ranked causes, evidence and advice", diagnose},
        {"match", "Values of a model from what was measured, with intervals", match},
        {"report", "Write the page of a file that a verb left", report},
        {"export", "Signals of a run in time, as a table (CSV)", export_signals},
        {"bench", "Write a page on which discs are tried out, without network", bench},
    };
    return all;
}

namespace {

std::string help() {
    std::string text =
        "Torsional dampers of clutch discs: from description files to a verdict.\n"
        "Usage: damper VERB [OPTIONS] ...\n\n"
        "Verbs:\n";
    for (const Verb& verb : verbs()) text += fmt::format("  {:<11}{}\n", verb.name, verb.summary);
    text +=
        "\nOptions:\n"
        "  -h,--help   This text; damper VERB --help for a verb\n"
        "  --version   Version of the program\n"
        "\nExit status:\n"
        "  0   done: good or watch\n"
        "  1   done, a limit missed, or a band of a scenario\n"
        "  2   bad input or command line\n"
        "  3   the solver could not finish; what it has is kept\n"
        "  4   the file system refused\n"
        "  5   another run holds this output\n"
        "  128 + n   ended by signal n; what there is is kept\n"
        "\nExample:\n"
        "  damper run car_idle_hot --out damper_out\n";
    return text;
}

int act(const Words& words) {
    if (words.empty()) {
        print_error(help());
        return to_int(ExitStatus::bad_input);
    }
    const std::string& first = words.front();
    if (first == "--help" || first == "-h") {
        print_result(help());
        return to_int(ExitStatus::done);
    }
    if (first == "--version") {
        print_result(fmt::format("damper {}\n", program_version()));
        return to_int(ExitStatus::done);
    }
    const auto found = std::find_if(verbs().begin(), verbs().end(),
                                    [&](const Verb& verb) { return verb.name == first; });
    if (Ranks::all().count() > 1 && first != "vary" && first != "scatter") {
        throw InputError(
            "mpirun shares out the variants of damper vary and damper scatter; this "
            "verb is one process");
    }
    if (found != verbs().end()) return found->act(Words(words.begin() + 1, words.end()));

    std::vector<std::string> names;
    for (const Verb& verb : verbs()) names.push_back(verb.name);
    const bool is_option = !first.empty() && first[0] == '-';
    if (is_option) names = {"--help", "--version"};
    throw InputError(fmt::format("unknown {} \"{}\"{}\n    What there is: damper --help",
                                 is_option ? "option" : "verb", first, did_you_mean(first, names)));
}

}  // namespace
}  // namespace damper::command

int main(int count, char** arguments) {
    using namespace damper::command;  // NOLINT(google-build-using-namespace): main is its border
    const Words words(arguments + std::min(count, 1), arguments + count);
    try {
        keep_standard_streams();
        return act(words);
    } catch (...) {
        const bool has_verb =
            !words.empty() && std::any_of(verbs().begin(), verbs().end(), [&](const Verb& verb) {
                return verb.name == words.front();
            });
        return explain(std::current_exception(), has_verb ? "damper " + words.front() : "damper");
    }
}

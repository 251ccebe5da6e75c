// SPDX-License-Identifier: MIT
#include "libdamper/studies/diagnose.hpp"

#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/outputs/diagnosis_text.hpp"
#include "libdamper/quantity/read_quantity.hpp"

#include "tools/damper/asked_file.hpp"
#include "tools/damper/built_in.hpp"
#include "tools/damper/complaint_case.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/show_questions.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <optional>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "A complaint file names a vehicle (the nearest one will do), the symptom, and what is known:\n"
    "answers, measured figures, recordings; unknown answers are left out. --questions lists\n"
    "beforehand what is asked, measured and recorded; --ask writes the file by asking. For each\n"
    "cause vehicles are simulated that scatter as a series does; what was answered and measured "
    "is\n"
    "compared with them. With --out also DIR/NAME_diagnosis.html, a page with a sheet for the\n"
    "workshop, and .json.\n"
    "What comes out is an estimate; looking comes before replacing.\n"
    "\nExample:\n"
    "  damper diagnose --questions 'rattle at idle' --vehicle van_diesel\n"
    "  damper diagnose car_rattles_when_cold --out damper_out\n";

struct DiagnoseWords {
    std::string complaint, out, ask, questions, vehicle, models;
    std::string vehicles = "32", seed = "1", threads = "0", format = "text";
    bool no_discs = false, brief = false, quiet = false;
};

void tie(CLI::App& app, DiagnoseWords& words) {
    app.add_option("COMPLAINT", words.complaint, "Complaint file, or the name of a built-in one");
    app.add_option(
           "--ask", words.ask,
           "Ask for a complaint, write it to this file and end; go on with one that is there")
        ->type_name("FILE");
    app.add_option("--questions", words.questions,
                   "List what is asked, measured and recorded of a symptom, and end")
        ->type_name("SYMPTOM");
    app.add_option("--vehicle", words.vehicle,
                   "Vehicle of that list, else one of the symptom's class")
        ->type_name("NAME");
    app.add_option("-o,--out", words.out, "Folder for page and data")->type_name("DIR");
    app.add_option("--vehicles", words.vehicles, "Vehicles to simulate for each cause")
        ->type_name("N")
        ->capture_default_str();
    app.add_option("--seed", words.seed, "Another number draws other vehicles")
        ->type_name("N")
        ->capture_default_str();
    app.add_option("--threads", words.threads, "Runs at a time; 0: as many as the processor can")
        ->type_name("N")
        ->capture_default_str();
    app.add_flag("--no-discs", words.no_discs, "Do not try other discs");
    app.add_option("--models", words.models,
                   "Folder of the parts (else $DAMPER_MODELS, else built in)")
        ->type_name("DIR");
    tie_format(app, words.format, {"text", "json"});
    app.add_flag("--brief", words.brief,
                 "Print outcome, ranking, two reasons, the next test and notes only");
    app.add_flag("--quiet", words.quiet, "Print errors only");
    app.footer(example);
}

using Entries = std::vector<std::pair<std::string, std::string>>;

/// Figures as a person wrote them, in the units of `measures` (name and units).
std::vector<SeenFigure> given_figures(const Entries& written, const Entries& measures) {
    std::vector<SeenFigure> out;
    for (const auto& [measure, text] : written) {
        for (const auto& [name, units] : measures) {
            if (name != measure) continue;
            out.push_back({measure, std::get<double>(read_in_units(text, units)), given_by_person});
        }
    }
    return out;
}

std::string written(const DiagnosisOutcome& outcome, const std::string& name,
                    const std::string& folder) {
    const OutputLock lock(folder);
    const fs::path stem = fs::path(folder) / (name + "_diagnosis");
    const fs::path page = stem.string() + ".html", data = stem.string() + ".json";
    write_file_atomically(page, html_diagnosis(outcome.found, outcome.repair));
    write_file_atomically(data, diagnosis_json(outcome.found, outcome.repair));
    return fmt::format("\nWritten: {}\nWritten: {}\n", printable(page.string()),
                       printable(data.string()));
}

}  // namespace

int diagnose(const Words& typed) {
    DiagnoseWords words;
    CLI::App app{"From a complaint to ranked causes, evidence and advice.", "damper diagnose"};
    tie(app, words);
    if (!read_words(app, typed)) return to_int(ExitStatus::done);
    require_one_of("--format", words.format, {"text", "json"});
    if (words.brief && words.format == "json") {
        throw InputError("--brief shortens the text; --format json gives all: leave one out");
    }
    const fs::path models = needed_models_folder(words.models);
    const Knowledge knowledge = read_knowledge(models);
    if (!words.vehicle.empty() && !app.count("--questions")) {
        throw InputError("--vehicle goes with --questions; a complaint file names its own vehicle");
    }
    if (app.count("--questions") > 0) {
        print_result(questions_of(words.questions, words.vehicle, knowledge, models, words.format));
        return to_int(ExitStatus::done);
    }
    if (!words.ask.empty()) {
        write_asked(words.ask, knowledge, models);
        return to_int(ExitStatus::done);
    }
    if (words.complaint.empty()) {
        throw InputError("a complaint file is missing; damper diagnose --ask FILE.toml writes one");
    }
    const fs::path file = complaint_file(words.complaint, models);
    DiagnosisRequest request;
    const auto measures = measures_of(knowledge, models);
    request.complaint = read_complaint(file, {knowledge.questions, knowledge.symptoms(), measures});
    request.seen = given_figures(request.complaint.measured, measures);
    if (const auto& repair = request.complaint.repair) {
        request.seen_since_repair = given_figures(repair->measured, measures);
    }
    request.vehicles.models = models;
    request.vehicles.scenarios = folder_of("scenarios", models);
    request.vehicles.vehicle = vehicle_of(request.complaint, file, models);
    request.vehicles.count = static_cast<int>(number_in("--vehicles", words.vehicles, 8.0, 1000.0));
    request.vehicles.count_was_asked = app.count("--vehicles") > 0;
    request.vehicles.seed = static_cast<std::uint64_t>(number_in("--seed", words.seed, 0.0, 1e9));
    request.vehicles.threads =
        static_cast<std::size_t>(number_in("--threads", words.threads, 0.0, 1024.0));
    request.try_discs = !words.no_discs;
    request.command_line = as_typed("damper diagnose", typed);
    watch_stop_signals();
    DiagnosisOutcome outcome;
    {
        ProgressLine line("Simulating causes and discs", !words.quiet);
        outcome = damper::diagnose(request, knowledge,
                                   {.report = [&](double share) { line.show(share); },
                                    .stop_requested = [] { return stop_signal() != 0; }});
    }
    if (stop_signal() != 0) return 128 + stop_signal();
    const auto& [found, repair] = outcome;
    std::string text = words.format == "json" ? diagnosis_json(found, repair)
                       : words.brief          ? diagnosis_brief(found, repair)
                                              : diagnosis_text(found, repair);
    if (!words.out.empty()) {
        const std::string files = written(outcome, request.complaint.name, words.out);
        if (words.format == "text") text += files;
    }
    if (!words.quiet) print_result(text);
    return to_int(repair && !is_closed(repair) ? ExitStatus::limit_missed : ExitStatus::done);
}

}  // namespace damper::command

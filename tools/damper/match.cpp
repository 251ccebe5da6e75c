// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/read_knowledge.hpp"
#include "libdamper/outputs/match_text.hpp"
#include "libdamper/outputs/match_words.hpp"
#include "libdamper/outputs/visible_text.hpp"
#include "libdamper/studies/complaint_run.hpp"
#include "libdamper/studies/discs_of_class.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/match_study.hpp"
#include "libdamper/studies/measured_state.hpp"
#include "libdamper/studies/recorded_bench.hpp"
#include "libdamper/studies/recorded_figures.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/built_in.hpp"
#include "tools/damper/complaint_case.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <optional>
#include <set>
#include <variant>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Sets free keys of a scenario so that its run shows what was measured, by weighted least\n"
    "squares, and says how well each is known (95 %), what the figures cannot tell apart, and\n"
    "whether any such vehicle shows them. A complaint file in the place of the scenario brings\n"
    "its vehicle, the run of its symptom, its recordings and [measured]; there --free takes the\n"
    "name of a cause as well. Errors are standard deviations; left out, those that\n"
    "models/complaints gives. The run must be in the state of the recording: speed, oil, gear.\n"
    "With --out also DIR/NAME_match.toml, a [change] table, .html and .json.\n"
    "Exit status: 0 values found; 1 no vehicle in these ranges shows these figures; others as in\n"
    "damper --help.\n"
    "\nExample:\n"
    "  damper match car_idle_hot --free 'engine.cylinder_gains=[1, 0.3..1, 1, 1]' --recording "
    "flywheel=car_idle_weak_cylinder --set 'manoeuvre.length=1 s'\n";

struct MatchWords {
    std::string scenario, out, threads = "0", format = "text";
    Words free, measured, errors, recordings;
    DescriptionOptions description;
    bool quiet = false;
};

void tie(CLI::App& app, MatchWords& words) {
    const auto list = [&](const char* name, Words& into, const char* help, const char* type) {
        app.add_option(name, into, help)->type_name(type)->allow_extra_args(false);
    };
    app.add_option("SCENARIO", words.scenario,
                   "Scenario file, or a complaint file, or the name of a built-in one")
        ->required();
    list("--free", words.free, "A key that is not known, with its range; may be repeated",
         "KEY=LOW..HIGH");
    list("--measured", words.measured, "A figure that was measured; may be repeated",
         "'NAME=VALUE [+- ERROR]'");
    list("--recording", words.recordings,
         "A recording that figures are taken from; may be repeated", "KIND=FILE");
    list("--error", words.errors, "Error of a figure, standard deviation; may be repeated",
         "NAME=ERROR");
    app.add_option("-o,--out", words.out, "Folder for changes, page and data")->type_name("DIR");
    app.add_option("--threads", words.threads, "Runs at a time; 0: as many as the processor can")
        ->type_name("N")
        ->capture_default_str();
    words.description.tie_to(app);
    tie_format(app, words.format, {"text", "json"});
    app.add_flag("--quiet", words.quiet, "Print errors only; files and exit status tell");
    app.footer(example);
}

std::string trimmed(const std::string& text) {
    const std::size_t first = text.find_first_not_of(" \t");
    if (first == std::string::npos) return "";
    return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// "NAME=REST", both trimmed.
std::pair<std::string, std::string> split_at_equals(const char* option, const std::string& text,
                                                    const char* expected) {
    const std::size_t equals = text.find('=');
    const std::string name = trimmed(text.substr(0, equals));
    const std::string rest = equals == std::string::npos ? "" : trimmed(text.substr(equals + 1));
    if (name.empty() || rest.empty()) {
        throw InputError(
            fmt::format("{} is \"{}\"; expected {}", option, visible_text(text), expected));
    }
    return {name, rest};
}

GivenFigure measured_of(const std::string& measure, const std::string& text,
                        const std::string& from) {
    GivenFigure out{.measure = measure, .text = text, .error = "", .from = from};
    for (const char* sign : {"+-", "±"}) {
        const std::size_t at = text.find(sign);
        if (at == std::string::npos) continue;
        out.text = trimmed(text.substr(0, at));
        out.error = trimmed(text.substr(at + std::string(sign).size()));
        if (out.text.empty() || out.error.empty()) {
            throw InputError(
                fmt::format("{}, {} is \"{}\"; expected VALUE +- ERROR, such as "
                            "0.62 +- 5 %",
                            from, measure, visible_text(text)));
        }
    }
    return out;
}

std::vector<std::pair<std::string, std::string>> recordings_of(const Words& texts,
                                                               const fs::path& models) {
    std::vector<std::string> kinds;
    for (const auto& [kind, what] : recording_kinds()) {
        kinds.push_back(kind);
    }
    std::vector<std::pair<std::string, std::string>> out;
    for (const std::string& text : texts) {
        const auto [kind, file] =
            split_at_equals("--recording", text, "KIND=FILE, such as flywheel=idle.csv");
        require_one_of("--recording", kind, kinds);
        out.emplace_back(kind, locate(file, "recordings", models).string());
    }
    return out;
}

/// The symptom whose recordings are made in a manoeuvre.
std::string symptom_of(const Scenario& scenario) {
    if (std::holds_alternative<TakeUp>(scenario.manoeuvre)) return "judder";
    if (std::holds_alternative<EngineStart>(scenario.manoeuvre)) return "noise at start or stop";
    return torque_change_of(scenario.manoeuvre) != nullptr ? "shuffle" : "";
}

/// Places of the workshop that figures come from.
std::set<std::string> places_of(const std::vector<GivenFigure>& given, const Knowledge& knowledge) {
    std::set<std::string> out;
    for (const ComplaintKind& kind : knowledge.kinds) {
        for (const ComplaintFigure& figure : kind.figures) {
            const bool is_given = std::ranges::any_of(
                given, [&](const GivenFigure& one) { return one.measure == figure.measure; });
            if (!is_given) continue;
            out.insert(figure.measure.starts_with("torque_held") ? "held" : figure.shown_by);
        }
    }
    return out;
}

/// Free keys of a complaint's cause under its name: its plausible ranges, and what is fixed in it.
void free_cause(const std::string& name, const ComplaintKind& kind, const Knowledge& knowledge,
                const VehiclesAsked& asked, MatchRequest& request) {
    const auto candidate = std::ranges::find_if(
        kind.causes, [&](const CandidateCause& one) { return one.name() == name; });
    if (candidate == kind.causes.end() || candidate->ranges.empty()) {
        std::vector<std::string> names;
        for (const CandidateCause& one : kind.causes) {
            if (!one.ranges.empty()) names.push_back(one.name());
        }
        throw InputError(
            fmt::format("--free {}: found no = and no cause of this complaint with a "
                        "range under that name{}; expected KEY=LOW..HIGH",
                        visible_text(name), did_you_mean(name, names)));
    }
    for (const auto& [key, range] : candidate->ranges) request.free.push_back(key + "=" + range);
    for (const auto& [key, value] : knowledge.causes.at(candidate->cause).changes) {
        const bool is_free = std::ranges::any_of(candidate->ranges,
                                                 [&](const auto& one) { return one.first == key; });
        if (is_free) continue;
        request.source.options.changes.emplace_back(
            key, name_for_class(asked.models / (key + "s"), value, asked.vehicle_class));
    }
}

/// Whether a key is free, or was given: then it is not taken from what was measured.
bool is_spoken_for(const std::string& key, const MatchRequest& request, const ReadOptions& given) {
    const auto is_it = [&](const std::string& other) {
        return other == key || other == "vehicle." + key;
    };
    return std::ranges::any_of(request.free,
                               [&](const std::string& one) {
                                   return is_it(trimmed(one.substr(0, one.find('='))));
                               }) ||
           std::ranges::any_of(given.changes, [&](const auto& one) { return is_it(one.first); });
}

/// Figures that are a state of the run, not a sign: the run is put there. Without a run nobody
/// drives.
void take_state(MatchRequest& request, const ReadOptions& given, Scenario& scenario) {
    if (request.source.scenario.empty()) return;
    std::vector<GivenFigure> signs;
    for (GivenFigure& one : request.given) {
        const std::string key = key_of_state(one.measure, scenario);
        if (key.empty() || one.text.empty() || is_spoken_for(key, request, given)) {
            signs.push_back(std::move(one));
            continue;
        }
        request.source.options.changes.emplace_back(key, one.text);
        request.notes.push_back(fmt::format("the run is at {} = {}, as {} has it of {}", key,
                                            visible_text(one.text), one.from, one.measure));
    }
    const bool is_elsewhere = signs.size() < request.given.size();
    request.given = std::move(signs);
    if (!is_elsewhere) return;
    const std::string name = scenario.name, title = scenario.title, origin = scenario.origin;
    scenario = read_scenario(request.source.scenario, request.source.options);
    scenario.name = name;
    scenario.title = title;
    scenario.origin = origin;
}

/// A request under way, with what a complaint adds.
struct Case {
    MatchRequest request;
    Complaint complaint;  ///< Of a scenario its recordings and what they are about alone.
    const ComplaintKind* kind = nullptr;  ///< Of a complaint.
    ReadOptions given;                    ///< What was changed by hand.
    Scenario scenario;
};

void read_case(const fs::path& file, const MatchWords& words, const ReadOptions& options,
               const Knowledge& knowledge, Case& out) {
    out.complaint = read_complaint(
        file, {knowledge.questions, knowledge.symptoms(), measures_of(knowledge, options.models)});
    const Complaint& complaint = out.complaint;
    const ComplaintKind* kind = knowledge.find(complaint.symptom);
    VehiclesAsked asked;
    asked.models = options.models;
    asked.scenarios = folder_of("scenarios", options.models);
    asked.vehicle = vehicle_of(complaint, file, options.models);
    (void)take_vehicle(complaint, asked);
    const auto run = kind != nullptr ? run_of_vehicle(*kind, asked) : std::nullopt;
    if (!run) {
        throw InputError(fmt::format(
            "{}: there is no run in which a {} shows \"{}\"; name a scenario, with --recording and "
            "--measured",
            file.string(), asked.vehicle_class, complaint.symptom));
    }
    MatchRequest& request = out.request;
    request.source = source_of(*kind, *run, asked);
    request.run = run->scenario.empty() ? "damper cover " + complaint.vehicle
                                        : "damper run " + run->scenario;  // changes are its state
    out.kind = kind;
    for (const auto& [measure, text] : complaint.measured) {
        request.given.push_back(measured_of(measure, text, "the complaint"));
    }
    for (const std::string& text : words.free) {
        if (text.find('=') != std::string::npos) {
            request.free.push_back(text);
        } else {
            free_cause(text, *kind, knowledge, asked, request);
        }
    }
    ReadOptions& read = request.source.options;
    read.causes.resize(read.changes.size());
    read.changes.insert(read.changes.end(), options.changes.begin(), options.changes.end());
    read.causes.insert(read.causes.end(), options.causes.begin(), options.causes.end());
    out.given = options;
    out.given.changes.insert(out.given.changes.end(), complaint.changes.begin(),
                             complaint.changes.end());
    if (run->scenario.empty()) {
        out.scenario.name = complaint.name;
        out.scenario.vehicle = read_vehicle(request.source.vehicle, request.source.options);
    } else {
        out.scenario = read_scenario(request.source.scenario, request.source.options);
        out.scenario.name = complaint.name;
    }
    out.scenario.title = complaint.title;
    out.scenario.origin = complaint.origin;
}

/// Whether a complaint takes a figure into account; without one every figure counts.
bool concludes_from(const ComplaintKind* kind, const std::string& measure) {
    return kind == nullptr || std::ranges::find(kind->figures, measure,
                                                &ComplaintFigure::measure) != kind->figures.end();
}

Case case_of(const MatchWords& words, const Words& typed) {
    Case out;
    const ReadOptions options = words.description.read_options();
    if (options.models.empty()) throw InputError(no_models());
    const Knowledge knowledge = read_knowledge(options.models);
    std::string run_name;
    if (is_complaint(words.scenario, options.models)) {
        read_case(complaint_file(words.scenario, options.models), words, options, knowledge, out);
        const auto named = run_for(*out.kind, out.scenario.vehicle.vehicle_class);
        run_name = named->scenario;
    } else {
        const FoundDescription found =
            find_description(words.scenario, options.models,
                             {"damper match", "a scenario", {"scenarios"}, {&scenario_schema()}});
        out.scenario = read_scenario(found.file, options);
        run_name = out.scenario.name;
        out.request.source = {found.file, {}, run_name, options, {}};
        out.request.run = "damper run " + words.scenario;
        out.request.free = words.free;
        out.complaint.symptom = symptom_of(out.scenario);
        out.given = options;
    }
    MatchRequest& request = out.request;
    request.known = known_errors(knowledge.kinds, run_name);
    request.threads = static_cast<std::size_t>(whole_in("--threads", words.threads, 0, 1024));
    std::vector<GivenFigure> typed_figures;
    for (const std::string& text : words.measured) {
        const auto [measure, value] =
            split_at_equals("--measured", text, "'NAME=VALUE +- ERROR', such as transfer=0.62");
        typed_figures.push_back(measured_of(measure, value, "--measured"));
    }
    request.given.insert(request.given.begin(), typed_figures.begin(), typed_figures.end());
    take_state(request, out.given, out.scenario);
    request.identity = identity_of(out.scenario, "match", as_typed("damper match", typed));
    for (const std::string& text : words.errors) {
        request.errors.insert(split_at_equals("--error", text, "NAME=ERROR, such as transfer=5%"));
    }
    for (const auto& one : recordings_of(words.recordings, options.models)) {
        out.complaint.recordings.push_back(one);
    }
    const Vehicle& vehicle = out.scenario.vehicle;
    RecordedFigures recorded = figures_in_recordings(out.complaint, vehicle);
    const RecordedFigures bench =
        figures_of_bench(out.complaint, vehicle, vehicle.engine.peak_torque.si());
    recorded.seen.insert(recorded.seen.end(), bench.seen.begin(), bench.seen.end());
    recorded.notes.insert(recorded.notes.end(), bench.notes.begin(), bench.notes.end());
    request.notes.insert(request.notes.end(), recorded.notes.begin(), recorded.notes.end());
    for (const SeenFigure& one : recorded.seen) {
        if (!concludes_from(out.kind, one.measure) && !request.errors.contains(one.measure)) {
            request.notes.push_back(fmt::format(
                "{} is in {} and not used: this complaint concludes nothing from it, often since "
                "another figure says the same. To use it all the same: --error {}='5 %'",
                one.measure, one.from, one.measure));
            continue;
        }
        request.given.push_back({.measure = one.measure,
                                 .text = "",
                                 .value = one.value,
                                 .error = "",
                                 .from = one.from});
    }
    for (const RecordingFindings& one : recorded.findings) {
        const bool steady = std::holds_alternative<Idle>(out.scenario.manoeuvre) ||
                            std::holds_alternative<Creep>(out.scenario.manoeuvre);
        if (one.usable() && !one.run_up && steady) request.recorded_speed = one.mean_speed;
    }
    request.source.places = places_of(request.given, knowledge);
    return out;
}

std::string written(const MatchRecord& record, const std::string& folder) {
    const OutputLock lock(folder);
    const std::string stem = (fs::path(folder) / (record.identity.scenario + "_match")).string();
    write_file_atomically(stem + ".toml", match_toml(record));
    write_file_atomically(stem + ".html", html_match(record));
    write_file_atomically(stem + ".json", match_json(record));
    std::string text;
    for (const char* end : {".toml", ".html", ".json"}) {
        text += fmt::format("Written: {}\n", printable(stem + end));
    }
    return text;
}

}  // namespace

int match(const Words& typed) {
    MatchWords words;
    CLI::App app{"Values of a model from what was measured, with intervals.", "damper match"};
    tie(app, words);
    if (!read_words(app, typed)) return to_int(ExitStatus::done);
    require_one_of("--format", words.format, {"text", "json"});
    const Case one = case_of(words, typed);
    watch_stop_signals();
    MatchRecord record;
    {
        ProgressLine line("Matching", !words.quiet);
        record = match_model(one.request, {.report = [&](double share) { line.show(share); },
                                           .stop_requested = [] { return stop_signal() != 0; }});
    }
    std::string text = words.format == "json" ? match_json(record) : match_text(record);
    if (words.format == "text") {
        text +=
            fmt::format("Try it: {}{}\n", printable(record.run), printable(match_settings(record)));
    }
    if (!words.out.empty()) {
        const std::string files = written(record, words.out);
        if (words.format == "text") text += files;
    }
    if (!words.quiet) print_result(text);
    if (stop_signal() != 0) return 128 + stop_signal();
    return to_int(record.explained() ? ExitStatus::done : ExitStatus::limit_missed);
}

}  // namespace damper::command

// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/outputs/html_report.hpp"
#include "libdamper/outputs/json.hpp"
#include "libdamper/outputs/terminal.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/parts/check.hpp"
#include "libdamper/results/result_file.hpp"
#include "libdamper/studies/run_one.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/outcome.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <map>
#include <utility>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "One scenario or several; the highest exit status of them is the exit status.\n"
    "Exit status: 0 good or watch; 1 a limit missed, or a band of a scenario missed;\n"
    "2 to 5 and 128 + n as in damper --help. What is built in: damper show\n"
    "A result that had to be cut short is kept as NAME.incomplete.h5.\n"
    "\nExample:\n"
    "  damper run car_idle_hot --set 'conditions.gearbox_oil=90 degC' --out damper_out\n";

struct RunOptions {
    Words scenarios;
    DescriptionOptions description;
    std::string out = "damper_out";
    std::string solver = "auto";
    std::string tolerance = "1e-8";
    std::string start = "steady";
    std::string certain, longest;
    std::string format = "text";
    bool quiet = false;
    bool no_report = false;
};

void tie(CLI::App& app, RunOptions& options) {
    app.add_option("SCENARIO", options.scenarios, "Scenario files, or names of built-in ones")
        ->required();
    app.add_option("-o,--out", options.out, "Folder for results and pages")
        ->type_name("DIR")
        ->capture_default_str();
    options.description.tie_to(app);
    app.add_option("--solver", options.solver, "Method in time")
        ->type_name("auto|general|exact")
        ->capture_default_str();
    app.add_option("--tolerance", options.tolerance, "Relative tolerance, 1e-13 to 1e-5")
        ->type_name("X")
        ->capture_default_str();
    app.add_option(
           "--start", options.start,
           "Idle: where a run begins; periodic: on the motion that repeats itself, if there "
           "is a stable one, without settling")
        ->type_name("steady|periodic")
        ->capture_default_str();
    app.add_option("--certain", options.certain,
                   "Idle: run until the rates of tooth impacts are known to this share of "
                   "themselves (95 %), for example 2%, instead of the scenario's length")
        ->type_name("SHARE");
    app.add_option("--longest", options.longest,
                   "With --certain: measure no longer than this, else 60 s")
        ->type_name("TIME");
    tie_format(app, options.format, {"text", "json"});
    app.add_flag("--quiet", options.quiet, "Print errors only; files and exit status tell");
    app.add_flag("--no-report", options.no_report, "Leave out the page");
    app.footer(example);
}

/// Reads them all before the first is run, so that a slip in the last one shows at once. Those
/// that cannot be read are explained and left out; `status` is raised.
std::vector<Scenario> read_all(const RunOptions& options, const RunSettings& settings,
                               int& status) {
    const ReadOptions read_options = options.description.read_options();
    std::vector<Scenario> scenarios;
    std::map<std::string, std::string> taken;
    for (const std::string& word : options.scenarios) {
        try {
            const auto found =
                find_description(word, read_options.models,
                                 {"damper run", "a scenario", {"scenarios"}, {&scenario_schema()}});
            Scenario scenario = read_scenario(found.file, read_options);
            check_settings(scenario, settings);
            const auto [before, is_new] = taken.emplace(scenario.name, word);
            if (!is_new) {
                throw InputError(fmt::format(
                    "{} and {} would both write {}.h5; run them with different --out folders",
                    before->second, word, scenario.name));
            }
            scenarios.push_back(std::move(scenario));
        } catch (...) {
            status = std::max(status, explain(std::current_exception(), "damper run"));
        }
    }
    return scenarios;
}

/// --certain and --longest. Their ranges are those of the settings, told in the words typed.
void take_certainty(const RunOptions& options, RunSettings& settings) {
    if (!options.certain.empty()) {
        settings.certain =
            quantity_in("--certain", options.certain, {}, 0.001, 0.5, "0.1 %", "50 %");
    }
    if (options.longest.empty()) return;
    if (options.certain.empty()) {
        throw InputError(
            "--longest bounds a run that ends by itself: it needs --certain, for example "
            "--certain 2%. The length of other runs is manoeuvre.length");
    }
    settings.longest =
        quantity_in("--longest", options.longest, {.time = 1}, 1.0, 600.0, "1 s", "600 s");
}

/// Writes the result and its page; returns what was written. A complete result takes the place of
/// what an earlier run had to leave incomplete, never the other way round.
std::vector<fs::path> write_files(const RunRecord& record, const RunOptions& options) {
    const fs::path folder = options.out;
    const std::string& name = record.identity.scenario;
    const bool complete = record.solver.complete;
    const std::string stem = complete ? name : name + ".incomplete";
    std::vector<fs::path> written{folder / (stem + ".h5")};
    write_result(written[0], record);
    if (!options.no_report) {
        written.push_back(folder / (stem + ".html"));
        write_file_atomically(written[1], html_report(record));
    }
    if (complete) {
        std::error_code ignored;
        for (const char* ending : {".incomplete.h5", ".incomplete.html"}) {
            fs::remove(folder / (name + ending), ignored);
        }
    }
    return written;
}

void tell(const RunRecord& record, const std::vector<fs::path>& files, const RunOptions& options) {
    if (!record.solver.complete) {
        std::string text = fmt::format("damper run: {} was not finished; it got to t = {:.6g} s",
                                       record.identity.scenario, record.solver.end_time);
        for (const std::string& warning : record.solver.warnings) text += "\n    " + warning;
        print_error(text + fmt::format("\n    Kept: {}", files[0].string()));
    }
    if (options.quiet || options.format == "json") return;
    std::string text = terminal_text(record);
    for (const fs::path& file : files) text += fmt::format("Written: {}\n", file.string());
    print_result(text + "\n");
}

/// What looks like a slip in the description stands first of what to mind.
void add_doubts(RunRecord& record, const Vehicle& vehicle) {
    std::vector<std::string> cautions = doubts(vehicle);
    for (std::string& caution : record.verdict.cautions) cautions.push_back(std::move(caution));
    record.verdict.cautions = std::move(cautions);
}

int run_scenario(const Scenario& scenario, const RunSettings& settings, const RunOptions& options,
                 const std::string& json_before, Words& ends) {
    ProgressLine line(scenario.name, !options.quiet);
    const Progress progress{.report = [&](double share) { line.show(share); },
                            .stop_requested = [] { return stop_signal() != 0; }};
    RunRecord record = run_one(scenario, settings, progress);
    line.clear();
    add_doubts(record, scenario.vehicle);
    const auto files = write_files(record, options);
    tell(record, files, options);
    if (options.format == "json" && !options.quiet) print_result(json_before + json_text(record));
    const Outcome outcome = outcome_of(record);
    if (!outcome.why.empty()) {
        ends.push_back(options.scenarios.size() > 1
                           ? fmt::format("{}: {}", record.identity.scenario, outcome.why)
                           : outcome.why);
    }
    return to_int(outcome.status);
}

}  // namespace

int run(const Words& words) {
    RunOptions options;
    CLI::App app{"Run scenarios and judge them.", "damper run"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--solver", options.solver, {"auto", "general", "exact"});
    require_one_of("--format", options.format, {"text", "json"});
    require_one_of("--start", options.start, {"steady", "periodic"});
    RunSettings settings{.solver = options.solver,
                         .tolerance = number_in("--tolerance", options.tolerance, 1e-13, 1e-5),
                         .command_line = as_typed("damper run", words),
                         .start = options.start};
    take_certainty(options, settings);

    int status = to_int(ExitStatus::done);
    const std::vector<Scenario> scenarios = read_all(options, settings, status);
    if (scenarios.empty()) return status;
    watch_stop_signals();
    const OutputLock lock(options.out);

    // Several results make one JSON array, a single one stands alone.
    const bool array = options.format == "json" && options.scenarios.size() > 1 && !options.quiet;
    std::string before = array ? "[\n" : "";
    Words ends;
    for (const Scenario& scenario : scenarios) {
        if (stop_signal() != 0) break;
        try {
            status = std::max(status, run_scenario(scenario, settings, options, before, ends));
            if (array) before = ",\n";
        } catch (...) {
            status = std::max(status, explain(std::current_exception(), "damper run"));
        }
    }
    if (array) print_result(before == "[\n" ? "[]\n" : "]\n");
    if (stop_signal() != 0) status = 128 + stop_signal();
    if (!options.quiet && options.format == "text" && status == to_int(ExitStatus::limit_missed)) {
        for (const std::string& end : ends) print_result(wrapped(end, 100, "Exit status 1: "));
    }
    return status;
}

}  // namespace damper::command

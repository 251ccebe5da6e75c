// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/base/parallel.hpp"
#include "libdamper/base/version.hpp"
#include "libdamper/describe/read_tolerances.hpp"
#include "libdamper/measures/known_measures.hpp"
#include "libdamper/outputs/check_text.hpp"
#include "libdamper/outputs/junit.hpp"
#include "libdamper/outputs/text_layout.hpp"
#include "libdamper/studies/check_study.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/thinning_sink.hpp"

#include "tools/damper/check_jobs.hpp"
#include "tools/damper/check_state.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <fmt/format.h>
#include <optional>
#include <system_error>
#include <utility>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Holds what scenarios give against the bands in them and, with --baseline, against what they\n"
    "gave before. Limits of the verdict do not count here: a scenario may show a bad clutch.\n"
    "Exit status: 0 all kept; 1 a band or baseline missed; 2 something could not be read;\n"
    "3 something could not be solved; the highest counts. 4, 5, 128 + n as in damper --help.\n"
    "\nExample:\n"
    "  damper check car_tip_in_2 car_idle_hot --baseline baselines --update-baseline\n"
    "  damper check car_tip_in_2 car_idle_hot --baseline baselines --junit check.xml\n";

struct CheckOptions {
    Words words;
    DescriptionOptions description;
    std::string baseline, out, junit;
    std::string solver = "auto";
    std::string tolerance = "1e-8";
    std::string threads;
    std::string format = "text";
    bool update = false;
    bool changed_only = false;
    bool quiet = false;
};

void tie(CLI::App& app, CheckOptions& options) {
    app.add_option("SCENARIO", options.words,
                   "Folders of scenarios, scenario files, names of built-in ones; none: all that "
                   "are built in");
    app.add_option("--baseline", options.baseline,
                   "Folder of what the scenarios gave before, NAME.json each, and of "
                   "tolerances.toml")
        ->type_name("DIR");
    app.add_flag("--update-baseline", options.update,
                 "Write what the scenarios give now into that folder, and say what changed");
    app.add_flag("--changed-only", options.changed_only,
                 "Leave out what has the same inputs and the same program as when it was last "
                 "kept; needs --out");
    app.add_option("--junit", options.junit, "Write the outcome as XML for a CI system")
        ->type_name("FILE");
    app.add_option("-o,--out", options.out,
                   "Folder for check.json and for what --changed-only must know")
        ->type_name("DIR");
    options.description.tie_to(app);
    app.add_option("--solver", options.solver, "Method in time")
        ->type_name("auto|general|exact")
        ->capture_default_str();
    app.add_option("--tolerance", options.tolerance, "Of the solver, relative, 1e-13 to 1e-5")
        ->type_name("X")
        ->capture_default_str();
    app.add_option("--threads", options.threads,
                   "Scenarios at a time; none: as many as there are "
                   "processors")
        ->type_name("N");
    tie_format(app, options.format, {"text", "json"});
    app.add_flag("--quiet", options.quiet, "Print errors only; files and exit status tell");
    app.footer(example);
}

void check_options(const CheckOptions& options) {
    require_one_of("--solver", options.solver, {"auto", "general", "exact"});
    require_one_of("--format", options.format, {"text", "json"});
    if (options.update && options.baseline.empty()) {
        throw InputError("--update-baseline needs --baseline DIR, the folder to write to");
    }
    if (options.changed_only && options.out.empty()) {
        throw InputError("--changed-only needs --out DIR, the folder that remembers what was kept");
    }
    if (options.changed_only && options.update) {
        throw InputError(
            "--changed-only and --update-baseline exclude each other: baselines are "
            "made of scenarios that are run");
    }
    std::error_code ignored;
    if (!options.baseline.empty() && !options.update &&
        !fs::is_directory(options.baseline, ignored)) {
        throw InputError(fmt::format(
            "--baseline names \"{}\", which is not a folder; --update-baseline makes it",
            options.baseline));
    }
}

CheckSettings settings_of(const CheckOptions& options, const Words& words) {
    CheckSettings settings;
    settings.run = {.solver = options.solver,
                    .tolerance = number_in("--tolerance", options.tolerance, 1e-13, 1e-5),
                    .command_line = as_typed("damper check", words)};
    settings.against_baselines = !options.baseline.empty();
    settings.makes_baselines = options.update;
    if (!options.threads.empty()) {
        settings.threads =
            static_cast<std::size_t>(number_in("--threads", options.threads, 1.0, 1024.0));
    }
    const fs::path tolerances = fs::path(options.baseline) / "tolerances.toml";
    std::error_code ignored;
    if (settings.against_baselines && fs::exists(tolerances, ignored)) {
        settings.tolerances = read_tolerances(tolerances, known_measures(), baseline_signals());
    }
    return settings;
}

/// What was kept with the same inputs by the same program is not run.
std::vector<std::string> leave_out_unchanged(const CheckState& state, const CheckSettings& settings,
                                             bool wanted, std::vector<CheckJob>& jobs) {
    std::vector<std::string> digests;
    for (CheckJob& job : jobs) {
        digests.push_back(digest_of(job, settings));
        if (!wanted || !job.scenario || !state.kept(job.before.name, digests.back())) continue;
        job.scenario.reset();
        job.before.end = CheckEnd::unchanged;
    }
    return digests;
}

int status_of(const CheckReport& report) {
    if (report.count(CheckEnd::unsolved) > 0) return to_int(ExitStatus::not_finished);
    if (report.count(CheckEnd::bad_input) > 0) return to_int(ExitStatus::bad_input);
    if (report.count(CheckEnd::missed) > 0) return to_int(ExitStatus::limit_missed);
    return to_int(ExitStatus::done);
}

void tell(const CheckReport& report, const std::vector<std::string>& written,
          const CheckOptions& options) {
    const bool json = options.format == "json";
    if (options.quiet || json) {
        for (const CheckedScenario& one : report.scenarios) {
            if (one.end != CheckEnd::bad_input && one.end != CheckEnd::unsolved) continue;
            print_error(fmt::format("damper check: {}: {}", one.name, one.message));
        }
    }
    if (options.quiet) return;
    if (json) return print_result(check_json(report, true));
    std::string text = check_text(report);
    for (const std::string& line : written) text += wrapped(line, 100);
    print_result(text);
}

void write_outputs(const CheckReport& report, const CheckOptions& options) {
    if (!options.out.empty()) {
        write_file_atomically(fs::path(options.out) / "check.json", check_json(report, false));
    }
    if (options.junit.empty()) return;
    const RunIdentity here = identity_of(Scenario(), "", "");
    // The format knows no zone.
    const std::string time = here.created.substr(0, here.created.find('Z'));
    write_file_atomically(options.junit, junit_xml(report, {time, here.host}));
}

}  // namespace

int check(const Words& words) {
    CheckOptions options;
    CLI::App app{"Hold scenarios against their bands and against what they gave before.",
                 "damper check"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    check_options(options);
    const CheckSettings settings = settings_of(options, words);
    const auto began = std::chrono::steady_clock::now();
    CheckWork work =
        read_check_work(options.words, options.description.read_options(), settings.run);
    if (settings.against_baselines) {
        read_baselines(options.baseline, options.words.empty(), work);
    }
    watch_stop_signals();
    std::optional<OutputLock> lock;
    std::optional<CheckState> state;
    std::vector<std::string> digests;
    if (!options.out.empty()) {
        lock.emplace(options.out);
        state.emplace(options.out);
        digests = leave_out_unchanged(*state, settings, options.changed_only, work.jobs);
    }

    ProgressLine line("scenarios", !options.quiet);
    CheckReport report{.program_version = program_version(),
                       .command_line = settings.run.command_line,
                       .baseline_folder = options.baseline,
                       .scenarios = {},
                       .notes = std::move(work.notes),
                       .seconds = 0.0,
                       .threads = thread_count(settings.threads, work.jobs.size())};
    report.scenarios = check_scenarios(work.jobs, settings,
                                       {.report = [&](double share) { line.show(share); },
                                        .stop_requested = [] { return stop_signal() != 0; }});
    line.clear();
    report.seconds =
        std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count();

    std::vector<std::string> written;
    if (options.update) written = write_baselines(options.baseline, work.jobs, report.scenarios);
    if (state) {
        for (std::size_t i = 0; i < digests.size(); ++i) {
            const CheckedScenario& one = report.scenarios[i];
            if (one.end == CheckEnd::not_reached) continue;
            state->note(one.name, digests[i],
                        one.end == CheckEnd::kept || one.end == CheckEnd::unchanged);
        }
        state->write();
    }
    write_outputs(report, options);
    tell(report, written, options);
    return stop_signal() != 0 ? 128 + stop_signal() : status_of(report);
}

}  // namespace damper::command

// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/tune_text.hpp"
#include "libdamper/studies/tune_study.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/pace.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/study_options.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <fmt/format.h>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Searches stiffness, ends and friction of the fitted disc's stages for the disc whose worst\n"
    "margin over all scenarios and conditions is best, as damper compare ranks them, among those\n"
    "that there is room for. --free names the keys that may change instead, with a range or with\n"
    "the usual one. Ranges and packaging limits are common practice without a source, widened to\n"
    "the fitted disc: give those of the vehicle at hand where they are known.\n"
    "Ctrl-C ends the search and keeps the best disc found so far and all that was tried.\n"
    "Exit status: 0 the disc meets all limits; 1 none that was tried does; others as in damper\n"
    "--help.\n"
    "\nExample:\n"
    "  damper tune van_idle_cold --free 'disc.stages[0].stiffness' --free "
    "'disc.stages[0].drive_end=7 deg..10 deg' --set 'manoeuvre.length=0.6 s' --evaluations 40 "
    "--out tuned\n";

constexpr std::array methods = {SearchMethod::subplex, SearchMethod::nelder_mead,
                                SearchMethod::cobyla, SearchMethod::bobyqa};

struct TuneOptions {
    Words scenarios;
    Words free, conditions, left_out, front;
    std::string drive_twist, coast_twist, stop_factor, coast_stop_factor, spring_work;
    std::string evaluations = "3000", seed = "1", threads = "0";
    std::string method = "subplex";
    DescriptionOptions description;
    std::string out;
    std::string format = "text";
    bool quiet = false;
};

void tie(CLI::App& app, TuneOptions& options) {
    const auto list = [&](const char* name, Words& words, const char* help, const char* type) {
        app.add_option(name, words, help)->type_name(type)->allow_extra_args(false);
    };
    const auto text = [&](const char* name, std::string& word, const char* help, const char* type) {
        app.add_option(name, word, help)->type_name(type);
    };
    app.add_option("SCENARIO", options.scenarios,
                   "Scenario files, or names of built-in ones; or a study file")
        ->required();
    list("--free", options.free, "A key that may change, else all stages; may be repeated",
         "KEY[=LOW..HIGH]");
    list("--condition", options.conditions,
         "A state in which all have to do well, under a name; may be repeated",
         "'NAME: KEY=VALUE, ...'");
    list("--leave-out", options.left_out, "A measure that does not count; may be repeated", "NAME");
    list("--front", options.front,
         "What is set against the rest, or against a second one: a scenario, condition or measure",
         "NAME");
    text("--drive-twist", options.drive_twist, "Largest twist to the drive stop", "ANGLE");
    text("--coast-twist", options.coast_twist, "Largest twist to the coast stop", "ANGLE");
    text("--stop-torque", options.stop_factor,
         "Least torque at the drive stop over the engine's peak torque (1.2; heavy truck 1.15)",
         "FACTOR");
    text("--coast-stop-torque", options.coast_stop_factor, "The same at the coast stop (0.5)",
         "FACTOR");
    text("--spring-work", options.spring_work,
         "Most work in the springs over that in the fitted disc's (1.3)", "FACTOR");
    app.add_option("--evaluations", options.evaluations, "Discs to try, about")
        ->type_name("N")
        ->capture_default_str();
    app.add_option("--seed", options.seed, "Another number begins elsewhere")
        ->type_name("N")
        ->capture_default_str();
    app.add_option("--method", options.method, "How to climb from the best of what was strewn")
        ->type_name("subplex|nelder-mead|cobyla|bobyqa")
        ->capture_default_str();
    app.add_option("-o,--out", options.out, "Folder for the disc, page, table and data")
        ->type_name("DIR");
    app.add_option("--threads", options.threads, "Discs at a time; 0: as many as the processor can")
        ->type_name("N")
        ->capture_default_str();
    options.description.tie_to(app);
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only; files and exit status tell");
    app.footer(example);
}

SearchMethod method_of(const std::string& name) {
    std::vector<std::string> names;
    for (const SearchMethod one : methods) {
        if (name_of(one) == name) return one;
        names.emplace_back(name_of(one));
    }
    require_one_of("--method", name, names);
    return SearchMethod::subplex;
}

AskedPackaging packaging_of(const TuneOptions& options) {
    AskedPackaging out;
    const auto twist = [](const char* option, const std::string& text) -> std::optional<double> {
        constexpr double most = 1.5707963267948966;  // 90°, as descriptions allow
        if (text.empty()) return {};
        return quantity_in(option, text, Angle::dimension, 1e-3, most, "0.06 deg", "90 deg");
    };
    const auto factor = [](const char* option, const std::string& text) -> std::optional<double> {
        if (text.empty()) return {};
        return number_in(option, text, 0.0, 100.0);
    };
    out.drive_twist = twist("--drive-twist", options.drive_twist);
    out.coast_twist = twist("--coast-twist", options.coast_twist);
    out.stop_factor = factor("--stop-torque", options.stop_factor);
    out.coast_stop_factor = factor("--coast-stop-torque", options.coast_stop_factor);
    out.spring_work_factor = factor("--spring-work", options.spring_work);
    return out;
}

/// What a study file says and the command line does not.
void take(const StudyOverlay& overlay, const CLI::App& app, TuneOptions& options) {
    overlay.fill(options.evaluations, app, "--evaluations", "evaluations");
    overlay.fill(options.seed, app, "--seed", "seed");
    overlay.fill(options.method, app, "--method", "method");
    overlay.fill(options.drive_twist, app, "--drive-twist", "drive_twist");
    overlay.fill(options.coast_twist, app, "--coast-twist", "coast_twist");
    overlay.fill(options.stop_factor, app, "--stop-torque", "stop_torque");
    overlay.fill(options.coast_stop_factor, app, "--coast-stop-torque", "coast_stop_torque");
    overlay.fill(options.spring_work, app, "--spring-work", "spring_work");
    StudyOverlay::put_before(options.left_out, overlay.file().left_out);
    if (options.front.empty()) StudyOverlay::put_before(options.front, overlay.file().front);
}

TuneRequest request_of(const TuneOptions& options, const StudyOverlay& overlay,
                       const Words& words) {
    constexpr double most = 1e6;
    TuneRequest request;
    request.read = options.description.read_options();
    request.run.command_line = as_typed("damper tune", words);
    for (const std::string& word : options.scenarios) {
        request.scenarios.push_back(
            find_description(word, request.read.models,
                             {"damper tune", "a scenario", {"scenarios"}, {&scenario_schema()}})
                .file);
    }
    request.conditions = overlay.conditions(options.conditions, request.read.models);
    request.free = overlay.free_keys(options.free);
    request.packaging = packaging_of(options);
    request.left_out = options.left_out;
    request.front = options.front;
    request.evaluations = whole_in("--evaluations", options.evaluations, 1, most);
    request.seed = static_cast<std::uint64_t>(whole_in("--seed", options.seed, 0, 1e9));
    request.method = method_of(options.method);
    request.threads = static_cast<std::size_t>(whole_in("--threads", options.threads, 0, 1024));
    return request;
}

std::vector<fs::path> write_files(const TuneRecord& record, const fs::path& folder) {
    const OutputLock lock(folder);
    std::vector<fs::path> written;
    const auto write = [&](const char* name, const std::string& text) {
        written.push_back(folder / name);
        write_file_atomically(written.back(), text);
    };
    write("tuned_disc.toml", record.disc);
    write("tune.html", html_tune(record));
    write("tune.txt", tune_text(record));
    write("tune.json", tune_json(record));
    write("tune.csv", tune_csv(record));
    return written;
}

void tell(const TuneRecord& record, const std::vector<fs::path>& files,
          const TuneOptions& options) {
    if (options.quiet) return;
    if (options.format == "json") return print_result(tune_json(record));
    if (options.format == "csv") return print_result(tune_csv(record));
    std::string text = tune_text(record);
    for (const fs::path& file : files) {
        text += fmt::format("Written: {}\n", printable(file.string()));
    }
    if (!files.empty()) {
        text += fmt::format("Try it: damper run {} --set disc={}\n", record.scenarios.front().name,
                            printable(files.front().string()));
    }
    print_result(text);
}

int status_of(const TuneRecord& record) {
    const TuneCandidate& best = record.candidates[record.best];
    if (best.end != TuneCandidate::End::done) return to_int(ExitStatus::not_finished);
    if (!record.out_of_reach.empty()) return to_int(ExitStatus::limit_missed);
    for (const auto& one_case : best.cases) {
        for (const TuneFigure& one : one_case) {
            if (one.grade == Grade::bad) return to_int(ExitStatus::limit_missed);
        }
    }
    return to_int(ExitStatus::done);
}

int tune_as_told(const Words& words, const StudyOverlay& overlay, const TuneOptions& options) {
    const TuneRequest request = request_of(options, overlay, words);
    watch_stop_signals();
    ProgressLine line("Trying discs", !options.quiet);
    Pace pace(request.evaluations);
    const TuneRecord record =
        tune_disc(request, {.report = [&](double share) { line.show(share, pace.at(share)); },
                            .stop_requested = [] { return stop_signal() != 0; }});
    line.clear();
    std::vector<fs::path> files;
    if (!options.out.empty()) files = write_files(record, options.out);
    tell(record, files, options);
    return stop_signal() != 0 ? 128 + stop_signal() : status_of(record);
}

}  // namespace

int tune(const Words& words) {
    TuneOptions options;
    CLI::App app{"Search stages of a disc for the best worst margin, within what it has room for.",
                 "damper tune"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    const StudyOverlay overlay("tune", options.scenarios, options.description);
    take(overlay, app, options);
    return overlay.with_places([&] { return tune_as_told(words, overlay, options); });
}

}  // namespace damper::command

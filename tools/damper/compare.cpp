// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/compare_text.hpp"
#include "libdamper/outputs/compare_words.hpp"
#include "libdamper/parts/disc_fields.hpp"
#include "libdamper/studies/compare_study.hpp"
#include "libdamper/studies/discs_of_class.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/built_in.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/locate.hpp"
#include "tools/damper/named_changes.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/study_options.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <set>
#include <utility>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Discs: names of built-in ones, files, and the fitted one with changes (--change). Without\n"
    "--disc and --change all built-in discs for the vehicle's class and flywheel. The fitted disc\n"
    "is always among them. Conditions hold for every disc; cause=NAME in one means what --cause\n"
    "does. What a cause does to the disc stays in the fitted one, also with --change; a disc that\n"
    "is put in is a sound one. Keys (disc.stages[*]...) change every disc.\n"
    "Exit status: 0 a disc meets all limits; 1 none does; 2 something could not be read;\n"
    "3 something could not be solved; 4, 5, 128 + n as in damper --help.\n"
    "\nExample:\n"
    "  damper compare car_idle_hot car_tip_in_2 --disc car_three_stage --condition 'new:' "
    "--condition 'worn: cause=main_friction_lost' --out compared\n";

struct CompareOptions {
    Words scenarios;
    Words discs, changes, conditions;
    DescriptionOptions description;
    std::string out;
    std::string threads;
    std::string format = "text";
    bool quiet = false;
};

void tie(CLI::App& app, CompareOptions& options) {
    app.add_option("SCENARIO", options.scenarios,
                   "Scenario files, or names of built-in ones; or a study file")
        ->required();
    app.add_option("--disc", options.discs, "A disc by name or file; may be repeated")
        ->type_name("NAME|FILE")
        ->allow_extra_args(false);
    app.add_option("--change", options.changes,
                   "The fitted disc, or anything of the vehicle, changed, under a name; may be "
                   "repeated")
        ->type_name("'NAME: KEY=VALUE, ...'")
        ->allow_extra_args(false);
    app.add_option("--condition", options.conditions,
                   "A state in which all are compared, under a name; may be repeated")
        ->type_name("'NAME: KEY=VALUE, ...'")
        ->allow_extra_args(false);
    app.add_option("-o,--out", options.out, "Folder for page, table and data")->type_name("DIR");
    options.description.tie_to(app);
    app.add_option("--threads", options.threads,
                   "Runs at a time; none: as many as there are processors")
        ->type_name("N");
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only; files and exit status tell");
    app.footer(example);
}

/// Built-in discs for the vehicle's class and flywheel.
void take_built_in(const Vehicle& vehicle, const fs::path& models,
                   std::vector<CompareOption>& out) {
    for (const std::string& name :
         discs_of_class(models, vehicle.vehicle_class, vehicle.two_mass_flywheel.has_value())) {
        out.push_back({.name = name, .changes = {{"disc", name}}, .fitted = false, .loop = {}});
    }
    if (!out.empty()) return;
    throw InputError(
        fmt::format("no built-in disc is for a {}; say which with --disc", vehicle.vehicle_class));
}

/// A path keeps its meaning whatever folder the scenario lies in.
std::string disc_value(const std::string& word, const fs::path& file) {
    const bool bare = word.find('/') == std::string::npos && fs::path(word).extension().empty() &&
                      file != fs::path(word);
    return bare ? word : fs::absolute(file).string();
}

std::vector<CompareOption> options_of(const CompareOptions& options, const StudyOverlay& overlay,
                                      const ReadOptions& read, const fs::path& first) {
    std::vector<CompareOption> out;
    for (const std::string& word : options.discs) {
        const auto found = find_description(
            word, read.models, {"damper compare", "a disc", {"discs"}, {&schema_of<Disc>()}});
        out.push_back({.name = found.file.stem().string(),
                       .changes = {{"disc", disc_value(word, found.file)}},
                       .fitted = false,
                       .loop = {}});
    }
    for (const std::string& text : options.changes) {
        NamedChanges one = named_changes("--change", text, read.models);
        out.push_back({.name = std::move(one.name),
                       .changes = std::move(one.changes),
                       .fitted = false,
                       .loop = {}});
    }
    for (CompareOption& one : overlay.discs(read.models)) {
        if (std::ranges::find(out, one.name, &CompareOption::name) == out.end()) {
            out.push_back(std::move(one));
        }
    }
    if (out.empty()) {
        take_built_in(read_scenario(first, read).vehicle, read.models, out);
    }
    std::set<std::string> names;
    for (const CompareOption& one : out) {
        if (!names.insert(one.name).second) {
            throw InputError(
                fmt::format("two discs have the name {}; names tell them apart", one.name));
        }
    }
    return out;
}

int status_of(const CompareRecord& record) {
    const auto any = [&](CompareVariant::End end) {
        return std::ranges::any_of(record.variants,
                                   [&](const auto& one) { return one.end == end; });
    };
    if (any(CompareVariant::End::unsolved)) return to_int(ExitStatus::not_finished);
    if (any(CompareVariant::End::bad_input)) return to_int(ExitStatus::bad_input);
    const bool met = std::ranges::any_of(record.ranking, [](const CompareRank& one) {
        return one.complete && one.grade != Grade::bad;
    });
    return to_int(met ? ExitStatus::done : ExitStatus::limit_missed);
}

/// Page, text, JSON and CSV; what was written.
std::vector<fs::path> write_files(const CompareRecord& record, const fs::path& folder) {
    const OutputLock lock(folder);
    const fs::path stem = folder / "compare";
    std::vector<fs::path> written;
    const auto write = [&](const char* ending, const std::string& text) {
        written.push_back(stem.string() + ending);
        write_file_atomically(written.back(), text);
    };
    write(".html", html_compare(record));
    write(".txt", compare_text(record));
    write(".json", compare_json(record));
    write(".csv", compare_csv(record));
    return written;
}

void tell(const CompareRecord& record, const std::vector<fs::path>& files,
          const CompareOptions& options) {
    if (options.quiet || options.format != "text") {
        for (const std::string& failure : failure_words(record)) {
            print_error("damper compare: " + failure);
        }
    }
    if (options.quiet) return;
    if (options.format == "json") return print_result(compare_json(record));
    if (options.format == "csv") return print_result(compare_csv(record));
    std::string text = compare_text(record);
    for (const fs::path& file : files)
        text += fmt::format("Written: {}\n", printable(file.string()));
    print_result(text);
}

int compare_as_told(const Words& words, const StudyOverlay& overlay,
                    const CompareOptions& options) {
    CompareRequest request;
    request.read = options.description.read_options();
    request.run.command_line = as_typed("damper compare", words);
    if (!options.threads.empty()) {
        request.threads =
            static_cast<std::size_t>(number_in("--threads", options.threads, 1.0, 1024.0));
    }
    for (const std::string& word : options.scenarios) {
        request.scenarios.push_back(
            find_description(word, request.read.models,
                             {"damper compare", "a scenario", {"scenarios"}, {&scenario_schema()}})
                .file);
    }
    request.options = options_of(options, overlay, request.read, request.scenarios.front());
    request.conditions = overlay.conditions(options.conditions, request.read.models);
    watch_stop_signals();
    ProgressLine line("runs", !options.quiet);
    const CompareRecord record =
        compare_discs(request, {.report = [&](double share) { line.show(share); },
                                .stop_requested = [] { return stop_signal() != 0; }});
    line.clear();
    std::vector<fs::path> files;
    if (!options.out.empty()) files = write_files(record, options.out);
    tell(record, files, options);
    return stop_signal() != 0 ? 128 + stop_signal() : status_of(record);
}

}  // namespace

int compare(const Words& words) {
    CompareOptions options;
    CLI::App app{"Compare discs in scenarios and conditions, rank them and say why.",
                 "damper compare"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    const StudyOverlay overlay("compare", options.scenarios, options.description);
    return overlay.with_places([&] { return compare_as_told(words, overlay, options); });
}

}  // namespace damper::command

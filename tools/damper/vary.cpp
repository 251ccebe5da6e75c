// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/study.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>

namespace damper::command {

namespace {

constexpr const char* example =
    "Runs a scenario many times with other values of its keys, and says what they do. Values are\n"
    "given with their units, or as factors on what the files say: 'disc.damping=times 0.5..2'.\n"
    "--over 'disc=car_soft|car_three_stage' tries parts by name.\n"
    "--screen changes one key at a time from many starting points (elementary effects),\n"
    "--indices splits the variance among the keys and their interactions (Sobol indices).\n"
    "With --out the variants are kept as they come: killed or stopped, the same command goes on.\n"
    "There are also DIR/NAME_vary.h5 and NAME_vary.html then.\n"
    "\nExample:\n"
    "  damper vary car_idle_hot --over 'disc.stages[0].stiffness=times 0.8..1.2:3' --over "
    "'conditions.gearbox_oil=60 degC..80 degC:2' --set 'manoeuvre.length=0.9 s'\n";

struct VaryOptions : StudyOptions {
    std::vector<std::string> over;
    std::string design;
    bool screen = false;
    bool indices = false;
};

StudyDesign design_of(const VaryOptions& options) {
    if (options.screen && options.indices) {
        throw InputError("--screen and --indices are two ways to ask: give one of them");
    }
    if (!options.design.empty()) {
        require_one_of("--design", options.design, {"grid", "sobol"});
        if (options.screen || options.indices) {
            throw InputError("--screen and --indices bring their own design: leave out --design");
        }
        return options.design == "grid" ? StudyDesign::grid : StudyDesign::sobol;
    }
    if (options.screen) return StudyDesign::screening;
    if (options.indices) return StudyDesign::indices;
    return options.count.empty() ? StudyDesign::grid : StudyDesign::sobol;
}

std::int64_t count_of(const VaryOptions& options, StudyDesign design) {
    constexpr std::int64_t points = 256, trajectories = 10, rows = 128;
    if (design == StudyDesign::grid && !options.count.empty()) {
        throw InputError(
            "--count goes with --design sobol, --screen and --indices; a grid has as "
            "many variants as its levels make: KEY=LOW..HIGH:N");
    }
    return options.count_or(design == StudyDesign::screening ? trajectories
                            : design == StudyDesign::indices ? rows
                                                             : points);
}

void take_design(const StudyOverlay& overlay, const CLI::App& app, VaryOptions& options) {
    const bool given = app.count("--design") + app.count("--screen") + app.count("--indices") > 0;
    const auto found = overlay.file().values.find("design");
    if (given || found == overlay.file().values.end()) return;
    options.screen = found->second.text == "screening";
    options.indices = found->second.text == "indices";
    if (!options.screen && !options.indices) options.design = found->second.text;
}

int vary_as_told(const Words& words, const StudyOverlay& overlay, const VaryOptions& options) {
    const ReadOptions read = options.description.read_options();
    const StudyDesign design = design_of(options);
    const std::int64_t count = count_of(options, design);
    std::vector<StudyVariable> variables = overlay.variables(
        options.over, "--over",
        [](const auto& text, const auto& option) { return read_range(text, option); });
    const bool has_choices = std::ranges::any_of(
        variables, [](const StudyVariable& one) { return !one.key.choices.empty(); });
    if (has_choices && (design == StudyDesign::screening || design == StudyDesign::indices)) {
        throw InputError("--screen and --indices need ranges, not words to choose from");
    }
    StudyPlan plan(design, std::move(variables), count, options.seed_number());
    RunSettings run;
    run.command_line = as_typed("damper vary", words);
    const VariantStudy study{"vary", scenario_file(options, read, "damper vary"), read, run,
                             std::move(plan)};
    return run_study(study, options);
}

}  // namespace

int vary(const Words& words) {
    VaryOptions options;
    CLI::App app{"Vary keys of a scenario: tables, maps, and which key matters.", "damper vary"};
    app.add_option("SCENARIO", options.scenarios,
                   "Scenario file, or the name of a built-in one; or a study file")
        ->required();
    app.add_option("--over", options.over,
                   "Key and its range; N levels in a grid, else 5; may be given several times")
        ->type_name("KEY=LOW..HIGH[:N]")
        ->allow_extra_args(false);
    app.add_option("--design", options.design,
                   "grid: all levels with each other; sobol: evenly strewn. Default: sobol if "
                   "--count is given, else grid")
        ->type_name("grid|sobol");
    app.add_flag("--screen", options.screen, "Which keys matter at all: few runs a key");
    app.add_flag("--indices", options.indices, "Shares of variance with intervals: many runs");
    options.tie_to(app,
                   "Points of a Sobol design (256), trajectories of --screen (10), base rows of "
                   "--indices (128)");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    const StudyOverlay overlay("vary", options.scenarios, options.description);
    options.take(overlay, app);
    take_design(overlay, app, options);
    if (options.over.empty() && overlay.file().keys.empty()) {
        throw InputError(
            "--over is required, or a study file with [over]\n    Usage and an example: damper "
            "vary "
            "--help");
    }
    return overlay.with_places([&] { return vary_as_told(words, overlay, options); });
}

}  // namespace damper::command

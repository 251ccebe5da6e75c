// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/describe/scenario_reader.hpp"

#include "tools/damper/exit_status.hpp"
#include "tools/damper/study.hpp"
#include "tools/damper/verbs.hpp"

namespace damper::command {

namespace {

constexpr const char* example =
    "Draws vehicles whose keys scatter as they do in a series, runs each, and says what share is\n"
    "beyond each limit, how well that is known, and which tolerance matters most.\n"
    "Spreads: normal(MEAN, SD), normal(MEAN, SD, LOW, HIGH) cut off at both ends,\n"
    "uniform(LOW, HIGH), triangular(LOW, PEAK, HIGH). nominal stands for what the files say,\n"
    "times 0.9 for 0.9 of it; an SD in % is a share of the mean.\n"
    "With --out the vehicles are kept as they come: killed or stopped, the same command goes on.\n"
    "\nExample:\n"
    "  damper scatter car_idle_hot --spread 'disc.stages[0].hysteresis=normal(nominal, 20 %)' "
    "--spread 'conditions.gearbox_oil=uniform(60 degC, 95 degC)' --count 20 --set "
    "'manoeuvre.length=0.9 s' --out damper_study\n";

}  // namespace

int scatter(const Words& words) {
    StudyOptions options;
    std::vector<std::string> spread;
    CLI::App app{"Scatter of a series: share of vehicles beyond each limit, and why.",
                 "damper scatter"};
    app.add_option("SCENARIO", options.scenarios,
                   "Scenario file, or the name of a built-in one; or a study file")
        ->required();
    app.add_option("--spread", spread, "Key and how it scatters; may be given several times")
        ->type_name("KEY=SPREAD")
        ->allow_extra_args(false);
    options.tie_to(app, "Vehicles, else 1000");
    app.footer(example);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    const StudyOverlay overlay("scatter", options.scenarios, options.description);
    options.take(overlay, app);
    if (spread.empty() && overlay.file().keys.empty()) {
        throw InputError(
            "--spread is required, or a study file with [spread]\n    Usage and an example: damper "
            "scatter --help");
    }
    return overlay.with_places([&] {
        const ReadOptions read = options.description.read_options();
        const auto file = scenario_file(options, read, "damper scatter");
        const Scenario nominal = ScenarioReader(file, read).read({});
        std::vector<StudyVariable> variables = overlay.variables(
            spread, "--spread", [&](const std::string& text, const std::string& option) {
                return read_spread(text, nominal, option);
            });
        constexpr std::int64_t vehicles = 1000;
        StudyPlan plan(StudyDesign::random, std::move(variables), options.count_or(vehicles),
                       options.seed_number());
        RunSettings run;
        run.command_line = as_typed("damper scatter", words);
        const VariantStudy study{"scatter", file, read, run, std::move(plan)};
        return run_study(study, options);
    });
}

}  // namespace damper::command

// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/describe/read.hpp"
#include "libdamper/describe/scenario_reader.hpp"
#include "libdamper/outputs/html_orbit.hpp"
#include "libdamper/outputs/orbit_text.hpp"
#include "libdamper/parts/top_speed.hpp"
#include "libdamper/results/orbit_file.hpp"
#include "libdamper/studies/identity.hpp"
#include "libdamper/studies/orbit_study.hpp"
#include "libdamper/studies/study_variable.hpp"

#include "tools/damper/any_description.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>
#include <string>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Harmonic balance with the disc's stages and friction as they are, followed over engine "
    "speed,\n"
    "past folds; each motion is judged stable or not by an exact run over one period. The mean\n"
    "speed is held: in neutral by the engine, in gear by a load on the vehicle.\n"
    "Loose gears are held in contact unless --loose-gears free; where their teeth would part is\n"
    "told. --check N begins N exact runs with free loose gears on the curve.\n"
    "--vary follows the motion over any key of the description instead, at one engine speed, past\n"
    "folds as well; N asks for at least so many motions.\n"
    "With --out also into DIR/NAME_orbit.h5 and NAME_orbit.html.\n"
    "\nExample:\n"
    "  damper orbit car_idle_hot --gear 3 --curve pull\n"
    "  damper orbit car_idle_hot --vary 'disc.stages[0].stiffness=times 0.5..2' --speed '800 "
    "rpm'\n";

struct OrbitOptions {
    std::string file, out, curve, gear, from, to, load, vary, speed;
    std::string loose_gears = "held";
    std::string format = "text";
    std::string checks = "0";
    bool quiet = false;
    bool no_stability = false;
    DescriptionOptions description;
};

void tie(CLI::App& app, OrbitOptions& options) {
    app.add_option("SCENARIO", options.file, "Scenario file, or the name of a built-in one")
        ->required();
    app.add_option("--curve", options.curve,
                   "How the engine is run: neutral, pull or overrun. Default: pull if a gear is "
                   "given, or else what the scenario does")
        ->type_name("neutral|pull|overrun");
    app.add_option("--gear", options.gear, "Gear for pull and overrun")->type_name("NAME");
    app.add_option("--load", options.load,
                   "Share of the engine's peak torque in a pull, else 100 %")
        ->type_name("SHARE");
    app.add_option("--from", options.from, "Lowest engine speed, else 0.9 of idle speed")
        ->type_name("SPEED");
    app.add_option("--to", options.to, "Highest engine speed, else the top speed of the engine")
        ->type_name("SPEED");
    app.add_option("--vary", options.vary, "Key to follow in the place of the engine speed")
        ->type_name("KEY=FROM..TO[:N]");
    app.add_option("--speed", options.speed,
                   "Engine speed with --vary, else that of the scenario, or idle speed")
        ->type_name("SPEED");
    app.add_option("--loose-gears", options.loose_gears,
                   "held: teeth stay in contact; free: they part and hit")
        ->type_name("held|free")
        ->capture_default_str();
    app.add_option("--check", options.checks, "Exact runs over the range, 0 to 200")
        ->type_name("N")
        ->capture_default_str();
    app.add_flag("--no-stability", options.no_stability, "Do not judge stability");
    app.add_option("-o,--out", options.out, "Folder for the file of motions, its page and the text")
        ->type_name("DIR");
    options.description.tie_to(app);
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only");
    app.footer(example);
}

void take_gear(const Scenario& scenario, const OrbitOptions& options, OrbitRequest& request) {
    const TorqueChange* change = torque_change_of(scenario.manoeuvre);
    std::string curve = options.curve;
    if (curve.empty()) curve = !options.gear.empty() || change != nullptr ? "pull" : "neutral";
    require_one_of("--curve", curve, {"neutral", "pull", "overrun"});
    request.curve = curve == "neutral" ? OperatingCurve::neutral
                    : curve == "pull"  ? OperatingCurve::pull
                                       : OperatingCurve::overrun;
    if (request.curve == OperatingCurve::neutral) {
        if (!options.gear.empty()) {
            throw InputError("--gear goes with --curve pull or overrun, not with neutral");
        }
        return;
    }
    request.gear = options.gear.empty() && change != nullptr ? change->gear : options.gear;
    std::vector<std::string> names;
    for (const GearPair& gear : scenario.vehicle.gearbox.gears) names.push_back(gear.name);
    if (request.gear.empty()) {
        throw InputError(
            fmt::format("--curve {} needs --gear, one of {}", curve, fmt::join(names, ", ")));
    }
    require_one_of("--gear", request.gear, names);
}

OrbitStudySettings settings_of(const Scenario& scenario, const OrbitOptions& options) {
    OrbitStudySettings settings;
    OrbitRequest& request = settings.request;
    take_gear(scenario, options, request);
    require_one_of("--loose-gears", options.loose_gears, {"held", "free"});
    request.loose_gears = options.loose_gears == "held" ? LooseGears::held : LooseGears::free;
    constexpr Dimension speed = AngularSpeed::dimension;
    if (!options.vary.empty() && (!options.from.empty() || !options.to.empty())) {
        throw InputError("--from and --to are engine speeds: with --vary give --speed");
    }
    if (options.vary.empty() && !options.speed.empty()) {
        throw InputError("--speed goes with --vary; a range of speeds is --from and --to");
    }
    const double low = 100.0 * std::numbers::pi / 30.0;
    const double high = 12000.0 * std::numbers::pi / 30.0;
    request.from = options.from.empty() ? 0.9 * scenario.vehicle.engine.idle_speed.si()
                                        : quantity_in("--from", options.from, speed, low, high,
                                                      "100 rpm", "12000 rpm");
    request.to = options.to.empty()
                     ? top_speed_of(scenario.vehicle).si()
                     : quantity_in("--to", options.to, speed, low, high, "100 rpm", "12000 rpm");
    if (!(request.to > 1.001 * request.from)) {
        throw InputError(fmt::format(
            "the speeds go from {:.0f} to {:.0f} rpm: --to must be above --from",
            request.from * 30.0 / std::numbers::pi, request.to * 30.0 / std::numbers::pi));
    }
    if (!options.load.empty()) {
        if (request.curve != OperatingCurve::pull) {
            throw InputError("--load goes with --curve pull only");
        }
        request.load = quantity_in("--load", options.load, {}, 0.01, 1.0, "1 %", "100 %");
    }
    const double checks = number_in("--check", options.checks, 0.0, 200.0);
    if (checks != std::floor(checks)) {
        throw InputError(fmt::format("--check: found {}, expected a whole number", options.checks));
    }
    settings.checks = static_cast<int>(checks);
    settings.stability = !options.no_stability;
    return settings;
}

/// The speed that is held while a key is varied.
double held_speed(const Scenario& scenario, const OrbitOptions& options) {
    if (!options.speed.empty()) {
        return quantity_in("--speed", options.speed, AngularSpeed::dimension,
                           100.0 * std::numbers::pi / 30.0, 12000.0 * std::numbers::pi / 30.0,
                           "100 rpm", "12000 rpm");
    }
    if (const TorqueChange* change = torque_change_of(scenario.manoeuvre))
        return change->speed.si();
    if (const auto* idle = std::get_if<Idle>(&scenario.manoeuvre)) {
        if (idle->speed.si() > 0.0) return idle->speed.si();
    }
    return scenario.vehicle.engine.idle_speed.si();
}

/// `reader` must live as long as the settings.
void take_vary(const Scenario& scenario, const OrbitOptions& options, ScenarioReader& reader,
               OrbitStudySettings& settings) {
    const StudyVariable variable = read_range(options.vary, "--vary");
    if (!variable.key.choices.empty()) {
        throw InputError(fmt::format(
            "--vary {}: expected a range, KEY=FROM..TO; words to choose from have no way between "
            "them",
            options.vary));
    }
    OrbitVary vary;
    vary.key = variable.key.key;
    vary.units = variable.key.units;
    vary.multiplies = variable.key.multiplies;
    vary.from = value_at(variable, 0.0);
    vary.to = value_at(variable, 1.0);
    vary.speed = held_speed(scenario, options);
    vary.scenario_at = [variable, &reader](double value) {
        return reader.read({{variable.key.key, text_of(variable, value)}});
    };
    const std::size_t levels = variable.key.levels.size();
    if (levels > 1) {
        settings.largest_step =
            std::min(settings.largest_step, 1.0 / (static_cast<double>(levels) - 1.0));
    }
    settings.vary = std::move(vary);
}

}  // namespace

int orbit(const Words& words) {
    OrbitOptions options;
    CLI::App app{"Steady motions over engine speed: at which speed it swings, rattles or jumps.",
                 "damper orbit"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    const ReadOptions read_options = options.description.read_options();
    const auto found =
        find_description(options.file, read_options.models,
                         {"damper orbit", "a scenario", {"scenarios"}, {&scenario_schema()}});
    const Scenario scenario = read_scenario(found.file, read_options);
    OrbitStudySettings settings = settings_of(scenario, options);
    ScenarioReader reader(found.file, read_options);
    if (!options.vary.empty()) take_vary(scenario, options, reader, settings);

    watch_stop_signals();
    OrbitRecord record;
    {
        ProgressLine line(settings.vary ? "Following motions over " + settings.vary->key
                                        : std::string("Following motions over engine speed"),
                          !options.quiet);
        const Progress progress{.report = [&](double share) { line.show(share); },
                                .stop_requested = [] { return stop_signal() != 0; }};
        record = find_orbits(scenario, settings, progress);
    }
    record.identity = identity_of(scenario,
                                  settings.vary ? "steady motions over " + settings.vary->key
                                                : std::string("steady motions over engine speed"),
                                  as_typed("damper orbit", words));

    std::string text = options.format == "json"  ? orbit_json(record)
                       : options.format == "csv" ? orbit_csv(record)
                                                 : orbit_text(record);
    if (!options.out.empty()) {
        const OutputLock lock(options.out);
        const fs::path stem = fs::path(options.out) / (scenario.name + "_orbit");
        const auto ending = [&](const char* end) { return fs::path(stem.string() + end); };
        const fs::path table = ending(options.format == "json"  ? ".json"
                                      : options.format == "csv" ? ".csv"
                                                                : ".txt");
        write_orbit(ending(".h5"), record);
        write_file_atomically(ending(".html"), html_orbit(record));
        write_file_atomically(table, text);
        if (options.format == "text") {
            for (const fs::path& path : {ending(".h5"), ending(".html"), table}) {
                text += fmt::format("Written: {}\n", printable(path.string()));
            }
        }
    }
    if (!options.quiet) print_result(text);
    if (stop_signal() != 0) return 128 + stop_signal();
    return to_int(record.complete ? ExitStatus::done : ExitStatus::not_finished);
}

}  // namespace damper::command

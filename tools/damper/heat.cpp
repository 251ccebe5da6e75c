// SPDX-License-Identifier: MIT
#include "libdamper/base/error.hpp"
#include "libdamper/outputs/heat_text.hpp"
#include "libdamper/outputs/html_cover.hpp"
#include "libdamper/results/cover_file.hpp"
#include "libdamper/studies/heat_study.hpp"

#include "tools/damper/driven.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/keep.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <cmath>
#include <fmt/format.h>
#include <numbers>

namespace damper::command {

namespace {

constexpr const char* example =
    "One start on the level and on a hill: slip time, slip energy, per facing area, and how warm\n"
    "plates and faces get. Then hill starts in a row, with cooling between them and the friction\n"
    "that their heat leaves: how many until a plate is above the limit, and how long to cool.\n"
    "The clutch torque stays the same while it slips; heat goes into the plates.\n"
    "With --out also into DIR/NAME_heat.h5, NAME_heat.html and NAME_heat.txt, .json or .csv.\n"
    "Exit status 1: a limit is missed.\n"
    "\nExample:\n"
    "  damper heat car_petrol\n"
    "  damper heat heavy_truck --grade '8 %' --starts 20 --interval '90 s'\n"
    "  damper heat van_diesel --set 'body.mass=5500 kg' --gear 2\n";

struct HeatOptions {
    std::string file, out, gear, grade, speed, torque, engine_torque, starts, interval;
    std::string surroundings, limit, cool;
    std::string format = "text";
    std::string curve = "steps";
    bool quiet = false;
    DescriptionOptions description;
};

void tie(CLI::App& app, HeatOptions& options) {
    const auto add = [&](const char* name, std::string& value, const char* what, const char* type) {
        app.add_option(name, value, what)->type_name(type);
    };
    app.add_option("FILE", options.file,
                   "Vehicle or scenario: a file, or the name of a built-in one")
        ->required();
    add("--gear", options.gear, "Gear to start in, else the lowest", "NAME");
    add("--grade", options.grade, "Grade of the hill, height over way, else 12 %", "SHARE");
    add("--speed", options.speed, "Engine speed of the start, else by class of vehicle", "SPEED");
    add("--torque", options.torque,
        "Clutch torque while it slips, else half the peak torque, at least 1.4 times the load",
        "TORQUE");
    add("--engine-torque", options.engine_torque,
        "Engine torque while it slips, else as the clutch torque: the engine keeps its speed",
        "TORQUE");
    add("--starts", options.starts, "Hill starts in a row, else 10", "N");
    add("--interval", options.interval, "From start to start, else 60 s", "TIME");
    add("--surroundings", options.surroundings, "Air in the housing, else 60 degC", "TEMPERATURE");
    add("--limit", options.limit, "Bulk temperature to count starts to, else 250 degC",
        "TEMPERATURE");
    add("--cool", options.cool, "Temperature to cool to, else 100 degC", "TEMPERATURE");
    app.add_option("--curve", options.curve, "What --format csv prints")
        ->type_name("steps|starts|history")
        ->capture_default_str();
    app.add_option("-o,--out", options.out, "Folder for the file of results, its page and the text")
        ->type_name("DIR");
    options.description.tie_to(app);
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only");
    app.footer(example);
}

HeatSettings settings_of(const HeatOptions& options, const Words& words) {
    HeatSettings settings;
    const auto take = [](const char* option, const std::string& text, const Dimension& due,
                         double low, double high, const char* low_text, const char* high_text,
                         double& value) {
        if (!text.empty()) value = quantity_in(option, text, due, low, high, low_text, high_text);
    };
    const auto temperature = [&](const char* option, const std::string& text, double& value) {
        take(option, text, Temperature::dimension, 213.15, 1073.15, "-60 degC", "800 degC", value);
    };
    constexpr double rpm = std::numbers::pi / 30.0;
    settings.gear = options.gear;
    take("--grade", options.grade, {}, 0.0, 0.6, "0 %", "60 %", settings.grade);
    take("--speed", options.speed, AngularSpeed::dimension, 300.0 * rpm, 8000.0 * rpm, "300 rpm",
         "8000 rpm", settings.engine_speed);
    take("--torque", options.torque, Torque::dimension, 1.0, 10000.0, "1 N m", "10000 N m",
         settings.clutch_torque);
    take("--engine-torque", options.engine_torque, Torque::dimension, 0.0, 10000.0, "0 N m",
         "10000 N m", settings.engine_torque);
    take("--interval", options.interval, Time::dimension, 1.0, 86400.0, "1 s", "86400 s",
         settings.interval);
    temperature("--surroundings", options.surroundings, settings.surroundings);
    temperature("--limit", options.limit, settings.limit);
    temperature("--cool", options.cool, settings.cool);
    if (!options.starts.empty()) {
        const double starts = number_in("--starts", options.starts, 1.0, 1000.0);
        if (starts != std::floor(starts)) {
            throw InputError(
                fmt::format("--starts: found {}, expected a whole number", options.starts));
        }
        settings.starts = static_cast<int>(starts);
    }
    if (settings.limit <= settings.surroundings) {
        throw InputError("--limit must be above the temperature of the surroundings");
    }
    if (settings.cool <= settings.surroundings) {
        throw InputError("--cool must be above the temperature of the surroundings");
    }
    settings.command_line = as_typed("damper heat", words);
    return settings;
}

}  // namespace

int heat(const Words& words) {
    HeatOptions options;
    CLI::App app{"Heat of starts: slip energy, temperatures, repeated starts on a hill.",
                 "damper heat"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    require_one_of("--curve", options.curve, heat_curves());
    const HeatSettings settings = settings_of(options, words);
    const Scenario scenario =
        read_driven(options.file, options.description.read_options(), "damper heat");
    const HeatRecord record = study_heat(scenario, settings);

    std::string text = options.format == "json"  ? heat_json(record)
                       : options.format == "csv" ? heat_csv(record, options.curve)
                                                 : heat_text(record);
    keep({.folder = options.out,
          .name = scenario.name + "_heat",
          .format = options.format,
          .write_results = [&](const std::string& path) { write_heat(path, record); },
          .page = [&] { return html_heat(record); }},
         text);
    if (!options.quiet) print_result(text);
    return to_int(record.verdict.grade == Grade::bad ? ExitStatus::limit_missed : ExitStatus::done);
}

}  // namespace damper::command

// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/html_modes.hpp"
#include "libdamper/outputs/modes_text.hpp"
#include "libdamper/results/modes_file.hpp"
#include "libdamper/studies/find_modes.hpp"

#include "tools/damper/driven.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <filesystem>
#include <fmt/format.h>
#include <numbers>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Natural frequencies, damping, shapes and what moves them, about a steady drive in each gear\n"
    "and about idling in neutral. With --out also into DIR/NAME_modes.h5 and NAME_modes.html.\n"
    "What is left out comes from the scenario; else three times idle speed and half the peak\n"
    "torque of the engine in gear. A take-up also gets the modes while its clutch slips, with the\n"
    "friction gradient of its facings. Stages of the disc count from the inside: 1 is the idle\n"
    "stage.\n"
    "\nExample:\n"
    "  damper modes car_petrol\n"
    "  damper modes car_tip_in_2 --gear 2 --torque '120 N m' --out damper_out\n";

constexpr double rpm = std::numbers::pi / 30.0;

struct ModesOptions {
    std::string file;
    std::string out;
    std::string gear = "all";
    std::string stage, torque, speed, up_to;
    std::string friction = "slips";
    std::string format = "text";
    bool quiet = false;
    DescriptionOptions description;
};

void tie(CLI::App& app, ModesOptions& options) {
    app.add_option("FILE", options.file,
                   "Scenario or vehicle: a file, or the name of a built-in one")
        ->required();
    app.add_option("-o,--out", options.out, "Folder for the file of modes and its page")
        ->type_name("DIR");
    app.add_option("--gear", options.gear, "Gear to look at, neutral, or all")
        ->type_name("NAME|all")
        ->capture_default_str();
    app.add_option("--stage", options.stage,
                   "Stage of the disc that moves, whatever the torque; 1 is the innermost")
        ->type_name("N");
    app.add_option("--torque", options.torque, "Engine torque, for example '120 N m'")
        ->type_name("TORQUE");
    app.add_option("--speed", options.speed, "Engine speed, for example '2000 rpm'")
        ->type_name("SPEED");
    app.add_option(
           "--up-to", options.up_to,
           "End of the engine's usable range, for example '6000 rpm'; else the top speed of "
           "the engine")
        ->type_name("SPEED");
    app.add_option("--friction", options.friction,
                   "Friction of the disc: slips in large motions, sticks in small ones")
        ->type_name("sticks|slips")
        ->capture_default_str();
    options.description.tie_to(app);
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only");
    app.footer(example);
}

ModesSettings settings_of(const ModesOptions& options, const Words& words) {
    ModesSettings settings;
    if (options.gear.empty()) {
        throw InputError("--gear \"\": expected the name of a gear, neutral, or all");
    }
    if (options.gear != "all") settings.gears = {options.gear};
    if (!options.stage.empty()) {
        const double stage = number_in("--stage", options.stage, 1.0, 6.0);
        settings.point.stage = static_cast<int>(stage);
        if (settings.point.stage != stage) {
            throw InputError(
                fmt::format("--stage \"{}\": expected a whole number, 1 is the "
                            "innermost stage of the disc",
                            options.stage));
        }
    }
    if (!options.torque.empty()) {
        settings.point.torque = quantity_in("--torque", options.torque, Torque::dimension, -5000.0,
                                            10000.0, "-5000 N m", "10000 N m");
    }
    const auto speed_in = [](const char* option, const std::string& text) {
        return quantity_in(option, text, AngularSpeed::dimension, 200.0 * rpm, 10000.0 * rpm,
                           "200 rpm", "10000 rpm");
    };
    if (!options.speed.empty()) settings.point.speed = speed_in("--speed", options.speed);
    if (!options.up_to.empty()) settings.highest_speed = speed_in("--up-to", options.up_to);
    if (options.friction == "sticks") settings.point.friction = Friction::sticks;
    settings.command_line = as_typed("damper modes", words);
    return settings;
}

}  // namespace

int modes(const Words& words) {
    ModesOptions options;
    CLI::App app{"Natural frequencies of the driveline, gear by gear.", "damper modes"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    require_one_of("--friction", options.friction, {"sticks", "slips"});
    const ModesSettings settings = settings_of(options, words);
    const Scenario scenario =
        read_driven(options.file, options.description.read_options(), "damper modes");
    const ModesRecord record = find_modes(scenario, settings);

    std::string text = options.format == "json"  ? modes_json(record)
                       : options.format == "csv" ? modes_csv(record)
                                                 : modes_text(record);
    if (!options.out.empty()) {
        const OutputLock lock(options.out);
        const fs::path result = fs::path(options.out) / (scenario.name + "_modes.h5");
        const fs::path page = fs::path(options.out) / (scenario.name + "_modes.html");
        write_modes(result, record);
        write_file_atomically(page, html_modes(record));
        if (options.format == "text") {
            text += fmt::format("\nWritten: {}\nWritten: {}\n", printable(result.string()),
                                printable(page.string()));
        }
    }
    if (!options.quiet) print_result(text);
    return to_int(ExitStatus::done);
}

}  // namespace damper::command

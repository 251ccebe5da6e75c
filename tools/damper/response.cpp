// SPDX-License-Identifier: MIT
#include "libdamper/base/atomic_file.hpp"
#include "libdamper/base/error.hpp"
#include "libdamper/base/file_lock.hpp"
#include "libdamper/outputs/response_text.hpp"
#include "libdamper/quantity/quantity.hpp"
#include "libdamper/results/response_file.hpp"
#include "libdamper/studies/frequency_response.hpp"

#include "tools/damper/driven.hpp"
#include "tools/damper/exit_status.hpp"
#include "tools/damper/stop_signal.hpp"
#include "tools/damper/terminal.hpp"
#include "tools/damper/verbs.hpp"

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <fmt/format.h>
#include <numbers>

namespace damper::command {

namespace fs = std::filesystem;

namespace {

constexpr const char* example =
    "Small swings about steady running: what of the engine's swing the disc keeps from the\n"
    "gearbox, stage by stage, and where the driveline resonates. A vehicle alone idles in "
    "neutral.\n"
    "With --out DIR/NAME_response.h5 holds every curve, DIR/NAME_response.html the page; with\n"
    "--format csv DIR/NAME_response.csv as well. Numbers in json and csv are in SI units.\n"
    "\nExample:\n"
    "  damper response car_idle_hot --out damper_out\n"
    "  damper response car_petrol --gear 3 --speed '1800 rpm' --to vehicle --quantity "
    "acceleration\n"
    "  damper response van_diesel --band '5 Hz..60 Hz' --friction sticks --format csv\n";

constexpr double rpm = std::numbers::pi / 30.0;

struct ResponseOptions {
    std::string file;
    std::string gear, speed, torque, stage;
    std::string from = "engine torque";
    Words to;
    std::string quantity, friction, swing;
    std::string band = "1 Hz..200 Hz";
    std::string out;
    DescriptionOptions description;
    std::string format = "text";
    bool quiet = false;
    bool no_report = false;
};

void tie_point(CLI::App& app, ResponseOptions& options) {
    app.add_option("FILE", options.file, "Scenario or vehicle: a file, or the name of one built in")
        ->required();
    app.add_option("--gear", options.gear, "Gear, or neutral (else that of the scenario)")
        ->type_name("NAME");
    app.add_option("--speed", options.speed, "Engine speed (else that of the scenario)")
        ->type_name("SPEED");
    app.add_option("--torque", options.torque, "Mean engine torque (else that of the scenario)")
        ->type_name("TORQUE");
    app.add_option("--stage", options.stage,
                   "Stage of the disc that moves, by name or number from the inside (else the one "
                   "that the torque meets)")
        ->type_name("STAGE");
}

void tie_question(CLI::App& app, ResponseOptions& options) {
    app.add_option("--from", options.from, "What swings: engine torque, or a torque on an inertia")
        ->type_name("NAME")
        ->capture_default_str();
    app.add_option("--to", options.to,
                   "What answers: an inertia or element; may be repeated (else flywheel, gearbox "
                   "input and, in gear, drive shafts)")
        ->type_name("NAME")
        ->allow_extra_args(false);
    app.add_option("--quantity", options.quantity,
                   "Of what answers (else speed of an inertia, torque of an element)")
        ->type_name("speed|acceleration|torque|angle");
    app.add_option("--band", options.band, "Frequencies, lowest and highest")
        ->type_name("LOW..HIGH")
        ->capture_default_str();
    app.add_option("--friction", options.friction,
                   "Washers of the disc in the curves: sticking, slipping, or as they are at the "
                   "swing that the torque makes (else the last, where it can be told)")
        ->type_name("sticks|slips|equivalent");
    app.add_option("--swing", options.swing,
                   "Amplitude of the torque for --friction equivalent (else that of the engine at "
                   "its firing order)")
        ->type_name("TORQUE");
}

void tie(CLI::App& app, ResponseOptions& options) {
    tie_point(app, options);
    tie_question(app, options);
    app.add_option("-o,--out", options.out, "Folder for the file and the page")->type_name("DIR");
    options.description.tie_to(app);
    tie_format(app, options.format, {"text", "json", "csv"});
    app.add_flag("--quiet", options.quiet, "Print errors only");
    app.add_flag("--no-report", options.no_report, "Leave out the page");
    app.footer(example);
}

void take_band(const std::string& text, ResponseSettings& settings) {
    const std::size_t dots = text.find("..");
    if (dots == std::string::npos) {
        throw InputError(fmt::format(
            "--band is \"{}\"; expected two frequencies with two dots between them, for example "
            "'2 Hz..200 Hz'",
            text));
    }
    const auto end = [&](const std::string& one) {
        return quantity_in("--band", one, Rate::dimension, 0.01, 10000.0, "0.01 Hz", "10000 Hz");
    };
    settings.low = end(text.substr(0, dots));
    settings.high = end(text.substr(dots + 2));
    if (settings.low < settings.high) return;
    throw InputError(fmt::format("--band is \"{}\"; expected the lower frequency first", text));
}

/// A stage by its number or its name.
int stage_called(const std::string& text, const Disc& disc) {
    int number = 0;
    const char* end = text.data() + text.size();
    const auto [stopped, error] = std::from_chars(text.data(), end, number);
    if (error == std::errc{} && stopped == end) {
        if (number >= 1 && static_cast<std::size_t>(number) <= disc.stages.size()) return number;
    }
    std::vector<std::string> names;
    for (const DiscStage& stage : disc.stages) {
        if (stage.name == text) return static_cast<int>(names.size()) + 1;
        names.push_back(stage.name);
    }
    std::string known;
    for (std::size_t i = 0; i < names.size(); ++i) {
        known += fmt::format("{}{} ({})", i == 0 ? "" : ", ", i + 1, names[i]);
    }
    throw InputError(fmt::format("--stage is \"{}\"; this disc has {}{}", text, known,
                                 did_you_mean(text, names)));
}

ResponseSettings settings_of(const ResponseOptions& options, const Scenario& scenario,
                             const Words& words) {
    ResponseSettings settings;
    settings.point.gear = options.gear;
    if (!options.speed.empty()) {
        settings.point.speed = quantity_in("--speed", options.speed, AngularSpeed::dimension,
                                           200.0 * rpm, 10000.0 * rpm, "200 rpm", "10000 rpm");
    }
    if (!options.torque.empty()) {
        settings.point.torque = quantity_in("--torque", options.torque, Torque::dimension, -5000.0,
                                            10000.0, "-5000 N m", "10000 N m");
    }
    if (!options.stage.empty()) {
        settings.point.stage = stage_called(options.stage, scenario.vehicle.disc);
    }
    if (!options.swing.empty()) {
        settings.swing = quantity_in("--swing", options.swing, Torque::dimension, 1e-6, 1e5,
                                     "0.000001 N m", "100000 N m");
    }
    settings.from = options.from;
    settings.to = options.to;
    settings.quantity = options.quantity;
    settings.friction = options.friction;
    take_band(options.band, settings);
    settings.command_line = as_typed("damper response", words);
    return settings;
}

std::vector<fs::path> write_files(const ResponseRecord& record, const ResponseOptions& options) {
    if (options.out.empty()) return {};
    const OutputLock lock(options.out);
    const fs::path folder = options.out;
    const std::string name = record.identity.scenario + "_response";
    std::vector<fs::path> written = {folder / (name + ".h5")};
    write_response(written.front(), record);
    if (!options.no_report) {
        written.push_back(folder / (name + ".html"));
        write_file_atomically(written.back(), response_page(record));
    }
    if (options.format == "csv") {
        written.push_back(folder / (name + ".csv"));
        write_file_atomically(written.back(), response_csv(record));
    }
    return written;
}

}  // namespace

int response(const Words& words) {
    ResponseOptions options;
    CLI::App app{"Frequency response of a driveline, and isolation of its disc.",
                 "damper response"};
    tie(app, options);
    if (!read_words(app, words)) return to_int(ExitStatus::done);
    require_one_of("--format", options.format, {"text", "json", "csv"});
    if (!options.quantity.empty()) {
        require_one_of("--quantity", options.quantity,
                       {"speed", "acceleration", "torque", "angle"});
    }
    if (!options.friction.empty()) {
        require_one_of("--friction", options.friction, {"sticks", "slips", "equivalent"});
    }
    const Scenario scenario =
        read_driven(options.file, options.description.read_options(), "damper response");
    const ResponseSettings settings = settings_of(options, scenario, words);
    watch_stop_signals();
    ProgressLine line(scenario.name, !options.quiet);
    const Progress progress{.report = [&](double share) { line.show(share); },
                            .stop_requested = [] { return stop_signal() != 0; }};
    const auto record = frequency_response(scenario, settings, progress);
    line.clear();
    if (!record) return 128 + stop_signal();
    const std::vector<fs::path> files = write_files(*record, options);
    if (options.quiet) return to_int(ExitStatus::done);
    std::string text = options.format == "json"  ? response_json(*record)
                       : options.format == "csv" ? response_csv(*record)
                                                 : response_text(*record);
    if (options.format == "text" && !files.empty()) text += "\n";
    if (options.format == "text") {
        for (const fs::path& file : files) {
            text += fmt::format("Written: {}\n", printable(file.string()));
        }
    }
    print_result(text);
    return to_int(ExitStatus::done);
}

}  // namespace damper::command
